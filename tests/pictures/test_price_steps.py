"""The price staircase a client sees: printed prices, the pieces asked for, and no cost."""

import pytest
from drawing import check_drawn_again, drawn, misplaced, said

from pricelab.pictures.price_steps import PRICE_STEPS, PriceSteps, Steps, describe

# 12 × 20 = 240 and 24 × 9.50 = 228, so 23 · 20 … and from 228 / 20 = 11.4, so 12, pieces on
# the 24 cost no more: all of the first step.
LEATHER = Steps("Leather", 0, (12, 24, 48), 96, (20.0, 9.5, 9.0), ((12, 23, 24),))
VINYL = Steps("Vinyl", 5, (1, 24), 96, (15.0, 8.0))
VALUES = PriceSteps("Cap", "USD", 30, LEATHER, (VINYL,))


@pytest.fixture
def ax():
    """The picture on axes of its own."""
    return drawn(PRICE_STEPS, VALUES)


@pytest.mark.parametrize(
    ("quantity", "price"), [(11, None), (12, 20.0), (23, 20.0), (24, 9.5), (96, 9.0), (97, None)]
)
def test_a_step_holds_from_its_first_piece_up_to_the_next(quantity, price):
    """At the edges, and off the list."""
    assert LEATHER.price_at(quantity) == price


def test_lines_are_the_printed_prices(ax):
    """The corners of the chosen steps, then the mark at 30 pieces: 9.50."""
    corners = [(list(line.get_xdata()), list(line.get_ydata())) for line in ax.lines]
    assert ([12, 24, 24, 48, 48, 96], [20.0, 20.0, 9.5, 9.5, 9.0, 9.0]) in corners
    assert ([30], [9.5]) in corners
    assert ([30], [8.0]) in corners


def test_the_chosen_prices_are_written_over_their_steps(ax):
    """And each line has its name at its end."""
    assert {"$20.00", "$9.50", "$9.00", "Leather", "Vinyl", "30 pieces"} <= set(said(ax))


def test_shaded_quantities_are_those_for_which_the_next_step_costs_no_more(ax):
    """From 12 up to 24, and the axis says what the shade means."""
    (shaded,) = ax.collections
    (path,) = shaded.get_paths()
    assert (path.vertices[:, 0].min(), path.vertices[:, 0].max()) == (12, 24)
    assert "shaded" in ax.get_xlabel()


@pytest.mark.parametrize(
    ("marked", "finding"),
    [
        (20, "24 pieces cost no more in all than 20"),
        (30, "30 pieces: $9.50 each; from 48 on $9.00"),
        (60, "60 pieces: $9.00 each, our lowest price for this"),
        (6, "Cap: prices go from 12 to 96 pieces"),
    ],
)
def test_the_finding_is_what_a_few_more_would_do(marked, finding):
    """In each place on the staircase."""
    assert describe(PriceSteps("Cap", "USD", marked, LEATHER)).finding == finding


def test_every_step_is_in_the_words():
    """The table behind the picture holds all that is drawn."""
    rows = describe(VALUES).rows
    assert rows[0] == ("Leather", "12–23 pieces", "$20.00", "from 12 on 24 cost no more")
    assert rows[-1] == ("Vinyl", "24–96 pieces", "$8.00", "")
    assert len(rows) == 5


def test_a_quick_picture_is_the_same_as_a_fresh_one():
    """After another quantity was drawn."""
    check_drawn_again(PRICE_STEPS, VALUES, PriceSteps("Cap", "USD", 90, LEATHER, (VINYL,)))


def test_long_names_go_on_in_a_second_line():
    """Nothing is cut short with dots, and no tick stands on its neighbour."""
    long = Steps("Raised embroidery over foam, own machine", 1, (1, 72, 100), 1000, (9.0, 8.0, 7.0))
    ax = drawn(PRICE_STEPS, PriceSteps("Cap", "USD", 30, long, (VINYL,)))
    assert misplaced(ax) == []
    assert " ".join(said(ax)).replace("\n", " ").count(long.name) == 1


def test_without_a_chosen_one_the_others_are_drawn():
    """A decoration that is not possible leaves its neighbours in sight."""
    values = PriceSteps("Cap", "USD", 30, None, (VINYL,))
    assert "Vinyl" in said(drawn(PRICE_STEPS, values))
    assert describe(values).finding == "Other decorations of 30 pieces on the same piece"
