"""Comparing methods on one blank: what each charges, costs and leaves, over sizes and quantities.

Every method is priced off its own list, as a client is. Where it cannot be made, bought or
found on the list it has no figures, only the reason.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pricelab.cost.cost_sheet import OPERATOR, CostSheet, numbers_at
from pricelab.cost.costing import cost_sheet
from pricelab.cost.earnings import Earnings, earnings
from pricelab.cost.fees import Fees
from pricelab.cost.orders import Decoration, Order, obstacles
from pricelab.cost.price import Charged, charge_order, setup_line
from pricelab.lists.account import Account
from pricelab.shop.checks import check_quantity
from pricelab.shop.errors import PricelabError
from pricelab.shop.method import Method
from pricelab.shop.price_list import PriceList
from pricelab.shop.shop import Shop
from pricelab.shop.sizes import Artwork, size_of


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

    def at(self, row: int, column: int) -> tuple[CostSheet, Earnings, Charged]:
        """What one of the orders costs, leaves and is charged, by its index: plain numbers."""
        index, shape = (row, column), self.sheet.shape
        return (
            self.sheet.at(*index),
            numbers_at(self.earnings, index, shape),
            numbers_at(self.charged, index, shape),
        )


def sell(shop: Shop, price_list: PriceList, artwork: Artwork, quantities, *, first=True) -> Sale:
    """Sell every artwork (shape (n,)) in every quantity (shape (m,)) off a list."""
    quantities = check_quantity(np.atleast_1d(quantities))
    method, blank = shop.methods[price_list.method], shop.blanks[price_list.blank]
    decoration = Decoration(method, artwork.take(np.arange(artwork.count)))
    reasons = obstacles(Order([(blank, 1)], [decoration]))
    size = size_of(decoration.counted, price_list.measure, price_list.unit)
    over = (reasons == "") & ~price_list.grid.holds(size)
    ends = f"{price_list.sizes[-1]:g} ({price_list.measure.value})"
    reasons[over] = f"the list of {method.name} ends at {ends}."
    rows = np.flatnonzero(reasons == "")
    listed = (quantities >= price_list.starts[0]) & (quantities <= price_list.last)
    columns = np.flatnonzero(listed)
    if not rows.size or not columns.size:
        return Sale(price_list, reasons, rows, columns, None, None, None)
    each = price_list.price(size[rows], quantities[columns])
    setup = price_list.setup if first else setup_line(shop, method, method.repeat_setup)
    charged = charge_order(quantities[columns], each, setup or 0.0, price_list.tax, shop.decimals)
    order = Order.of(blank, quantities[columns], method, artwork.take(rows), first=first)
    sheet = cost_sheet(shop, order)
    revenue = price_list.tax.net(charged.total)
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


@dataclass(frozen=True, eq=False)
class Comparison:
    """The same orders sold off several lists: artworks down, quantities across.

    Everything that is asked of it (one order, a curve, a lead map) comes from the same sales.
    """

    shop: Shop
    artwork: Artwork
    quantities: np.ndarray
    sales: tuple[Sale, ...]

    @classmethod
    def of(cls, shop: Shop, lists: Sequence[PriceList], artwork: Artwork, quantities, **how):
        """Sell every artwork (n) in every quantity (m) off each list; `how` goes to `sell`."""
        quantities = np.atleast_1d(quantities)
        sales = tuple(sell(shop, one, artwork, quantities, **how) for one in lists)
        return cls(shop, artwork, quantities, sales)

    def figures(self, by: str) -> np.ma.MaskedArray:
        """A figure (one of `FIGURES`) of every list, masked where it is not possible: (k, n, m)."""
        if by not in FIGURES:
            raise PricelabError(
                f'found "{by}" to compare by, expected one of {", ".join(FIGURES)}.'
            )
        shape = (len(self.sales), self.artwork.count, self.quantities.size)
        figures = np.ma.array(np.zeros(shape), mask=True)
        for at, sale in enumerate(self.sales):
            if sale.sheet is not None:
                figures[at][np.ix_(sale.sizes, sale.quantities)] = FIGURES[by](sale)
        return figures

    def reason(self, at: int, size: int, quantity: int) -> str:
        """Why a list has no price for an artwork and a quantity (by index), or ''."""
        sale = self.sales[at]
        if sale.reasons[size]:
            return sale.reasons[size]
        listed, asked = sale.price_list, self.quantities[quantity]
        if listed.starts[0] <= asked <= listed.last:
            return ""
        name = self.shop.methods[listed.method].name
        return f"the list of {name} goes from {listed.starts[0]} to {listed.last} pieces."

    def standing(self, at: int, size: int, quantity: int) -> "Standing":
        """What one order comes to off one list, by index; only where it is possible."""
        sale = self.sales[at]
        row = int(np.searchsorted(sale.sizes, size))
        column = int(np.searchsorted(sale.quantities, quantity))
        sheet, left, charged = sale.at(row, column)
        minutes = {who: float(spent) for who, spent in sheet.minutes.items()}
        busiest = max(minutes, key=minutes.get)
        tax, pieces = sale.price_list.tax, int(self.quantities[quantity])
        account = Account(
            pieces,
            float(tax.net(charged.each)),
            float(left.revenue),
            sheet.why(),
            float(left.full_cost),
            float(left.fees),
            float(left.profit),
            float(tax.net(charged.setup)),
        )
        return Standing(
            self.shop.methods[sale.price_list.method],
            float(charged.each),
            float(charged.setup),
            float(charged.payable),
            account,
            minutes[OPERATOR],
            busiest,
            minutes[busiest],
        )


@dataclass(frozen=True, eq=False)
class Standing:
    """How one method stands at one size and quantity: what is charged, spent and left.

    `each` and `setup` are shown prices and `payable` what the client pays in all; the
    `account` is of the whole order, before sales tax. Minutes are the operator's, and
    those of the `busiest` of all, the bottleneck.
    """

    method: Method
    each: float
    setup: float
    payable: float
    account: Account
    operator: float
    busiest: str
    bottleneck: float

    @property
    def profit_an_hour(self) -> float:
        """Profit for each hour of the bottleneck."""
        return self.account.profit / (self.bottleneck / 60)


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
