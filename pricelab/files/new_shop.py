"""A shop's folder of one's own: begun whole or not at all, kept among others, one of them open."""

import csv
import io
import os
import re
import unicodedata
from collections.abc import Collection, Iterator
from pathlib import Path

from pricelab.files.csv_sheet import CsvSheet
from pricelab.files.faults import Report, quoted
from pricelab.files.folders import OPENED, shops_folder, shown
from pricelab.files.marks import NOTE, TO_REPLACE, with_mark
from pricelab.files.raw_table import find_file, read_raw
from pricelab.files.saving import beside, place, save_whole, told
from pricelab.files.source import GRIDS, SUFFIXES, Folder
from pricelab.shop.errors import PricelabError
from pricelab.shop.money import minor_unit

MOST_LETTERS = 60
_FORBIDDEN = re.compile(r'[<>:"/\\|?*]')
_DEVICES = re.compile(
    r"(?:con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³]|conin\$|conout\$)(?:\..*)?", re.IGNORECASE
)
"""Names that one system or another takes for a machine, whatever follows the point."""

_FIRST_BLANKS = 3
_TO_REPLACE = (
    "labour rate",
    "overhead rate",
    "target margin",
    "floor margin",
    "price step",
    "price ending",
    "sales tax",
)
"""Settings whose figures each shop has its own of; the others will do at first."""

_KEPT_BY_METHOD = ("methods", "operations", "costs", "stitching", "rolls")


def check_name(name: str) -> str:
    """The folder of a shop of that name, as every system takes it; raises `PricelabError`.

    >>> check_name("Mützen & Co.")
    'Mützen & Co'
    """
    name = unicodedata.normalize("NFC", " ".join(name.split())).rstrip(". ")
    signs = 'Leave out / \\ : * ? " < > | and signs that are not seen.'
    for wrong, mend in (
        (not name, "Write the name of your shop."),
        (len(name) > MOST_LETTERS, f"Write up to {MOST_LETTERS} letters."),
        (_FORBIDDEN.search(name) or not name.isprintable(), signs),
        (name[:1] in tuple(".~$#="), "Begin with a letter or a figure."),
        (_DEVICES.fullmatch(name), "Write another: some systems take it for a machine."),
    ):
        if wrong:
            found = quoted(name) if name else "no name"
            raise PricelabError(
                f"Found {found}, expected a name that can be a folder's, such as Corner Caps. "
                f"{mend}"
            )
    return name


# ---- the reader's own shops -----------------------------------------------------------


def own_shops() -> tuple[Path, ...]:
    """The folders of the reader's own shops, by name."""
    try:
        there = [path for path in shops_folder().iterdir() if path.name[0] != "."]
    except OSError:  # none was started yet
        return ()
    return tuple(sorted((p for p in there if p.is_dir()), key=lambda path: path.name.casefold()))


def choose_shop(folder: Path) -> None:
    """Let `folder` be the shop that is opened when no other is named."""
    try:
        said = os.path.relpath(folder, shops_folder())
    except ValueError:  # on another drive
        said = str(folder)
    save_whole(shops_folder() / OPENED, f"{said}\n".encode())


# ---- starting one ---------------------------------------------------------------------


def copy_shop(name: str, like: Path) -> Path:
    """A copy of the whole shop `like` under a name of one's own, to try things out; its folder."""
    with told(like, "read"):
        files = {
            name: (like / name).read_bytes() for name in Folder(like) if name.endswith(SUFFIXES)
        }
    if "shop.csv" not in files:
        raise PricelabError(
            f'Found no shop.csv in "{shown(like)}", expected a shop to copy. Choose another.'
        )
    sheet = CsvSheet.of(files["shop.csv"])
    row = next(at for at in range(len(sheet.rows)) if sheet.cell(at, "setting") == "name")
    files["shop.csv"] = sheet.with_cell(row, "value", " ".join(name.split())).content
    return _begin(name, files)


def start_shop(
    name: str, like: Path, currency: str, methods: Collection[str], *, mark: str = "."
) -> Path:
    """A folder to fill in: of the shop `like` the `methods`, with a few blanks; its path.

    Every figure is marked as to be replaced. The files are written with the decimal `mark`,
    a point or a comma. Raises `PricelabError`, and leaves nothing behind, where that fails.
    """
    check_name(name)
    minor_unit(currency)
    if not methods:
        raise PricelabError("Found no method, expected one at least. Tick one that you work by.")
    files = {}
    for file, rows in _tables(like, name, currency, methods, mark):
        out = io.StringIO()
        csv.writer(out, delimiter=";" if mark == "," else ",", lineterminator="\n").writerows(rows)
        files[file] = out.getvalue().encode()
    return _begin(name, files)


def _begin(name: str, files: dict[str, bytes]) -> Path:
    """Write the files where nobody reads, and give them their place in one step."""
    name, shops = check_name(name), shops_folder()
    taken = next((p for p in own_shops() if p.name.casefold() == name.casefold()), None)
    if taken is not None:
        raise PricelabError(f'There is a shop "{taken.name}" already. Write another name.')
    with beside(shops / name, files) as part, told(shops / name):
        place(part, shops / name)
    return shops / name


def _tables(
    like: Path, name: str, currency: str, methods: Collection[str], mark: str
) -> Iterator[tuple[str, list[list[str]]]]:
    """File name and rows of every table of a new shop, figures with the decimal `mark`."""
    files, report, grids = Folder(like), Report(), set()
    told = {"name": " ".join(name.split()), "notice": "", "currency": currency}
    blanks = [row.cells[0] for row in read_raw(files, "blanks.csv", report).rows[:_FIRST_BLANKS]]
    kept = {"shop": None, "blanks": blanks, "blank_prices": blanks}
    for stem, keys in (kept | dict.fromkeys(_KEPT_BY_METHOD, ("", *methods))).items():
        table, rows = read_raw(files, f"{stem}.csv", report), []
        headings = table.header.cells
        for row in table.rows:
            cells = {heading: row.cell(at) for at, heading in enumerate(headings)}
            note = cells.pop(NOTE, "")
            key, *values = (_figured(cell, table.mark, mark) for cell in cells.values())
            if keys is None and key in told:
                values = [told[key]]
            elif key in (_TO_REPLACE if keys is None else keys):
                note = with_mark(note)
                grids.add(cells.get("grid", ""))
            elif keys is not None:
                continue
            rows.append([key, *values, note])
        if rows:
            yield f"{stem}.csv", [[*(x for x in headings if x != NOTE), NOTE], *rows]
    for stem in grids - {""}:
        grid = read_raw(files, find_file(files, f"{GRIDS}/{stem}", report), report)
        rows = [
            [_figured(cell, grid.mark, mark, inside=True) for cell in row.cells]
            for row in (grid.header, *grid.rows)
        ]
        said = f"# {TO_REPLACE}: invented prices, until you paste your supplier's sheet"
        yield f"{GRIDS}/{stem}.csv", [[said], *rows]


def _figured(cell: str, old: str, new: str, *, inside: bool = False) -> str:
    """A figure with another decimal mark; with `inside`, every figure in a text of figures."""
    if inside or re.fullmatch(rf"[0-9]+\{old}[0-9]+ ?%?", cell):
        return re.sub(rf"(?<=[0-9])\{old}(?=[0-9])", new, cell)
    return cell
