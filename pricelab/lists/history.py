"""What past orders tell a price list: how often each quantity is ordered."""

import numpy as np

from pricelab.shop.checks import check_quantity


def order_weights(quantities_sold, first: int, last: int) -> np.ndarray:
    """How many of the past orders were of each quantity from `first` to `last`, shape (n,).

    Orders of other quantities do not count.

    >>> order_weights([12, 24, 24, 900], 12, 24).tolist()
    [1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 2]
    """
    sold = check_quantity(np.asarray(quantities_sold, np.int64))
    inside = sold[(sold >= first) & (sold <= last)]
    return np.bincount(inside - first, minlength=last - first + 1)
