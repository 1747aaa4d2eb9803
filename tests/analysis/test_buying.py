"""What to buy for an order, by hand and against scipy's binomial."""

from dataclasses import replace

import numpy as np
import pytest
from example_shops import a_blank, a_patch, a_shop
from scipy import stats

from pricelab.analysis.buying import ToBuy, buying_list
from pricelab.cost.orders import Decoration, Order
from pricelab.shop.errors import PricelabError
from pricelab.shop.grids import Grid
from pricelab.shop.method import Density, Method
from pricelab.shop.sizes import Artwork

CAP = a_blank(breaks=(1, 48), prices=(5, 4), pack=12)
PATCH = a_patch((25, 50), ((3, 2), (4, 3)), (2, 3), spoilage=0.03)
SEWN = Method(
    "sewn", "Contracted", "in", spoilage=0.1, density=Density(2000, "in"),
    grid=Grid.by_quantity("sewn", [1], [0.5], per="thousand stitches"),
)  # fmt: skip


def buyer(**more):
    """A shop that buys them."""
    return a_shop(PATCH, SEWN, blanks=(CAP,), **more)


def test_an_order_of_24_by_hand():
    """26 are bought to be 95 % sure of 24 at 3 % (25 are only 83 %): 3 packs of caps, 26 patches.

    26 × 4.00 = 104.00; 50 × 3.00 = 150.00 costs more, so no later break would pay; of caps 48
    at 4.00 would cost 192 against 180, no saving either.
    """
    caps, patches = buying_list(buyer(), Order.of(CAP, 24, PATCH, Artwork(3, 3, "in")))
    assert caps == ToBuy("the cap", 24, 26, 36, 5.0, 180.0, 0, 0.0)
    assert patches == ToBuy("Patch", 24, 26, 26, 4.0, 104.0, 0, 0.0)


def test_a_later_break_that_costs_less_is_told_or_taken():
    """By hand: 45 good take 49 (48 are 94 %); 49 × 3.00 = 147, but 50 × 2.00 = 100: 47.00 less."""
    order = Order.of(CAP, 45, PATCH, Artwork(2, 2, "in"))
    told = buying_list(buyer(), order)[1]
    assert (told.pieces, told.amount, told.up_to, told.saving) == (49, 147.0, 50, 47.0)
    taken = buying_list(buyer(order_up=True), order)[1]
    assert (taken.billed, taken.amount, taken.up_to, taken.saving) == (50, 100.0, 0, 0.0)
    for shop, own, bought in ((buyer(), True, taken), (buyer(order_up=True), False, told)):
        assert buying_list(shop, replace(order, order_up=own))[1] == bought


def test_pieces_are_spoiled_by_all_they_have_still_to_pass():
    """Two decorations of 3 % and 10 %: caps and the first must survive .97 × .9, the second .9."""
    order = Order(
        [(CAP, 50)],
        [Decoration(PATCH, Artwork(2, 2, "in")), Decoration(SEWN, Artwork(2, 1, "in"))],
    )
    caps, first, second = buying_list(buyer(service_level=0.9), order)
    for bought, good in ((caps, 0.97 * 0.9), (first, 0.97 * 0.9), (second, 0.9)):
        assert stats.binom.sf(49, bought.pieces, good) >= 0.9
        assert stats.binom.sf(49, bought.pieces - 1, good) < 0.9
    assert second.unit_price == 2.0  # 2 × 1 × 2,000 stitches, at .50 a thousand
    assert second.amount == 2.0 * second.billed


def test_only_one_order_is_bought_for_at_a_time():
    order = Order.of(CAP, np.array([12, 24]), PATCH, Artwork(2, 2, "in"))
    with pytest.raises(PricelabError, match=r"expected one order of one size and quantity to buy"):
        buying_list(buyer(), order)


def test_what_is_spare_and_saved_is_told_and_added_up():
    """By hand: 49 of 2 in at 3.00 are 147.00, 50 at 2.00 are 100.00: 47.00 saved, one spare.

    49 caps in packs of 12 are 60 at 4.00, 240.00; 340.00 in all.
    """
    order = Order.of(CAP, 45, PATCH, Artwork(2, 2, "in"))
    caps, patches = bought = buying_list(buyer(order_up=True), order)
    assert (patches.saved, patches.spare) == (47.0, 1)
    assert (caps.saved, caps.spare) == (0.0, 11)
    assert sum(one.amount for one in bought) == 340.0
    assert buying_list(buyer(), order)[1].saved == 0.0
