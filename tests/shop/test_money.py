"""Money: rounded half-up on its decimal digits, prices rounded up to a step or an ending."""

import re

import numpy as np
import pytest

from pricelab.shop.errors import PricelabError
from pricelab.shop.money import Rounding, minor_unit, round_half_up, show_money


@pytest.mark.parametrize(
    ("amount", "decimals", "rounded"),
    [(123.455, 2, 123.46), (2.651, 1, 2.7), (12.545001, 2, 12.55), (2.675, 2, 2.68)],
)
def test_half_up_goes_by_the_decimal_digits(amount, decimals, rounded):
    """By hand: half-up on the decimal digits."""
    assert round_half_up(amount, decimals) == rounded


def test_five_per_cent_on_seventy_cents_is_seventy_four():
    """Python tutorial, section on decimal arithmetic (from memory): floats would give .73."""
    assert round_half_up(0.70 * 1.05) == 0.74


def test_halves_go_away_from_zero():
    """By hand: a refund of 2.675 rounds as the charge did."""
    assert round_half_up(-2.675) == -2.68
    assert round_half_up(0.005) == 0.01
    assert round_half_up(0.0049) == 0.0


def test_what_is_nearer_to_a_step_than_a_millionth_of_it_is_on_it():
    """By hand, on steps of 1: 7.0000004 settles to 7, 7.000001 does not and goes up."""
    np.testing.assert_array_equal(Rounding(1).up([7.0000004, 7.000001]), [7, 8])


def test_a_sum_of_floats_is_rounded_as_the_decimals_it_stands_for():
    """By hand: 1.005 + 1.67 = 2.675, which floats hold as 2.67499…; and 2.674999 is less."""
    assert round_half_up(1.005 + 1.67) == 2.68
    assert round_half_up(2.674999) == 2.67


def test_rounding_keeps_the_shape():
    assert np.ndim(round_half_up(1.234)) == 0
    mesh = round_half_up(np.array([[1.005, 2.005], [3.335, 4.0]]))
    np.testing.assert_array_equal(mesh, [[1.01, 2.01], [3.34, 4.0]])


@pytest.mark.parametrize(
    ("currency", "decimals"), [("USD", 2), ("GBP", 2), ("EUR", 2), ("JPY", 0), ("KWD", 3)]
)
def test_a_currency_has_the_minor_unit_of_iso_4217(currency, decimals):
    """ISO 4217, by babel."""
    assert minor_unit(currency) == decimals


def test_money_is_shown_in_its_currency_and_rounded_half_up():
    assert show_money(1234.5, "USD") == "$1,234.50"
    assert show_money(2.675, "EUR") == "€2.68"
    assert show_money(1234.5, "JPY") == "¥1,235"
    assert show_money(0.0005, "KWD") == "KWD0.001"
    assert show_money(-1234.5, "USD") == "−$1,234.50"


@pytest.mark.parametrize("currency", ["dollar", "usd", ""])
def test_an_unknown_currency_is_refused(currency):
    told = (
        f'found the currency "{currency}", expected a three-letter code in capitals, '
        "such as USD or EUR."
    )
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        minor_unit(currency)


@pytest.mark.parametrize(
    ("step", "amount", "up"),
    [(0.05, 7.01, 7.05), (0.05, 7.05, 7.05), (0.25, 7.01, 7.25), (1.0, 7.0, 7.0), (1.0, 7.01, 8.0),
     (0.01, 7.0, 7.0), (0.05, 23.2523, 23.30)],
)  # fmt: skip
def test_a_price_goes_up_to_the_step_and_stays_where_it_is_on_one(step, amount, up):
    """By hand."""
    assert Rounding(step).up(amount) == up


def test_a_price_goes_up_to_the_cent_where_the_shop_names_no_step():
    """By hand."""
    assert Rounding().up(7.001) == 7.01


def test_the_noise_of_floats_never_costs_a_step():
    """By hand: 3 × 2.35 = 7.05 is on the step, though floats make it 7.050000000000001."""
    assert 3 * 2.35 > 7.05
    assert Rounding(0.05).up(3 * 2.35) == 7.05


@pytest.mark.parametrize(
    ("amount", "up"), [(7.96, 8.95), (7.95, 7.95), (7.9501, 8.95), (8.0, 8.95), (0.2, 0.95)]
)
def test_a_price_goes_up_to_the_ending(amount, up):
    """By hand: endings of .95 are 0.95, 1.95, 2.95 …"""
    assert Rounding(1, ending=0.95).up(amount) == up


def test_an_ending_can_stand_on_a_step_of_five():
    """By hand: 4.99, 9.99, 14.99 …"""
    assert Rounding(5, ending=4.99).up(5.0) == 9.99


def test_an_ending_of_nothing_is_the_step_alone():
    """By hand."""
    assert Rounding(1, ending=0).up(7.01) == 8


def test_rounding_up_keeps_the_shape_and_never_goes_down():
    amounts = np.array([[7.01], [9.99]]) + np.array([0.0, 0.02, 0.04])
    shown = Rounding(0.25).up(amounts)
    assert shown.shape == (2, 3)
    assert (shown >= amounts).all()
    assert (shown < amounts + 0.25).all()
    assert np.ndim(Rounding(0.25).up(7.01)) == 0


@pytest.mark.parametrize("step", [0, -0.05, float("nan")])
def test_a_step_must_be_above_nothing(step):
    told = f"found the rounding step {step:g}, expected more than 0."
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        Rounding(step)


@pytest.mark.parametrize("ending", [-0.05, 1.0, 1.95])
def test_an_ending_must_lie_inside_the_step(ending):
    told = f"found the price ending {ending:g}, expected one from 0 up to the rounding step 1."
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        Rounding(1, ending=ending)
