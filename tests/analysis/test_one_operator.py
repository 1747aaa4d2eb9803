"""One operator and several machines, by a method's own minutes."""

import re
from dataclasses import replace

import numpy as np
import pytest
from example_shops import a_patch
from hypothesis import given
from hypothesis import strategies as st

from pricelab.analysis.one_operator import saved_by_second, station_with_dwell, tend, tend_method
from pricelab.shop.charges import Level
from pricelab.shop.errors import PricelabError
from pricelab.shop.work import Operation, Rates

PATCH = a_patch(
    operations=(
        Operation("set the press", 9, Level.ORDER, station="press"),
        Operation("place", 0.7, station="press"),
        Operation("press", 0.5, attended=False, station="press"),
        Operation("look", 0.3, Level.BATCH, 2),
    )
)


def test_cycles_by_hand():
    """One: .7 + .5 = 1.2 min, the operator busy .85; two: 2 × .85 = 1.7 min for two pieces."""
    one, two = (tend_method(PATCH, n, Rates(30)) for n in (1, 2))
    assert (one.cycle, one.operator_idle) == (pytest.approx(1.2), pytest.approx(0.35))
    assert (two.cycle, two.operator_idle) == (pytest.approx(1.7), 0)
    assert (one.pieces_an_hour, two.pieces_an_hour) == (pytest.approx(50), pytest.approx(120 / 1.7))


def test_the_saving_by_hand():
    """1.2 minutes a piece against .85, at 30.00 an hour: .35 × .50."""
    assert saved_by_second(PATCH, Rates(30)) == pytest.approx(0.175)


def test_the_station_is_the_one_that_works_alone_longest():
    cut = Operation("cut", 0.2, attended=False, station="cutter")
    assert station_with_dwell(replace(PATCH, operations=(cut, *PATCH.operations))) == "press"
    once = Operation("warm up", 20, Level.ORDER, attended=False, station="oven")
    assert station_with_dwell(replace(PATCH, operations=(once,))) is None


def test_work_without_dwell_gains_nothing_and_says_so():
    sewn = replace(PATCH, name="Sewn", operations=PATCH.operations[:2])
    told = (
        "no machine of Sewn works alone: the operator is busy all the time, so a second machine "
        "would stand still. Choose a method with dwell."
    )
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        tend_method(sewn, 2, Rates(30))


def test_published_operator_with_several_machines():
    """Niebel 13e ch. 2: load .038 h, run .164 h, 12.80 and 14 an hour: five machines at 3.35.

    Six cost 3.678 on the page; there the operator has no time to walk or wait.
    """
    cost = [
        tend(n, 0.038 * 60, 0.164 * 60, operator_rate=12.80, machine_rate=14).cost_a_piece
        for n in range(1, 8)
    ]
    assert int(np.argmin(cost)) + 1 == 5
    assert cost[4] == pytest.approx(3.35, abs=5e-3)
    assert cost[5] == pytest.approx(3.678, abs=5e-4)


def test_published_operator_with_several_pieces_a_cycle():
    """Niebel 13e ch. 2: set-up 3 and run 13 minutes, 3 a cycle; labour 14, machine 37 an hour."""
    one, five, six = (
        tend(n, 3, 13, pieces=3, operator_rate=14, machine_rate=37) for n in (1, 5, 6)
    )
    assert one.cost_a_piece == pytest.approx(4.533, abs=5e-4)
    assert five.cost_a_piece == pytest.approx(3.537, abs=1e-3)
    assert (six.operator_idle, six.cycle) == (0, 18)


def test_operator_who_walks_between_machines():
    """From memory, Niebel: load 1, run 3, walk .1; 10 and 20 an hour: three at 1.556, four 1.65.

    The figures are costs in money for sixty minutes' rates a piece.
    """
    costs = [
        60 * tend(n, 1, 3, walk=0.1, operator_rate=10 / 60, machine_rate=20 / 60).cost_a_piece
        for n in (3, 4)
    ]
    assert costs == pytest.approx([1.556, 1.65], abs=5e-4)


@given(st.integers(1, 9), st.floats(0.1, 9), st.floats(0, 9), st.floats(0, 1))
def test_nobody_waits_more_than_the_cycle(machines, attended, alone, walk):
    one = tend(machines, attended, alone, walk=walk)
    assert one.operator_idle >= -1e-9
    assert one.machine_idle >= -1e-9
    assert min(one.operator_idle, one.machine_idle) == pytest.approx(0, abs=1e-9)
    assert one.pieces_an_hour * one.cycle == pytest.approx(60 * machines)
