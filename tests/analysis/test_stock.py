"""Order quantities under discounts, against published problems and a search by hand."""

import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pricelab.analysis.stock import Stock
from pricelab.shop.errors import PricelabError

GANDOMI = Stock([1, 50, 90], [1400, 1100, 900], 200, 2500, 0.2)
NURSING = Stock([1, 50, 100, 200, 500], [53, 51.5, 49.5, 48, 47], 800, 60, 0.3)
HEIZER = Stock([1, 1000, 2000], [5, 4.8, 4.75], 5000, 49, 0.2)
NAHMIAS = Stock([1, 500, 1000], [0.30, 0.29, 0.28], 600, 8, 0.2)
SNYDER = ([1, 400, 800], [0.75, 0.72, 0.68], 1300, 8, 0.3)


@pytest.mark.parametrize(
    ("stock", "quantity", "cost"),
    [
        # Snyder & Shen, Fundamentals of Supply Chain Theory, Ex. 3.6 and Problem 3.12
        (Stock(*SNYDER), 800, 978.60),
        (Stock([1, 1200, 2400], [1490, 1220, 1100], 182_500, 2250, 0.25), 2400, 201_251_093.75),
        (Stock([1, 200, 500], [500, 475, 450], 1000, 200, 0.2), 500, 472_900),  # stockpyl docstring
        (GANDOMI, 90, 193_655.56),  # Gandomi, 4QA3
        (NURSING, 200, 40_080),  # nursingexpertshelp.com
        (HEIZER, 1000, 24_725),  # Heizer & Render; outputs from memory
        (NAHMIAS, 500, 198.10),  # from memory: Nahmias, Production and Operations Analysis
        # Snyder & Shen, Ex. 3.7: only the units beyond a break take its price
        (Stock(*SNYDER, by_increments=True), 304.0468, 1043.4105),
    ],
)
def test_published_discounts(stock, quantity, cost):
    best = stock.best()
    assert best.quantity == pytest.approx(quantity, abs=5e-5)
    assert best.cost == pytest.approx(cost, abs=0.005)
    assert best.purchases + best.orders + best.holding == pytest.approx(best.cost)


@pytest.mark.parametrize(
    ("stock", "published", "places"),
    [
        (GANDOMI, [59.76, 67.42, 74.54], 2),
        (HEIZER, [700, 714, 718], 0),
    ],
)
def test_published_order_quantities_at_each_price(stock, published, places):
    """The formula itself, which the optima above do not need: they all stand at a break."""
    assert stock.order_quantities.round(places).tolist() == published


@pytest.mark.parametrize(
    ("stock", "quantity", "cost", "within"),
    [
        (GANDOMI, 67.41, 234_832.40, 0.005),
        (NURSING, 79, 42_417.9, 0.05),
        (NURSING, 100, 40_822.5, 0.05),
        (NURSING, 500, 41_221, 0.5),
        (HEIZER, 700, 25_700, 0.5),
        (HEIZER, 2000, 24_822.50, 0.005),
        (NAHMIAS, 400, 204.00, 0.005),
        (NAHMIAS, 1000, 200.80, 0.005),
    ],
)
def test_published_totals_of_other_order_quantities(stock, quantity, cost, within):
    assert stock.year(quantity).cost == pytest.approx(cost, abs=within)


def test_a_price_that_rises_at_its_last_break_has_a_best_order_too():
    """By hand: 100 at 1.00, those beyond it at 9.00; 600 a year, 10.00 an order, 20 % a year.

    Up to 100 the formula says √(2 · 10 · 600 / .2) = 244.9, and beyond it, where an order pays
    800.00 less than 9.00 a piece, it asks for none: so 100, for 600 + 60 + 10.
    """
    best = Stock([1, 100], [1.0, 9.0], 600, 10, 0.2, by_increments=True).best()
    assert (best.quantity, best.cost) == (100, 670)


discounts = st.tuples(
    st.lists(st.integers(2, 400), max_size=3, unique=True).map(lambda more: [1, *sorted(more)]),
    st.lists(st.integers(50, 900), min_size=4, max_size=4).map(lambda p: sorted(p, reverse=True)),
    st.integers(50, 2_000),
    st.integers(1, 60),
    st.sampled_from([0.1, 0.2, 0.35]),
)


@given(discounts)
def test_no_whole_quantity_costs_less_under_all_units(case):
    """Every quantity up to a year's demand and past every break, one by one."""
    breaks, cents, demand, order_cost, holding = case
    prices = np.array(cents[: len(breaks)]) / 100
    best = Stock(breaks, prices, demand, order_cost, holding).best()
    quantities = np.arange(1, 6_000)
    unit = prices[np.searchsorted(breaks, quantities, side="right") - 1]
    yearly = unit * demand + order_cost * demand / quantities + holding * unit * quantities / 2
    assert best.cost <= yearly.min() + 1e-6
    nearest = np.clip(np.round(best.quantity), 1, 5_999).astype(int)
    if best.quantity < 5_999:
        around = yearly[max(nearest - 2, 0) : nearest + 1]
        assert around.min() <= best.cost * 1.05 + 1  # the best is near a whole quantity's cost


@given(discounts)
def test_no_whole_quantity_costs_less_under_incremental(case):
    breaks, cents, demand, order_cost, holding = case
    breaks = [0, *breaks[1:]]
    prices = np.array(cents[: len(breaks)]) / 100
    best = Stock(breaks, prices, demand, order_cost, holding, by_increments=True).best()
    quantities = np.arange(1, 6_000)
    ends = [*breaks[1:], np.inf]
    paid = sum(
        np.clip(quantities - start, 0, end - start) * price
        for start, end, price in zip(breaks, ends, prices, strict=True)
    )
    unit = paid / quantities
    yearly = unit * demand + order_cost * demand / quantities + holding * unit * quantities / 2
    assert best.cost <= yearly.min() + 1e-6


@pytest.mark.parametrize(
    ("case", "told"),
    [
        (([1, 2], [3], 1, 1, 0.1), "expected a price for each quantity break."),
        (([2, 1], [3, 2], 1, 1, 0.1), "expected breaks that rise and prices above 0."),
        (([1], [0], 1, 1, 0.1), "expected breaks that rise and prices above 0."),
        (([1], [3], 0, 1, 0.1), "found a demand of 0 a year: nothing to stock."),
        (([1], [3], 1, 0, 0.1), "expected an order cost and a holding share above 0."),
        (([1], [3], 1, 1, 0), "expected an order cost and a holding share above 0."),
    ],
)
def test_a_stock_without_an_answer_says_why(case, told):
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        Stock(*case)


# ---- whole pieces ---------------------------------------------------------------------


def test_published_problems_in_whole_pieces():
    """The published optima (800; 304.05) are at or beside the best whole quantity."""
    assert Stock(*SNYDER).best_packs().quantity == 800
    assert Stock(*SNYDER, by_increments=True).best_packs().quantity == 304
    assert Stock(*SNYDER, by_increments=True).best_packs(12).quantity in (300, 312)


@given(discounts, st.sampled_from([1, 5, 12]), st.booleans())
def test_no_order_of_whole_packs_costs_less(case, pack, step):
    """Brute force over whole packs from the first break on, unit prices by a loop."""
    breaks, cents, demand, order_cost, holding = case
    prices = np.array(cents[: len(breaks)]) / 100
    stock = Stock(breaks, prices, demand, order_cost, holding, step)
    best = stock.best_packs(pack)
    assert best.quantity % pack == 0
    assert best.quantity >= breaks[0]
    first = -(-int(breaks[0]) // pack) * pack
    orders = np.arange(first, 6_000, pack)
    yearly = stock.year(orders).cost
    assert best.cost <= yearly.min() + 1e-6
    at = int(np.searchsorted(orders, best.quantity))
    if at < orders.size and orders[at] == best.quantity:
        assert yearly[at] == pytest.approx(best.cost)


@pytest.mark.parametrize(
    ("step", "paid"),
    [(False, 120 * 2.0), (True, 50 * 3.0 + 50 * 2.5 + 20 * 2.0)],
)
def test_a_year_of_one_order_quantity_by_hand(step, paid):
    """Orders of 120 at 3.00, 2.50 from 50 and 2.00 from 100; 600 a year, 10.00 each, 20 %."""
    year = Stock([12, 50, 100], [3, 2.5, 2], 600, 10, 0.2, step).year(120)
    assert year.cost == pytest.approx(paid * 5 + 10 * 5 + 0.2 * paid / 2)


def test_the_supplier_s_minimum_is_kept():
    """Hardly any demand, dear to hold: the formula says less than the minimum of 25."""
    stock = Stock([25, 100], [3.0, 2.5], 10, 1, 2.0, by_increments=True)
    assert stock.best().quantity < 25
    assert stock.best_packs().quantity == 25
