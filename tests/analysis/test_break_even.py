"""Break-even sets, against the textbook's point and against a walk over every quantity."""

import math
import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pricelab.analysis.break_even import (
    Range,
    before_tax,
    break_even,
    break_even_point,
    orders_to_repay,
)
from pricelab.shop.errors import NoBreakEven, PricelabError


def test_a_stepped_profit_has_ranges_and_loss_pockets():
    """By hand: profits of 1 … 8 pieces, where a tier's price falls at 4 and a cost at 6."""
    profit = [-9, -2, 3, -1, 0, 2, -0.5, 4]
    found = break_even(profit, range(1, 9))
    assert found.missing == Range(1, 2)
    assert found.earning == (Range(3, 3), Range(5, 6), Range(8, 8))
    assert found.pockets == (Range(4, 4), Range(7, 7))
    assert (found.first, found.sure_from) == (3, 8)


def test_a_goal_that_is_met_everywhere_leaves_no_pocket_and_no_start():
    found = break_even([1.0, 2.0], [5, 6], goal=1)
    assert (found.missing, found.earning, found.pockets) == (None, (Range(5, 6),), ())
    assert found.sure_from == 5


def test_a_goal_that_is_met_nowhere_says_so():
    found = break_even([1.0, 2.0], [5, 6], goal=3)
    assert (found.missing, found.earning, found.pockets) == (Range(5, 6), (), ())
    assert found.first is None
    assert found.sure_from is None


def test_a_profit_that_falls_away_at_the_end_is_never_sure():
    found = break_even([-1, 2, -1], [1, 2, 3])
    assert (found.first, found.sure_from) == (2, None)


@given(
    st.lists(st.integers(-3, 3), min_size=1, max_size=60), st.integers(1, 50), st.integers(-2, 2)
)
def test_the_ranges_are_those_of_a_walk_and_cover_every_quantity_once(profit, start, goal):
    quantities = list(range(start, start + len(profit)))
    found = break_even(profit, quantities, goal)
    earns = {q for span in found.earning for q in range(span.first, span.last + 1)}
    short = [q for span in found.pockets for q in range(span.first, span.last + 1)]
    before = found.missing
    short += range(before.first, before.last + 1) if before else []
    assert earns == {q for q, p in zip(quantities, profit, strict=True) if p >= goal}
    assert sorted([*earns, *short]) == quantities
    if found.pockets and found.earning:
        assert found.pockets[0].first > found.earning[0].first


@given(
    st.integers(1, 500_000), st.integers(2, 500), st.integers(0, 400)
)  # fmt: skip
def test_without_steps_the_set_starts_at_the_textbook_point(fixed, price, variable):
    """F / (p − v), and profit there is at least 0 while one piece fewer loses."""
    if price <= variable:
        with pytest.raises(NoBreakEven, match=r"(does not cover|only covers) the variable cost"):
            break_even_point(fixed, price, variable)
        return
    point = break_even_point(fixed, price, variable)
    first = math.ceil(round(point, 9))
    quantities = np.arange(1, first + 3)
    found = break_even(quantities * (price - variable) - fixed, quantities)
    assert (found.first, found.pockets) == (first, ())


@pytest.mark.parametrize(
    ("fixed", "price", "variable", "profit", "units"),
    [
        # slideshare cvpa-56520948 (probably Heisinger & Hoyle, Managerial Accounting)
        (50_000, 250, 150, 0, 500), (50_000, 250, 150, 30_000, 800),
        (108_000, 50, 32, 0, 6_000),  # scribd 495053642, Ex. 6-14
        (12_168_000, 75, 36, 0, 312_000),  # sidebar.io lugar 14784308
        (800_000, 20, 12, 0, 100_000),  # tutorsglobe 5557191
    ],
)  # fmt: skip
def test_published_break_even_points(fixed, price, variable, profit, units):
    assert break_even_point(fixed, price, variable, profit) == pytest.approx(units, abs=1e-9)


def test_a_target_after_tax_is_more_before_it():
    """sidebar.io lugar 14784308: 1,872,000 after 40 % tax takes 392,000 units."""
    profit = before_tax(1_872_000, 0.40)
    assert break_even_point(12_168_000, 75, 36, profit) == pytest.approx(392_000, abs=1e-6)


def test_published_effect_of_a_lower_price():
    """scribd 495053642, Ex. 6-14: 8,000 at 50 earn 36,000; at 45, 10,000 earn 22,000."""
    assert 8_000 * (50 - 32) - 108_000 == 36_000
    earned = break_even([10_000 * (45 - 32) - 108_000], [10_000], goal=22_000)
    assert earned.earning == (Range(10_000, 10_000),)
    assert break_even_point(108_000, 45, 32, 22_000) == pytest.approx(10_000)


def test_a_price_under_variable_cost_says_why_there_is_no_break_even():
    told = (
        "a price of 5.00 does not cover the variable cost of 6.00: every piece adds to the loss, "
        "so no quantity breaks even. Raise the price or cut the cost."
    )
    with pytest.raises(NoBreakEven, match=f"^{re.escape(told)}$"):
        break_even_point(100, 5, 6)


def test_a_price_that_only_covers_variable_cost_breaks_even_nowhere_either():
    told = (
        "a price of 6.00 only covers the variable cost of 6.00: every piece leaves nothing, "
        "so no quantity breaks even. Raise the price or cut the cost."
    )
    with pytest.raises(NoBreakEven, match=f"^{re.escape(told)}$"):
        break_even_point(100, 6, 6)


def test_no_profit_is_asked_for_unless_it_is_told():
    """By hand: 100 / (6 − 4)."""
    assert break_even_point(100, 6, 4) == 50


def test_without_income_tax_all_profit_is_kept():
    assert before_tax(100, 0) == 100


def test_repeat_orders_pay_back_a_set_up_given_free():
    """By hand: 45 at 20 an order takes three, 40 takes two exactly, nothing given takes none;
    .50 takes one order, and 2.00 takes four that leave .50.
    """
    assert [orders_to_repay(given, 20) for given in (45, 40, 0.5, 0)] == [3, 2, 1, 0]
    assert orders_to_repay(2, 0.5) == 4
    assert orders_to_repay(0, -1) == 0
    for contribution, shown in ((-1, "−1.00"), (0, "0.00")):
        told = f"a repeat order that leaves {shown} never pays back 45.00."
        with pytest.raises(NoBreakEven, match=f"^{re.escape(told)}$"):
            orders_to_repay(45, contribution)


@pytest.mark.parametrize(
    ("earned", "quantities", "told"),
    [
        ([1, 2], [1], "expected what is earned at each quantity, in one row."),
        ([], [], "expected what is earned at each quantity, in one row."),
        ([1, 2], [1, 3], "expected quantities that rise by one."),
    ],
)
def test_rows_that_do_not_fit_are_refused(earned, quantities, told):
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        break_even(earned, quantities)


def test_a_tax_that_takes_everything_is_refused():
    with pytest.raises(PricelabError, match=r"found an income tax rate of 1, expected 0 to under"):
        before_tax(10, 1)
