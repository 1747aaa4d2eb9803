"""Which method for an artwork: all that can go on a blank, over sizes and quantities.

The artwork is looked at in its own proportions, smaller and larger, so that one map holds
the order in hand and its neighbours.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pricelab.analysis.borders import Border, Phase, borders, phases, shares
from pricelab.analysis.comparison import NOBODY, Comparison, Standing, leaders
from pricelab.cost.orders import Decoration, Order, obstacles
from pricelab.lists.defaults import ListsOnBlank
from pricelab.shop.method import Method
from pricelab.shop.shop import Shop
from pricelab.shop.sizes import Artwork
from pricelab.shop.tolerance import TOLERANCE
from pricelab.shop.units import convert

STEP = {"in": 0.125, "mm": 2.0}
"""From row to row of a map: fine enough for every size band that suppliers print."""


@dataclass(frozen=True, eq=False)
class Lead:
    """A lead map by one figure: `leader[size, quantity]`, and where even the leader loses."""

    leader: np.ndarray
    losing: np.ndarray
    shares: np.ndarray
    quantities: np.ndarray

    @cached_property
    def borders(self) -> tuple[Border, ...]:
        """Where one method takes over from another, borders over most sizes first."""
        return borders(self.leader, self.quantities)

    def phases(self, row: int) -> tuple[Phase, ...]:
        """Who leads along one size."""
        return phases(self.leader[row], self.quantities)


@dataclass(frozen=True, eq=False)
class MethodChoice:
    """Every method on one blank, for an artwork in all its sizes and quantities.

    `widths` are the rows' widths in the artwork's unit; row `at` is the artwork itself.
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
        width = float(artwork.width)
        widths = np.unique(np.append(_widths(shop, offers, artwork), width))
        lists = offers.lists
        last = max((one.last for one in lists), default=1)
        start = min((int(one.starts[0]) for one in lists), default=1)
        like = _larger(artwork, widths)
        compared = Comparison.of(shop, lists, like, np.arange(start, last + 1), first=first)
        at = int(np.searchsorted(widths, width))
        return cls(shop, offers, artwork, widths, at, compared)

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

    def standings(self, pieces: int) -> tuple[list[Standing], list[tuple[Method, str]]]:
        """Every method that can do the artwork in so many pieces, and why the others cannot."""
        able, unable = [], list(self.offers.refused)
        column = self.column(pieces)
        for at, method in enumerate(self.methods):
            listed = self.offers.lists[at]
            if column is None:
                unable.append(
                    (method, f"the lists go from {self.quantities[0]} to {listed.last} pieces.")
                )
                continue
            reason = self.comparison.reason(at, self.at, column)
            if reason:
                unable.append((method, reason))
            else:
                able.append(self.comparison.standing(at, self.at, column))
        return able, unable

    def lead(self, by: str, *, least: bool = False) -> Lead:
        """Who has the greatest (or the least) of a figure, at every size and quantity."""
        figures = self.comparison.figures(by)
        leader = leaders(figures, least=least)
        losing = np.zeros(leader.shape, bool)
        if not least:
            losing = (leader != NOBODY) & (figures.filled(-np.inf).max(axis=0) < 0)
        led = shares(leader, self.quantities, len(self.methods))
        return Lead(leader, losing, led, self.quantities)

    def each(self, by: str) -> np.ma.MaskedArray:
        """A figure of the order, a piece: (lists, sizes, quantities)."""
        return self.comparison.figures(by) / self.quantities

    @property
    def estimates(self) -> dict[str, int]:
        """Stitches of the artwork by method, where its cost goes by an estimate of them."""
        decorations = [Decoration(method, self.artwork) for method in self.methods]
        return {one.method.key: one.estimate for one in decorations if one.estimated}

    def in_house_or_not(self) -> tuple[tuple[int, int], ...]:
        """Pairs of lists of the same stitching: on a machine of one's own, and contracted out."""
        methods = self.methods
        return tuple(
            (own, out)
            for own, here in enumerate(methods)
            if here.stitching is not None
            for out, there in enumerate(methods)
            if there.stitching is None and there.by_stitches and there.density == here.density
        )

    def between(self, pair: tuple[int, int], by: str, *, least: bool) -> tuple[Phase, ...]:
        """Which of two leads at the artwork's size, where both are offered (0 and 1)."""
        figures = self.comparison.figures(by)[list(pair), self.at]
        both = ~np.ma.getmaskarray(figures).any(axis=0)
        if not both.any():
            return ()
        return phases(leaders(figures[:, both], least=least), self.quantities[both])


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
