"""How the sheets of an XLSX file look to a reader: what is struck out, hidden, or shown rounded."""

import io
import re
import zipfile
from dataclasses import dataclass, field
from decimal import ROUND_HALF_UP, Decimal

from pricelab.files.xlsx_file import cells_of, unwarned

_TAG = rb"<(?:\w{1,9}:)?%s\b([^<>]{0,400})>"
_ROW, _COLUMN = re.compile(_TAG % b"row"), re.compile(_TAG % b"col")
_HIDDEN = re.compile(rb'\bhidden="(?:1|true)"')
_UNREAD = re.compile(r'"[^"]*"|\\.|\[[^\]]*\]|[_*].')
_DECIMALS = re.compile(r"[^%/@E]*?[0#?]\.([0#?]+)[^%/@E0#?]*")


@dataclass(frozen=True)
class Looks:
    """What a sheet's reader sees otherwise than its cells hold; rows and columns from 0."""

    struck: set[tuple[int, int]] = field(default_factory=set)
    rounded: dict[tuple[int, int], str] = field(default_factory=dict)
    rows: set[int] = field(default_factory=set)
    columns: set[int] = field(default_factory=set)


def sheet_names(content: bytes) -> list[str]:
    """The names of the sheets, hidden ones too, in their order."""
    from openpyxl import load_workbook

    with unwarned():
        return [
            sheet.title for sheet in load_workbook(io.BytesIO(content), read_only=True).worksheets
        ]


def looks_of(content: bytes, sheet: int) -> Looks:
    """How a sheet of a readable file looks."""
    from openpyxl import load_workbook

    looks = Looks()
    with unwarned():
        opened = load_workbook(io.BytesIO(content), read_only=True, data_only=True).worksheets[
            sheet
        ]
        for row, cells in enumerate(cells_of(opened)):
            for at, cell in enumerate(cells):
                if cell.value not in (None, "") and cell.font.strike:
                    looks.struck.add((row, at))
                shown = shown_rounded(cell.value, cell.number_format or "")
                if shown:
                    looks.rounded[row, at] = shown
    with zipfile.ZipFile(io.BytesIO(content)) as parts:
        part = parts.read(opened._worksheet_path)
    for found in _ROW.findall(part):
        if _HIDDEN.search(found):
            looks.rows.update(range(_number(found, b"r") - 1, _number(found, b"r")))
    for found in _COLUMN.findall(part):
        if _HIDDEN.search(found):
            looks.columns.update(range(_number(found, b"min") - 1, _number(found, b"max")))
    return looks


def _number(tag: bytes, name: bytes) -> int:
    """A number that a tag gives; 0 where it gives none."""
    found = re.search(rb'\b%s="([0-9]{1,5})"' % name, tag)
    return int(found[1]) if found else 0


def shown_rounded(value: object, number_format: str) -> str:
    """A figure as it is shown where it has more decimals than are shown, else ''.

    >>> shown_rounded(3.9512, '"$"#,##0.00'), shown_rounded(3.9, "0.00"), shown_rounded(3.95, "0%")
    ('3.95', '', '')
    """
    found = _DECIMALS.fullmatch(_UNREAD.sub("", number_format.partition(";")[0]))
    if not found or isinstance(value, bool) or not isinstance(value, int | float):
        return ""
    exact = Decimal(f"{value:.15g}")
    shown = exact.quantize(Decimal(1).scaleb(-len(found[1])), ROUND_HALF_UP)
    return f"{shown:f}" if shown != exact else ""
