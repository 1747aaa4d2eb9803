"""A table of a shop's file to type in, with words to choose, and rows to add and remove."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import ipywidgets as widgets

from pricelab.screens.cell_table import Boxes, BoxTable
from pricelab.screens.html import text

NOTHING = "–"
"""How an empty choice is shown that means nothing in particular."""


@dataclass(frozen=True)
class Heading:
    """A column: its name, the unit under it, what it is, how wide it is (`least`: at least)."""

    name: str
    unit: str = ""
    what: str = ""
    width: int = 90
    least: int | None = None


@dataclass(frozen=True)
class Cell:
    """A cell as shown: typed, chosen from `choices`, or `fixed`; `hint` is what empty means."""

    text: str
    choices: tuple[str, ...] = ()
    fixed: bool = False
    hint: str = ""


@dataclass(frozen=True)
class Row:
    """A row by its number in the file (0: not in it yet); `marked` rows are tinted."""

    number: int
    cells: tuple[Cell, ...]
    marked: bool = False
    removable: bool = True


class RowTable(BoxTable):
    """Boxes for every cell: `typed` is told row, column and text, `remove` a row, from 0."""

    def __init__(
        self, label: str, typed: Callable[[int, int, str], None], remove: Callable[[int], None]
    ):
        super().__init__(label)
        self._typed, self._remove = typed, remove
        self.box = widgets.VBox([self.answer, self.widget]).add_class("pl-rows")
        self._headings: tuple[Heading, ...] = ()
        self._lines: list[list[widgets.Widget]] = []  # a row's number, its boxes, its button
        self._names: list[str] = []
        self._filling = False
        self._shared: dict[type, dict[str, object]] = {}

    @property
    def value(self) -> tuple[tuple[str, ...], ...]:
        """What stands in the cells."""
        return tuple(tuple(box.value for box in row) for row in self.boxes)

    def _name(self, row: int, column: int) -> str:
        return f"{self._headings[column].name}, {self._names[row]}"

    def press_remove(self, row: int) -> None:
        """Remove a row, as a reader does by hand."""
        self._lines[row][-1].click()

    def go_to_last(self) -> None:
        """Put the cursor into the first cell of the last row."""
        if self.boxes:
            self.boxes[-1][0].focus()

    def fill(self, headings: tuple[Heading, ...], rows: Sequence[Row]) -> None:
        """Show these rows; boxes that fit are kept, so that the cursor stays where it is."""
        self._filling = True
        try:
            self._fill(headings, rows)
        finally:
            self._filling = False

    def _fill(self, headings: tuple[Heading, ...], rows: Sequence[Row]) -> None:
        fresh = headings != self._headings
        if fresh:
            self._headings, self._lines = headings, []
            self._tops = [_top(Heading("")), *map(_top, headings), _top(Heading(""))]
            self._tops[0].add_class("pl-number")
            self._tops[1].add_class("pl-first")
        old = [*self._lines, *[None] * len(rows)]
        self._lines = [self._line(at, row, old[at]) for at, row in enumerate(rows)]
        self.boxes = [line[1:-1] for line in self._lines]
        self._names = [
            row.cells[0].text if row.cells[0].fixed else f"row {at} shown"
            for at, row in enumerate(rows, 1)
        ]
        children = [*self._tops, *(box for line in self._lines for box in line)]
        if fresh:  # another grid at once, not this one's boxes in other columns for a while
            widths = " ".join(
                f"minmax({one.least or one.width}px, {one.width}px)" for one in headings
            )
            layout = {"grid_template_columns": f"34px {widths} 30px"}
            self.widget = Boxes(children=children, layout=layout)
            self.box.children = [self.answer, self.widget]
        elif list(self.widget.children) != children:
            self.widget.children = children

    def _line(self, at: int, row: Row, old: list[widgets.Widget] | None) -> list[widgets.Widget]:
        number, *olds, last = old or [None] * (len(row.cells) + 2)
        number = number or widgets.HTML().add_class("pl-number")
        number.value = str(row.number or "")
        boxes = [self._box(cell, box) for cell, box in zip(row.cells, olds, strict=True)]
        boxes[0].add_class("pl-first")
        for box in boxes:
            (box.add_class if row.marked else box.remove_class)("pl-replace")
        return [number, *boxes, self._last(at, row, last)]

    def _last(self, at: int, row: Row, old: widgets.Widget | None) -> widgets.Widget:
        """The button that removes a row, or nothing."""
        if isinstance(old, widgets.Button if row.removable else widgets.HTML):
            return old
        if not row.removable:
            return widgets.HTML()
        button = self._new(widgets.Button, description="×", tooltip="Remove this row")
        button.on_click(lambda _: self._remove(at))
        return button.add_class("pl-remove")

    def _box(self, cell: Cell, old: widgets.Widget | None) -> widgets.Widget:
        """A box that shows the cell: the old one where it is of the same kind."""
        kind, shows = widgets.Text, {"value": cell.text, "placeholder": cell.hint}
        if cell.fixed:
            kind, shows = widgets.HTML, {"value": text(cell.text)}
        elif cell.choices:
            words = dict.fromkeys([*cell.choices, cell.text])  # one that will not do is shown too
            options = tuple((word or cell.hint or NOTHING, word) for word in words)
            kind, shows = widgets.Dropdown, {"options": options, "value": cell.text}
        if type(old) is kind:
            for name, value in shows.items():
                if getattr(old, name) != value:
                    setattr(old, name, value)
            return old
        if cell.fixed:
            return widgets.HTML(**shows).add_class("pl-fixed")
        box = self._new(kind, **shows)
        if kind is widgets.Text:
            box.continuous_update = False
        box.observe(self._take_typed, "value")
        return box

    def _new(self, kind: type[widgets.Widget], **how) -> widgets.Widget:
        """A box; all of a kind share one layout and one style: a browser is slow with many."""
        shared = self._shared.get(kind, {"layout": {"width": "auto"}})
        box = kind(**shared, **how)
        self._shared[kind] = {"layout": box.layout, "style": box.style}
        return box

    def _take_typed(self, change) -> None:
        at = self._place(change.owner)
        if at and not self._filling:
            self._typed(*at, change.new or "")  # a choice may be left without any


def _top(heading: Heading) -> widgets.HTML:
    unit = f"<span>{text(heading.unit)}</span>" if heading.unit else ""
    return widgets.HTML(
        f'<div title="{text(heading.what)}"><b>{text(heading.name)}</b>{unit}</div>'
    ).add_class("pl-top")
