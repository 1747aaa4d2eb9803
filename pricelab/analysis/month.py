"""The month: what a mix of work must sell to cover the fixed costs, and the mix that earns most.

Cost-volume-profit analysis for several products, and the choice of work under scarce hours
as a linear programme (managerial accounting's constrained product mix; HiGHS, by scipy).
Finished jobs tell the mix: they bring what they were charged, and their costs and minutes
are those of today's cost sheets, so that the month to come is planned at today's prices.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from pricelab.analysis.break_even import before_tax
from pricelab.cost.cost_sheet import OPERATOR
from pricelab.jobs.estimates import AT, estimate_jobs
from pricelab.shop.charges import Charge, Level
from pricelab.shop.errors import NoBreakEven, PricelabError
from pricelab.shop.figures import amount
from pricelab.shop.shop import Shop
from pricelab.shop.tolerance import TOLERANCE

if TYPE_CHECKING:
    import pandas as pd

DAYS_A_MONTH = 365.25 / 12


@dataclass(frozen=True, eq=False)
class Mix:
    """Kinds of work sold together: price and variable cost a piece, share of the pieces.

    All of shape (kinds,); shares need not add up to 1, only their proportion counts.
    """

    price: np.ndarray
    variable: np.ndarray
    share: np.ndarray

    def __post_init__(self):
        for name in ("price", "variable", "share"):
            object.__setattr__(self, name, np.asarray(getattr(self, name), float))
        if not (self.price.shape == self.variable.shape == self.share.shape != (0,)):
            raise PricelabError("expected a price, a variable cost and a share for each kind.")
        if (self.share < 0).any() or not self.share.sum() > 0:
            raise PricelabError("expected shares of 0 or more, and some work among them.")
        object.__setattr__(self, "share", self.share / self.share.sum())

    @property
    def contribution(self) -> float:
        """Weighted contribution a piece of the mix."""
        return float(self.share @ (self.price - self.variable))

    @property
    def revenue(self) -> float:
        """Weighted price a piece of the mix."""
        return float(self.share @ self.price)


@dataclass(frozen=True, eq=False)
class MonthPlan:
    """A month of `pieces` of a `mix` against `fixed` costs.

    Raises `NoBreakEven` where a piece of the mix leaves nothing to cover them.
    """

    mix: Mix
    fixed: float
    pieces: float

    def __post_init__(self):
        if self.fixed < 0 or self.pieces < 0:
            raise PricelabError("expected fixed costs and pieces of 0 or more.")
        if (each := self.mix.contribution) <= 0:
            raise NoBreakEven(
                f"a piece of this mix leaves {amount(each)}: no number of them covers the month's "
                "costs. Raise prices or drop the work that loses."
            )

    @property
    def revenue(self) -> float:
        """Money taken."""
        return self.pieces * self.mix.revenue

    @property
    def contribution(self) -> float:
        """What the pieces leave after the costs that move with them."""
        return self.pieces * self.mix.contribution

    @property
    def profit(self) -> float:
        """Contribution less the month's fixed costs, before income tax."""
        return self.contribution - self.fixed

    @property
    def break_even_pieces(self) -> float:
        """Pieces of the mix that just cover the fixed costs, not rounded."""
        return self.fixed / self.mix.contribution

    @property
    def break_even_revenue(self) -> float:
        """The same in money taken."""
        return self.break_even_pieces * self.mix.revenue

    @property
    def margin_of_safety(self) -> float:
        """Pieces that could be lost before the month makes a loss (below 0: missing)."""
        return self.pieces - self.break_even_pieces

    @property
    def margin_of_safety_revenue(self) -> float:
        """The same in money taken."""
        return self.revenue - self.break_even_revenue

    @property
    def margin_of_safety_share(self) -> float:
        """The same as a share of the pieces planned."""
        if self.pieces <= 0:
            raise PricelabError("a month without pieces has no margin of safety to speak of.")
        return self.margin_of_safety / self.pieces

    @property
    def operating_leverage(self) -> float:
        """By how many per cent profit moves when sales move by one: contribution / profit."""
        if abs(self.profit) < TOLERANCE:
            raise PricelabError(
                "at break-even, leverage has no figure: there is no profit to move."
            )
        return self.contribution / self.profit


def pieces_for_profit(mix: Mix, fixed: float, profit: float, tax_rate: float = 0.0) -> float:
    """Pieces of the mix that leave `profit` after income tax at `tax_rate`."""
    return MonthPlan(mix, fixed + before_tax(profit, tax_rate), 0.0).break_even_pieces


@dataclass(frozen=True, eq=False)
class BestMix:
    """The month's mix that earns most under scarce hours and limited demand.

    `pieces` a kind and what they `leave`, shape (kinds,); `worth` the money that one more hour
    of each resource would bring, by its name (0 where hours are left over); `used` its hours.
    """

    pieces: np.ndarray
    leave: np.ndarray
    used: dict[str, float]
    worth: dict[str, float]

    @property
    def contribution(self) -> float:
        """What all kinds leave."""
        return float(self.leave.sum())


def best_mix(
    contribution: Sequence[float],
    hours: Mapping[str, Sequence[float]],
    available: Mapping[str, float],
    demand: Sequence[float],
) -> BestMix:
    """How many pieces of each kind to make, by linear programming (pieces need not be whole).

    `contribution` money a piece, `hours[resource]` hours a piece of each kind, `available`
    hours of each resource, `demand` the most pieces that can be sold of each kind (inf: any).
    """
    from scipy.optimize import linprog

    names, each = list(hours), np.asarray(contribution, float)
    needed = np.array([hours[name] for name in names], float).reshape(-1, each.size)
    limits = [available[name] for name in names]
    bounds = [(0, None if most == np.inf else most) for most in demand]
    found = linprog(-each, needed, limits, bounds=bounds, method="highs")
    if found.status == 3:
        raise PricelabError(
            "the month has no best mix: some work that earns needs no scarce hours and has no "
            "limit to its demand. Give it a demand or hours."
        )
    if not found.success:
        raise PricelabError(f"no mix of work fits the month: {found.message}")
    used, worth = (needed @ found.x).tolist(), (-found.ineqlin.marginals).tolist()
    by_name = (dict(zip(names, figures, strict=True)) for figures in (used, worth))
    return BestMix(found.x, each * found.x, *by_name)


# ---- what finished jobs say of a month ------------------------------------------------


@dataclass(frozen=True, eq=False)
class Workload:
    """The finished jobs by method, over so many `months`.

    `work` has a row for each method that has jobs, by its key: how many `orders` and `pieces`;
    their `revenue` before tax, and what is `variable`, moving with the orders (costs without
    overhead, and fees), of which `labour` pays the operator's minutes. `hours` has the same
    rows: of the operator, then of each machine. `skipped` pairs jobs that could not be made
    today with the reason; they are not counted. With `labour_monthly` the operator's minutes
    are paid by the month, whatever is sold, and do not count as variable.
    """

    work: "pd.DataFrame"
    hours: "pd.DataFrame"
    months: float
    skipped: tuple[tuple[str, str], ...] = ()
    labour_monthly: bool = False

    @property
    def pieces_a_month(self) -> np.ndarray:
        """Pieces a month by kind."""
        return self.work["pieces"].to_numpy() / self.months

    @property
    def mix(self) -> Mix:
        """Price and variable cost a piece by kind, in the proportion of their pieces."""
        pieces, variable = self.work["pieces"], self.work["variable"]
        if self.labour_monthly:
            variable = variable - self.work["labour"]
        return Mix(self.work["revenue"] / pieces, variable / pieces, self.pieces_a_month)

    @property
    def contribution(self) -> np.ndarray:
        """Contribution a piece by kind."""
        return self.mix.price - self.mix.variable

    @property
    def hours_a_piece(self) -> "pd.DataFrame":
        """Hours a piece of each kind (down), by who (across)."""
        return self.hours.div(self.work["pieces"], axis=0)

    @property
    def bottleneck(self) -> "pd.Series":
        """Who or what is busy longest with each kind."""
        return self.hours.idxmax(axis=1)

    @property
    def hourly(self) -> np.ndarray:
        """Contribution for each hour of a kind's own bottleneck: what ranks scarce work."""
        hours = self.hours_a_piece.max(axis=1).to_numpy()
        if hours.min() <= 0:
            raise PricelabError("nothing is earned by the hour in work that takes no minutes.")
        return self.contribution / hours


def workload(shop: Shop, jobs: "pd.DataFrame") -> Workload:
    """The workload of finished jobs, in the order of the shop's methods.

    Raises `PricelabError` where no job can be counted.
    """
    import pandas as pd

    undated = jobs.assign(date=np.datetime64("NaT", "s"))  # no promotion of days gone by
    found = estimate_jobs(shop, undated)
    possible = found["reason"] == ""
    if not possible.any():
        raise PricelabError(
            "There is no finished job to plan a month by. Write some into jobs.csv, or plan "
            "by single orders."
        )
    labour = found["minutes"] * shop.rates.labour / 60
    fees = found["fee share"] * jobs["charged"] + found["fixed fee"]
    variable = found["material"] + found["other"] + labour + fees
    done = {"pieces": jobs["quantity"], "revenue": jobs["charged"]}
    done = pd.DataFrame({**done, "variable": variable, "labour": labour})
    busy = found[["minutes", *(name for name in found if name.startswith(AT))]] / 60
    method = jobs["method"][possible]
    keys = [key for key in shop.methods if (method == key).any()]
    work, hours = (frame[possible].groupby(method).sum().loc[keys] for frame in (done, busy))
    work.insert(0, "orders", jobs[possible].groupby("method")["job"].nunique())
    hours.columns = [OPERATOR, *(name.removeprefix(AT) for name in hours.columns[1:])]
    stations = [who for who in hours.columns[1:] if hours[who].any()]
    stations.sort(key=lambda who: (hours[who].gt(0).argmax(), who))  # as the methods come
    hours = hours[[OPERATOR, *stations]]
    skipped = zip(jobs["job"][~possible], found["reason"][~possible], strict=True)
    return Workload(work, hours, months_counted(jobs), tuple(skipped))


def months_counted(jobs: "pd.DataFrame") -> float:
    """Months from the first job's day to the last one's, both included."""
    return ((jobs["date"].max() - jobs["date"].min()).days + 1) / DAYS_A_MONTH


def pieces_a_year(jobs: "pd.DataFrame", methods: Iterable[str]) -> int:
    """Pieces a year of some methods, by the finished jobs; 0 without any."""
    own = jobs[jobs["method"].isin(list(methods))]
    return round(float(own["quantity"].sum()) / months_counted(jobs) * 12) if len(own) else 0


def period_charges(shop: Shop) -> tuple[Charge, ...]:
    """What the shop pays every month, whatever it sells: its own and its methods' charges."""
    methods: Iterable = (c for method in shop.methods.values() for c in method.charges)
    return tuple(c for c in (*shop.charges, *methods) if c.level is Level.PERIOD)
