"""What finished jobs say of the shop's own figures: minutes by method, and spoiled pieces.

*Minutes.* For each method the attended minutes of its jobs are set against what its times
in operations.csv say. With e the minutes of a job that grow with the order (and, on a first
order, with the artwork) and b those that grow with the pieces,

    actual / m = u · e / m + v · b / m + error,   m = u · e + v · b,

so that u and v say by how much the times an order and a piece are to be multiplied, and an
error counts by its share of the job's minutes m, as large jobs are off by more of them (m is
taken from the fit before, until it stays). What comes out does not hang on the old times,
so that figures once accepted are found again. Huber's fit
keeps jobs that went wrong from pulling; intervals are at 95 %, by Student's t and the
fit's asymptotic covariance (`regression.huber`).

Jobs note one sum of minutes, so the work that all methods share (taking the order, packing)
cannot be told apart from the method's own: the shop's operations are left as they are, and
the method's own take the whole difference.

*Spoiled pieces* are counted by piece started, with Wilson's interval at 95 % (Wilson 1927).
It takes pieces to fail one by one; where they fail a batch at a time it is too narrow.
"""

from dataclasses import dataclass, replace
from statistics import NormalDist
from typing import TYPE_CHECKING

import numpy as np

from pricelab.cost.costing import work_in
from pricelab.cost.job_orders import by_artwork
from pricelab.cost.orders import Order
from pricelab.jobs.regression import Fit, NoFitError, UnsettledError, huber
from pricelab.shop.charges import Level
from pricelab.shop.errors import PricelabError
from pricelab.shop.figures import percent
from pricelab.shop.method import Method
from pricelab.shop.place import Place
from pricelab.shop.shop import Shop
from pricelab.shop.sizes import Artwork

if TYPE_CHECKING:
    import pandas as pd

FEWEST_JOBS = 8
"""Jobs of a method below which nothing is estimated: four for each of two figures."""

HARDLY = 0.01
"""A part of a figure that is not worth a change."""

LEVEL = 0.95
"""How often the intervals shown hold the true figure."""

ROUNDS = 200
"""Fits after which jobs whose sizes still move are given up: five are usual."""

ONCE, EACH = (Level.ORDER, Level.DESIGN), (Level.PIECE, Level.BATCH)
"""What is due once, and what grows with the pieces."""


@dataclass(frozen=True)
class Learned:
    """A figure of the shop beside what finished jobs say: `new`, sure to lie in `low`…`high`."""

    what: str
    old: float
    new: float
    low: float
    high: float

    @property
    def differs(self) -> bool:
        """Whether the jobs contradict the old figure."""
        return not self.low <= self.old <= self.high


@dataclass(frozen=True)
class Change:
    """One cell of the shop's files: where it stands, what it is, and its new figure as text."""

    place: Place
    what: str
    before: str
    after: str


@dataclass(frozen=True, eq=False)
class Times:
    """A method's minutes, re-estimated from `jobs`.

    `order` and `piece` are minutes an order (without what is done once an artwork) and
    minutes a piece; `estimated` (n, 2) the minutes that the shop's times give for each job,
    those of the order and the artwork first, then those of its pieces; `actual` (n,).
    `own` is the share of each that is the method's own, in the jobs' sum.
    """

    method: Method
    order: Learned
    piece: Learned
    quantities: np.ndarray
    estimated: np.ndarray
    actual: np.ndarray
    fit: Fit
    own: np.ndarray

    @property
    def jobs(self) -> int:
        """How many jobs were fitted."""
        return len(self.actual)

    def changes(self, part: Learned) -> tuple[Change, ...]:
        """What accepting a part would write: the method's own minutes, multiplied.

        Nothing where they would move by less than a hundredth: jobs never tell as much.
        Raises `PricelabError` where the method has none of its own to multiply.
        """
        at, levels, grows = (0, ONCE, "an order") if part is self.order else (1, EACH, "a piece")
        work = [o for o in self.method.operations if o.attended and o.per in levels and o.minutes]
        if not work or self.own[at] <= 0:
            raise PricelabError(
                f"{self.method.name} has no minutes {grows} of its own in operations.csv to "
                "change. Add an operation there and write what you think it takes."
            )
        factor = 1 + (float(self.fit.coefficients[at]) - 1) / self.own[at]
        if factor <= 0:
            raise PricelabError(
                f"the jobs of {self.method.name} took less {grows} than the work all methods "
                "share. Lower the shop's own operations in operations.csv first."
            )
        if abs(factor - 1) < HARDLY:
            return ()
        return tuple(
            Change(o.place, o.name, f"{o.minutes:g}", f"{float(f'{o.minutes * factor:.3g}'):g}")
            for o in work
        )


def learned_times(shop: Shop, method: Method, jobs: "pd.DataFrame") -> Times:
    """The method's minutes from those of `jobs` (as `files.jobs.TYPES`) that noted them.

    A job on several blanks is one order, whose minutes count once; those of a job of several
    decorations cannot be told apart, and it is left out. Raises `PricelabError` where there
    are too few jobs, or too much alike, to tell minutes an order from minutes a piece.
    """
    jobs = by_artwork(jobs)
    own = jobs[~jobs["job"].duplicated(keep=False) & (jobs["method"] == method.key)]
    own = own[own["attended minutes"].notna() & (own["attended minutes"] > 0)]
    if len(own) < FEWEST_JOBS:
        raise PricelabError(
            f"{len(own)} finished jobs of {method.name} note their minutes; under "
            f"{FEWEST_JOBS} say too little."
        )
    minutes = _minutes(shop, method, own)
    mine = _minutes(replace(shop, operations=()), method, own)
    actual = own["attended minutes"].to_numpy(float)
    if not (minutes.sum(axis=0) > 0).all():
        raise PricelabError(
            f"operations.csv has no attended minutes of {method.name} "
            f"{'an order' if minutes[0, 0] <= 0 else 'a piece'}. Add an operation there."
        )
    try:
        fit = _fitted(minutes, actual)
    except UnsettledError:
        raise PricelabError(
            f"the minutes of the finished jobs of {method.name} contradict one another, so that "
            "no minutes an order and a piece settle. Look for a slip in them, or note more jobs."
        ) from None
    except NoFitError:
        raise PricelabError(
            f"the finished jobs of {method.name} are of one size, so that minutes an order and "
            "minutes a piece cannot be told apart."
        ) from None
    quantities = own["quantity"].to_numpy(np.int64)
    recurring = sum(
        o.minutes
        for o in (*shop.operations, *method.operations)
        if o.attended and o.per is Level.ORDER
    )
    return Times(
        method,
        _part("minutes an order", recurring, fit, 0),
        _part("minutes a piece", float(minutes[:, 1].sum() / quantities.sum()), fit, 1),
        quantities,
        minutes,
        actual,
        fit,
        mine.sum(axis=0) / minutes.sum(axis=0),
    )


def _fitted(minutes: np.ndarray, actual: np.ndarray) -> Fit:
    """Huber's fit of what jobs took to their estimated minutes (n, 2), errors by share."""
    planned = minutes.sum(axis=1)
    size = planned
    for _ in range(ROUNDS):
        fit = huber(minutes / size[:, None], actual / size)
        before, size = size, np.maximum(minutes @ fit.coefficients, 0.1 * planned)
        if np.allclose(size, before, rtol=1e-10, atol=0):
            return fit
    raise UnsettledError("the sizes by which errors count still move.")


def _part(what: str, old: float, fit: Fit, at: int) -> Learned:
    row = np.eye(2)[at]
    new, reach = fit.at(row), fit.reach(row, LEVEL)
    return Learned(what, old, old * new, old * max(new - reach, 0.0), old * (new + reach))


def _minutes(shop: Shop, method: Method, jobs: "pd.DataFrame") -> np.ndarray:
    """Attended minutes by job that are due once and for each piece, shape (n, 2)."""
    minutes = np.zeros((len(jobs), 2))
    blank = next(iter(shop.blanks.values()))  # the work is the same whatever the blank
    firsts = (jobs["order"] == "first").to_numpy()
    for first in np.unique(firsts):
        at = firsts == first
        some = jobs[at]
        artwork = Artwork(some["width"].to_numpy(), some["height"].to_numpy(), shop.unit)
        quantity = some["quantity"].to_numpy()
        order = Order.of(blank, quantity, method, artwork, first=bool(first), paired=True)
        for work in work_in(shop, order):
            if work.attended:
                minutes[at, 0 if work.level in ONCE else 1] += work.times * work.each
    return minutes


def learned_spoilage(method: Method, jobs: "pd.DataFrame") -> tuple[Learned, int, int]:
    """The share of pieces started that are spoiled, by the jobs that noted it.

    Also the number of those jobs, and of the pieces they started.
    """
    own = by_artwork(jobs[jobs["method"] == method.key])
    own = own[own["spoiled pieces"].notna()]
    spoiled = int(own["spoiled pieces"].sum())
    started = spoiled + int(own["quantity"].sum())
    if not started:
        raise PricelabError(f"no finished job of {method.name} notes its spoiled pieces.")
    low, high = wilson(spoiled, started, LEVEL)
    share = Learned("share spoiled", method.spoilage, spoiled / started, low, high)
    return share, len(own), started


def spoilage_change(method: Method, learned: Learned) -> Change:
    """What accepting a spoilage would write."""
    place = method.place and replace(method.place, column="spoilage")
    after = percent(learned.new).replace(",", "")
    return Change(place, "spoilage", percent(method.spoilage, 3), after)


def wilson(happened: int, of: int, level: float) -> tuple[float, float]:
    """Wilson's score interval of a share, at `level`.

    Newcombe (1998), table I: 15 of 148 and none of 20.

    >>> [round(end, 4) for end in wilson(15, 148, 0.95)], [round(end, 4) for end in
    ...                                                    wilson(0, 20, 0.95)]
    ([0.0624, 0.1605], [0.0, 0.1611])
    """
    z2 = NormalDist().inv_cdf((1 + level) / 2) ** 2
    share = happened / of
    middle = share + z2 / (2 * of)
    reach = (z2 * (share * (1 - share) / of + z2 / (4 * of**2))) ** 0.5
    low, high = ((middle + side * reach) / (1 + z2 / of) for side in (-1, 1))
    return max(low, 0.0), min(high, 1.0)
