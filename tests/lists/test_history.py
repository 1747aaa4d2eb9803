"""Orders counted by quantity."""

import pytest

from pricelab.lists.history import order_weights
from pricelab.shop.errors import PricelabError


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
