"""Comparing methods on one blank: what each charges, costs and leaves, over sizes and quantities.

Every method is priced off its own list, as a client is. Where it cannot be made, bought or
found on the list it has no figures, only the reason.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pricelab.costing import cost_sheet
from pricelab.costsheet import CostSheet
from pricelab.errors import PricelabError
from pricelab.grids import check_quantity
from pricelab.orders import Decoration, Order, obstacles
from pricelab.pricelist import PriceList
from pricelab.pricing import Earnings, Fees, earnings, without_tax
from pricelab.quoting import Charged, charge_order
from pricelab.shop import Shop
from pricelab.sizes import Artwork, size_of


@dataclass(frozen=True, eq=False)
class Sale:
    """Orders sold off a list: artworks down, quantities across, only those that are possible.

    `reasons` says of every artwork asked for why it is not possible ('' where it is);
    `sizes` and `quantities` index the artworks and quantities that the figures are of.
    """

    price_list: PriceList
    reasons: np.ndarray
    sizes: np.ndarray
    quantities: np.ndarray
    charged: Charged | None
    sheet: CostSheet | None
    earnings: Earnings | None


def sell(shop: Shop, price_list: PriceList, artwork: Artwork, quantities, *, first=True) -> Sale:
    """Sell every artwork (shape (n,)) in every quantity (shape (m,)) off a list."""
    quantities = check_quantity(np.atleast_1d(quantities))
    method, blank = shop.methods[price_list.method], shop.blanks[price_list.blank]
    decoration = Decoration(method, artwork.take(np.arange(artwork.count)))
    reasons = obstacles(Order([(blank, 1)], [decoration]))
    size = size_of(decoration.counted, price_list.measure, price_list.unit)
    over = (reasons == "") & (size > price_list.sizes[-1] + 1e-9)
    reasons[over] = f"the list of {method.name} ends at {price_list.sizes[-1]:g}."
    rows = np.flatnonzero(reasons == "")
    listed = (quantities >= price_list.starts[0]) & (quantities <= price_list.last)
    columns = np.flatnonzero(listed)
    if not rows.size or not columns.size:
        return Sale(price_list, reasons, rows, columns, None, None, None)
    each = price_list.price(size[rows, None], quantities[columns])
    setup = (price_list.setup or 0.0) if first else 0.0
    charged = charge_order(quantities[columns], each, setup, price_list.tax, shop.decimals)
    column = artwork.take(rows).column()
    sheet = cost_sheet(shop, Order.of(blank, quantities[columns], method, column, first=first))
    revenue = without_tax(charged.total, price_list.tax)
    left = earnings(sheet, revenue, Fees.due(shop, method))
    return Sale(price_list, reasons, rows, columns, charged, sheet, left)


FIGURES = {
    "price": lambda sale: sale.charged.each,
    "total": lambda sale: sale.charged.payable,
    "cost": lambda sale: sale.earnings.full_cost,
    "margin": lambda sale: sale.earnings.margin,
    "profit": lambda sale: sale.earnings.profit,
    "profit an hour": lambda sale: sale.earnings.profit_per_hour,
}
"""What a comparison can go by, each of an order: money, but for the margin (a fraction)."""


def compare(shop: Shop, lists: Sequence[PriceList], artwork: Artwork, quantities, by: str, **how):
    """A figure of every list's method, masked where it is not possible: (lists, n, m).

    `by` names one of `FIGURES`; `how` goes to `sell`.
    """
    if by not in FIGURES:
        raise PricelabError(f'found "{by}" to compare by, expected one of {", ".join(FIGURES)}.')
    shape = (len(lists), artwork.count, np.atleast_1d(quantities).size)
    figures = np.ma.masked_all(shape)
    for at, price_list in enumerate(lists):
        sale = sell(shop, price_list, artwork, quantities, **how)
        if sale.sheet is not None:
            figures[at][np.ix_(sale.sizes, sale.quantities)] = FIGURES[by](sale)
    return figures


NOBODY = -1
"""The leader where no method is possible."""


def leaders(figures: np.ma.MaskedArray, *, least: bool = False) -> np.ndarray:
    """Which method has the greatest (or the least) figure: its index, or `NOBODY`.

    Over the first axis of `figures`; of equals, to a hundredth of a cent, the first listed.
    """
    worst = np.inf if least else -np.inf
    filled = np.round(figures.filled(worst), 4)
    leader = filled.argmin(axis=0) if least else filled.argmax(axis=0)
    return np.where(np.ma.getmaskarray(figures).all(axis=0), NOBODY, leader)


@dataclass(frozen=True)
class Run:
    """Quantities from `first` to `last` in which one method leads (its index, or `NOBODY`)."""

    leader: int
    first: int
    last: int


def runs(leader: np.ndarray, quantities) -> tuple[Run, ...]:
    """The runs of one row of a lead map; they cover the quantities once, in order.

    >>> runs(np.array([0, 0, 1]), [10, 11, 12])
    (Run(leader=0, first=10, last=11), Run(leader=1, first=12, last=12))
    """
    quantities = np.asarray(quantities)
    starts = np.flatnonzero(np.append(True, np.diff(leader) != 0))
    ends = np.append(starts[1:], leader.size) - 1
    return tuple(
        Run(int(leader[start]), int(quantities[start]), int(quantities[end]))
        for start, end in zip(starts, ends, strict=True)
    )
