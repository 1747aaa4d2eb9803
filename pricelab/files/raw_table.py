"""A table as it stands in a file: trimmed text by row and column, before it is understood.

Blank rows and rows that begin with # are left out; row numbers are the spreadsheet's.
"""

import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import PurePosixPath

from pricelab.files.cells import trimmed
from pricelab.files.csv_sheet import CsvSheet, unquoted
from pricelab.files.faults import Report, one_line
from pricelab.files.marks import NOTE, TO_REPLACE, marked
from pricelab.files.source import SUFFIXES, BadFile, content_of, too_long
from pricelab.files.xlsx_file import xlsx_cells
from pricelab.shop.place import Place

MOST_TYPED = 1_000_000
"""Of a table that is typed: some 15,000 rows."""

HISTORY = ("jobs", "quotes")
"""Tables of what has happened, which may be as long as it takes."""


@dataclass(frozen=True)
class Row:
    """The trimmed cells of one row, without empty ones at its end.

    `number` is the spreadsheet's; `width` counts the cells with the empty ones.
    """

    number: int
    cells: tuple[str, ...]
    width: int

    def cell(self, at: int) -> str:
        """The text of a cell, empty beyond the row's end."""
        return self.cells[at] if at < len(self.cells) else ""


@dataclass(frozen=True)
class RawTable:
    """A header row and the rows under it; `mark` is the file's decimal mark, point or comma."""

    file: str
    mark: str
    header: Row
    rows: tuple[Row, ...]

    def place(self, row: Row, at: int) -> Place:
        """Where a cell stands: its column goes by its heading, or by its letter without one."""
        heading = one_line(self.header.cell(at))
        return Place(self.file, row.number, heading or column_letter(at))

    def wide_rows(self, report: Report) -> frozenset[int]:
        """The numbers of rows with more cells than the header, even empty ones, each a fault.

        Their cells stand in wrong columns somewhere after the first.
        """
        header = self.header
        wide = [r for r in self.rows if r.width > header.width or len(r.cells) > len(header.cells)]
        for row in wide:
            report.fault(
                Place(self.file, row.number),
                f"{row.width} cells",
                f"no more than the {len(header.cells)} of the first row",
                "Put quotation marks round a cell that holds the separator itself, "
                "such as a decimal comma in a file separated by commas.",
            )
        return frozenset(row.number for row in wide)


def column_letter(at: int) -> str:
    """A spreadsheet's letter for a column counted from 0.

    >>> column_letter(0), column_letter(27)
    ('A', 'AB')
    """
    before, last = divmod(at, 26)
    return (column_letter(before - 1) if before else "") + chr(ord("A") + last)


def folded(name: str) -> str:
    """A name as many machines compare it: without capitals, whichever way its ü is stored."""
    return unicodedata.normalize("NFC", name).casefold()


def find_file(
    files: Mapping[str, bytes], stem: str, report: Report, *, required: bool = False
) -> str | None:
    """The name of the table `stem` among a shop's `files`, with its suffix; None if there is none.

    It is a fault if it is `required` and not there, or stands there twice, as CSV and as
    XLSX; then the CSV is read on.
    """
    wanted = [unicodedata.normalize("NFC", stem) + suffix for suffix in SUFFIXES]
    there = [name for name in wanted if name in files]
    if not there and not stem.isascii():  # the ü of its name may be stored another way
        there = [name for name in files if unicodedata.normalize("NFC", name) in wanted]
    if len(there) > 1:
        found = f"both {' and '.join(there)}"
        report.fault(Place(there[0]), found, "one of the two", "Remove the older one.")
    if required and not there:
        alike = [name for name in files if name.lower() in wanted]
        report.fault(
            Place(wanted[0]),
            "no such file",
            f"{' or '.join(wanted)} in the shop folder",
            f'Rename "{alike[0]}" so.' if alike else "Copy it from a demo shop and fill it in.",
        )
    return there[0] if there else None


def read_raw(files: Mapping[str, bytes], file: str, report: Report) -> RawTable | None:
    """The table in `file` of the shop's `files`; None, with a fault, if unreadable or too long."""
    content = content_of(files, file, report)
    if content is None:
        return None
    if PurePosixPath(file).stem not in HISTORY:
        report.held[file] = content
        if len(content) > MOST_TYPED:
            too_long(len(content), MOST_TYPED).note(file, report)
            return None
    return raw_table(content, file, report)


def raw_table(content: bytes, file: str, report: Report) -> RawTable | None:
    """The table that `content` is, of the kind that the name `file` says; or None, with a fault."""
    before = len(report.faults)
    mark, rows = _rows(content, file, report)
    if len(report.faults) > before:
        return None
    filled = [row for row in rows if row.cells and not row.cells[0].startswith("#")]
    if not filled:
        report.fault(
            Place(file),
            "an empty file",
            "a first row of column names",
            "Copy that row from a demo shop.",
        )
        return None
    headings = tuple(" ".join(cell.split()) for cell in filled[0].cells)  # they may be wrapped
    table = RawTable(file, mark, replace(filled[0], cells=headings), tuple(filled[1:]))
    _warn_of_marked(table, [row.cells[0] for row in rows if row.cells], report)
    return table


def _rows(content: bytes, file: str, report: Report) -> tuple[str, list[Row]]:
    """The decimal mark and every row that is not blank; none, with a fault, if unreadable."""
    if file.endswith(".xlsx"):
        mark, rows, plain = ".", xlsx_cells(content, file, report), trimmed
    else:
        try:
            sheet = CsvSheet.of(content)
        except BadFile as bad:
            bad.note(file, report)
            return ".", []
        mark, rows, plain = sheet.mark, sheet.rows, unquoted
    return mark, [row_of(at, map(plain, row)) for at, row in enumerate(rows, 1) if any(row)]


def row_of(number: int, cells: Iterable[str]) -> Row:
    """A row of trimmed cells."""
    cells = list(cells)
    width = len(cells)
    while cells and not cells[-1]:
        cells.pop()
    return Row(number, tuple(cells), width)


def _warn_of_marked(table: RawTable, firsts: Sequence[str], report: Report) -> None:
    """Warn of rows whose note, and of a table whose remark, says that it is to be replaced."""
    header = table.header.cells
    notes = [header.index(NOTE)] if NOTE in header else []
    count = sum(marked(row.cell(at)) for row in table.rows for at in notes)
    whole = any(first.startswith("#") and marked(first) for first in firsts)
    if count or whole:
        many = f"{count} row{'s' if count > 1 else ''}" if count else "a table"
        report.warn(
            Place(table.file),
            f'{many} marked "{TO_REPLACE}"',
            "figures of your own",
            "Put yours in and take the mark away.",
        )
