"""Money: rounded half-up on its decimal digits, and shown in its currency."""

import re

import numpy as np
import pytest

from pricelab.shop.errors import PricelabError
from pricelab.shop.money import minor_unit, round_half_up, show_money


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
