"""From cost to price: the price for a margin, the set-up line, and what an order is charged.

margin = (price − full cost − fees) / price (the usual definition of managerial accounting).
Costs, prices and fixed fees may be a piece's or an order's, as long as all of them are.
Prices are before sales tax, but for what is shown or charged.
"""

from dataclasses import dataclass

import numpy as np

from pricelab.cost.fees import NO_FEES, Fees
from pricelab.shop.checks import check_quantity
from pricelab.shop.errors import NoPrice
from pricelab.shop.figures import percent
from pricelab.shop.method import Method
from pricelab.shop.money import round_half_up
from pricelab.shop.pricing_rules import Tax
from pricelab.shop.shop import Shop


def price_for_margin(cost, margin: float, fees: Fees = NO_FEES, orders=1):
    """The price that leaves `margin`: (cost + F) / (1 − f − m), same shape as `cost`.

    Give `orders` = 1 / quantity where `cost` is a piece's, so that a fee charged once an
    order is shared by its pieces. Raises `NoPrice` when f + m ≥ 1.

    >>> float(price_for_margin(60, 0.4)), float(price_for_margin(9.7, 0.4, Fees(0.03, 0.3)))
    (100.0, 17.54385964912281)
    """
    left = 1 - fees.share - margin
    if left < 1e-12:
        raise NoPrice(
            f"no price leaves a margin of {percent(margin)} after fees of {percent(fees.share)}: "
            "together they take the whole price. Ask for a smaller margin."
        )
    return (np.asarray(cost) + fees.fixed * orders)[()] / left


def margin_at(price, cost, fees: Fees = NO_FEES, orders=1):
    """The margin a price leaves, broadcast: (price − cost − fees) / price."""
    price = np.asarray(price)[()]
    return (price - cost - fees.on(price, orders)) / price


def setup_line(shop: Shop, method: Method, due: float) -> float | None:
    """The shown price, at the target margin, of the set-up line for what is `due` once.

    None where set-up is spread over the pieces instead.
    """
    rules = shop.pricing
    if not rules.setup_apart:
        return None
    if not due:
        return 0.0  # nothing is due: not rounded up to an ending such as 0.95
    price = price_for_margin(due, rules.target, Fees(Fees.due(shop, method).share))
    return float(rules.asked(price))


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
