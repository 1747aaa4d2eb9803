"""Planning a price list: the lowest rounded price of every cell that holds.

A cell holds when every quantity of its tier earns at least the floor margin and its
typical quantity earns the target. The worst quantity is not always the first, since the
suppliers' breaks fall inside the tier; so every quantity is costed.
"""

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np

from pricelab.cost.cost_sheet import CostSheet
from pricelab.cost.costing import blanks_sheet, decorating_sheet
from pricelab.cost.fees import Fees
from pricelab.cost.orders import Order, check_possible, obstacles
from pricelab.cost.price import margin_at, price_for_margin, setup_line
from pricelab.shop.blank import Blank
from pricelab.shop.checks import check_quantity
from pricelab.shop.errors import PricelabError
from pricelab.shop.method import Method
from pricelab.shop.price_list import PriceList, check_tiers
from pricelab.shop.shop import Shop
from pricelab.shop.sizes import Artwork, Measure, squarest
from pricelab.shop.units import convert


@dataclass(frozen=True, eq=False)
class Basis:
    """What the cells of a list rest on: the cost of whole orders, `cost[size, quantity]`.

    With set-up apart the costs leave out what is due once a design, which `design_cost`
    holds instead; with set-up spread they include it, as for a first order.
    """

    shop: Shop
    method: Method
    blank: Blank
    sizes: np.ndarray
    quantities: np.ndarray
    blanks: CostSheet
    decorating: CostSheet
    cost: np.ndarray
    design_cost: float
    fees: Fees

    @property
    def sheet(self) -> CostSheet:
        """The whole cost sheet of a first order of every size and quantity."""
        return self.blanks + self.decorating

    @cached_property
    def unit_cost(self) -> np.ndarray:
        """Cost a piece with its share of a fixed fee, of the shape of `cost`."""
        return (self.cost + self.fees.fixed) / self.quantities

    def price_for(self, margin: float) -> np.ndarray:
        """The price a piece, before tax, that leaves `margin` at every size and quantity."""
        return self.net_price(self.unit_cost, margin)

    def net_price(self, unit_cost, margin: float):
        """The price, before tax, at which a piece of `unit_cost` leaves `margin`."""
        return price_for_margin(unit_cost, margin, Fees(self.fees.share))

    def margin(self, net, unit_cost):
        """The margin a net price leaves on a piece of `unit_cost`."""
        return margin_at(net, unit_cost, Fees(self.fees.share))


@dataclass(frozen=True, eq=False)
class Tiers:
    """The quantities a list's tiers are judged by, and their unit costs, `[size, tier]`.

    The worst quantity is the one whose piece costs most; the typical one, the same for all
    sizes, is the one usually ordered. `holding_prices` are the lowest shown prices, rounded
    by the shop's rule, at which the worst earns the floor and the typical one the target.
    """

    starts: np.ndarray
    last: int
    worst: np.ndarray
    worst_cost: np.ndarray
    typical: np.ndarray
    typical_cost: np.ndarray
    holding_prices: np.ndarray

    @classmethod
    def of(cls, basis: Basis, starts: np.ndarray, weights=None) -> "Tiers":
        """The tiers from `starts` up to the last quantity of `basis`."""
        first, last = int(basis.quantities[0]), int(basis.quantities[-1])
        bounds = [*(starts - first), None]
        worst = np.stack(
            [
                start + basis.unit_cost[:, start:end].argmax(axis=1)
                for start, end in pairwise(bounds)
            ],
            axis=1,
        )
        worst_cost = np.take_along_axis(basis.unit_cost, worst, axis=1)
        typical = typical_quantities(starts, last, weights)
        typical_cost = basis.unit_cost[:, typical - first]
        rules = basis.shop.pricing
        net = np.maximum(
            basis.net_price(worst_cost, rules.floor), basis.net_price(typical_cost, rules.target)
        )
        prices = rules.rounding.up(rules.tax.shown(net))
        return cls(starts, last, worst + first, worst_cost, typical, typical_cost, prices)


def list_measure(method: Method) -> tuple[Measure, str | None]:
    """The measure and unit a method's list goes by: its grid's, else the mean of the sides."""
    grid = method.grid
    if grid is None or grid.measure is Measure.ANY_SIZE:
        return Measure.MEAN_OF_SIDES, method.unit
    return grid.measure, grid.unit


def list_artwork(method: Method, blank: Blank, sizes, by=None) -> Artwork:
    """The dearest artwork of each list size that the blank's panel and the press can take.

    The sizes are counted `by` a measure and a unit: the method's own, if not told.
    """
    measure, unit = by or list_measure(method)
    sizes = np.atleast_1d(np.asarray(sizes, float))
    stitches = None
    if measure is Measure.THOUSAND_STITCHES:
        stitches = sizes * 1000
        if method.density is None:
            side = np.full(sizes.shape, max(method.min_side, 1.0))  # nominal: the stitches count
            return Artwork(side, side, method.unit, stitches)
        sizes = stitches / method.density.stitches / method.density.filled
        measure, unit = Measure.AREA, method.density.unit
    widest = min(
        convert(method.max_width, method.unit, unit), convert(blank.panel_width, blank.unit, unit)
    )
    highest = min(
        convert(method.max_height, method.unit, unit),
        convert(blank.panel_height, blank.unit, unit),
    )
    return Artwork(*squarest(sizes, measure, widest, highest), unit, stitches)


def list_order(method: Method, blank: Blank, sizes, quantities, by=None) -> Order:
    """A first order of every list size (down) in every quantity (across)."""
    return Order.of(blank, quantities, method, list_artwork(method, blank, sizes, by))


def possible_sizes(method: Method, blank: Blank, sizes=None) -> np.ndarray:
    """The list sizes that can be made and bought: of `sizes`, or of the usual ones."""
    sizes = np.atleast_1d(np.asarray(usual_sizes(method) if sizes is None else sizes, float))
    return sizes[obstacles(list_order(method, blank, sizes, 1)) == ""]


def list_sizes(method: Method, blank: Blank, sizes=None) -> np.ndarray:
    """The possible sizes, one at least; else `PricelabError`, with the reason of the first."""
    wanted = usual_sizes(method) if sizes is None else sizes
    possible = possible_sizes(method, blank, wanted)
    if not possible.size:
        reason = obstacles(list_order(method, blank, wanted, 1)).flat[0]
        raise PricelabError(f"no size of {method.name} can go on {blank.name}: {reason}")
    return possible


def usual_sizes(method: Method) -> np.ndarray:
    """The sizes a method's list goes by: its grid's bands, else steps of half an inch or 10 mm."""
    measure, unit = list_measure(method)
    if method.grid is not None and method.grid.measure is measure:
        return method.grid.bands
    step = 0.5 if unit == "in" else 10.0
    return step * np.arange(2, 13)


def basis_of(shop: Shop, method: Method, blank: Blank, sizes, quantities, by=None) -> Basis:
    """The costs under a list's cells, for every size and every quantity it covers."""
    order = list_order(method, blank, sizes, quantities, by)
    check_possible(order)
    return basis_on(shop, sizes, order, decorating_sheet(shop, order))


def basis_on(shop: Shop, sizes, order: Order, decorating: CostSheet) -> Basis:
    """The costs under a list's cells, where the decorating part of its order is known."""
    ((blank, quantities),) = order.pieces
    blanks = blanks_sheet(shop, order)
    cost, once = decorating.recurring + blanks.recurring, decorating.once
    if not shop.pricing.setup_apart:
        cost, once = cost + once, 0.0
    method = order.decorations[0].method
    fees = Fees.due(shop, method)
    return Basis(
        shop, method, blank, sizes, quantities, blanks, decorating, cost, float(np.max(once)), fees
    )


def typical_quantities(starts, last: int, weights=None) -> np.ndarray:
    """The quantity each tier is usually ordered in: the weighted median, shape (tiers,).

    `weights[i]` counts the orders of quantity ``starts[0] + i``, up to `last`; a tier
    without orders is judged at its first quantity.
    """
    starts = np.asarray(starts)
    typical = starts.copy()
    if weights is None:
        return typical
    count = int(last - starts[0] + 1)
    if len(weights) != count:
        raise PricelabError(
            f"found {len(weights)} weights for the quantities {starts[0]} to {last}, "
            f"expected {count}, one for each."
        )
    for tier, (first, end) in enumerate(zip(starts, [*starts[1:], last + 1], strict=True)):
        inside = np.cumsum(weights[first - starts[0] : end - starts[0]])
        typical[tier] = first + np.searchsorted(inside, inside[-1] / 2)  # without orders: first
    return typical


def plan(
    shop: Shop, method: Method, blank: Blank, starts, last: int, *, sizes=None, weights=None
) -> PriceList:
    """The list of `method` on `blank` with quantity tiers from `starts` up to `last`.

    `sizes` are the bands' upper ends (the method's usual ones that can be made, if not
    told); `weights` counts past orders by quantity from ``starts[0]`` to `last`.
    """
    starts = check_quantity(np.atleast_1d(starts))
    check_tiers(starts, last)
    sizes = list_sizes(method, blank, sizes)
    basis = basis_of(shop, method, blank, sizes, np.arange(starts[0], last + 1))
    return plan_on(basis, Tiers.of(basis, starts, weights))


def plan_on(basis: Basis, tiers: Tiers) -> PriceList:
    """The list on costs that are known."""
    shop, method = basis.shop, basis.method
    measure, unit = list_measure(method)
    return PriceList(
        method.key,
        basis.blank.key,
        measure,
        unit,
        basis.sizes,
        tiers.starts,
        tiers.last,
        tiers.holding_prices,
        setup=setup_line(shop, method, basis.design_cost),
        tax=shop.pricing.tax,
    )
