"""What an order asks for, and what stops it."""

import re

import numpy as np
import pytest
from example_shops import PATCH, VINYL, a_blank, a_patch

from pricelab.cost.orders import Decoration, Order, check_possible, obstacles
from pricelab.shop.errors import NotPossible, PricelabError
from pricelab.shop.grids import PER_THOUSAND_STITCHES, Grid
from pricelab.shop.method import Density, Method, Stitching
from pricelab.shop.sizes import Artwork, Measure

CAP, PLAIN = a_blank(), a_patch()


def why_not(method, artwork, blank=CAP):
    """The obstacle to one artwork on one blank, '' where there is none."""
    return obstacles(Order.of(blank, 12, method, artwork)).item()


# ---- quantities ----------------------------------------------------------------------


def test_the_same_blank_listed_twice_is_one_blank():
    order = Order([(CAP, 12), (a_blank("beanie"), 5), (CAP, 12)], [Decoration(PLAIN, PATCH)])
    assert [(blank.key, int(quantity)) for blank, quantity in order.pieces] == [
        ("cap", 24),
        ("beanie", 5),
    ]
    assert order.quantity == 29


def test_quantities_of_several_blanks_add_up_in_their_broadcast_shape():
    order = Order([(CAP, [12, 24]), (a_blank("beanie"), 5)], [Decoration(PLAIN, PATCH)])
    np.testing.assert_array_equal(order.quantity, [17, 29])


@pytest.mark.parametrize(
    ("quantity", "told"),
    [
        (0, "found a quantity of 0, expected 1 piece or more."),
        (1.5, "found a quantity of 1.5, expected a whole number of pieces."),
    ],
)
def test_an_order_is_for_whole_pieces(quantity, told):
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        Order.of(CAP, quantity, PLAIN, PATCH)


def test_an_order_is_for_something():
    told = r"^an order needs at least one blank and one decoration\.$"
    with pytest.raises(PricelabError, match=told):
        Order([], [Decoration(PLAIN, PATCH)])
    with pytest.raises(PricelabError, match=told):
        Order([(CAP, 12)], [])


# ---- stitches ------------------------------------------------------------------------

STITCHING = Stitching(speed=800, heads=1, thread=0.02)


def stitched(**changes):
    """An embroidery of one's own at 2,000 stitches a square inch on 80 % of the artwork."""
    density = Density(2000, "in", filled=0.8)
    parts = {"stitching": STITCHING, "density": density, **changes}
    return Method("flat", "Flat", "in", **parts)


def test_stitches_are_estimated_from_the_filled_area_and_said_to_be():
    """By hand: 2 × 1.5 in × 80 % × 2,000 = 4,800; in millimetres it is the same artwork."""
    for artwork in (Artwork(2, 1.5, "in"), Artwork(50.8, 38.1, "mm")):
        decoration = Decoration(stitched(), artwork)
        assert decoration.estimated
        assert decoration.counted.stitches == pytest.approx(4800, rel=1e-14)


def test_stitches_that_are_given_are_not_estimated():
    decoration = Decoration(stitched(), Artwork(2, 1.5, "in", stitches=6000))
    assert not decoration.estimated
    assert decoration.counted.stitches == 6000


def test_a_method_that_does_not_go_by_stitches_needs_no_estimate():
    method = a_patch(density=Density(2000, "in"))
    assert not Decoration(method, PATCH).estimated
    assert Decoration(method, PATCH).counted.stitches is None


@pytest.mark.parametrize(
    "grid",
    [
        Grid("by band", Measure.THOUSAND_STITCHES, None, [10], [1], [[3.0]]),
        Grid.by_quantity("a thousand", [1], [0.5], per=PER_THOUSAND_STITCHES),
    ],
)
def test_a_contracted_embroidery_may_be_estimated_too(grid):
    """By hand: 2 × 2 in × 80 % × 2,000 = 6,400."""
    decoration = Decoration(stitched(stitching=None, grid=grid), Artwork(2, 2, "in"))
    assert decoration.estimated
    assert decoration.counted.stitches == pytest.approx(6400, rel=1e-14)


def test_without_stitches_or_density_a_price_by_stitches_asks_for_them():
    grid = Grid("by band", Measure.THOUSAND_STITCHES, None, [10], [1], [[3.0]])
    told = (
        "this price goes by stitches, and the artwork has no stitch count. "
        "Give the stitches, or give the method a stitch density to estimate them by."
    )
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        why_not(stitched(stitching=None, grid=grid, density=None), PATCH)


# ---- obstacles -----------------------------------------------------------------------


def test_a_cap_press_front_takes_a_patch_about_five_inches_wide():
    """Common practice, no source; a side on its limit still fits."""
    method = a_patch(bands=(6.0,))
    assert why_not(method, Artwork(5, 3, "in")) == ""
    assert why_not(method, Artwork(127, 76.2, "mm")) == ""
    assert why_not(method, Artwork(5.01, 3, "in")) == "the panel of the cap takes at most 5 × 3 in."
    assert why_not(method, Artwork(5, 3.01, "in")) == "the panel of the cap takes at most 5 × 3 in."


def test_a_limit_of_1_1_holds_1_1_however_floats_make_it():
    """By hand: 27.94 mm is 1.1 in."""
    assert why_not(a_patch(max_width=1.1), Artwork(27.94, 25.4, "mm")) == ""


@pytest.mark.parametrize(
    ("method", "artwork", "blank", "reason"),
    [
        (a_patch(max_width=2), PATCH, CAP, "Patch can be at most 2 in wide."),
        (a_patch(max_height=2), PATCH, CAP, "Patch can be at most 2 in high."),
        (a_patch(min_side=2.5), PATCH, CAP, "Patch needs sides of 2.5 in or more."),
        (
            a_patch(heat=320),
            PATCH,
            a_blank(heat_limit=280),
            "Patch needs 320°, more than the cap bears (280°).",
        ),
        (a_patch(), Artwork(2.6, 2.6, "in"), CAP, "the size is over the last band of patches."),
        (
            VINYL,
            Artwork(14.5, 14.5, "in"),
            a_blank(panel_width=20, panel_height=20),
            "the piece is wider than the roll of Vinyl, either way round.",
        ),
    ],
)
def test_what_stops_an_artwork_is_said(method, artwork, blank, reason):
    assert why_not(method, artwork, blank) == reason
    with pytest.raises(NotPossible, match=f"^{re.escape(reason)}$"):
        check_possible(Order.of(blank, 12, method, artwork))


def test_a_blank_that_bears_the_heat_or_says_nothing_of_it_is_pressed():
    assert why_not(a_patch(heat=320), PATCH, a_blank(heat_limit=320)) == ""
    assert why_not(a_patch(heat=320), PATCH, CAP) == ""
    assert why_not(a_patch(), PATCH, a_blank(heat_limit=280)) == ""


def test_every_blank_of_the_order_must_take_the_artwork():
    visor = a_blank("visor", panel_height=2)
    order = Order([(CAP, 12), (visor, 12)], [Decoration(PLAIN, PATCH)])
    assert obstacles(order).item() == "the panel of the visor takes at most 5 × 2 in."


def test_every_decoration_of_the_order_must_be_possible():
    order = Order([(CAP, 12)], [Decoration(PLAIN, PATCH), Decoration(a_patch(max_width=2), PATCH)])
    assert obstacles(order).item() == "Patch can be at most 2 in wide."


def test_obstacles_come_in_the_shape_of_the_artworks():
    order = Order.of(CAP, [1, 12, 24], PLAIN, Artwork([2, 2.5, 3, 6], 2, "in"))
    over_band = "the size is over the last band of patches."
    np.testing.assert_array_equal(
        obstacles(order), ["", "", "", "the panel of the cap takes at most 5 × 3 in."]
    )
    order = Order.of(CAP, 12, PLAIN, Artwork([2, 3], 2.5, "in"))
    np.testing.assert_array_equal(obstacles(order), ["", over_band])
