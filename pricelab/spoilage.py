"""Spoiled pieces: what they are expected to cost, and how many whole pieces to buy."""

from statistics import NormalDist

import numpy as np

from pricelab.errors import PricelabError
from pricelab.grids import check_quantity


def check_share(share: float, what: str) -> float:
    """`share` as a fraction from 0 to under 1, or an error naming `what`."""
    if not 0 <= share < 1:
        raise PricelabError(f"found {what} of {share:g}, expected a share from 0 to under 1.")
    return share


def extra_share(*spoilage: float) -> float:
    """Pieces started beyond the good ones, for each good piece, over operations in a row.

    With one operation p / (1 − p); with several the yields multiply, each operation
    being given what the one before it lets through (the sequential scrap rule of
    Tompkins, *Facilities Planning*).

    >>> round(97_000 * (1 + extra_share(0.04, 0.01, 0.03)))
    105219
    """
    yields = 1.0
    for share in spoilage:
        yields *= 1 - check_share(share, "spoilage")
    return 1 / yields - 1


def pieces_to_buy(quantity, spoilage: float, service_level: float):
    """The fewest n with P(Binomial(n, 1 − spoilage) ≥ quantity) ≥ `service_level`, same shape.

    >>> int(pieces_to_buy(24, 0.03, 0.95))
    26
    """
    quantity = check_quantity(quantity)
    check_share(spoilage, "spoilage")
    if not 0 < service_level < 1:
        raise PricelabError(
            f"found a service level of {service_level:g}, expected a share between 0 and 1."
        )
    if spoilage == 0:
        return quantity
    each = [_fewest(int(q), spoilage, service_level) for q in quantity.reshape(-1)]
    return np.array(each, np.int64).reshape(quantity.shape)[()]


def _fewest(good: int, spoilage: float, service_level: float) -> int:
    """Search upward from below the normal approximation, on the exact binomial tail."""
    from scipy.stats import binom

    spread = (good * spoilage) ** 0.5 / (1 - spoilage)
    guess = good / (1 - spoilage) + NormalDist().inv_cdf(service_level) * spread
    low, high = good, max(good + 1, int(guess) + 2)
    while binom.sf(good - 1, high, 1 - spoilage) < service_level:
        low, high = high, 2 * high
    while low < high:
        middle = (low + high) // 2
        if binom.sf(good - 1, middle, 1 - spoilage) >= service_level:
            high = middle
        else:
            low = middle + 1
    return low
