"""The quantity that a tier is usually ordered in, by the orders of the past."""

import numpy as np

from pricelab.cost.job_orders import by_artwork
from pricelab.shop.business import Business
from pricelab.shop.checks import check_quantity
from pricelab.shop.errors import PricelabError
from pricelab.shop.method import Method
from pricelab.shop.price_list import PriceList


def typical_quantities(starts, last: int, weights=None) -> np.ndarray:
    """The quantity each tier is usually ordered in: the weighted median, shape (tiers,).

    `weights[i]` counts the orders of quantity ``starts[0] + i``, up to `last`; a tier
    without orders is judged at its first quantity.
    """
    starts = np.asarray(starts)
    if weights is None:
        return starts.copy()
    count = int(last - starts[0] + 1)
    if len(weights) != count:
        raise PricelabError(
            f"found {len(weights)} weights for the quantities {starts[0]} to {last}, "
            f"expected {count}, one for each."
        )
    ordered = [np.cumsum(tier) for tier in np.split(np.asarray(weights), starts[1:] - starts[0])]
    return starts + [np.searchsorted(sofar, sofar[-1] / 2) for sofar in ordered]


def order_weights(quantities_sold, first: int, last: int) -> np.ndarray:
    """How many of the past orders were of each quantity from `first` to `last`, shape (n,).

    Orders of other quantities do not count.

    >>> order_weights([12, 24, 24, 900], 12, 24).tolist()
    [1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 2]
    """
    sold = check_quantity(np.asarray(quantities_sold, np.int64))
    inside = sold[(sold >= first) & (sold <= last)]
    return np.bincount(inside - first, minlength=last - first + 1)


def quantities_sold(business: Business, method: Method) -> np.ndarray:
    """Quantities of the finished jobs by the method; of all jobs where it had none.

    A job on several blanks is of all its pieces with the artwork: they share the tier.
    """
    jobs = by_artwork(business.jobs)
    own = jobs[jobs["method"] == method.key]
    return (own if len(own) else jobs)["quantity"].to_numpy(np.int64)


def weights_between(business: Business, method: Method, first: int, last: int) -> np.ndarray | None:
    """How often each quantity from `first` to `last` was ordered; None without finished jobs."""
    sold = quantities_sold(business, method)
    return order_weights(sold, first, last) if sold.size else None


def weights_of(business: Business, price_list: PriceList) -> np.ndarray | None:
    """How often each quantity of a list was ordered; None without finished jobs."""
    method = business.shop.methods[price_list.method]
    return weights_between(business, method, int(price_list.starts[0]), price_list.last)
