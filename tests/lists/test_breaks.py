"""Choosing quantity breaks by dynamic programming."""

import re
from itertools import combinations

import numpy as np
import pytest

from pricelab.lists.breaks import FRIENDLY, Breaks, _best_segments, choose_breaks
from pricelab.shop.errors import PricelabError


def within_squares(values):
    """The cost table of best segmentation: within-sum-of-squares of values i … j − 1."""
    values = np.asarray(values, float)
    table = np.full((values.size, values.size + 1), np.inf)
    for i, j in combinations(range(values.size + 1), 2):
        table[i, j] = ((values[i:j] - values[i:j].mean()) ** 2).sum()
    return table


def test_the_published_partition_into_three_clusters():
    """Tests of the R package Ckmeans.1d.dp (Wang & Song): sizes 4/3/3, centres −1/2/5."""
    values = np.sort([-1, 2, -1, 2, 4, 5, 6, -1, 2, -1])
    *_, (starts, cost) = _best_segments(within_squares(values), 3)
    parts = np.split(values, starts[1:])
    assert [part.size for part in parts] == [4, 3, 3]
    assert [part.mean() for part in parts] == [-1, 2, 5]
    assert cost == pytest.approx(2.0)  # 4, 5, 6 about 5


def test_the_published_partition_into_two_clusters():
    """From memory (jenkspy's and ruptures' problem): [4, 5, 9, 10] in two costs 14 / 1 / 14."""
    table = within_squares([4, 5, 9, 10])
    costs = [table[0, cut] + table[cut, 4] for cut in (1, 2, 3)]
    assert costs == pytest.approx([14, 1, 14])
    *_, (starts, cost) = _best_segments(table, 2)
    assert starts == [0, 2]
    assert cost == pytest.approx(1.0)


def test_a_frontier_by_hand():
    """By hand, prices 10 … 5 for 1 … 6 pieces, half of all orders for 6.

    One tier at 10 overcharges 1 + 2 + 3 + 4 + 5 × 5 = 35 over 10 orders. Two: a break at 6
    leaves 1 + 2 + 3 + 4 = 10, one at 5 leaves 6 + 5. Three: 3 and 6 leave 1 + 3 = 4, as do
    4 and 6: the earlier are given. Four: 2, 4 and 6 leave 1 + 1.
    """
    frontier = choose_breaks([10, 9, 8, 7, 6, 5], range(1, 7), [1, 1, 1, 1, 1, 5], most=6)
    assert frontier[:3] == (Breaks((1,), 3.5), Breaks((1, 6), 1.0), Breaks((1, 3, 6), 0.4))
    assert frontier[3].overcharge == pytest.approx(0.2)
    assert frontier[5] == Breaks((1, 2, 3, 4, 5, 6), 0.0)


def test_a_tier_is_priced_at_the_dearest_price_inside_it():
    """By hand: 5, 7, 6 in one tier cost 7: overcharged 2 + 0 + 1 over 3 orders."""
    assert choose_breaks([5, 7, 6], range(1, 4), [1, 1, 1], most=1) == (Breaks((1,), 1.0),)


def test_quantities_nobody_orders_weigh_nothing():
    """By hand: nobody orders 2, so a break at 3 overcharges nobody; one at 2 would cost the
    order for 3 another 2.00, and no break 4.00.
    """
    frontier = choose_breaks([9, 7, 5], range(1, 4), [2, 0, 1], most=2)
    assert frontier == (Breaks((1,), pytest.approx(4 / 3)), Breaks((1, 3), 0.0))


def test_weights_may_be_shares_of_all_orders():
    """By hand: half of all orders pay 9 where 7 would do: 2 × .5 a piece."""
    assert choose_breaks([9, 7], [1, 2], [0.5, 0.5], most=1) == (Breaks((1,), 1.0),)


def test_sizes_share_their_breaks_and_the_overcharge_is_their_mean():
    """By hand: a break at 3 suits the first size and overcharges 4 on the second, one at 2 the
    other way about. The earlier is given: 4 over 3 orders of 2 sizes.
    """
    frontier = choose_breaks([[8, 8, 4], [8, 4, 4]], range(1, 4), [1, 1, 1], most=2)
    assert frontier[1] == Breaks((1, 2), pytest.approx(4 / 6))


def test_breaks_stand_at_friendly_quantities_only():
    """By hand: the price falls at 7, but 6 and 8 are the friendly quantities. A break at 8
    overcharges the order for 7 by 4; after one at 6 all would pay the 9 of the sixth.
    """
    prices = [9] * 6 + [5] * 3
    frontier = choose_breaks(prices, range(1, 10), [1] * 9, most=2, friendly=FRIENDLY)
    assert frontier[1] == Breaks((1, 8), pytest.approx(4 / 9))
    free = choose_breaks(prices, range(1, 10), [1] * 9, most=2)
    assert free[1] == Breaks((1, 7), 0.0)


def test_friendly_quantities_are_small_or_round():
    """Common practice, no source: up to 6 any; then half dozens, tens, quarters of a hundred."""
    assert FRIENDLY[:6] == (1, 2, 3, 4, 5, 6)
    assert (np.diff(FRIENDLY) > 0).all()
    unround = [q for q in FRIENDLY[6:] if q % 6 and q % 10 and q % 25]
    assert unround == [8, 15]


def test_a_list_that_starts_above_one_keeps_its_start():
    frontier = choose_breaks([9, 5], [11, 12], [1, 1], most=2, friendly=FRIENDLY)
    assert [breaks.starts for breaks in frontier] == [(11,), (11, 12)]


def test_there_are_no_more_tiers_than_places_for_a_break():
    frontier = choose_breaks([9, 8, 7], range(1, 4), [1, 1, 1], most=10)
    assert [len(breaks.starts) for breaks in frontier] == [1, 2, 3]


def test_more_breaks_never_overcharge_more():
    """An identity, on prices that rise and fall (fixed seed)."""
    draw = np.random.default_rng(24)
    prices, weights = draw.uniform(4, 12, (3, 60)), draw.integers(0, 9, 60)
    frontier = choose_breaks(prices, range(1, 61), weights, most=12)
    overcharges = [breaks.overcharge for breaks in frontier]
    assert len(frontier) == 12
    assert (np.diff(overcharges) <= 1e-12).all()


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (
            ([9, 8], [1, 2, 3], [1, 1, 1], 2),
            "found 2 prices and 3 weights for 3 quantities, expected one of each for every "
            "quantity.",
        ),
        (
            ([9, 8, 7], [1, 2, 3], [1, 1], 2),
            "found 3 prices and 2 weights for 3 quantities, expected one of each for every "
            "quantity.",
        ),
        (
            (np.ones((1, 3, 2)), [1, 2, 3], [1, 1, 1], 2),
            "found 2 prices and 3 weights for 3 quantities, expected one of each for every "
            "quantity.",
        ),
        (([9, 8], [1, 3], [1, 1], 2), "found the quantities 1, 3, expected them to rise by one."),
        (
            ([9, 8], [1, 2], [0, 0], 2),
            "expected weights of 0 or more, with at least one order among them.",
        ),
        (
            ([9, 8], [1, 2], [1, -1], 2),
            "expected weights of 0 or more, with at least one order among them.",
        ),
        (
            ([9, 8], [1, 2], [1, float("nan")], 2),
            "expected weights of 0 or more, with at least one order among them.",
        ),
        (([9, 8], [1, 2], [1, 1], 0), "found 0 tiers, expected 1 or more."),
        (([9, 8], [0, 1], [1, 1], 2), "found a quantity of 0, expected 1 piece or more."),
    ],
)
def test_impossible_questions_are_refused(arguments, told):
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        choose_breaks(*arguments)
