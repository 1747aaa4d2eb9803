"""How many of an evergreen design to buy at a time: order quantity under quantity discounts.

Harris's economic order quantity with a supplier's breaks, as in Snyder & Shen, *Fundamentals
of Supply Chain Theory*, §3.4: yearly cost = purchases + orders + holding at a share of price.
"""

from dataclasses import dataclass

import numpy as np

from pricelab.errors import PricelabError


@dataclass(frozen=True)
class Stocking:
    """An order quantity and what a year with it costs, in all and by its parts."""

    quantity: float
    cost: float
    purchases: float
    orders: float
    holding: float


def all_units(breaks, prices, demand: float, order_cost: float, holding: float) -> Stocking:
    """The best quantity when all units take the price of the break reached.

    `breaks` and `prices` have shape (n,); `demand` pieces a year; `order_cost` money an
    order; `holding` the yearly share of the price that stock costs.

    >>> best = all_units([1, 400, 800], [0.75, 0.72, 0.68], 1300, 8, 0.3)
    >>> best.quantity, round(best.cost, 2)
    (800.0, 978.6)
    """
    breaks, prices = _checked(breaks, prices, demand, order_cost, holding)
    economic = np.sqrt(2 * order_cost * demand / (holding * prices))
    inside = economic < np.append(breaks[1:], np.inf)
    candidates = np.maximum(economic, breaks)[inside]
    return _cheapest([_year(q, p, demand, order_cost, holding) for q, p in
                      zip(candidates, prices[inside], strict=True)])  # fmt: skip


def incremental(breaks, prices, demand: float, order_cost: float, holding: float) -> Stocking:
    """The best quantity when only the units beyond a break take its price.

    >>> best = incremental([0, 400, 800], [0.75, 0.72, 0.68], 1300, 8, 0.3)
    >>> round(best.quantity, 4), round(best.cost, 4)
    (304.0468, 1043.4105)
    """
    breaks, prices = _checked(breaks, prices, demand, order_cost, holding)
    steps = np.diff(breaks) * prices[:-1]
    paid_before = np.append(0.0, np.cumsum(steps)) - prices * breaks
    economic = np.sqrt(2 * (order_cost + paid_before) * demand / (holding * prices))
    inside = (economic >= breaks) & (economic < np.append(breaks[1:], np.inf))
    found = []
    for quantity, price, extra in zip(
        economic[inside], prices[inside], paid_before[inside], strict=True
    ):
        unit = price + extra / quantity
        found.append(_year(quantity, unit, demand, order_cost, holding))
    return _cheapest(found)


def _year(quantity, unit, demand, order_cost, holding) -> Stocking:
    purchases, orders = unit * demand, order_cost * demand / quantity
    held = holding * unit * quantity / 2
    parts = map(float, (quantity, purchases + orders + held, purchases, orders, held))
    return Stocking(*parts)


def _cheapest(found: list[Stocking]) -> Stocking:
    return min(found, key=lambda stocking: (round(stocking.cost, 9), stocking.quantity))


def _checked(breaks, prices, demand, order_cost, holding):
    breaks, prices = np.asarray(breaks, float), np.asarray(prices, float)
    if breaks.shape != prices.shape or breaks.ndim != 1 or not breaks.size:
        raise PricelabError("expected a price for each quantity break.")
    if (np.diff(breaks) <= 0).any() or not (prices > 0).all():
        raise PricelabError("expected breaks that rise and prices above 0.")
    if demand <= 0:
        raise PricelabError(f"found a demand of {demand:g} a year: nothing to stock.")
    if order_cost <= 0 or holding <= 0:
        raise PricelabError("expected an order cost and a holding share above 0.")
    return breaks, prices
