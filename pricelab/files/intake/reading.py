"""A supplier's sheet, pasted or in a file, read as grids with every doubt marked.

The sheet is split in every way it could be; each row that could be a header, of quantities
or of sizes, is tried with the rows under it; the way that gives most prices is read.
Nothing is guessed: what is not sure is a doubt, and what was left out is said.
"""

from dataclasses import dataclass, replace
from pathlib import PurePath

from pricelab.files.faults import Report, quoted
from pricelab.files.intake.find_grid import find_grids
from pricelab.files.intake.pasted_grid import Reader, Reading
from pricelab.files.intake.pasted_text import Rows, tidied, ways_to_split
from pricelab.files.intake.xlsx_looks import make_as_seen, sheet_names
from pricelab.files.xlsx_file import unpacked_size, xlsx_cells
from pricelab.shop.errors import PricelabError

MOST_LETTERS, MOST_ROWS, MOST_COLUMNS = 200_000, 300, 40
MOST_BYTES, _MOST_SHEETS = 3_000_000, 3
"""A sheet beyond these is no price grid, or holds one that is better pasted alone."""


@dataclass(frozen=True)
class Pasted:
    """A sheet: its rows as they were split, and the grids found in it, first to last."""

    rows: tuple[tuple[str, ...], ...]
    readings: tuple[Reading, ...]


_KINDS = ("", ".csv", ".tsv", ".txt", ".xlsx")
"""The endings of files that can be read."""


def read_pasted(text: str) -> Pasted:
    """The grids in pasted `text`; raises `PricelabError` where there is none.

    >>> pasted = read_pasted("Size (in)\\t12-23\\t24+\\nup to 2\\t$4.10\\t$3.10")
    >>> pasted.readings[0].cells
    (('', '12-23', '24+'), ('2', '4.10', '3.10'))
    """
    lines = max(text.count("\n") + 1, len(text.splitlines()))  # other signs end lines too
    if len(text) > MOST_LETTERS or lines > MOST_ROWS + 1:
        raise PricelabError(
            f"Found {len(text):,} letters in {lines:,} lines, expected a price sheet of up to "
            f"{MOST_ROWS} lines. Paste the table alone."
        )
    if "\0" in text:
        raise PricelabError("Found signs that are no text, expected a table. Paste it as text.")
    best: tuple[int, Pasted | None] = (0, None)
    for rows in ways_to_split(text):
        found = _read_rows(rows, sure=False)
        worth = sum(_worth(reading) for reading in found.readings)
        if worth > 1.25 * best[0]:  # separators tell more than gaps do
            best = worth, found
    return _some(best[1])


def read_sheet_file(name: str, content: bytes) -> Pasted:
    """The grids in a CSV, text or XLSX file's `content`."""
    kind = PurePath(name).suffix.lower()
    if kind not in _KINDS:
        raise PricelabError(
            f"Found {quoted(name)}, expected a CSV, text or XLSX file. Open it, copy the table in "
            "it and paste it; type off one that is a picture."
        )
    spreadsheet = kind == ".xlsx"
    size = max(len(content), unpacked_size(content) if spreadsheet else 0)
    if size > MOST_BYTES:
        raise PricelabError(
            f"Found a file of {size / 1e6:.1f} MB, expected a price sheet of up to "
            f"{MOST_BYTES / 1e6:.0f} MB. Copy the table alone and paste it."
        )
    if not spreadsheet:
        try:
            return read_pasted(content.decode("utf-8-sig"))
        except UnicodeDecodeError:
            raise PricelabError(
                f"Found letters in {quoted(name)} that are not UTF-8, expected a CSV or XLSX file. "
                'Save it from the spreadsheet as "CSV UTF-8".'
            ) from None
    return _read_spreadsheet(name, content)


def _read_spreadsheet(name: str, content: bytes) -> Pasted:
    """The grids of the first of a spreadsheet's sheets that has any."""
    found, names = None, [""]
    for sheet in range(_MOST_SHEETS):
        report = Report()
        cells = xlsx_cells(content, "the file", report, sheet)
        report.raise_faults()
        if len(cells) > MOST_ROWS:
            raise PricelabError(
                f"Found {len(cells):,} rows in {quoted(name)}, expected up to {MOST_ROWS}. "
                "Copy the table alone and paste it."
            )
        names = sheet_names(content) if sheet == 0 else names
        said = make_as_seen(cells, content, sheet)
        wide = max(map(len, cells), default=0)  # or the header would seem to have lost a cell
        rows = [
            [*(" ".join(tidied(x).split()) for x in row), *[""] * (wide - len(row))]
            for row in cells
        ]
        found = _read_rows(rows, sure=True)
        if found.readings or sheet + 1 == len(names):
            break
    if len(names) > 1:
        said.append(f"Read off the sheet {quoted(names[sheet])}, one of {len(names)} in the file.")
    told = tuple(replace(read, said=(*said, *read.said)) for read in found.readings)
    return _some(replace(found, readings=told))


def _some(found: Pasted | None) -> Pasted:
    if found is None or not found.readings:
        raise PricelabError(
            "Found no price grid, expected a row of quantities such as 12–23, 24+ with a row of "
            "prices for each size under it, or the other way round. Paste the table with its "
            "header."
        )
    return found


def _worth(reading: Reading) -> int:
    """How much was read: prices, less those in doubt."""
    prices = sum(bool(cell) for row in reading.cells[1:] for cell in row[1:])
    return max(1, 10 * prices - 5 * len(reading.doubtful()))


def _read_rows(rows: Rows, *, sure: bool) -> Pasted:
    """Every grid in `rows`; `sure` where a spreadsheet tells which column a cell is in."""
    rows = [row if len(row) <= MOST_COLUMNS else [" ".join(row)] for row in rows]
    grids = find_grids(rows)
    starts = [0, *(found.body[-1] + 1 for found in grids[:-1])]
    ends = [*map(max, (found.head for found in grids[1:]), starts[1:]), len(rows)]
    readings = tuple(
        Reader(rows, found, range(start, end), last=end == len(rows), sure=sure).read()
        for found, start, end in zip(grids, starts, ends, strict=False)
    )
    return Pasted(tuple(map(tuple, rows)), readings)
