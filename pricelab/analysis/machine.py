"""Does a new press pay: payback, net present value and rates of return of its cash flows.

`flows[0]` is today's (the price of the press, negative), `flows[t]` what period t brings;
`rate` is a period's. Conventions as in the `numpy-financial` library, which the tests use
as reference.
"""

from dataclasses import dataclass

import numpy as np

from pricelab.cost.costing import cost_sheet
from pricelab.cost.fees import Fees
from pricelab.cost.orders import Order
from pricelab.shop.errors import NoBreakEven, PricelabError
from pricelab.shop.figures import amount, percent
from pricelab.shop.shop import Shop
from pricelab.shop.tolerance import TOLERANCE


def npv(rate: float, flows) -> float:
    """Net present value: the sum of flows[t] / (1 + rate)^t.

    >>> round(npv(0.08, [-40_000, 5_000, 8_000, 12_000, 30_000]), 5)
    3065.22267
    """
    flows = _checked(flows)
    if rate <= -1:
        raise PricelabError(f"found a rate of {percent(rate)} a period, expected more than −100 %.")
    return float(flows @ (1 + rate) ** -np.arange(flows.size))


def irrs(flows) -> tuple[float, ...]:
    """Every rate at which the flows are worth nothing today, rising; several, or none, may be.

    >>> [round(rate, 5) for rate in irrs([-100, 39, 59, 55, 20])]
    [0.28095]
    """
    flows = _checked(flows)
    if not (flows > 0).any() or not (flows < 0).any():
        return ()
    roots = np.roots(flows[::-1])  # in x = 1 / (1 + rate)
    real = roots.real[(abs(roots.imag) < 1e-9 * (1 + abs(roots))) & (roots.real > 1e-12)]
    return tuple(sorted({round(float(1 / x - 1), 12) for x in real}))


def payback(flows, rate: float = 0.0) -> float:
    """Periods until the flows, discounted at `rate`, have paid back; interpolated in the last.

    Raises `NoBreakEven` when they never do.

    >>> payback([-54_750] + [7_500] * 8)
    7.3
    """
    flows, sofar = _checked(flows), so_far(flows, rate)
    if sofar[0] >= 0:
        return 0.0
    paid = np.flatnonzero(sofar >= -TOLERANCE)
    if not paid.size:
        raise NoBreakEven(
            f"after {flows.size - 1} periods {amount(-sofar[-1])} is still to be paid back."
        )
    at = int(paid[0])
    return float(at - 1 + -sofar[at - 1] / (sofar[at] - sofar[at - 1]))


def so_far(flows, rate: float = 0.0) -> np.ndarray:
    """The flows added up, discounted at `rate`, by the end of each period: shape (n,).

    >>> so_far([-100, 60, 60]).tolist()
    [-100.0, -40.0, 20.0]
    """
    flows = _checked(flows)
    return np.cumsum(flows * (1.0 + rate) ** -np.arange(flows.size))


def annuity(periods: int, rate: float) -> float:
    """What 1 at the end of each period is worth today."""
    return periods if rate == 0 else (1 - (1 + rate) ** -periods) / rate


def _checked(flows) -> np.ndarray:
    flows = np.asarray(flows, float)
    if flows.ndim != 1 or flows.size < 2 or not np.isfinite(flows).all():
        raise PricelabError("expected a price today and what at least one period brings.")
    return flows


@dataclass(frozen=True)
class PressCase:
    """A press bought at `price` that saves `saved` a piece on `pieces` a year for some `years`.

    `upkeep` is a year's; `resale` what the press brings at the end (below 0: removal costs);
    `rate` a year's. Money counts at the end of its year; payback spreads it evenly within.
    """

    price: float
    saved: float
    pieces: float
    years: int
    rate: float = 0.0
    upkeep: float = 0.0
    resale: float = 0.0

    def __post_init__(self):
        if not self.price > 0:
            raise PricelabError(
                f"found a press for {amount(self.price)}, expected a price above 0."
            )
        if self.pieces < 0 or self.upkeep < 0:
            raise PricelabError("expected pieces and upkeep of 0 or more.")
        if self.years < 1:
            raise PricelabError(f"found {self.years} years, expected 1 or more.")
        if not 0 <= self.rate < 1:
            raise PricelabError(f"found a rate of {self.rate:g} a year, expected 0 to under 1.")

    @property
    def yearly(self) -> float:
        """What a year saves after upkeep."""
        return self.saved * self.pieces - self.upkeep

    @property
    def flows(self) -> np.ndarray:
        """Today's money and each year's, shape (years + 1,)."""
        flows = np.full(self.years + 1, self.yearly)
        flows[0] = -self.price
        flows[-1] += self.resale
        return flows

    @property
    def npv(self) -> float:
        """Net present value."""
        return npv(self.rate, self.flows)

    def npv_over(self, pieces, prices):
        """Net present value at other volumes and prices of the press, broadcast."""
        a_year = annuity(self.years, self.rate)
        per_piece = self.saved * a_year
        kept = self.resale * (1 + self.rate) ** -self.years - self.upkeep * a_year
        return per_piece * np.asarray(pieces, float) + kept - np.asarray(prices, float)

    @property
    def pieces_to_pay(self) -> float:
        """Pieces a year from which on the press is worth its price (net present value 0)."""
        if self.saved <= 0:
            raise NoBreakEven(f"a piece that saves {amount(self.saved)} never pays for a press.")
        a_year = annuity(self.years, self.rate)
        owed = self.price - self.resale * (1 + self.rate) ** -self.years + self.upkeep * a_year
        return max(0.0, owed / a_year / self.saved)


def saved_a_piece(shop: Shop, own: Order, out: Order) -> float:
    """What a piece made in-house saves against contracting the same order out.

    The difference of what moves with the order: overhead is there either way.
    """
    inside, outside = (float(cost_sheet(shop, order).variable) for order in (own, out))
    fees = [
        Fees.due(shop, *(decoration.method for decoration in order.decorations))
        for order in (own, out)
    ]
    if fees[0] != fees[1]:
        raise PricelabError(
            "the two methods bear different fees, so what is saved hangs on the price. "
            "Compare their profit on the notebook of methods."
        )
    return (outside - inside) / float(own.quantity)
