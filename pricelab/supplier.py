"""What a supplier's new grid does to a price list: which cells stop holding, and the mend."""

from dataclasses import dataclass, replace

import numpy as np

from pricelab.audit import Audit, audit
from pricelab.grids import Grid
from pricelab.pricelist import PriceList
from pricelab.shop import Shop


@dataclass(frozen=True, eq=False)
class SupplierChange:
    """A list judged on the old grid and on the new one; arrays of shape (bands, tiers)."""

    before: Audit
    after: Audit

    @property
    def stops_holding(self) -> np.ndarray:
        """Cells that held and do not any more."""
        return self.before.holding & ~self.after.holding

    @property
    def margin_change(self) -> np.ndarray:
        """By how much the margin at each cell's worst quantity moves (a fraction)."""
        return self.after.worst_margin - self.before.worst_margin

    @property
    def instead(self) -> np.ndarray:
        """What to charge: today's price where the cell still holds, else the price that does."""
        today = self.after.price_list.prices
        return np.where(self.after.holding, today, self.after.instead)


def with_grid(shop: Shop, method: str, grid: Grid) -> Shop:
    """The shop with a method's grid replaced."""
    changed = replace(shop.methods[method], grid=grid)
    return replace(shop, methods={**shop.methods, method: changed})


def supplier_change(shop: Shop, price_list: PriceList, grid: Grid, weights=None) -> SupplierChange:
    """Judge a list before and after its method's grid gives way to `grid`."""
    changed = with_grid(shop, price_list.method, grid)
    return SupplierChange(audit(shop, price_list, weights), audit(changed, price_list, weights))
