"""What an order leaves of the money taken: profit, margin, contribution."""

from dataclasses import dataclass

import numpy as np

from pricelab.cost.cost_sheet import CostSheet
from pricelab.cost.fees import NO_FEES, Fees
from pricelab.shop.errors import PricelabError


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
        if (np.asarray(self.bottleneck) <= 0).any():
            raise PricelabError("nothing is earned by the hour in work that takes no minutes.")
        return self.profit / (self.bottleneck / 60)


def earnings(sheet: CostSheet, revenue, fees: Fees = NO_FEES) -> Earnings:
    """What `revenue` (money of the whole order, before tax) leaves of an order costed so."""
    return Earnings(revenue, fees.on(revenue), sheet.full, sheet.variable, sheet.bottleneck)
