"""The owner's panel on times and spoilage: what jobs say of them, and one by one accepted."""

from pricelab.files.clock import today
from pricelab.files.records.accepting import accept, accepted
from pricelab.files.records.happened import finished_jobs
from pricelab.files.shop_folder import ShopFolder, read_shop
from pricelab.jobs.learning import (
    Change,
    Learned,
    Times,
    learned_spoilage,
    learned_times,
    spoilage_change,
)
from pricelab.pictures.times import TIMES
from pricelab.screens.controls import Choice, Press, SideBox
from pricelab.screens.html import paragraph, sentence
from pricelab.screens.panel import Panel, Shown, View
from pricelab.shop.errors import PricelabError
from pricelab.shop.figures import number, percent, pieces
from pricelab.words.findings import short_methods

ORDER, PIECE, SPOILED = "order", "piece", "spoiled"

_PARTS = {"minutes an order": ORDER, "minutes a piece": PIECE, "spoiled pieces": SPOILED}
_HEADINGS = ("Minutes an order", "Minutes a piece", "Spoiled")

NOTHING = "There is nothing to write: your files say so already."

_FEW = 0.5
"""An interval that reaches so far to each side of its figure says little."""


class TimesPanel(Panel):
    """Shows old beside new for every method, and writes what the owner accepts."""

    def __init__(self, folder: ShopFolder):
        self.read(folder)
        self.method = Choice.of("Method", self._shop.methods, width="280px")
        self.part = SideBox("Figure", _PARTS)
        self.overview, self.picture = Shown(), View(TIMES, "times-fit")
        self.said, self.changes, self.log = Shown(), Shown(), Shown()
        self.accept = Press("Accept: write these figures into my shop's files", self._accept)
        self.lay_out(
            self.overview,
            [self.method, self.part],
            self.picture,
            self.said,
            self.changes,
            [self.accept],
            self.log,
        )

    def read(self, folder: ShopFolder) -> None:
        """Take the shop and its jobs as they are now, and learn anew."""
        self._folder, self._shop = folder, folder.shop
        self._names, jobs = short_methods(self._shop), finished_jobs(folder)
        self._times: dict[str, Times | PricelabError] = {}
        self._spoiled: dict[str, tuple[Learned, int, int] | PricelabError] = {}
        for key, method in self._shop.methods.items():
            self._times[key] = _or_why(learned_times, self._shop, method, jobs)
            self._spoiled[key] = _or_why(learned_spoilage, method, jobs)

    def update(self) -> None:
        """Show all methods, the jobs of the chosen one, and what accepting would write."""
        self._show_overview()
        times = self._times[self.method.value]
        if isinstance(times, PricelabError):
            self.picture.say(sentence(times))
        else:
            self.picture.draw(times)
        changes = ()
        try:
            self._say(*self._learned(self.method.value, self.part.value))
            changes = self._changes()
            self._show_changes(changes)
        except PricelabError as error:
            known = isinstance(times, PricelabError) and str(times) == str(error)
            self.said.say("" if known else sentence(error))  # once is enough
            self.changes.write("")
        # the button alone comes and goes: what it said when it was pressed stays in sight
        self.accept.button.layout.display = None if changes else "none"
        self._show_log()

    def _learned(self, key: str, part: str) -> tuple[Learned, str]:
        """What the jobs by a method tell, and which; `PricelabError` where it is too little."""
        found = (self._spoiled if part == SPOILED else self._times)[key]
        if isinstance(found, PricelabError):
            raise found
        if part == SPOILED:
            learned, jobs, started = found
            return learned, f"{pieces(started)} started in {number(jobs)} jobs"
        return found.order if part == ORDER else found.piece, f"{number(found.jobs)} jobs"

    def _changes(self) -> tuple[Change, ...]:
        key, part = self.method.value, self.part.value
        learned, _ = self._learned(key, part)
        if part == SPOILED:
            changes = (spoilage_change(self._shop.methods[key], learned),)
        else:
            changes = self._times[key].changes(learned)
        return tuple(change for change in changes if change.before != change.after)

    def _show_overview(self) -> None:
        table, differ = {"Method": self._names.values()}, []
        for heading, part in zip(_HEADINGS, _PARTS.values(), strict=True):
            table[heading] = []
            for key in self._names:
                try:
                    learned, _ = self._learned(key, part)
                except PricelabError:
                    table[heading].append("jobs tell too little")
                else:
                    differ.append(learned.differs)
                    table[heading].append(_beside(learned))
        finding = "Your jobs contradict none of your times and shares"
        if not differ:
            finding = "Your jobs do not yet tell whether your times are right"
        elif any(differ):
            finding = (
                f"Your jobs contradict {sum(differ)} of your figures, marked ▲ more and ▼ less"
            )
        caption = (
            "Attended minutes and shares: as your files say, then as finished jobs say, with the "
            "range that holds the true figure 19 times in 20."
        )
        self.overview.tabulate(finding, table, caption=caption, close=True)

    def _say(self, learned: Learned, basis: str) -> None:
        old, low, new, high = _figures(learned)
        verdict = (
            "your figure lies outside that range: change it"
            if learned.differs
            else "your figure lies within that range: the jobs do not contradict it"
        )
        if max(learned.new - learned.low, learned.high - learned.new) > _FEW * learned.new:
            verdict += ". So wide a range means that the jobs say little; wait for more"
        name = self._shop.methods[self.method.value].name
        words = f"{name}, {learned.what}: your files say {old}, {basis} say {new}"
        range_of = (
            f"The true figure lies from {low} to {high}, as sure as 19 times in 20; {verdict}."
        )
        self.said.write(paragraph(words, "finding") + paragraph(range_of), f"{words}\n{range_of}")

    def _show_changes(self, changes: tuple[Change, ...]) -> None:
        rows = [
            {"What": x.what, "Is": x.before, "Becomes": x.after, "Found in": str(x.place)}
            for x in changes
        ]
        note = (
            "Jobs note one sum of minutes, so operations are not told apart: those of this "
            "method are all changed in the same proportion, and what all methods share stays "
            "as it is."
        )
        note = "" if self.part.value == SPOILED else note
        self.changes.tabulate("Accepting would write", rows, left=(0, 3), note=note, none=NOTHING)

    def _show_log(self) -> None:
        columns = ("Day", "What", "Was", "Became", "Because")
        rows = [dict(zip(columns, row, strict=True)) for row in accepted(self._folder.folder)]
        self.log.tabulate("Accepted so far", rows, left=(0, 1, 4))

    def _accept(self) -> str:
        """Write the changes shown, note them in the log, and learn from the files as they are."""
        changes = self._changes()
        if not changes:
            raise PricelabError(NOTHING)
        _, basis = self._learned(self.method.value, self.part.value)
        path = accept(self._folder, changes, self._names[self.method.value], basis, today())
        self.tell(read_shop(self._folder.folder))
        return f"Written into {path.name}."


def _or_why(learn, *about):
    """What is learned, or the reason why nothing is."""
    try:
        return learn(*about)
    except PricelabError as error:
        return error


def _figures(learned: Learned) -> list[str]:
    """Old, low, new and high: shares or minutes, as read."""
    found = learned.old, learned.low, learned.new, learned.high
    if learned.what.startswith("share"):
        return [percent(value, 2) for value in found]
    return [number(round(value, 1 if learned.old >= 10 else 2)) for value in found]


def _beside(learned: Learned) -> str:
    """Old and new, with the range of the new; marked where they contradict each other."""
    old, low, new, high = _figures(learned)
    mark = ("▲ " if learned.new > learned.old else "▼ ") if learned.differs else ""
    return f"{old} → {mark}{new} ({low.removesuffix(' %')}–{high})"
