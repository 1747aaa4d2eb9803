"""A sample order, to see what a change to the shop does to its cost and its price.

The order is the first of its artwork, without any supplier's dated offer. It is priced by
itself, as a list with a tier of its own for it would be: at the target margin, rounded up
by the shop's rule.
"""

from dataclasses import dataclass

import numpy as np

from pricelab.cost.cost_sheet import Why
from pricelab.cost.orders import Order
from pricelab.cost.price import setup_line
from pricelab.lists.basis import Basis
from pricelab.shop.shop import Shop
from pricelab.shop.sizes import Artwork


@dataclass(frozen=True, eq=False)
class Sample:
    """A sample order in one shop, at every quantity up to the shop's largest, and at `quantity`."""

    quantity: int
    basis: Basis

    @classmethod
    def of(cls, shop: Shop, method: str, blank: str, artwork: Artwork, quantity: int) -> "Sample":
        """Cost it; raises `PricelabError` where the shop cannot make it, or not by that method."""
        quantities = np.arange(1, max(shop.largest_order, quantity) + 1)
        known = shop.blank(blank), shop.method(method)
        order = Order.of(known[0], quantities, known[1], artwork)
        return cls(quantity, Basis.of(shop, order, np.ones(1)))

    @property
    def quantities(self) -> np.ndarray:
        """Every quantity that was costed, from 1."""
        return self.basis.quantities

    @property
    def each(self) -> np.ndarray:
        """Full cost a piece, the set-up of the artwork included, by quantity."""
        return self.basis.sheet.full / self.quantities

    @property
    def cost(self) -> float:
        """Full cost a piece at the order's own quantity."""
        return float(self.each[self.quantity - 1])

    @property
    def price(self) -> float:
        """The price a piece, as shown, that leaves the target margin at the order's quantity."""
        rules = self.basis.shop.pricing
        net = self.basis.price_for(rules.target)[self.quantity - 1]
        return float(rules.asked(net))

    @property
    def setup(self) -> float | None:
        """The line for set-up beside that price; None where the pieces carry it."""
        return setup_line(self.basis.shop, self.basis.method, self.basis.design_cost)

    @property
    def lines(self) -> tuple[Why, ...]:
        """The whole order's costs, line by line."""
        return self.basis.sheet.at(self.quantity - 1).why()
