"""What one piece costs by each method of the shop, or why the method cannot do it."""

from dataclasses import dataclass

import numpy as np

from pricelab.cost.cost_sheet import CostSheet
from pricelab.cost.costing import cost_sheet
from pricelab.cost.orders import Order
from pricelab.shop.blank import Blank
from pricelab.shop.errors import PricelabError
from pricelab.shop.method import Method
from pricelab.shop.shop import Shop
from pricelab.shop.sizes import Artwork


@dataclass(frozen=True, eq=False)
class MethodCost:
    """A method's cost sheet of a first order at every quantity, or `why_not`."""

    method: Method
    sheet: CostSheet | None
    why_not: str = ""

    @property
    def each(self) -> np.ndarray | None:
        """Full cost a piece, set-up of the artwork included, by quantity."""
        return None if self.sheet is None else self.sheet.full / self.sheet.quantity


def method_costs(shop: Shop, blank: Blank, artwork: Artwork, quantities) -> tuple[MethodCost, ...]:
    """The cost of one artwork on one blank by every method, in the shop's order."""
    return tuple(
        _cost(shop, Order.of(blank, quantities, method, artwork), method)
        for method in shop.methods.values()
    )


def _cost(shop: Shop, order: Order, method: Method) -> MethodCost:
    try:
        return MethodCost(method, cost_sheet(shop, order))
    except PricelabError as error:  # too large, too hot, or a figure that the method lacks
        return MethodCost(method, None, str(error))
