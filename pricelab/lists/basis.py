"""What a list's cells cost: every size of it in every quantity, as first orders.

A list size stands for the dearest artwork of that size that the press and the panel take.
"""

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from pricelab.cost.cost_sheet import CostSheet
from pricelab.cost.costing import cost_sheet
from pricelab.cost.fees import Fees
from pricelab.cost.orders import Order, obstacles
from pricelab.cost.price import margin_at, price_for_margin
from pricelab.shop.blank import Blank
from pricelab.shop.errors import PricelabError
from pricelab.shop.method import Method
from pricelab.shop.shop import Shop
from pricelab.shop.sizes import Artwork, Measure, squarest
from pricelab.shop.units import convert

FIRST_SIZES = 6
"""Rows of a list that nobody has given sizes for: the first that can be made."""


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
    """The costs under a list's cells, for every size and every quantity it covers."""
    return Basis.of(shop, list_order(method, blank, sizes, quantities, by), sizes)


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
    widest, highest = (
        min(convert(press, method.unit, unit), convert(panel, blank.unit, unit))
        for press, panel in (
            (method.max_width, blank.panel_width),
            (method.max_height, blank.panel_height),
        )
    )
    return Artwork(*squarest(sizes, measure, widest, highest), unit, stitches)


def list_order(method: Method, blank: Blank, sizes, quantities, by=None) -> Order:
    """A first order of every list size (down) in every quantity (across)."""
    return Order.of(blank, quantities, method, list_artwork(method, blank, sizes, by))


def why_not(method: Method, blank: Blank, sizes, by=None) -> np.ndarray:
    """Why each list size cannot be made or bought, '' where it can, shape (sizes,)."""
    return obstacles(list_order(method, blank, sizes, 1, by))


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
