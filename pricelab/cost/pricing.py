"""From cost to price and back: margin, markup, fees, and what an order leaves.

margin = (price − full cost − fees) / price; markup = (price − cost) / cost (the usual
definitions of managerial accounting). Costs, prices and fixed fees may be a piece's or an
order's, as long as all of them are. Prices are before sales tax.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from pricelab.cost.cost_sheet import CostSheet
from pricelab.shop.errors import NoPrice, PricelabError
from pricelab.shop.figures import percent
from pricelab.shop.shop import Charge, Level, Method, Shop
from pricelab.shop.spoilage import check_share


@dataclass(frozen=True)
class Fees:
    """Revenue-level costs: a `share` of the money taken, and a `fixed` sum an order."""

    share: float = 0.0
    fixed: float = 0.0

    def __post_init__(self):
        check_share(self.share, "fees")
        if not 0 <= self.fixed < float("inf"):
            raise PricelabError(f"found a fixed fee of {self.fixed:g}, expected 0 or more.")

    @classmethod
    def of(cls, charges: Iterable[Charge]) -> "Fees":
        """The revenue-level charges of a list, added up."""
        taken = [charge for charge in charges if charge.level is Level.REVENUE]
        return cls(sum(c.share for c in taken), sum(c.amount for c in taken))

    @classmethod
    def due(cls, shop: Shop, *methods: Method) -> "Fees":
        """The fees on an order: the shop's own and those of the methods in it."""
        return cls.of([*shop.charges, *(c for method in methods for c in method.charges)])

    def on(self, revenue, orders=1):
        """Fees due on money taken in so many orders (1, or 1 / quantity for a piece's share)."""
        return self.share * revenue + self.fixed * orders


NO_FEES = Fees()


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


def price_for_markup(cost, markup: float):
    """The price that adds `markup` to the cost, same shape: cost × (1 + markup)."""
    return np.asarray(cost)[()] * (1 + markup)


def margin_at(price, cost, fees: Fees = NO_FEES, orders=1):
    """The margin a price leaves, broadcast: (price − cost − fees) / price."""
    price = np.asarray(price)[()]
    return (price - cost - fees.on(price, orders)) / price


def markup_at(price, cost):
    """The markup a price stands for, broadcast: (price − cost) / cost."""
    return (price - np.asarray(cost)[()]) / cost


def margin_of_markup(markup):
    """The margin that a markup stands for, without fees: 25 % on cost is 20 % of price."""
    return markup / (1 + np.asarray(markup)[()])


def markup_of_margin(margin):
    """The markup that a margin stands for, without fees: 60 % of price is 150 % on cost."""
    return margin / (1 - np.asarray(margin)[()])


@dataclass(frozen=True, eq=False)
class Earnings:
    """What an order leaves: all money for the whole order, before sales tax; minutes by who."""

    revenue: np.ndarray
    fees: np.ndarray
    full_cost: np.ndarray
    variable_cost: np.ndarray
    bottleneck: np.ndarray

    @property
    def profit(self):
        """Revenue less fees and full cost."""
        return self.revenue - self.fees - self.full_cost

    @property
    def margin(self):
        """Profit as a share of revenue."""
        return self.profit / self.revenue

    @property
    def contribution(self):
        """Revenue less everything that moves with the order (overhead recovered does not)."""
        return self.revenue - self.fees - self.variable_cost

    @property
    def profit_per_hour(self):
        """Profit for each hour of the bottleneck."""
        return self.profit / self._hours

    @property
    def contribution_per_hour(self):
        """Contribution for each hour of the bottleneck: what ranks work when hours are scarce."""
        return self.contribution / self._hours

    @property
    def _hours(self):
        if (np.asarray(self.bottleneck) <= 0).any():
            raise PricelabError("nothing is earned by the hour in work that takes no minutes.")
        return self.bottleneck / 60


def earnings(sheet: CostSheet, revenue, fees: Fees = NO_FEES) -> Earnings:
    """What `revenue` (money of the whole order, before tax) leaves of an order costed so."""
    return Earnings(revenue, fees.on(revenue), sheet.full, sheet.variable, sheet.bottleneck)
