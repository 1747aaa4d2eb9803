"""Choosing quantity breaks: as few tiers as will do, overcharging as little as can be.

A tier is priced at the dearest cost-plus price inside it, so every other quantity in it
is overcharged a little. For each number of tiers the best breaks are found exactly by
dynamic programming over the quantities a break may stand at: best segmentation of an
ordered set, as in one-dimensional clustering (Wang & Song, *Ckmeans.1d.dp*, R Journal
2011), with the overcharge in place of the sum of squares.
"""

from dataclasses import dataclass

import numpy as np

from pricelab.shop.checks import check_quantity, in_a_row
from pricelab.shop.errors import PricelabError
from pricelab.shop.tolerance import TOLERANCE

DOZENS = (1, 3, 6, 12, 18, 24, 36, 48, 72, 96, 144, 192, 288, 432, 576, 864)
"""Where breaks stand in a shop that counts in dozens (common practice, no source)."""

TENS = (1, 5, 10, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200, 250, 300, 400, 500, 750, 1000)
"""Where breaks stand in a shop that counts in fives, tens and hundreds (common practice)."""

FRIENDLY = (
    *(1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 18, 20, 24, 25, 30, 36, 40, 48, 50, 60, 72, 75, 80, 96),
    *(100, 120, 144, 150, 180, 192, 200, 240, 250, 288, 300, 360, 400, 432, 480, 500, 576, 600),
    *(720, 750, 800, 864, 900, 960, 1000),
)
"""Dozens, tens and round hundreds: where clients expect a break (common practice, no source)."""

DEAREST_START = 2.5
"""A list begins where a piece asks at most this many times what it asks in the largest order:
smaller orders carry so much of a supplier's minimum that nobody would place them, and the
client is asked to ask. A choice of our own."""

TIERS_AT_A_GLANCE = 6
"""Columns of a list that nobody has given a number for: what is read at a glance."""

MOST_TIERS = 10
"""More columns than this do not go on a page, nor into a client's head."""


@dataclass(frozen=True)
class Breaks:
    """Tier starts and the mean overcharge they leave, in money a piece, over the weights."""

    starts: tuple[int, ...]
    overcharge: float


def choose_breaks(
    price, quantities, weights, most: int, friendly=None, *, asked=None, limit=np.inf
) -> tuple[Breaks, ...]:
    """The best breaks for 1, 2, … `most` tiers: the frontier of tiers against overcharge.

    `price` is the cost-plus price of every quantity, shape (n,) or (sizes, n) where all
    sizes share their breaks; `quantities` rise by one, shape (n,); `weights` count orders,
    shape (n,). Breaks after the first stand at `friendly` quantities only (at any, if not
    told). In no tier may what is `asked` for a piece, of the shape of `price` and by default
    the same, be over `limit` times what is asked for another of the size. Left out are numbers
    of tiers for which there is no place, or that would go over the limit; of equally good
    breaks the earlier ones are given.

    >>> frontier = choose_breaks([9, 9, 9, 5, 5, 5], range(1, 7), [1] * 6, most=3)
    >>> frontier[0], frontier[1]
    (Breaks(starts=(1,), overcharge=2.0), Breaks(starts=(1, 4), overcharge=0.0))
    """
    price, quantities, weights = _checked(price, quantities, weights, most)
    allowed = np.isin(quantities, quantities if friendly is None else friendly)
    allowed[0] = True
    places = np.flatnonzero(allowed)
    overcharge = _overcharge(price, weights, places)
    if np.isfinite(limit):
        asked = price if asked is None else np.atleast_2d(asked)
        overcharge[_span(asked, places) > limit * (1 + TOLERANCE)] = np.inf
    scale = weights.sum() * price.shape[0]
    frontier = []
    for chosen, sum_ in _best_segments(overcharge, min(most, places.size)):
        if np.isfinite(sum_):
            starts = tuple(int(q) for q in quantities[places[chosen]])
            frontier.append(Breaks(starts, float(sum_ / scale)))
    return tuple(frontier)


def _checked(price, quantities, weights, most):
    price = np.atleast_2d(np.asarray(price, float))
    quantities, weights = check_quantity(np.asarray(quantities)), np.asarray(weights, float)
    if price.shape[1:] != quantities.shape or weights.shape != quantities.shape:
        raise PricelabError(
            f"found {price.shape[-1]} prices and {weights.size} weights for {quantities.size} "
            "quantities, expected one of each for every quantity."
        )
    if not (np.diff(quantities) == 1).all():
        raise PricelabError(
            f"found the quantities {in_a_row(quantities)}, expected them to rise by one."
        )
    if not (np.isfinite(weights).all() and (weights >= 0).all() and weights.sum() > 0):
        raise PricelabError("expected weights of 0 or more, with at least one order among them.")
    if most < 1:
        raise PricelabError(f"found {most} tiers, expected 1 or more.")
    return price, quantities, weights


def _overcharge(price, weights, places):
    """Weighted overcharge of a tier from place i to before place j: ``[i, j]``, j up to the end.

    Summed over sizes; infinite where j does not follow i.
    """
    n, count = price.shape[1], places.size
    ends = np.append(places[1:], n)
    weight_before = np.append(0.0, np.cumsum(weights))
    table = np.full((count, count + 1), np.inf)
    for row in price:
        dearest_between = np.maximum.reduceat(row, places)
        paid_before = np.append(0.0, np.cumsum(weights * row))
        for at, start in enumerate(places):
            dearest = np.maximum.accumulate(dearest_between[at:])
            held = weight_before[ends[at:]] - weight_before[start]
            over = dearest * held - (paid_before[ends[at:]] - paid_before[start])
            current = table[at, at + 1 :]
            table[at, at + 1 :] = np.where(np.isinf(current), over, current + over)
    return table


def _span(asked, places):
    """How many times its cheapest quantity the dearest of a tier asks, `[i, j]` as above."""
    table = np.ones((places.size, places.size + 1))
    for row in asked:
        dearest, cheapest = (x.reduceat(row, places) for x in (np.maximum, np.minimum))
        for at in range(places.size):
            span = np.maximum.accumulate(dearest[at:]) / np.minimum.accumulate(cheapest[at:])
            table[at, at + 1 :] = np.maximum(table[at, at + 1 :], span)
    return table


def _best_segments(cost, most):
    """For 1 … `most` segments, the starts (as places) and the cost of the best segmentation."""
    count = cost.shape[0]
    best = cost[0].copy()  # one segment, from the first place up to j
    came_from = []
    yield [0], best[count]
    for _ in range(2, most + 1):
        reached = best[:count, None] + cost
        from_ = np.argmin(reached, axis=0)
        best = reached[from_, np.arange(count + 1)]
        came_from.append(from_)
        chosen, at = [], count
        for back in reversed(came_from):
            at = int(back[at])
            chosen.append(at)
        yield [0, *reversed(chosen)], best[count]
