"""One operator and several machines, by a method's own minutes."""

import re
from dataclasses import replace

import pytest

from pricelab.errors import PricelabError
from pricelab.grids import Grid
from pricelab.shop import Level, Method, Operation, Rates
from pricelab.tending import saved_by_second, station_with_dwell, tend_method

PATCH = Method(
    "patch", "Patch", "in", grid=Grid.by_quantity("patch", [1], [3.0]),
    operations=(
        Operation("set the press", 9, Level.ORDER, station="press"),
        Operation("place", 0.7, station="press"),
        Operation("press", 0.5, attended=False, station="press"),
        Operation("look", 0.3, Level.BATCH, 2),
    ),
)  # fmt: skip


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
