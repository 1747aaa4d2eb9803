"""Phases and borders: what a lead map is told in, and that nothing false is told."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from pricelab.analysis.borders import Border, Phase, borders, phases, shares
from pricelab.analysis.comparison import NOBODY


def a_row(*stretches):
    """Leaders of one row, from (leader, how many quantities)."""
    return np.concatenate([np.full(count, leader) for leader, count in stretches])


def test_a_flicker_is_told_within_the_stretch_it_interrupts():
    """By hand: of 12–47, one at 24–26 is under a quarter more (27/24); so 36 quantities, 33 led."""
    row = a_row((1, 12), (0, 3), (1, 21))
    assert phases(row, np.arange(12, 48)) == (Phase(1, 12, 47, 33),)


def test_a_lead_that_holds_is_told():
    """By hand: from 12 to 23 is a doubling, well over the quarter that is worth telling."""
    row = a_row((0, 11), (1, 12), (0, 77))
    assert phases(row, np.arange(1, 101)) == (
        Phase(0, 1, 11, 11), Phase(1, 12, 23, 12), Phase(0, 24, 100, 77),
    )  # fmt: skip


def test_what_nobody_leads_stands_apart_however_short():
    row = a_row((0, 50), (NOBODY, 1), (0, 50))
    assert [phase.leader for phase in phases(row, np.arange(1, 102))] == [0, NOBODY, 0]


def test_alternating_pieces_become_one_phase_with_its_count():
    row = np.array([0, 1] * 40 + [0])
    (phase,) = phases(row, np.arange(100, 181))
    assert phase == Phase(0, 100, 180, 41)
    assert not phase.pure


@given(st.lists(st.integers(-1, 2), min_size=1, max_size=60), st.integers(1, 200))
def test_phases_cover_every_quantity_once_and_count_what_they_lead(row, start):
    row = np.array(row)
    quantities = np.arange(start, start + row.size)
    found = phases(row, quantities)
    told = [q for phase in found for q in range(phase.first, phase.last + 1)]
    assert told == quantities.tolist()
    for phase in found:
        inside = row[phase.first - start : phase.last - start + 1]
        assert phase.led == int((inside == phase.leader).sum()) > 0
        assert phase.pure == bool((inside == phase.leader).all())
        weights = {
            leader: sum(np.log((q + 1) / q) for q in range(phase.first, phase.last + 1)
                        if row[q - start] == leader)
            for leader in set(inside.tolist())
        }  # fmt: skip
        assert weights[phase.leader] >= max(weights.values()) - 1e-9


def test_a_border_is_followed_over_sizes_and_ends_where_others_meet():
    """Three rows where 1 takes over from 0 at 24, 24 and 30 pieces; then one where 2 does."""
    led = np.array([
        a_row((0, 23), (1, 77)), a_row((0, 23), (1, 77)), a_row((0, 29), (1, 71)),
        a_row((0, 49), (2, 51)),
    ])  # fmt: skip
    assert borders(led, np.arange(1, 101)) == (
        Border(0, 1, 0, 2, 24, 30, 1.0), Border(0, 2, 3, 3, 50, 50, 1.0),
    )  # fmt: skip


def test_borders_far_apart_are_two_even_of_the_same_methods():
    """At one size from 10 pieces, at the next from 80: no one would call that one border."""
    led = np.array([a_row((0, 9), (1, 91)), a_row((0, 79), (1, 21))])
    assert [(x.top, x.bottom, x.least) for x in borders(led, np.arange(1, 101))] == [
        (0, 0, 10), (1, 1, 80),
    ]  # fmt: skip


def test_a_border_says_how_much_of_what_follows_is_led():
    """By hand: from 50 to 100 the lead is lost at 60 only: 50 of 51 quantities."""
    led = np.array([a_row((0, 49), (1, 10), (0, 1), (1, 40))])
    (border,) = borders(led, np.arange(1, 101))
    assert (border.least, border.share) == (50, 50 / 51)


def test_over_several_sizes_a_border_says_the_least_that_follows_is_led():
    """By hand: 51 of 51 quantities at one size, 50 of 51 at the next."""
    led = np.array([a_row((0, 49), (1, 51)), a_row((0, 49), (1, 10), (0, 1), (1, 40))])
    for rows in (led, led[::-1]):
        (border,) = borders(rows, np.arange(1, 101))
        assert (border.top, border.bottom, border.share) == (0, 1, 50 / 51)


def test_shares_weigh_quantities_by_ratio_and_sum_to_one():
    """By hand: 1–9 of 1–99 is half of it (log 10 of log 100); so over two rows .75 and .25."""
    led = np.array([a_row((0, 9), (1, 90)), a_row((0, 99))])
    np.testing.assert_allclose(shares(led, np.arange(1, 100), 2), [0.75, 0.25], rtol=1e-12)
    led[1, :9] = NOBODY
    np.testing.assert_allclose(shares(led, np.arange(1, 100), 2), [0.5, 0.25], rtol=1e-12)
