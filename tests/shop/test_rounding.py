"""Prices are rounded up, to a step or to an ending."""

import re

import numpy as np
import pytest

from pricelab.shop.errors import PricelabError
from pricelab.shop.rounding import Rounding


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


def test_what_is_nearer_to_a_step_than_a_millionth_of_it_is_on_it():
    """By hand, on steps of 1: 7.0000004 settles to 7, 7.000001 does not and goes up."""
    np.testing.assert_array_equal(Rounding(1).up([7.0000004, 7.000001]), [7, 8])
