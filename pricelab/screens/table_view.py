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
        return tuple(
            Heading(
                column,
                self._unit(column),
                self._told[column].what if column in self._told else "",
                self._width(column),
            )
            for column in self.edits.headings(self.name)
        )

    @cached_property
    def _columns(self) -> dict[str, Column]:
        """What is known of each column, or setting: how it is read, and its unit."""
        columns = SETTINGS if self.of_settings else self.edits.columns(self.name)
        return {column.name: column for column in columns}

    @cached_property
    def _told(self) -> dict[str, Explained]:
        return explained(self.name)

    def _unit(self, column: str) -> str:
        """The unit in the words of the shop, such as "USD a piece"."""
        unit = self._columns[column].unit if column in self._columns else ""
        heat = self.edits.setting("heat unit") or "°F"
        return unit.replace(MONEY, self.edits.setting("currency")).replace(HEAT, heat)

    def _words(self, column: str) -> tuple[str, ...]:
        """The words that its cells may hold; none where they are typed."""
        return getattr(self._columns[column].read, "words", ()) if column in self._columns else ()

    def _hint(self, column: str) -> str:
        """What a cell of it left empty means."""
        if column not in self._told or not self._optional(column):
            return ""
        return re.sub(r"^(yes: |yes\b.*|only .*)", "", self._told[column].empty)

    def _optional(self, column: str) -> bool:
        return column in self._columns and self._columns[column].default is not REQUIRED

    def _width(self, column: str) -> int:
        """Room for the longest cell, within bounds; steady while a reader types."""
        start = self.start if self.name in self.start.sheets else self.edits
        cells = [start.cell(self.name, row, column) for row in start.rows(self.name)]
        words = self._words(column)
        shown = [*words, self._hint(column)] if words else []  # the hint is an empty choice
        longest = max(map(len, [column, *cells, *shown]))
        arrow = 22 if words else 0
        return int(min(max(_LEAST_WIDE, 22 + arrow + _LETTER * longest), _MOST_WIDE))

    def row(self, at) -> Row:
        """A row as it is shown; a setting by what it is called, its value, and what it is."""
        if not self.of_settings:
            names = [heading.name for heading in self.headings]
            cells = tuple(self._cell(self._text(at, name), name) for name in names)
            return Row(at + 1, cells, marked(self._text(at, NOTE)))
        name, row = at
        unit, what = self._unit(name), self._told[name].what if name in self._told else ""
        cells = (
            Cell(name if not unit or name.endswith(unit) else f"{name}, {unit}", fixed=True),
            self._cell(self._text(row, "value"), name),
            Cell(what.partition(";")[0], fixed=True),
        )
        number, known = 0 if row is None else row + 1, name in self._columns
        return Row(number, cells, marked(self._text(row, NOTE)), removable=not known)

    def _text(self, row: int | None, column: str) -> str:
        return "" if row is None else self.edits.cell(self.name, row, column)

    def _cell(self, said: str, column: str) -> Cell:
        """A cell with the words it may hold, or a hint of what it means empty."""
        words, hint = self._words(column), self._hint(column)
        if not words:
            return Cell(said, hint=hint)
        empty = ("",) if self._optional(column) or not said else ()
        return Cell(said, (*empty, *words), hint=f"usual: {hint}" if hint in words else hint)

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
