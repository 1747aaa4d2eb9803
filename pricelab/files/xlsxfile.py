"""The cells of an XLSX file, as if its first sheet had been saved as CSV with decimal points."""

import io
import re
import warnings
from datetime import date, datetime
from decimal import Decimal

from pricelab.files.faults import Report, quoted
from pricelab.grids import Place

_ERROR, _FORMULA, _TEXT = "e", "f", "str"  # types of a cell in a spreadsheet's own words


def xlsx_cells(content: bytes, file: str, report: Report) -> list[list[str]]:
    """Rows of cells of the first sheet; what cannot be read is a fault of `file`."""
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


def struck_out(content: bytes) -> set[tuple[int, int]]:
    """Row and column, from 0, of each cell whose text is struck out."""
    return {
        (row, at)
        for row, cells in enumerate(_first_sheet(content, data_only=True))
        for at, cell in enumerate(cells)
        if cell.value not in (None, "") and cell.font.strike
    }


def _first_sheet(content: bytes, *, data_only: bool) -> list[tuple]:
    """Every cell of the first sheet by row, with results, or with formulas as written."""
    from openpyxl import load_workbook

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of what a spreadsheet holds beside its cells
        book = load_workbook(io.BytesIO(content), read_only=True, data_only=data_only)
        sheet = book.worksheets[0]
        sheet.reset_dimensions()  # files may state their own size wrongly
        return list(sheet.iter_rows())


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
