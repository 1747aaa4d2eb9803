"""What finished jobs say of a month, by hand on the small shop."""

import re
from dataclasses import replace
from datetime import date

import pandas as pd
import pytest
import smallshop

from pricelab.analysis.workload import period_charges, period_cost, pieces_a_year, workload
from pricelab.cost.cost_sheet import OPERATOR
from pricelab.files.folders import ROOT
from pricelab.files.shop_folder import read_shop
from pricelab.shop.charges import Charge, Element, Level
from pricelab.shop.errors import PricelabError
from pricelab.shop.method import Promotion

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
    (kind,) = load.kinds
    assert (kind.orders, kind.pieces, kind.revenue) == (2, 36, 330)
    assert kind.variable == pytest.approx(133.80 + 147.30)
    assert kind.labour == pytest.approx(18)  # a pressing minute is 0.50
    assert kind.hours == {OPERATOR: pytest.approx(0.6)}
    assert kind.bottleneck == OPERATOR


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
    assert load.hours_a_piece == {OPERATOR: pytest.approx([1 / 60])}


def test_minutes_paid_by_the_month_do_not_move_with_the_orders(load):
    """18.00 of labour stay: 48.90 + 18.00."""
    paid = replace(load, labour_monthly=True)
    assert paid.mix.contribution == pytest.approx(66.90 / 36)


@pytest.mark.parametrize("shop", ["harbour-caps", "fjord-muetzen"])
def test_every_job_of_the_demo_shops_is_counted_once(shop):
    folder = read_shop(ROOT / "data" / shop)
    load = workload(folder.shop, folder.jobs)
    assert load.skipped == ()
    assert sum(kind.orders for kind in load.kinds) == len(folder.jobs)
    assert sum(kind.pieces for kind in load.kinds) == folder.jobs["quantity"].sum()
    assert sum(kind.revenue for kind in load.kinds) == pytest.approx(folder.jobs["charged"].sum())
    assert [kind.key for kind in load.kinds] == [
        key for key in folder.shop.methods if key in set(folder.jobs["method"])
    ]


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
    assert period_cost(shop) == 1_200
    assert period_cost(folder.shop) == 0


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
    (kind,) = workload(folder.shop, jobs).kinds
    assert (kind.orders, kind.pieces) == (1, 36)
    assert kind.variable == pytest.approx(292.80)


def test_promotions_of_days_gone_by_do_not_cheapen_the_month_to_come(folder):
    """A promotion of job 1's day halves its set-up of 30.00; the month is planned without it."""
    method = folder.shop.methods["patch"]
    promoted = replace(method, promotions=(Promotion(date(2026, 1, 1), date(2026, 1, 2), 15.0),))
    shop = replace(folder.shop, methods={"patch": promoted})
    (kind,) = workload(shop, folder.jobs).kinds
    assert kind.variable == pytest.approx(133.80 + 147.30)
