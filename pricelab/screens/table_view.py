"""One of the shop's tables as it is shown: its columns with their units, its rows, its faults."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

from pricelab.files.edits import Edits
from pricelab.files.explained import Explained, explained
from pricelab.files.faults import Fault
from pricelab.files.marks import NOTE, marked
from pricelab.files.schema import HEAT, MONEY, REQUIRED, SETTINGS, Column
from pricelab.screens.html import sentence
from pricelab.screens.row_table import Cell, Heading, Row

NAMES = {
    "shop": "Rates and rules",
    "blanks": "Blanks",
    "blank_prices": "What blanks cost",
    "methods": "Methods",
    "operations": "Minutes of work",
    "costs": "Other costs",
    "stitching": "Embroidery machine",
    "rolls": "Rolls of vinyl",
    "promotions": "Suppliers' dated offers",
}
"""The editable tables, as they are called on the screen."""

MOST_BOXES = 260
"""A larger table is cut into pages: a browser is slow with so many boxes."""

_LEAST_WIDE, _MOST_WIDE = 74, 220
_LETTER = 7.6  # pixels


@dataclass(frozen=True)
class TableView:
    """A table of the folder as edited; widths go by what it held at the `start`.

    A row goes by its number from 0, a setting by its name and its row (None: it has none).
    """

    name: str
    edits: Edits
    start: Edits

    @property
    def rows(self) -> tuple:
        """Every row of the table: a row's number from 0, or of a setting its name and row."""
        return self.edits.settings() if self.of_settings else self.edits.rows(self.name)

    @property
    def of_settings(self) -> bool:
        """Whether the rows are settings: one box in each, and none to be added."""
        return self.name == "shop"

    @property
    def _rows_a_page(self) -> int:
        return max(1, MOST_BOXES // (1 if self.of_settings else len(self.headings)))

    @property
    def pages(self) -> dict[str, int]:
        """The pages, from 0, by the rows on them, from 1."""
        each, count = self._rows_a_page, len(self.rows)
        starts = range(0, count, each)
        if len(starts) < 2:
            return {"all": 0}
        return {f"{start + 1}–{min(start + each, count)}": at for at, start in enumerate(starts)}

    def page(self, at: int) -> tuple:
        """The rows on a page."""
        return self.rows[at * self._rows_a_page :][: self._rows_a_page]

    def with_text(self, at, column: int, text: str) -> Edits:
        """The edits with another text in a row's cell, counted from 0."""
        if self.of_settings:
            return self.edits.with_setting(at[0], text)
        return self.edits.typed(self.name, at, self.headings[column].name, text)

    def without(self, at) -> Edits:
        """The edits without a row and what goes with it."""
        return self.edits.without(self.name, at[1] if self.of_settings else at)

    @cached_property
    def headings(self) -> tuple[Heading, ...]:
        """The columns, with what each is in and how wide it is shown."""
        if self.of_settings:
            return (
                Heading("setting", width=195),
                Heading("value", width=175),
                Heading("what it is", width=355, least=150),
            )
        told = explained(self.name)
        return tuple(
            Heading(
                column,
                self._unit(self._columns.get(column)),
                told[column].what if column in told else "",
                self._width(column),
            )
            for column in self.edits.headings(self.name)
        )

    def _width(self, column: str) -> int:
        """Room for the longest cell, within bounds; steady while a reader types."""
        start = self.start if self.name in self.start.sheets else self.edits
        cells = [start.cell(self.name, row, column) for row in start.rows(self.name)]
        known = self._columns.get(column)
        words = getattr(known.read, "words", ()) if known else ()
        if words:  # what an empty choice is shown as
            words = (*words, _hint(known, explained(self.name).get(column)))
        arrow = 22 if words else 0
        longest = max(map(len, [column, *cells, *words]), default=0)
        return int(min(max(_LEAST_WIDE, 22 + arrow + _LETTER * longest), _MOST_WIDE))

    @cached_property
    def _columns(self) -> dict[str, Column]:
        return {column.name: column for column in self.edits.columns(self.name)}

    def _unit(self, column: Column | None) -> str:
        """The unit in the words of the shop, such as "USD a piece"."""
        if column is None:
            return ""
        currency = self.edits.setting("currency")
        heat = self.edits.setting("heat unit") or "°F"
        return column.unit.replace(MONEY, currency).replace(HEAT, heat)

    def row(self, at) -> Row:
        """A row as it is shown."""
        if self.of_settings:
            return self._setting(*at)
        told = explained(self.name)
        cells = tuple(
            _cell(self._text(at, column), self._columns.get(column), told.get(column))
            for column in (heading.name for heading in self.headings)
        )
        return Row(at + 1, cells, marked(self._text(at, NOTE)))

    def _text(self, row: int | None, column: str) -> str:
        return "" if row is None else self.edits.cell(self.name, row, column)

    def _setting(self, name: str, row: int | None) -> Row:
        """A setting as it is shown: what it is called, its value, and what it is."""
        known = next((s for s in SETTINGS if s.name == name), None)
        unit, told = self._unit(known), explained("shop").get(name)
        cells = (
            Cell(name if not unit or name.endswith(unit) else f"{name}, {unit}", fixed=True),
            _cell(self._text(row, "value"), known, told),
            Cell(told.what.partition(";")[0] if told else "", fixed=True),
        )
        number = 0 if row is None else row + 1
        return Row(number, cells, marked(self._text(row, NOTE)), removable=known is None)

    def marks(self, shown: Sequence, faults: Iterable[Fault]) -> dict[tuple[int, int], str]:
        """The cells of the rows `shown` that are at fault, each with why."""
        names = [heading.name for heading in self.headings]
        rows = [at[1] if self.of_settings else at for at in shown]
        whys = {}
        for fault in faults:
            why = sentence(str(fault).removeprefix(f"{fault.place}: "))
            for place in (fault.place, *fault.also):
                if place.file == f"{self.name}.csv" and place.row and place.row - 1 in rows:
                    at = names.index(place.column) if place.column in names else 0
                    whys[rows.index(place.row - 1), at] = why
        return whys


def _hint(column: Column | None, told: Explained | None) -> str:
    """What a cell left empty means."""
    if told is None or column is None or column.default is REQUIRED:
        return ""
    return re.sub(r"^(yes: |yes\b.*|only .*)", "", told.empty)


def _cell(said: str, column: Column | None, told: Explained | None) -> Cell:
    """A cell with the words it may hold, or a hint of what it means empty."""
    words = getattr(column.read, "words", ()) if column else ()
    hint = _hint(column, told)
    if words:
        empty = () if column.default is REQUIRED and said else ("",)
        return Cell(said, (*empty, *words), hint=f"usual: {hint}" if hint in words else hint)
    return Cell(said, hint=hint)
