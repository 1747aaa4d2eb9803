"""A table as it stands in a file: trimmed text by row and column, before it is understood.

Blank rows and rows that begin with # are left out; row numbers are the spreadsheet's.
"""

import re
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from pricelab.files.csv_file import csv_cells
from pricelab.files.faults import Report, one_line
from pricelab.files.marks import NOTE, TO_REPLACE, marked
from pricelab.files.source import SUFFIXES, content_of
from pricelab.files.xlsx_file import xlsx_cells
from pricelab.shop.place import Place

MOST_BYTES = 1_000_000
"""Of a table that is typed: some 15,000 rows. What has happened may be longer."""

_BROAD = "\u00a0\u202f\u2007\u2009"
_UNSEEN = "\ufeff\u200b\u2060"
_SPACES = re.compile(f"[{_BROAD}]")

CONTROLS = bytes(sorted({*range(1, 32), 127} - set(b"\t\n\r"))).decode()
"""Signs by which a terminal is told to do something; NUL is refused where it matters."""

_CONTROLS = re.compile(f"[{re.escape(CONTROLS)}\x80-\x9f]")

ODD_SPACES = _BROAD + _UNSEEN
"""Spaces that are taken for common ones, and signs that are taken for none."""


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
        wide, header = set(), self.header
        for row in self.rows:
            if row.width > header.width or len(row.cells) > len(header.cells):
                wide.add(row.number)
                report.fault(
                    Place(self.file, row.number),
                    f"{row.width} cells",
                    f"no more than the {len(header.cells)} of the first row",
                    "Put quotation marks round a cell that holds the separator itself, "
                    "such as a decimal comma in a file separated by commas.",
                )
        return frozenset(wide)


def column_letter(at: int) -> str:
    """A spreadsheet's letter for a column counted from 0.

    >>> column_letter(0), column_letter(27)
    ('A', 'AB')
    """
    before, last = divmod(at, 26)
    return (column_letter(before - 1) if before else "") + chr(ord("A") + last)


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
        report.fault(
            Place(there[0]),
            f"both {' and '.join(there)}",
            "one of the two",
            "Remove the older one.",
        )
    if required and not there:
        alike = [name for name in files if name.lower() in wanted]
        report.fault(
            Place(wanted[0]),
            "no such file",
            f"{' or '.join(wanted)} in the shop folder",
            f'Rename "{alike[0]}" so.' if alike else "Copy it from a demo shop and fill it in.",
        )
    return there[0] if there else None


def folded(name: str) -> str:
    """A name as many machines compare it: without capitals, whichever way its ü is stored."""
    return unicodedata.normalize("NFC", name).casefold()


def read_raw(
    files: Mapping[str, bytes], file: str, report: Report, *, most: float = MOST_BYTES
) -> RawTable | None:
    """The table in `file` of the shop's `files`; None, with a fault, if unreadable.

    Nor is one read that is longer than `most` bytes.
    """
    content = content_of(files, file, report)
    if content is None:
        return None
    report.held[file] = content
    if len(content) > most:
        report.fault(
            Place(file),
            f"a file of {len(content) / 1e6:.1f} MB",
            f"up to {most / 1e6:g} MB",
            "Take out the rows and blank lines that are not needed.",
        )
        return None
    return raw_table(content, file, report)


def raw_table(content: bytes, file: str, report: Report) -> RawTable | None:
    """The table that `content` is, of the kind that the name `file` says; or None, with a fault."""
    before = len(report.faults)
    if file.endswith(".xlsx"):
        mark, cells = ".", xlsx_cells(content, file, report)
    else:
        mark, cells = csv_cells(content, file, report)
    if len(report.faults) > before:
        return None
    rows = [_trimmed(number, row) for number, row in enumerate(cells, 1) if row]
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


def _warn_of_marked(table: RawTable, firsts: Iterable[str], report: Report) -> None:
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


def _trimmed(number: int, cells: Iterable[str]) -> Row:
    """A row without spaces round its cells (of any breadth) and without empty cells at its end."""
    cells = [trimmed(cell) for cell in cells]
    width = len(cells)
    while cells and not cells[-1]:
        cells.pop()
    return Row(number, tuple(cells), width)


def trimmed(text: str) -> str:
    """A text without spaces round it, and without those that are not what they look like.

    Nor does it keep signs that are commands to a terminal.

    >>> trimmed("\u00a0Old\u00a0Lantern "), trimmed("\x1b[31mRed\x07")
    ('Old Lantern', '[31mRed')
    """
    if text.isascii() and text.isprintable():  # nearly every cell
        return text.strip()
    if not text.isprintable():
        text = _CONTROLS.sub("", text)
    return _SPACES.sub(" ", text).strip().strip(_UNSEEN).strip()
