"""The month's plan and its best mix, against published problems and scipy's own answers."""

import re
from dataclasses import replace
from datetime import date

import numpy as np
import pandas as pd
import pytest
import smallshop
from hypothesis import given
from hypothesis import strategies as st

from pricelab.analysis.month import (
    Mix,
    MonthPlan,
    best_mix,
    period_charges,
    pieces_a_year,
    pieces_for_profit,
    workload,
)
from pricelab.cost.cost_sheet import OPERATOR
from pricelab.files.folders import ROOT
from pricelab.files.shop_folder import read_shop
from pricelab.shop.charges import Charge, Element, Level
from pricelab.shop.errors import NoBreakEven, PricelabError
from pricelab.shop.method import Promotion


def contributions(each, share):
    """A mix known by its contributions alone: sold at them, at no variable cost."""
    return Mix(each, np.zeros(len(each)), share)


def test_published_mix_of_three_products():
    """Horngren, Cost Accounting 15e, Problem 3-44: 3/2/1 on 20/100/80 thousand, fixed 255,000."""
    mix = contributions([3, 2, 1], [20_000, 100_000, 80_000])
    assert mix.contribution == pytest.approx(1.70)
    assert MonthPlan(mix, 255_000, 200_000).break_even_pieces == pytest.approx(150_000)


def test_published_mix_of_two_products():
    """answer.ya.guru 3713978: 44 and 28, three to one, fixed 50,000."""
    mix = contributions([44, 28], [3, 1])
    assert mix.contribution == pytest.approx(40)
    assert MonthPlan(mix, 50_000, 0).break_even_pieces == pytest.approx(1_250)


def test_published_operating_leverage():
    """preguntia 13370291: 7,550 × (60 − 24) less 226,800; sales + 10 % bring 72,180."""
    mix = Mix([60], [24], [1])
    month = MonthPlan(mix, 226_800, 7_550)
    assert (month.contribution, month.profit) == (271_800, 45_000)
    assert month.operating_leverage == pytest.approx(6.04)
    assert MonthPlan(mix, 226_800, 8_305).profit == pytest.approx(72_180)
    assert 45_000 * (1 + 0.10 * month.operating_leverage) == pytest.approx(72_180)


def test_published_effect_of_a_lower_price():
    """scribd 495053642, Ex. 6-14: 8,000 at 50 less 32 earn 36,000; at 45, 10,000 earn 22,000."""
    assert MonthPlan(Mix([50], [32], [1]), 108_000, 8_000).profit == 36_000
    assert MonthPlan(Mix([45], [32], [1]), 108_000, 10_000).profit == 22_000
    assert pieces_for_profit(Mix([45], [32], [1]), 108_000, 22_000) == pytest.approx(10_000)


def test_published_margin_of_safety():
    """tutorsglobe 5557191: 20 less 12, fixed 800,000, 130,000 planned."""
    month = MonthPlan(Mix([20], [12], [1]), 800_000, 130_000)
    assert month.break_even_pieces == pytest.approx(100_000)
    assert month.margin_of_safety == pytest.approx(30_000)
    assert month.margin_of_safety_revenue == pytest.approx(600_000)
    assert month.margin_of_safety_share == pytest.approx(0.2308, abs=5e-5)


def test_nothing_is_rounded_between_steps():
    """answer.ya.guru 3748593: 514,000 at 30 % and 828,000 at 60 %, fixed 338,000.

    The page prints 695,473.25, from a ratio rounded to .486; unrounded it is 696,768.05.
    """
    mix = Mix([1, 1], [0.7, 0.4], [514_000, 828_000])
    month = MonthPlan(mix, 338_000, 1_342_000)
    assert month.contribution == pytest.approx(651_000)
    assert month.profit == pytest.approx(313_000)
    assert month.break_even_revenue == pytest.approx(696_768.05, abs=0.005)


def test_pieces_for_a_profit_after_tax():
    """sidebar.io lugar 14784308, as in test_breakeven: 392,000."""
    mix = Mix([75], [36], [1])
    assert pieces_for_profit(mix, 12_168_000, 1_872_000, 0.40) == pytest.approx(392_000)


def test_work_that_loses_by_the_piece_never_covers_the_month():
    told = (
        "a piece of this mix leaves −1.00: no number of them covers the month's costs. "
        "Raise prices or drop the work that loses."
    )
    with pytest.raises(NoBreakEven, match=f"^{re.escape(told)}$"):
        MonthPlan(Mix([5], [6], [1]), 100, 10)


# ---- scarce hours ---------------------------------------------------------------------


def test_published_ranking_by_the_bottleneck_minute():
    """is.muni.cz, Product mix and TOC: by a bottleneck minute the mix earns 560,
    by unit profit 352, by price 320. Contribution = price − material; labour 160 is fixed.
    """
    price, material = np.array([50, 50, 55, 52]), np.array([20, 25, 25, 20])
    minutes = [20, 20, 30, 30]
    found = best_mix(price - material, {"bottleneck": minutes}, {"bottleneck": 480}, [np.inf] * 4)
    assert found.contribution - 160 == pytest.approx(560)
    assert found.pieces == pytest.approx([24, 0, 0, 0])


def test_published_mix_under_demand():
    """accountingverse.com: rates of 4/3/6 an hour; demand 2,000/4,000/3,000 (mix computed)."""
    found = best_mix([10, 12, 6], {"hours": [2.5, 4, 1]}, {"hours": 10_000}, [2000, 4000, 3000])
    assert found.pieces == pytest.approx([2000, 500, 3000])
    assert found.contribution == pytest.approx(44_000)
    assert found.worth["hours"] == pytest.approx(3)
    assert found.used["hours"] == pytest.approx(10_000)


def test_published_mix_of_two_with_caps():
    """After Hansen & Mowen: 300 (1 h) and 600 (3 h), 120 hours, caps 60 and 100."""
    found = best_mix([300, 600], {"hours": [1, 3]}, {"hours": 120}, [60, 100])
    assert found.pieces == pytest.approx([60, 20])
    assert found.leave == pytest.approx([18_000, 12_000])
    assert found.contribution == pytest.approx(30_000)


def test_published_mix_where_one_bottleneck_does_not_rank():
    """After Factory Physics, App. 16A: several machines of 2,400 minutes each."""
    hours = {"A": [15, 10], "B": [15, 35], "C": [15, 5], "D": [25, 14]}
    found = best_mix([45, 60], hours, dict.fromkeys(hours, 2400), [100, 50])
    assert found.pieces == pytest.approx([75.789, 36.090], abs=5e-4)
    assert found.contribution == pytest.approx(5_575.94, abs=0.005)


def test_the_wyndor_problem():
    """From memory, Hillier & Lieberman: (2, 6), 36, worth 0, 1.5 and 1."""
    hours = {"plant 1": [1, 0], "plant 2": [0, 2], "plant 3": [3, 2]}
    available = {"plant 1": 4, "plant 2": 12, "plant 3": 18}
    found = best_mix([3, 5], hours, available, [np.inf, np.inf])
    assert found.pieces == pytest.approx([2, 6])
    assert found.contribution == pytest.approx(36)
    assert list(found.worth.values()) == pytest.approx([0, 1.5, 1])


@given(
    st.lists(st.tuples(st.integers(1, 9), st.integers(1, 9), st.integers(0, 9)), min_size=1,
             max_size=5),
    st.integers(0, 60),
)  # fmt: skip
def test_with_one_scarce_resource_the_best_mix_is_filled_by_rank(kinds, hours):
    """Contribution an hour ranks the work when one resource is scarce (greedy, by hand)."""
    each, needed, demand = zip(*kinds, strict=True)
    found = best_mix(each, {"hours": needed}, {"hours": hours}, demand)
    left, earned = hours, 0.0
    for at in sorted(range(len(kinds)), key=lambda at: -each[at] / needed[at]):
        made = min(demand[at], left / needed[at])
        left, earned = left - made * needed[at], earned + made * each[at]
    assert found.contribution == pytest.approx(earned)
    assert found.used["hours"] <= hours + 1e-9


@pytest.mark.parametrize(("fixed", "pieces"), [(-1, 10), (100, -1)])
def test_neither_costs_nor_pieces_are_below_nothing(fixed, pieces):
    with pytest.raises(PricelabError, match=r"^expected fixed costs and pieces of 0 or more\.$"):
        MonthPlan(Mix([9], [6], [1]), fixed, pieces)


def test_a_month_without_fixed_costs_breaks_even_at_once():
    """By hand: 10 × 3.00 are left."""
    month = MonthPlan(Mix([9], [6], [1]), 0, 10)
    assert (month.break_even_pieces, month.profit) == (0, 30)


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (
            ([1], {}, {}, [np.inf]),
            "the month has no best mix: some work that earns needs no scarce hours and has no "
            "limit to its demand. Give it a demand or hours.",
        ),
        (([1], {"h": [1]}, {"h": -1}, [1]), "no mix of work fits the month: "),
    ],
)
def test_a_month_that_has_no_answer_says_why(arguments, told):
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}"):
        best_mix(*arguments)


def test_a_month_without_demand_makes_nothing():
    found = best_mix([5, 6], {"hours": [1, 1]}, {"hours": 8}, [0, 0])
    assert (found.contribution, found.pieces.tolist()) == (0, [0, 0])


JOBS = """\
job,date,client,method,blank,width,height,quantity,order,price each,set-up charged,charged
1,2026-01-01,Someone,patch,cap,2,2,12,first,8.00,54.00,150.00
2,2026-03-31,Someone,patch,cap,2,2,24,repeat,7.50,0,180.00
3,2026-02-01,Someone,patch,cap,6,2,12,first,8.00,0,96.00
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """The small shop with three jobs, of which one is too wide."""
    return read_shop(smallshop.write_shop(tmp_path_factory.mktemp("shop"), jobs=JOBS))


@pytest.fixture(scope="module")
def load(folder):
    """Its workload."""
    return workload(folder.shop, folder.jobs)


def test_money_pieces_and_hours_by_hand(load):
    """Job 1: 12 × 7.50 + 36.00 + 5 % of 150 + .30 = 133.80; job 2: 24 × 5.50 + 6.00 + 9.30."""
    assert load.work.loc["patch"].to_dict() == {
        "orders": 2, "pieces": 36, "revenue": 330, "variable": pytest.approx(133.80 + 147.30),
        "labour": pytest.approx(18),  # a pressing minute is 0.50
    }  # fmt: skip
    assert load.hours.loc["patch"].to_dict() == {OPERATOR: pytest.approx(0.6)}
    assert load.bottleneck["patch"] == OPERATOR


def test_a_job_that_could_not_be_made_is_left_out_with_its_reason(load):
    assert load.skipped == (("3", "the panel of Plain cap takes at most 5 × 2.5 in."),)


def test_months_are_counted_from_the_first_day_to_the_last(load):
    """1 January to 31 March 2026: 31 + 28 + 31 = 90 days of 365.25 / 12."""
    assert load.months == pytest.approx(90 * 12 / 365.25)
    assert load.pieces_a_month.tolist() == [pytest.approx(36 / (90 * 12 / 365.25))]


def test_the_mix_and_its_contribution_by_hand(load):
    """330 / 36 a piece, less 281.10 / 36; by the bottleneck's .6 hours 48.90 / .6 = 81.50."""
    assert load.mix.revenue == pytest.approx(330 / 36)
    assert load.mix.contribution == pytest.approx(48.90 / 36)
    assert load.hourly.tolist() == [pytest.approx(81.50)]
    assert load.hours_a_piece[OPERATOR].tolist() == pytest.approx([1 / 60])


def test_minutes_paid_by_the_month_do_not_move_with_the_orders(load):
    """18.00 of labour stay: 48.90 + 18.00."""
    paid = replace(load, labour_monthly=True)
    assert paid.mix.contribution == pytest.approx(66.90 / 36)


@pytest.mark.parametrize("shop", ["harbour-caps", "fjord-muetzen"])
def test_every_job_of_the_demo_shops_is_counted_once(shop):
    folder = read_shop(ROOT / "data" / shop)
    load = workload(folder.shop, folder.jobs)
    assert load.skipped == ()
    sums = [len(folder.jobs), *folder.jobs[["quantity", "charged"]].sum()]
    assert load.work[["orders", "pieces", "revenue"]].sum().tolist() == pytest.approx(sums)
    done = set(folder.jobs["method"])
    assert load.work.index.tolist() == [key for key in folder.shop.methods if key in done]


def test_no_jobs_no_month(folder):
    told = (
        "There is no finished job to plan a month by. Write some into jobs.csv, or plan by "
        "single orders."
    )
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        workload(folder.shop, folder.jobs.iloc[:0])


def test_the_month_s_costs_are_the_shop_s_and_its_methods(folder):
    """1,000 of rent and 200 of a lease; an order's freight is none of them."""
    rent = Charge("rent", Element.RENT, Level.PERIOD, 1_000)
    lease = Charge("lease", Element.OTHER, Level.PERIOD, 200)
    shop = folder.shop
    method = replace(shop.methods["patch"], charges=(lease,))
    shop = replace(shop, charges=(*shop.charges, rent), methods={"patch": method})
    assert period_charges(shop) == (rent, lease)
    assert period_charges(folder.shop) == ()


def test_pieces_a_year_of_some_methods():
    """36 pieces in 73 days, a fifth of 365: about 180 a year; 24 of them by one method."""
    jobs = pd.DataFrame(
        {
            "date": pd.to_datetime(["2026-01-01", "2026-03-14"]),
            "method": ["a", "b"],
            "quantity": [24, 12],
        }
    )
    assert pieces_a_year(jobs, ["a", "b"]) == round(36 * 365.25 / 73)
    assert pieces_a_year(jobs, ["a"]) == round(24 * 365.25 / 73)
    assert pieces_a_year(jobs, ["c"]) == 0
    assert pieces_a_year(jobs.iloc[:0], ["a"]) == 0


def test_a_job_of_two_rows_is_one_order_whose_freight_counts_once(folder):
    """36 caps at 3.00; 12 patches of one artwork at 3.00, 24 of another at 2.00; 36 × .50 of
    labour, 2 × 30.00 of set-up, 6.00 of freight; fees 5 % of 330 and .30: 292.80."""
    jobs = folder.jobs.iloc[:2].assign(job="1", order="first", width=[2.0, 2.2], height=[2.0, 1.8])
    kind = workload(folder.shop, jobs).work.loc["patch"]
    assert (kind["orders"], kind["pieces"]) == (1, 36)
    assert kind["variable"] == pytest.approx(292.80)


def test_promotions_of_days_gone_by_do_not_cheapen_the_month_to_come(folder):
    """A promotion of job 1's day halves its set-up of 30.00; the month is planned without it."""
    method = folder.shop.methods["patch"]
    promoted = replace(method, promotions=(Promotion(date(2026, 1, 1), date(2026, 1, 2), 15.0),))
    shop = replace(folder.shop, methods={"patch": promoted})
    assert workload(shop, folder.jobs).work["variable"].item() == pytest.approx(133.80 + 147.30)
