"""Putting a drafted list into the shop's price_list.csv, beside the lists that are there."""

import csv
import io
from collections.abc import Iterable, Sequence
from datetime import datetime
from pathlib import Path

import numpy as np

from pricelab.files.csv_sheet import BOM, CsvSheet
from pricelab.files.price_lists import STEM
from pricelab.files.printed import parse_band
from pricelab.files.saving import OLD, held, keep_copy, save_together
from pricelab.files.shop_folder import ShopFolder
from pricelab.shop.errors import PricelabError
from pricelab.shop.price_list import PriceList
from pricelab.shop.shop import Shop

FILE = f"{STEM}.csv"

ABOVE, BELOW = "above", "below"
"""Where a remark stands that is above the whole table, or below it."""


def save_list(folder: ShopFolder, price_list: PriceList, until: datetime) -> Path | None:
    """Put the list in place of the shop's one of the same method and blank.

    Where the file is another by now than when `folder` was read, nothing is saved. Remarks
    and notes beside rows stay. The file that stood is kept in the folder `old` under the time
    `until` which it held; returned is where, None where there was none.
    """
    if held(folder.folder / f"{STEM}.xlsx") is not None:
        raise PricelabError(
            f"Your lists are in {STEM}.xlsx, which this workbook does not write. "
            f"Save it as {FILE}, delete the old file, and open this notebook again."
        )
    seen = folder.held.get(FILE)
    content = with_list(seen or b"", folder.price_lists, price_list, folder.shop)
    kept = []
    save_together(
        *(folder.folder, {FILE: content}, {FILE: seen}),
        keep=lambda path: kept.append(keep_copy(path, folder.folder / OLD, until)),
    )
    return kept[0] if kept else None


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
    sheet = CsvSheet.of(content)
    remarks, notes = _kept(sheet)
    starts = _starts(lists)
    out = io.StringIO(newline="")
    end = next(filter(None, sheet.ends), "\n")
    writer = csv.writer(out, delimiter=sheet.separator, lineterminator=end)
    noted = ["note"] if any(notes.values()) else []
    out.writelines(remarks.pop(ABOVE, ()))
    writer.writerow(["method", "blank", "size", *_headings(lists, starts, shop), *noted])
    for one in lists:
        out.writelines(remarks.pop((one.method, one.blank), ()))
        for band, size in enumerate(one.sizes):
            cells = [_cell(one, band, start, shop.decimals, sheet.mark) for start in starts]
            note = [notes.get((one.method, one.blank, float(size)), "")] if noted else []
            label = f"{size:.10g}".replace(".", sheet.mark)
            writer.writerow([one.method, one.blank, label, *cells, *note])
    for left in remarks.values():
        out.writelines(left)
    return BOM * sheet.bom + out.getvalue().encode()


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


def _kept(sheet: CsvSheet) -> tuple[dict[object, list[str]], dict[tuple, str]]:
    """The remarks, by the list of a method on a blank that they stand above; each row's note."""
    remarks: dict[object, list[str]] = {}
    notes: dict[tuple, str] = {}
    waiting: list[str] = []
    for at, row in enumerate(sheet.rows):
        if sheet.is_remark(at):
            if any(row):
                waiting.append(sheet.separator.join(row) + (sheet.ends[at] or "\n"))
            continue
        pair = sheet.cell(at, "method"), sheet.cell(at, "blank")
        remarks.setdefault(ABOVE if at == sheet.head else pair, []).extend(waiting)
        waiting = []
        if at != sheet.head:
            size = parse_band(sheet.cell(at, "size"), sheet.mark)
            notes[*pair, float(size.upper)] = sheet.cell(at, "note")
    remarks[BELOW] = waiting
    return remarks, notes
