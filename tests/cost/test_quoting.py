"""What an order is charged, to the cent."""

import re

import numpy as np
import pytest

from pricelab.cost.quoting import charge_order
from pricelab.shop.errors import PricelabError
from pricelab.shop.shop import NO_TAX, Tax


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
