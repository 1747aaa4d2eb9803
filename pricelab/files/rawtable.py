"""A table as it stands in a file: trimmed text by row and column, before anything is understood.

A CSV file separated by commas or tabs has decimal points; one separated by semicolons
has decimal commas, as European spreadsheets save it. The first sheet of an XLSX file is
read as if it had been saved as CSV with decimal points.
"""

import csv
import io
import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from pricelab.files.faults import Report, quoted
from pricelab.grids import Place

SUFFIXES = (".csv", ".xlsx")

_SPACES = re.compile(r"[\u00a0\u202f\u2007\u2009]")
_UNSEEN = "\ufeff\u200b\u2060"
_SAVE_AS_UTF8 = 'Save it from the spreadsheet as "CSV UTF-8".'


@dataclass(frozen=True)
class Row:
    """The trimmed cells of one row, without empty ones at its end, and its spreadsheet number."""

    number: int
    cells: tuple[str, ...]

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
        return Place(self.file, row.number, self.header.cell(at) or column_letter(at))

    def whole_rows(self, report: Report) -> list[Row]:
        """The rows that are no longer than the header; each longer one is a fault."""
        wide, whole = len(self.header.cells), []
        for row in self.rows:
            if len(row.cells) <= wide:
                whole.append(row)
                continue
            report.fault(
                Place(self.file, row.number),
                f"{len(row.cells)} cells",
                f"no more than the {wide} of the first row",
                "Put quotation marks round a cell that holds the separator itself, "
                "such as a decimal comma in a file separated by commas.",
            )
        return whole


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
    there = [name for name in wanted if (folder / name).exists()]
    if len(there) > 1:
        report.fault(
            Place(stem), f"both {' and '.join(there)}", "one of the two", "Remove the older one."
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


def read_raw(folder: Path, file: str, report: Report) -> RawTable | None:
    """The table in `file`, named from the shop's `folder`; None, with a fault, if unreadable."""
    path = folder / file
    if folder.resolve() not in path.resolve().parents:
        report.fault(
            Place(file), "a link out of the shop folder", "a file inside it", "Copy the file here."
        )
        return None
    try:
        content = path.read_bytes()
    except OSError as error:
        report.fault(
            Place(file),
            f"a file that does not open ({error.strerror})",
            "one that can be read",
            "Close it in other programs and allow it to be read.",
        )
        return None
    before = len(report.faults)
    if path.suffix == ".xlsx":
        mark, rows = ".", _xlsx_rows(content, file, report)
    else:
        mark, rows = _csv_rows(content, file, report)
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
    return RawTable(file, mark, filled[0], tuple(filled[1:]))


def _trimmed(number: int, cells: Iterable[str]) -> Row:
    """A row without spaces round its cells (of any breadth) and without empty cells at its end."""
    cells = [_SPACES.sub(" ", cell).strip().strip(_UNSEEN).strip() for cell in cells]
    while cells and not cells[-1]:
        cells.pop()
    return Row(number, tuple(cells))


# ---- CSV ------------------------------------------------------------------------------


def _csv_rows(content: bytes, file: str, report: Report) -> tuple[str, list[Row]]:
    """Decimal mark and rows of a CSV file."""
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        report.fault(
            Place(file, line), "letters that are not UTF-8", "a text file in UTF-8", _SAVE_AS_UTF8
        )
        return ".", []
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        report.fault(
            Place(file, line), "bytes that are no text", "a text file in UTF-8", _SAVE_AS_UTF8
        )
        return ".", []
    separator = _separator(text)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    rows = []
    try:
        for number, cells in enumerate(reader, 1):
            rows.append(_trimmed(number, cells))
    except csv.Error as error:
        report.fault(
            Place(file, len(rows) + 1),
            f"a row that cannot be split into cells ({error})",
            "quotation marks in pairs",
            "Close or remove the odd quotation mark.",
        )
    return "," if separator == ";" else ".", rows


def _separator(text: str) -> str:
    """What separates the cells of the header row: a semicolon, a tab or else a comma."""
    lines = (line.strip() for line in text.splitlines())
    header = next((line for line in lines if line.strip(",;\t") and line[0] != "#"), "")
    outside = re.sub(r'"[^"]*"', "", header)
    return next((sign for sign in ";\t" if sign in outside), ",")


# ---- XLSX -----------------------------------------------------------------------------


def _xlsx_rows(content: bytes, file: str, report: Report) -> list[Row]:
    """Rows of the first sheet of an XLSX file."""
    try:
        values, formulas = (_first_sheet(content, data_only=only) for only in (True, False))
    except Exception as error:  # whatever a damaged archive makes the library raise
        report.fault(
            Place(file),
            f"no readable spreadsheet ({quoted(str(error) or type(error).__name__)})",
            "an .xlsx file",
            "Open it in the spreadsheet and save it again.",
        )
        return []
    rows = []
    for number, (cells, written) in enumerate(zip(values, formulas, strict=True), 1):
        rows.append(_trimmed(number, [_rendered(*cell) for cell in cells]))
        for at, ((value, _), (formula, _)) in enumerate(zip(cells, written, strict=True)):
            if value is None and formula is not None:
                report.fault(
                    Place(file, number, column_letter(at)),
                    f"the formula {quoted(str(formula))} without its result",
                    "a figure",
                    "Open the file in the spreadsheet and save it, or write the figure itself.",
                )
    return rows


def _first_sheet(content: bytes, *, data_only: bool) -> list[list[tuple[object, str]]]:
    """Value and number format of every cell of the first sheet."""
    from openpyxl import load_workbook

    book = load_workbook(io.BytesIO(content), read_only=True, data_only=data_only)
    sheet = book.worksheets[0]
    sheet.reset_dimensions()  # files may state their own size wrongly
    return [
        [(cell.value, getattr(cell, "number_format", "")) for cell in row]
        for row in sheet.iter_rows()
    ]


def _rendered(value: object, number_format: str) -> str:
    """A spreadsheet's value as text: numbers in plain digits, dates in ISO, 0.03 as 3 %.

    >>> _rendered(3.2, "0.00"), _rendered(0.029, "0.0%"), _rendered(True, "General")
    ('3.2', '2.9 %', 'yes')
    """
    from datetime import date, datetime
    from decimal import Decimal

    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        exact = Decimal(f"{value:.15g}")  # a spreadsheet keeps 15 significant digits
        if "%" in number_format:
            return f"{(exact * 100).normalize():f} %"
        return f"{exact:f}"
    if isinstance(value, datetime) and value.time() == value.time().min:
        return value.date().isoformat()
    return value.isoformat() if isinstance(value, date) else str(value)
