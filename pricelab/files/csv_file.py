"""The cells of a CSV file: UTF-8, separated by commas, semicolons or tabs."""

import csv
import io
import re

from pricelab.files.faults import Report
from pricelab.shop.place import Place

_SAVE_AS_UTF8 = 'Save it from the spreadsheet as "CSV UTF-8".'


def csv_cells(content: bytes, file: str, report: Report) -> tuple[str, list[list[str]]]:
    """Decimal mark and rows of cells; what cannot be read is a fault of `file`.

    A file separated by semicolons has decimal commas, as European spreadsheets save it.
    """
    try:
        text = content.decode("utf-8-sig")
        unreadable = text.encode().find(0)
    except UnicodeDecodeError as error:
        text, unreadable = "", error.start
    if unreadable >= 0:
        line = content.count(b"\n", 0, unreadable) + 1
        place = Place(file, line)
        report.fault(place, "letters that are not UTF-8", "a text file in UTF-8", _SAVE_AS_UTF8)
        return ".", []
    separator = separator_of(text)
    rows, blank = [], []  # one for all blank lines: a file may hold a million
    try:
        reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
        rows.extend(row or blank for row in reader)
    except csv.Error as error:
        report.fault(
            Place(file, len(rows) + 1),
            f"a row that cannot be split into cells ({error})",
            "quotation marks in pairs",
            "Close or remove the odd quotation mark.",
        )
    return "," if separator == ";" else ".", rows


def separator_of(text: str) -> str:
    """What separates the cells of the header row: a semicolon, a tab or else a comma."""
    lines = (line.strip() for line in text.splitlines())
    header = next((x for x in lines if x.strip(",;\t") and x.lstrip('"')[:1] != "#"), "")
    outside = re.sub(r'"[^"]*"', "", header)
    return next((sign for sign in ";\t" if sign in outside), ",")
