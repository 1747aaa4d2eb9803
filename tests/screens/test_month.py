"""The panel on the month, driven and read without a browser."""

import pytest
import smallshop

from pricelab.files.shop_folder import read_shop
from pricelab.screens.month import MonthPanel
from pricelab.screens.opening import opened
from pricelab.shop.errors import PricelabError

JOBS = """\
job,date,client,method,blank,width,height,quantity,order,price each,set-up charged,charged
1,2026-01-01,Someone,patch,cap,2,2,12,first,8.00,54.00,150.00
2,2026-03-31,Someone,patch,cap,2,2,24,repeat,7.50,0,180.00
"""

COSTS = f"{smallshop.FILES['costs.csv']},rent,rent,period,200.00\n"


@pytest.fixture
def panel(tmp_path):
    """The small shop with the jobs that test_workload reckons: 48.90 on 36 pieces; rent 200.00."""
    return MonthPanel(read_shop(smallshop.write_shop(tmp_path, jobs=JOBS, costs=COSTS)))


def test_the_month_by_hand(panel):
    """1.3583 a piece: 200 / 1.3583 = 147.2; 12 pieces leave 16.30 − 200; 9.1667 taken each.

    For 90.00 after 10 % tax: (200 + 100) / 1.3583 = 220.9 pieces.
    """
    panel.wanted.set(90)
    panel.tax.set(10)
    assert panel.pieces.value == 12
    assert panel.month.words.startswith(
        "12 pieces a month lose $183.70; the month breaks even at 148"
    )
    said = panel.figures.words
    assert "A piece of your mix brings $9.17 and leaves $1.36" in said
    assert "Break-even: 148 pieces, or $1,349.69 taken." in said
    assert "Missing to break even: 135 pieces, or $1,239.69 taken." in said
    assert "For $90.00 after 10 % income tax you need $100.00 before it: 221 pieces" in said
    assert "From 2 finished jobs over 3 months" in said
    assert "rent $200.00" in said


def test_minutes_paid_by_the_month_leave_more_a_piece(panel):
    """18.00 of labour over 36 pieces are .50 more."""
    panel.paid.set(True)
    assert "leaves $1.86 after what moves with it" in panel.figures.words


def test_work_is_ranked_by_its_bottleneck(panel):
    """48.90 in .6 hours."""
    assert panel.ranking.words.startswith(
        "When hours are short, take Leather patch first: $81.50 an hour of its bottleneck"
    )


def test_the_best_mix_is_held_by_hours_and_says_what_one_more_is_worth(panel):
    """An hour presses 60 pieces, but demand is 1.5 × 12.175 = 18.2625: 200 − 24.81.

    With demand to spare an hour is worth what the bottleneck leaves.
    """
    assert "The mix that earns most is $175.19 short of the month's fixed costs: no mix pays" in (
        panel.best.words
    )
    (who,) = panel.hours
    panel.growth.set(1_000)
    panel.hours[who].set(1)
    assert "Operator        1     1             $81.50" in panel.worth.words


def test_a_month_without_pieces_says_so(panel):
    panel.pieces.set(0)
    assert "A month without pieces has no margin of safety to speak of." in panel.figures.words
    assert panel.month.words.startswith("0 pieces a month lose $200.00")


def test_work_without_dwell_says_why_two_machines_gain_nothing(panel):
    assert panel.tending.words.startswith("No machine of Leather patch works alone")


def test_work_that_loses_by_the_piece_is_told_instead_of_a_plan(tmp_path):
    """120.00 for 24 repeats against 147.30 − 3.00 of fees."""
    jobs = JOBS.replace("150.00", "60.00").replace("180.00", "120.00")
    panel = MonthPanel(read_shop(smallshop.write_shop(tmp_path, jobs=jobs, costs=COSTS)))
    assert "no number of them covers the month's costs" in str(panel)


def test_a_shop_without_jobs_says_what_is_missing(tmp_path):
    smallshop.write_shop(tmp_path)
    (tmp_path / "jobs.csv").unlink()
    with pytest.raises(PricelabError, match=r"^There is no finished job to plan a month by\."):
        MonthPanel(read_shop(tmp_path))
    assert str(opened(MonthPanel, tmp_path)).startswith("There is no finished job to plan")
