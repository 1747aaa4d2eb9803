"""The look-up of a printed grid, the supplier's minimum and packs, and ordering up."""

import re

import numpy as np
import pytest

from pricelab.shop.checks import check_quantity
from pricelab.shop.errors import NotPossible, PricelabError
from pricelab.shop.grids import PER_THOUSAND_STITCHES, Grid
from pricelab.shop.place import Place, Sheet
from pricelab.shop.sizes import Artwork, Measure, size_of

PATCHES = Grid(
    "patches",
    Measure.MEAN_OF_SIDES,
    "in",
    bands=[2.0, 2.5, 3.0, 3.5, 4.0],
    breaks=[12, 24, 48],
    prices=[
        [3.00, 2.50, 2.00],
        [3.25, 2.75, 2.25],
        [3.50, 3.00, 2.50],
        [3.75, 3.25, 2.75],
        [4.00, 3.50, 3.00],
    ],
    sheet=Sheet("grids/patches.csv", (2, 3, 4, 5, 6), ("12", "24", "48")),
)

MACHINES = Grid.by_quantity("machines", [1, 50, 90], [1400, 1100, 900])
"""A problem on all-units discounts from Gandomi, course 4QA3: 1400/1100/900 at 1/50/90."""


# ---- bands ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("width", "height", "end"), [(2.25, 2.25, 2.5), (2.5, 2.25, 2.5), (5, 2.25, 4.0)]
)
def test_a_patch_is_priced_in_the_first_band_whose_end_is_not_below_its_size(width, height, end):
    """Common practice, no source: half-inch bands, sizes 2.25, 2.375 and 3.625."""
    size = size_of(Artwork(width, height, "in"), Measure.MEAN_OF_SIDES, "in")
    assert PATCHES.bands[PATCHES.band_of(size)] == end


@pytest.mark.parametrize(
    ("size", "end"), [(2.5, 2.5), (2.499, 2.5), (2.501, 3.0), (2.004, 2.5), (0.1, 2.0), (4.0, 4.0)]
)
def test_a_bands_upper_end_belongs_to_it_and_what_lies_between_two_takes_the_upper(size, end):
    """By hand: printed 2.01–2.50 begins, for a supplier, just above 2."""
    assert PATCHES.bands[PATCHES.band_of(size)] == end


def test_sizes_compare_as_decimals_do():
    """By hand: 1.1 × 1.1 = 1.21 is on the edge, though floats make it 1.2100000000000002."""
    grid = Grid("by area", Measure.AREA, "in", [1.21, 2.0], [1], [[1.0], [2.0]])
    assert 1.1 * 1.1 > 1.21
    assert grid.price(1.1 * 1.1, 1) == 1.0
    assert grid.price(1.2100001, 1) == 2.0


def test_over_the_last_band_there_is_no_price():
    told = "size 4.01 is over the last band of patches, which ends at 4."
    with pytest.raises(NotPossible, match=f"^{re.escape(told)}$"):
        PATCHES.price(4.01, 24)
    with pytest.raises(NotPossible, match=f"^{re.escape(told)}$"):
        PATCHES.price([2.0, 4.01], 24)


# ---- breaks --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("quantity", "price"),
    [(12, 3.25), (23, 3.25), (24, 2.75), (25, 2.75), (47, 2.75), (48, 2.25), (5000, 2.25)],
)
def test_all_units_take_the_price_of_the_greatest_break_not_above_the_quantity(quantity, price):
    assert PATCHES.price(2.5, quantity) == price


def test_under_the_first_break_its_quantity_is_paid():
    """By hand: 7 wanted, 12 paid for at 3.25 = 39.00; 5 pieces are surplus."""
    bought = PATCHES.buy(2.5, 7)
    assert (bought.billed, bought.unit_price, bought.amount) == (12, 3.25, 39.00)
    assert bought.surplus == 5


def test_packs_round_up_and_the_break_is_taken_on_what_is_billed():
    """By hand: 23 in packs of 12 are 24 pieces, which reach the break at 24."""
    grid = Grid.by_quantity("caps", [1, 24], [5.00, 4.00], pack=12)
    bought = grid.buy(0, 23)
    assert (bought.billed, bought.unit_price, bought.amount) == (24, 4.00, 96.00)
    assert grid.billed(24) == 24
    assert grid.billed(25) == 36


def test_a_minimum_that_is_no_whole_pack_is_rounded_up_to_one():
    """By hand: at least 20, in packs of 12: 24."""
    assert Grid.by_quantity("caps", [20], [4.00], pack=12).billed(3) == 24


# ---- shapes --------------------------------------------------------------------------


def test_a_scalar_gives_a_scalar_and_a_column_and_a_row_give_a_mesh():
    assert np.ndim(PATCHES.price(2.5, 24)) == 0
    mesh = PATCHES.price(np.array([[2.0], [2.5], [4.0]]), np.array([12, 24, 48, 47]))
    expected = [[3.00, 2.50, 2.00, 2.50], [3.25, 2.75, 2.25, 2.75], [4.00, 3.50, 3.00, 3.50]]
    np.testing.assert_array_equal(mesh, expected)


def test_arrays_equal_scalars_one_by_one():
    sizes, quantities = np.array([[1.9], [2.5], [3.99]]), np.array([1, 12, 24, 45, 48, 99])
    for order_up in (False, True):
        bought = PATCHES.buy(sizes, quantities, order_up=order_up)
        amount = np.broadcast_to(bought.amount, (3, 6))
        for at in np.ndindex(3, 6):
            one = PATCHES.buy(sizes[at[0], 0], quantities[at[1]], order_up=order_up)
            assert one.amount == amount[at]
            assert np.ndim(one.amount) == 0


@pytest.mark.parametrize("shape", [(2, 3), (3, 2), (3, 1, 2), (2, 1, 1)])
def test_sizes_of_any_shape_meet_a_row_of_quantities(shape):
    """Each cell is what its size and its quantity cost alone."""
    sizes = np.resize([1.9, 2.5, 2.6, 3.99], shape)
    quantities = np.array([12, 24, 48][: shape[-1]] if shape[-1] > 1 else [12, 24, 48])
    prices = PATCHES.price(sizes, quantities)
    sizes, quantities = np.broadcast_arrays(sizes, quantities)
    assert prices.shape == sizes.shape
    for at in np.ndindex(prices.shape):
        assert prices[at] == PATCHES.price(sizes[at], quantities[at])


def test_sizes_and_quantities_give_a_mesh_unless_they_are_paired():
    """By the table: up to 2, 2.5 and 4 in; from 12, 24 and 48 pieces."""
    sizes, quantities = [2.0, 2.5, 4.0], [12, 24, 48]
    mesh = PATCHES.price(sizes, quantities)
    np.testing.assert_array_equal(mesh, PATCHES.prices[[0, 1, 4]])
    np.testing.assert_array_equal(PATCHES.price(sizes, quantities, paired=True), mesh.diagonal())
    bought = PATCHES.buy(sizes, [5, 30], order_up=True)
    assert bought.amount.shape == (3, 2)
    paired = PATCHES.buy([2.0, 4.0], [5, 30], order_up=True, paired=True)
    np.testing.assert_array_equal(paired.amount, [bought.amount[0, 0], bought.amount[2, 1]])


@pytest.mark.parametrize("count", [128, 129, 130, 200])
def test_many_breaks_are_counted_in_a_long_row_as_in_a_short_one(count):
    """By hand: from its break of q pieces on a piece costs q; the last break holds for all more."""
    grid = Grid.by_quantity("many", np.arange(1, count + 1), np.arange(1.0, count + 1))
    quantities = np.arange(1, 3001)
    np.testing.assert_array_equal(grid.price(0, quantities), np.minimum(quantities, count))


def test_a_long_row_of_quantities_is_looked_up_in_pieces_that_join():
    """More values than are looked up at a time; by hand: 1 under 24, then 2, then 3 from 48."""
    grid = Grid.by_quantity("long", [1, 24, 48], [1.0, 2.0, 3.0])
    quantities = np.arange(1, 40_001)
    prices = grid.price(0, quantities)
    assert prices.sum() == 23 * 1 + 24 * 2 + (40_000 - 47) * 3
    np.testing.assert_array_equal(prices[[22, 23, 46, 47, 16_383, 16_384, 39_999]],
                                  [1, 2, 2, 3, 3, 3, 3])  # fmt: skip


# ---- ordering up ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("wanted", "own_bill", "better", "better_bill"),
    [(49, 68_600, 50, 55_000), (89, 97_900, 90, 81_000)],
)
def test_buying_the_break_costs_less_than_the_quantity_wanted(
    wanted, own_bill, better, better_bill
):
    """Gandomi 4QA3."""
    assert MACHINES.buy(0, wanted).amount == own_bill
    assert MACHINES.order_up(0, wanted) == (better, own_bill - better_bill)
    bought = MACHINES.buy(0, wanted, order_up=True)
    assert (bought.billed, bought.amount) == (better, better_bill)
    assert bought.surplus == better - wanted


def test_the_dominated_quantities_of_the_published_schedule():
    """By hand from Gandomi 4QA3: 55,000 / 1400 = 39.3, and 81,000 / 1100 = 73.6."""
    quantities = np.arange(1, 201)
    better, saving = MACHINES.order_up(0, quantities)
    dominated = quantities[better > 0]
    np.testing.assert_array_equal(dominated, [*range(40, 50), *range(74, 90)])
    assert (saving[better == 0] == 0).all()


def test_freight_by_weight_breaks_at_the_same_quantity():
    """freightlogistics.wordpress.com, on weight breaks: 2000 × 49.39 / 58.21, printed as 1696."""
    freight = Grid.by_quantity("freight a hundredweight", [1000, 2000], [58.21, 49.39])
    assert freight.order_up(0, 1696) == (0, 0.0)
    better, saving = freight.order_up(0, 1697)
    assert better == 2000
    assert saving == pytest.approx(1697 * 58.21 - 2000 * 49.39)


def test_480_pounds_are_dearer_than_500():
    """By hand: 4.80 × 45 a hundredweight = 216, 5.00 × 38 = 190."""
    freight = Grid.by_quantity("freight a pound", [1, 500], [0.45, 0.38])
    assert freight.buy(0, 480).amount == pytest.approx(216)
    better, saving = freight.order_up(0, 480)
    assert (better, saving) == (500, pytest.approx(26))


def test_a_bill_that_is_only_equal_is_no_reason_to_order_up():
    """By hand: 40 × 5 = 50 × 4 = 200."""
    grid = Grid.by_quantity("equal", [1, 50], [5.0, 4.0])
    assert grid.order_up(0, 40) == (0, 0.0)
    assert grid.order_up(0, 41) == (50, 5.0)


def test_of_several_later_breaks_the_cheapest_is_bought_and_of_equals_the_smallest():
    """By hand: for 9 at 10 = 90, later bills are 10 × 8 = 80, 20 × 3 = 60, 30 × 2 = 60."""
    grid = Grid.by_quantity("far", [1, 10, 20, 30], [10.0, 8.0, 3.0, 2.0])
    assert grid.order_up(0, 9) == (20, 30.0)


def test_ordering_up_counts_the_minimum_and_whole_packs():
    """By hand: 13 in packs of 12 are 24 × 5 = 120; the break at 30 means 36 × 3 = 108."""
    grid = Grid.by_quantity("packed", [12, 30], [5.0, 3.0], pack=12)
    assert grid.order_up(0, 13) == (36, 12.0)
    assert grid.buy(0, 13, order_up=True).billed == 36
    assert grid.order_up(0, 1) == (0, 0.0)  # 12 × 5 = 60 is less


def test_a_purchase_knows_its_surplus():
    """By hand: 12 at 3.25 are paid for whether 5 or 12 are wanted."""
    bought = PATCHES.buy(2.5, np.array([5, 12]))
    np.testing.assert_array_equal(bought.surplus, [7, 0])
    np.testing.assert_array_equal(bought.amount, [39, 39])


# ---- where a price stands ------------------------------------------------------------


def test_a_price_opens_down_to_its_file_row_and_column():
    assert PATCHES.place(1, 2) == Place("grids/patches.csv", 3, "48")
    assert str(PATCHES.place(1, 2)) == 'grids/patches.csv, row 3, column "48"'
    assert str(Place("shop.csv")) == "shop.csv"
    assert MACHINES.place(0, 0) is None


def test_a_table_in_long_form_has_a_row_for_each_break():
    sheet = Sheet("blank_prices.csv", (7, 8), ("price",), long=True)
    grid = Grid.by_quantity("caps", [1, 24], [5.0, 4.0], sheet=sheet)
    assert grid.place(0, 1) == Place("blank_prices.csv", 8, "price")


def test_a_grid_goes_by_stitches_through_its_bands_or_its_prices():
    assert Grid("a", Measure.THOUSAND_STITCHES, None, [5], [1], [[1.0]]).by_stitches
    assert Grid.by_quantity("b", [1], [0.5], per=PER_THOUSAND_STITCHES).by_stitches
    assert not PATCHES.by_stitches


def test_a_price_is_for_the_piece_and_sold_singly_unless_told_otherwise():
    """The words of data/README.md; by hand: 13 wanted are 13 paid for."""
    assert _grid().per == "piece"
    assert Grid.by_quantity("b", [1], [0.5], per="thousand stitches").by_thousand
    assert _grid().billed(13) == 13


@pytest.mark.parametrize("figures", ["bands", "breaks", "prices"])
def test_nobody_can_change_a_grids_figures_behind_its_back(figures):
    with pytest.raises(ValueError, match="read-only"):
        getattr(_grid(), figures)[0] = 1


def test_a_long_row_of_sizes_is_looked_up_as_each_by_itself():
    """By hand: the ends of the bands, and a little over all but the last, in any shape."""
    sizes = np.array([2.001, 2.0, 2.5, 2.501, 3.0, 3.001, 3.5, 3.501, 4.0])
    bands = np.array([1, 0, 1, 2, 2, 3, 3, 4, 4])
    for shape in ((9000,), (9000, 1), (30, 300)):
        np.testing.assert_array_equal(
            PATCHES.band_of(np.resize(sizes, shape)), np.resize(bands, shape)
        )


# ---- what is refused -----------------------------------------------------------------


@pytest.mark.parametrize(
    ("quantity", "told"),
    [
        (0, "found a quantity of 0, expected 1 piece or more."),
        (-3, "found a quantity of -3, expected 1 piece or more."),
        ([24, 0], "found a quantity of 0, expected 1 piece or more."),
        (1.5, "found a quantity of 1.5, expected a whole number of pieces."),
        ([12.0, 1.5], "found a quantity of 1.5, expected a whole number of pieces."),
        (float("nan"), "found a quantity of nan, expected a whole number of pieces."),
        ("a dozen", "found a quantity of a dozen, expected a whole number of pieces."),
    ],
)
def test_a_quantity_is_a_whole_number_from_one(quantity, told):
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        check_quantity(quantity)
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        MACHINES.buy(0, quantity)


def test_a_whole_float_is_a_quantity():
    assert check_quantity(24.0) == 24
    assert check_quantity(np.array([1.0, 2.0])).dtype == np.int64


def _grid(**changes):
    parts = {
        "name": "leather", "measure": Measure.MEAN_OF_SIDES, "unit": "in", "bands": [2, 2.5],
        "breaks": [12, 24], "prices": [[3, 2], [4, 3]],
    }  # fmt: skip
    return Grid(**{**parts, **changes})


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        (
            {"breaks": [24, 12]},
            'the grid "leather" has the quantity breaks 24, 12; '
            "expected whole numbers from 1, each more than the one before.",
        ),
        (
            {"breaks": [1_000_000, 24]},
            'the grid "leather" has the quantity breaks 1000000, 24; '
            "expected whole numbers from 1, each more than the one before.",
        ),
        (
            {"breaks": [12, 12]},
            'the grid "leather" has the quantity breaks 12, 12; '
            "expected whole numbers from 1, each more than the one before.",
        ),
        (
            {"breaks": [0, 12]},
            'the grid "leather" has the quantity breaks 0, 12; '
            "expected whole numbers from 1, each more than the one before.",
        ),
        (
            {"breaks": [12.5, 24]},
            'the grid "leather" has the quantity breaks 12.5, 24; '
            "expected whole numbers from 1, each more than the one before.",
        ),
        (
            {"bands": [2.5, 2]},
            'the grid "leather" has size bands that end at 2.5, 2; '
            "expected ends above 0, each more than the one before.",
        ),
        (
            {"bands": [2.5, 2.5]},
            'the grid "leather" has size bands that end at 2.5, 2.5; '
            "expected ends above 0, each more than the one before.",
        ),
        (
            {"bands": [0, 2]},
            'the grid "leather" has size bands that end at 0, 2; '
            "expected ends above 0, each more than the one before.",
        ),
        (
            {"bands": [2, float("nan")]},
            'the grid "leather" has size bands that end at 2, nan; '
            "expected ends above 0, each more than the one before.",
        ),
        (
            {"prices": [[3, 2]]},
            'the grid "leather" has 1 × 2 prices; expected 2 × 2, one for each band and break.',
        ),
        (
            {"prices": [[0.5, 0], [4, -3]]},
            'the grid "leather" has the price -3; expected 0 or more.',
        ),
        (
            {"prices": [[3, float("nan")], [4, 3]]},
            'the grid "leather" has the price nan; expected 0 or more.',
        ),
        (
            {"unit": None},
            'the grid "leather" goes by mean of sides; '
            "say whether that is in inches (in) or millimetres (mm).",
        ),
        (
            {"per": "dozen"},
            'the grid "leather" has prices per "dozen"; expected piece or thousand stitches.',
        ),
        (
            {"pack": 0},
            'the grid "leather" has packs of 0; expected a whole number of pieces from 1.',
        ),
        (
            {"pack": 1.5},
            'the grid "leather" has packs of 1.5; expected a whole number of pieces from 1.',
        ),
    ],
)
def test_an_impossible_grid_cannot_exist(changes, told):
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        _grid(**changes)


def test_a_grid_by_quantity_is_named_where_it_is_impossible():
    told = 'the grid "caps" has the price -1; expected 0 or more.'
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        Grid.by_quantity("caps", [1], [-1])
