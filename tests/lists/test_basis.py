"""What the cells of a list cost, and the artwork that a list size stands for."""

from dataclasses import replace

import numpy as np
import pytest
from example_shops import CARTONS, VINYL, a_blank, a_shop

from pricelab.lists.basis import basis_of, list_measure, list_shapes, possible_sizes, usual_sizes
from pricelab.shop.errors import NotPossible
from pricelab.shop.grids import PER_THOUSAND_STITCHES, Grid
from pricelab.shop.method import Density, Method
from pricelab.shop.sizes import Measure, size_of

PATCH, CAP = CARTONS.methods["patch"], CARTONS.blanks["cap"]


def test_every_quantity_of_a_list_has_its_price_for_a_margin():
    """By hand: 13 / .50 = 26, 4.25 / .50 = 8.50; and the sheet behind them adds up to 8 × 4.25."""
    basis = basis_of(CARTONS, PATCH, CAP, [2, 3], np.arange(1, 25))
    prices = basis.price_for(0.50)
    assert prices.shape == (2, 24)
    assert prices[0, [0, 7]] == pytest.approx([26.00, 8.50])
    assert basis.sheet.full[0, 7] == pytest.approx(34.00)


def test_a_list_goes_by_its_grids_measure_else_by_the_mean_of_the_sides():
    assert list_measure(PATCH) == (Measure.MEAN_OF_SIDES, "in")
    by_area = Method("m", "M", "in", grid=Grid("a", Measure.AREA, "mm", [900], [1], [[1.0]]))
    assert list_measure(by_area) == (Measure.AREA, "mm")
    assert list_measure(VINYL) == (Measure.MEAN_OF_SIDES, "in")
    thousand = Grid.by_quantity("t", [1], [0.5], per=PER_THOUSAND_STITCHES)
    assert list_measure(Method("m", "M", "mm", grid=thousand)) == (Measure.MEAN_OF_SIDES, "mm")


def test_the_usual_sizes_are_the_grids_bands_else_steps():
    np.testing.assert_array_equal(usual_sizes(PATCH), [2, 3])
    np.testing.assert_array_equal(usual_sizes(VINYL)[:3], [1.0, 1.5, 2.0])
    assert usual_sizes(VINYL)[-1] == 6.0
    metric = replace(VINYL, unit="mm")
    np.testing.assert_array_equal(usual_sizes(metric)[[0, 1, -1]], [20, 30, 120])


def test_sizes_that_cannot_be_made_are_left_out():
    """By hand, a panel 5 × 2.5: a mean of 3.75 just fits (5 + 2.5); 4 does not."""
    low = a_blank(panel_height=2.5)
    np.testing.assert_array_equal(possible_sizes(VINYL, low), [1, 1.5, 2, 2.5, 3, 3.5])
    np.testing.assert_array_equal(possible_sizes(VINYL, low, [3.75, 4]), [3.75])


@pytest.mark.parametrize(
    ("measure", "size"),
    [
        (Measure.MEAN_OF_SIDES, lambda wide, high: (wide + high) / 2),
        (Measure.AREA, lambda wide, high: wide * high),
        (Measure.LONGEST_SIDE, max),
    ],
)
@pytest.mark.parametrize("limits", ["panel", "press in millimetres"])
def test_a_size_that_is_exactly_the_panels_or_the_presss_own_fits(measure, size, limits):
    """Decimals: a mean of 2.7 on 3.4 × 2, an area of 6.9 on 3 × 2.3, and 400 more in hundredths."""
    dice = np.random.default_rng(4)
    sides = [(3.4, 2.0), (3.0, 2.3), *(dice.integers(50, 900, (400, 2)) / 100).tolist()]
    for wide, high in sides:
        own = float(np.round(size(wide, high), 4))
        method = Method("m", "M", "in", grid=Grid("g", measure, "in", [own], [1], [[1.0]]))
        blank = a_blank(panel_width=wide, panel_height=high)
        if limits != "panel":
            blank = a_blank(panel_width=10, panel_height=10)
            most = {"max_width": wide * 25.4, "max_height": high * 25.4}
            method = replace(method, unit="mm", **most)
        assert possible_sizes(method, blank).tolist() == [own], (wide, high)


def squarest_of(method, blank, sizes, by=None):
    """Width and height of the first shape of each list size."""
    shapes = list_shapes(method, blank, sizes, by)
    return shapes.width[:, 0], shapes.height[:, 0]


def test_a_size_stands_for_its_squarest_artwork_on_the_panel():
    """By hand, a panel 5 × 2.5 in: 3 is 3.5 × 2.5, the mean of which is 3."""
    shapes = list_shapes(PATCH, a_blank(panel_height=2.5), [2, 3])
    assert (shapes.width.tolist(), shapes.height.tolist()) == ([[2], [3.5]], [[2], [2.5]])
    millimetres = a_blank(panel_width=127, panel_height=63.5, unit="mm")
    np.testing.assert_allclose(squarest_of(VINYL, millimetres, [3]), [[3.5], [2.5]])


def test_on_a_roll_a_size_stands_for_every_width_on_a_rule_as_well():
    """By hand: sixteenths of an inch up to 5 in, 80; whole millimetres up to 127."""
    shapes = list_shapes(VINYL, a_blank(panel_height=2.5), [3])
    assert shapes.shape == (1, 1 + 80)
    assert (shapes.width[0, [1, 16, 80]].tolist()) == [1 / 16, 1, 5]
    assert (shapes.height[0, [1, 16, 80]].tolist()) == [6 - 1 / 16, 5, 1]
    metric = list_shapes(replace(VINYL, unit="mm"), CAP, [60])
    assert metric.shape == (1, 1 + 127)
    assert (metric.width[0, 20], metric.height[0, 20]) == (20, 100)


def test_on_a_roll_a_size_costs_what_its_dearest_shape_takes():
    """By hand, mean 2 on a roll with 14.25 in to fill, 10 cents an inch, a gap of .25.

    Six of 2 × 2 lie in one row of 2.25. Of 2 3/4 × 1 1/4 four go into a row one way round, so two
    rows of 1.50, and all six the other way, in one row of 3.00: either takes 3.00 of roll, more
    than any other shape. A single piece takes most as a square, one row of 2.25.
    """
    vinyl = replace(VINYL, spoilage=0.0, operations=())
    shop, blank = a_shop(vinyl), a_blank(panel_width=5, panel_height=2.5, prices=(0.0,))
    basis = basis_of(shop, vinyl, blank, [2], np.array([1, 6]))
    assert basis.cost.tolist() == [[pytest.approx(0.225), pytest.approx(0.300)]]
    line = basis.sheet.at(0, 1).why()[0]
    assert (line.unit, line.quantity) == ("in of roll", pytest.approx(3.0))


def test_a_size_whose_square_is_wider_than_the_roll_can_be_made_slimmer():
    """By hand: nothing over 2 in goes on a roll of 2.5 with edges of .25, and 3 × 1 is mean 2."""
    narrow = replace(VINYL, roll=replace(VINYL.roll, width=2.5, edge=0.25))
    assert possible_sizes(narrow, a_blank(panel_height=2.5), [2.25, 3.5, 4]).tolist() == [2.25, 3.5]
    basis = basis_of(a_shop(narrow), narrow, a_blank(panel_height=2.5), [2.25], np.arange(1, 4))
    told = "the piece is wider than the roll of Vinyl, either way round."
    with pytest.raises(NotPossible, match=f"^{told}$"):
        basis_of(a_shop(narrow), narrow, a_blank(panel_height=4), [4.5], np.arange(1, 4))
    assert basis.cost.shape == (1, 3)


@pytest.mark.parametrize("sides", [(76.2, 50.8), (50.8, 76.2)])
def test_what_a_press_takes_in_millimetres_limits_sizes_in_inches(sides):
    """By hand: 76.2 × 50.8 mm are 3 × 2 in, the mean of which is 2.5."""
    press = replace(VINYL, unit="mm", max_width=sides[0], max_height=sides[1])
    roomy = a_blank(panel_width=9, panel_height=9)
    [width], [height] = squarest_of(press, roomy, [2.5], (Measure.MEAN_OF_SIDES, "in"))
    assert (width, height) == pytest.approx([side / 25.4 for side in sides])


def test_a_list_by_stitches_has_the_stitches_of_its_bands():
    """By hand: 8 thousand at 2,000 a square inch on all of it cover 4 square inches, 2 × 2."""
    grid = Grid("bands", Measure.THOUSAND_STITCHES, None, [8], [1], [[3.0]])
    method = Method("c", "Contracted", "in", grid=grid)
    assert list_shapes(method, CAP, [8]).stitches == 8000
    np.testing.assert_array_equal(possible_sizes(method, a_blank(panel_height=1.5)), [8])
    dense = replace(method, density=Density(2000, "in"))
    assert squarest_of(dense, CAP, [8]) == (2, 2)
    assert size_of(list_shapes(dense, CAP, [8]), Measure.THOUSAND_STITCHES, None) == 8
    half = replace(method, density=Density(2000, "in", filled=0.5))
    assert squarest_of(half, CAP, [4]) == (2, 2)
