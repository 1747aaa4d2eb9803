"""Methods compared on one blank: what each charges, costs and leaves, over sizes and quantities.

Every method is priced off its own list, as a client is. Where it cannot be made, bought or
found on the list it has no figures, only the reason.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pricelab.analysis.lead_map import NOBODY, Border, borders, leaders, phases, shares
from pricelab.analysis.stretches import Stretch
from pricelab.cost.cost_sheet import CostSheet, numbers_at
from pricelab.cost.costing import cost_sheet
from pricelab.cost.earnings import Earnings, earnings
from pricelab.cost.fees import Fees
from pricelab.cost.orders import Decoration, Order, obstacles
from pricelab.cost.price import Charged, charge_order, setup_line
from pricelab.lists.account import Account
from pricelab.lists.selling_list import ListsOnBlank
from pricelab.shop.blank import Blank
from pricelab.shop.checks import check_quantity
from pricelab.shop.errors import PricelabError
from pricelab.shop.method import Method
from pricelab.shop.price_list import PriceList
from pricelab.shop.shop import Shop
from pricelab.shop.sizes import Artwork, size_of
from pricelab.shop.tolerance import TOLERANCE
from pricelab.shop.units import convert


@dataclass(frozen=True, eq=False)
class Sold:
    """Orders sold off a list: what they are charged, cost and leave; a mesh, or one in numbers."""

    price_list: PriceList
    charged: Charged
    sheet: CostSheet
    earnings: Earnings

    def at(self, *index: int) -> "Sold":
        """One order of a mesh, by its index: plain numbers."""
        shape = self.sheet.shape
        charged, earned = (numbers_at(x, index, shape) for x in (self.charged, self.earnings))
        return Sold(self.price_list, charged, self.sheet.at(*index), earned)

    @property
    def account(self) -> Account:
        """The account of one order."""
        tax, charged, earned = self.price_list.tax, self.charged, self.earnings
        each, setup = (float(tax.net(shown)) for shown in (charged.each, charged.setup))
        money = earned.revenue, earned.full_cost, earned.fees, earned.profit
        revenue, cost, fees, profit = map(float, money)
        pieces, lines = int(charged.quantity), self.sheet.why()
        return Account(pieces, each, revenue, lines, cost, fees, profit, setup)


@dataclass(frozen=True, eq=False)
class Sale:
    """What of artworks (down) and quantities (across) a list sells: only what is possible.

    `reasons` says of every artwork asked for why it is not possible ('' where it is);
    `sizes` and `quantities` index the artworks and quantities that are `sold`, None if none.
    """

    price_list: PriceList
    reasons: np.ndarray
    sizes: np.ndarray
    quantities: np.ndarray
    sold: Sold | None


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
        return Sale(price_list, reasons, rows, columns, None)
    pieces = quantities[columns]
    each = price_list.price(size[rows], pieces)
    setup = price_list.setup if first else setup_line(shop, method, method.repeat_setup)
    charged = charge_order(pieces, each, setup or 0.0, price_list.tax, shop.decimals)
    sheet = cost_sheet(shop, Order.of(blank, pieces, method, artwork.take(rows), first=first))
    left = earnings(sheet, price_list.tax.net(charged.total), Fees.due(shop, method))
    return Sale(price_list, reasons, rows, columns, Sold(price_list, charged, sheet, left))


FIGURES = {
    "price": lambda sold: sold.charged.each,
    "total": lambda sold: sold.charged.payable,
    "cost": lambda sold: sold.earnings.full_cost,
    "margin": lambda sold: sold.earnings.margin,
    "profit": lambda sold: sold.earnings.profit,
    "profit an hour": lambda sold: sold.earnings.profit_per_hour,
}
"""What `Sold` orders are compared by: money, but for the margin (a fraction)."""


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
            if sale.sold is not None:
                figures[at][np.ix_(sale.sizes, sale.quantities)] = FIGURES[by](sale.sold)
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

    def order(self, at: int, size: int, quantity: int) -> Sold:
        """One order off one list, by index; only where it is possible."""
        sale = self.sales[at]
        row, column = np.searchsorted(sale.sizes, size), np.searchsorted(sale.quantities, quantity)
        return sale.sold.at(int(row), int(column))


def method_costs(
    shop: Shop, blank: Blank, artwork: Artwork, quantities
) -> tuple[dict[str, CostSheet], dict[str, str]]:
    """A first order of one artwork on one blank by every method: its sheet, or why it has none.

    Both by the method's key; a sheet is of every quantity.
    """
    sheets, reasons = {}, {}
    for key, method in shop.methods.items():
        try:
            sheets[key] = cost_sheet(shop, Order.of(blank, quantities, method, artwork))
        except PricelabError as error:  # too large, too hot, or a figure that the method lacks
            reasons[key] = str(error)
    return sheets, reasons


# ---- a choice of method, the artwork's neighbours beside it ---------------------------

STEP = {"in": 0.125, "mm": 2.0}
"""From row to row of a map: fine enough for every size band that suppliers print."""


@dataclass(frozen=True, eq=False)
class Lead:
    """A lead map by one figure: `leader[size, quantity]`, and where even the leader loses.

    Each method leads one of the `shares`; the `borders` over most sizes come first.
    """

    leader: np.ndarray
    losing: np.ndarray
    shares: np.ndarray
    borders: tuple[Border, ...]


@dataclass(frozen=True, eq=False)
class MethodChoice:
    """Every method on one blank, for an artwork in all its sizes and quantities.

    Its proportions stay as they are: `widths` are the rows' widths in the artwork's unit;
    row `at` is the artwork itself.
    """

    shop: Shop
    offers: ListsOnBlank
    artwork: Artwork
    widths: np.ndarray
    at: int
    comparison: Comparison

    @classmethod
    def of(cls, shop: Shop, offers: ListsOnBlank, artwork: Artwork, *, first: bool = True):
        """Sell the artwork off every list of `offers`, smaller and larger, in every quantity."""
        width, lists = float(artwork.width), offers.lists
        widths = np.unique(np.append(_widths(shop, offers, artwork), width))
        last = max((one.last for one in lists), default=1)
        start = min((int(one.starts[0]) for one in lists), default=1)
        quantities = np.arange(start, last + 1)
        compared = Comparison.of(shop, lists, _larger(artwork, widths), quantities, first=first)
        return cls(shop, offers, artwork, widths, int(np.searchsorted(widths, width)), compared)

    @property
    def quantities(self) -> np.ndarray:
        """Every quantity that some list covers."""
        return self.comparison.quantities

    @property
    def methods(self) -> tuple[Method, ...]:
        """The methods with a list, in the order of the lists."""
        return tuple(self.shop.methods[one.method] for one in self.offers.lists)

    def column(self, pieces: int) -> int | None:
        """The index of a quantity, None where no list covers it."""
        column = pieces - int(self.quantities[0])
        return column if 0 <= column < self.quantities.size else None

    def orders(self, pieces: int) -> tuple[list[Sold], list[tuple[Method, str]]]:
        """So many pieces of the artwork by every method that can, and why the others cannot."""
        able, unable = [], list(self.offers.refused)
        column = self.column(pieces)
        for at, (method, listed) in enumerate(zip(self.methods, self.offers.lists, strict=True)):
            if column is None:
                reason = f"the lists go from {self.quantities[0]} to {listed.last} pieces."
            else:
                reason = self.comparison.reason(at, self.at, column)
            if reason:
                unable.append((method, reason))
            else:
                able.append(self.comparison.order(at, self.at, column))
        return able, unable

    def lead(self, by: str, *, least: bool = False) -> Lead:
        """Who has the greatest (or the least) of a figure, at every size and quantity."""
        figures, quantities = self.comparison.figures(by), self.quantities
        leader = leaders(figures, by, least=least)
        losing = np.zeros(leader.shape, bool)
        if not least:
            losing = (leader != NOBODY) & (figures.filled(-np.inf).max(axis=0) < 0)
        led = shares(leader, quantities, len(self.methods))
        return Lead(leader, losing, led, borders(leader, quantities))

    @property
    def estimates(self) -> dict[str, int]:
        """Stitches of the artwork by method, where its cost goes by an estimate of them."""
        decorations = [Decoration(method, self.artwork) for method in self.methods]
        return {one.method.key: one.estimate for one in decorations if one.estimated}

    def in_house_or_not(self) -> tuple[tuple[int, int], ...]:
        """Pairs of lists of the same stitching: on a machine of your own, and contracted out."""
        methods = self.methods
        return tuple(
            (own, out)
            for own, here in enumerate(methods)
            if here.stitching is not None
            for out, there in enumerate(methods)
            if there.stitching is None and there.by_stitches and there.density == here.density
        )

    def between(self, pair: tuple[int, int], by: str, *, least: bool) -> tuple[Stretch, ...]:
        """Which of two leads at the artwork's size, where both are offered (0 and 1)."""
        figures = self.comparison.figures(by)[list(pair), self.at]
        both = ~np.ma.getmaskarray(figures).any(axis=0)
        if not both.any():
            return ()
        return phases(leaders(figures[:, both], by, least=least), self.quantities[both])


def _larger(artwork: Artwork, widths: np.ndarray) -> Artwork:
    """The artwork in other widths, in its proportions; stitches grow with the area."""
    grown = widths / artwork.width
    stitches = None if artwork.stitches is None else artwork.stitches * grown**2
    return Artwork(widths, artwork.height * grown, artwork.unit, stitches, artwork.colours)


def _widths(shop: Shop, offers: ListsOnBlank, artwork: Artwork) -> np.ndarray:
    """Widths, in steps, that some method can make on the blank in the artwork's proportions."""
    unit, step = artwork.unit, STEP[artwork.unit]
    widest = convert(offers.blank.panel_width, offers.blank.unit, unit)
    widths = step * np.arange(1, int(widest / step + TOLERANCE) + 1)
    if not widths.size:
        return widths
    like = _larger(artwork, widths)
    possible = np.zeros(widths.size, bool)
    for listed in offers.lists:
        decoration = Decoration(shop.methods[listed.method], like)
        possible |= obstacles(Order([(offers.blank, 1)], [decoration])) == ""
    rows = np.flatnonzero(possible)
    return widths[rows[0] : rows[-1] + 1] if rows.size else widths[:0]
