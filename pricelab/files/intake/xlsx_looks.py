"""How a sheet of an XLSX file looks to its reader: what is struck out, hidden, or shown rounded."""

import io
import re
import zipfile
from collections.abc import Iterator
from decimal import ROUND_HALF_UP, Decimal

from pricelab.files.raw_table import column_letter
from pricelab.files.xlsx_file import cells_of, unwarned

_MOST_TOLD = 8
_HIDDEN = re.compile(rb'\bhidden="(?:1|true)"')
_UNREAD = re.compile(r'"[^"]*"|\\.|\[[^\]]*\]|[_*].')
_DECIMALS = re.compile(r"[^%/@E]*?[0#?]\.([0#?]+)[^%/@E0#?]*")


def sheet_names(content: bytes) -> list[str]:
    """The names of the sheets, hidden ones too, in their order."""
    from openpyxl import load_workbook

    with unwarned():
        book = load_workbook(io.BytesIO(content), read_only=True)
        return [sheet.title for sheet in book.worksheets]


def make_as_seen(cells: list[list[str]], content: bytes, sheet: int) -> list[str]:
    """Bring the cells of a readable sheet to what its reader sees; sentences on what changed."""
    from openpyxl import load_workbook

    rounded = False
    with unwarned():
        book = load_workbook(io.BytesIO(content), read_only=True, data_only=True)
        opened = book.worksheets[sheet]
        for texts, row in zip(cells, cells_of(opened), strict=True):
            for at, cell in enumerate(row[: len(texts)]):
                if shown := shown_rounded(cell.value, cell.number_format or ""):
                    texts[at], rounded = shown, True
                if texts[at] and cell.font.strike:
                    texts[at] = f"~~{texts[at]}~~"  # as text shows it, and no price
    with zipfile.ZipFile(io.BytesIO(content)) as parts:
        part = parts.read(opened._worksheet_path)
    rows, columns = (
        set(_hidden(part, b"row", b"r", b"r")),
        set(_hidden(part, b"col", b"min", b"max")),
    )
    hidden = [
        (row, at)
        for row, texts in enumerate(cells)
        for at, text in enumerate(texts)
        if text and (row in rows or at in columns)
    ]
    for row, at in hidden:
        cells[row][at] = ""
    places = [f"row {row + 1}" for row in sorted({row for row, _ in hidden} & rows)]
    places += [f"column {column_letter(at)}" for at in sorted({at for _, at in hidden} & columns)]
    places[_MOST_TOLD:] = ["and more"] if places[_MOST_TOLD:] else []
    said = [f"Left out, for the spreadsheet hides it: {', '.join(places)}."] if places else []
    if rounded:
        said.append("Figures are read as the spreadsheet shows them; it holds more decimals.")
    return said


def _hidden(part: bytes, kind: bytes, first: bytes, last: bytes) -> Iterator[int]:
    """Which rows or columns a sheet's tags of a kind hide, from 0."""
    for tag in re.findall(rb"<(?:\w{1,9}:)?%s\b([^<>]{0,400})>" % kind, part):
        ends = [re.search(rb'\b%s="([0-9]{1,5})"' % name, tag) for name in (first, last)]
        if _HIDDEN.search(tag) and all(ends):
            yield from range(int(ends[0][1]) - 1, int(ends[1][1]))


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
