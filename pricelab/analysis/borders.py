"""Where the lead changes hands, told in few words: a lead map read out without its noise.

Prices and costs both step, so near a border the lead may flicker from piece to piece. A
*phase* is a stretch of quantities that one method mostly leads, with the count of those
it does; a *border* is where one phase gives way to the next, followed over the sizes.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from pricelab.analysis.comparison import NOBODY, runs

WORTH_TELLING = 1.25
"""A change of lead is told if it holds until a quarter more pieces (our own choice)."""

NEAR = 1.6
"""A border goes on from one size to the next if it moves by no more than this (our own choice)."""


@dataclass(frozen=True)
class Phase:
    """Quantities `first` to `last`, of which one method leads `led` (all, where it is pure)."""

    leader: int
    first: int
    last: int
    led: int

    @property
    def pure(self) -> bool:
        """Whether the method leads every quantity of the phase."""
        return self.led == self.last - self.first + 1


def phases(leader: np.ndarray, quantities) -> tuple[Phase, ...]:
    """One row of a lead map in as few phases as tell it well; they cover it once, in order.

    `quantities` are consecutive. Of all ways to cut the runs into phases the one with the
    least sum of what is told wrongly (in the logarithm of quantity, as tiers go) and
    log(`WORTH_TELLING`) for every phase; quantities that nobody leads stand apart.

    >>> phases(np.array([0] * 9 + [1] + [0] * 9 + [1] * 20), np.arange(1, 40))
    (Phase(leader=0, first=1, last=19, led=18), Phase(leader=1, first=20, last=39, led=20))
    """
    told: list[Phase] = []
    stretch: list = []
    for run in [*runs(leader, quantities), None]:
        if run is None or run.leader == NOBODY:
            told += _cut(stretch)
            stretch = []
            if run is not None:
                told.append(Phase(NOBODY, run.first, run.last, run.last - run.first + 1))
        else:
            stretch.append(run)
    return tuple(told)


def _cut(stretch: Sequence) -> list[Phase]:
    """The best phases of consecutive runs, by dynamic programming over where phases end."""
    best = [(0.0, 0, None)]  # cost up to here, where the last phase starts, its leader
    for end in range(1, len(stretch) + 1):
        width: dict[int, float] = {}
        total, found = 0.0, (np.inf, 0, None)
        for start in range(end - 1, -1, -1):
            run = stretch[start]
            wide = float(np.log((run.last + 1) / run.first))
            width[run.leader] = width.get(run.leader, 0.0) + wide
            total += wide
            leader = max(width, key=width.get)
            cost = best[start][0] + total - width[leader] + float(np.log(WORTH_TELLING))
            if cost < found[0] - 1e-12:
                found = (cost, start, leader)
        best.append(found)
    told, end = [], len(stretch)
    while end:
        _, start, leader = best[end]
        part = stretch[start:end]
        led = sum(run.last - run.first + 1 for run in part if run.leader == leader)
        told.append(Phase(leader, part[0].first, part[-1].last, led))
        end = start
    return told[::-1]


@dataclass(frozen=True)
class Border:
    """Where `after` takes over from `before`, at the sizes from index `top` to `bottom`.

    That is at `least` to `most` pieces, by the size; up to its next border `after` then
    leads a `share` of the quantities, at whichever size that is least.
    """

    before: int
    after: int
    top: int
    bottom: int
    least: int
    most: int
    share: float


def borders(leader: np.ndarray, quantities) -> tuple[Border, ...]:
    """The borders of a lead map (sizes down, shape (n, m)), those over most sizes first.

    Where the same two methods meet at sizes that follow one another, and at quantities
    within `NEAR` of each other, it is one border.
    """
    open_, found = [], []  # borders of the row before, each with its quantity there
    for row, led in enumerate(leader):
        still = []
        for one, two in pairwise(phases(led, quantities)):
            if NOBODY in (one.leader, two.leader):
                continue
            share, at = two.led / (two.last - two.first + 1), two.first
            border = Border(one.leader, two.leader, row, row, at, at, share)
            met = next((x for x in open_ if _goes_on(*x, border)), None)
            if met is not None:
                open_.remove(met)
                before = met[0]
                border = Border(
                    one.leader,
                    two.leader,
                    before.top,
                    row,
                    min(before.least, at),
                    max(before.most, at),
                    min(before.share, share),
                )
            still.append((border, at))
        found += [border for border, _ in open_]
        open_ = still
    found += [border for border, _ in open_]
    return tuple(sorted(found, key=lambda x: (x.top - x.bottom, x.least, x.before, x.after)))


def _goes_on(border: Border, was: int, new: Border) -> bool:
    same = (border.before, border.after) == (new.before, new.after)
    return same and max(was, new.least) <= NEAR * min(was, new.least)


def shares(leader: np.ndarray, quantities, methods: int) -> np.ndarray:
    """How much of a lead map each method leads, quantities counted by ratio: shape (methods,).

    They add up to 1 with what nobody leads.
    """
    quantities = np.asarray(quantities)
    weight = np.log((quantities + 1) / quantities)
    weight = weight / weight.sum() / len(leader)
    return np.array([float(((leader == at) * weight).sum()) for at in range(methods)])
