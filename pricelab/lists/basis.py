"""What a list's cells cost: every size of it in every quantity, as first orders.

A list size stands for the dearest artwork of that size that the press and the panel take: the
squarest, unless rows on a roll decide. On a roll a shape costs most that leaves rows half empty,
and another one in every quantity; so the squarest and all widths on a rule are costed.
"""

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from pricelab.cost.cost_sheet import CostSheet
from pricelab.cost.costing import cost_sheet, decorating_sheet
from pricelab.cost.fees import Fees
from pricelab.cost.orders import Order, obstacles
from pricelab.cost.price import margin_at, price_for_margin
from pricelab.shop.blank import Blank
from pricelab.shop.errors import NotPossible, PricelabError
from pricelab.shop.method import Method
from pricelab.shop.shop import Shop
from pricelab.shop.sizes import Artwork, Measure, other_side, squarest
from pricelab.shop.tolerance import TOLERANCE
from pricelab.shop.units import convert

FIRST_SIZES = 6
"""Rows of a list that nobody has given sizes for: the first that can be made."""

RULE = {"in": 1 / 16, "mm": 1.0}
"""Between two widths that an artwork of a list size can have: sixteenths, or millimetres."""

MOST_WIDTHS = 512
"""Of these at most, so up to 32 in or half a metre, whatever a slip makes of a panel."""


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
    sheet: CostSheet
    cost: np.ndarray
    design_cost: float
    fees: Fees

    @classmethod
    def of(cls, shop: Shop, order: Order, sizes) -> "Basis":
        """The costs of an order of one blank and one method; `NotPossible` with the reason."""
        [(blank, quantities)], [decoration] = order.pieces, order.decorations
        sheet = cost_sheet(shop, order)
        cost, once = sheet.recurring, float(np.max(sheet.once))
        if not shop.pricing.setup_apart:
            cost, once = sheet.full, 0.0
        fees = Fees.due(shop, decoration.method)
        return cls(shop, decoration.method, blank, sizes, quantities, sheet, cost, once, fees)

    def beginning(self, first: int) -> "Basis":
        """The costs from a quantity on; the sheet stays whole."""
        at = first - int(self.quantities[0])
        return replace(self, quantities=self.quantities[at:], cost=self.cost[:, at:])

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


def basis_of(shop: Shop, method: Method, blank: Blank, sizes, quantities, by=None) -> Basis:
    """The costs under a list's cells, for every size and every quantity it covers.

    Raises `NotPossible`, with the reason, where one of the sizes can be made in no shape.
    """
    shapes = list_shapes(method, blank, sizes, by)
    if shapes.shape[1] > 1:
        shapes = _dearest(shop, Order.of(blank, quantities, method, shapes))
    return Basis.of(shop, Order.of(blank, quantities, method, shapes, paired=True), sizes)


def _dearest(shop: Shop, order: Order) -> Artwork:
    """Of an order's shapes (n, k) those that are dearest to decorate in its quantities, (n, m)."""
    [decoration] = order.decorations
    stops = obstacles(order)
    possible = stops == ""
    none = ~possible.any(axis=1)
    if none.any():
        raise NotPossible(stops[none, 0][0])
    shapes, (sizes, _) = decoration.artwork.take(possible), np.nonzero(possible)
    sides = np.sort([shapes.width, shapes.height], axis=0).round(9)
    _, once = np.unique([sizes, *sides], axis=1, return_index=True)  # a roll takes it both ways
    shapes, sizes = shapes.take(once), sizes[once]
    each = replace(order, decorations=[replace(decoration, artwork=shapes)])
    cost = decorating_sheet(shop, each).full
    of_size = np.split(np.arange(sizes.size), np.flatnonzero(np.diff(sizes)) + 1)
    return shapes.take(np.stack([own[cost[own].argmax(axis=0)] for own in of_size]))


def list_measure(method: Method) -> tuple[Measure, str | None]:
    """The measure and unit a method's list goes by: its grid's, else the mean of the sides."""
    grid = method.grid
    if grid is None or grid.measure is Measure.ANY_SIZE:
        return Measure.MEAN_OF_SIDES, method.unit
    return grid.measure, grid.unit


def list_shapes(method: Method, blank: Blank, sizes, by=None) -> Artwork:
    """The artworks that each list size (n,) can stand for, shape (n, k), the squarest first.

    The squarest is the only one, unless rows on a roll decide; then there are those of all
    widths on a `RULE` as well, whether they can be made or not. The sizes are counted `by` a
    measure and a unit: the method's own, if not told.
    """
    measure, unit = by or list_measure(method)
    sizes = np.atleast_1d(np.asarray(sizes, float))[:, None]
    stitches = None
    if measure is Measure.THOUSAND_STITCHES:
        stitches = sizes * 1000
        if method.density is None:
            side = np.full(sizes.shape, max(method.min_side, 1.0))  # nominal: the stitches count
            return Artwork(side, side, method.unit, stitches)
        sizes = stitches / method.density.stitches / method.density.filled
        measure, unit = Measure.AREA, method.density.unit
    widest, highest = (
        min(convert(press, method.unit, unit), convert(panel, blank.unit, unit))
        for press, panel in (
            (method.max_width, blank.panel_width),
            (method.max_height, blank.panel_height),
        )
    )
    width, height = squarest(sizes, measure, widest, highest)
    if method.roll is not None:
        widths = min(int(widest / RULE[unit] + TOLERANCE), MOST_WIDTHS)
        wide = RULE[unit] * np.arange(1, widths + 1)
        high = other_side(wide, sizes, measure)
        width = np.hstack([width, np.where(high > 0, wide, width)])
        height = np.hstack([height, np.where(high > 0, high, height)])
    return Artwork(width, height, unit, stitches)


def why_not(method: Method, blank: Blank, sizes, by=None) -> np.ndarray:
    """Why each list size cannot be made or bought, '' where it can, shape (sizes,)."""
    found = obstacles(Order.of(blank, 1, method, list_shapes(method, blank, sizes, by)))
    return np.where((found == "").any(axis=1), "", found[:, 0])


def possible_sizes(method: Method, blank: Blank, sizes=None) -> np.ndarray:
    """The list sizes that can be made and bought: of `sizes`, or of the usual ones."""
    sizes = np.atleast_1d(np.asarray(usual_sizes(method) if sizes is None else sizes, float))
    return sizes[why_not(method, blank, sizes) == ""]


def list_sizes(method: Method, blank: Blank, sizes=None) -> np.ndarray:
    """The possible sizes, one at least; else `PricelabError`, with the reason of the first."""
    wanted = usual_sizes(method) if sizes is None else sizes
    possible = possible_sizes(method, blank, wanted)
    if not possible.size:
        reason = why_not(method, blank, wanted)[0]
        raise PricelabError(f"no size of {method.name} can go on {blank.name}: {reason}")
    return possible


def usual_sizes(method: Method) -> np.ndarray:
    """The sizes a method's list goes by: its grid's bands, else steps of half an inch or 10 mm."""
    measure, unit = list_measure(method)
    if method.grid is not None and method.grid.measure is measure:
        return method.grid.bands
    step = 0.5 if unit == "in" else 10.0
    return step * np.arange(2, 13)
