"""Margin, markup and fees, and what an order leaves."""

import re

import numpy as np
import pytest
from example_shops import LEATHER, PATCH, WORKED_CAP, WORKED_SHOP, a_blank, a_patch, a_shop

from pricelab.cost.costing import cost_sheet
from pricelab.cost.orders import Order
from pricelab.cost.pricing import (
    Fees,
    earnings,
    margin_at,
    margin_of_markup,
    markup_at,
    markup_of_margin,
    price_for_margin,
    price_for_markup,
)
from pricelab.shop.errors import NoPrice, PricelabError
from pricelab.shop.money import Rounding
from pricelab.shop.shop import Charge, Element, Level, Tax

CARD = Fees(0.029, 0.30)


# ---- published -----------------------------------------------------------------------


@pytest.mark.parametrize(("margin", "markup"), [(0.20, 0.25), (1 / 3, 0.50), (0.50, 1.00)])
def test_margins_and_the_markups_they_stand_for(margin, markup):
    """marginvsmarkup.com/chart: margin 20 / 33.33 / 50 % = markup 25 / 50 / 100 %."""
    assert markup_of_margin(margin) == pytest.approx(markup, abs=1e-12)
    assert margin_of_markup(markup) == pytest.approx(margin, abs=1e-12)


def test_sixty_per_cent_of_price_is_a_hundred_and_fifty_of_cost():
    """gauthmath 1811815998106774."""
    assert markup_of_margin(0.60) == pytest.approx(1.50, abs=1e-12)


def test_forty_and_a_half_is_sixty_a_margin_of_a_third():
    """calcreal.com: cost 40 + 50 % = 60, margin 33.33 %."""
    assert price_for_markup(40, 0.50) == 60
    assert margin_at(60, 40) == pytest.approx(0.3333, abs=5e-5)
    assert markup_at(60, 40) == 0.50


def test_a_markup_on_full_cost_can_miss_the_best_price():
    """tutorsglobe 51224178: variable 5, fixed 150,000 over 50,000 made, +25 % → 10.

    Demand at 9–13 is 42/38/35/32/27 thousand of the 50,000 made: −20,000 at 10, at best
    −15,000 at 11.
    """
    cost = 50_000 * (5 + 150_000 / 50_000)
    assert price_for_markup(cost / 50_000, 0.25) == 10
    prices = np.array([9, 10, 11, 12, 13])
    revenue = prices * np.array([42_000, 38_000, 35_000, 32_000, 27_000])
    profit = margin_at(revenue, cost) * revenue
    assert profit[1] == pytest.approx(-20_000)
    assert prices[np.argmax(profit)] == 11
    assert profit.max() == pytest.approx(-15_000)


# ---- price for a margin --------------------------------------------------------------


def test_the_price_for_a_margin_pays_the_fees_too():
    """By hand: (9.70 + .30) / (1 − .03 − .40) = 10 / .57 = 17.54386."""
    price = price_for_margin(9.70, 0.40, Fees(0.03, 0.30))
    assert price == pytest.approx(17.54386, abs=5e-6)
    assert price - 9.70 - 0.30 - 0.03 * price == pytest.approx(0.40 * price)


def test_a_fee_charged_once_an_order_is_shared_by_its_pieces():
    """By hand: an order of 24 at 60.00 each: (1440 + .30) / .571 = 2522.4168, / 24 = 105.1007."""
    whole = price_for_margin(1440, 0.40, CARD)
    each = price_for_margin(60, 0.40, CARD, orders=1 / 24)
    assert whole == pytest.approx(2522.4168, abs=5e-5)
    assert each == pytest.approx(whole / 24, rel=1e-14)
    assert margin_at(each, 60, CARD, orders=1 / 24) == pytest.approx(0.40, abs=1e-12)


def test_price_and_margin_undo_each_other_in_any_shape():
    """Identities."""
    costs, margins = np.array([[3.0], [60.0]]), (0.0, 0.25, 0.60)
    for margin in margins:
        price = price_for_margin(costs, margin, CARD)
        assert price.shape == (2, 1)
        np.testing.assert_allclose(margin_at(price, costs, CARD), margin, atol=1e-12)
        assert np.ndim(price_for_margin(60, margin, CARD)) == 0
    mesh = margin_at(np.array([80.0, 100.0, 120.0]), costs)
    assert mesh.shape == (2, 3)
    assert mesh[1, 1] == pytest.approx(0.40)
    assert np.ndim(margin_at(100, 60)) == 0


def test_rounding_up_never_misses_the_margin():
    """An identity, over every cent of cost up to 20.00 and three roundings."""
    costs = np.arange(1, 2001) / 100
    for rounding in (Rounding(0.05), Rounding(0.25), Rounding(1, ending=0.95)):
        price = rounding.up(price_for_margin(costs, 0.40, CARD))
        assert (margin_at(price, costs, CARD) >= 0.40 - 1e-9).all()


@pytest.mark.parametrize(
    ("margin", "fees", "told"),
    [
        (0.60, Fees(0.40), "no price leaves a margin of 60 % after fees of 40 %"),
        (0.971, Fees(0.029), "no price leaves a margin of 97.1 % after fees of 2.9 %"),
        (0.99, Fees(0.029), "no price leaves a margin of 99 % after fees of 2.9 %"),
        (1.0, Fees(), "no price leaves a margin of 100 % after fees of 0 %"),
        (1.5, Fees(), "no price leaves a margin of 150 % after fees of 0 %"),
    ],
)
def test_no_price_exists_when_margin_and_fees_take_it_all(margin, fees, told):
    told += ": together they take the whole price. Ask for a smaller margin."
    with pytest.raises(NoPrice, match=f"^{re.escape(told)}$"):
        price_for_margin(60, margin, fees)


def test_just_under_the_whole_price_one_exists():
    """By hand: 1 / (1 − .03 − .96) = 100."""
    assert price_for_margin(1, 0.96, Fees(0.03)) == pytest.approx(100)


# ---- fees ----------------------------------------------------------------------------


def test_fees_are_the_revenue_charges_added_up():
    """By hand: 2.9 % + 10 % and .30; the bag is no fee."""
    fees = Fees.of(
        [
            Charge("card fee", Element.FEES, Level.REVENUE, amount=0.30, share=0.029),
            Charge("commission", Element.FEES, Level.REVENUE, share=0.10),
            Charge("bag", Element.PACKING, Level.PIECE, 0.10),
        ]
    )
    assert (fees.share, fees.fixed) == (pytest.approx(0.129), 0.30)
    assert fees.on(200.00) == pytest.approx(26.10)
    assert Fees.of([]) == Fees(0, 0)


@pytest.mark.parametrize(
    ("share", "fixed", "told"),
    [
        (1.0, 0, "found fees of 1, expected a share from 0 to under 1."),
        (-0.1, 0, "found fees of -0.1, expected a share from 0 to under 1."),
        (0.03, -1, "found a fixed fee of -1, expected 0 or more."),
        (0.03, float("inf"), "found a fixed fee of inf, expected 0 or more."),
    ],
)
def test_impossible_fees_cannot_exist(share, fixed, told):
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        Fees(share, fixed)


# ---- what an order leaves ------------------------------------------------------------


def test_what_the_worked_order_leaves_at_its_price():
    """By hand: full cost 318.35, target 40 %, card fee 2.9 % + .30.

    (318.35 + .30) / .571 / 24 = 23.2523, up to 23.30; 24 × 23.30 = 559.20; fees 16.2168 +
    .30 = 16.5168; profit 559.20 − 16.5168 − 318.35 = 224.3332; contribution adds the
    overhead of 21.50 = 245.8332; in 86 minutes of the operator, 156.5115 and 171.5115 an hour.
    """
    sheet = cost_sheet(WORKED_SHOP, Order.of(WORKED_CAP, 24, LEATHER, PATCH))
    fees = Fees.of(WORKED_SHOP.charges)
    each = Rounding(0.05).up(price_for_margin(sheet.full / 24, 0.40, fees, orders=1 / 24))
    assert each == 23.30
    left = earnings(sheet, 24 * each, fees)
    assert left.fees == pytest.approx(16.5168)
    assert left.profit == pytest.approx(224.3332)
    assert left.margin == pytest.approx(224.3332 / 559.20)
    assert left.contribution == pytest.approx(245.8332)
    assert left.profit_per_hour == pytest.approx(156.5115, abs=5e-5)
    assert left.contribution_per_hour == pytest.approx(171.5115, abs=5e-5)


def test_work_that_takes_no_time_earns_nothing_by_the_hour():
    left = earnings(cost_sheet(a_shop(), Order.of(a_blank(), 24, a_patch(), PATCH)), 240.0)
    assert left.profit == pytest.approx(240 - 24 * 6)
    told = r"^nothing is earned by the hour in work that takes no minutes\.$"
    with pytest.raises(PricelabError, match=told):
        _ = left.profit_per_hour
    with pytest.raises(PricelabError, match=told):
        _ = left.contribution_per_hour


def test_a_price_with_tax_and_back():
    """By hand: 10.00 with 20 % is 12.00 where prices include the tax."""
    included, apart = Tax(0.20, included=True), Tax(0.20)
    assert included.shown(10.00) == 12.00
    assert included.net(12.00) == 10.00
    assert apart.shown(10.00) == apart.net(10.00) == 10.00
