"""Where buying more costs a client no more."""

from pricelab.lists.better_off import better_off
from pricelab.shop.price_list import PriceList
from pricelab.shop.sizes import Measure


def ranges(prices, starts, last):
    """The better-off ranges of a list of one size, as (from, until, buy)."""
    by = Measure.MEAN_OF_SIDES, "in"
    listed = PriceList("patch", "cap", *by, [2], starts, last, [prices])
    return [(found.quantity, found.until, found.buy) for found in better_off(listed)]


def test_the_published_schedule_has_its_dominated_quantities():
    """Gandomi 4QA3: 1400/1100/900 at 1/50/90; dominated 40–49 and 74–89."""
    assert ranges([1400, 1100, 900], [1, 50, 90], 99) == [(40, 49, 50), (74, 89, 90)]


def test_the_published_freight_break():
    """freightlogistics.wordpress.com: 2000 × 49.39 / 58.21 , printed as 1696: so from 1697 on."""
    assert ranges([58.21, 49.39], [1000, 2000], 2400) == [(1697, 1999, 2000)]


def test_a_bill_that_is_only_equal_counts_as_no_dearer():
    """By hand: 40 × 5.00 = 50 × 4.00."""
    assert ranges([5, 4], [1, 50], 60) == [(40, 49, 50)]


def test_the_cheapest_of_all_later_tiers_is_bought():
    """By hand: 10 × 8 = 80, but 20 × 3 = 60: from 6 on, and the second tier from its start."""
    assert ranges([10, 8, 3], [1, 10, 20], 30) == [(6, 9, 20), (10, 19, 20)]


def test_there_is_no_better_off_range_where_more_always_costs_more():
    assert ranges([10, 9.95], [1, 100], 200) == []
    assert ranges([10], [1], 200) == []
