"""What can be wrong with a cell of a price list, and where it was found."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

import numpy as np

from pricelab.shop.price_list import PriceList


class Trouble(Enum):
    """What can be wrong with a cell, worst first."""

    BELOW_COST = "below cost"
    BELOW_FLOOR = "below floor"
    UNDER_TARGET = "under target"
    RISES = "rises with quantity"
    SMALLER_DEARER = "larger size costs less"
    BETTER_OFF = "buying more costs less"


LOSING = (Trouble.BELOW_COST, Trouble.BELOW_FLOOR, Trouble.UNDER_TARGET)
"""Troubles that keep a cell from holding."""


@dataclass(frozen=True)
class Finding:
    """One trouble of one cell.

    `quantity` is the worst quantity (or the first of a better-off range that ends at
    `until`), `margin` the margin there; `price` what the list shows and `instead` the
    price that mends it. For a better-off range `buy` is the quantity that costs no more.
    """

    trouble: Trouble
    band: int
    tier: int
    quantity: int
    price: float
    margin: float | None = None
    until: int | None = None
    buy: int | None = None
    instead: float | None = None


def findings(
    trouble: Trouble, price_list: PriceList, where: np.ndarray, quantity, **figures
) -> Iterator[Finding]:
    """A finding for every cell `where` there is one; figures broadcast to (bands, tiers)."""
    figures |= {"quantity": quantity, "price": price_list.prices}
    for at in np.argwhere(where):
        here = {name: np.broadcast_to(x, where.shape)[*at].item() for name, x in figures.items()}
        yield Finding(trouble, *at.tolist(), **{**here, "quantity": int(here["quantity"])})
