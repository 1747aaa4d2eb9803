"""The owner's panel that edits the shop's tables and shows at once what a change does."""

from collections.abc import Callable, Sequence
from pathlib import Path

from pricelab.files.clock import now
from pricelab.files.edits import EDITABLE, Edits
from pricelab.files.explained import explained
from pricelab.files.faults import Fault, ShopFaults
from pricelab.files.folders import is_demo
from pricelab.files.unsaved import keep_unsaved, with_unsaved
from pricelab.screens.controls import Choice, Press, Tick
from pricelab.screens.html import bullets, paragraph, sentence, table
from pricelab.screens.opening import ASK_AGAIN, check_own, show_faults
from pricelab.screens.panel import Panel, Shown
from pricelab.screens.row_table import RowTable
from pricelab.screens.sample_job import SampleJob
from pricelab.screens.table_view import NAMES, TableView
from pricelab.shop.errors import PricelabError
from pricelab.shop.figures import count, number
from pricelab.shop.shop import Shop
from pricelab.words.cautions import STARTING_POINTS, work_cautions

_WITH_SETTINGS = {"blanks", "methods", "operations", "stitching", "rolls"}
"""Tables that hold heat, minutes of machines, speeds or care."""


class TablesPanel(Panel):
    """Every table of the shop's folder in boxes, checked as it is read; a sample job beside."""

    goes_on = True  # an entry of the sample job that will not do stops no table

    def __init__(self, folder: Path, after_saving: Callable[[], None] = lambda: None):
        self._folder, self._after_saving = folder, after_saving
        self._shop: Shop | None = None
        self.table = Choice("Table", {f"{NAMES[t]} ({t}.csv)": t for t in EDITABLE}, width="330px")
        self.page = Choice("Rows", {"all": 0}, width="150px")
        self.steady = self.state, self.columns, self.cautions, self.faults = [
            Shown() for _ in range(4)
        ]
        self.cells = RowTable("The table", self._typed, self._remove)
        self.add = Press("Add a row", self._add)
        self.mine = Press("All rows of this table are my own now", self._mine)
        self._read()
        self._bring_back()
        self.job = SampleJob(self._edits.setting("unit"))
        self.unfinished = Tick("Save it unfinished: the other notebooks wait until it is mended")
        self.save = Press("Save the tables", self._save)
        self.back = Press("Take back all changes", self._take_back)
        self.lay_out(
            [self.table, self.page],
            self.state,
            [self.cells],
            [self.add, self.mine],
            self.job.verdict,
            self.faults,
            [self.unfinished],
            [self.save, self.back],
            self.columns,
            self.cautions,
            *self.job.rows,
        )

    def _read(self) -> None:
        """Take the tables as they are now."""
        self._edits = self._start = Edits.of(self._folder)
        self._check()
        self._saved, self._news = self._shop, ""

    def _bring_back(self) -> None:
        """Go on with what was typed before and not saved, as after a crash or a closed tab."""
        self._edits, stale = with_unsaved(self._edits)
        said = []
        if back := self._edits.changed:
            said.append(f"What you typed before and did not save is back: {_files(back)}.")
            self._check()
        if stale:
            said.append(
                f"Not so what was typed into {_files(stale)}: it was changed elsewhere meanwhile."
            )
        self._news = " ".join(said)

    def _keep(self) -> None:
        """Keep what is not saved yet where no crash loses it."""
        self._news = ""
        if not is_demo(self._folder):
            try:
                keep_unsaved(self._edits)
            except PricelabError as error:
                self._news = f"{error} Until then, what you type is kept in this page alone."

    def _check(self) -> None:
        """Read the tables as they stand; the shop of the last good reading stays."""
        self._checked, self._wrong = self._edits, None
        try:
            self._shop = self._edits.read().shop
        except PricelabError as error:
            self._wrong = error

    @property
    def _faults(self) -> Sequence[Fault]:
        return self._wrong.faults if isinstance(self._wrong, ShopFaults) else ()

    # ---- what is shown ----------------------------------------------------------------

    def update(self) -> None:
        """Read the tables as they would be, and show what comes of it."""
        if self._edits is not self._checked:
            self._check()
            self._keep()
        self._show_table()
        self._say_faults()
        with self.quietly():
            self.job.offer(self._shop)
        if self.up_to_date:  # else the last one stays
            changed = bool(self._edits.changed) and self._shop is not self._saved
            self.job.show(self._saved, self._shop, edited=changed, faulty=bool(self._faults))

    @property
    def _view(self) -> TableView:
        """The chosen table as it is shown."""
        return TableView(self.table.value, self._edits, self._start)

    def _show_table(self) -> None:
        """The boxes of the chosen table, with its faults marked, and what is to be said of it."""
        name, edits, view = self.table.value, self._edits, self._view
        locked, marked = edits.locked.get(name, ""), edits.count_marked(name)
        with self.quietly():
            self.page.offer(view.pages)
        self.page.show(len(view.pages) > 1)
        shown = () if locked else view.page(self.page.value)
        self.cells.fill(view.headings, [view.row(at) for at in shown])
        self.cells.mark(view.marks(shown, self._faults))
        noun = "setting" if view.of_settings else "row"
        said = [locked or f"{NAMES[name]}: {count(len(view.rows), noun)}."]
        if marked:
            verb = "rows, tinted, are" if marked > 1 else "row, tinted, is"
            said.append(f"{number(marked)} {verb} still to be replaced by your own figures.")
        if is_demo(self._folder):
            said.append("This is an invented shop: what you change is a try-out.")
        elif edits.changed:
            said.append(f"Not saved yet: {_files(edits.changed)}.")
        self.state.say(" ".join(filter(None, [*said, self._news])), "side")
        self.add.show(not locked and not view.of_settings)
        self.mine.show(bool(marked))
        self.columns.write("" if view.of_settings else _explanation(name))  # a setting's row has it
        self._caution()

    def _caution(self) -> None:
        """What hands and goods must be kept from, under the tables of settings and care."""
        if self.table.value not in _WITH_SETTINGS or self._shop is None:
            self.cautions.write("")
            return
        said = [*map(str, work_cautions(self._shop))]
        summary = "Hot tools, needles, materials and care"
        self.cautions.write(
            paragraph(STARTING_POINTS.says, "side") + _folded(summary, bullets(said[1:])),
            "\n".join(said),
        )

    def _say_faults(self) -> None:
        """Everything to be mended before the tables can be saved, in the loader's words."""
        self.unfinished.show(bool(self._faults))
        if self._wrong is None:
            self.faults.write("")
        else:
            show_faults(self.faults, self._wrong, "One thing to mend", "things to mend")

    # ---- what is done -----------------------------------------------------------------

    def _go_on(self, edits: Edits) -> str:
        self._edits = edits
        self.refresh()
        return ""

    def _typed(self, row: int, column: int, said: str) -> None:
        """Take one cell that was typed in; one that will not do is put back, and told."""
        view = self._view
        try:
            edits = view.with_text(view.page(self.page.value)[row], column, said)
        except PricelabError as error:
            self._show_table()
            self.cells.say(sentence(error))
        else:
            self._go_on(edits)

    def _remove(self, row: int) -> None:
        view = self._view
        self._go_on(view.without(view.page(self.page.value)[row]))

    def _add(self) -> str:
        self._go_on(self._edits.with_row(self.table.value))
        self.page.set(len(self._view.pages) - 1)  # the new row is on the last one
        self.cells.go_to_last()
        return ""

    def _mine(self) -> str:
        return self._go_on(self._edits.without_marks(self.table.value))

    def _begin_anew(self) -> None:
        self._read()
        self._keep()
        self.refresh()

    def _take_back(self) -> str:
        if not self._edits.changed:
            return "Nothing was changed."
        self._begin_anew()
        return "All changes are taken back."

    def _save(self) -> str:
        """Save the tables; what came of it."""
        check_own(self._folder)
        if not self._edits.changed:
            raise PricelabError("There is nothing to save: no table was changed.")
        if self._faults and not self.unfinished.value:
            raise PricelabError(
                "Nothing was saved: mend what is listed above, or tick to save it unfinished."
            )
        if self._wrong is not None and not self._faults:
            raise PricelabError(f"Nothing was saved. {sentence(self._wrong)}")
        replaced = set(self._edits.seen) & set(self._edits.changed)
        files = self._edits.save(now())
        with self.quietly():
            self.unfinished.set(False)
        self._begin_anew()
        self._after_saving()
        kept = " What stood there before is kept in the folder old." if replaced else ""
        return f"Saved: {', '.join(files)}.{kept} {ASK_AGAIN}"


def _files(tables: Sequence[str]) -> str:
    return ", ".join(f"{name}.csv" for name in tables)


def _folded(summary: str, html: str) -> str:
    return f"<details><summary>{summary}</summary>{html}</details>"


def _explanation(name: str) -> str:
    """What the columns of a table are, folded away."""
    columns = ("Column", "What it is", "Example", "May be empty?")
    rows = [(column, e.what, e.example, e.empty) for column, e in explained(name).items()]
    return _folded("What the columns are", table(columns, rows, left=range(4)))
