"""Rounding, pricing, charging, nesting, whole-piece buying and breaks against the second clerk.

Origin of every expected figure: `oracle`, which works the costing rules in exact fractions.
"""

from datetime import date
from fractions import Fraction
from math import isclose

import numpy as np
import pytest
from example_shops import a_patch, a_shop
from hypothesis import given, settings
from hypothesis import strategies as st
from oracle import (
    Art,
    CannotBeMade,
    Taken,
    all_breaks,
    band_row,
    chance_of_enough,
    charged,
    exact,
    extra_of,
    half_up,
    margin_of,
    price_for,
    rounded_up,
    rows_of_roll,
    setup_fee,
    size_by,
    whole_pieces_to_start,
)

from pricelab.cost.fees import Fees
from pricelab.cost.price import charge_order, margin_at, price_for_margin
from pricelab.cost.spoilage import extra_share, pieces_to_buy
from pricelab.lists.breaks import choose_breaks
from pricelab.shop.charges import Charge, Element, Level
from pricelab.shop.errors import PricelabError
from pricelab.shop.grids import Grid
from pricelab.shop.method import Method, Promotion
from pricelab.shop.money import round_half_up
from pricelab.shop.nesting import Roll, feed
from pricelab.shop.pricing_rules import PricingRules, Tax
from pricelab.shop.rounding import Rounding
from pricelab.shop.sizes import Artwork, Measure, size_of

EVERY = settings(derandomize=True, deadline=None, database=None)

cents = st.integers(0, 99_999).map(lambda n: n / 100)
# up to a million, as orders are in currencies of small coins, such as IDR
amounts = st.builds(lambda n, d: n / 10**d, st.integers(0, 99_999_999), st.integers(2, 5))
roundings = st.sampled_from([
    Rounding(), Rounding(0.05), Rounding(0.25), Rounding(1.0), Rounding(5.0), Rounding(0.1),
    Rounding(1.0, 0.95), Rounding(1.0, 0.5), Rounding(0.1, 0.09), Rounding(10.0, 9.95),
])  # fmt: skip
taxes = st.builds(Tax, st.sampled_from([0.0, 0.0825, 0.19, 0.2, 0.25, 0.07]), st.booleans())


def same(found, expected: Fraction) -> bool:
    """An unrounded figure: equal to a billionth, so that only float noise is forgiven."""
    return isclose(found, expected, rel_tol=1e-9, abs_tol=1e-9)


# ---- money ----------------------------------------------------------------------------


@settings(EVERY, max_examples=1000)
@given(amounts, st.sampled_from([0, 2, 3]), st.integers(1, 500))
def test_money_rounds_half_up_on_its_digits(amount, decimals, quantity):
    """An amount, its negative, and a line of so many pieces."""
    assert exact(round_half_up(amount, decimals)) == half_up(exact(amount), decimals)
    assert exact(round_half_up(-amount, decimals)) == half_up(-exact(amount), decimals)
    line = exact(round_half_up(amount * quantity, decimals))
    assert line == half_up(exact(amount) * quantity, decimals)


@settings(EVERY, max_examples=1000)
@given(amounts, roundings)
def test_a_price_rounds_up_to_the_first_step_or_ending_not_below(amount, rounding):
    """Up to the step or the ending; and a price that is one already stays as it is."""
    found = rounding.up(amount)
    assert exact(found) == rounded_up(exact(amount), rounding)
    assert exact(rounding.up(-amount)) == rounded_up(-exact(amount), rounding)
    assert exact(rounding.up(found)) == exact(found)


@settings(EVERY, max_examples=500)
@given(
    amounts, st.sampled_from([0, 0.2, 0.333, 0.45, 0.6]), st.sampled_from([0.0, 0.015, 0.029]),
    st.sampled_from([0.0, 0.25, 0.3]), st.integers(1, 300),
)  # fmt: skip
def test_a_price_for_a_margin_earns_that_margin(cost, margin, share, fixed, quantity):
    """The price a piece of an order, and the margin it leaves after fees."""
    fees = Fees(share, fixed)
    taken = Taken(exact(share), exact(fixed))
    expected = price_for(exact(cost), exact(margin), taken, quantity)
    found = price_for_margin(cost / quantity, margin, fees, 1 / quantity)
    assert same(found, expected)
    if expected:
        assert margin_of(expected * quantity, exact(cost), taken) == exact(margin)
        assert same(margin_at(found, cost / quantity, fees, 1 / quantity), exact(margin))


def test_fees_are_the_revenue_charges_added_up():
    """A share of the total is one of its tax too; a method's are due once; rent is no fee.

    By hand, with 19 % tax: 0.029 × 1.19 + 0.05 + 0.1 = 0.18451 of the price before tax.
    """
    method = a_patch(
        charges=(Charge("licence", Element.FEES, Level.REVENUE, share=0.1, of="price"),)
    )
    charges = (
        Charge("card", Element.FEES, Level.REVENUE, share=0.029),
        Charge("card, an order", Element.FEES, Level.REVENUE, 0.3),
        Charge("market place", Element.FEES, Level.REVENUE, share=0.05, of="price"),
        Charge("rent", Element.RENT, Level.PERIOD, 900),
    )
    for included in (True, False):
        rules = PricingRules(0.5, 0.4, tax=Tax(0.19, included))
        shop = a_shop(method, charges=charges, pricing=rules)
        taken, fees = Taken.of(shop, method, method), Fees.due(shop, method, method)
        assert (taken.share, taken.fixed) == (Fraction("0.18451"), Fraction("0.3"))
        assert fees.on(100.0) == pytest.approx(18.751, abs=1e-12)


def test_the_card_takes_its_share_of_the_tax_too():
    """1.5 % and 0.25 of a total of 3,363.50 with 19 % tax in it are 50.70 (by hand: 50.7025)."""
    charges = (
        Charge("card", Element.FEES, Level.REVENUE, share=0.015),
        Charge("card, an order", Element.FEES, Level.REVENUE, 0.25),
    )
    shop = a_shop(charges=charges, pricing=PricingRules(0.5, 0.4, tax=Tax(0.19, True)))
    taken, net = Taken.of(shop), Fraction("3363.50") / Fraction("1.19")
    assert taken.share * net + taken.fixed == Fraction("50.7025")
    assert half_up(exact(Fees.due(shop).on(3363.50 / 1.19)), 2) == Fraction("50.70")


@settings(EVERY, max_examples=1000)
@given(
    st.integers(1, 600), amounts, amounts, taxes, st.sampled_from([2, 2, 2, 0, 3]), st.booleans()
)
def test_an_order_is_charged_as_the_second_clerk_writes_it(
    quantity, each, setup, tax, decimals, apart
):
    """Every figure to the coin; set-up apart and spread come to one total."""
    found = charge_order(quantity, each, setup, tax, decimals, apart=apart)
    expected = charged(quantity, exact(each), exact(setup), tax, decimals, apart)
    for name, amount in expected.items():
        assert exact(getattr(found, name)) == amount, name
    other = charge_order(quantity, each, setup, tax, decimals, apart=not apart)
    assert exact(found.total) == exact(other.total)
    assert exact(found.payable) == exact(other.payable)
    assert exact(found.pieces) + exact(found.setup) == exact(found.total)


@settings(EVERY, max_examples=200)
@given(st.lists(st.tuples(st.integers(1, 99), cents), min_size=2, max_size=5), cents, taxes)
def test_orders_charged_together_are_the_orders_charged_one_by_one(lines, setup, tax):
    """Arrays give the same coins as scalars."""
    quantities, prices = (np.array(column) for column in zip(*lines, strict=True))
    found = charge_order(quantities, prices, setup, tax)
    for at, (quantity, each) in enumerate(lines):
        single = charge_order(quantity, each, setup, tax)
        assert found.total[at] == single.total
        assert found.payable[at] == single.payable


# ---- buying ---------------------------------------------------------------------------


@settings(EVERY, max_examples=250)
@given(
    st.integers(1, 48), st.sampled_from([0.0, 0.01, 0.02, 0.03, 0.05, 0.125, 0.2, 0.3, 0.5]),
    st.sampled_from([0.5, 0.8, 0.9, 0.95, 0.99]),
)  # fmt: skip
def test_whole_pieces_to_start_are_the_fewest_that_are_enough(quantity, spoilage, service):
    """By the exact binomial tail; one piece fewer would not do."""
    expected = whole_pieces_to_start(quantity, spoilage, service)
    assert pieces_to_buy(quantity, spoilage, service) == expected
    if expected > quantity:
        assert chance_of_enough(expected - 1, quantity, exact(spoilage)) < exact(service)


def test_a_chance_that_is_just_high_enough_is_enough():
    """One piece at one loss in five: two started give 1 − 0.2² = 0.96 exactly (by hand)."""
    assert chance_of_enough(2, 1, Fraction(1, 5)) == Fraction(24, 25)
    assert pieces_to_buy(1, 0.2, 0.96) == 2
    assert pieces_to_buy(1, 0.2, 0.8) == 1
    assert pieces_to_buy(1, 0.2, 0.961) == 3
    assert pieces_to_buy(34, 0.5, 0.5) == 67  # of 67, 34 good or more are as likely as fewer


@settings(EVERY, max_examples=300)
@given(st.lists(st.sampled_from([0.0, 0.01, 0.03, 0.125, 0.3]), max_size=4))
def test_losses_in_a_row_are_the_second_clerks(spoilages):
    """Extra pieces for each good one, over operations in a row."""
    assert same(extra_share(*spoilages), extra_of(spoilages))


@settings(EVERY, max_examples=1000)
@given(
    st.integers(5, 80), st.sampled_from([0, 1, 2]), st.sampled_from([0, 1, 2]),
    st.integers(2, 40), st.integers(2, 40), st.integers(1, 120), st.sampled_from(["in", "mm"]),
)  # fmt: skip
def test_a_roll_is_fed_as_the_second_clerk_lays_it_out(width, edge, gap, w, h, quantity, unit):
    """Quarter inches, so that rows often fill the roll exactly; or tenths of a millimetre."""
    scale = 0.25 if unit == "in" else 0.1
    roll = Roll(round(width * scale, 2), round(edge * scale, 2), round(gap * scale, 2), 0.07, unit)
    wide, high = round(w * scale, 2), round(h * scale, 2)
    expected = rows_of_roll(roll, Art(exact(wide), exact(high), unit), quantity)
    if expected is None:
        with pytest.raises(PricelabError, match="either way"):
            feed(roll, wide, high, quantity)
        return
    found = feed(roll, wide, high, quantity)
    rows, across, row_length = expected
    assert (found.rows, found.across) == (rows, across)
    assert same(found.row_length, row_length)
    assert same(found.length, rows * row_length)


# ---- sizes ----------------------------------------------------------------------------

PLAIN = Method("plain", "plain", "in", roll=Roll(99, 0, 0, 1, "in"))


@settings(EVERY, max_examples=1500)
@given(
    st.sampled_from([Measure.MEAN_OF_SIDES, Measure.AREA, Measure.LONGEST_SIDE]),
    st.integers(20, 600), st.integers(20, 600), st.sampled_from(["in", "mm"]),
    st.sampled_from(["in", "mm"]), st.sampled_from([-0.005, -0.0001, 0, 0.0001, 0.004, 0.005]),
)  # fmt: skip
def test_a_size_beside_a_bands_end_is_on_the_side_where_decimals_put_it(
    measure, w, h, drawn_in, unit, shift
):
    """On the end belongs to the band; the least bit over it is the next band."""
    scale = 0.01 if drawn_in == "in" else 0.25
    artwork = Artwork(round(w * scale, 2), round(h * scale, 2), drawn_in)
    size = size_by(measure, unit, PLAIN, Art.of(artwork))
    found = size_of(artwork, measure, unit)
    assert same(found, size)
    end = round(float(size) + shift, 6)
    if end <= 0:
        return
    grid = Grid("edges", measure, unit, [end, end + 90_000], [1], [[1.0], [2.0]])
    expected = 0 if size <= exact(end) else 1
    if size != exact(end) and abs(size - exact(end)) < Fraction(2, 10**6):
        return  # an end that was rounded to six decimals from a length without end, such as 57/25.4
    assert grid.band_of(found) == expected


def test_both_clerks_put_the_known_sizes_into_the_bands_the_rules_name():
    """2.004 is in the upper of the printed bands 1.51–2.00 and 2.01–2.50; 1.1 × 1.1 is on 1.21."""
    printed = Grid("mean", Measure.MEAN_OF_SIDES, "in", [2.0, 2.5], [1], [[1.0], [2.0]])
    area = Grid("area", Measure.AREA, "in", [1.21, 2.5], [1], [[1.0], [2.0]])
    for grid, artwork, band in (
        (printed, Artwork(2.004, 2.004, "in"), 1),
        (printed, Artwork(2.5, 1.5, "in"), 0),
        (area, Artwork(1.1, 1.1, "in"), 0),
        (area, Artwork(1.1, 1.11, "in"), 1),
        (area, Artwork(27.94, 27.94, "mm"), 0),  # 1.1 × 25.4 = 27.94
    ):
        size = size_by(grid.measure, "in", PLAIN, Art.of(artwork))
        assert band_row(grid, size) == band
        assert grid.band_of(size_of(artwork, grid.measure, "in")) == band


# ---- set-up ---------------------------------------------------------------------------

days = st.integers(1, 9).map(lambda day: date(2026, 3, day))


@settings(EVERY, max_examples=400)
@given(
    cents, cents, st.lists(st.tuples(days, days, cents), max_size=3), st.booleans(),
    st.none() | days,
)  # fmt: skip
def test_the_set_up_fee_is_that_of_the_day(setup, repeat, offers, first, on):
    """Promotions hold on their first and last day; the best one counts; repeats pay their own."""
    promotions = tuple(Promotion(min(a, b), max(a, b), fee) for a, b, fee in offers)
    method = Method(
        "m", "m", "in", roll=Roll(9, 0, 0, 1, "in"), setup=setup, repeat_setup=repeat,
        promotions=promotions,
    )  # fmt: skip
    assert exact(method.setup_due(first, on)) == setup_fee(method, first, on)


# ---- breaks ---------------------------------------------------------------------------


@settings(EVERY, max_examples=250)
@given(st.data())
def test_the_chosen_breaks_are_the_best_of_all(data):
    """Against every possible choice: the same overcharge, and breaks that achieve it."""
    length = data.draw(st.integers(2, 10))
    start = data.draw(st.sampled_from([1, 6]))
    price = st.integers(300, 999).map(lambda n: n / 100)
    rows = data.draw(st.integers(1, 3))
    prices = [data.draw(st.lists(price, min_size=length, max_size=length)) for _ in range(rows)]
    if data.draw(st.booleans()):  # prices fall, as they mostly do
        prices = [sorted(row, reverse=True) for row in prices]
    weights = data.draw(st.lists(st.integers(0, 4), min_size=length, max_size=length))
    weights[0] += not any(weights)
    quantities = list(range(start, start + length))
    friendly = data.draw(st.none() | st.sets(st.sampled_from(quantities)).map(sorted))
    most = data.draw(st.integers(1, 4))
    table = np.array(prices if rows > 1 else prices[0])
    frontier = choose_breaks(table, np.array(quantities), np.array(weights), most, friendly)
    choices = [
        list(all_breaks(prices, quantities, weights, k, friendly)) for k in range(1, most + 1)
    ]
    choices = [of_k for of_k in choices if of_k]
    assert len(frontier) == len(choices)
    for tiers, (found, of_k) in enumerate(zip(frontier, choices, strict=True), start=1):
        by_starts = {starts: charge for charge, starts in of_k}
        least = min(by_starts.values())
        assert len(found.starts) == tiers
        assert same(found.overcharge, least)
        assert by_starts[tuple(int(s) for s in found.starts)] - least < Fraction(1, 10**9)


def test_no_price_is_left_when_fees_and_margin_take_it_all():
    """Three per cent of fees and a margin of 97 % leave nothing; so does more."""
    for margin in ("0.97", "0.98"):
        with pytest.raises(CannotBeMade, match="take the whole price"):
            price_for(Fraction(10), Fraction(margin), Taken(Fraction("0.03"), Fraction(0)))
        with pytest.raises(PricelabError, match=margin.removeprefix("0.")):
            price_for_margin(10.0, float(margin), Fees(0.03))
