"""Cut pieces on a roll: a row count, never better than the best nesting."""

import re

import numpy as np
import pytest

from pricelab.shop.errors import NotPossible, PricelabError
from pricelab.shop.nesting import Roll, feed

ROLL = Roll(width=15, edge=0.5, gap=0.25, price=0.10, unit="in")


def bare(width):
    """A roll without edges or gaps, as a textbook's sheet is."""
    return Roll(width=width, edge=0, gap=0, price=0, unit="in")


def fits(across_sheet, along_sheet, pieces, width, height):
    """Whether so many pieces lie in rows on a sheet."""
    return feed(bare(across_sheet), width, height, pieces).length <= along_sheet


@pytest.mark.parametrize("sheet", [(13, 8), (8, 13)])
def test_a_sheet_of_13_by_8_takes_16_pieces_of_3_by_2_in_rows_where_17_are_the_best(sheet):
    """mathforum.org, Ask Dr. Math 51791: in a grid 16, at best 17."""
    assert fits(*sheet, 16, 3, 2)
    assert not fits(*sheet, 17, 3, 2)


def test_rows_never_beat_the_best_nesting_of_22_by_16():
    """Of pieces 5 × 3 at best 23 fit, by straight cuts through 22 (published packing figures).

    By hand, rows: 4 × 5 = 20 one way round, 7 × 3 = 21 the other.
    """
    for sheet in ((22, 16), (16, 22)):
        assert fits(*sheet, 21, 5, 3)
        assert not fits(*sheet, 22, 5, 3)


def test_pieces_across_leave_a_gap_between_and_an_edge_on_both_sides():
    """By hand: floor((15 − 1 + .25) / (3 + .25)) = floor(4.38); .../2.25 = floor(6.33)."""
    assert ROLL.across(3) == 4
    assert ROLL.across(2) == 6
    np.testing.assert_array_equal(ROLL.across(np.array([[3], [2], [14], [14.1]])),
                                  [[4], [6], [1], [0]])  # fmt: skip


def test_pieces_and_rows_are_whole_numbers():
    """None is shown as 4.0."""
    run = feed(ROLL, 3, 2, 24)
    for count in (ROLL.across(3), run.across, run.rows):
        assert isinstance(count, np.integer)


def test_a_row_that_fits_exactly_fits():
    """By hand: 10 pieces of .1 on 1; floats make 1 / .1 exactly 10, but .3 / .1 only 2.9999…"""
    assert bare(0.3).across(0.1) == 3
    assert bare(1).across(0.1) == 10


@pytest.mark.parametrize(
    ("quantity", "across", "rows", "row_length", "length"),
    [
        (24, 6, 4, 3.25, 13.0),  # upright 6 rows × 2.25 = 13.5, turned 4 × 3.25 = 13
        (25, 4, 7, 2.25, 15.75),  # upright 7 × 2.25 = 15.75, turned 5 × 3.25 = 16.25
        (1, 4, 1, 2.25, 2.25),
    ],
)
def test_pieces_lie_the_way_round_that_feeds_less(quantity, across, rows, row_length, length):
    """By hand, pieces 3 × 2 in."""
    run = feed(ROLL, 3, 2, quantity)
    assert (run.across, run.rows, run.row_length, run.length) == (across, rows, row_length, length)


def test_on_a_tie_pieces_lie_upright():
    """By hand: 12 wide takes four of 3 (3 rows of 2 = 6) or six of 2 (2 rows of 3 = 6)."""
    run = feed(bare(12), 3, 2, 12)
    assert (run.across, run.rows, run.row_length, run.length) == (4, 3, 2, 6)


def test_a_piece_too_wide_one_way_is_turned():
    """By hand: 14 in usable; 16 × 2 lies only with 2 across."""
    run = feed(ROLL, 16, 2, 7)
    assert (run.across, run.rows, run.length) == (6, 2, 32.5)


def test_a_piece_too_long_to_be_turned_lies_upright():
    """By hand: floor(14.25 / 1.25) = 11 across, one row of 20.25; turned, none."""
    run = feed(ROLL, 1, 20, 5)
    assert (run.across, run.rows, run.length) == (11, 1, 20.25)


def test_pieces_that_lie_alone_in_their_rows_either_way_round():
    """By hand: 14.25 takes one of 14.25 or of 13.25; 3 rows of 13.25 feed less than of 14.25."""
    for sides in ((14, 13), (13, 14)):
        run = feed(ROLL, *sides, 3)
        assert (run.across, run.rows, run.length) == (1, 3, 39.75)


def test_a_roll_is_wider_than_its_two_edges():
    """By hand: 1.2 less two edges of .5 leaves .2."""
    assert Roll(width=1.2, edge=0.5, gap=0, price=0, unit="in").across(0.2) == 1


def test_sizes_down_and_quantities_across_give_a_mesh_that_equals_the_scalars():
    widths, quantities = np.array([[3.0], [16.0], [2.0]]), np.array([1, 24, 25, 100])
    run = feed(ROLL, widths, 2.0, quantities)
    assert run.length.shape == (3, 4)
    for at in np.ndindex(3, 4):
        one = feed(ROLL, widths[at[0], 0], 2.0, quantities[at[1]])
        assert one.length == run.length[at]
        assert np.ndim(one.length) == 0


def test_a_piece_wider_than_the_roll_either_way_is_not_possible():
    told = "the piece is wider than the 15 in roll, either way round."
    with pytest.raises(NotPossible, match=f"^{re.escape(told)}$"):
        feed(ROLL, 14.5, 15, 1)
    with pytest.raises(NotPossible, match=f"^{re.escape(told)}$"):
        feed(ROLL, np.array([2, 15]), 15, 1)


@pytest.mark.parametrize(
    ("width", "edge", "gap", "price"),
    [(1, 0.5, 0, 0), (15, -0.5, 0, 0), (15, 0.5, -0.25, 0), (15, 0.5, 0.25, -1), (0, 0, 0, 0)],
)
def test_an_impossible_roll_cannot_exist(width, edge, gap, price):
    told = (
        f"found a roll {width:g} wide with an edge of {edge:g}, a gap of {gap:g} and a price of "
        f"{price:g}; expected none below 0 and a roll wider than its two edges."
    )
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        Roll(width, edge, gap, price, "in")


def test_a_roll_is_measured_in_inches_or_millimetres():
    with pytest.raises(PricelabError, match=r'^found the unit "cm", expected "in" or "mm"\.$'):
        Roll(38, 1, 0.5, 0.1, "cm")


def test_a_run_of_no_pieces_is_refused():
    with pytest.raises(PricelabError, match=r"^found a quantity of 0, expected 1 piece or more\.$"):
        feed(ROLL, 3, 2, 0)
