"""A table whose every cell can be typed in."""

from collections.abc import Mapping

import ipywidgets as widgets
import traitlets

from pricelab.screens.controls import Control


class Boxes(widgets.GridBox):
    """The cells' boxes, and what stands in them."""

    value = traitlets.Tuple()


class CellTable(Control):
    """Rows of cells, the first row and column naming the others; `mark` marks some."""

    def __init__(self, label: str):
        self._label = label
        self.widget = Boxes()
        self.answer, self.words = widgets.HTML(), ""
        self._caption = widgets.HTML()
        self.box = widgets.VBox([self._caption, self.widget, self.answer]).add_class("pl-cells")
        self._boxes: list[list[widgets.Text]] = []
        self.widget.observe(self._show, "value")

    @property
    def label(self) -> str:
        """The words over the table."""
        return self._label

    def put(self, row: int, column: int, text: str) -> None:
        """Write into one cell, as a reader does by hand."""
        self._boxes[row][column].value = text

    def mark(self, whys: Mapping[tuple[int, int], str]) -> None:
        """Mark the cells that `whys` names, each with the reason, and no others."""
        for r, row in enumerate(self._boxes):
            for c, box in enumerate(row):
                why = whys.get((r, c))
                (box.add_class if why else box.remove_class)("pl-doubt")
                said = f"row {r}, column {c}" if r and c else "size" if r else "quantity"
                box.placeholder = "?" if why else ""
                box.tooltip = f"{said}. {why}" if why else said

    def _show(self, change) -> None:
        """Make boxes for a table of another shape; write into those whose text is another."""
        if [len(row) for row in change.new] != [len(row) for row in self._boxes]:
            self._boxes = [[self._box() for _ in row] for row in change.new]
            if self._boxes:
                self._boxes[0][0].disabled = True
            width = max(map(len, change.new), default=1)
            self.widget.layout.grid_template_columns = f"120px repeat({width - 1}, 76px)"
            self.widget.children = [box for row in self._boxes for box in row]
            self._caption.value = self._label if change.new else ""
        for row, boxes in zip(change.new, self._boxes, strict=True):
            for text, box in zip(row, boxes, strict=True):
                if box.value != text:
                    box.value = text

    def _box(self) -> widgets.Text:
        box = widgets.Text(continuous_update=False, layout={"width": "auto"})
        box.observe(self._typed, "value")
        return box

    def _typed(self, change) -> None:
        """Take what was typed; while the table is being filled, cells are as they will be."""
        for r, row in enumerate(self._boxes):
            for c, box in enumerate(row):
                if box is change.owner and self.widget.value[r][c] != change.new:
                    cells = [list(cells) for cells in self.widget.value]
                    cells[r][c] = change.new
                    self.widget.value = tuple(map(tuple, cells))
