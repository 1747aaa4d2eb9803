"""What an order is charged: piece price, set-up line, tax and total, rounded as money is.

Set-up can stand as a line of its own or be spread over the pieces; both give the same
order total, since spreading only shows the same money another way.
"""

from dataclasses import dataclass

import numpy as np

from pricelab.shop.grids import check_quantity
from pricelab.shop.money import round_half_up
from pricelab.shop.shop import Tax


@dataclass(frozen=True, eq=False)
class Charged:
    """An order as charged: shown amounts (with tax where `tax.included`), any shape.

    `each` is the price a piece; `pieces` and `setup` the line totals, `total` their sum as
    shown; `tax_due` the sales tax in it or on top, `payable` what the client pays in all.
    """

    quantity: np.ndarray
    each: np.ndarray
    pieces: np.ndarray
    setup: np.ndarray
    total: np.ndarray
    tax_due: np.ndarray
    payable: np.ndarray


def charge_order(quantity, each, setup, tax: Tax, decimals: int = 2, *, apart: bool = True):
    """Charge `quantity` pieces at `each` and a set-up of `setup` (shown prices), broadcast.

    With `apart` False the set-up is spread: the pieces carry the whole total and `each`
    is that total a piece, rounded for the eye.

    >>> order = charge_order(24, 7.35, 40, Tax(), apart=False)
    >>> float(order.total), float(order.each)
    (216.4, 9.02)
    """
    quantity = check_quantity(quantity)
    each = round_half_up(each, decimals)
    pieces = round_half_up(each * quantity, decimals)
    setup = round_half_up(setup, decimals)
    total = round_half_up(pieces + setup, decimals)
    if not apart:
        each, pieces = round_half_up(total / quantity, decimals), total
        setup = np.zeros_like(setup)[()]
    if tax.included:
        due = round_half_up(total * tax.rate / (1 + tax.rate), decimals)
        return Charged(quantity, each, pieces, setup, total, due, total)
    due = round_half_up(total * tax.rate, decimals)
    return Charged(quantity, each, pieces, setup, total, due, round_half_up(total + due, decimals))
