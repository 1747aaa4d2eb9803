"""The panel for noting what happened: what it writes into the book, and what it refuses."""

from dataclasses import replace
from datetime import date

import pandas as pd
import pytest
from small_jobs import jobs_of
from smallshop import ON, write_shop

from pricelab.client.offers import OfferLine
from pricelab.files.records.book import Records
from pricelab.files.records.happened import finished_jobs
from pricelab.files.records.shop_then import keep_tables
from pricelab.files.shop_folder import read_shop
from pricelab.jobs.quotes import Quote
from pricelab.screens.counter import open_counter
from pricelab.screens.noting import NotingPanel
from pricelab.screens.reading import headings
from pricelab.shop.errors import PricelabError


@pytest.fixture
def folder(tmp_path):
    """The small shop, which may be written to."""
    return read_shop(write_shop(tmp_path))


@pytest.fixture
def records(folder):
    """Its book."""
    return Records(folder.folder)


@pytest.fixture
def panel(folder):
    """The panel as it opens on a day that does not pass."""
    return NotingPanel(folder, lambda: ON)


def fill_in(panel):
    """A job of 24 at 11.00 and 54.55 for the set-up."""
    for column, entry in {
        "job": "J7", "client": "Secret Client", "price each": "11.00", "set-up charged": "54.55",
        "attended minutes": "70", "spoiled pieces": "1", "freight paid": "7.25",
    }.items():  # fmt: skip
        panel.form[column].set(entry)


def a_quote(number):
    """An open quote of the small shop."""
    return Quote(
        number, date(2026, 11, 1), date(2026, 12, 1), "Ann", "patch", 2.0, 2.0, "in", True,
        (OfferLine("cap", "", 24, 11.0, 264.0),), 0.0, 264.0, 0.0, (), {"operator": 10.0},
        costed=date(2026, 11, 1),
    )  # fmt: skip


def test_a_job_is_noted_whole(panel, folder, records):
    """24 × 11.00 + 54.55 = 318.55 charged; what was left empty is not noted, not 0.

    No file is made before.
    """
    fill_in(panel)
    assert not (folder.folder / "records.sqlite").exists()
    assert "Job J7 is noted." in panel.note.press()
    job = records.jobs().iloc[0]
    assert job["charged"] == 318.55
    assert (job["date"].date(), job["method"], job["blank"]) == (ON, "patch", "cap")
    assert (job["quantity"], job["attended minutes"], job["spoiled pieces"]) == (24, 70, 1)
    assert job["freight paid"] == 7.25
    assert job[["machine minutes", "set-up paid"]].isna().all()
    assert panel.shown.words.startswith("Noted in records.sqlite: jobs 1, open quotes 0")
    assert "J7" in panel.shown.words
    assert "J7" in finished_jobs(read_shop(folder.folder))["job"].tolist()


def test_a_job_is_noted_once_and_by_its_number(panel, records):
    """Before it has one, and at a second press, the button answers."""
    assert "Nothing was noted. Give the job its number." in panel.note.press()
    fill_in(panel)
    panel.note.press()
    said = "Nothing was noted: job J7 of this method, blank and size is there."
    assert said in panel.note.press()
    assert len(records.jobs()) == 1


@pytest.mark.parametrize(
    ("control", "typed", "said"),
    [
        ("date", "25 Nov", "Enter a day such as 2026-11-25"),
        ("price each", "3,2O", "Enter an amount such as 3.20"),
        ("spoiled pieces", "-1", "Enter a whole number from 0, such as 24"),
        ("quantity", "a dozen", "Enter a whole number of pieces"),
    ],
)
def test_nothing_is_noted_while_an_entry_will_not_do(panel, control, typed, said, records):
    """The answer stands beside the control and beside the button."""
    fill_in(panel)
    panel.form[control].set(typed)
    assert said in panel.form[control].words
    assert "Nothing was noted. Enter " in panel.note.press()
    assert records.jobs().empty


def test_a_job_wins_the_quote_it_was_sold_on(folder, records):
    """Which then is no longer open."""
    records.save_quote(a_quote("Q1"))
    panel = NotingPanel(folder, lambda: ON)
    fill_in(panel)
    panel.form["quote"].set("Q1")
    panel.note.press()
    assert records.quotes()["status"].tolist() == ["won"]
    assert records.jobs()["quote"].tolist() == ["Q1"]


def test_quotes_end_by_a_press(folder, records):
    """One won, one lost; then none is open."""
    records.save_quote(a_quote("Q1"))
    records.save_quote(a_quote("Q2"))
    panel = NotingPanel(folder, lambda: ON)
    won, lost = panel.ends
    panel.quote.set("Q2")
    assert "Quote Q2 was won." in won.press()
    assert "Quote Q1 was lost." in lost.press()
    assert records.quotes()["status"].tolist() == ["lost", "won"]
    assert "No quote is open." in lost.press()


SPREADSHEET = """\
Order no,date,method,blank,width,height,Qty,order,price each,charged,Phone
A1,2026-03-02,patch,cap,2,2,20,first,12.40,248,0
A2,2026-03-03,patch,cap,2,2,12,repeat,12.40,148.80,0
"""


def test_a_spreadsheet_is_told_its_headings_once(panel, folder, records):
    """The second one needs no telling."""
    (folder.folder / "old.csv").write_text(SPREADSHEET)
    panel.file.set("old.csv")
    assert "Order no" in panel.take.press()  # a fault, by its heading
    assert records.jobs().empty
    panel.headings.set("Order no = job; Qty = quantity; Phone = note")
    assert "2 new jobs are taken over." in panel.take.press()
    assert "Order no = job" in panel.remembered.words
    (folder.folder / "older.csv").write_text(SPREADSHEET.replace("A", "B"))
    panel.file.set("older.csv")
    panel.headings.set("")
    panel.take.press()
    assert len(records.jobs()) == 4


def test_a_quote_taken_over_says_whose_day_its_costs_are(folder, records):
    """Of their own day nothing is said; of another, or of one that nobody noted, it is."""
    for number, costed in (("Q1", a_quote("Q1").made), ("Q2", date(2026, 12, 1)), ("Q3", None)):
        records.save_quote(replace(a_quote(number), costed=costed))
    panel = NotingPanel(folder, lambda: ON)
    last = []
    for number in ("Q1", "Q2", "Q3"):
        panel.past.set(number)
        last.append(panel.beside.words.splitlines()[-1])
    assert last[0].split()[:2] == ["in", "all"]
    assert last[1:] == [
        "Its costs are those of 2026-12-01: the tables of 2026-11-01 were not kept.",
        "Its costs are those of the day it was taken over, which was not noted: the tables of "
        "2026-11-01 were not kept.",
    ]


def test_the_quotes_of_the_counter_are_taken_over_by_a_press(folder):
    """One whose tables were kept, and one that was saved before anybody kept them."""
    keep_tables(folder.folder)
    first = open_counter(folder.folder)
    first._day = lambda: ON
    first.save.press()
    panel = NotingPanel(folder, lambda: ON)
    assert "not taken over yet: 1" in panel.shown.words
    assert "1 quote is taken over, with the costs of its day." in panel.counter.press()
    assert "not taken over yet: 0" in panel.shown.words
    counter = open_counter(folder.folder)
    counter._day, counter._stamp = (lambda: ON), "as of tables that nobody kept"
    counter.save.press()
    said = "1 quote is taken over. 2026-11-25-02: the tables it was offered from were not kept; its"
    assert said in panel.counter.press()


def test_headings_that_stand_for_nothing_are_refused():
    """With what they can stand for."""
    with pytest.raises(PricelabError, match=r"Qty = quantity\. Ours are job, date, .* and note\.$"):
        headings("Qty = amount")


def test_a_quote_s_costs_of_then_stand_beside_todays(folder, records):
    """Nothing was kept of this one's costs; today 24 cost 24 × (3.00 + 2.00 + 0.50) + 6.00 of
    freight = 138.00, and a repeat needs no set-up."""
    records.save_quote(a_quote("Q1"))
    panel = NotingPanel(folder, lambda: ON)
    assert panel.beside.words == ""
    panel.past.set("Q1")
    assert panel.beside.words.startswith(
        "24 pieces as in quote Q1 cost $0.00 then; a repeat costs $138.00 today"
    )
    assert panel.beside.words.rstrip().endswith("$138.00")


# ---- correcting -----------------------------------------------------------------------


def fetched(panel, number):
    """What the panel says to a number."""
    panel.recorded.set(number)
    return panel.fetch.press()


def test_a_noted_job_is_fetched_corrected_and_put_in_its_own_place(panel, folder, records):
    """Even with another size; what the entries do not know of it stays."""
    records = Records(folder.folder)
    paid = {"materials paid": pd.array([99.5], "Float64")}
    records.add_jobs(jobs_of({"job": "J7", "charged": 300.00}).assign(**paid))
    panel = NotingPanel(folder, lambda: ON)
    said = fetched(panel, "J7")
    assert "Job J7 stands in the entries above. It is noted in records.sqlite." in said
    assert (panel.form["quantity"].value, panel.form["charged"].value) == (20, 300.00)
    panel.form["attended minutes"].set("66")
    panel.form["width"].set("2 1/2")
    assert "Job J7 is corrected in records.sqlite." in panel.correct.press()
    job = records.jobs().iloc[0]
    assert len(records.jobs()) == 1
    assert (job["width"], job["attended minutes"], job["materials paid"]) == (2.5, 66, 99.5)
    assert job["charged"] == 300.00


def test_a_job_of_the_table_is_corrected_before_it(panel, folder):
    """The row stays; the book's figures count, once."""
    said = "It lies in jobs.csv, row 2. Correct it there, or save it here: records.sqlite then"
    assert said in fetched(panel, "1")
    panel.form["attended minutes"].set("31")
    assert "It counts instead of row 2 of jobs.csv." in panel.correct.press()
    jobs = finished_jobs(read_shop(folder.folder)).set_index("job")
    assert sorted(jobs.index) == ["1", "2"]
    assert jobs.loc["1", "attended minutes"] == 31


def test_what_tells_a_row_of_the_table_apart_is_not_corrected_in_the_book(panel, records):
    """It would count twice."""
    fetched(panel, "1")
    panel.form["job"].set("1a")
    assert (
        "Nothing was changed: job 1 lies in jobs.csv, row 2. Its number, method, blank and size "
        "can be corrected there only." in panel.correct.press()
    )
    assert records.jobs().empty


def test_a_job_of_several_rows_is_corrected_row_by_row(folder, records):
    """The row that is chosen stands in the entries."""
    records.add_jobs(jobs_of({"job": "7"}, {"job": "7", "width": 1.5, "quantity": 12}))
    panel = NotingPanel(folder, lambda: ON)
    assert "It has 2 rows: choose the one to correct." in fetched(panel, "7")
    assert panel.form["quantity"].value == 12  # by its key, the smaller artwork first
    assert panel.row.widget.options[1][0] == "20 pieces of Plain cap, Leather patch, 2 × 2 in"
    assert panel.shown.words.startswith("Noted in records.sqlite: jobs 1, open quotes 0")
    panel.row.set(1)
    assert panel.form["quantity"].value == 20
    panel.form["quantity"].set("22")
    panel.correct.press()
    assert records.jobs()["quantity"].tolist() == [12, 22]


def test_a_row_is_not_corrected_into_another_row_of_its_job(folder, records):
    """Both stay as they were."""
    records.add_jobs(jobs_of({"job": "7"}, {"job": "7", "width": 1.5}))
    panel = NotingPanel(folder, lambda: ON)
    fetched(panel, "7")
    panel.form["width"].set("2")
    assert (
        "has another row of job 7 by this method, on this blank and in this size. Nothing"
        in panel.correct.press()
    )
    assert records.jobs()["width"].tolist() == [1.5, 2.0]


def test_what_cannot_be_fetched_is_told(panel):
    """And nothing is corrected then."""
    said = "Found &quot;J9&quot;, expected the number of a job in jobs.csv or in records.sqlite."
    assert said in fetched(panel, "J9")
    assert "fetch the job that you want to correct." in panel.correct.press()


def test_the_book_goes_out_as_csv(panel, folder):
    """One job is one row of five tables."""
    fill_in(panel)
    panel.note.press()
    assert "written into records-copy, 5 CSV files in your shop" in panel.out.press()
    assert (folder.folder / "records-copy" / "jobs.csv").read_text().count("J7") == 1
