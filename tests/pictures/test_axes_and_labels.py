"""Axes at round figures, and words that never lie over one another."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pricelab.pictures.axes import (
    Axis,
    Frame,
    money_axis,
    new_axes,
    plain_axis,
    quantity_axis,
    set_frame,
    stairs,
)
from pricelab.pictures.labels import label_ends, spread
from pricelab.pictures.look import contrast, darker, text_width, wrapped


@pytest.mark.parametrize(
    ("low", "high", "currency", "words"),
    [
        (0, 36.25, "USD", "$0 $10 $20 $30 $40"),
        (0, 0.9, "USD", "$0.00 $0.25 $0.50 $0.75 $1.00"),
        (0, 0.01, "USD", "$0.00 $0.01"),
        (0, 0.1, "USD", "$0.00 $0.05 $0.10"),
        (-3, 12, "USD", "−$5 $0 $5 $10 $15"),
        (0, 900, "JPY", "¥0 ¥250 ¥500 ¥750 ¥1,000"),
    ],
)
def test_a_money_axis_goes_by_round_amounts(low, high, currency, words):
    """With cents where steps have them, by whole coins, and from under a loss."""
    assert money_axis("a piece", low, high, currency).words == tuple(words.split())


def test_quantity_ticks_leave_room_and_keep_the_end():
    """288 would lie under 300: the end is what is named."""
    axis = quantity_axis((1, 300), [1, 12, 288])
    assert axis.words == ("1", "12", "300")
    assert axis.log


def test_plain_ticks_go_by_round_steps():
    """From 0.5 to 4 by ones; of what comes whole never by halves."""
    assert plain_axis("in", 0.5, 4).ticks == (0, 1, 2, 3, 4)
    assert plain_axis("orders", 0, 2, whole=True).words == ("0", "1", "2")


def test_a_frame_is_set_on_any_axes():
    """Limits, ticks and words are the frame's; the box leaves its margins."""
    frame = Frame(Axis("x", 0, 2, (0.0, 2.0), ("a", "b")), Axis("y", 0, 1, (0.0,), ("c",)))
    ax = set_frame(frame, new_axes(frame))
    assert ax.get_xlim() == (0, 2)
    assert [label.get_text() for label in ax.get_xticklabels()] == ["a", "b"]
    assert frame.box == pytest.approx((62 / 760, 48 / 400, (760 - 62 - 150) / 760, 286 / 400))


def axes(top: float = 40):
    """Axes 286 points high, from 0 to `top`."""
    frame = Frame(Axis("", 0, 1), Axis("", 0, top))
    return set_frame(frame, new_axes(frame))


def test_stairs_keep_jumps_and_gaps():
    """Each figure holds up to the next quantity; one that is missing in between stays so."""
    x, y, flat = stairs(axes(), [1, 2, 3, 4], np.array([5.0, np.nan, np.nan, 4.0]), np.ones(4))
    assert x.tolist() == [1, 2, 2, 4, 4, 4]
    np.testing.assert_array_equal(y, [5, 5, np.nan, np.nan, 4, 4])
    assert flat.tolist() == [1] * 6


def test_stairs_leave_out_what_no_eye_can_tell():
    """A third of a point is 0.35 × 40 / 286 = 0.049: half a cent a step is seen at each tenth."""
    quantities = np.arange(1, 51)
    x, _ = stairs(axes(), quantities, 9 - quantities / 200)
    assert x.size / 2 == 6


@given(st.lists(st.floats(-50, 450), min_size=1, max_size=20), st.floats(4, 30))
def test_labels_are_spread_apart_in_their_order(wanted, gap):
    """The gap holds wherever there is room, the order always, and all lie inside."""
    places = spread(wanted, gap, 0, 400)
    ordered = places[np.argsort(wanted, kind="stable")]
    room = min(gap, 400 / max(len(wanted) - 1, 1))
    assert (np.diff(ordered) >= room - 1e-6).all()
    assert places.min() >= -1e-6
    assert places.max() <= 400 + 1e-6


def test_lines_are_named_at_their_ends_in_dark_letters():
    """Two ends on one height: both names, apart, each with a line back to its end."""
    ax = axes()
    before = len(ax.lines)
    label_ends(ax, [(20, "one", "#c17938"), (20, "two", "#154470"), (5, "", "#154470")])
    one, two = (text for text in ax.texts if text.get_text() in ("one", "two"))
    assert abs(one.get_position()[1] - two.get_position()[1]) == pytest.approx(16)
    assert len(ax.lines) - before == 2
    assert contrast(one.get_color()) >= 4.5
    assert darker("#154470") == "#154470"


def test_a_finding_is_cut_in_lines_that_fit():
    """No line is longer than the sheet is wide."""
    words = "Every step holds and the least margin is 42 % at 96 pieces, which is the target"
    for room in range(100, 400, 10):
        lines = wrapped(words, room, 15, bold=True)
        assert " ".join(lines) == words
        assert max(text_width(line, 15, bold=True) for line in lines) <= room
        assert not [line for line in lines if line.startswith(("%", "pieces"))]


def test_a_word_wider_than_its_place_is_parted():
    """Nothing of it is lost."""
    lines = wrapped("Donaudampfschifffahrtsgesellschaft", 90, 12)
    assert len(lines) > 1
    assert "".join(lines) == "Donaudampfschifffahrtsgesellschaft"
    assert max(text_width(line, 12) for line in lines) <= 90


CENTS = st.integers(0, 10**9).map(lambda cents: cents / 100)


@given(CENTS | CENTS.map(lambda x: -x), CENTS, st.sampled_from(["USD", "JPY", "KWD"]))
def test_no_two_ticks_of_an_axis_read_alike(low, span, currency):
    """Whatever it spans; money goes by whole coins, and nothing is less than nothing."""
    for axis in (
        money_axis("", low, low + span, currency),
        plain_axis("", low, low + max(span, 1), whole=True),
    ):
        assert len(set(axis.words)) == len(axis.words)
        assert axis.low <= low + 1e-6
        assert axis.high >= low + span - 1e-6
        assert not {"−0", "−$0", "−$0.00"} & set(axis.words)


@given(st.lists(st.integers(1, 2_000_000), min_size=1, max_size=12), st.sampled_from([290, 470]))
def test_ticks_of_quantities_never_touch(ticks, wide):
    """On the narrow sheet and on the wide one; the last is always named."""
    axis = quantity_axis(sorted(ticks), ticks, wide=wide)
    places = np.log(axis.ticks) * wide / max(np.log(max(ticks) / min(ticks)), 1e-9)
    widths = np.array([text_width(words, 11) for words in axis.words])
    assert (np.diff(places) >= (widths[1:] + widths[:-1]) / 2 + 4.9).all()
    assert axis.ticks[-1] == max(ticks)


def test_long_figures_push_the_axes_to_the_right():
    """Ten million dollars have their place left of the axes."""
    axis = Axis("", 0, 1)
    wide = money_axis("", 0, 1e7, "USD")
    assert Frame(axis, axis).left == 62
    assert Frame(axis, wide).left >= text_width(wide.words[-1], 11) + 6
