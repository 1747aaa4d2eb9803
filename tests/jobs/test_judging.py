"""Finished jobs judged and summed up: by hand from the small shop, and against plain loops."""

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
from example_shops import a_blank, a_patch, a_shop
from hypothesis import given, settings
from hypothesis import strategies as st
from small_jobs import jobs_of
from smallshop import write_shop
from twoblanks import two_blanks

from pricelab.files.folders import DEMO_SHOP
from pricelab.files.shop_folder import read_shop
from pricelab.jobs.judging import BY, causes, furthest_short, judge, losing_cells, summarise
from pricelab.jobs.variances import NAMES
from pricelab.shop.errors import PricelabError
from pricelab.shop.work import Operation


@pytest.fixture(scope="module")
def small(tmp_path_factory):
    """The small shop: what a piece costs stands in `smallshop`; labour is .50 a minute."""
    return read_shop(write_shop(tmp_path_factory.mktemp("small") / "shop"))


@pytest.fixture(scope="module")
def demo():
    """The demo shop and its finished jobs, judged."""
    folder = read_shop(DEMO_SHOP)
    return folder, judge(folder.shop, folder.jobs, folder.price_lists)


@pytest.fixture(scope="module")
def two(tmp_path_factory):
    """The small shop with a knit at 3.50 beside the cap: see `twoblanks`."""
    return read_shop(two_blanks(tmp_path_factory.mktemp("two") / "shop"))


def two_rows(cap: dict, knit: dict) -> pd.DataFrame:
    """A job of 12 caps and 12 knits."""
    row = {"job": "7", "quantity": 12, "charged": 203.35}
    return jobs_of({**row, **cap}, {**row, "blank": "knit", **knit})


def adds_up(judged) -> bool:
    """Whether every job's variances make its whole difference, to a millionth of a cent."""
    whole = judged["profit"] - judged["estimated profit"]
    return bool(np.allclose(judged[list(NAMES)].sum(axis=1), whole, rtol=0, atol=1e-8))


def test_a_job_by_hand(small):
    """20 caps charged 302.55 where the list asks 9.90 and 54.55; 26 minutes, 2 pieces spoiled.

    Estimated: 252.55 taken, less 5 % and .30 of fees (12.9275), material 120.00, labour 10.00,
    freight and set-up 36.00: 73.6225 left. It took 50.00 more, which cost 2.50 of fees; 2
    pieces at 6.00 and 6 minutes at .50 went on top: 73.6225 + 50 − 2.50 − 12 − 3 = 106.1225.
    """
    job = jobs_of({"attended minutes": 26, "spoiled pieces": 2})
    found = judge(small.shop, job, small.price_lists).iloc[0]
    assert found["estimated profit"] == pytest.approx(73.6225)
    assert found["profit"] == pytest.approx(106.1225)
    assert found["revenue"] == 302.55
    assert found["cost"] == pytest.approx(302.55 - 106.1225)
    assert found["hours"] == pytest.approx(26 / 60)
    assert found["month"] == "2026-03"
    assert found[list(NAMES)].to_dict() == pytest.approx({
        "volume variance": 0, "price variance": 50.00, "material price variance": 0,
        "material usage variance": -12.00, "labour rate variance": 0,
        "labour efficiency variance": -3.00, "overhead variance": 0, "freight variance": 0,
        "set-up cost variance": 0, "other variance": -2.50,
    })  # fmt: skip


def test_what_was_paid_for_material_and_labour_is_told_apart_from_how_much(small):
    """The 132.00 of material used cost 140.00; 26 minutes were paid at 36 an hour, .60 each."""
    job = jobs_of({"attended minutes": 26, "spoiled pieces": 2})
    job = job.assign(**{"materials paid": 140.00, "labour rate": 36.00})
    found = judge(small.shop, job, small.price_lists).iloc[0]
    assert found["material price variance"] == pytest.approx(132.00 - 140.00)
    assert found["material usage variance"] == pytest.approx(-12.00)
    assert found["labour rate variance"] == pytest.approx(26 * (0.50 - 0.60))
    assert found["labour efficiency variance"] == pytest.approx(-3.00)


def test_freight_and_set_up_that_were_paid_stand_against_what_was_estimated(small):
    """Freight of 6.00 came to 7.25, the set-up of 30.00 was cut to 20.00; a repeat pays none,
    and had 4.00 for a mended mould. What was not noted is as estimated."""
    jobs = jobs_of(
        {"freight paid": 7.25, "set-up paid": 20.0},
        {"order": "repeat", "set-up paid": 4.0, "freight paid": 0.0}, {},
    )  # fmt: skip
    found = judge(small.shop, jobs, small.price_lists)
    assert found["freight variance"].tolist() == pytest.approx([-1.25, 6.00, 0])
    assert found["set-up cost variance"].tolist() == pytest.approx([10.00, -4.00, 0])
    assert (found["profit"].iloc[0] - found["profit"].iloc[2]) == pytest.approx(8.75)
    assert adds_up(found)


def test_freight_noted_in_one_row_is_the_order_s(two):
    """9.00 for 24 pieces of two rows, expected 6.00: 1.50 each."""
    found = judge(two.shop, two_rows({"freight paid": 9.00}, {}))
    assert found["freight variance"].tolist() == pytest.approx([-1.50, -1.50])


def test_freight_and_set_up_paid_on_a_quoted_job_stand_against_the_quote(small):
    """Quoted 4.00 a piece-grown freight of 0.20 each and 30.00 of set-up for 20; 24 delivered:
    freight 4.80 expected, 5.00 paid; set-up stays at 30.00, 33.00 paid."""
    quote = sold(**{"freight": 4.0, "fixed freight": 0.0, "set-up cost": 30.0,
                    "fixed set-up cost": 30.0})  # fmt: skip
    job = jobs_of({"quantity": 24, "freight paid": 5.0, "set-up paid": 33.0}).assign(quote="Q1")
    found = judge(small.shop, job, small.price_lists, quote)
    assert found["freight variance"].item() == pytest.approx(-0.20)
    assert found["set-up cost variance"].item() == pytest.approx(-3.00)
    assert adds_up(found)


def test_what_was_not_noted_is_as_estimated(small):
    """Without minutes and spoiled pieces, only what was charged differs, with its fees."""
    found = judge(small.shop, jobs_of({}), small.price_lists).iloc[0]
    assert {name for name in NAMES if abs(found[name]) > 1e-9} == {
        "price variance", "other variance",
    }  # fmt: skip


def test_a_discount_on_the_whole_is_a_difference_of_price(small):
    """Charged 300.00 instead of 20 × 12.40 + 54.55 = 302.55."""
    whole = judge(small.shop, jobs_of({}), small.price_lists)
    less = judge(small.shop, jobs_of({"charged": 300.00}), small.price_lists)
    assert (less["price variance"] - whole["price variance"]).item() == pytest.approx(-2.55)
    assert adds_up(less)


def test_overhead_follows_the_minutes_it_is_recovered_on(small):
    """12.00 an hour is .20 a minute: 6 minutes more on hand, or 5 more on machines."""
    job = jobs_of({"attended minutes": 26, "machine minutes": 5})
    for on, cost in (("attended", 1.20), ("machine", 1.00)):
        rates = replace(small.shop.rates, overhead=12.0, overhead_on=on)
        found = judge(replace(small.shop, rates=rates), job, small.price_lists)
        assert found["overhead variance"].item() == pytest.approx(-cost)
        assert adds_up(found)


def test_hours_are_those_of_whoever_or_whatever_was_busiest():
    """10 pieces: operator 10 minutes, press 20, cutter 10; noted are 12 and, of machines, 45.

    The press had 20 of the estimated 30 machine minutes, so 30 of the 45: half an hour. Of
    15 machine minutes it had 10: then the operator's 12 are more.
    """
    work = (
        Operation("load", 1), Operation("press", 2, attended=False, station="press"),
        Operation("cut", 1, attended=False, station="cutter"),
    )  # fmt: skip
    shop = a_shop(a_patch(operations=work), blanks=(a_blank(),))
    noted = {"quantity": 10, "attended minutes": 12}
    jobs = jobs_of({**noted, "machine minutes": 45}, {**noted, "machine minutes": 15})
    assert judge(shop, jobs)["hours"].tolist() == pytest.approx([30 / 60, 12 / 60])


def sold(**changes) -> pd.DataFrame:
    """A quote of 20 caps at 10.00 with a set-up of 50.00, by number, unless told otherwise."""
    quote = {
        "quantity": 20.0, "price": 10.0, "set-up": 50.0, "material": 100.0, "spoiled": 0.0,
        "spoiled cost": 5.0, "minutes": 30.0, "fixed minutes": 10.0, "machine minutes": 0.0,
        "busiest minutes": 0.0, "overhead": 0.0, "fixed overhead": 0.0, "other": 36.0,
        "fixed other": 30.0, "rate": 0.40, "overhead rate": 0.0, "fee share": 0.0,
        "fixed fee": 0.0,
    }  # fmt: skip
    return pd.DataFrame([{**quote, **changes}], index=["Q1"])


def test_a_job_is_judged_by_the_quote_it_was_sold_on(small):
    """Quoted 20: 250.00 taken, 100.00 + 30 × .40 + 36.00 spent, 102.00 left. Delivered 24.

    24 flexed: 290.00 taken; material 120.00, minutes 10 + 24, other 30 + 7.20: 119.20 left, so
    17.20 for volume. Charged 10.50 a piece: 12.00 more. 40 minutes instead of 34: −2.40.
    """
    job = jobs_of({
        "quantity": 24, "price each": 10.50, "set-up charged": 50, "charged": 302,
        "attended minutes": 40,
    }).assign(quote="Q1")  # fmt: skip
    found = judge(small.shop, job, small.price_lists, sold()).iloc[0]
    assert found["quoted"] == 20
    assert found["estimated profit"] == pytest.approx(102.00)
    assert found["volume variance"] == pytest.approx(17.20)
    assert found["price variance"] == pytest.approx(12.00)
    assert found["labour efficiency variance"] == pytest.approx(-2.40)
    assert found["profit"] == pytest.approx(102.00 + 17.20 + 12.00 - 2.40)


def test_the_rows_of_a_job_share_its_quote_by_their_pieces(small):
    """15 and 5 of the quoted 20 pieces: three quarters and one of everything."""
    rows = [{"job": "1", "quantity": 15}, {"job": "1", "quantity": 5, "width": 1.5}]
    found = judge(small.shop, jobs_of(*rows).assign(quote="Q1"), small.price_lists, sold())
    assert found["quoted"].tolist() == [15, 5]
    assert found["estimated profit"].tolist() == pytest.approx([76.50, 25.50])
    assert found["rows"].tolist() == [2, 2]


def test_a_job_without_its_quote_is_judged_by_the_shop(small):
    plain = judge(small.shop, jobs_of({}), small.price_lists)
    other = judge(small.shop, jobs_of({}).assign(quote=""), small.price_lists, sold())
    pd.testing.assert_frame_equal(plain, other.drop(columns="quote"))


def test_jobs_that_cannot_be_estimated_are_left_out(small):
    found = judge(small.shop, jobs_of({}, {"method": "paint"}), small.price_lists)
    assert found["job"].tolist() == ["1"]


amounts = st.floats(0, 500, allow_nan=False)


@settings(max_examples=40, deadline=None)  # a busy machine is no fault
@given(
    quantity=st.integers(1, 50), charged=amounts, setup=amounts, minutes=st.none() | amounts,
    spoiled=st.none() | st.integers(0, 60), paid=st.none() | amounts, rate=st.none() | amounts,
    quoted=st.integers(1, 60), on_quote=st.booleans(), freight=st.none() | amounts,
    fee=st.none() | amounts,
)  # fmt: skip
def test_variances_of_any_job_add_up(
    small, quantity, charged, setup, minutes, spoiled, paid, rate, quoted, on_quote, freight, fee
):
    """Whatever is noted, and whichever estimate it is judged by."""
    job = jobs_of({
        "quantity": quantity, "charged": charged, "set-up charged": setup,
        "attended minutes": minutes, "spoiled pieces": spoiled, "freight paid": freight,
        "set-up paid": fee,
    })  # fmt: skip
    job = job.assign(quote="Q1" if on_quote else "")
    job["materials paid"] = pd.array([paid], dtype="Float64")
    job["labour rate"] = pd.array([rate], dtype="Float64")
    found = judge(small.shop, job, small.price_lists, sold(quantity=float(quoted)))
    assert adds_up(found)
    assert (found["revenue"] - found["cost"] - found["profit"]).abs().max() < 1e-8


def test_the_demo_shop_s_jobs_all_add_up(demo):
    folder, judged = demo
    assert len(judged) == len(folder.jobs)
    assert adds_up(judged)
    assert judged.columns.is_unique


@pytest.mark.parametrize("by", [*BY, ["method", "month"]], ids=str)
def test_sums_are_those_of_a_plain_loop(demo, by):
    """Every figure of every group, added up job by job."""
    _, judged = demo
    sums = {}
    for job in judged.to_dict("records"):
        key = tuple(job[name] for name in by) if isinstance(by, list) else job[by]
        held = sums.setdefault(key, np.zeros(6))
        held += [1, job["quantity"], job["revenue"], job["cost"], job["profit"], job["hours"]]
    found = summarise(judged, by)
    assert len(found) == len(sums)
    for key, (orders, pieces, revenue, cost, profit, hours) in sums.items():
        row = found.loc[key]
        assert row[["orders", "pieces"]].tolist() == [orders, pieces]
        assert row[["revenue", "cost", "profit", "hours"]].tolist() == pytest.approx(
            [revenue, cost, profit, hours]
        )
        assert row[["margin", "a piece", "an order", "an hour"]].tolist() == pytest.approx(
            [profit / revenue, profit / pieces, profit / orders, profit / hours]
        )
    assert found["profit"].is_monotonic_decreasing


def test_a_job_of_two_rows_is_one_order(small):
    rows = [{"job": "7", "client": "A"}, {"job": "7", "client": "A", "width": 1.5},
            {"job": "8", "client": "B"}]  # fmt: skip
    found = summarise(judge(small.shop, jobs_of(*rows)), "client")
    assert found["orders"].to_dict() == {"A": 1, "B": 1}


def test_what_one_row_notes_is_of_the_whole_order_by_hand(two):
    """12 caps and 12 knits, 2.00 of patch on each: 24 minutes expected at .50, no piece spoiled.

    All 40 minutes and the 3 spoiled pieces stand with the caps. The minutes are shared as
    they were expected, 20 and 20: 8 more each cost 4.00. No spoiled piece was expected, so
    those go by pieces: 1.5 at 6.00 and 1.5 at 5.50.
    """
    found = judge(two.shop, two_rows({"attended minutes": 40, "spoiled pieces": 3}, {}))
    assert found["labour efficiency variance"].tolist() == pytest.approx([-4.00, -4.00])
    assert found["material usage variance"].tolist() == pytest.approx([-9.00, -8.25])
    assert found["hours"].tolist() == pytest.approx([20 / 60, 20 / 60])
    assert adds_up(found)


def test_what_every_row_notes_is_its_own(two):
    """Of 40 minutes, 30 are the caps' and 10 the knits': 12 were expected of each."""
    found = judge(two.shop, two_rows({"attended minutes": 30}, {"attended minutes": 10}))
    assert found["labour efficiency variance"].tolist() == pytest.approx([-9.00, 1.00])
    assert found["hours"].tolist() == pytest.approx([20 / 60, 20 / 60])


BEANIES = a_shop(a_patch(), a_patch(key="star"), blanks=(a_blank(prices=(2.50,), pack=10),))
"""Beanies at 2.50 in tens, patches at 2.00 by the piece; nothing else costs anything."""


@pytest.mark.parametrize(
    ("spoiled", "worth", "more"),
    [
        (4, 0.0, 4 * 2.00),  # 16 beanies used and 4 over, of 20 paid
        (8, 0.0, 8 * 2.00),
        (10, 0.0, 10 * 2.00 + 2 * 2.50),  # 22 used, 2 of them on top
        (4, 0.5, 4 * 2.00 + 4 * 1.25),  # 8 left over would have been worth half each, now 4
        (10, 0.5, 10 * 2.00 + 8 * 1.25 + 2 * 2.50),
    ],
)
def test_what_is_spare_replaces_the_pieces_really_spoiled(spoiled, worth, more):
    """12 wanted, 20 bought for 50.00, 12 patches for 24.00; nobody pays twice for one beanie."""
    job = jobs_of({"quantity": 12, "spoiled pieces": spoiled})
    found = judge(replace(BEANIES, surplus_worth=worth), job)
    assert found["material usage variance"].tolist() == pytest.approx([-more])
    assert found["estimated material"].tolist() == pytest.approx([74.00 - 8 * worth * 2.50])
    assert adds_up(found)


def test_what_is_expected_to_be_spoiled_and_is_spare_is_paid_once():
    """A fifth is spoiled: 3 beanies of the 8 spare and 3 patches. Really 1 was: 2 patches less."""
    shop = a_shop(a_patch(spoilage=0.2), blanks=(a_blank(prices=(2.50,), pack=10),))
    found = judge(shop, jobs_of({"quantity": 12, "spoiled pieces": 1}))
    assert found["estimated material"].tolist() == pytest.approx([50.00 + 15 * 2.00])
    assert found["estimated spoiled cost"].tolist() == pytest.approx([4.50])
    assert found["material usage variance"].tolist() == pytest.approx([2 * 2.00])


@pytest.mark.parametrize(("said", "more"), [("no", 2 * 2.50 + 8 * 2.00), ("yes", 8 * 4.00)])
def test_rows_of_a_job_share_what_is_spare_of_their_blank(said, more):
    """Two rows of 12 with 4 spoiled each. Other pieces: of 24 in tens 6 are spare for 8, and
    8 patches are on top. The same 12 twice: of 20, 8 are spare for 8, and each counts with both
    its patches."""
    rows = [{"width": 2.0}, {"width": 2.25, "method": "star", "same pieces": said}]
    plain = {"job": "7", "quantity": 12, "spoiled pieces": 4}
    found = judge(BEANIES, jobs_of(*({**plain, **row} for row in rows)))
    assert found["material usage variance"].sum() == pytest.approx(-more)
    assert adds_up(found)


def test_an_order_s_hours_are_its_busiest_one_s_over_all_rows():
    """20 pieces, each pressed and cut: 10 + 10 minutes by hand, 40 on the press and 10 on the
    cutter, so 40 in all; row by row it would be 40 + 10."""
    press = a_patch(operations=(
        Operation("load", 0.5), Operation("press", 2, attended=False, station="press"),
    ))  # fmt: skip
    cut = a_patch(key="cut", operations=(
        Operation("weed", 0.5), Operation("cut", 0.5, attended=False, station="cutter"),
    ))  # fmt: skip
    shop = a_shop(press, cut, blanks=(a_blank(),))
    found = judge(shop, jobs_of({"job": "7"}, {"job": "7", "method": "cut", "same pieces": "yes"}))
    assert found["hours"].sum() == pytest.approx(40 / 60)


def test_work_that_was_given_away_has_no_margin(small):
    job = jobs_of({"price each": 0, "set-up charged": 0, "charged": 0})
    assert summarise(judge(small.shop, job), "client")["margin"].tolist() == [0.0]


def test_an_unknown_column_to_sum_up_by_is_refused(demo):
    _, judged = demo
    with pytest.raises(PricelabError, match='found "colour" to sum up by, expected one of client'):
        summarise(judged, "colour")


def test_losing_jobs_are_traced_to_their_cells(small):
    """Two jobs of the cell from 12 pieces at 2 in: one of 20 caps for 100.00 loses.

    It costs 166.00 and fees of 5.30, so 71.30 is lost; the one charged 302.55 left
    302.55 × .95 − .30 − 166 = 121.1225. A job at 3 in earns, and its cell is not named.
    """
    jobs = jobs_of(
        {"price each": 5, "set-up charged": 0, "charged": 100}, {}, {"width": 3.0, "height": 2.5}
    )
    found = losing_cells(judge(small.shop, jobs, small.price_lists))
    assert found.to_dict("records") == [{
        "method": "patch", "blank": "cap", "size band": 2.0, "tier": 12,
        "place": 'price_list.csv, row 2, column "12"', "jobs": 2, "losing": 1,
        "short": pytest.approx(71.30), "profit": pytest.approx(121.1225 - 71.30),
    }]  # fmt: skip


def test_jobs_under_the_floor_are_traced_too(small):
    """The job charged 302.55 leaves 121.1225, 40.03 %: 0.9 % of the price short of 41 %."""
    judged = judge(small.shop, jobs_of({}), small.price_lists)
    assert losing_cells(judged).empty
    found = losing_cells(judged, under=0.41)
    assert found["short"].tolist() == pytest.approx([0.41 * 302.55 - 121.1225])
    assert losing_cells(judged, under=0.40).empty


def test_a_job_that_just_pays_does_not_lose(small):
    """Charged (166.00 + .30) / .95, as exactly as a float can say it."""
    charged = 166.30 / 0.95
    judged = judge(small.shop, jobs_of({"set-up charged": 0, "charged": charged}))
    assert abs(judged["profit"].item()) < 1e-9
    for noise in (-1e-12, 0, 1e-12):
        assert losing_cells(judged.assign(profit=noise)).empty


def judged(**columns):
    """Judged jobs; variances that are not told are 0."""
    count = len(next(iter(columns.values())))
    frame = pd.DataFrame({name: [0.0] * count for name in NAMES} | columns)
    frame["estimated profit"] = 100.0
    frame["profit"] = 100.0 + frame[list(NAMES)].sum(axis=1)
    return frame.assign(job=[f"J{at}" for at in range(count)])


JOBS = judged(
    **{
        "price variance": [-10.0, 5.0, 0.0, -1.0],
        "labour efficiency variance": [-30.0, -1.0, -7.0, 1.0],
    }
)


def test_causes_add_up_from_the_estimate_to_the_profit():
    """400 estimated; price −6, labour efficiency −37: 357 earned."""
    estimated, named = causes(JOBS)
    moved = {name: money for name, money in named if money}
    assert (estimated, moved) == (400.0, {"price": -6.0, "labour efficiency": -37.0})
    assert estimated + sum(moved.values()) == JOBS["profit"].sum() == 357.0
    assert [name for name, _ in named][:2] == ["volume", "price"]


def test_the_jobs_furthest_short_come_first_with_what_cost_most():
    """Short by 40 and 7; one earned more, one just what was estimated."""
    worst = furthest_short(JOBS, 8)
    assert worst["job"].tolist() == ["J0", "J2"]
    assert worst["missed"].tolist() == [40.0, 7.0]
    assert worst["cause"].tolist() == ["labour efficiency", "labour efficiency"]
    assert furthest_short(JOBS, 1)["job"].tolist() == ["J0"]


def test_the_rows_of_a_job_are_one_job():
    """J0's two rows are 10 and 30 short, by minutes 30 of the 40; J1's own 25."""
    rows = judged(
        **{"price variance": [-10.0, -25.0, 0.0], "labour efficiency variance": [0.0, 0.0, -30.0]}
    ).assign(job=["J0", "J1", "J0"], quantity=12, method=["patch", "patch", "film"])
    worst = furthest_short(rows, 8)
    assert worst["job"].tolist() == ["J0", "J1"]
    assert worst["missed"].tolist() == [40.0, 25.0]
    assert worst["cause"].tolist() == ["labour efficiency", "price"]
    assert worst["quantity"].tolist() == [24, 12]


def test_no_job_short_is_an_empty_table():
    """And no error."""
    assert furthest_short(judged(**{"price variance": [1.0, 0.0]}), 8).empty
