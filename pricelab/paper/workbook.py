"""What our spreadsheets share: text that stays text, formulas that carry their value, a look.

A formula is always written with the value it gives, since many readers do not work a file
out when they open it. The same figures give the same bytes.
"""

import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time

from pricelab.paper.safe_text import defused

INK, TINT = "#1f2a36", "#f4f1ec"

HEAD = {"bold": True, "bottom": 1, "text_wrap": True, "valign": "bottom"}
"""The style of a heading of a column."""

INPUT = {"bg_color": "#fff3c9", "border": 1}
"""The style of a cell to write in: shaded and framed, so that it is not known by colour alone."""


def workbook(title: str, on: date, write: Callable[..., None]) -> bytes:
    """The file of a workbook of the day `on`, which ``write(book)`` fills."""
    import xlsxwriter

    stream = io.BytesIO()
    as_text = ("strings_to_formulas", "strings_to_numbers", "strings_to_urls")
    options = {"in_memory": True, **dict.fromkeys(as_text, False)}
    with xlsxwriter.Workbook(stream, options) as book:
        day = datetime.combine(on, time())  # not the moment: the same list, the same bytes
        book.set_properties({"title": defused(title), "created": day})
        write(book)
    return stream.getvalue()


@dataclass(frozen=True)
class Look:
    """The formats of a workbook, made once each, and its sheets, which are written in them."""

    book: object
    decimals: int
    made: dict = field(default_factory=dict, repr=False)

    @property
    def money(self) -> str:
        """The number format of an amount."""
        return "#,##0" + ("." + "0" * self.decimals if self.decimals else "")

    def of(self, number: str | None = None, **more):
        """A format, with `number` as its number format."""
        wanted = {"font_name": "Arial", "font_size": 10, "font_color": INK, "valign": "top", **more}
        if number is not None:
            wanted["num_format"] = number
        key = tuple(sorted(wanted.items()))
        if key not in self.made:
            self.made[key] = self.book.add_format(wanted)
        return self.made[key]

    def page(self, name: str, title: str) -> "Page":
        """A new sheet by `name`, with a title in its first row, which is high enough for it."""
        page = Page(self.book.add_worksheet(name), self)
        page.sheet.set_row(0, 24)
        page.put(0, 0, title, bold=True, font_size=16)
        return page


@dataclass(frozen=True)
class Page:
    """A sheet of a workbook, written to by row and column, both from 0."""

    sheet: object
    look: Look

    def put(self, row: int, column: int, value, form=None, formula: str = "", **style) -> None:
        """Write a figure in a number format, or the `formula`, without its "=", that gives it.

        Text is written so that no spreadsheet will take it for a formula, a number or an address.
        """
        look = self.look.of(form, **style)
        if formula:
            self.sheet.write_formula(row, column, f"={formula}", look, value)
        elif isinstance(value, str):
            self.sheet.write_string(row, column, defused(value), look)
        else:
            self.sheet.write_number(row, column, value, look)

    def lines(self, row: int, lines: Sequence[str], *, over: int) -> None:
        """Write `lines` one under the other, each across `over` columns."""
        for at, line in enumerate(lines, row):
            self.sheet.merge_range(at, 0, at, over - 1, "", self.look.of(text_wrap=True))
            self.put(at, 0, line, text_wrap=True)
            self.sheet.set_row(at, 14 * (1 + len(line) // (13 * over)))


def round_half_up_formula(amount: str, decimals: int) -> str:
    """The spreadsheet's form of `money.round_half_up`: settled first, then rounded."""
    return f"ROUND(ROUND({amount},{decimals + 6}),{decimals})"
