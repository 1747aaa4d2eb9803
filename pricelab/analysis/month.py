"""The month: what a mix of work must sell to cover the fixed costs, and the mix that earns most.

Cost-volume-profit analysis for several products, and the choice of work under scarce hours
as a linear programme (managerial accounting's constrained product mix; HiGHS, by scipy).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from pricelab.analysis.break_even import before_tax
from pricelab.shop.errors import NoBreakEven, PricelabError
from pricelab.shop.figures import amount
from pricelab.shop.tolerance import TOLERANCE


@dataclass(frozen=True, eq=False)
class Mix:
    """Kinds of work sold together: price and variable cost a piece, share of the pieces.

    All of shape (kinds,); shares need not add up to 1, only their proportion counts.
    """

    names: tuple[str, ...]
    price: np.ndarray
    variable: np.ndarray
    share: np.ndarray

    def __post_init__(self):
        for name in ("price", "variable", "share"):
            object.__setattr__(self, name, np.asarray(getattr(self, name), float))
        kinds = (len(self.names),)
        if not (self.price.shape == self.variable.shape == self.share.shape == kinds != (0,)):
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


@dataclass(frozen=True)
class MonthPlan:
    """A month's figures: pieces and money, before and after what breaks even."""

    pieces: float
    revenue: float
    contribution: float
    fixed: float
    break_even_pieces: float
    break_even_revenue: float

    @property
    def profit(self) -> float:
        """Contribution less the month's fixed costs, before income tax."""
        return self.contribution - self.fixed

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


def plan_month(mix: Mix, fixed: float, pieces: float) -> MonthPlan:
    """A month of `pieces` of `mix` against `fixed` costs; raises `NoBreakEven` where none pays."""
    each = mix.contribution
    if fixed < 0 or pieces < 0:
        raise PricelabError("expected fixed costs and pieces of 0 or more.")
    if each <= 0:
        raise NoBreakEven(
            f"a piece of this mix leaves {amount(each)}: no number of them covers the month's "
            "costs. Raise prices or drop the work that loses."
        )
    even = fixed / each
    return MonthPlan(pieces, pieces * mix.revenue, pieces * each, fixed, even, even * mix.revenue)


def pieces_for_profit(mix: Mix, fixed: float, profit: float, tax_rate: float = 0.0) -> float:
    """Pieces of the mix that leave `profit` after income tax at `tax_rate`."""
    return plan_month(mix, fixed + before_tax(profit, tax_rate), 0.0).break_even_pieces


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

    def profit(self, fixed: float) -> float:
        """What is left after the month's fixed costs; below 0 no mix pays for the month."""
        return self.contribution - fixed


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

    _check_mix(contribution, hours, available, demand)
    names = list(hours)
    found = linprog(
        -np.asarray(contribution, float),
        A_ub=np.array([hours[name] for name in names], float) if names else None,
        b_ub=[available[name] for name in names] if names else None,
        bounds=[(0, None if most == np.inf else most) for most in demand],
        method="highs",
    )
    if found.status == 3:
        raise PricelabError(
            "the month has no best mix: some work that earns needs no scarce hours and has no "
            "limit to its demand. Give it a demand or hours."
        )
    if not found.success:
        raise PricelabError(f"no mix of work fits the month: {found.message}")
    used = {name: float(np.dot(hours[name], found.x)) for name in names}
    worth = dict(zip(names, (-found.ineqlin.marginals).tolist(), strict=True)) if names else {}
    return BestMix(found.x, np.asarray(contribution, float) * found.x, used, worth)


def _check_mix(contribution, hours, available, demand):
    if not len(contribution):
        raise PricelabError("expected some kinds of work to mix.")
    for name, needed in hours.items():
        if len(needed) != len(contribution):
            raise PricelabError(f'expected hours of "{name}" for each kind of work.')
        if min(needed) < 0 or available[name] < 0:
            raise PricelabError(f'found hours of "{name}" below 0, expected 0 or more.')
    if len(demand) != len(contribution) or min(demand) < 0:
        raise PricelabError("expected a demand of 0 or more for each kind of work.")
