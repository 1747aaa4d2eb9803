"""The owner's panel for noting what happened: finished jobs, and how quotes ended."""

from collections.abc import Callable
from datetime import date, datetime

from pricelab.errors import PricelabError
from pricelab.figures import number
from pricelab.files.cells import BadCell, Reader, amount, count_or_none, day
from pricelab.files.happened import counter_orders, one_job, take_quotes
from pricelab.files.jobs import TYPES
from pricelab.files.records import FILE, Records
from pricelab.files.recordscsv import import_jobs
from pricelab.files.shopfolder import ShopFolder
from pricelab.money import show_money
from pricelab.pictures.picture import Description
from pricelab.quotes import Quote, repeat
from pricelab.screens.controls import Choice, Press, Side, Typed, Words, length, pieces
from pricelab.screens.html import described, paragraph, table, text
from pricelab.screens.panel import Panel, Shown

NONE = ""

_LAST = 5
"""Jobs that are shown: enough to see that the one just noted is there."""

_AGAIN = "Run this notebook again to see it counted."


class NotingPanel(Panel):
    """Writes into the shop's book of records; every press is on the disk before it answers."""

    def __init__(self, folder: ShopFolder, today: Callable[[], date] | None = None):
        shop = self._shop = folder.shop
        self._folder, self._records = folder, Records(folder.folder)
        self._today = today or (lambda: datetime.now().astimezone().date())
        unit, money = shop.unit, shop.currency
        self.job = Words("Job number", width="110px")
        self.day = Typed("Finished on", _cell(day), self._today().isoformat(), width="120px")
        self.client = Words("Client (may be empty)", width="190px")
        self.method = Choice("Method", {m.name: key for key, m in shop.methods.items()})
        self.blank = Choice("Blank", {b.name: key for key, b in shop.blanks.items()})
        wide, high = ("2 1/2", "2") if unit == "in" else ("60", "40")
        self.width = Typed(f"Width ({unit})", length(unit), wide, width="90px")
        self.height = Typed(f"Height ({unit})", length(unit), high, width="90px")
        self.pieces = Typed("Good pieces", pieces(), "24", width="90px")
        self.order = Side("Artwork", {"first order": "first", "repeat": "repeat"})
        self.each = Typed(f"A piece, {money} before tax", _cell(amount), "0", width="150px")
        self.setup = Typed(f"Set-up, {money} before tax", _cell(amount), "0", width="150px")
        self.minutes = Typed("Minutes worked", _or_none(amount), "", width="110px")
        self.machine = Typed("Machine minutes", _or_none(amount), "", width="110px")
        self.spoiled = Typed("Spoiled pieces", _or_none(count_or_none), "", width="110px")
        self.freight = Typed(f"Freight paid, {money}", _or_none(amount), "", width="130px")
        self.fee = Typed(f"Set-up paid, {money}", _or_none(amount), "", width="130px")
        self.sold = Choice("Sold on quote", {"none": NONE}, NONE, width="170px")
        self.note = Press("Note this job", self._note)
        self.file = Words("A spreadsheet in your shop's folder", "old-jobs.xlsx", width="230px")
        self.headings = Typed(
            "Its headings, if others than in jobs.csv", read_headings, "", width="420px"
        )
        self.take = Press("Take its jobs over", self._take)
        self.counter = Press("Take over the quotes saved across the counter", self._take_quotes)
        self.quote = Choice("Quote that ended", {"none is open": NONE}, NONE, width="260px")
        self.ends = [
            Press("It was won", lambda: self._decide("won")),
            Press("It was lost", lambda: self._decide("lost")),
        ]
        self.past = Choice("A quote's costs, then and today", {"none": NONE}, NONE, width="260px")
        self.shown, self.remembered, self.beside = Shown(), Shown(), Shown()
        self.lay_out(
            [
                [self.job, self.day, self.client, self.method, self.blank],
                [self.width, self.height, self.pieces, self.order, self.each, self.setup],
                [self.minutes, self.machine, self.spoiled, self.freight, self.fee, self.sold],
                [self.note],
                [self.shown],
                [self.file, self.headings, self.take],
                [self.remembered],
                [self.counter],
                [self.quote, *self.ends],
                [self.past],
                [self.beside],
            ]
        )

    def update(self) -> None:
        """Show what the book holds: the last jobs, headings remembered, quotes that are open."""
        jobs, quotes = self._records.jobs(), self._records.quotes()
        names = {
            row["number"]: f"{row['number']}, {row['client'] or 'no name'}"
            for _, row in quotes.iterrows()
        }
        open_ones = quotes[quotes["status"] == "open"]["number"]
        self.quote.offer({names[key]: key for key in open_ones} or {"none is open": NONE})
        for control in (self.sold, self.past):
            control.offer({"none": NONE} | {words: key for key, words in names.items()})
        rows = tuple(
            (
                job["job"], f"{job['date']:%Y-%m-%d}", job["client"] or "not told",
                self._shop.methods[job["method"]].name
                if job["method"] in self._shop.methods else job["method"],
                number(job["quantity"]),
            )
            for _, job in jobs.tail(_LAST).iterrows()
        )  # fmt: skip
        finding = (
            f"Noted in {FILE}: jobs {number(len(jobs))}, open quotes {len(open_ones)}; saved "
            f"across the counter and not taken over yet: {len(counter_orders(self._folder))}"
        )
        told = Description(finding, ("Job", "Date", "Client", "Method", "Pieces"), rows)
        if rows:
            self.shown.write(f"<h4>{text(finding)}</h4>{described(told)}", told)
        else:
            self.shown.write(paragraph(finding, "side"), finding)
        kept = self._records.headings()
        words = (
            "Headings remembered: " + "; ".join(f"{a} = {b}" for a, b in kept.items()) + "."
            if kept
            else "Other headings are told once: Order no = job; Qty = quantity; Phone = note."
        )
        self.remembered.write(paragraph(words, "side"), words)
        self._compare()

    def _compare(self) -> None:
        """The costs of a past quote as a repeat of it would have them, beside those of then."""
        if self.past.value == NONE:
            self.beside.write("")
            return
        quote = self._records.quote(self.past.value)
        with self.answering(self.past):
            costs = repeat(self._shop, quote, self._today())
        rows = [
            (line["label"], *(self._money(line[when]) for when in ("then", "now", "difference")))
            for _, line in costs.iterrows()
        ]
        sums = costs[["then", "now", "difference"]].sum()
        rows.append(("in all", *map(self._money, sums)))
        finding = (
            f"{number(quote.quantity)} pieces as in quote {quote.number} cost "
            f"{self._money(sums['then'])} then; a repeat costs {self._money(sums['now'])} today"
        )
        told = Description(finding, ("What", "Then", "Today", "Difference"), tuple(rows))
        listed = table(told.columns, told.rows, sums=(len(rows) - 1,))
        note = _whose_costs(quote)
        said = paragraph(note, "side") if note else ""
        self.beside.write(f"<h4>{text(finding)}</h4>{listed}{said}", f"{told}\n{note}".rstrip())

    def _money(self, amount: float) -> str:
        return show_money(amount, self._shop.currency).replace("-", "−")

    # ---- what is written --------------------------------------------------------------

    def _note(self) -> str:
        """Note the job that the controls tell."""
        wrong = next((c.words for c in self.controls if c.words), "")
        if wrong:
            raise PricelabError(f"Nothing was noted. {wrong}")
        if not self.job.value:
            raise PricelabError("Nothing was noted: give the job its number.")
        unit = self._shop.unit
        job = one_job(
            {
                "job": self.job.value, "date": self.day.value, "client": self.client.value,
                "method": self.method.value, "blank": self.blank.value,
                "width": float(self.width.value.to(unit)),
                "height": float(self.height.value.to(unit)),
                "quantity": self.pieces.value, "order": self.order.value,
                "price each": self.each.value, "set-up charged": self.setup.value,
                "attended minutes": self.minutes.value, "machine minutes": self.machine.value,
                "spoiled pieces": self.spoiled.value, "freight paid": self.freight.value,
                "set-up paid": self.fee.value, "quote": self.sold.value,
            }
        )  # fmt: skip
        new = self._records.add_jobs(job)
        self.refresh()
        if not new:
            raise PricelabError(
                f"Nothing was noted: job {self.job.value} of this method, blank and size is there."
            )
        return f"Job {self.job.value} is noted. {_AGAIN}"

    def _take(self) -> str:
        """Take a spreadsheet's jobs over; its headings are remembered."""
        new = import_jobs(self._records, self._shop, self.file.value, self.headings.value)
        self.refresh()
        noun = "job is" if new == 1 else "jobs are"
        return f"{number(new)} new {noun} taken over. {_AGAIN}"

    def _take_quotes(self) -> str:
        """Put the counter's quotes into the book, each with what it cost on its day."""
        taken, told = take_quotes(self._folder, self._today())
        self.refresh()
        noun = "quote is" if taken == 1 else "quotes are"
        return " ".join([f"{taken} {noun} taken over, with the costs of their day.", *told])

    def _decide(self, status: str) -> str:
        """Note how the chosen quote ended."""
        quote = self.quote.value
        if quote == NONE:
            raise PricelabError("No quote is open.")
        self._records.decide(quote, status, self._today())
        self.refresh()
        return f"Quote {quote} was {status}. {_AGAIN}"


def _whose_costs(quote: Quote) -> str:
    """Which day's costs a quote has, '' where they are those of the day it was made."""
    if quote.costed == quote.made:
        return ""
    day = quote.costed or "the day it was taken over, which was not noted"
    return f"Its costs are those of {day}: the tables of {quote.made} were not kept."


def _cell(read: Reader) -> Callable[[str], object]:
    """A reader of a cell as a reader of what was typed."""

    def parse(said: str):
        try:
            return read(said.strip(), ".")
        except BadCell as bad:
            raise PricelabError(
                f'Found "{said.strip()}", expected {bad.expected}. {bad.mend}'
            ) from None

    return parse


def _or_none(read: Reader) -> Callable[[str], object]:
    """The same, where nothing typed means that it was not noted."""
    return lambda said: _cell(read)(said) if said.strip() else None


def read_headings(said: str) -> dict[str, str]:
    """What headings of another spreadsheet stand for, typed between semicolons.

    >>> read_headings("Order no = job; Qty=quantity")
    {'Order no': 'job', 'Qty': 'quantity'}
    """
    found = {}
    for part in filter(None, map(str.strip, said.split(";"))):
        theirs, sign, ours = (word.strip() for word in part.partition("="))
        if not (sign and theirs) or ours not in (*TYPES, "note"):
            raise PricelabError(
                f'Found "{part}", expected its heading = one of {", ".join(TYPES)} or note. '
                "Write Order no = job; Qty = quantity."
            )
        found[theirs] = ours
    return found
