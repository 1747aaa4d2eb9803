"""A new press, against published cash flows and numpy-financial."""

import re
from dataclasses import replace

import numpy as np
import numpy_financial as npf
import pytest
from example_shops import a_blank, a_shop
from hypothesis import given
from hypothesis import strategies as st

from pricelab.analysis.machine import (
    PressCase,
    annuity,
    irrs,
    npv,
    payback,
    saved_a_piece,
    so_far,
)
from pricelab.cost.orders import Order
from pricelab.shop.charges import Charge, Element, Level
from pricelab.shop.errors import NoBreakEven, PricelabError
from pricelab.shop.grids import Grid
from pricelab.shop.method import Density, Method, Stitching
from pricelab.shop.sizes import Artwork
from pricelab.shop.work import Operation, Rates

DOCSTRING_FLOWS = [-40_000, 5_000, 8_000, 12_000, 30_000]  # numpy-financial's own example


def test_the_library_s_published_examples():
    """numpy-financial docstrings: npv 3065.22267; irr .28095."""
    assert npv(0.08, DOCSTRING_FLOWS) == pytest.approx(3065.22267, abs=5e-6)
    assert irrs([-100, 39, 59, 55, 20]) == (pytest.approx(0.28095, abs=5e-6),)


def test_published_press():
    """answer.ya.guru 7374516: 54,750; 7,500 for 8 years and 27,300 at the end; at 8 %.

    The page's payback leaves the sale at the end out of account.
    """
    assert payback([-54_750, *[7_500] * 8]) == pytest.approx(7.3)
    assert npv(0.08, [-54_750, *[7_500] * 7, 7_500 + 27_300]) == pytest.approx(3_099, abs=0.5)


def test_published_discounted_payback():
    """studyzin 99527: 500,000 at 92,500 a year and 10 %: 8.17, interpolated within the year."""
    assert payback([-500_000, *[92_500] * 10], 0.10) == pytest.approx(8.17, abs=5e-3)


flows_of_a_press = st.tuples(
    st.integers(1_000, 50_000), st.lists(st.integers(0, 20_000), min_size=1, max_size=15)
).map(lambda press: [-press[0], *press[1]])
rates = st.sampled_from([0.0, 0.01, 0.08, 0.25])


@given(flows_of_a_press, rates)
def test_present_value_is_the_library_s(flows, rate):
    assert npv(rate, flows) == pytest.approx(npf.npv(rate, flows), abs=1e-6)


@given(flows_of_a_press)
def test_at_a_rate_of_return_the_flows_are_worth_nothing(flows):
    found = irrs(flows)
    for rate in found:
        assert npv(rate, flows) == pytest.approx(0, abs=1e-6 * np.abs(flows).sum())
    if sum(flows[1:]) > 0:  # one change of sign: one rate, the library's
        (rate,) = found
        assert rate == pytest.approx(npf.irr(flows), abs=1e-6)
    else:
        assert found == ()


def test_flows_that_change_sign_twice_have_two_rates():
    """By hand: −100 + 230 x − 132 x² with x = 1 / (1 + r) is 0 at r = 10 % and 20 %."""
    assert irrs([-100, 230, -132]) == pytest.approx((0.10, 0.20))


def test_flows_that_only_come_in_have_no_rate():
    assert irrs([100, 20]) == ()


@given(flows_of_a_press, rates)
def test_payback_is_where_a_walk_through_the_periods_ends(flows, rate):
    owed, walked = float(-flows[0]), None
    for period, flow in enumerate(flows[1:], 1):
        worth = flow / (1 + rate) ** period
        if owed - worth <= 1e-9:
            walked = period - 1 + owed / worth
            break
        owed -= worth
    if walked is None:
        with pytest.raises(NoBreakEven, match="is still to be paid back"):
            payback(flows, rate)
    else:
        assert payback(flows, rate) == pytest.approx(walked)


def test_what_costs_nothing_is_paid_back_at_once():
    assert payback([0, 10]) == 0.0


def test_a_press_that_never_pays_says_what_is_left():
    told = "after 2 periods 80.00 is still to be paid back."
    with pytest.raises(NoBreakEven, match=f"^{re.escape(told)}$"):
        payback([-100, 10, 10])


@given(st.integers(1, 60), st.sampled_from([0.01, 0.08, 0.25]))
def test_an_annuity_is_the_library_s(periods, rate):
    assert annuity(periods, 0) == periods
    assert annuity(periods, rate) == pytest.approx(-npf.pv(rate, periods, 1))


@pytest.mark.parametrize(
    ("call", "told"),
    [
        (lambda: npv(-1, [-1, 2]), "found a rate of −100 % a period, expected more than −100 %."),
        (lambda: npv(0.1, [1]), "expected a price today and what at least one period brings."),
        (
            lambda: PressCase(1, 0, 12, 1).pieces_to_pay,
            "a piece that saves 0.00 never pays for a press.",
        ),
    ],
)
def test_questions_without_an_answer_say_why(call, told):
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        call()


# ---- a machine and what it saves ------------------------------------------------------

cases = st.builds(
    PressCase,
    price=st.integers(100, 50_000), saved=st.integers(1, 20), pieces=st.integers(0, 5_000),
    years=st.integers(1, 15), rate=rates, upkeep=st.integers(0, 500),
    resale=st.integers(-500, 5_000),
)  # fmt: skip


def test_a_machine_by_hand():
    """10,000; 2.00 on 2,600 pieces less 200 is 5,000 a year; 1,000 at the end of three."""
    case = PressCase(10_000, 2, 2_600, 3, 0.1, 200, 1_000)
    assert case.flows.tolist() == [-10_000, 5_000, 5_000, 6_000]
    assert case.npv == pytest.approx(-10_000 + 5_000 / 1.1 + 5_000 / 1.21 + 6_000 / 1.331)
    assert payback(case.flows) == 2
    assert so_far(case.flows, 0.1).tolist() == pytest.approx(
        [-10_000, -10_000 + 5_000 / 1.1, -10_000 + 5_000 / 1.1 + 5_000 / 1.21, case.npv]
    )


@given(cases)
def test_its_worth_is_the_library_s_at_any_volume_and_price(case):
    assert case.npv == pytest.approx(npf.npv(case.rate, case.flows), abs=1e-6)
    pieces, prices = np.array([0, 700, 4_000]), np.array([50.0, 9_000.0])
    found = case.npv_over(pieces, prices[:, None])
    assert found.shape == (2, 3)
    for row, price in enumerate(prices):
        for column, much in enumerate(pieces):
            other = replace(case, price=price, pieces=float(much))
            assert found[row, column] == pytest.approx(other.npv, abs=1e-6)


@given(cases)
def test_from_its_volume_on_it_is_worth_its_price(case):
    needed = case.pieces_to_pay
    at = replace(case, pieces=needed).npv
    assert at >= -1e-6
    if needed > 0:
        assert at == pytest.approx(0, abs=1e-6)
        assert replace(case, pieces=needed * 0.99).npv < 0


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"price": 0}, "found a press for 0.00, expected a price above 0."),
        ({"pieces": -1}, "expected pieces and upkeep of 0 or more."),
        ({"years": 0}, "found 0 years, expected 1 or more."),
        ({"rate": 1.0}, "found a rate of 1 a year, expected 0 to under 1."),
    ],
)
def test_an_impossible_machine_cannot_be_made(changed, told):
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        PressCase(**{"price": 1, "saved": 1, "pieces": 1, "years": 1} | changed)


CAP = a_blank(prices=(5,))
OWN = Method(
    "own", "Own", "in", density=Density(1_000, "in"), stitching=Stitching(500, 1, 0.10),
    operations=(Operation("hoop", 1.5),),
)  # fmt: skip
OUT = Method(
    "out", "Out", "in", density=Density(1_000, "in"),
    grid=Grid.by_quantity("out", [1], [0.5], per="thousand stitches"),
    charges=(Charge("freight", Element.FREIGHT, Level.ORDER, 20),),
)  # fmt: skip


def stitched(out=OUT):
    """An order of 40 pieces of 4,000 stitches, made here and contracted out, and the shop."""
    shop = a_shop(OWN, out, blanks=(CAP,), rates=Rates(20, 8))
    return shop, *(Order.of(CAP, 40, method, Artwork(2, 2, "in")) for method in (OWN, out))


def test_a_piece_made_here_saves_by_hand():
    """Out: 4 × .50 + 20 / 40 = 2.50; here: thread .40 and 1.5 min at 20.00 an hour, .50: 1.60.

    Overhead, 8.00 an hour, is there either way.
    """
    assert saved_a_piece(*stitched()) == pytest.approx(1.60)


def test_methods_of_different_fees_are_not_compared():
    fee = Charge("commission", Element.FEES, Level.REVENUE, share=0.1)
    with pytest.raises(PricelabError, match=r"^the two methods bear different fees, so what is"):
        saved_a_piece(*stitched(replace(OUT, charges=(fee,))))
