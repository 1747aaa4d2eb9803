"""Spoiled pieces: what they are expected to cost, and how many whole pieces to buy."""

from bisect import bisect_left

import numpy as np

from pricelab.shop.checks import check_quantity, check_service_level, check_share

_LAST_DIGITS = 1e-12
"""Chances that differ by less are the same: a tail's last digits are not exact."""


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
    check_service_level(service_level)
    each = [_fewest(int(q), spoilage, service_level) for q in quantity.flat]
    return np.array(each).reshape(quantity.shape)[()]


def _fewest(good: int, spoilage: float, service_level: float) -> int:
    """The least number beyond the good ones that is enough, by the exact binomial tail."""
    from scipy.stats import binom

    def enough(extra: int) -> bool:
        return binom.sf(good - 1, good + extra, 1 - spoilage) >= service_level - _LAST_DIGITS

    most = 1
    while not enough(most):
        most *= 2
    return good + bisect_left(range(most), True, key=enough)
