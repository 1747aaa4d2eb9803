"""Tables whose every cell can be typed in."""

from collections.abc import Mapping

import ipywidgets as widgets
import traitlets

from pricelab.screens.controls import Control


class Boxes(widgets.GridBox):
    """The cells' boxes, and what stands in them."""

    value = traitlets.Tuple()


class BoxTable(Control):
    """A table of boxes, `boxes[row][column]`."""

    boxes: list[list[widgets.Widget]]

    def __init__(self, label: str):
        self._label, self.boxes = label, []
        self.widget, self.answer, self.words = Boxes(), widgets.HTML(), ""

    @property
    def label(self) -> str:
        """What the table is."""
        return self._label

    def put(self, row: int, column: int, text: str) -> None:
        """Write into one cell, as a reader does by hand."""
        self.boxes[row][column].value = text

    def _place(self, box: widgets.Widget) -> tuple[int, int] | None:
        """The row and the column of a box; none of one that is gone."""
        return next(((r, row.index(box)) for r, row in enumerate(self.boxes) if box in row), None)

    def mark(self, whys: Mapping[tuple[int, int], str]) -> None:
        """Mark the cells that `whys` names, each with the reason, and no others."""
        for r, row in enumerate(self.boxes):
            for c, box in enumerate(row):
                why, name = whys.get((r, c)), self._name(r, c)
                (box.add_class if why else box.remove_class)("pl-doubt")
                box.tooltip = f"{name}. {why}" if why else name


class CellTable(BoxTable):
    """Rows of cells, the first row and column naming the others."""

    def __init__(self, label: str):
        super().__init__(label)
        self._caption = widgets.HTML()
        self.box = widgets.VBox([self._caption, self.widget, self.answer]).add_class("pl-cells")
        self.widget.observe(self._show, "value")

    def _name(self, row: int, column: int) -> str:
        if row and column:
            return f"row {row}, column {column}"
        return "size" if row else "quantity"

    def mark(self, whys: Mapping[tuple[int, int], str]) -> None:
        """The same; an empty box that is marked shows a question mark."""
        super().mark(whys)
        for r, row in enumerate(self.boxes):
            for c, box in enumerate(row):
                box.placeholder = "?" if (r, c) in whys else ""

    def _show(self, change) -> None:
        """Make boxes for a table of another shape; write into those whose text is another."""
        if [len(row) for row in change.new] != [len(row) for row in self.boxes]:
            self.boxes = [[self._box() for _ in row] for row in change.new]
            if self.boxes:
                self.boxes[0][0].disabled = True
            width = max(map(len, change.new), default=1)
            self.widget.layout.grid_template_columns = f"120px repeat({width - 1}, 76px)"
            self.widget.children = [box for row in self.boxes for box in row]
            self._caption.value = self._label if change.new else ""
        for row, boxes in zip(change.new, self.boxes, strict=True):
            for text, box in zip(row, boxes, strict=True):
                box.value = text

    def _box(self) -> widgets.Text:
        box = widgets.Text(continuous_update=False, layout={"width": "auto"})
        box.observe(self._typed, "value")
        return box

    def _typed(self, change) -> None:
        """Take what was typed; while the table is being filled, cells are as they will be."""
        at = self._place(change.owner)
        if at:
            cells = [list(cells) for cells in self.widget.value]
            cells[at[0]][at[1]] = change.new
            self.widget.value = tuple(map(tuple, cells))
