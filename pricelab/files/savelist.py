"""Putting a drafted list into the shop's price_list.csv, beside the lists that are there."""

import csv
import io
from collections.abc import Iterable, Sequence
from pathlib import Path

import numpy as np

from pricelab.errors import PricelabError
from pricelab.files.pricelists import STEM
from pricelab.files.shopfolder import ShopFolder
from pricelab.paper.saving import held, save_whole
from pricelab.pricelist import PriceList
from pricelab.shop import Shop

FILE = f"{STEM}.csv"


def save_list(folder: ShopFolder, price_list: PriceList) -> Path:
    """Put the list in place of the shop's one of the same method and blank; the file's path.

    Where the file is another by now than when `folder` was read, nothing is saved. Comments
    above the table and notes beside its rows stay.
    """
    if held(folder.folder / f"{STEM}.xlsx") is not None:
        raise PricelabError(
            f"Your lists are in {STEM}.xlsx, which this workbook does not write. "
            f"Save it as {FILE}, delete the old file, and open this notebook again."
        )
    seen = folder.held.get(FILE)
    content = with_list(seen or b"", folder.price_lists, price_list, folder.shop)
    return save_whole(folder.folder / FILE, content, seen=seen)


def with_list(
    content: bytes, price_lists: Sequence[PriceList], new: PriceList, shop: Shop
) -> bytes:
    """The file's `content`, which holds `price_lists`, with the `new` list in its place.

    A column for each quantity at which some list changes; a list that does not change
    there keeps its price across the column.
    """
    pair = (new.method, new.blank)
    lists = [new if (one.method, one.blank) == pair else one for one in price_lists]
    if not any(one is new for one in lists):
        lists.append(new)
    separator, above, notes = _kept(content.decode("utf-8-sig"))
    mark = "," if separator == ";" else "."
    starts = _starts(lists)
    out = io.StringIO()
    writer = csv.writer(out, delimiter=separator, lineterminator="\n")
    noted = ["note"] if any(notes.values()) else []
    writer.writerow(["method", "blank", "size", *_headings(lists, starts, shop), *noted])
    for one in lists:
        for band, size in enumerate(one.sizes):
            label = f"{size:.10g}".replace(".", mark)
            cells = [_cell(one, band, start, shop.decimals, mark) for start in starts]
            note = [notes.get((one.method, one.blank, label), "")] if noted else []
            writer.writerow([one.method, one.blank, label, *cells, *note])
    return (above + out.getvalue()).encode()


def _starts(lists: Iterable[PriceList]) -> list[int]:
    """The quantities that need a column: where a list begins or changes."""
    needed = set()
    for one in lists:
        changes = (np.diff(one.prices, axis=1) != 0).any(axis=0)
        needed |= {int(one.starts[0]), *one.starts[1:][changes].tolist()}
    return sorted(needed)


def _headings(lists: Iterable[PriceList], starts: list[int], shop: Shop) -> list[str]:
    """The columns' headings; the last says where the lists end, if the shop does not."""
    last = max(one.last for one in lists)
    ends = str(starts[-1]) if last == shop.largest_order else f"{starts[-1]}–{last}"
    return [*map(str, starts[:-1]), ends]


def _cell(one: PriceList, band: int, start: int, decimals: int, mark: str) -> str:
    _, tier, there = one.cells(one.sizes[band], start)
    return f"{one.prices[band, tier]:.{decimals}f}".replace(".", mark) if there else ""


def _kept(text: str) -> tuple[str, str, dict[tuple[str, ...], str]]:
    """The separator, the comment lines above the header, and each row's note."""
    lines = text.splitlines(keepends=True)
    said = (at for at, line in enumerate(lines) if line.strip(' ,;\t\r\n"')[:1] not in ("", "#"))
    head = next(said, len(lines))
    above, table = "".join(lines[:head]), lines[head:]
    separator = next((sign for sign in ";\t" if table and sign in table[0]), ",")
    notes: dict[tuple[str, ...], str] = {}
    for row in csv.DictReader(table, delimiter=separator):
        named = tuple((row.get(name) or "").strip() for name in ("method", "blank", "size"))
        notes[named] = (row.get("note") or "").strip()
    return separator, above, notes
