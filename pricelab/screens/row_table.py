"""A table of a shop's file to type in, with words to choose, and rows to add and remove."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import ipywidgets as widgets

from pricelab.screens.cell_table import Boxes
from pricelab.screens.controls import Control
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


class RowTable(Control):
    """Boxes for every cell: `typed` is told row, column and text, `remove` a row, from 0."""

    def __init__(
        self, label: str, typed: Callable[[int, int, str], None], remove: Callable[[int], None]
    ):
        self._label, self._typed, self._remove = label, typed, remove
        self.widget = Boxes()
        self.answer, self.words = widgets.HTML(), ""
        self.box = widgets.VBox([self.answer, self.widget]).add_class("pl-rows")
        self._headings: tuple[Heading, ...] = ()
        self._boxes: list[list[widgets.Widget]] = []
        self._names: list[str] = []
        self._filling = False
        self._shared: dict[type, dict[str, object]] = {}

    @property
    def label(self) -> str:
        """What the table is."""
        return self._label

    @property
    def value(self) -> tuple[tuple[str, ...], ...]:
        """What stands in the cells."""
        return tuple(
            tuple(box.value for box in row[1 : 1 + len(self._headings)]) for row in self._boxes
        )

    def put(self, row: int, column: int, said: str) -> None:
        """Write into one cell, as a reader does by hand."""
        self._boxes[row][1 + column].value = said

    def press_remove(self, row: int) -> None:
        """Remove a row, as a reader does by hand."""
        self._boxes[row][-1].click()

    def go_to_last(self) -> None:
        """Put the cursor into the first cell of the last row."""
        if self._boxes:
            self._boxes[-1][1].focus()

    def fill(self, headings: Sequence[Heading], rows: Sequence[Row]) -> None:
        """Show these rows; boxes that fit are kept, so that the cursor stays where it is."""
        self._filling = True
        try:
            headings = tuple(headings)
            fresh = headings != self._headings
            old, self._headings = ([] if fresh else self._boxes), headings
            if fresh:
                self._tops = [_top(Heading("")), *map(_top, headings), _top(Heading(""))]
                self._tops[0].add_class("pl-number")
                self._tops[1].add_class("pl-first")
            self._boxes = [
                self._row(at, row, old[at] if at < len(old) else None)
                for at, row in enumerate(rows)
            ]
            self._names = [
                row.cells[0].text if row.cells[0].fixed else f"row {at + 1} shown"
                for at, row in enumerate(rows)
            ]
            children = [*self._tops, *(box for row in self._boxes for box in row)]
            if fresh:  # another grid at once, not this one's boxes in other columns for a while
                widths = " ".join(
                    f"minmax({heading.least or heading.width}px, {heading.width}px)"
                    for heading in headings
                )
                layout = {"grid_template_columns": f"34px {widths} 30px"}
                self.widget = Boxes(children=children, layout=layout)
                self.box.children = [self.answer, self.widget]
            elif list(self.widget.children) != children:
                self.widget.children = children
        finally:
            self._filling = False

    def mark(self, whys: Mapping[tuple[int, int], str]) -> None:
        """Mark the cells that `whys` names, each with the reason, and no others."""
        for r, row in enumerate(self._boxes):
            for c, (box, heading) in enumerate(
                zip(row[1 : 1 + len(self._headings)], self._headings, strict=True)
            ):
                why = whys.get((r, c))
                (box.add_class if why else box.remove_class)("pl-doubt")
                said = f"{heading.name}, {self._names[r]}"
                box.tooltip = f"{said}. {why}" if why else said

    def _row(self, at: int, row: Row, old: list[widgets.Widget] | None) -> list[widgets.Widget]:
        boxes = [self._box(cell, old[1 + c] if old else None) for c, cell in enumerate(row.cells)]
        boxes[0].add_class("pl-first")
        number = old[0] if old else widgets.HTML().add_class("pl-number")
        number.value = str(row.number or "")
        last = self._last(at, row, old[-1] if old else None)
        for box in boxes:
            (box.add_class if row.marked else box.remove_class)("pl-replace")
        return [number, *boxes, last]

    def _last(self, at: int, row: Row, old: widgets.Widget | None) -> widgets.Widget:
        """The button that removes a row, or nothing."""
        if isinstance(old, widgets.Button if row.removable else widgets.HTML):
            return old
        if not row.removable:
            return widgets.HTML()
        button = self._new(widgets.Button, description="×", tooltip="Remove this row")
        button.add_class("pl-remove")
        button.on_click(lambda _: self._remove(at))
        return button

    def _box(self, cell: Cell, old: widgets.Widget | None) -> widgets.Widget:
        """A box that shows the cell: the old one where it is of the same kind."""
        if cell.fixed:
            box = old if isinstance(old, widgets.HTML) else widgets.HTML().add_class("pl-fixed")
            box.value = text(cell.text)
            return box
        if cell.choices:
            words = dict.fromkeys([*cell.choices, cell.text])  # one that will not do is shown too
            options = [(word or cell.hint or NOTHING, word) for word in words]
            if isinstance(old, widgets.Dropdown):
                if list(old.options) != options:
                    old.options = options
                old.value = cell.text
                return old
            box = self._new(widgets.Dropdown, options=options, value=cell.text)
        elif isinstance(old, widgets.Text):
            old.value, old.placeholder = cell.text, cell.hint
            return old
        else:
            box = self._new(
                widgets.Text, value=cell.text, continuous_update=False, placeholder=cell.hint
            )
        box.observe(self._take_typed, "value")
        return box

    def _new(self, kind: type[widgets.Widget], **how) -> widgets.Widget:
        """A box; all of a kind share one layout and one style: a browser is slow with many."""
        shared = self._shared.get(kind, {"layout": {"width": "auto"}})
        box = kind(**shared, **how)
        self._shared[kind] = {"layout": box.layout, "style": box.style}
        return box

    def _take_typed(self, change) -> None:
        if self._filling:
            return
        for r, row in enumerate(self._boxes):
            for c, box in enumerate(row[1:-1]):
                if box is change.owner:
                    self._typed(r, c, change.new or "")  # a choice may be left without any
                    return


def _top(heading: Heading) -> widgets.HTML:
    unit = f"<span>{text(heading.unit)}</span>" if heading.unit else ""
    return widgets.HTML(
        f'<div title="{text(heading.what)}"><b>{text(heading.name)}</b>{unit}</div>'
    ).add_class("pl-top")
