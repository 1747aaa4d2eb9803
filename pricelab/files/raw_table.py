"""A table as it stands in a file: trimmed text by row and column, before it is understood.

Blank rows and rows that begin with # are left out; row numbers are the spreadsheet's.
"""

import re
import time
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from pricelab.files.csv_file import csv_cells
from pricelab.files.faults import Report, one_line
from pricelab.files.marks import NOTE, TO_REPLACE, marked
from pricelab.files.xlsx_file import xlsx_cells
from pricelab.shop.grids import Place

SUFFIXES = (".csv", ".xlsx")

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


def find_file(folder: Path, stem: str, report: Report, *, required: bool = False) -> str | None:
    """The name of the table `stem` in a shop's `folder`, with its suffix; None if there is none.

    It is a fault if it is `required` and not there, or stands there twice, as CSV and as
    XLSX; then the CSV is read on.
    """
    wanted = [stem + suffix for suffix in SUFFIXES]
    there = [name for name in wanted if (folder / name).exists()] or _stored_apart(folder, wanted)
    if len(there) > 1:
        report.fault(
            Place(there[0]),
            f"both {' and '.join(there)}",
            "one of the two",
            "Remove the older one.",
        )
    if required and not there:
        alike = [path.name for path in folder.iterdir() if path.name.lower() in wanted]
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


def _stored_apart(folder: Path, wanted: Sequence[str]) -> list[str]:
    """Those of the wanted files that are there with the ü of their names stored another way."""
    inside, names = (folder / wanted[0]).parent, [Path(folder / name).name for name in wanted]
    if all(map(str.isascii, names)) or not inside.is_dir():
        return []
    whole = [unicodedata.normalize("NFC", name) for name in names]
    return [
        path.relative_to(folder).as_posix()
        for path in sorted(inside.iterdir())
        if unicodedata.normalize("NFC", path.name) in whole
    ]


def inner_file(folder: Path, name: str) -> Path | None:
    """The file that `name` stands for, if it lies inside `folder`; None for any other name.

    Not for what only looks like a file, such as a pipe, which nobody can read to its end.
    """
    try:
        path = folder / name
        inside = folder.resolve() in path.resolve().parents
        return path if inside and path.is_file() else None
    except _NO_NAME:
        return None


_NO_NAME = (OSError, ValueError, RuntimeError)
"""What a name is answered with that no file can have, or that leads round in a circle."""


def read_raw(
    folder: Path, file: str, report: Report, *, most: float = MOST_BYTES
) -> RawTable | None:
    """The table in `file`, named from the shop's `folder`; None, with a fault, if unreadable.

    Nor is one read that is longer than `most` bytes.
    """
    content = content_of(folder, file, report)
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


def content_of(folder: Path, file: str, report: Report) -> bytes | None:
    """What `file` holds, named from the shop's `folder`; None, with a fault, if unreadable."""
    path = folder / file
    try:
        if folder.resolve() not in path.resolve().parents:
            report.fault(
                Place(one_line(file)),
                "a link out of the shop folder",
                "a file inside it",
                "Copy the file here.",
            )
            return None
        if path.exists() and not (path.is_file() or path.is_dir()):
            raise ValueError("it is no ordinary file")
        content = _at_rest(path)
    except _NO_NAME as error:
        report.fault(
            Place(one_line(file)),
            f"a file that does not open ({getattr(error, 'strerror', None) or error})",
            "one that can be read",
            "Close it in other programs and allow it to be read.",
        )
        return None
    if content is None:
        report.fault(
            Place(file),
            "a file that another program is writing",
            "one that is whole",
            "Wait until it is saved there, and try again.",
        )
    return content


def _at_rest(path: Path) -> bytes | None:
    """What a file holds that nobody writes to meanwhile; None where somebody does not end."""
    for wait in (0.02, 0.1, 0.4, 0):
        before, content, after = path.stat(), path.read_bytes(), path.stat()
        if (before.st_mtime_ns, len(content)) == (after.st_mtime_ns, after.st_size):
            return content
        time.sleep(wait)
    return None


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
