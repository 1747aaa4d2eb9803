"""What finished jobs say of a month: the mix of work, what it leaves, and whose hours it takes.

Jobs bring what they were charged; their costs and minutes are those of today's cost sheets,
so that the month to come is planned at today's prices.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from pricelab.analysis.month import Mix
from pricelab.cost.cost_sheet import OPERATOR
from pricelab.jobs.estimates import AT, estimate_jobs
from pricelab.shop.charges import Charge, Level
from pricelab.shop.errors import PricelabError
from pricelab.shop.method import Method
from pricelab.shop.shop import Shop

if TYPE_CHECKING:
    import pandas as pd

DAYS_A_MONTH = 365.25 / 12


@dataclass(frozen=True)
class MethodWork:
    """All finished jobs of one method: money of all of them, before tax, and hours by who.

    `variable` is what moves with the orders (costs without overhead, and fees); `labour`
    the part of it that pays the operator's minutes.
    """

    key: str
    name: str
    orders: int
    pieces: int
    revenue: float
    variable: float
    labour: float
    hours: dict[str, float]

    @property
    def bottleneck(self) -> str:
        """Who or what is busy longest with this work."""
        return max(self.hours, key=self.hours.get)


@dataclass(frozen=True)
class Workload:
    """The finished jobs by method, over so many `months`.

    `skipped` pairs jobs that could not be made today with the reason; they are not counted.
    With `labour_monthly` the operator's minutes are paid by the month, whatever is sold, and
    do not count as variable.
    """

    kinds: tuple[MethodWork, ...]
    months: float
    skipped: tuple[tuple[str, str], ...] = ()
    labour_monthly: bool = False

    @property
    def pieces_a_month(self) -> np.ndarray:
        """Pieces a month by kind."""
        return np.array([kind.pieces for kind in self.kinds]) / self.months

    @property
    def mix(self) -> Mix:
        """Price and variable cost a piece by kind, in the proportion of their pieces."""
        pieces = np.array([kind.pieces for kind in self.kinds], float)
        revenue = np.array([kind.revenue for kind in self.kinds])
        variable = np.array(
            [kind.variable - self.labour_monthly * kind.labour for kind in self.kinds]
        )
        names = tuple(kind.name for kind in self.kinds)
        return Mix(names, revenue / pieces, variable / pieces, pieces)

    @property
    def contribution(self) -> np.ndarray:
        """Contribution a piece by kind."""
        return self.mix.price - self.mix.variable

    @property
    def resources(self) -> tuple[str, ...]:
        """Whose hours the work takes: the operator first, then the machines."""
        return tuple(dict.fromkeys(who for kind in self.kinds for who in kind.hours))

    @property
    def hours_a_piece(self) -> dict[str, np.ndarray]:
        """Hours a piece of each kind, by who."""
        return {
            who: np.array([kind.hours.get(who, 0.0) / kind.pieces for kind in self.kinds])
            for who in self.resources
        }

    @property
    def hourly(self) -> np.ndarray:
        """Contribution for each hour of a kind's own bottleneck: what ranks scarce work."""
        hours = [kind.hours[kind.bottleneck] / kind.pieces for kind in self.kinds]
        if min(hours) <= 0:
            raise PricelabError("nothing is earned by the hour in work that takes no minutes.")
        return self.contribution / np.array(hours)


def workload(shop: Shop, jobs: "pd.DataFrame") -> Workload:
    """The workload of finished jobs, in the order of the shop's methods.

    Months are counted from the first job's day to the last one's, both included. Raises
    `PricelabError` where no job can be counted.
    """
    undated = jobs.assign(date=np.datetime64("NaT", "s"))  # no promotion of days gone by
    found = estimate_jobs(shop, undated)
    possible = found["reason"] == ""
    kinds = []
    for key, method in shop.methods.items():
        own = possible & (jobs["method"] == key)
        if own.any():
            kinds.append(_kind(method, jobs[own], found[own], shop.rates.labour))
    if not kinds:
        raise PricelabError(
            "There is no finished job to plan a month by. Write some into jobs.csv, or plan "
            "by single orders."
        )
    skipped = zip(jobs["job"][~possible], found["reason"][~possible], strict=True)
    return Workload(tuple(kinds), _months(jobs), tuple(skipped))


def _kind(method: Method, jobs: "pd.DataFrame", found: "pd.DataFrame", labour: float) -> MethodWork:
    """The jobs of one method, added up; `labour` is an hour's rate."""
    charged = jobs["charged"]
    fees = found["fee share"] @ charged + found["fixed fee"].sum()
    hours = {OPERATOR: float(found["minutes"].sum()) / 60}
    for name in sorted(found.columns[found.columns.str.startswith(AT)]):
        if (spent := float(found[name].sum())) > 0:
            hours[name.removeprefix(AT)] = spent / 60
    paid = labour * hours[OPERATOR]
    variable = found["material"].sum() + found["other"].sum() + paid + fees
    return MethodWork(
        method.key,
        method.name,
        jobs["job"].nunique(),
        int(jobs["quantity"].sum()),
        float(charged.sum()),
        float(variable),
        float(paid),
        hours,
    )


def period_charges(shop: Shop) -> tuple[Charge, ...]:
    """What the shop pays every month, whatever it sells: its own and its methods' charges."""
    methods: Iterable = (c for method in shop.methods.values() for c in method.charges)
    return tuple(c for c in (*shop.charges, *methods) if c.level is Level.PERIOD)


def period_cost(shop: Shop) -> float:
    """The sum of them: the month's fixed costs."""
    return sum(charge.amount for charge in period_charges(shop))


def pieces_a_year(jobs: "pd.DataFrame", methods: Iterable[str]) -> int:
    """Pieces a year of some methods, by the finished jobs; 0 without any."""
    own = jobs[jobs["method"].isin(list(methods))]
    return round(float(own["quantity"].sum()) / _months(jobs) * 12) if len(own) else 0


def _months(jobs: "pd.DataFrame") -> float:
    """From the first job's day to the last one's, both included."""
    return ((jobs["date"].max() - jobs["date"].min()).days + 1) / DAYS_A_MONTH
