"""Quotes in the book of records: kept with the costs they were made on."""

from dataclasses import replace
from datetime import date
from fractions import Fraction

import numpy as np
import pandas as pd
import pytest
from example_shops import LEATHER, PATCH, WORKED_CAP, WORKED_SHOP
from quoted import MADE, a_quote, inches
from small_jobs import jobs_of
from smallshop import FILES

from pricelab.client.catalogue import catalogue_of
from pricelab.client.offers import Part, Wanted, make_offer
from pricelab.cost.costing import cost_sheet
from pricelab.cost.orders import Order
from pricelab.files.folders import DEMO_SHOP
from pricelab.files.records.book import Records
from pricelab.files.records.tables import LINES
from pricelab.files.shop_folder import read_shop
from pricelab.jobs.estimates import FIGURES, estimate_jobs
from pricelab.jobs.judging import judge
from pricelab.jobs.quotes import kept_estimates, quote_of, repeat
from pricelab.shop.charges import Level
from pricelab.shop.errors import PricelabError
from pricelab.shop.units import Length


def test_a_quote_comes_back_whole(shop):
    records, quote = Records(shop), a_quote(shop)
    records.save_quote(quote)
    assert records.quote("Q1") == quote
    row = records.quotes().iloc[0]
    assert (row["quantity"], row["pieces total"], row["price each"]) == (20, 198.00, 9.90)
    assert (row["set-up"], row["status"], row["client"]) == (54.55, "open", "Åse")
    assert pd.isna(row["decided"])


def test_a_quote_of_a_demo_shop_keeps_every_line_s_place(tmp_path):
    folder = read_shop(DEMO_SHOP)
    parts = (Part("structured-twill", 24, "navy"), Part("mesh-back", 12))
    wanted = Wanted("leather", parts, inches("2.5"), inches(2))
    quote = quote_of(folder.shop, wanted, make_offer(catalogue_of(folder), wanted), "Q1", MADE)
    assert {str(line.place.file) for line in quote.lines if line.place} > {"operations.csv"}
    records = Records(tmp_path)
    records.save_quote(quote)
    assert records.quote("Q1") == quote


def test_a_quote_keeps_the_costs_it_was_made_on(shop):
    """20 caps at 4.00, patches at 2.00, 20 minutes at .50, freight 6.00 and set-up 30: 166.00.

    Then the patch rises from 2.00 to 2.50: the quote still says 166.00, a repeat costs
    146.00, since no set-up is due again and 20 patches cost 10.00 more.
    """
    records = Records(shop)
    records.save_quote(a_quote(shop))
    (shop / "grids" / "patches.csv").write_text(
        FILES["grids/patches.csv"].replace("2,3.00,2.00", "2,3.00,2.50")
    )
    kept = records.quote("Q1")
    assert kept.cost == pytest.approx(166.00)
    beside = repeat(read_shop(shop).shop, kept, date(2027, 1, 1))
    assert [*beside] == ["level", "element", "label", "then", "now", "difference"]
    beside = beside.set_index("label")
    assert beside["then"].sum() == pytest.approx(166.00)
    assert beside["now"].sum() == pytest.approx(146.00)
    assert beside.loc["Leather patch", ["then", "now", "difference"]].tolist() == [40, 50, 10]
    assert beside.loc["Leather patch: set-up", "difference"] == -30
    assert list(beside.index) == [line.label for line in kept.lines], "in the quote's own order"


def test_a_quote_holds_to_its_last_day(shop):
    """The small shop's lists and quotes hold for 30 days."""
    quote = a_quote(shop)
    held = [quote.holds(date(2026, 11, 24)), quote.holds(MADE), quote.holds(date(2026, 12, 25)),
            quote.holds(date(2026, 12, 26))]  # fmt: skip
    assert held == [False, True, True, False]


def test_a_job_is_judged_by_the_quote_in_the_book(shop):
    """Sold at 9.90 on the old patch price; the new one changes nothing in what it left."""
    records = Records(shop)
    records.save_quote(a_quote(shop))
    records.add_jobs(jobs_of({"price each": 9.90, "charged": 252.55}).assign(quote="Q1"))
    before = read_shop(shop)
    sold = kept_estimates(records.quotes(), records.table(LINES))
    assert sold.loc["Q1", ["quantity", "price", "set-up", "material", "other"]].tolist() == (
        pytest.approx([20, 9.90, 54.55, 120.00, 36.00])
    )
    paid = ["freight", "fixed freight", "set-up cost", "fixed set-up cost"]
    assert sold.loc["Q1", paid].tolist() == pytest.approx([6.00, 6.00, 30.00, 30.00])
    (shop / "grids" / "patches.csv").write_text("mean of sides (in),1,20\n2,9.00,9.00\n3,9,9\n")
    now = judge(read_shop(shop).shop, records.jobs(), (), sold).iloc[0]
    then = judge(before.shop, records.jobs(), before.price_lists).iloc[0]
    assert now["profit"] == pytest.approx(then["profit"]) == pytest.approx(73.6225)
    assert now["estimated profit"] == pytest.approx(73.6225)


def test_what_a_quoted_order_costs_once_stands_apart(shop):
    """The worked order of tests/test_costing.py, by hand from its lines: minutes 10 + 20 are
    due once, of overhead 2.50 + 5.00, of the rest all but the cartons, which are by the dozen.
    Of 30 caps and 25 patches 24 are for good pieces, so one spoiled takes a sheet of .05 only.
    """
    lines = cost_sheet(WORKED_SHOP, Order.of(WORKED_CAP, 24, LEATHER, PATCH)).why()
    records = Records(shop)
    records.save_quote(replace(a_quote(shop, pieces=24), lines=lines))
    kept = kept_estimates(records.quotes(), records.table(LINES)).loc["Q1"]
    expected = {
        "material": 120.00 + 70.00 + 3.65, "spoiled": 1, "spoiled cost": 6.85,
        "spare blanks": 6, "blank price": 4.00, "spare decorations": 1, "decoration price": 2.80,
        "fixed minutes": 30, "overhead": 21.50, "fixed overhead": 7.50,
        "other": 35.00 + 12.00 + 6.00 + 9.00, "fixed other": 35.00 + 12.00 + 3.50 + 9.00,
    }  # fmt: skip
    assert kept[list(expected)].to_dict() == pytest.approx(expected)


def test_a_job_that_names_a_quote_wins_it_on_its_first_day(shop):
    records = Records(shop)
    records.save_quote(a_quote(shop))
    days = [{"date": np.datetime64(day, "s")} for day in ("2026-12-09", "2026-12-04")]
    records.add_jobs(jobs_of(*days).assign(quote="Q1"))
    assert (records.quote("Q1").status, records.quote("Q1").decided) == ("won", date(2026, 12, 4))


def test_a_quote_is_lost_won_and_open_again(shop):
    records = Records(shop)
    records.save_quote(a_quote(shop))
    for status, on in (("lost", MADE), ("won", MADE), ("open", None)):
        records.decide("Q1", status, on)
        assert (records.quote("Q1").status, records.quote("Q1").decided) == (status, on)


def test_a_quote_s_number_is_given_once_and_the_first_stays(shop):
    records = Records(shop)
    records.save_quote(a_quote(shop))
    with pytest.raises(PricelabError, match=r"records.sqlite has a quote Q1 already"):
        records.save_quote(a_quote(shop, pieces=30))
    assert records.quote("Q1").quantity == 20


def test_quotes_that_are_not_there_are_told(shop):
    records = Records(shop)
    with pytest.raises(PricelabError, match=r'records.sqlite has no quote "Q9"'):
        records.quote("Q9")
    with pytest.raises(PricelabError, match=r'records.sqlite has no quote "Q9"'):
        records.decide("Q9", "won", MADE)
    with pytest.raises(PricelabError, match=r"A job names a quote that records.sqlite does not"):
        records.add_jobs(jobs_of({}).assign(quote="Q9"))
    with pytest.raises(PricelabError, match=r'found "won" for a quote, expected won or lost with'):
        records.decide("Q9", "won", None)


@pytest.mark.parametrize(
    ("name", "method", "first"),
    [("harbour-caps", "leather", True), ("harbour-caps", "raised", False),
     ("fjord-muetzen", "vinyl", True), ("fjord-muetzen", "flat", True)],
)  # fmt: skip
def test_a_kept_estimate_is_the_one_of_the_day(tmp_path, name, method, first):
    """A quote's lines, summed up again, give what the same job is estimated at by the shop.

    One of the demo shops shows its prices with sales tax; its quotes count before tax.
    """
    folder = read_shop(DEMO_SHOP.parent / name)
    jobs = folder.jobs
    job = jobs[(jobs["method"] == method) & (jobs["order"] == ("first" if first else "repeat"))]
    job = job.iloc[:1].assign(date=np.datetime64(MADE, "s"))
    wide, high, blank = (job[x].item() for x in ("width", "height", "blank"))
    sides = (Length(Fraction(str(side)), folder.shop.unit) for side in (wide, high))
    wanted = Wanted(method, (Part(blank, job["quantity"].item()),), *sides, first)
    offer = make_offer(catalogue_of(folder), wanted)
    records = Records(tmp_path)
    records.save_quote(quote_of(folder.shop, wanted, offer, "Q1", MADE))
    kept = kept_estimates(records.quotes(), records.table(LINES)).loc["Q1"]
    today = estimate_jobs(folder.shop, job, folder.price_lists).iloc[0]
    assert today["tier"] > 0
    same = [name for name in FIGURES if name in kept.index]
    assert len(same) == 18
    assert kept[same].to_dict() == pytest.approx(today[same].to_dict(), rel=1e-9)
    rates = folder.shop.rates
    assert kept["rate"] == pytest.approx(rates.labour / 60)
    assert kept["overhead rate"] == pytest.approx(rates.overhead / 60)
    once = (Level.ORDER, Level.DESIGN) if first else (Level.ORDER,)
    operations = (*folder.shop.operations, *folder.shop.methods[method].operations)
    fixed = sum(each.minutes for each in operations if each.attended and each.per in once)
    assert kept["fixed minutes"] == pytest.approx(fixed)
