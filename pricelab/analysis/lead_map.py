"""Who leads at which size and quantity, and where the lead changes hands, told in few words.

Prices and costs both step, so near a border the lead may flicker from piece to piece. A
*phase* is a stretch of quantities that one method mostly leads, with the count of those
it does not; a *border* is where one phase gives way to the next, followed over the sizes.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from pricelab.analysis.stretches import Stretch, stretches

NOBODY = -1
"""The leader where no method is possible."""

WORTH_TELLING = 1.25
"""A change of lead is told if it holds until a quarter more pieces (our own choice)."""

NEAR = 1.6
"""A border goes on from one size to the next if it moves by no more than this (our own choice)."""


def tied_at(by: str) -> int:
    """The decimals to which figures are compared: money to a hundredth of a cent; of a margin
    that would be a dollar in ten thousand, so it is compared as finely as floats allow."""
    return 9 if by == "margin" else 4


def leaders(figures: np.ma.MaskedArray, by: str = "profit", *, least=False) -> np.ndarray:
    """Which method has the greatest (or the least) figure: its index, or `NOBODY`.

    Over the first axis of `figures`; of equals (see `tied_at`) the first listed.
    """
    worst = np.inf if least else -np.inf
    filled = np.round(figures.filled(worst), tied_at(by))
    leader = filled.argmin(axis=0) if least else filled.argmax(axis=0)
    return np.where(np.ma.getmaskarray(figures).all(axis=0), NOBODY, leader)


def phases(leader: np.ndarray, quantities) -> tuple[Stretch, ...]:
    """One row of a lead map in as few stretches as tell it well; they cover it once, in order.

    `quantities` are consecutive. Of all ways to join the stretches of one leader the one with
    the least sum of what is told wrongly (in the logarithm of quantity, as tiers go) and
    log(`WORTH_TELLING`) for each that is told; quantities that nobody leads stand apart.

    >>> phases(np.array([0] * 9 + [1] + [0] * 9 + [1] * 20), np.arange(1, 40))
    (Stretch(value=0, first=1, last=19, but=1), Stretch(value=1, first=20, last=39, but=0))
    """
    told: list[Stretch] = []
    led: list[Stretch] = []
    for one in stretches(leader, quantities):
        if one.value == NOBODY:
            told += [*_joined(led), one]
            led = []
        else:
            led.append(one)
    return (*told, *_joined(led))


def _joined(led: Sequence[Stretch]) -> list[Stretch]:
    """The best phases of consecutive stretches, by dynamic programming over where they end."""
    best = [(0.0, 0, None)]  # cost up to here, where the last phase starts, its leader
    for end in range(1, len(led) + 1):
        width: dict[int, float] = {}
        total, found = 0.0, (np.inf, 0, None)
        for start in range(end - 1, -1, -1):
            one = led[start]
            wide = float(np.log((one.last + 1) / one.first))
            width[one.value] = width.get(one.value, 0.0) + wide
            total += wide
            leader = max(width, key=width.get)
            cost = best[start][0] + total - width[leader] + float(np.log(WORTH_TELLING))
            if cost < found[0] - 1e-12:
                found = (cost, start, leader)
        best.append(found)
    told, end = [], len(led)
    while end:
        _, start, leader = best[end]
        part = led[start:end]
        others = sum(one.count for one in part if one.value != leader)
        told.append(Stretch(leader, part[0].first, part[-1].last, others))
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
            if NOBODY in (one.value, two.value):
                continue
            at, share = two.first, two.held / two.count
            border = Border(one.value, two.value, row, row, at, at, share)
            met = next((x for x in open_ if _goes_on(*x, border)), None)
            if met is not None:
                open_.remove(met)
                before, _ = met
                least, most = min(before.least, at), max(before.most, at)
                share = min(before.share, share)
                border = replace(before, bottom=row, least=least, most=most, share=share)
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
