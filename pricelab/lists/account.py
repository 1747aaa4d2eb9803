"""The account of one cell of a price list: what it takes in, on what it goes, what is left."""

from dataclasses import dataclass

import numpy as np

from pricelab.cost.cost_sheet import Why
from pricelab.lists.audit import Audit
from pricelab.shop.charges import Level


@dataclass(frozen=True)
class Account:
    """An order at a cell's price: money of the whole order, before sales tax.

    `revenue` is the pieces at `each` and, where it is charged, the line for `setup`.
    `lines` are the costs that are borne, adding up to `cost`; `fees` hang on the money
    taken; `profit` is the revenue less both.
    """

    quantity: int
    each: float
    revenue: float
    lines: tuple[Why, ...]
    cost: float
    fees: float
    profit: float
    setup: float = 0.0

    @property
    def margin(self) -> float:
        """What is left, as a share of the revenue."""
        return self.profit / self.revenue


def account_of(judged: Audit, band: int, tier: int) -> Account:
    """The account of a cell at the quantity of its tier that earns least."""
    basis, listed = judged.basis, judged.price_list
    quantity = int(judged.worst_quantity[band, tier])
    at = (band, int(np.searchsorted(basis.quantities, quantity)))
    lines = basis.sheet.at(*at).why()
    if basis.shop.pricing.setup_apart:  # due on a line of its own, which the cell does not bear
        lines = tuple(line for line in lines if line.level is not Level.DESIGN)
    each = float(listed.net[band, tier])
    revenue, cost = each * quantity, float(basis.cost[at])
    fees = float(basis.fees.on(revenue))
    return Account(quantity, each, revenue, lines, cost, fees, revenue - cost - fees)
