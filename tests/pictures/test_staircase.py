"""The staircase shows the prices of a list, where the money goes and what is left."""

import numpy as np
import pytest
import smallshop
from drawing import drawn, said

from pricelab.files.shop_folder import read_shop
from pricelab.lists.audit import audit
from pricelab.pictures.staircase import STAIRCASE, Staircase, describe


@pytest.fixture(scope="module")
def values(tmp_path_factory):
    """Today's list of the small shop, sizes up to 2 in: from 1, 12 and 24 pieces."""
    folder = read_shop(smallshop.write_shop(tmp_path_factory.mktemp("shop")))
    return Staircase.of(audit(folder.shop, folder.price_lists[0]), 0, "Up to 2 in")


@pytest.fixture
def ax(values):
    """The picture on axes of its own."""
    return drawn(STAIRCASE, values)


def test_price_less_cost_with_fees_is_what_is_left(values):
    """1 piece costs 13.80 with its fixed fee, and 5 % of 25.10 go to the card: 15.055."""
    assert values.cost[0] == pytest.approx(13.80 + 0.05 * 25.10)
    assert values.margin[0] == pytest.approx(1 - 15.055 / 25.10)


def test_the_floor_is_the_price_that_earns_it(values):
    """13.80 over 1 less 20 % less 5 % of fees: 18.40."""
    assert values.floor[0] == pytest.approx(13.80 / 0.75)


def test_tiers_that_do_not_hold_are_told(values):
    """9.90 for 12 pieces at 8.025 leaves 13.9 %, under the floor of 20 %; the others hold."""
    assert values.holds.tolist() == [True, False, True]


def test_the_words_name_the_worst_step_and_tell_each_tier(values):
    """(9.90 × 0.95 − 8.025) / 9.90 = 13.9 %, at the tier's first piece; 24: cost 5.7625 with 5 %
    of 10.50 is 6.2875, so 40.1 % are left."""
    assert describe(values).finding == (
        "Up to 2 in: 1 of 3 steps does not hold; least margin 14 % at 12 pieces"
    )
    assert describe(values).rows == (
        ("1–11", "$25.10", "1", "$15.06", "40 %", "holds"),
        ("12–23", "$9.90", "12", "$8.52", "13.9 %", "does not hold"),
        ("24–50", "$10.50", "24", "$6.29", "40.1 %", "holds"),
    )


def test_every_step_is_drawn_and_priced(values, ax):
    """Three steps at the three prices, each with its price over it."""
    steps = next(line for line in ax.lines if line.get_linewidth() == 3)
    heights = steps.get_ydata()
    assert sorted(set(heights[~np.isnan(heights)])) == [9.90, 10.50, 25.10]
    assert {"$25.10", "$9.90", "$10.50"} <= set(said(ax))


def test_lines_are_named_and_axes_say_their_unit(ax):
    """Names stand beside the lines; quantities have a tick at every break."""
    assert {"price", "needed for 20 %", "cost with fees", "USD a piece"} <= set(said(ax))
    assert ax.get_xlabel() == "pieces in the order"
    assert [label.get_text() for label in ax.get_xticklabels()] == ["1", "12", "24", "50"]


def test_a_step_that_does_not_hold_is_hatched_and_marked(ax):
    """Not by colour alone: a hatch, and a mark before its margin."""
    assert [bool(shade.get_hatch()) for shade in ax.collections] == [False, True]
    assert "▼ 14 %" in said(ax)


def test_a_lossmaking_step_says_so(tmp_path):
    """24 pieces at 3.00 lose money on a cost of 5.7625."""
    lists = smallshop.FILES["price_list.csv"].replace("10.50", "3.00")
    folder = read_shop(smallshop.write_shop(tmp_path, price_list=lists))
    values = Staircase.of(audit(folder.shop, folder.price_lists[0]), 0, "Up to 2 in")
    assert describe(values).finding.startswith("Up to 2 in: money is lost, most of it −97 % at 24")
