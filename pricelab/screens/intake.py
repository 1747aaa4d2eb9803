"""The owner's panel that takes in a supplier's sheet: paste it, compare, mend, save."""

from collections.abc import Sequence

import ipywidgets as widgets

from pricelab.files.cells import day
from pricelab.files.clock import now, today
from pricelab.files.intake.pasted_grid import Doubt, Reading
from pricelab.files.intake.reading import Pasted, read_pasted, read_sheet_file
from pricelab.files.raw_table import column_letter
from pricelab.files.save_grid import NewGrid, save_grid
from pricelab.files.shop_folder import ShopFolder
from pricelab.screens.cell_table import CellTable
from pricelab.screens.controls import Choice, Control, Press, Tick, Typed, Words
from pricelab.screens.html import bullets, paragraph, sentence, text
from pricelab.screens.opening import ASK_AGAIN, check_own
from pricelab.screens.panel import Panel, Shown
from pricelab.screens.reading import cell, pieces
from pricelab.shop.errors import PricelabError
from pricelab.shop.grids import PER_PIECE, PER_THOUSAND_STITCHES
from pricelab.shop.money import show_money
from pricelab.shop.sizes import Measure
from pricelab.shop.units import UNITS

_MOST_CELLS = 400
"""A larger table is slow to type in; suppliers print smaller ones."""

_MOST_TOLD, _MOST_SHOWN = 10, 80

_START = "Paste a supplier's price table, or choose its file"


class Paste(Control):
    """A box for pasted text of many lines."""

    def __init__(self, label: str):
        super().__init__(
            widgets.Textarea(description=label, rows=7, placeholder="the table with its header"),
            "min(520px, 90vw)",
        )


class Upload(Control):
    """A file of the reader's own; its value is the name and content, or None."""

    def __init__(self, label: str, accept: str):
        super().__init__(
            widgets.FileUpload(description=label, accept=accept).add_class("pl-button"), "auto"
        )

    @property
    def value(self) -> tuple[str, bytes] | None:
        """The last file chosen."""
        files = self.widget.value
        return (files[-1]["name"], bytes(files[-1]["content"])) if files else None


class IntakePanel(Panel):
    """A sheet as pasted, the grid as read with its doubts in boxes to type in, and its saving."""

    def __init__(self, folder: ShopFolder):
        self._folder, self._source, self._loaded = folder, None, None
        self._pasted: Pasted | None = None
        self.text = Paste(_START)
        self.file = Upload("A CSV or XLSX file", ".csv,.txt,.xlsx")
        self.which = Choice("Grid in the sheet", {"": 0}, width="200px")
        self.measure = Choice(
            "The supplier measures by",
            {"choose": ""} | {m.value: m for m in Measure},
            width="200px",
        )
        self.unit = Choice("in", {"choose": ""} | {u: u for u in UNITS}, width="100px")
        self.per = Choice(
            "Its prices are for",
            {
                "a piece": (1, PER_PIECE),
                "a dozen": (12, PER_PIECE),
                "a hundred": (100, PER_PIECE),
                "a thousand stitches": (1, PER_THOUSAND_STITCHES),
            },
            width="180px",
        )
        self.pack = Typed("Pieces in a pack", pieces(most=10_000), "1", width="100px")
        self.cells = CellTable("As read: mend what is wrong, empty a row or column to leave it out")
        self.compared = Tick("I have compared the doubtful cells with the sheet")
        self.name = Words("Name of the grid in your shop", width="220px")
        named = [m.grid.name for m in folder.shop.methods.values() if m.grid]
        self.name.widget.placeholder = f"such as {named[0]}" if named else "such as leather"
        self.holds = Typed("Its prices hold from", cell(day), today().isoformat())
        self.save = Press("Save it in the shop's folder", self._save)
        self.finding, self.sheet, self.said, self.ready = Shown(), Shown(), Shown(), Shown()
        self._about = [self.which, self.measure, self.unit, self.per, self.pack]
        self.lay_out(
            [self.text, self.file],
            self.finding,
            self._about,
            [self.sheet, self.cells],
            self.said,
            [self.compared, self.name, self.holds],
            self.ready,
            [self.save],
        )

    def update(self) -> None:
        """Read what is new, then say what is in doubt and whether the grid could be saved."""
        source = (self.text.value, self.file.value)
        if source != self._source:
            self._read(source)
        if self._pasted is None:
            self.finding.write(paragraph(f"{_START}.", "side"), f"{_START}.")
            return
        reading = self._pasted.readings[self.which.value]
        if reading is not self._loaded:
            self._load(reading)
        doubts = self._doubts(reading)
        self.cells.mark({doubt.cell: doubt.why for doubt in doubts})
        self.compared.show(bool(doubts))
        self._tell(reading, doubts)
        self._say_ready()

    def _read(self, source) -> None:
        """Read the one of text and file that is new."""
        before, self._source = self._source or ("", None), source
        said, file = source
        control = self.file if file not in (None, before[1]) else self.text
        self._pasted = None
        self._show_read(False)
        if control is self.text and not said.strip():
            return
        with self.answering(control):
            pasted = read_pasted(said) if control is self.text else read_sheet_file(*file)
            for reading in pasted.readings:
                if sum(map(len, reading.cells)) > _MOST_CELLS:
                    raise PricelabError(
                        f"Found a grid of {sum(map(len, reading.cells))} cells, expected up to "
                        f"{_MOST_CELLS}. Paste a part of it."
                    )
        self._pasted = pasted
        self._show_read(True)
        with self.quietly():
            self.which.offer(
                {f"{at + 1} of {len(pasted.readings)}": at for at in range(len(pasted.readings))}
            )
            self.which.set(0)
        self.which.show(len(pasted.readings) > 1)

    def _show_read(self, wanted: bool) -> None:
        """Show what compares, mends and saves a sheet; nothing of it while none is read."""
        for item in (*self._about, self.compared, self.name, self.holds, self.save):
            item.show(wanted)
        self.cells.set(())
        for part in (self.finding, self.sheet, self.said, self.ready):
            part.write("")

    def _load(self, reading: Reading) -> None:
        """Put the controls to what was read."""
        self._loaded = reading
        with self.quietly():
            self.measure.set(reading.measure or "")
            self.unit.set(reading.unit or "")
            self.per.set((1, reading.per))
            self.pack.set(str(reading.pack))
            self.cells.set(reading.cells)
            self.compared.set(False)

    def _doubts(self, reading: Reading) -> list[Doubt]:
        """The doubts about cells that were neither mended nor left out."""
        cells = self.cells.value
        rows = {r for r, row in enumerate(cells) if any(row)}
        columns = {c for c, column in enumerate(zip(*cells, strict=True)) if any(column)}
        return [
            doubt
            for doubt in reading.doubts
            if cells[doubt.cell[0]][doubt.cell[1]] == doubt.read
            and doubt.cell[0] in rows
            and doubt.cell[1] in columns
        ]

    def _tell(self, reading: Reading, doubts: Sequence[Doubt]) -> None:
        """The finding, the sheet with its doubtful cells marked, and each doubt in words."""
        rows, columns = len(reading.cells) - 1, len(reading.cells[0]) - 1
        looks = {0: "no cell is in doubt", 1: "one cell is in doubt"}
        doubtful = looks.get(len(doubts), f"{len(doubts)} cells are in doubt")
        finding = f"Sizes read: {rows}; quantities: {columns}; {doubtful}"
        self.finding.write(paragraph(finding, "finding"), finding)
        places = {(doubt.place.row, doubt.place.column) for doubt in doubts}
        self.sheet.write(_sheet_html(self._pasted, places))
        said = [*map(str, doubts[:_MOST_TOLD])]
        if len(doubts) > _MOST_TOLD:
            said.append(f"And {len(doubts) - _MOST_TOLD} more, marked in the table.")
        code, shown = self._folder.shop.currency, reading.currency
        if shown and shown != code and shown not in show_money(1, code):
            said.append(f"The sheet's prices are in {shown}, your shop's in {code}: convert them.")
        said += reading.said
        self.said.write(bullets(map(sentence, said)), "\n".join(said))

    def _grid(self) -> NewGrid:
        """The grid as mended; raises `PricelabError` for what is not chosen."""
        measure, unit = self.measure.value, self.unit.value
        if not measure or (measure.has_unit and not unit):
            raise PricelabError(
                "The sheet does not say how the supplier measures. Choose the measure and the unit."
            )
        many, per = self.per.value
        unit = unit if measure.has_unit else None
        return NewGrid(self.cells.value, measure, unit, per, self.pack.value, many)

    def _say_ready(self) -> None:
        """Whether the grid as it stands could be read, or what is to be mended first."""
        try:
            grid, warnings = self._grid().check()
        except PricelabError as error:
            said = [_in_table(line) for line in str(error).splitlines()]
            if len(said) > _MOST_TOLD:
                said[_MOST_TOLD:] = [f"And {len(said) - _MOST_TOLD} more."]
            self.ready.write(
                paragraph("Before it can be saved:") + bullets(said),
                "\n".join(["Before it can be saved:", *said]),
            )
            return
        looks = [_in_table(str(warning)) for warning in warnings]
        said = f"Ready to be saved: {grid.prices.size} prices."
        self.ready.write(
            paragraph(said) + bullets(looks),
            "\n".join([said, *looks]),
        )

    def _save(self) -> str:
        """Save the grid; what came of it."""
        if self._pasted is None:
            raise PricelabError(f"There is nothing to save yet. {_START}.")
        if self._doubts(self._loaded) and not self.compared.value:
            raise PricelabError(
                "There are cells in doubt. Mend them, or tick that you compared them."
            )
        check_own(self._folder.folder)
        saved, kept = save_grid(
            self._folder.folder, self.name.value, self._grid(), self.holds.value, now()
        )
        said = [f"Saved as grids/{saved.name}."]
        if kept is not None:
            said.append(f"The one before is kept as grids/old/{kept.name}.")
        if saved.stem != self.name.value:
            said.append(
                "It holds only from a later day: try it as a new price file in the notebook on "
                "buying, and save it again when it holds."
            )
        elif saved.stem not in {m.grid.name for m in self._folder.shop.methods.values() if m.grid}:
            said.append(f'Name it in methods.csv, column "grid", as {saved.stem}.')
        return " ".join([*said, ASK_AGAIN])


def _in_table(said: str) -> str:
    """A fault of the table as read, which is no file yet."""
    return sentence(said.removeprefix("grid.csv, "))


def _sheet_html(pasted: Pasted, places: set[tuple[int | None, str | None]]) -> str:
    """The sheet as it was split into cells; those at `places` are marked."""
    body = []
    for number, row in enumerate(pasted.rows[:_MOST_SHOWN], 1):
        cells = [
            f"<td><mark>{text(cell) or '&nbsp;'}</mark></td>"
            if (number, column_letter(at)) in places
            else f"<td>{text(cell)}</td>"
            for at, cell in enumerate(row)
        ]
        body.append(f'<tr><th scope="row">{number}</th>{"".join(cells)}</tr>')
    return (
        '<div class="pl-wide"><table class="pl-table pl-pasted"><caption>As pasted, by row'
        f"</caption><tbody>{''.join(body)}</tbody></table></div>"
    )
