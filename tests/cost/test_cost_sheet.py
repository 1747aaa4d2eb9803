"""The cost sheet: however its lines are added up, they make the same total."""

import numpy as np
import pytest
from example_shops import LEATHER, PATCH, STITCHED, VINYL, WORKED_CAP, WORKED_SHOP

from pricelab.cost.cost_sheet import CostSheet, Line, Work
from pricelab.cost.costing import cost_sheet
from pricelab.cost.orders import Decoration, Order
from pricelab.shop.charges import Element, Level
from pricelab.shop.sizes import Artwork


def mixed_sheet():
    """Three decorations on a piece, sizes down, quantities across."""
    artworks = Artwork([1.5, 2.0, 2.5], 2, "in", stitches=[3000, 6000, 9000], colours=3)
    decorations = [Decoration(method, artworks) for method in (LEATHER, STITCHED, VINYL)]
    return cost_sheet(WORKED_SHOP, Order([(WORKED_CAP, np.arange(1, 200))], decorations))


def test_elements_levels_and_lines_each_sum_to_the_total():
    """Identities, at every size and quantity of a mesh."""
    sheet = mixed_sheet()
    assert sheet.full.shape == (3, 199)
    for parts in (
        sheet.by_element().values(),
        sheet.by_level().values(),
        [line.amount for line in sheet.lines],
        [sheet.variable, sheet.by_element()[Element.OVERHEAD]],
        [sheet.recurring, sheet.once],
    ):
        np.testing.assert_allclose(sum(parts), sheet.full, rtol=1e-13)


def test_every_total_has_the_shape_of_the_sheet():
    sheet = mixed_sheet()
    one = cost_sheet(WORKED_SHOP, Order.of(WORKED_CAP, 24, LEATHER, PATCH))
    for figures, shape in ((sheet, (3, 199)), (one, ()), (sheet.at(2, 47), ())):
        by = *figures.by_element().values(), *figures.by_level().values()
        for total in (figures.full, figures.variable, figures.bottleneck, *by):
            assert np.shape(total) == figures.shape == shape


def test_one_order_of_a_mesh_has_its_own_figures():
    """An identity: size 2 and 24 pieces, by its place in the mesh and as an order of its own."""
    sheet = mixed_sheet().at(1, 23)
    artwork = Artwork(2.0, 2, "in", stitches=6000, colours=3)
    decorations = [Decoration(method, artwork) for method in (LEATHER, STITCHED, VINYL)]
    alone = cost_sheet(WORKED_SHOP, Order([(WORKED_CAP, 24)], decorations))
    assert [line.why() for line in sheet.lines] == [line.why() for line in alone.lines]
    assert sheet.minutes == alone.minutes
    assert sheet.quantity == 24


def test_adding_up_changes_no_line():
    sheet = mixed_sheet()
    before = [np.array(line.amount) for line in sheet.lines]
    _ = sheet.full, sheet.full
    for line, amount in zip(sheet.lines, before, strict=True):
        np.testing.assert_array_equal(line.amount, amount)


def test_the_bottleneck_is_the_longest_of_all_who_are_busy():
    sheet = mixed_sheet()
    assert set(sheet.minutes) == {"operator", "press", "embroidery machine"}
    longest = np.maximum.reduce([np.broadcast_to(m, sheet.shape) for m in sheet.minutes.values()])
    np.testing.assert_array_equal(sheet.bottleneck, longest)


def a_line(times, each, rate, label="line"):
    return Line(Level.PIECE, Element.OTHER, label, times, each, "pieces", rate)


def test_a_line_is_times_each_at_a_rate():
    """By hand: 24 pieces × 2 each at 1.50 = 72.00; the first: 24 × 1.50 = 36.00."""
    line = a_line(np.array([12, 24]), 2.0, 1.50)
    np.testing.assert_array_equal(line.amount, [36.0, 72.0])
    (why,) = CostSheet((line,), (), np.array([12, 24]), (2,)).at(0).why()
    assert (why.quantity, why.rate, why.amount, why.place) == (24.0, 1.50, 36.0, None)
    assert why.spoiled is False


def test_a_sheet_without_lines_costs_nothing():
    assert CostSheet((), (), 24, ()).full == 0
    np.testing.assert_array_equal(CostSheet((), (), np.arange(3), (2, 3)).full, np.zeros((2, 3)))


def test_lines_of_every_shape_are_added_up():
    """By hand: 10 + [1, 2, 3] + [[100], [200]] + [[0, 1, 0], [1, 0, 1]]."""
    full = np.array([[0.0, 1, 0], [1, 0, 1]])
    lines = (
        a_line(1, 1.0, 10.0),
        a_line(np.array([1, 2, 3]), 1.0, 1.0),
        a_line(1, 1.0, np.array([[100.0], [200.0]])),
        a_line(1, 1.0, full),
    )
    sheet = CostSheet(lines, (), np.array([1, 2, 3]), (2, 3))
    np.testing.assert_array_equal(sheet.full, [[111, 113, 113], [212, 212, 214]])
    np.testing.assert_array_equal(full, [[0, 1, 0], [1, 0, 1]])


def test_lines_of_whole_dollars_and_of_cents_are_added_up():
    """By hand: [3, 6] + .50."""
    lines = a_line(np.array([1, 2]), 1, 3), a_line(1, 1, 0.50)
    sheet = CostSheet(lines, (), np.array([1, 2]), (2,))
    np.testing.assert_array_equal(sheet.full, [3.5, 6.5])


def test_two_parts_of_an_order_have_the_shape_of_both():
    """By hand: quantities across, sizes down; the greater part first or last."""
    across, down = CostSheet((), (), 24, (3,)), CostSheet((), (), 24, (2, 1))
    assert (across + down).shape == (down + across).shape == (2, 3)


def test_minutes_are_the_operators_if_attended_and_the_stations_if_there_is_one():
    """By hand: attended at the press 24 × 1.5, dwell 24 × .5, packing 10 without a station."""
    work = (
        Work(Level.PIECE, "load", 24, 1.5, True, "press"),
        Work(Level.PIECE, "dwell", 24, 0.5, False, "press"),
        Work(Level.ORDER, "pack", 1, 10.0, True, None),
    )
    assert CostSheet((), work, 24, ()).minutes == pytest.approx({"operator": 46.0, "press": 48.0})
