"""Curves, layers and the frontier of breaks say their finding and show their lines."""

from dataclasses import replace

import numpy as np
import pytest
import smallshop
from drawing import drawn, misplaced, said

from pricelab.cost.costing import cost_sheet
from pricelab.cost.orders import Order
from pricelab.files.shop_folder import read_shop
from pricelab.lists.breaks import Breaks
from pricelab.pictures import look
from pricelab.pictures.curves import CURVES, Curve, Curves
from pricelab.pictures.frontier import FRONTIER, Frontier
from pricelab.pictures.layers import LAYERS, Layers
from pricelab.shop.sizes import Artwork

# ---- curves ---------------------------------------------------------------------------

QUANTITIES = np.arange(1, 101)
TWO = Curves(
    "cost", "24 pieces", "USD", QUANTITIES,
    (
        Curve("Leather patch, pressed on", 8 + 48 / QUANTITIES, 0),
        Curve("Cut vinyl", 9 + 12 / QUANTITIES, 3),
        Curve("Moulded", np.full(100, np.nan), 2),
    ),
    24,
)  # fmt: skip


def test_curves_name_the_lowest_and_the_highest():
    """At 24: 8 + 2 = 10.00 and 9 + 0.5 = 9.50."""
    assert CURVES.describe(TWO).finding == (
        "24 pieces: Cut vinyl has the lowest cost, $9.50 a piece; Leather patch the highest, $10.00"
    )
    assert CURVES.describe(TWO).rows == (
        ("Cut vinyl", "$9.50"), ("Leather patch, pressed on", "$10.00")
    )  # fmt: skip


def test_a_curve_keeps_its_thread_wherever_it_is_drawn():
    """Colour and dash are those of the method's place in the shop."""
    lines = [line for line in drawn(CURVES, TWO).lines if len(line.get_xdata()) > 50]
    assert [line.get_color() for line in lines][:2] == [look.NAVY, look.WINE]
    assert CURVES.svg(TWO).count("stroke-dasharray: 16,4,3,4") == 1  # wine, twice as wide


def test_a_curve_without_figures_is_not_named():
    """What cannot be made has no line to stand beside."""
    words = said(drawn(CURVES, TWO))
    assert {"Leather patch", "Cut vinyl"} <= set(words)
    assert "Moulded" not in words


def test_equal_curves_share_the_lead():
    """Two at the same money are both named."""
    same = Curves(
        "price", "6 pieces", "USD", QUANTITIES,
        (Curve("One", np.full(100, 5.0), 0), Curve("Two", np.full(100, 5.0), 1)), 6,
    )  # fmt: skip
    assert CURVES.describe(same).finding.startswith("6 pieces: One and Two have the lowest price")


@pytest.mark.parametrize(
    ("curves", "finding"),
    [
        ((), "6 pieces: nothing here can be made"),
        (
            (Curve("One", np.full(100, 5.0), 0),),
            "6 pieces: One has a price of $5.00 a piece",
        ),
    ],
)
def test_few_curves_are_told_as_such(curves, finding):
    """None, or one with nothing to compare it with."""
    values = Curves("price", "6 pieces", "USD", QUANTITIES, curves, 6)
    assert CURVES.describe(values).finding == finding
    assert said(drawn(CURVES, values))[-1] != ""


def test_curves_over_a_size_are_not_steps():
    """Along a size the x axis is plain, and ends where the figures do."""
    values = Curves(
        "cost", "24 pieces", "USD", np.linspace(1, 4, 31),
        (Curve("One", np.linspace(2, 3, 31), 0),), 2.0, "width, in", steps=False,
    )  # fmt: skip
    ax = drawn(CURVES, values)
    assert ax.get_xscale() == "linear"
    assert ax.get_xlim() == (1, 4)


# ---- layers ---------------------------------------------------------------------------


@pytest.fixture(scope="module")
def layers(tmp_path_factory):
    """The small shop's 2 in patch at 1 to 50 pieces, looked at for 20."""
    shop = read_shop(smallshop.write_shop(tmp_path_factory.mktemp("shop"))).shop
    order = Order.of(
        shop.blanks["cap"], np.arange(1, 51), shop.methods["patch"], Artwork(2, 2, "in")
    )
    return Layers.of("Leather patch", cost_sheet(shop, order), "USD", 20)


def test_layers_add_up_to_the_cost_a_piece(layers):
    """At 20: blank 4.00, patch 2.00, set-up 30/20, labour 0.50 and freight 6/20: 8.30."""
    assert layers.total[layers.here] == pytest.approx(8.30)
    assert LAYERS.describe(layers).rows == (
        ("blank", "$4.00", "48.2 %"), ("decoration", "$2.00", "24.1 %"),
        ("set-up", "$1.50", "18.1 %"), ("labour", "$0.50", "6 %"), ("freight", "$0.30", "3.6 %"),
    )  # fmt: skip


def test_layers_say_what_costs_most(layers):
    """The two largest, with their shares."""
    assert LAYERS.describe(layers).finding == (
        "Leather patch: 20 pieces cost $8.30 each, most of it blank 48.2 % and decoration 24.1 %"
    )


def test_each_layer_is_named_with_its_share(layers):
    """Beside the picture, not in a far legend."""
    words = said(drawn(LAYERS, layers))
    assert {"blank 48 %", "freight 4 %", "$8.30 a piece at 20"} <= set(words)


# ---- frontier -------------------------------------------------------------------------

BEST = Frontier("USD", (Breaks((1,), 3.0), Breaks((1, 12), 1.0), Breaks((1, 12, 24), 0.75)), 2)


def test_the_frontier_says_what_one_more_tier_would_save():
    """1.00 less 0.75."""
    assert FRONTIER.describe(BEST).finding == (
        "The best 2 tiers overcharge by $1.00 a piece on average; "
        "one more would save clients $0.25 a piece"
    )


def test_the_frontier_marks_the_chosen_number():
    """Its quantities stand beside its dot."""
    ax = drawn(FRONTIER, BEST)
    dot = next(line for line in ax.lines if line.get_markersize() == 12)
    assert (dot.get_xdata()[0], dot.get_ydata()[0]) == (2, 1.0)
    assert "from 1, 12\n$1.00 a piece" in said(ax)


def test_the_last_number_of_tiers_has_nothing_to_save():
    """The finding ends with the overcharge."""
    last = Frontier("USD", BEST.best, 3)
    assert FRONTIER.describe(last).finding == (
        "The best 3 tiers overcharge by $0.75 a piece on average"
    )


@pytest.mark.parametrize("chosen", [1, 2, 3])
def test_the_words_of_a_frontier_and_of_layers_stand_clear(chosen, layers):
    """Over the curve and under the title, also where the curve is flat; long names in two lines."""
    flat = Frontier("USD", tuple(Breaks((1, 12, 24)[: n + 1], 2.0) for n in range(3)), chosen)
    for values in (flat, Frontier("USD", BEST.best, chosen)):
        assert misplaced(drawn(FRONTIER, values)) == []
    long = [(f"{name} and all that is spent on it", y) for name, y in layers.layers]
    for marked in (1, 20, 50):
        assert misplaced(drawn(LAYERS, replace(layers, layers=tuple(long), marked=marked))) == []


def test_a_tier_more_that_saves_no_cent_saves_nothing():
    """Half a cent is none."""
    flat = Frontier("USD", (Breaks((1,), 3.0), Breaks((1, 12), 2.999)), 1)
    assert FRONTIER.describe(flat).finding.endswith("; one more would save clients nothing")
