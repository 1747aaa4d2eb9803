"""The owner's panel that takes in a supplier's sheet: paste it, compare, mend, save."""

from collections.abc import Sequence

import ipywidgets as widgets
import numpy as np

from pricelab.files.cells import day
from pricelab.files.clock import now, today
from pricelab.files.intake.pasted_grid import Doubt, Reading
from pricelab.files.intake.reading import Pasted, read_pasted, read_sheet_file
from pricelab.files.raw_table import column_letter
from pricelab.files.save_grid import NewGrid, save_grid
from pricelab.files.shop_folder import ShopFolder
from pricelab.screens.cell_table import CellTable
from pricelab.screens.controls import Choice, Control, Pieces, Press, Tick, Typed, Words
from pricelab.screens.html import bullets, paragraph, sentence, text
from pricelab.screens.opening import ASK_AGAIN, check_own
from pricelab.screens.panel import Panel, Shown
from pricelab.screens.reading import cell
from pricelab.shop.errors import PricelabError
from pricelab.shop.grids import PER_PIECE, PER_THOUSAND_STITCHES
from pricelab.shop.money import show_money
from pricelab.shop.sizes import Measure
from pricelab.shop.units import UNITS

_MOST_CELLS = 400
"""A larger table is slow to type in; suppliers print smaller ones."""

_MOST_TOLD, _MOST_SHOWN = 10, 80

_START = "Paste a supplier's price table, or choose its file"


class IntakePanel(Panel):
    """A sheet as pasted, the grid as read with its doubts in boxes to type in, and its saving."""

    def __init__(self, folder: ShopFolder):
        self._folder, self._source, self._loaded = folder, None, None
        self._pasted: Pasted | None = None
        paste = widgets.Textarea(
            description=_START, rows=7, placeholder="the table with its header"
        )
        self.text = Control(paste, "min(520px, 90vw)")
        upload = widgets.FileUpload(description="A CSV or XLSX file", accept=".csv,.txt,.xlsx")
        self.file = Control(upload.add_class("pl-button"), "auto")
        self.which = Choice("Grid in the sheet", {"": 0}, width="200px")
        measures = {"choose": ""} | {m.value: m for m in Measure}
        self.measure = Choice("The supplier measures by", measures, width="200px")
        self.unit = Choice("in", {"choose": ""} | {u: u for u in UNITS}, width="100px")
        counts = {"a piece": 1, "a dozen": 12, "a hundred": 100}
        pers = {words: (count, PER_PIECE) for words, count in counts.items()}
        pers |= {"a thousand stitches": (1, PER_THOUSAND_STITCHES)}
        self.per = Choice("Its prices are for", pers, width="180px")
        self.pack = Pieces("Pieces in a pack", "1", 10_000)
        self.cells = CellTable("As read: mend what is wrong, empty a row or column to leave it out")
        self.compared = Tick("I have compared the doubtful cells with the sheet")
        self.name = Words("Name of the grid in your shop", width="220px")
        named = [m.grid.name for m in folder.shop.methods.values() if m.grid]
        self.name.widget.placeholder = f"such as {named[0]}" if named else "such as leather"
        self.holds = Typed("Its prices hold from", cell(day), today().isoformat())
        self.save = Press("Save it in the shop's folder", self._save)
        self.finding, self.sheet, self.said, self.ready = (Shown() for _ in range(4))
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
        source = (self.text.value, [(f["name"], bytes(f["content"])) for f in self.file.value])
        if source != self._source:
            self._read(*source)
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

    def _read(self, said: str, files: list[tuple[str, bytes]]) -> None:
        """Read the one of text and file that is new."""
        is_new = files and files != (self._source or ("", []))[1]
        self._source, self._pasted = (said, files), None
        self._show_read(False)
        if not (is_new or said.strip()):
            return
        with self.answering(self.file if is_new else self.text):
            pasted = read_sheet_file(*files[-1]) if is_new else read_pasted(said)
            cells = max(sum(map(len, reading.cells)) for reading in pasted.readings)
            if cells > _MOST_CELLS:
                raise PricelabError(
                    f"Found a grid of {cells} cells, expected up to {_MOST_CELLS}. Paste a part "
                    "of it."
                )
        self._pasted, grids = pasted, len(pasted.readings)
        self._show_read(True)
        with self.quietly():
            self.which.offer({f"{at + 1} of {grids}": at for at in range(grids)})
            self.which.set(0)
        self.which.show(grids > 1)

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
        cells = np.array(self.cells.value)
        filled = cells != ""
        kept = filled.any(axis=1)[:, None] & filled.any(axis=0)
        return [d for d in reading.doubts if kept[d.cell] and cells[d.cell] == d.read]

    def _tell(self, reading: Reading, doubts: Sequence[Doubt]) -> None:
        """The finding, the sheet with its doubtful cells marked, and each doubt in words."""
        rows, columns = len(reading.cells) - 1, len(reading.cells[0]) - 1
        looks = {0: "no cell is in doubt", 1: "one cell is in doubt"}
        doubtful = looks.get(len(doubts), f"{len(doubts)} cells are in doubt")
        self.finding.say(f"Sizes read: {rows}; quantities: {columns}; {doubtful}", "finding")
        places = {(doubt.place.row, doubt.place.column) for doubt in doubts}
        self.sheet.write(_sheet_html(self._pasted, places))
        said = _first([*map(str, doubts)], ", marked in the table")
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
            grid, looks = self._grid().check()
        except PricelabError as error:
            head, looks = "Before it can be saved:", str(error).splitlines()
        else:
            head = f"Ready to be saved: {grid.prices.size} prices."
        # the table as read is no file yet
        said = _first([sentence(str(look).removeprefix("grid.csv, ")) for look in looks])
        self.ready.write(paragraph(head) + bullets(said), "\n".join([head, *said]))

    def _save(self) -> str:
        """Save the grid; what came of it."""
        if self._pasted is None:
            raise PricelabError(f"There is nothing to save yet. {_START}.")
        if self._doubts(self._loaded) and not self.compared.value:
            raise PricelabError(
                "There are cells in doubt. Mend them, or tick that you compared them."
            )
        folder = self._folder.folder
        check_own(folder)
        saved, kept = save_grid(folder, self.name.value, self._grid(), self.holds.value, now())
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


def _first(said: list[str], where: str = "") -> list[str]:
    """As many sentences as a person reads, and how many more there are."""
    more = len(said) - _MOST_TOLD
    return [*said[:_MOST_TOLD], f"And {more} more{where}."] if more > 0 else said


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
