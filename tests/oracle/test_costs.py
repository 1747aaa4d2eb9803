"""The cost sheet against the second clerk, over thousands of random shops.

Origin of every expected figure: `oracle`, which works the costing rules in exact fractions.
"""

from collections import Counter
from fractions import Fraction
from math import isclose

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from oracle import (
    Art,
    CannotBeMade,
    Taken,
    band_row,
    buy,
    cheaper_later,
    check_possible,
    cost,
    exact,
    half_up,
    own_bill,
    size_by,
)
from strategies import COMPLICATIONS, Case, cases

from pricelab.cost.costing import cost_sheet
from pricelab.cost.earnings import earnings
from pricelab.cost.fees import Fees
from pricelab.cost.orders import Decoration, obstacles
from pricelab.shop.charges import Element, Level
from pricelab.shop.errors import NotPossible
from pricelab.shop.grids import Grid
from pricelab.shop.money import round_half_up
from pricelab.shop.sizes import size_of

EVERY = settings(derandomize=True, deadline=None, database=None)


def same(found, expected: Fraction):
    """An unrounded total: equal to a billionth, so that only float noise is forgiven."""
    return isclose(found, expected, rel_tol=1e-9, abs_tol=1e-9)


def possible(case: Case, art: int) -> bool:
    """Whether the oracle finds that an artwork can go on every blank of the case."""
    _, decorations = case.parts(art, 0)
    try:
        for blank, _ in case.pieces:
            for method, drawn in decorations:
                check_possible(blank, method, drawn)
    except CannotBeMade:
        return False
    return True


def arts(case: Case) -> list[int]:
    """The artworks of a case that can be made."""
    return [art for art in range(len(case.decorations[0][1])) if possible(case, art)]


def places(case: Case, made: list[int]):
    """Places of a mesh down its diagonal, every artwork and every quantity: row, column."""
    columns = len(case.pieces[0][1])
    return [(at % len(made), at % columns) for at in range(max(len(made), columns))]


def paper_of(case: Case, art: int, column: int):
    """The oracle's paper at one place of a case."""
    pieces, decorations = case.parts(art, column)
    return cost(
        case.shop, pieces, decorations, first=case.first, on=case.on, order_up=case.order_up
    )


@settings(EVERY, max_examples=1500)
@given(cases())
def test_every_total_of_a_random_order_is_the_second_clerks(case):
    """By level, by element, full, out of pocket, moving, and the minutes of each who works."""
    made = arts(case)
    if not made:
        return
    sheet = cost_sheet(case.shop, case.orders(made))
    by_level, by_element = sheet.by_level(), sheet.by_element()
    shape = (len(made), len(case.pieces[0][1]))

    def at(figures, row, column):
        return np.broadcast_to(figures, shape)[row, column].item()

    for row, column in places(case, made):
        paper = paper_of(case, made[row], column)
        assert same(at(sheet.full, row, column), paper.full)
        assert same(at(sheet.variable, row, column), paper.variable)
        for level in Level:
            assert same(at(by_level.get(level, 0.0), row, column), paper.of(level))
        for element in Element:
            found = at(by_element.get(element, 0.0), row, column)
            assert same(found, paper.of(element)), element
        assert set(sheet.minutes) >= {who for who, spent in paper.minutes.items() if spent}
        for who, minutes in sheet.minutes.items():
            assert same(at(minutes, row, column), paper.minutes.get(who, Fraction(0))), who
        assert same(at(sheet.bottleneck, row, column), paper.bottleneck)


@settings(EVERY, max_examples=400)
@given(cases())
def test_a_single_order_is_the_second_clerks_to_the_cent(case):
    """One size and one quantity at a time: the cents of the full cost, and what it earns."""
    methods = [method for method, _ in case.decorations]
    fees = Fees.due(case.shop, *methods)
    taken = Taken.of(case.shop, *methods)
    for art, column in zip(arts(case), range(3), strict=False):
        sheet = cost_sheet(case.shop, case.order(art, column))
        paper = paper_of(case, art, column)
        assert np.ndim(sheet.full) == 0
        for decimals in (0, 2, 3):
            cents = exact(round_half_up(sheet.full, decimals))
            assert cents == half_up(paper.full, decimals)
        revenue = 100.0 + float(paper.full)
        earned = earnings(sheet, revenue, fees)
        due = taken.share * exact(revenue) + taken.fixed
        assert same(earned.fees, due)
        assert same(earned.profit, exact(revenue) - due - paper.full)
        assert same(earned.contribution, exact(revenue) - due - paper.variable)


@settings(EVERY, max_examples=500)
@given(cases())
def test_a_sheet_says_where_buying_up_would_pay_and_what_was_estimated(case):
    """A note for each purchase that a later break would make cheaper, unless it is bought up."""
    made = arts(case)
    if not made:
        return
    notes = cost_sheet(case.shop, case.order(made[0], 0)).notes
    pieces, decorations = case.parts(made[0], 0)
    expected = {
        f"{method.name}: stitches are estimated"
        for method, art in decorations
        if art.stitches is None
        and (method.stitching is not None or (method.grid is not None and method.grid.by_stitches))
    }
    up = case.shop.order_up if case.order_up is None else case.order_up
    if not up:
        wanted = {}
        for blank, quantity in pieces:
            wanted[blank.key] = wanted.get(blank.key, 0) + quantity
        bought = [(blank.name, blank.prices, wanted[blank.key], 0) for blank, _ in pieces]
        for method, art in decorations:
            if method.grid is not None:
                row = band_row(
                    method.grid, size_by(method.grid.measure, method.grid.unit, method, art)
                )
                bought.append((method.name, method.grid, sum(wanted.values()), row))
        for name, grid, quantity, row in bought:
            later = cheaper_later(grid, row, quantity)
            if later:
                expected.add(f"{name}: buying {later.pieces} instead of {quantity} would cost $")
    assert len(notes) == len(expected)
    assert all(any(note.startswith(start) for note in notes) for start in expected)


@settings(EVERY, max_examples=400)
@given(cases())
def test_a_mesh_is_its_single_orders(case):
    """Arrays give the same figures as scalars, and lines add up, by level and by element."""
    made = arts(case)
    if not made:
        return
    sheet = cost_sheet(case.shop, case.orders(made))
    for found in (sheet.by_level(), sheet.by_element()):
        assert sum(found.values()) == pytest.approx(sheet.full, rel=1e-12, abs=1e-9)
    full = np.broadcast_to(sheet.full, (len(made), len(case.pieces[0][1])))
    for row, column in places(case, made):
        single = cost_sheet(case.shop, case.order(made[row], column))
        assert full[row, column] == pytest.approx(single.full, rel=1e-12, abs=1e-9)
        why = sum(line.amount for line in single.why())
        assert why == pytest.approx(single.full, rel=1e-12, abs=1e-9)


@settings(EVERY, max_examples=600)
@given(cases())
def test_what_cannot_be_made_is_what_the_second_clerk_refuses(case):
    """Panel, method, roll, heat and last band: the same artworks are refused, each with why."""
    every = list(range(len(case.decorations[0][1])))
    found = np.broadcast_to(obstacles(case.orders(every)).reshape(-1), len(every))
    for art in every:
        assert (found[art] == "") == possible(case, art)
        if found[art]:
            with pytest.raises(NotPossible, match=r"\w"):
                cost_sheet(case.shop, case.order(art, 0))


@settings(EVERY, max_examples=600)
@given(cases())
def test_every_purchase_is_the_second_clerks(case):
    """Band, break, minimum, packs and ordering up, of every grid at every quantity near a break."""
    grids = [(blank.prices, None, None) for blank, _ in case.pieces]
    grids += [(m.grid, m, art) for m, arts in case.decorations if m.grid for art in arts]
    for grid, method, artwork in grids:
        if method is None:
            size, found = Fraction(0), 0.0
        else:
            size = size_by(grid.measure, grid.unit, method, Art.of(artwork))
            found = float(size_of(Decoration(method, artwork).counted, grid.measure, grid.unit))
            if np.isfinite(grid.bands[-1]) and size > exact(grid.bands[-1]):
                with pytest.raises(NotPossible, match="is over the last band"):
                    grid.band_of(found)
                continue
        near = {int(b) + d for b in grid.breaks for d in (-13, -2, -1, 0, 1, 5)} | {1}
        quantities = np.array(sorted(q for q in near if q >= 1))
        row = int(grid.band_of(found))
        own, up = grid.buy(found, quantities), grid.buy(found, quantities, order_up=True)
        better, saving = grid.order_up(found, quantities)
        for at, quantity in enumerate(quantities):
            wanted = int(quantity)
            plain, bought = own_bill(grid, row, wanted), buy(grid, size, wanted, True)
            assert (own.billed[at], exact(own.unit_price[at])) == (plain.pieces, plain.each)
            assert (up.billed[at], exact(up.unit_price[at])) == (bought.pieces, bought.each)
            later = cheaper_later(grid, row, wanted)
            assert better[at] == (later.pieces if later else 0)
            assert same(saving[at], plain.bill - later.bill if later else Fraction(0))


@settings(EVERY, max_examples=400)
@given(
    st.lists(st.sampled_from([4, 5, 8, 10, 16, 20, 25, 40, 50, 80]), min_size=3, unique=True),
    st.lists(st.integers(1, 400), min_size=1, max_size=3),
    st.randoms(use_true_random=False),
)
def test_of_breaks_with_equal_bills_the_nearest_is_bought(breaks, bills, throw):
    """Bills that are equal as decimals are equal, whatever binary floats make of 0.352 × 25."""
    breaks = sorted(breaks)
    prices = [throw.choice(bills) * 0.4 / start for start in breaks]
    prices = [round(price, 6) for price in prices]  # 0.4 over any of the breaks ends by then
    grid = Grid.by_quantity("ties", breaks, prices)
    quantities = np.arange(1, 90)
    up = grid.buy(0.0, quantities, order_up=True)
    for at, quantity in enumerate(quantities.tolist()):
        expected = buy(grid, Fraction(0), quantity, True)
        assert (up.billed[at], exact(up.unit_price[at])) == (expected.pieces, expected.each)


def test_the_random_shops_have_every_complication():
    """The shops that the tests above see are not all alike, and most of them can be made."""
    seen, made = Counter(), 0

    @settings(EVERY, max_examples=300)
    @given(cases())
    def look(case):
        nonlocal made
        seen.update(case.has)
        made += bool(arts(case))

    look()
    assert set(seen) == set(COMPLICATIONS)
    assert min(seen.values()) > 60
    assert made > 150
