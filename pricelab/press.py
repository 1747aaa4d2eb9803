"""Does a new press pay: payback, net present value and rates of return of its cash flows.

`flows[0]` is today's (the price of the press, negative), `flows[t]` what period t brings;
`rate` is a period's. Conventions as in the `numpy-financial` library, which the tests use
as reference.
"""

import numpy as np

from pricelab.errors import NoBreakEven, PricelabError


def npv(rate: float, flows) -> float:
    """Net present value: the sum of flows[t] / (1 + rate)^t.

    >>> round(npv(0.08, [-40_000, 5_000, 8_000, 12_000, 30_000]), 5)
    3065.22267
    """
    flows = _checked(flows)
    if rate <= -1:
        raise PricelabError(f"found a rate of {rate:.0%} a period, expected more than −100 %.")
    return float(flows @ (1 + rate) ** -np.arange(flows.size))


def rates_of_return(flows) -> tuple[float, ...]:
    """Every rate at which the flows are worth nothing today, rising; several, or none, may be.

    >>> [round(rate, 5) for rate in rates_of_return([-100, 39, 59, 55, 20])]
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
    flows = _checked(flows)
    sofar = np.cumsum(flows * (1.0 + rate) ** -np.arange(flows.size))
    if sofar[0] >= 0:
        return 0.0
    paid = np.flatnonzero(sofar >= -1e-9)
    if not paid.size:
        raise NoBreakEven(
            f"after {flows.size - 1} periods {-sofar[-1]:,.2f} is still to be paid back."
        )
    at = int(paid[0])
    return float(at - 1 + -sofar[at - 1] / (sofar[at] - sofar[at - 1]))


def pieces_to_pay(price: float, saved: float, periods: int, rate: float = 0.0) -> float:
    """Pieces a period at which a press of `price` pays in `periods`, saving `saved` a piece.

    The level flow whose present value is the price (an annuity), over the saving a piece.
    """
    if saved <= 0:
        raise NoBreakEven(f"a piece that saves {saved:.2f} never pays for a press.")
    if periods < 1:
        raise PricelabError(f"found {periods} periods, expected 1 or more.")
    factor = periods if rate == 0 else (1 - (1 + rate) ** -periods) / rate
    return price / factor / saved


def _checked(flows) -> np.ndarray:
    flows = np.asarray(flows, float)
    if flows.ndim != 1 or flows.size < 2 or not np.isfinite(flows).all():
        raise PricelabError("expected a price today and what at least one period brings.")
    return flows
