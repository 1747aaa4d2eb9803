"""What our spreadsheets share: text that stays text, formulas that carry their value, a look.

A formula is always written with the value it gives, since many readers do not work a file
out when they open it. The same figures give the same bytes.
"""

import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time

from pricelab.paper.safe_text import defused

INK, TINT, INPUT = "#1f2a36", "#f4f1ec", "#fff3c9"


def workbook(title: str, on: date, write: Callable[..., None]) -> bytes:
    """The file of a workbook of the day `on`, which ``write(book)`` fills."""
    import xlsxwriter

    stream = io.BytesIO()
    options = {
        "in_memory": True,
        "strings_to_formulas": False,
        "strings_to_numbers": False,
        "strings_to_urls": False,
    }
    with xlsxwriter.Workbook(stream, options) as book:
        day = datetime.combine(on, time())  # not the moment: the same list, the same bytes
        book.set_properties({"title": defused(title), "created": day})
        write(book)
    return stream.getvalue()


@dataclass(frozen=True)
class Look:
    """The formats of a workbook, made once each."""

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

    def head(self, **more):
        """A heading of a column."""
        return self.of(bold=True, bottom=1, text_wrap=True, valign="bottom", **more)

    def input(self, number: str | None = None):
        """A cell to write in: shaded and framed, so that it is not known by colour alone."""
        return self.of(number, bg_color=INPUT, border=1)


def write_title(sheet, row: int, text: str, look: Look) -> None:
    """Write the name at the top of a sheet, in a row high enough for it."""
    sheet.set_row(row, 24)
    write_text(sheet, row, 0, text, look.of(bold=True, font_size=16))


def write_text(sheet, row: int, column: int, text: str, style) -> None:
    """Write text that no spreadsheet will take for a formula, a number or an address."""
    sheet.write_string(row, column, defused(text), style)


def write_lines(sheet, row: int, lines: Sequence[str], style, *, over: int = 8) -> int:
    """Write `lines` one under the other, each across `over` columns; the row after them."""
    wide = 13 * over
    for line in lines:
        sheet.merge_range(row, 0, row, over - 1, "", style)
        write_text(sheet, row, 0, line, style)
        sheet.set_row(row, 14 * (1 + len(line) // wide))
        row += 1
    return row


def round_half_up_formula(amount: str, decimals: int) -> str:
    """The spreadsheet's form of `money.round_half_up`: settled first, then rounded."""
    return f"ROUND(ROUND({amount},{decimals + 6}),{decimals})"
