"""How many of an evergreen design to buy at a time: order quantity under quantity discounts.

Harris's economic order quantity with a supplier's breaks, as in Snyder & Shen, *Fundamentals
of Supply Chain Theory*, §3.4: yearly cost = purchases + orders + holding at a share of price.
"""

from dataclasses import dataclass

import numpy as np

from pricelab.shop.errors import PricelabError


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
    return _cheapest(
        [
            _year(q, p, demand, order_cost, holding)
            for q, p in zip(candidates, prices[inside], strict=True)
        ]
    )


def incremental(breaks, prices, demand: float, order_cost: float, holding: float) -> Stocking:
    """The best quantity when only the units beyond a break take its price (the first: all).

    >>> best = incremental([0, 400, 800], [0.75, 0.72, 0.68], 1300, 8, 0.3)
    >>> round(best.quantity, 4), round(best.cost, 4)
    (304.0468, 1043.4105)
    """
    breaks, prices = _checked(breaks, prices, demand, order_cost, holding)
    breaks, paid_before = _paid_before(breaks, prices)
    economic = np.sqrt(2 * (order_cost + paid_before) * demand / (holding * prices))
    inside = (economic >= breaks) & (economic < np.append(breaks[1:], np.inf))
    found = []
    for quantity, price, extra in zip(
        economic[inside], prices[inside], paid_before[inside], strict=True
    ):
        unit = price + extra / quantity
        found.append(_year(quantity, unit, demand, order_cost, holding))
    return _cheapest(found)


def whole_pieces(
    breaks,
    prices,
    demand: float,
    order_cost: float,
    holding: float,
    *,
    pack: int = 1,
    by_increments: bool = False,
) -> Stocking:
    """The best order of whole packs, from the supplier's minimum (the first break) on.

    Every order up to the last one worth looking at is costed; of equals the smallest counts.

    >>> whole_pieces([1, 400, 800], [0.75, 0.72, 0.68], 1300, 8, 0.3, pack=12).quantity
    804.0
    """
    breaks, prices = _checked(breaks, prices, demand, order_cost, holding)
    paid = order_cost + (_paid_before(breaks, prices)[1][-1] if by_increments else 0.0)
    most = max(breaks[-1], np.sqrt(2 * paid * demand / (holding * prices[-1]))) + pack
    least = max(breaks[0], 1.0)
    packs = np.arange(np.ceil(least / pack), np.ceil(most / pack) + 1) * pack
    units = _unit_prices(breaks, prices, packs, by_increments)
    at = int(np.argmin(np.round(_costs(packs, units, demand, order_cost, holding), 9)))
    return _year(packs[at], units[at], demand, order_cost, holding)


def year_costs(
    breaks,
    prices,
    demand: float,
    order_cost: float,
    holding: float,
    quantities,
    *,
    by_increments: bool = False,
):
    """What a year costs with orders of each of `quantities` (n,): the curve behind the best."""
    breaks, prices = _checked(breaks, prices, demand, order_cost, holding)
    quantities = np.asarray(quantities, float)
    units = _unit_prices(breaks, prices, quantities, by_increments)
    return _costs(quantities, units, demand, order_cost, holding)


def _paid_before(breaks, prices):
    """Breaks from 0 on, and what an order pays over its last unit price times its quantity."""
    breaks = np.append(0.0, breaks[1:])
    steps = np.diff(breaks) * prices[:-1]
    return breaks, np.append(0.0, np.cumsum(steps)) - prices * breaks


def _unit_prices(breaks, prices, quantities, by_increments: bool):
    tier = np.searchsorted(breaks[1:], quantities, "right")
    if not by_increments:
        return prices[tier]
    return prices[tier] + _paid_before(breaks, prices)[1][tier] / quantities


def _costs(quantity, unit, demand, order_cost, holding):
    return unit * demand + order_cost * demand / quantity + holding * unit * quantity / 2


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
