"""Quotes in quotes.csv, and what happened from the tables and the book together."""

from datetime import date

import pandas as pd
import pytest
from smallshop import write_shop

from pricelab.analysis.month import workload
from pricelab.client.offers import OfferLine
from pricelab.cost.cost_sheet import Why
from pricelab.files.faults import ShopFaults
from pricelab.files.jobs import QUOTE_TYPES as TYPES
from pricelab.files.records.book import Records
from pricelab.files.records.happened import finished_jobs, quotes_asked, sold_on
from pricelab.files.shop_folder import read_shop
from pricelab.jobs.quotes import Quote
from pricelab.lists.typical_quantity import quantities_sold
from pricelab.shop.charges import Element, Level
from pricelab.shop.errors import PricelabError
from pricelab.shop.place import Place

QUOTES = """\
quote,date,method,blank,width,height,quantity,order,price each,set-up charged,won
Q1,2026-03-02,patch,cap,2,2,20,first,12.40,54.55,yes
Q2,2026-03-09,patch,cap,2,2,20,repeat,14.00,,no
Q3,2026-03-09,patch,cap,4,4,20,repeat,14.00,,no
"""


@pytest.fixture
def folder(tmp_path):
    """The small shop, with three quotes; the third is too large to be made."""
    write_shop(tmp_path)
    (tmp_path / "quotes.csv").write_text(QUOTES)
    return read_shop(tmp_path)


def test_quotes_are_read_with_their_end(folder):
    """Typed, under the spreadsheet's row numbers."""
    assert {name: str(kind) for name, kind in folder.quotes.dtypes.items()} == TYPES
    assert folder.quotes.index.tolist() == [2, 3, 4]
    assert folder.quotes["won"].tolist() == [True, False, False]
    assert folder.quotes["set-up charged"].tolist() == [54.55, 0, 0]


def test_a_shop_without_quotes_has_none(tmp_path):
    """An empty table of the same columns."""
    quotes = read_shop(write_shop(tmp_path)).quotes
    assert quotes.empty
    assert list(quotes.columns) == list(TYPES)


def test_quotes_may_be_more_than_a_megabyte(tmp_path):
    """As jobs may: a million blank lines beside three quotes, which no typed table may have."""
    write_shop(tmp_path)
    (tmp_path / "quotes.csv").write_text(QUOTES + "\n" * 1_000_000)
    assert read_shop(tmp_path).quotes.index.tolist() == [2, 3, 4]


def test_a_quote_that_ended_neither_way_is_a_fault(tmp_path):
    """By file, row and column."""
    write_shop(tmp_path)
    (tmp_path / "quotes.csv").write_text(QUOTES.replace("54.55,yes", "54.55,perhaps"))
    with pytest.raises(ShopFaults, match=r'quotes\.csv, row 2, column "won": found "perhaps", exp'):
        read_shop(tmp_path)


def test_no_client_can_stand_in_quotes(tmp_path):
    """What is learned from them is for the list: the column is refused."""
    write_shop(tmp_path)
    lines = QUOTES.splitlines()
    named = [f"{line},{'client' if at == 0 else 'Ann'}" for at, line in enumerate(lines)]
    (tmp_path / "quotes.csv").write_text("\n".join(named))
    with pytest.raises(ShopFaults, match=r'quotes\.csv, row 1, column "client"'):
        read_shop(tmp_path)


def test_quotes_are_set_against_todays_costs(folder):
    """The small shop's 6.815 a piece at 20, 6.80 of it without a fee that is 0.30 an order: so
    20 × 6.815 = 136.30, and 30.00 of set-up the first time; 5 % go in fees. The third cannot
    be made and is left out."""
    found = quotes_asked(folder)
    assert found["cost"].tolist() == pytest.approx([166.30, 136.30])
    assert found["variable cost"].tolist() == pytest.approx([166.30, 136.30])  # no overhead here
    assert found["revenue"].tolist() == pytest.approx([20 * 12.40 + 54.55, 280.0])
    assert found["fee share"].tolist() == [0.05, 0.05]
    assert found["won"].tolist() == [True, False]


def line(element, level, amount, unit="pieces", quantity=10.0):
    """A cost line of a quote."""
    rate = amount / quantity
    return Why(level, element, "a line", quantity, unit, rate, amount, False, Place("x.csv", 2))


def a_quote(number="B1", status="lost"):
    """10 caps at 12.00 before 10 % tax, on costs of 50 + 10 of labour + 4 of overhead + 6."""
    lines = (
        line(Element.BLANK, Level.PIECE, 50.0),
        line(Element.LABOUR, Level.PIECE, 10.0, "minutes"),
        line(Element.OVERHEAD, Level.PIECE, 4.0, "minutes"),
        line(Element.FREIGHT, Level.ORDER, 6.0),
    )
    decided = None if status == "open" else date(2026, 4, 1)
    return Quote(
        number, date(2026, 3, 1), date(2026, 4, 1), "Secret Client", "patch", 2.0, 2.0, "in",
        False, (OfferLine("cap", "", 10, 13.2, 132.0),), 0.0, 132.0, 0.1, lines,
        {"operator": 10.0}, 0.05, 0.30, status, decided,
    )  # fmt: skip


def test_quotes_of_the_book_count_at_the_costs_they_were_made_on(folder):
    """Open ones do not count. 50 + 10 + 4 + 6 + .30 = 70.30, of which 66.30 move."""
    records = Records(folder.folder)
    records.save_quote(a_quote())
    records.save_quote(a_quote("B2", "open"))
    last = quotes_asked(folder).iloc[-1]
    assert len(quotes_asked(folder)) == 3
    sums = last[["revenue", "cost", "variable cost"]].tolist()
    assert sums == pytest.approx([120.0, 70.3, 66.3])
    assert not last["won"]
    assert last["method"] == "patch"
    assert len(sold_on(folder)) == 2


def test_jobs_of_the_tables_and_of_the_book_stand_together_once(folder):
    """One that is in both is as the book has it."""
    assert finished_jobs(folder) is folder.jobs
    corrected = folder.jobs.iloc[[0]].assign(**{"attended minutes": pd.array([77.0], "Float64")})
    new = folder.jobs.iloc[[1]].assign(job="3")
    Records(folder.folder).add_jobs(pd.concat([corrected, new]))
    again = read_shop(folder.folder)
    jobs = finished_jobs(again).set_index("job")
    assert sorted(jobs.index) == ["1", "2", "3"]
    assert jobs.loc["1", "attended minutes"] == 77.0
    assert pd.isna(jobs.loc["2", "attended minutes"])


def test_a_noted_job_weighs_in_the_breaks_and_in_the_month(folder):
    """Two jobs of 20 in jobs.csv, and one of 30 noted in the book."""
    Records(folder.folder).add_jobs(folder.jobs.iloc[[1]].assign(job="3", quantity=30))
    again = read_shop(folder.folder)
    method = again.shop.methods["patch"]
    assert sorted(quantities_sold(again, method)) == [20, 20, 30]
    work = workload(again.shop, again.jobs).work
    assert work[["orders", "pieces"]].values.tolist() == [[3, 70]]


def test_a_noted_job_of_a_method_that_is_given_up_is_left_out_of_the_month(folder):
    """Its reason is told; jobs.csv is held to the methods of today, the book keeps what was."""
    Records(folder.folder).add_jobs(folder.jobs.iloc[[1]].assign(job="3", method="stamped"))
    again = read_shop(folder.folder)
    load = workload(again.shop, again.jobs)
    assert load.work["orders"].tolist() == [2]
    assert load.skipped == (("3", 'the shop has no method "stamped" any more.'),)


def test_a_book_that_cannot_be_read_is_warned_of_and_hinders_nothing_else(folder):
    """The price list does not hang on it."""
    (folder.folder / "records.sqlite").write_bytes(b"no book at all" * 100)
    again = read_shop(folder.folder)
    assert len(again.jobs) == 2
    with pytest.raises(PricelabError, match=r"^records\.sqlite could not be used: it is damaged"):
        finished_jobs(again)  # what they earned is not told without the book's
    assert [str(warning) for warning in again.warnings] == [
        "records.sqlite: found a book of records that cannot be read, expected the one that "
        "this workbook keeps; its jobs and quotes are left out. records.sqlite could not be used: "
        "it is damaged, or no such file. Put your last copy of it in its place, and try again. "
        "Nothing was changed."
    ]
