"""Planning, auditing and judging lists against the second clerk, over random shops.

Origin of every expected figure: `oracle`, which works the costing rules in exact fractions.
Printed prices must be equal to the cent.
"""

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from math import isclose

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from oracle import (
    CannotBeMade,
    better_off,
    cell_margins,
    exact,
    holding_price,
    list_costs,
    list_measure,
    list_shapes,
    setup_line,
    tiers,
    typical,
)
from strategies import ListCase, lists

from pricelab.files.shop_folder import read_shop
from pricelab.lists.audit import audit
from pricelab.lists.basis import possible_sizes
from pricelab.lists.better_off import better_off as better_off_findings
from pricelab.lists.plan import plan
from pricelab.lists.supplier_change import supplier_change
from pricelab.lists.trouble import Trouble
from pricelab.lists.typical_quantity import typical_quantities
from pricelab.shop.price_list import PriceList
from pricelab.shop.sizes import Measure

EVERY = settings(derandomize=True, deadline=None, database=None)
NOISE = Fraction(1, 10**9)


def possible(case: ListCase) -> list[float]:
    """The sizes of a list that the oracle can make."""
    found = []
    for size in case.sizes:
        try:
            list_shapes(case.method, case.blank, exact(size))
        except CannotBeMade:
            continue
        found.append(size)
    return found


def costs_of(case: ListCase, sizes):
    """The oracle's costs under a list."""
    return list_costs(case.shop, case.method, case.blank, sizes, case.quantities)


def planned(case: ListCase, sizes):
    """The package's list."""
    return plan(
        case.shop, case.method, case.blank, np.array(case.starts), case.last,
        sizes=np.array(sizes), weights=case.weights,
    )  # fmt: skip


@settings(EVERY, max_examples=400)
@given(lists())
def test_the_sizes_of_a_list_that_can_be_made_are_the_second_clerks(case):
    """The squarest artwork of a size decides whether the panel and the method take it."""
    found = possible_sizes(case.method, case.blank, np.array(case.sizes))
    assert list(found) == possible(case)
    grid = case.method.grid
    if grid is not None and np.isfinite(grid.bands[-1]):  # not told, it is the grid's own bands
        usual = possible_sizes(case.method, case.blank)
        assert list(usual) == possible(replace(case, sizes=tuple(grid.bands)))


@settings(EVERY, max_examples=200)
@given(lists())
def test_a_planned_list_is_the_second_clerks_to_the_cent(case):
    """Every price and the set-up line; and each price is the lowest one that can be printed."""
    sizes = possible(case)
    if not sizes:
        return
    found, costs = planned(case, sizes), costs_of(case, sizes)
    usual = typical(case.starts, case.last, case.weights)
    for row in range(len(sizes)):
        for column, (first, end) in enumerate(tiers(case.starts, case.last)):
            expected = holding_price(case.shop, costs, row, first, end, usual[column])
            assert exact(found.prices[row, column]) == expected
            lower = expected - exact(case.shop.pricing.rounding.step)
            if lower > 0:  # one step or ending lower would not hold
                margins = cell_margins(costs, found.tax, row, first, end, lower)
                rules = case.shop.pricing
                assert min(margins.values()) < exact(rules.floor) or margins[usual[column]] < exact(
                    rules.target
                )
    inside = [q for first, end in tiers(case.starts, case.last) for q in range(first, end + 1)]
    assert found.quantities.tolist() == inside  # every quantity is in one tier, once
    for quantity, tier in zip(inside, found.tier_of_quantity, strict=True):
        first, end = tiers(case.starts, case.last)[tier]
        assert first <= quantity <= end
    expected = setup_line(case.shop, costs)
    assert (found.setup is None) == (expected is None)
    if expected is not None:
        assert exact(found.setup) == expected


def check_audit(shop, today, weights, costs):
    """Hold the audit of a list against the oracle: every figure and every finding of every cell."""
    judged = audit(shop, today, weights)
    troubles = {trouble: {} for trouble in Trouble}
    for finding in judged.findings:
        where = (finding.band, finding.tier)
        assert where not in troubles[finding.trouble]
        troubles[finding.trouble][where] = finding
        assert exact(finding.price) == exact(today.prices[where])
    expected = {trouble: set() for trouble in Trouble}
    usual = typical(today.starts, today.last, weights)
    assert list(judged.typical_quantity) == usual
    floor, target = exact(shop.pricing.floor), exact(shop.pricing.target)
    for row in range(len(today.sizes)):
        printed = [exact(price) for price in today.prices[row]]
        for column, (first, end) in enumerate(tiers(today.starts, today.last)):
            where = (row, column)
            margins = cell_margins(costs, today.tax, row, first, end, printed[column])
            worst = min(margins.values())
            assert isclose(judged.worst_margin[where], worst, rel_tol=1e-9, abs_tol=1e-9)
            assert margins[int(judged.worst_quantity[where])] - worst < NOISE
            at_usual = margins[usual[column]]
            assert isclose(judged.typical_margin[where], at_usual, rel_tol=1e-9, abs_tol=1e-9)
            mend = holding_price(shop, costs, row, first, end, usual[column])
            assert exact(judged.instead[where]) == mend
            assert judged.holding[where] == (worst >= floor and at_usual >= target)
            if worst < 0:
                expected[Trouble.BELOW_COST].add(where)
            elif worst < floor:
                expected[Trouble.BELOW_FLOOR].add(where)
            elif at_usual < target:
                expected[Trouble.UNDER_TARGET].add(where)
            if column and printed[column] > printed[column - 1]:
                expected[Trouble.RISES].add(where)
            if row and today.prices[row, column] < today.prices[row - 1, column]:
                expected[Trouble.SMALLER_DEARER].add(where)
        for column, (start, until, buy) in better_off(printed, today.starts, today.last).items():
            where = (row, column)
            expected[Trouble.BETTER_OFF].add(where)
            finding = troubles[Trouble.BETTER_OFF][where]
            assert (finding.quantity, finding.until, finding.buy) == (start, until, buy)
    for trouble in Trouble:
        assert set(troubles[trouble]) == expected[trouble], trouble
    for trouble in (Trouble.BELOW_COST, Trouble.BELOW_FLOOR, Trouble.UNDER_TARGET):
        for where, finding in troubles[trouble].items():
            losing = trouble is not Trouble.UNDER_TARGET
            at = judged.worst_quantity[where] if losing else usual[where[1]]
            assert finding.quantity == at
            first, end = tiers(today.starts, today.last)[where[1]]
            price = exact(today.prices[where])
            margin = cell_margins(costs, today.tax, where[0], first, end, price)[int(at)]
            assert isclose(finding.margin, margin, rel_tol=1e-9, abs_tol=1e-9)
            assert finding.instead == judged.instead[where]


@settings(EVERY, max_examples=200)
@given(lists(), st.integers(0, 2**20))
def test_an_audit_finds_what_the_second_clerk_finds(case, seed):
    """Worst quantities and margins, typical margins, every trouble of every cell, the mend."""
    sizes = possible(case)
    if not sizes:
        return
    found, costs = planned(case, sizes), costs_of(case, sizes)
    throw = np.random.default_rng(seed)
    times = throw.choice([0.5, 0.8, 0.95, 1, 1, 1.2], found.prices.shape)
    today = replace(found, prices=np.maximum(np.round(found.prices * times, 2), 0.01))
    check_audit(case.shop, today, case.weights, costs)


@settings(EVERY, max_examples=500)
@given(st.integers(2, 90), st.integers(1, 1500), st.lists(st.integers(1, 1500), max_size=2))
def test_where_buying_more_costs_just_as_much_is_told_to_the_piece(inside, cents, more):
    """Prices at which some quantity of the first tier costs exactly as much as the second's start.

    Hundred pieces at `inside` × `cents` / 100 cost what `inside` pieces cost at `cents`; as
    binary floats they often do not.
    """
    prices = [cents, inside * cents / 100, *more]
    prices = np.array([[round(price / 100, 4) for price in prices]])
    starts = np.array([2, 100, 150, 175][: prices.size])
    printed = PriceList("m", "b", Measure.AREA, "in", [1.0], starts, 200, prices)
    found = {f.tier: (f.quantity, f.until, f.buy) for f in better_off_findings(printed)}
    assert found == better_off([exact(price) for price in prices[0]], starts.tolist(), 200)


@pytest.mark.parametrize("name", ["harbour-caps", "fjord-muetzen"])
def test_the_lists_of_a_demo_shop_are_audited_as_the_second_clerk_does(root, name):
    """Every method on its first blank, read from the folder, up to 20 pieces into the last tier."""
    folder = read_shop(root / "data" / name)
    seen = set()
    for today in folder.price_lists:
        if today.method in seen:
            continue
        seen.add(today.method)
        method, blank = folder.shop.methods[today.method], folder.shop.blanks[today.blank]
        today = replace(today, last=int(today.starts[-1]) + 20)
        costs = list_costs(folder.shop, method, blank, today.sizes, today.quantities.tolist())
        check_audit(folder.shop, today, None, costs)
        found = plan(folder.shop, method, blank, today.starts, today.last, sizes=today.sizes)
        for row in range(len(today.sizes)):
            for column, (first, end) in enumerate(tiers(today.starts, today.last)):
                expected = holding_price(folder.shop, costs, row, first, end, first)
                assert exact(found.prices[row, column]) == expected
    assert len(seen) >= 5


@settings(EVERY, max_examples=100)
@given(lists(), st.sampled_from([0.9, 1.05, 1.3]))
def test_a_suppliers_new_grid_is_judged_as_the_second_clerk_does(case, times):
    """Which cells stop holding, by how much their margins move, what to charge instead."""
    sizes = possible(case)
    if not sizes or case.method.grid is None:
        return
    today = planned(case, sizes)
    grid = replace(case.method.grid, prices=np.round(case.method.grid.prices * times, 2))
    method = replace(case.method, grid=grid)
    shop = replace(case.shop, methods={**case.shop.methods, method.key: method})
    change = supplier_change(case.shop, shop, today, case.weights)
    before, after = costs_of(case, sizes), costs_of(replace(case, shop=shop, method=method), sizes)
    usual = typical(case.starts, case.last, case.weights)
    rules = shop.pricing
    for row in range(len(sizes)):
        for column, (first, end) in enumerate(tiers(case.starts, case.last)):
            where, price = (row, column), exact(today.prices[row, column])
            old = cell_margins(before, today.tax, row, first, end, price)
            new = cell_margins(after, today.tax, row, first, end, price)
            holds = min(new.values()) >= exact(rules.floor) and new[usual[column]] >= exact(
                rules.target
            )
            assert change.stops_holding[where] == (not holds)
            moved = min(new.values()) - min(old.values())
            assert isclose(change.margin_change[where], moved, rel_tol=1e-9, abs_tol=1e-9)
            mend = holding_price(shop, after, row, first, end, usual[column])
            assert exact(change.instead[where]) == (price if holds else mend)


def test_the_random_lists_mostly_can_be_made():
    """The tests above see lists of every measure, of one tier and of several, with weights."""
    seen = Counter()

    @settings(EVERY, max_examples=300)
    @given(lists())
    def look(case):
        measure, _ = list_measure(case.method)
        if possible(case):
            seen.update([measure, len(case.starts) > 1, case.weights is None, "made"])

    look()
    assert seen["made"] > 200
    assert min(seen.values()) > 20, seen


@settings(EVERY, max_examples=400)
@given(lists())
def test_typical_quantities_are_the_second_clerks(case):
    """The weighted median of each tier, or its first quantity where there are no orders."""
    found = typical_quantities(np.array(case.starts), case.last, case.weights)
    assert list(found) == typical(case.starts, case.last, case.weights)
