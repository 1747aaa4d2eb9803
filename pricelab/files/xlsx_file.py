"""The cells of an XLSX file, as if a sheet of it had been saved as CSV with decimal points.

A small file can unpack to a great deal, or say that its one cell stands in the last row of
all: how much is unpacked, and how many cells are looked at, has bounds.
"""

import io
import re
import warnings
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, datetime
from decimal import Decimal

from pricelab.files.faults import Report, ShopFaults, quoted
from pricelab.files.source import BadFile
from pricelab.shop.place import Place

MOST_UNPACKED, MOST_CELLS = 10_000_000, 300_000
"""Bytes and cells, empty ones between others too: some 18,000 rows of jobs."""

_DEEP = re.compile(rb"(?:<[^/!?>][^>]*(?<!/)>\s*){31}")

_ERROR, _FORMULA, _TEXT = "e", "f", "str"  # types of a cell in a spreadsheet's own words


def xlsx_cells(content: bytes, file: str, report: Report, sheet: int = 0) -> list[list[str]]:
    """Rows of cells of the first sheet, or another; what cannot be read is a fault of `file`."""
    before = len(report.faults)
    try:
        if unpacked_size(content) > MOST_UNPACKED:
            raise _too_much(f"a spreadsheet of {unpacked_size(content) / 1e6:.0f} MB")
        _check_depth(content)
        with unwarned():
            return _rows(content, file, report, sheet)
    except ShopFaults:
        raise
    except Exception as error:  # whatever a damaged archive makes the library raise
        del report.faults[before:]
        found = f"no readable spreadsheet ({quoted(str(error) or type(error).__name__)})"
        bad = BadFile(found, "an .xlsx file", "Open it in the spreadsheet and save it again.")
        (error if isinstance(error, BadFile) else bad).note(file, report)
    return []


def unpacked_size(content: bytes) -> int:
    """How many bytes the parts of a spreadsheet that are read take when they are unpacked."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as parts:
            return sum(
                part.file_size
                for part in parts.infolist()
                if part.filename.lower().endswith((".xml", ".rels"))
            )
    except (zipfile.BadZipFile, ValueError, NotImplementedError):
        return 0  # whoever reads it says so


def _check_depth(content: bytes) -> None:
    """Refuse parts that are made to fill the memory: a sheet's cells lie four deep."""
    with zipfile.ZipFile(io.BytesIO(content)) as parts:
        for part in parts.namelist():
            if part.lower().endswith(".xml") and _DEEP.search(parts.read(part)):
                raise ValueError("tags within tags, over thirty deep")


def _too_much(found: str) -> BadFile:
    return BadFile(
        found,
        f"up to {MOST_UNPACKED / 1e6:.0f} MB and {MOST_CELLS:,} cells",
        'Save the table alone as "CSV UTF-8", which may be longer.',
    )


def _rows(content: bytes, file: str, report: Report, sheet: int) -> list[list[str]]:
    """Every cell as text; its result is read, and whether there is a formula without one."""
    from openpyxl import load_workbook

    rows = []
    books = (load_workbook(io.BytesIO(content), read_only=True, data_only=x) for x in (True, False))
    values, formulas = (cells_of(book.worksheets[sheet]) for book in books)
    for number, (cells, written) in enumerate(zip(values, formulas, strict=True), 1):
        texts = [_rendered(cell.value, cell.number_format) for cell in cells]
        while texts and not texts[-1]:  # cells that were only coloured
            texts.pop()
        rows.append(texts)
        for cell, formula in zip(cells, written, strict=True):
            if cell.data_type == _ERROR:
                found, mend = quoted(str(cell.value)), "Mend the formula."
            elif formula.data_type == _FORMULA and cell.value is None and cell.data_type != _TEXT:
                found = "a formula without its result"
                mend = "Open the file in the spreadsheet and save it, or write the result itself."
            else:
                continue
            place = Place(file, number, cell.column_letter)
            report.fault(place, found, "a figure or a word", mend)
    return rows


@contextmanager
def unwarned() -> Iterator[None]:
    """Without the library's warnings of what a spreadsheet holds beside its cells."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        yield


def cells_of(sheet) -> Iterator[tuple]:
    """Every cell of an opened sheet, by row."""
    cells = 0
    sheet.reset_dimensions()  # files may state their own size wrongly
    for row in sheet.iter_rows():
        cells += len(row) + 1
        if cells > MOST_CELLS:
            raise _too_much(f"a spreadsheet of more than {MOST_CELLS:,} cells")
        yield row


def _rendered(value: object, number_format: str) -> str:
    """A spreadsheet's value as text: numbers in plain digits, dates in ISO, 0.03 as 3 %.

    >>> _rendered(3.2, "0.00"), _rendered(0.029, "0.0%"), _rendered(True, "General")
    ('3.2', '2.9 %', 'yes')
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        exact = Decimal(f"{value:.15g}")  # a spreadsheet keeps 15 significant digits
        if "%" in re.sub(r'"[^"]*"|\\.', "", number_format):  # less its literal letters
            return f"{(exact * 100).normalize():f} %"
        return f"{exact:f}"
    if isinstance(value, datetime) and value.time() == value.time().min:
        return value.date().isoformat()
    return value.isoformat() if isinstance(value, date) else str(value)
