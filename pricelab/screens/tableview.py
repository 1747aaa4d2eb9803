"""One of the shop's tables as it is shown: its columns with their units, its rows, its faults."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

from pricelab.files import settings
from pricelab.files.edits import Edits
from pricelab.files.explained import Explained, explained
from pricelab.files.faults import Fault
from pricelab.files.marks import NOTE, marked
from pricelab.files.tables import HEAT, MONEY, REQUIRED, Column
from pricelab.screens.html import sentence
from pricelab.screens.rowtable import Cell, Heading, Row

NAMES = {
    "shop": "Rates and rules", "blanks": "Blanks", "blank_prices": "What blanks cost",
    "methods": "Methods", "operations": "Minutes of work", "costs": "Other costs",
    "stitching": "Embroidery machine", "rolls": "Rolls of vinyl",
    "promotions": "Suppliers' dated offers",
}  # fmt: skip
"""The editable tables, as they are called on the screen."""

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
        name = self.name
        return self.edits.settings() if name == settings.FILE else self.edits.rows(name)

    @cached_property
    def headings(self) -> tuple[Heading, ...]:
        """The columns, with what each is in and how wide it is shown."""
        name, edits = self.name, self.edits
        if name == settings.FILE:
            return (Heading("setting", width=195), Heading("value", width=175),
                    Heading("what it is", width=355))  # fmt: skip
        told = explained(name)
        return tuple(
            Heading(
                column,
                self._unit(self._columns.get(column)),
                told[column].what if column in told else "",
                self._width(name, column),
            )
            for column in edits.headings(name)
        )

    def _width(self, name: str, column: str) -> int:
        """Room for the longest cell, within bounds; steady while a reader types."""
        start = self.start if name in self.start.sheets else self.edits
        cells = [start.cell(name, row, column) for row in start.rows(name)]
        known = self._columns.get(column)
        words = getattr(known.read, "words", ()) if known else ()
        longest = max(map(len, [column, *cells, *words]), default=0)
        arrow = 22 if words else 0
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
        name, edits = self.name, self.edits
        if name == settings.FILE:
            return self._setting(*at)
        told = explained(name)
        cells = []
        for heading in self.headings:
            known = self._columns.get(heading.name)
            cells.append(_cell(edits.cell(name, at, heading.name), known, told.get(heading.name)))
        return Row(at + 1, tuple(cells), marked(edits.cell(name, at, NOTE)))

    def _setting(self, name: str, row: int | None) -> Row:
        """A setting as it is shown: what it is called, its value, and what it is."""
        known = next((s for s in settings.SETTINGS if s.name == name), None)
        unit = self._unit(known)
        value = "" if row is None else self.edits.cell(settings.FILE, row, "value")
        told = explained(settings.FILE).get(name)
        is_marked = row is not None and marked(self.edits.cell(settings.FILE, row, NOTE))
        cells = (
            Cell(f"{name}, {unit}" if unit else name, fixed=True),
            _cell(value, known, told),
            Cell(told.what.partition(";")[0] if told else "", fixed=True),
        )
        return Row(0 if row is None else row + 1, cells, is_marked, removable=known is None)

    def marks(self, shown: Sequence, faults: Iterable[Fault]) -> dict[tuple[int, int], str]:
        """The cells of the rows `shown` that are at fault, each with why."""
        name, rows, headings = self.name, list(shown), self.headings
        names = [heading.name for heading in headings]
        if name == settings.FILE:
            rows = [row for _, row in rows]
        whys = {}
        for fault in faults:
            place = fault.place
            if place.file != f"{name}.csv" or place.row is None or place.row - 1 not in rows:
                continue
            at = names.index(place.column) if place.column in names else 0
            whys[rows.index(place.row - 1), at] = sentence(str(fault).removeprefix(f"{place}: "))
        return whys


def _cell(said: str, column: Column | None, told: Explained | None) -> Cell:
    """A cell with the words it may hold, or a hint of what it means empty."""
    words = getattr(column.read, "words", ()) if column else ()
    hint = ""
    if told is not None and column is not None and column.default is not REQUIRED:
        hint = re.sub(r"^(yes: |yes\b.*|only .*)", "", told.empty)
    if words:
        empty = () if column.default is REQUIRED and said else ("",)
        return Cell(said, (*empty, *words), hint=f"usual: {hint}" if hint in words else hint)
    return Cell(said, hint=hint)
