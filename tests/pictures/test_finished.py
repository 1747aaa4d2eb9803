"""The pictures of finished jobs and of quotes: what stands in them, and what they say."""

from types import SimpleNamespace

import numpy as np
import pytest
from drawing import check_drawn_again, drawn, said

from pricelab.jobs.learning import Learned
from pricelab.jobs.price_response import Response
from pricelab.jobs.regression import Fit
from pricelab.pictures.order_sizes import ORDER_SIZES, OrderSizes
from pricelab.pictures.price_response import CHANCE, EXPECTED, Priced
from pricelab.pictures.times import TIMES
from pricelab.pictures.waterfall import WATERFALL, Waterfall

# ---- waterfall ------------------------------------------------------------------------

FALL = Waterfall(
    "All jobs", "USD", 1000.0, (("price", -120.0), ("material usage", 0.0), ("labour", 30.0))
)


def test_a_waterfall_ends_where_its_bars_lead():
    """1000 − 120 + 30 = 910; every bar starts where the one before it ended."""
    ax = drawn(WATERFALL, FALL)
    bars = [(bar.get_x(), bar.get_x() + bar.get_width()) for bar in ax.patches]
    assert bars == [(1000.0, 880.0), (880.0, 910.0)]
    diamonds = [line.get_xdata()[0] for line in ax.lines if line.get_marker() == "D"]
    assert diamonds == [1000.0, 910.0]
    assert {"$1,000.00", "−$120.00", "+$30.00", "$910.00"} <= set(said(ax))


def test_gains_and_losses_differ_by_more_than_colour():
    """A loss is hatched and carries a minus."""
    ax = drawn(WATERFALL, FALL)
    assert [bool(bar.get_hatch()) for bar in ax.patches] == [True, False]


def test_a_waterfall_in_words_has_the_causes_that_moved_nothing_too():
    """The picture leaves them out."""
    told = WATERFALL.describe(FALL)
    assert told.finding == (
        "All jobs earned $90.00 (9 %) less than estimated; price did most, −$120.00"
    )
    assert told.rows == (
        ("estimated profit", "$1,000.00"), ("price", "−$120.00"), ("material usage", "$0.00"),
        ("labour", "+$30.00"), ("profit", "$910.00"),
    )  # fmt: skip
    assert "material usage" not in WATERFALL.frame(FALL).y.words


def test_the_axis_of_a_waterfall_says_that_it_does_not_begin_at_nothing():
    """Bars show differences; lengths from 0 would be misread."""
    frame = WATERFALL.frame(FALL)
    assert "not from 0" in frame.x.title
    assert 0 < frame.x.low < 880


@pytest.mark.parametrize(
    ("causes", "said"),
    [
        ((), "All jobs earned just what was estimated, $1,000.00"),
        ((("price", 50.0),), "All jobs earned $50.00 (5 %) more than estimated; price did most, +"),
    ],
)
def test_a_waterfall_up_or_without_steps(causes, said):
    """More, or just what was estimated."""
    values = Waterfall("All jobs", "USD", 1000.0, causes)
    assert WATERFALL.describe(values).finding.startswith(said)
    drawn(WATERFALL, values)


def test_a_loss_that_was_estimated_has_no_share():
    """A percentage of less than nothing says nothing."""
    values = Waterfall("One", "USD", -10.0, (("price", -5.0),))
    assert "(" not in WATERFALL.describe(values).finding


# ---- times ----------------------------------------------------------------------------


def times(order=(15, 20), piece=(1.0, 1.5), quantities=(10, 20, 40, 80)):
    """Jobs that took exactly 20 minutes an order and 1.5 a piece; 15 and 1 were estimated."""
    quantities = np.array(quantities)
    ratio, first = order[1] / order[0], np.arange(quantities.size) == 0
    once = order[0] + 20 * first  # the first job's artwork was new: 20 minutes estimated
    return SimpleNamespace(
        method=SimpleNamespace(name="Patch"), jobs=quantities.size, quantities=quantities,
        order=Learned("minutes an order", order[0], order[1], order[1] - 1, order[1] + 1),
        piece=Learned("minutes a piece", piece[0], piece[1], piece[1] - 0.1, piece[1] + 0.1),
        estimated=np.column_stack([once, piece[0] * quantities]),
        actual=ratio * once + piece[1] * quantities,
        fit=Fit(np.array([ratio, piece[1] / piece[0]]), np.eye(2) * 1e-4),
    )  # fmt: skip


def test_jobs_stand_on_the_line_they_were_made_from():
    """Dots at the jobs, the learned line through them, the old one under it."""
    ax = drawn(TIMES, times())
    dots = ax.collections[1].get_offsets()
    assert dots.tolist() == [[10, 35], [20, 50], [40, 80], [80, 140]]
    old, new = (line for line in ax.lines if len(line.get_xdata()) > 2)
    assert new.get_ydata()[-1] == pytest.approx(140)
    assert old.get_ydata()[-1] == pytest.approx(95)
    assert old.get_linestyle() != new.get_linestyle()
    assert {"operations.csv", "finished jobs"} <= set(said(ax))


def test_very_many_jobs_are_drawn_once_where_they_lie_on_one_spot():
    """4,000 jobs of 1 piece to 40, a hundred of each alike: the forty dots of forty jobs."""
    few, many = (
        drawn(TIMES, times(quantities=np.arange(count) % 40 + 1)).collections[1].get_offsets()
        for count in (40, 4_000)
    )
    assert len(few) == 40
    assert many.tolist() == few.tolist()


def test_every_line_and_dot_of_the_times_is_inside_the_frame():
    """Also where the old line lies far under the jobs."""
    for values in (times(), times(order=(2, 60), piece=(0.1, 4.0))):
        frame = TIMES.frame(values)
        ax = drawn(TIMES, values)
        heights = [y for line in ax.lines[:2] for y in line.get_ydata()]
        assert frame.y.low <= min(heights)
        assert max(heights) <= frame.y.high


def test_the_times_in_words():
    """35 + 50 + 80 + 140 and 26.67 for the artwork: 331.67 noted; 4 × 15 + 20 + 150 = 230
    estimated: 44.2 % more."""
    told = TIMES.describe(times())
    assert (
        told.finding == "Patch: 4 finished jobs took 44.2 % more minutes than operations.csv says"
    )
    assert told.rows[0] == ("minutes an order", "15", "20", "19", "21")


# ---- order sizes ----------------------------------------------------------------------

SIZES = OrderSizes(6, np.bincount([0, 0, 6, 6, 6, 18, 30]), (6, 12, 24))
"""Orders of 6 (2), 12 (3), 24 and 36."""


def test_a_bar_for_each_quantity_and_a_line_for_each_tier():
    """By height and place."""
    ax = drawn(ORDER_SIZES, SIZES)
    bars = [segment[:, :].tolist() for segment in ax.collections[0].get_segments()]
    assert bars == [[[q, 0], [q, n]] for q, n in ((6, 2), (12, 3), (24, 1), (36, 1))]
    assert len(ax.lines) == 3


def test_the_order_sizes_in_words():
    """Half of 7 orders: the fourth of them in order is of 12."""
    told = ORDER_SIZES.describe(SIZES)
    assert told.finding == (
        "Half of 7 orders are of 12 pieces or fewer; 12 is ordered most, 3 times"
    )
    assert told.rows == (
        ("6–11 pieces", "2", "28.6 %"), ("12–23 pieces", "3", "42.9 %"),
        ("24–36 pieces", "2", "28.6 %"),
    )  # fmt: skip


def test_order_sizes_without_a_list():
    """No lines, one row."""
    values = OrderSizes(6, SIZES.weights, ())
    assert ORDER_SIZES.describe(values).rows == (("6–36 pieces", "7", "100 %"),)
    assert not drawn(ORDER_SIZES, values).lines


# ---- price response -------------------------------------------------------------------


def priced(**changes):
    """a = −8, b = .5 at a cost of 10, told in multiples of it: b = 5; best at 1.5114291."""
    chance = np.random.default_rng(0)
    prices = chance.uniform(1.2, 2.2, 80)
    won = chance.uniform(size=80) < 0.5
    fitted = Response(Fit(np.array([8.0, -5.0]), np.diag([0.09, 0.04])), prices, won)
    parts = {"name": "All", "currency": "USD", "response": fitted, "fees": 0.0, "target": 0.3}
    return Priced(**{**parts, **changes})


def test_the_best_margin_is_that_of_the_best_price():
    """1 − 1/1.5114291 = 33.8 %; 100 of cost bring 100 × .5114291 times the chance."""
    values = priced()
    assert values.best.price == pytest.approx(1.5114291, abs=1e-7)
    told = EXPECTED.describe(values)
    assert told.finding.startswith("All: a margin of 33.8 % brings most profit, and any from ")
    ax = drawn(EXPECTED, values)
    assert {"target today", "best, 33.8 %", "within 1 % of the best"} <= set(said(ax))
    at = 1 / (1 + np.exp(-8 + 5 * 1.5114291))
    dots = [line.get_ydata()[0] for line in ax.lines if line.get_marker() == "o"]
    assert dots == [pytest.approx(100 * 0.5114291 * at)]


def test_fees_and_costs_that_count_move_the_best():
    """Fees raise it; leaving out a part of the cost lowers it, and it is contribution then."""
    plain = priced().best.price
    assert priced(fees=0.05).best.price > plain
    part = priced(share=0.9)
    assert part.best.price < plain
    assert part.expected(2.0, chance=0.5) == 100 * 0.5 * (2.0 - 0.9)
    assert priced(fees=0.05).expected(2.0, chance=0.5) == 100 * 0.5 * (0.95 * 2.0 - 1)
    assert "contribution" in EXPECTED.describe(part).finding
    assert "contribution" in EXPECTED.frame(part).y.title


def test_margins_and_prices_turn_into_each_other():
    """With fees of 3 %."""
    values = priced(fees=0.03)
    margins = np.array([0.0, 0.2, 0.5])
    assert values.margin(values.price(margins)) == pytest.approx(margins)


def test_the_chance_has_a_dot_for_every_group_of_quotes():
    """Eight groups of ten; the curve falls and stays in its band."""
    values = priced()
    ax = drawn(CHANCE, values)
    assert sum(line.get_marker() == "o" for line in ax.lines) == 8
    assert said(ax).count("10") == 8
    curve = ax.lines[0].get_ydata()
    assert (np.diff(curve) < 0).all()
    told = CHANCE.describe(values)
    assert told.finding.startswith(f"All: {values.response.won.sum()} of 80 quotes won; at your ")
    assert len(told.rows) == 8


@pytest.mark.parametrize(
    ("picture", "one", "other"),
    [
        (WATERFALL, FALL, Waterfall("One", "USD", 1000.0, (("price", -90.0), ("labour", 3.0)))),
        (TIMES, times(), times(piece=(1.0, 1.4))),
        (ORDER_SIZES, SIZES, OrderSizes(6, SIZES.weights[::-1].copy(), (6, 12))),
        (EXPECTED, priced(), priced(target=0.35)),
        (CHANCE, priced(), priced(fees=0.02)),
    ],
    ids=lambda value: getattr(value, "name", ""),
)
def test_a_picture_drawn_again_is_the_same_to_the_letter(picture, one, other):
    """After another one, in one frame or two."""
    check_drawn_again(picture, one, other)


def test_an_order_made_once_is_ordered_once():
    """Whole orders on the axis, and no "1 times"."""
    values = OrderSizes(6, np.bincount([0, 6, 6]), ())
    assert ORDER_SIZES.describe(values).finding.endswith("12 is ordered most, 2 times")
    once = OrderSizes(6, np.bincount([0, 6]), ())
    assert ORDER_SIZES.describe(once).finding.endswith("6 is ordered most, once")
    assert ORDER_SIZES.frame(once).y.words == ("0", "1")


def test_jobs_that_took_what_was_planned_say_so():
    """Neither 0 % more nor 0 % less."""
    told = TIMES.describe(times(order=(15, 15), piece=(1.0, 1.0)))
    assert told.finding == "Patch: 4 finished jobs took the minutes that operations.csv says"
