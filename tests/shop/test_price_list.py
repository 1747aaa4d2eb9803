"""A price list as a value."""

import re

import numpy as np
import pytest

from pricelab.shop.errors import NotPossible, PricelabError
from pricelab.shop.place import Place, Sheet
from pricelab.shop.price_list import PriceList
from pricelab.shop.pricing_rules import Tax
from pricelab.shop.sizes import Measure


def a_list(**changes):
    parts = {
        "method": "patch",
        "blank": "cap",
        "measure": Measure.MEAN_OF_SIDES,
        "unit": "in",
        "sizes": [2, 3],
        "starts": [1, 12, 24],
        "last": 30,
        "prices": [[12, 10, 9], [15, 13, 11]],
    }
    return PriceList(**{**parts, **changes})


def test_tiers_cover_every_quantity_once():
    """By hand: 1–11, 12–23, 24–30."""
    tiers = a_list()
    np.testing.assert_array_equal(tiers.ends, [11, 23, 30])
    np.testing.assert_array_equal(tiers.quantities, range(1, 31))
    np.testing.assert_array_equal(tiers.tier_of_quantity, [0] * 11 + [1] * 12 + [2] * 7)


def test_a_list_may_start_above_one_and_end_where_its_last_tier_starts():
    tiers = a_list(starts=[12, 24, 48], last=48)
    np.testing.assert_array_equal(tiers.ends, [23, 47, 48])
    assert (tiers.quantities[0], tiers.quantities[-1]) == (12, 48)
    np.testing.assert_array_equal(tiers.tier_of_quantity, [0] * 12 + [1] * 24 + [2])


def test_net_prices_are_without_the_tax_that_is_in_them():
    """By hand: 12.00 with 20 % in it is 10.00."""
    assert a_list(tax=Tax(0.20, included=True)).net[0, 0] == pytest.approx(10.00)
    assert a_list(tax=Tax(0.20)).net[0, 0] == 12.00


def test_a_price_is_looked_up_as_in_a_grid():
    """By hand: 2.5 lies in the band to 3; 12 begins the second tier."""
    listed = a_list()
    assert listed.price(2.5, 12) == 13
    assert listed.price(2, 11) == 12
    mesh = listed.price(np.array([[2], [3]]), [1, 23, 24, 30])
    np.testing.assert_array_equal(mesh, [[12, 10, 9, 9], [15, 13, 11, 11]])


def test_off_the_list_there_is_no_price():
    over = "size 3.5 is over the last band of the list of patch on cap, which ends at 3."
    with pytest.raises(NotPossible, match=f"^{re.escape(over)}$"):
        a_list().price(3.5, 12)
    for quantity in (11, 31):
        told = "the list of patch on cap goes from 12 to 30 pieces."
        with pytest.raises(NotPossible, match=f"^{re.escape(told)}$"):
            a_list(starts=[12, 13, 24]).price(2, quantity)


def test_a_cell_that_was_read_knows_its_place():
    sheet = Sheet("price_list.csv", (5, 6), ("1", "12", "24"))
    assert a_list(sheet=sheet).place(1, 2) == Place("price_list.csv", 6, "24")
    assert a_list().place(1, 2) is None


def test_nobody_can_change_a_lists_prices_behind_its_back():
    with pytest.raises(ValueError, match="read-only"):
        a_list().prices[0, 0] = 0.01


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        (
            {"sizes": [3, 2]},
            "the list has the sizes 3, 2; expected sizes above 0, each more than the one before.",
        ),
        (
            {"sizes": [0, 2]},
            "the list has the sizes 0, 2; expected sizes above 0, each more than the one before.",
        ),
        (
            {"starts": [0, 12, 24]},
            "the list has tiers that start at 0, 12, 24; "
            "expected whole numbers from 1, each more than the one before.",
        ),
        (
            {"starts": [1, 12, 12]},
            "the list has tiers that start at 1, 12, 12; "
            "expected whole numbers from 1, each more than the one before.",
        ),
        (
            {"starts": [1, 12.5, 24]},
            "the list has tiers that start at 1, 12.5, 24; "
            "expected whole numbers from 1, each more than the one before.",
        ),
        (
            {"last": 23},
            "the list ends at 23, before its last tier starts at 24; "
            "let it end at that quantity or later.",
        ),
        (
            {"prices": [[12, 10], [15, 13]]},
            "the list has 2 × 2 prices; expected 2 × 3, one for each size and tier.",
        ),
        (
            {"prices": [[12, 10, 0], [15, 13, 11]]},
            "the list has the price 0; expected more than 0.",
        ),
        (
            {"prices": [[12, 10, float("nan")], [15, 13, 11]]},
            "the list has the price nan; expected more than 0.",
        ),
    ],
)
def test_an_impossible_list_cannot_exist(changes, told):
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        a_list(**changes)


def test_cells_say_what_the_list_has_and_the_nearest_where_it_has_not():
    """Sizes to 2.0 and 3.0 by tiers 12–23, 24–47 and 48–60: by hand."""
    tiers = a_list(starts=[12, 24, 48], last=60)
    band, tier, there = tiers.cells([[2.0], [2.001], [3.0001]], [11, 12, 47, 48, 60, 61])
    np.testing.assert_array_equal(band, np.repeat([[0], [1], [1]], 6, axis=1))
    np.testing.assert_array_equal(tier, [[0, 0, 1, 2, 2, 2]] * 3)
    held = [False, True, True, True, True, False]
    np.testing.assert_array_equal(there, [held, held, [False] * 6])
