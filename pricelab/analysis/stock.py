"""How many of an evergreen design to buy at a time: order quantity under quantity discounts.

Harris's economic order quantity with a supplier's breaks, as in Snyder & Shen, *Fundamentals
of Supply Chain Theory*, §3.4: yearly cost = purchases + orders + holding at a share of price.
"""

from dataclasses import dataclass

import numpy as np

from pricelab.shop.errors import PricelabError


@dataclass(frozen=True, eq=False)
class Stocking:
    """What a year costs with orders of a `quantity`, by its parts: one, or arrays of one shape."""

    quantity: np.ndarray
    purchases: np.ndarray
    orders: np.ndarray
    holding: np.ndarray

    @property
    def cost(self):
        """What the year costs in all."""
        return self.purchases + self.orders + self.holding


@dataclass(frozen=True, eq=False)
class Stock:
    """A thing kept in stock, bought at `prices` a piece from `breaks` on, both of shape (n,).

    `demand` pieces a year; `order_cost` money an order; `holding` the yearly share of the
    price that stock costs. All units of an order take the price of the break it reaches, or,
    with `by_increments`, only those beyond it (up to the second break: the first price).

    >>> best = Stock([1, 400, 800], [0.75, 0.72, 0.68], 1300, 8, 0.3).best()
    >>> float(best.quantity), round(float(best.cost), 2)
    (800.0, 978.6)
    """

    breaks: np.ndarray
    prices: np.ndarray
    demand: float
    order_cost: float
    holding: float
    by_increments: bool = False

    def __post_init__(self):
        breaks, prices = np.asarray(self.breaks, float), np.asarray(self.prices, float)
        object.__setattr__(self, "breaks", breaks)
        object.__setattr__(self, "prices", prices)
        if breaks.shape != prices.shape or breaks.ndim != 1 or not breaks.size:
            raise PricelabError("expected a price for each quantity break.")
        if (np.diff(breaks) <= 0).any() or not (prices > 0).all():
            raise PricelabError("expected breaks that rise and prices above 0.")
        if self.demand <= 0:
            raise PricelabError(f"found a demand of {self.demand:g} a year: nothing to stock.")
        if self.order_cost <= 0 or self.holding <= 0:
            raise PricelabError("expected an order cost and a holding share above 0.")

    @property
    def _paid_beyond(self) -> np.ndarray:
        """What an order pays beyond its last unit price times its quantity, by tier."""
        if not self.by_increments:
            return np.zeros(self.prices.size)
        starts = np.append(0.0, self.breaks[1:])
        return np.append(0.0, np.cumsum(np.diff(starts) * self.prices[:-1])) - self.prices * starts

    @property
    def order_quantities(self) -> np.ndarray:
        """The economic order quantity √(2 K D / h) at each price, wherever its tier is: (n,).

        What an order pays beyond its unit price counts as a cost of ordering.
        """
        paid = np.maximum(self.order_cost + self._paid_beyond, 0.0)
        return np.sqrt(2 * paid * self.demand / (self.holding * self.prices))

    def year(self, quantity) -> Stocking:
        """What a year costs with orders of each `quantity`, of any shape."""
        quantity = np.asarray(quantity, float)[()]
        tier = np.searchsorted(self.breaks[1:], quantity, "right")
        unit = self.prices[tier] + self._paid_beyond[tier] / quantity
        orders = self.order_cost * self.demand / quantity
        return Stocking(quantity, unit * self.demand, orders, self.holding * unit * quantity / 2)

    def best(self) -> Stocking:
        """The order that a year costs least with, not rounded to whole pieces."""
        starts, ends = self.breaks, np.append(self.breaks[1:], np.inf)
        economic = self.order_quantities
        if self.by_increments:
            starts = np.append(0.0, starts[1:])
            candidates = np.clip(economic, starts, ends)
            candidates = candidates[candidates > 0]
        else:
            candidates = np.maximum(economic, starts)[economic < ends]
        return self._cheapest(candidates)

    def best_packs(self, pack: int = 1) -> Stocking:
        """The best order of whole packs, from the supplier's minimum (the first break) on.

        Every order up to the last one worth looking at is costed; of equals the smallest counts.

        >>> print(Stock([1, 400, 800], [0.75, 0.72, 0.68], 1300, 8, 0.3).best_packs(12).quantity)
        804.0
        """
        least = max(self.breaks[0], 1.0)
        most = max(self.breaks[-1], self.order_quantities[-1]) + pack
        return self._cheapest(np.arange(np.ceil(least / pack), np.ceil(most / pack) + 1) * pack)

    def _cheapest(self, quantities: np.ndarray) -> Stocking:
        """Of rising quantities the one with the least cost; of equals the smallest."""
        quantities = np.sort(quantities)
        return self.year(quantities[np.argmin(np.round(self.year(quantities).cost, 9))])
