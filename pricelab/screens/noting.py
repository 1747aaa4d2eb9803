"""The owner's panel for noting what happened: finished jobs, and how quotes ended."""

from collections.abc import Callable, Mapping
from datetime import date
from functools import partial
from typing import TYPE_CHECKING

from pricelab.files.clock import today
from pricelab.files.jobs import KEY
from pricelab.files.records.book import COPY, FILE, Records
from pricelab.files.records.happened import counter_orders, import_jobs, rows_of_job, take_quotes
from pricelab.files.shop_folder import ShopFolder, read_shop
from pricelab.jobs.quotes import Quote, repeat
from pricelab.screens.controls import Choice, Press, Typed, Words
from pricelab.screens.job_form import NONE, JobForm
from pricelab.screens.panel import Panel, Shown
from pricelab.screens.reading import headings
from pricelab.shop.blank import Blank
from pricelab.shop.errors import PricelabError
from pricelab.shop.figures import number
from pricelab.shop.method import Method

if TYPE_CHECKING:
    import pandas as pd

_LAST = 5
"""Jobs that are shown: enough to see that the one just noted is there."""


class NotingPanel(Panel):
    """Writes into the shop's book of records; every press is on the disk before it answers."""

    goes_on = True  # what is shown hangs on choices alone, and on no entry of the form
    saves_what_is_shown = False

    def __init__(self, folder: ShopFolder, day: Callable[[], date] = today):
        self.read(folder)
        self._records, self._today = Records(folder.folder), day
        self.form = JobForm(folder.shop, day())
        self._fetched = self._was = None
        self.note = Press("Note this job", self._note)
        self.recorded = Words("To correct a job: its number", width="190px")
        self.fetch = Press("Fetch it, to correct it", self._fetch)
        self.row = Choice("Its row", {"none": 0}, width="420px")
        self.row.show(False)
        self.correct = Press("Save it as corrected", self._correct)
        self.file = Words("A spreadsheet in your shop's folder", "old-jobs.xlsx", width="230px")
        self.headings = Typed(
            "Its headings, if others than in jobs.csv", headings, "", width="420px"
        )
        self.take = Press("Take its jobs over", self._take)
        self.counter = Press("Take over the quotes saved across the counter", self._take_quotes)
        self.quote = Choice("Quote that ended", {"none is open": NONE}, width="260px")
        self.ends = [Press(f"It was {end}", partial(self._decide, end)) for end in ("won", "lost")]
        self.past = Choice("A quote's costs, then and today", {"none": NONE}, width="260px")
        self.out = Press("Write the whole book as CSV files", self._write_csv)
        self.steady = self.shown, self.remembered, self.beside = Shown(), Shown(), Shown()
        self.lay_out(
            *self.form.rows,
            [self.note],
            [self.recorded, self.row, self.fetch],
            [self.correct],
            self.shown,
            [self.file, self.headings, self.take],
            self.remembered,
            [self.counter],
            [self.quote, *self.ends],
            [self.past],
            self.beside,
            [self.out],
        )

    def read(self, folder: ShopFolder) -> None:
        """Take the shop as it is now."""
        self._folder, self._shop = folder, folder.shop

    # ---- what the book holds ----------------------------------------------------------

    def update(self) -> None:
        """Show what the book holds: the last jobs, headings remembered, quotes that are open."""
        quotes = self._records.quotes()
        told = zip(quotes["number"], quotes["client"], quotes["status"], strict=True)
        names = {f"{number}, {client or 'no name'}": (number, end) for number, client, end in told}
        ended = {words: number for words, (number, end) in names.items() if end == "open"}
        self.quote.offer(ended or {"none is open": NONE})
        for control in (self.form["quote"], self.past):
            control.offer({"none": NONE} | {words: number for words, (number, _) in names.items()})
        self._show_jobs(len(ended))
        kept = "; ".join(f"{a} = {b}" for a, b in self._records.headings().items())
        told_once = "Other headings are told once: Order no = job; Qty = quantity; Phone = note."
        self.remembered.say(f"Headings remembered: {kept}." if kept else told_once, "side")
        self._compare()
        self._put_in()

    def _show_jobs(self, open_quotes: int) -> None:
        jobs, noted = self._records.last_jobs(_LAST)
        rows = [
            {
                "Job": job["job"],
                "Date": f"{job['date']:%Y-%m-%d}",
                "Client": job["client"] or "not told",
                "Method": _name(self._shop.methods, job["method"]),
                "Pieces": number(job["quantity"]),
            }
            for _, job in jobs.iterrows()
        ]
        finding = (
            f"Noted in {FILE}: jobs {number(noted)}, open quotes {open_quotes}; saved "
            f"across the counter and not taken over yet: {len(counter_orders(self._folder))}"
        )
        if rows:
            self.shown.tabulate(finding, rows)
        else:
            self.shown.say(finding, "side")

    def _compare(self) -> None:
        """The costs of a past quote as a repeat of it would have them, beside those of then."""
        if self.past.value == NONE:
            self.beside.write("")
            return
        quote = self._records.quote(self.past.value)
        with self.answering(self.past):
            costs = repeat(self._shop, quote, self._today())
        costs = costs.set_index("label")[["then", "now", "difference"]]
        costs.loc["in all"] = costs.sum()
        costs = costs.map(self._shop.money)
        finding = (
            f"{number(quote.quantity)} pieces as in quote {quote.number} cost "
            f"{costs['then'].iloc[-1]} then; a repeat costs {costs['now'].iloc[-1]} today"
        )
        columns = ("What", "Then", "Today", "Difference")
        table = dict(zip(columns, (costs.index, *map(costs.get, costs)), strict=True))
        self.beside.tabulate(finding, table, sums=(len(costs) - 1,), note=_whose_costs(quote))

    # ---- a recorded job ---------------------------------------------------------------

    def _fetch(self) -> str:
        """Put a recorded job into the entries; where it lies."""
        wanted = self.recorded.value
        jobs = rows_of_job(self._folder, wanted)
        if jobs.empty:
            raise PricelabError(
                f'Found "{wanted}", expected the number of a job in jobs.csv or in {FILE}. '
                "Look it up there."
            )
        with self.quietly():
            self.row.offer({self._in_words(job): at for at, (_, job) in enumerate(jobs.iterrows())})
            self.row.set(0)
            self._fetched, self._was = jobs, None
            self._put_in()
        self.row.show(len(jobs) > 1)
        self.refresh()
        lies = f"It is noted in {FILE}."
        if row := self._was["row"]:
            lies = (
                f"It lies in jobs.csv, row {row}. Correct it there, or save it here: {FILE} then "
                "counts instead of that row."
            )
        several = f" It has {len(jobs)} rows: choose the one to correct." if len(jobs) > 1 else ""
        return f"Job {wanted} stands in the entries above. {lies}{several}"

    def _in_words(self, job: "pd.Series") -> str:
        shop = self._shop
        size = f"{number(job['width'])} × {number(job['height'])} {shop.unit}"
        of, by = _name(shop.blanks, job["blank"]), _name(shop.methods, job["method"])
        return f"{number(job['quantity'])} pieces of {of}, {by}, {size}"

    def _put_in(self) -> None:
        """Put the row of the fetched job that is chosen into the entries, once."""
        if self._fetched is None:
            return
        job = self._fetched.iloc[self.row.value]
        if self._was is None or job.name != self._was.name:
            self._was = None  # until its figures stand in the entries
            self.form.fill(job)
            self._was = job
            self._readable()

    def _correct(self) -> str:
        """Put what the entries say in place of the job that was fetched."""
        was = self._was
        if was is None:
            raise PricelabError("Nothing was changed: fetch the job that you want to correct.")
        job = self.form.read(was)
        key, now = (tuple(one[name] for name in KEY) for one in (was, job.iloc[0]))
        if was["row"] and now != key:
            raise PricelabError(
                f"Nothing was changed: job {was['job']} lies in jobs.csv, row {was['row']}. Its "
                "number, method, blank and size can be corrected there only."
            )
        self._records.correct_job(key, job)
        self._fetched = self._was = None
        self.row.show(False)
        instead = f" It counts instead of row {was['row']} of jobs.csv." if was["row"] else ""
        return self._told(f"Job {now[0]} is corrected in {FILE}.{instead}")

    # ---- what is written --------------------------------------------------------------

    def _told(self, said: str) -> str:
        """Let every panel show what was written; also told where the files stand against it."""
        try:
            self.tell(read_shop(self._folder.folder))
        except PricelabError:
            self.refresh()
            return f"{said} It shows when your shop's files are in order: see the first notebook."
        return said

    def _note(self) -> str:
        """Note the job that the entries tell."""
        job = self.form.read()
        number = job["job"].item()
        if not self._records.add_jobs(job):
            raise PricelabError(
                f"Nothing was noted: job {number} of this method, blank and size is there. To "
                "change it, fetch it and save it as corrected."
            )
        return self._told(f"Job {number} is noted.")

    def _take(self) -> str:
        """Take a spreadsheet's jobs over; its headings are remembered."""
        new = import_jobs(self._records, self._shop, self.file.value, self.headings.value)
        return self._told(f"{number(new)} new {'job is' if new == 1 else 'jobs are'} taken over.")

    def _take_quotes(self) -> str:
        """Put the counter's quotes into the book, each with what it cost on its day."""
        taken, looks = take_quotes(self._folder, self._today())
        quotes, their = ("quote is", "its") if taken == 1 else ("quotes are", "their")
        costs = "" if looks else f", with the costs of {their} day"
        return self._told(" ".join([f"{taken} {quotes} taken over{costs}.", *looks]))

    def _decide(self, status: str) -> str:
        """Note how the chosen quote ended."""
        quote = self.quote.value
        if quote == NONE:
            raise PricelabError("No quote is open.")
        self._records.decide(quote, status, self._today())
        return self._told(f"Quote {quote} was {status}.")

    def _write_csv(self) -> str:
        """Write all that is noted where any spreadsheet opens it."""
        files = self._records.write_csv()
        return (
            f"Your book is written into {COPY}, {len(files)} CSV files in your shop's folder. "
            "What they held before is replaced."
        )


def _name(known: Mapping[str, Method | Blank], key: str) -> str:
    """A method or a blank by its name, or by its key where the shop has it no more."""
    return known[key].name if key in known else key


def _whose_costs(quote: Quote) -> str:
    """Which day's costs a quote has, '' where they are those of the day it was made."""
    if quote.costed == quote.made:
        return ""
    day = quote.costed or "the day it was taken over, which was not noted"
    return f"Its costs are those of {day}: the tables of {quote.made} were not kept."
