"""The usual quantity of a tier, by the orders of the past."""

import re

import numpy as np
import pytest

from pricelab.lists.typical_quantity import order_weights, typical_quantities
from pricelab.shop.errors import PricelabError


@pytest.mark.parametrize(
    ("orders", "typical"),
    [
        ({}, [1, 8]),
        ({3: 1}, [3, 8]),
        ({2: 1, 5: 1}, [2, 8]),  # half the orders are for 2 or fewer
        ({2: 1, 5: 1, 6: 1}, [5, 8]),
        ({2: 2, 5: 1}, [2, 8]),
        ({7: 1, 8: 1}, [7, 8]),
        ({10: 1, 12: 3}, [1, 12]),
    ],
)
def test_the_typical_quantity_of_a_tier_is_the_weighted_median_of_its_orders(orders, typical):
    """By hand, tiers 1–7 and 8–12; a tier without orders is judged at its first quantity."""
    weights = [orders.get(quantity, 0) for quantity in range(1, 13)]
    np.testing.assert_array_equal(typical_quantities([1, 8], 12, weights), typical)
    np.testing.assert_array_equal(typical_quantities([1, 8], 12), [1, 8])


def test_every_quantity_of_a_list_needs_its_weight():
    told = "found 5 weights for the quantities 1 to 24, expected 24, one for each."
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        typical_quantities([1, 8], 24, [1, 1, 1, 1, 1])


def test_orders_on_both_ends_count_and_those_beyond_do_not():
    """First and last belong to the range."""
    assert order_weights([11, 12, 12, 15, 16], 12, 15).tolist() == [2, 0, 0, 1]


def test_no_orders_are_no_weight():
    """Every quantity of the range is there, with 0."""
    assert order_weights([], 1, 3).tolist() == [0, 0, 0]


def test_an_order_of_nothing_is_refused():
    """No job is of 0 pieces."""
    with pytest.raises(PricelabError, match="found a quantity of 0, expected 1 piece or more"):
        order_weights([0, 5], 1, 10)
