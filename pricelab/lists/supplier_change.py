"""What a supplier's new grid does to a price list: which cells stop holding, and the mend."""

from dataclasses import dataclass, replace

import numpy as np

from pricelab.lists.audit import Audit, audit
from pricelab.lists.basis import list_measure, why_not
from pricelab.shop.errors import NotPossible, PricelabError
from pricelab.shop.grids import Grid
from pricelab.shop.money import round_half_up
from pricelab.shop.price_list import PriceList
from pricelab.shop.shop import Shop


@dataclass(frozen=True, eq=False)
class SupplierChange:
    """A list judged on the old grid and on the new one; arrays of shape (bands, tiers).

    The list is of the sizes that the new grid still has; `lost` pairs every other size of
    it with the reason.
    """

    before: Audit
    after: Audit
    lost: tuple[tuple[float, str], ...]

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


def with_grid(shop: Shop, key: str, grid: Grid) -> Shop:
    """The shop with the grid of a method replaced; refused where it cannot take its place."""
    method = shop.methods[key]
    if method.grid is None:
        raise PricelabError(f"{method.name} buys nothing on a grid, so none can be replaced.")
    changed = replace(method, grid=grid)
    old, new = list_measure(method), list_measure(changed)
    if old != new:
        by_old, by_new = (m.value + (f" ({unit})" if unit else "") for m, unit in (old, new))
        raise PricelabError(
            f"the grid in use goes by {by_old} and the new one by {by_new}, so that today's sizes "
            "mean something else on it. Put the new grid in the shop's folder and plan a new list."
        )
    return replace(shop, methods={**shop.methods, key: changed})


def with_blank_prices(shop: Shop, blank: str, prices: Grid) -> Shop:
    """The shop with the prices of a blank replaced."""
    changed = replace(shop.blanks[blank], prices=prices)
    return replace(shop, blanks={**shop.blanks, blank: changed})


def supplier_change(
    shop: Shop, changed: Shop, price_list: PriceList, weights=None
) -> SupplierChange:
    """Judge a list in the shop as it is and as `changed`.

    Raises `NotPossible` where none of its sizes can be bought any more.
    """
    method, blank = changed.methods[price_list.method], changed.blanks[price_list.blank]
    by = price_list.measure, price_list.unit
    reasons = why_not(method, blank, price_list.sizes, by)
    kept, gone = np.flatnonzero(reasons == ""), np.flatnonzero(reasons)
    if not kept.size:
        raise NotPossible(reasons[0])
    left = price_list.of_sizes(kept)
    return SupplierChange(
        audit(shop, left, weights),
        audit(changed, left, weights),
        tuple((float(price_list.sizes[at]), reasons[at]) for at in gone),
    )


def raised(grid: Grid, share: float, decimals: int) -> Grid:
    """The grid with every price up (or down) by a share, rounded as the supplier prints it."""
    if not -1 < share < float("inf"):
        raise PricelabError(
            f"found a change of prices by {share:.0%}, expected more than −100 %: "
            "a supplier does not pay for taking goods."
        )
    return replace(grid, prices=round_half_up(grid.prices * (1 + share), decimals))
