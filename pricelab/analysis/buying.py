"""What to buy for an order: whole pieces, enough of them to be sure, as the suppliers sell them."""

from dataclasses import dataclass, replace

import numpy as np

from pricelab.cost.costing import cost_sheet
from pricelab.cost.orders import Order
from pricelab.cost.spoilage import extra_share, pieces_to_buy
from pricelab.shop.errors import PricelabError
from pricelab.shop.grids import Grid
from pricelab.shop.shop import Shop
from pricelab.shop.sizes import Measure, size_of


@dataclass(frozen=True)
class ToBuy:
    """One thing to buy for an order.

    `good` pieces are wanted and `pieces` bought to be sure of them; `billed` are paid for, by
    the supplier's minimum and packs (what is beyond `pieces` is left over). `up_to` is the
    later break's quantity that would cost `saving` less, 0 where none would; `saved` is what
    a later break that was bought has saved.
    """

    name: str
    good: int
    pieces: int
    billed: int
    unit_price: float
    amount: float
    up_to: int
    saving: float
    saved: float = 0.0

    @property
    def spare(self) -> int:
        """Pieces paid for beyond what it takes to be sure."""
        return self.billed - self.pieces


def buying_list(shop: Shop, order: Order) -> tuple[ToBuy, ...]:
    """What to buy for one order of numbers, at the shop's service level.

    Every blank and every bought-in decoration; pieces are spoiled by the decorations they
    still have to pass, as in costing; later breaks are bought as the order says, else as the
    shop does. Raises `NotPossible` where the order cannot be made.
    """
    if cost_sheet(shop, order).shape:
        raise PricelabError("expected one order of one size and quantity to buy for.")
    if order.order_up is not None:
        shop = replace(shop, order_up=order.order_up)
    spoilage = [decoration.method.spoilage for decoration in order.decorations]
    found = [
        _bought(shop, blank.prices, 0.0, int(quantity), spoilage, blank.name)
        for blank, quantity in order.pieces
    ]
    for at, decoration in enumerate(order.decorations):
        grid = decoration.method.grid
        if grid is None:
            continue
        size, times = size_of(decoration.counted, grid.measure, grid.unit), 1.0
        if grid.by_thousand:
            times = float(size_of(decoration.counted, Measure.THOUSAND_STITCHES, None))
        quantity = int(order.quantity)
        name = decoration.method.name
        found.append(_bought(shop, grid, size, quantity, spoilage[at:], name, times))
    return tuple(found)


def _bought(shop, grid: Grid, size, good: int, spoilage, name: str, times=1.0) -> ToBuy:
    lost = 1 - 1 / (1 + extra_share(*spoilage))
    pieces = int(pieces_to_buy(good, lost, shop.service_level))
    bought = grid.buy(size, pieces, order_up=shop.order_up)
    saved = grid.buy(size, pieces).amount - bought.amount
    up_to, saving = (0, 0.0) if shop.order_up else grid.order_up(size, pieces)
    return ToBuy(
        name,
        good,
        pieces,
        int(bought.billed),
        float(bought.unit_price * times),
        float(bought.amount * times),
        int(up_to),
        float(np.asarray(saving) * times),
        float(saved * times),
    )
