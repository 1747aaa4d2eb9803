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
from pricelab.screens.opening import ASK_AGAIN, check_own, list_faults
from pricelab.screens.panel import Panel, Shown
from pricelab.screens.row_table import RowTable
from pricelab.screens.sample_job import SampleJob
from pricelab.screens.table_view import NAMES, TableView
from pricelab.shop.errors import PricelabError
from pricelab.shop.figures import count as counted
from pricelab.shop.figures import number
from pricelab.shop.shop import Shop
from pricelab.words.cautions import STARTING_POINTS, work_cautions

_WITH_SETTINGS = {"blanks", "methods", "operations", "stitching", "rolls"}
"""Tables that hold heat, minutes of machines, speeds or care."""


class TablesPanel(Panel):
    """Every table of the shop's folder in boxes, checked as it is read; a sample job beside."""

    goes_on = True  # an entry of the sample job that will not do stops no table

    def __init__(self, folder: Path, after_saving: Callable[[], None] = lambda: None):
        self._folder, self._after_saving = folder, after_saving
        self._saved: Shop | None = None
        self._shop: Shop | None = None
        self.table = Choice("Table", {f"{NAMES[t]} ({t}.csv)": t for t in EDITABLE}, width="330px")
        self.page = Choice("Rows", {"all": 0}, width="150px")
        self.state, self.columns, self.cautions, self.faults = (Shown() for _ in range(4))
        self.steady = (self.state, self.columns, self.cautions, self.faults)
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
        self._saved = self._shop
        self._news = ""

    def _bring_back(self) -> None:
        """Go on with what was typed before and not saved, as after a crash or a closed tab."""
        self._edits, stale = with_unsaved(self._edits)
        back = self._edits.changed
        said = [f"What you typed before and did not save is back: {_files(back)}."] if back else []
        if stale:
            said.append(
                f"Not so what was typed into {_files(stale)}: it was changed elsewhere meanwhile."
            )
        self._news = " ".join(said)
        if back:
            self._check()

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
        self._faults: Sequence[Fault] = ()
        self._other: PricelabError | None = None
        self._checked = self._edits
        try:
            self._shop = self._edits.read().shop
        except ShopFaults as error:
            self._faults = error.faults
        except PricelabError as error:
            self._other = error

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

    def _show_table(self) -> None:
        """The boxes of the chosen table, with its faults marked."""
        name, edits, view = self.table.value, self._edits, self._view
        locked, count = edits.locked.get(name, ""), edits.count_marked(name)
        with self.quietly():
            self.page.offer(view.pages)
        self.page.show(len(view.pages) > 1)
        shown = () if locked else view.page(self.page.value)
        self.cells.fill(view.headings, [view.row(at) for at in shown])
        self.cells.mark(view.marks(shown, self._faults))
        noun = "setting" if view.of_settings else "row"
        said = [locked or f"{NAMES[name]}: {counted(len(view.rows), noun)}."]
        if count:
            verb = "rows, tinted, are" if count > 1 else "row, tinted, is"
            said.append(f"{number(count)} {verb} still to be replaced by your own figures.")
        if is_demo(self._folder):
            said.append("This is an invented shop: what you change is a try-out.")
        elif edits.changed:
            said.append(f"Not saved yet: {_files(edits.changed)}.")
        if self._news:
            said.append(self._news)
        self.state.say(" ".join(said), "side")
        self.add.show(not locked and not view.of_settings)
        self.mine.show(bool(count))
        self._explain()
        self._caution()

    @property
    def _view(self) -> TableView:
        """The chosen table as it is shown."""
        return TableView(self.table.value, self._edits, self._start)

    def _explain(self) -> None:
        """What the columns are, folded away; a setting says so in its row."""
        if self._view.of_settings:
            self.columns.write("")
            return
        names = ("Column", "What it is", "Example", "May be empty?")
        told = explained(self.table.value).items()
        listed = table(names, [(c, e.what, e.example, e.empty) for c, e in told], left=range(4))
        self.columns.write(f"<details><summary>What the columns are</summary>{listed}</details>")

    def _caution(self) -> None:
        """What hands and goods must be kept from, under the tables of settings and care."""
        if self.table.value not in _WITH_SETTINGS or self._shop is None:
            self.cautions.write("")
            return
        said = [*map(str, work_cautions(self._shop))]
        self.cautions.write(
            f"{paragraph(STARTING_POINTS.says, 'side')}<details><summary>Hot tools, needles, "
            f"materials and care</summary>{bullets(said[1:])}</details>",
            "\n".join(said),
        )

    def _say_faults(self) -> None:
        """Everything to be mended before the tables can be saved, in the loader's words."""
        self.unfinished.show(bool(self._faults))
        if self._other is not None:
            self.faults.say(sentence(self._other), "finding")
        elif self._faults:
            many = len(self._faults)
            title = f"{many} things to mend" if many > 1 else "One thing to mend"
            list_faults(self.faults, title, self._faults)
        else:
            self.faults.write("")

    # ---- what is done -----------------------------------------------------------------

    def _change(self, edits: Edits) -> None:
        """Go on with other edits."""
        self._edits = edits
        self.refresh()

    def _typed(self, row: int, column: int, said: str) -> None:
        """Take one cell that was typed in; one that will not do is put back, and told."""
        view = self._view
        try:
            edits = view.with_text(view.page(self.page.value)[row], column, said)
        except PricelabError as error:
            self._show_table()
            self.cells.say(sentence(error))
        else:
            self._change(edits)

    def _remove(self, row: int) -> None:
        view = self._view
        self._change(view.without(view.page(self.page.value)[row]))

    def _add(self) -> str:
        self._change(self._edits.with_row(self.table.value))
        self.page.set(len(self._view.pages) - 1)  # the new row is on the last one
        self.cells.go_to_last()
        return ""

    def _mine(self) -> str:
        self._change(self._edits.without_marks(self.table.value))
        return ""

    def _take_back(self) -> str:
        if not self._edits.changed:
            return "Nothing was changed."
        self._read()
        self._keep()
        self.refresh()
        return "All changes are taken back."

    def _save(self) -> str:
        """Save the tables; what came of it."""
        check_own(self._folder)
        if not self._edits.changed:
            raise PricelabError("There is nothing to save: no table was changed.")
        if self._other is not None:
            raise PricelabError(f"Nothing was saved. {sentence(self._other)}")
        if self._faults and not self.unfinished.value:
            raise PricelabError(
                "Nothing was saved: mend what is listed above, or tick to save it unfinished."
            )
        replaced = set(self._edits.seen) & set(self._edits.changed)
        files = self._edits.save(now())
        with self.quietly():
            self.unfinished.set(False)
        self._read()
        self._keep()
        self.refresh()
        self._after_saving()
        kept = " What stood there before is kept in the folder old." if replaced else ""
        return f"Saved: {', '.join(files)}.{kept} {ASK_AGAIN}"


def _files(tables: Sequence[str]) -> str:
    """The files of some tables."""
    return ", ".join(f"{name}.csv" for name in tables)
