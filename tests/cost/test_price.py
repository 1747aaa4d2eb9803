"""The price for a margin and back, and what an order is charged, to the cent."""

import re

import numpy as np
import pytest

from pricelab.cost.fees import Fees
from pricelab.cost.price import charge_order, margin_at, price_for_margin
from pricelab.shop.errors import NoPrice, PricelabError
from pricelab.shop.pricing_rules import NO_TAX, Tax
from pricelab.shop.rounding import Rounding

CARD = Fees(0.029, 0.30)


# ---- price for a margin --------------------------------------------------------------


@pytest.mark.parametrize(
    ("cost", "margin", "price"), [(4, 0.20, 5), (40, 1 / 3, 60), (1, 0.50, 2), (2, 0.60, 5)]
)
def test_a_margin_is_a_share_of_the_price(cost, margin, price):
    """marginvsmarkup.com/chart: 20 / 33.33 / 50 % of price are 25 / 50 / 100 % of cost.

    calcreal.com: cost 40 + 50 % = 60; gauthmath 1811815998106774: 60 % are 150 %.
    """
    assert price_for_margin(cost, margin) == pytest.approx(price, rel=1e-14)
    assert margin_at(price, cost) == pytest.approx(margin, rel=1e-14)


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


# ---- what an order is charged ---------------------------------------------------------


def amounts(charged):
    return (charged.each, charged.pieces, charged.setup, charged.total, charged.tax_due,
            charged.payable)  # fmt: skip


def test_pieces_and_set_up_stand_on_lines_of_their_own():
    """By hand: 24 × 7.35 = 176.40, with 40.00 of set-up 216.40."""
    assert amounts(charge_order(24, 7.35, 40.00, NO_TAX)) == (7.35, 176.40, 40.00, 216.40, 0,
                                                              216.40)  # fmt: skip


def test_set_up_spread_over_the_pieces_gives_the_same_total():
    """By hand: 216.40 / 24 = 9.01666…, shown as 9.02 each."""
    assert amounts(charge_order(24, 7.35, 40.00, NO_TAX, apart=False)) == (9.02, 216.40, 0, 216.40,
                                                                           0, 216.40)  # fmt: skip


def test_tax_comes_on_top_of_prices_before_tax():
    """By hand: 8.25 % of 216.40 = 17.853, half-up 17.85."""
    charged = charge_order(24, 7.35, 40.00, Tax(0.0825))
    assert (charged.total, charged.tax_due, charged.payable) == (216.40, 17.85, 234.25)


def test_tax_is_inside_prices_that_include_it():
    """By hand: 216.40 / 1.2 = 180.333…, so 36.0666… is tax, 36.07."""
    charged = charge_order(24, 7.35, 40.00, Tax(0.20, included=True))
    assert (charged.total, charged.tax_due, charged.payable) == (216.40, 36.07, 216.40)


def test_money_rounds_at_the_unit_price_and_at_each_line():
    """By hand: 7.345 is 7.35 each, 3 × 7.35 = 22.05, where 3 × 7.345 would be 22.04;
    a tax of 10 % on 22.05 is 2.205, half-up 2.21.
    """
    charged = charge_order(3, 7.345, 0, Tax(0.10))
    assert (charged.each, charged.pieces, charged.tax_due) == (7.35, 22.05, 2.21)
    assert charged.payable == 24.26


def test_money_has_the_decimals_of_its_currency():
    """By hand, in yen: 1234.5 is 1235 each; in dinars 1.2345 is 1.235."""
    assert charge_order(2, 1234.5, 0, NO_TAX, decimals=0).total == 2470
    assert charge_order(2, 1.2345, 0, NO_TAX, decimals=3).total == 2.470


def test_every_amount_of_an_order_in_dinars_has_three_decimals():
    """By hand: 3 × 1.235 = 3.705, with .124 of set-up 3.829; 7 % of it .26803, half-up .268, so
    4.097 in all. Spread, a third of 3.829 is 1.27633; inside it, 3.829 − 3.829 / 1.05 = .18233.
    """
    dinars = {"quantity": 3, "each": 1.2345, "setup": 0.1235, "decimals": 3}
    on_top, inside = Tax(0.07), Tax(0.05, included=True)
    assert amounts(charge_order(**dinars, tax=on_top)) == (
        1.235, 3.705, 0.124, 3.829, 0.268, 4.097,
    )  # fmt: skip
    assert charge_order(**dinars, tax=on_top, apart=False).each == 1.276
    assert charge_order(**dinars, tax=inside).tax_due == 0.182


@pytest.mark.parametrize("tax", [NO_TAX, Tax(0.19, included=True)])
def test_several_orders_keep_their_quantities_and_have_a_set_up_each(tax):
    """By hand: spread over the pieces, neither of two orders has a line of its own."""
    orders = charge_order(np.array([24, 48]), 7.35, np.array([40.0, 50.0]), tax, apart=False)
    np.testing.assert_array_equal(orders.quantity, [24, 48])
    np.testing.assert_array_equal(orders.setup, [0.0, 0.0], strict=True)


@pytest.mark.parametrize("tax", [NO_TAX, Tax(0.0825), Tax(0.19, included=True)])
def test_either_way_of_showing_set_up_charges_the_same_and_arrays_equal_scalars(tax):
    """Identities, over prices down and quantities across."""
    prices, quantities = np.array([[7.35], [3.33], [0.07]]), np.array([1, 7, 24, 99])
    apart = charge_order(quantities, prices, 40.00, tax)
    spread = charge_order(quantities, prices, 40.00, tax, apart=False)
    assert apart.total.shape == (3, 4)
    np.testing.assert_array_equal(apart.total, spread.total)
    np.testing.assert_array_equal(apart.payable, spread.payable)
    np.testing.assert_array_equal(spread.pieces + spread.setup, spread.total)
    for at in np.ndindex(3, 4):
        one = charge_order(quantities[at[1]], prices[at[0], 0], 40.00, tax)
        assert np.ndim(one.total) == 0
        assert (one.total, one.tax_due, one.payable) == (
            apart.total[at], apart.tax_due[at], apart.payable[at],
        )  # fmt: skip


@pytest.mark.parametrize(
    ("quantity", "told"),
    [
        (0, "found a quantity of 0, expected 1 piece or more."),
        (1.5, "found a quantity of 1.5, expected a whole number of pieces."),
    ],
)
def test_a_charge_is_for_whole_pieces(quantity, told):
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        charge_order(quantity, 7.35, 0, NO_TAX)


def test_tax_within_large_prices_is_rounded_on_its_digits():
    """By hand, in thousandths: 7,312,433.703 with 20 % in it holds 7,312,433.703 / 6 =
    1,218,738.9505, which is half-up 1,218,738.951."""
    order = charge_order(286, 25_567.95, 0.003, Tax(0.2, True), 3, apart=False)
    assert float(order.tax_due) == 1_218_738.951


def test_a_price_with_tax_and_back():
    """By hand: 10.00 with 20 % is 12.00 where prices include the tax."""
    included, apart = Tax(0.20, included=True), Tax(0.20)
    assert included.shown(10.00) == 12.00
    assert included.net(12.00) == 10.00
    assert apart.shown(10.00) == apart.net(10.00) == 10.00
