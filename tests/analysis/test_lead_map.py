"""Phases and borders: what a lead map is told in, and that nothing false is told."""

from itertools import pairwise

import numpy as np
from example_shops import PATCH, a_blank, a_patch, a_shop
from hypothesis import given
from hypothesis import strategies as st

from pricelab.analysis.comparison import method_costs
from pricelab.analysis.lead_map import NOBODY, Border, borders, leaders, phases, shares
from pricelab.analysis.stretches import Stretch, stretches


def a_row(*stretches):
    """Leaders of one row, from (leader, how many quantities)."""
    return np.concatenate([np.full(count, leader) for leader, count in stretches])


def test_a_flicker_is_told_within_the_stretch_it_interrupts():
    """By hand: of 12–47, one at 24–26 is under a quarter more (27/24); so 36 quantities, 33 led."""
    row = a_row((1, 12), (0, 3), (1, 21))
    assert phases(row, np.arange(12, 48)) == (Stretch(1, 12, 47, but=3),)


def test_a_lead_that_holds_is_told():
    """By hand: from 12 to 23 is a doubling, well over the quarter that is worth telling."""
    row = a_row((0, 11), (1, 12), (0, 77))
    assert phases(row, np.arange(1, 101)) == (
        Stretch(0, 1, 11),
        Stretch(1, 12, 23),
        Stretch(0, 24, 100),
    )


def test_what_nobody_leads_stands_apart_however_short():
    row = a_row((0, 50), (NOBODY, 1), (0, 50))
    assert [phase.value for phase in phases(row, np.arange(1, 102))] == [0, NOBODY, 0]


def test_alternating_pieces_become_one_phase_with_its_count():
    row = np.array([0, 1] * 40 + [0])
    (phase,) = phases(row, np.arange(100, 181))
    assert phase == Stretch(0, 100, 180, but=40)


@given(st.lists(st.integers(-1, 2), min_size=1, max_size=60), st.integers(1, 200))
def test_phases_cover_every_quantity_once_and_count_what_they_lead(row, start):
    row = np.array(row)
    quantities = np.arange(start, start + row.size)
    found = phases(row, quantities)
    told = [q for phase in found for q in range(phase.first, phase.last + 1)]
    assert told == quantities.tolist()
    for phase in found:
        inside = row[phase.first - start : phase.last - start + 1]
        assert phase.held == int((inside == phase.value).sum()) > 0
        assert bool(phase.but) == bool((inside != phase.value).any())
        weights = {
            leader: sum(np.log((q + 1) / q) for q in range(phase.first, phase.last + 1)
                        if row[q - start] == leader)
            for leader in set(inside.tolist())
        }  # fmt: skip
        assert weights[phase.value] >= max(weights.values()) - 1e-9


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


# ---- leaders and runs -----------------------------------------------------------------


def costs_of(processes, quantities):
    """Costs of orders by methods of a set-up and a price a piece, that of the blank in it."""
    methods = [
        a_patch(prices=((each - 4.0,),), key=f"{each}", setup=setup) for setup, each in processes
    ]
    cap = a_blank(prices=(4.0,))
    sheets, _ = method_costs(a_shop(*methods, blanks=(cap,)), cap, PATCH, quantities)
    return np.ma.array([sheet.full for sheet in sheets.values()])


def test_two_processes_cross_where_published():
    """50,000 + 10q against 25,000 + 18q: equal at 3,125; at 3,000 they cost 80,000 and 79,000, at
    7,000 120,000 and 151,000 (acedessays.com, a textbook's problem)."""
    quantities = np.arange(1, 10_001)
    costs = costs_of([(50_000, 10), (25_000, 18)], quantities)
    found = stretches(leaders(costs, least=True), quantities)
    assert found == (Stretch(1, 1, 3124), Stretch(0, 3125, 10_000))
    assert costs[:, [2_999, 6_999]].tolist() == [[80_000, 120_000], [79_000, 151_000]]


def test_three_processes_cross_where_published():
    """200k/300k/400k with 60/25/10 a unit: 2,857 and 6,667 (Heizer & Render, from memory)."""
    quantities = np.arange(1, 10_001)
    costs = costs_of([(200_000, 60), (300_000, 25), (400_000, 10)], quantities)
    found = stretches(leaders(costs, least=True), quantities)
    assert found == (Stretch(0, 1, 2857), Stretch(1, 2858, 6666), Stretch(2, 6667, 10_000))


def test_of_equals_the_first_leads_and_noise_makes_no_leader():
    """By hand, to a hundredth of a cent: 5.00004 is 5.0000, and 5.00006 is 5.0001."""
    figures = np.ma.array([[5.0, 5.0, 5.0, 5.0], [5.0 + 1e-9, 5.00004, 5.00006, 5.01]])
    assert leaders(figures).tolist() == [0, 0, 1, 1]
    assert leaders(figures, least=True).tolist() == [0, 0, 0, 0]
    margins = np.ma.array([[0.4, 0.4, 0.41], [0.40004, 0.4 + 1e-12, 0.41 - 1e-6]])
    assert leaders(margins, "margin").tolist() == [1, 0, 0]


@st.composite
def small_maps(draw):
    """Figures of a few methods over a few sizes and quantities, some of them masked."""
    shape = draw(st.tuples(*(st.integers(1, most) for most in (4, 3, 9))))
    count = int(np.prod(shape))
    values = draw(st.lists(st.integers(-3, 3), min_size=count, max_size=count))
    masked = draw(st.lists(st.booleans(), min_size=count, max_size=count))
    return np.ma.array(np.array(values, float).reshape(shape), mask=np.reshape(masked, shape))


@given(small_maps(), st.booleans(), st.integers(1, 50))
def test_leaders_and_runs_are_those_of_plain_loops(figures, least, start):
    """The leader of every cell by comparing one after another; runs cover each quantity once."""
    led = leaders(figures, least=least)
    methods, sizes, count = figures.shape
    quantities = np.arange(start, start + count)
    for size in range(sizes):
        expected = []
        for at in range(count):
            best = NOBODY
            for method in range(methods):
                value = figures[method, size, at]
                if value is np.ma.masked:
                    continue
                if best == NOBODY or (
                    value < figures[best, size, at] if least else value > figures[best, size, at]
                ):
                    best = method
            expected.append(best)
        assert led[size].tolist() == expected
        found = stretches(led[size], quantities)
        covered = [(q, run.value) for run in found for q in range(run.first, run.last + 1)]
        assert covered == list(zip(quantities.tolist(), expected, strict=True))
        assert all(one.value != two.value for one, two in pairwise(found))
