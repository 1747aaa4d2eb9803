"""From how many pieces does it pay: break-even as a set of quantities, exactly.

List prices and costs both step, so profit can cross the goal many times. Over whole
quantities the answer is a set: the ranges that earn at least the goal, and the loss
pockets between them. Without steps it is the textbook's point F / (p − v).
"""

from dataclasses import dataclass

import numpy as np

from pricelab.shop.errors import NoBreakEven, PricelabError
from pricelab.shop.figures import amount
from pricelab.shop.tolerance import TOLERANCE


@dataclass(frozen=True)
class Range:
    """Whole quantities from `first` to `last`, both included."""

    first: int
    last: int


@dataclass(frozen=True)
class BreakEven:
    """Which quantities earn at least the goal.

    `earning` are the ranges that do, `pockets` the ranges after the first of them that do
    not, up to the last quantity looked at; `missing` is the range before the first, if any.
    Together they cover the quantities once, in order.
    """

    missing: Range | None
    earning: tuple[Range, ...]
    pockets: tuple[Range, ...]

    @property
    def first(self) -> int | None:
        """The first quantity that earns the goal; None if none does."""
        return self.earning[0].first if self.earning else None

    @property
    def sure_from(self) -> int | None:
        """From which quantity on every one looked at earns the goal; None if there is none."""
        if not self.earning or (self.pockets and self.pockets[-1].last > self.earning[-1].last):
            return None
        return self.earning[-1].first


def break_even(earned, quantities, goal=0.0) -> BreakEven:
    """The quantities at which `earned` (profit, margin, profit an hour …) is at least `goal`.

    `earned` and `quantities` have shape (n,), quantities rise by one.

    >>> break_even([-5, 1, -2, 3], [1, 2, 3, 4])
    BreakEven(missing=Range(first=1, last=1), earning=(Range(first=2, last=2), \
Range(first=4, last=4)), pockets=(Range(first=3, last=3),))
    """
    earned, quantities = np.asarray(earned, float), np.asarray(quantities)
    if earned.shape != quantities.shape or earned.ndim != 1 or not earned.size:
        raise PricelabError("expected what is earned at each quantity, in one row.")
    if not (np.diff(quantities) == 1).all():
        raise PricelabError("expected quantities that rise by one.")
    met = earned >= goal - TOLERANCE
    starts = np.flatnonzero(np.append(True, met[1:] != met[:-1]))
    ends = np.append(starts[1:], met.size) - 1
    spans = [
        (bool(met[start]), Range(int(quantities[start]), int(quantities[end])))
        for start, end in zip(starts, ends, strict=True)
    ]
    missing = spans.pop(0)[1] if not spans[0][0] else None
    return BreakEven(
        missing,
        tuple(span for earns, span in spans if earns),
        tuple(span for earns, span in spans if not earns),
    )


def break_even_point(fixed: float, price: float, variable: float, profit: float = 0.0) -> float:
    """The stepless break-even quantity (F + profit) / (p − v), not rounded to whole pieces.

    Cost-volume-profit analysis, as in any managerial accounting text (Horngren, *Cost
    Accounting*, ch. 3). Raises `NoBreakEven` when the price does not cover the variable cost.

    >>> break_even_point(50_000, 250, 150), break_even_point(50_000, 250, 150, 30_000)
    (500.0, 800.0)
    """
    if price <= variable:
        covers, leaves = ("does not cover", "adds to the loss")
        if price == variable:
            covers, leaves = ("only covers", "leaves nothing")
        raise NoBreakEven(
            f"a price of {amount(price)} {covers} the variable cost of {amount(variable)}: "
            f"every piece {leaves}, so no quantity breaks even. Raise the price or cut the cost."
        )
    return (fixed + profit) / (price - variable)


def before_tax(profit: float, tax_rate: float) -> float:
    """The profit before income tax that leaves `profit` after it."""
    if not 0 <= tax_rate < 1:
        raise PricelabError(f"found an income tax rate of {tax_rate:g}, expected 0 to under 1.")
    return profit / (1 - tax_rate)


def orders_to_repay(given: float, contribution: float) -> int:
    """How many repeat orders, each leaving `contribution`, pay back what was `given` free.

    >>> orders_to_repay(45, 20)
    3
    """
    if given <= 0:
        return 0
    if contribution <= 0:
        raise NoBreakEven(
            f"a repeat order that leaves {amount(contribution)} never pays back {amount(given)}."
        )
    return int(np.ceil(np.round(given / contribution, 9)))
