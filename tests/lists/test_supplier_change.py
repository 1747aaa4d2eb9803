"""A supplier's new grid against today's list (costs as in the tests of planning)."""

import re
from dataclasses import replace

import numpy as np
import pytest
from example_shops import CARTONS, VINYL

from pricelab.lists.plan import plan
from pricelab.lists.supplier_change import (
    raised,
    supplier_change,
    with_blank_prices,
    with_grid,
)
from pricelab.shop.errors import NotPossible, PricelabError
from pricelab.shop.grids import Grid
from pricelab.shop.sizes import Measure
from pricelab.words.findings import say_change

PATCH, CAP = CARTONS.methods["patch"], CARTONS.blanks["cap"]
TODAY = plan(CARTONS, PATCH, CAP, [1, 8, 16], 24)
"""[[26.00, 8.80, 7.05], [28.00, 10.70, 9.00]], as worked out in the tests of planning."""


def regridded(grid=PATCH.grid, listed=TODAY, weights=None):
    """What another grid of the patch does to today's list."""
    return supplier_change(CARTONS, with_grid(CARTONS, "patch", grid), listed, weights)


def test_a_dearer_larger_size_by_hand():
    """By hand: the patch to 3 in costs .20 more: 14.20, 5.7556 at 9, 4.8588 at 17.

    Margins fall by .20 / 28, / 10.70 and / 9.00. To hold: 14.20 / .50 = 28.40;
    5.7556 / .52 = 11.0684 → 11.10; 4.8588 / .52 = 9.3439 → 9.35. The smaller size stays.
    """
    grid = replace(PATCH.grid, prices=PATCH.grid.prices + np.array([[0.0], [0.20]]))
    change = regridded(grid)
    np.testing.assert_array_equal(change.stops_holding, [[False] * 3, [True] * 3])
    moved = [-0.20 / 28, -0.20 / 10.70, -0.20 / 9.00]
    np.testing.assert_allclose(change.margin_change, [[0] * 3, moved], atol=1e-12)
    np.testing.assert_array_equal(change.instead, [[26.00, 8.80, 7.05], [28.40, 11.10, 9.35]])


def test_a_break_that_moves_is_felt_where_it_moved():
    """By hand: the break at 10 moves to 20. The smaller size at 9 is as it was; at 17 it
    costs (51 + 6 + 12) / 17 = 4.0588, which needs 7.8054 → 7.85 where 7.05 stood.
    """
    change = regridded(replace(PATCH.grid, breaks=[1, 20]))
    np.testing.assert_array_equal(change.stops_holding, [[False, False, True]] * 2)
    assert change.instead[0].tolist() == [26.00, 8.80, 7.85]


def test_a_cell_that_did_not_hold_before_does_not_stop_holding():
    """By hand: 27.00 for 14.00 leaves 48.1 % where 50 % is the target, before and after."""
    low = replace(TODAY, prices=[[26.00, 8.80, 7.05], [27.00, 10.70, 9.00]])
    grid = replace(PATCH.grid, prices=PATCH.grid.prices + np.array([[0.0], [0.20]]))
    change = regridded(grid, low)
    np.testing.assert_array_equal(change.stops_holding, [[False] * 3, [False, True, True]])
    assert change.instead[1, 0] == 28.40


def test_the_quantity_that_is_usually_ordered_counts_before_and_after():
    """By hand: where all order 9, a piece is judged at 9 and not at the 8 that begin its tier."""
    weights = np.zeros(24)
    weights[9 - 1] = 1
    change = regridded(weights=weights)
    assert change.before.typical_quantity[1] == change.after.typical_quantity[1] == 9


def test_a_list_keeps_its_own_measure_where_the_shop_changes():
    """By hand: 50.8 and 76.2 mm are 2 and 3 in, and no size of the list is lost."""
    listed = replace(TODAY, unit="mm", sizes=TODAY.sizes * 25.4)
    change = supplier_change(CARTONS, CARTONS, listed)
    assert change.lost == ()
    np.testing.assert_array_equal(change.margin_change, np.zeros((2, 3)))


def test_a_cheaper_grid_leaves_today_as_it_is():
    grid = replace(PATCH.grid, prices=PATCH.grid.prices - 0.10)
    change = regridded(grid)
    assert not change.stops_holding.any()
    assert (change.margin_change > 0).all()
    np.testing.assert_array_equal(change.instead, TODAY.prices)


@pytest.mark.parametrize(
    ("measure", "unit", "named"),
    [
        (Measure.MEAN_OF_SIDES, "mm", "mean of sides (mm)"),
        (Measure.AREA, "in", "area (in)"),
        (Measure.THOUSAND_STITCHES, None, "thousand stitches"),
    ],
)
def test_a_grid_by_another_measure_cannot_take_the_place_of_the_old_one(measure, unit, named):
    grid = Grid("new", measure, unit, [50, 80], PATCH.grid.breaks, PATCH.grid.prices)
    told = (
        f"the grid in use goes by mean of sides (in) and the new one by {named}, so that today's "
        "sizes mean something else on it. Put the new grid in the shop's folder and plan a new "
        "list."
    )
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        regridded(grid)


def test_a_method_that_buys_on_no_grid_has_none_to_change():
    shop = replace(CARTONS, methods={**CARTONS.methods, "vinyl": VINYL})
    told = r"^Vinyl buys nothing on a grid, so none can be replaced\.$"
    with pytest.raises(PricelabError, match=told):
        with_grid(shop, "vinyl", PATCH.grid)


def test_a_grid_that_ends_earlier_loses_the_larger_sizes_and_judges_the_others():
    """By hand: up to 2 is as it was; up to 3 is over the new grid's end of 2.9."""
    change = regridded(replace(PATCH.grid, bands=[2, 2.9]))
    assert change.lost == ((3.0, "the size is over the last band of patches."),)
    assert change.after.price_list.sizes.tolist() == [2.0]
    np.testing.assert_array_equal(change.instead, [[26.00, 8.80, 7.05]])
    assert say_change(change, CARTONS)[1:] == [
        "Up to 3 in: not possible any more, the size is over the last band of patches."
    ]


def test_a_grid_that_ends_before_every_size_says_so():
    grid = replace(PATCH.grid, bands=[0.5, 1])
    for listed in (TODAY, TODAY.of_sizes([0])):
        with pytest.raises(NotPossible, match=r"^the size is over the last band of patches\.$"):
            regridded(grid, listed)


def test_the_shop_itself_is_left_as_it_was():
    grid = replace(PATCH.grid, prices=PATCH.grid.prices * 2)
    changed = with_grid(CARTONS, "patch", grid)
    assert changed.methods["patch"].grid is grid
    assert CARTONS.methods["patch"] is PATCH


# ---- all prices by a share ------------------------------------------------------------


def test_prices_that_rise_by_a_share_are_rounded_as_printed():
    """5 % on .50 is .525, printed .53; in a currency without cents 5 % on 50 is printed 53."""
    grid = Grid.by_quantity("g", [1, 10], [2.00, 0.50])
    assert raised(grid, 0.05, 2).prices.tolist() == [[2.10, 0.53]]
    assert raised(grid, -0.5, 2).prices.tolist() == [[1.00, 0.25]]
    assert raised(Grid.by_quantity("g", [1], [50]), 0.05, 0).prices.tolist() == [[53]]
    for share, found in ((-1, "-100%"), (float("inf"), "inf%")):
        told = (
            f"found a change of prices by {found}, expected more than −100 %: a supplier does not "
            "pay for taking goods."
        )
        with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
            raised(grid, share, 2)


def test_dearer_blanks_touch_a_list_as_a_dearer_grid_does():
    """A blank .40 dearer moves every margin down, and the shop itself stays as it was."""
    dearer = replace(CAP.prices, prices=CAP.prices.prices + 0.40)
    change = supplier_change(CARTONS, with_blank_prices(CARTONS, "cap", dearer), TODAY)
    assert (change.margin_change < 0).all()
    expected = -0.40 / change.before.price_list.net
    spoiled = change.margin_change <= expected + 1e-9  # and what is spoiled is dearer too
    assert spoiled.all()
    assert CARTONS.blanks["cap"].prices is CAP.prices
