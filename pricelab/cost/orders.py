"""An order: pieces of one or several blanks, all carrying the same decorations."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from pricelab.shop.blank import Blank
from pricelab.shop.checks import check_quantity
from pricelab.shop.errors import NotPossible, PricelabError
from pricelab.shop.method import Method
from pricelab.shop.sizes import Artwork, size_of
from pricelab.shop.tolerance import TOLERANCE


@dataclass(frozen=True)
class Decoration:
    """An artwork put on the piece by a method."""

    method: Method
    artwork: Artwork

    @property
    def estimated(self) -> bool:
        """Whether the stitches that the method's cost goes by are an estimate."""
        known = self.artwork.stitches is not None
        return self.method.by_stitches and not known and self.method.density is not None

    @property
    def counted(self) -> Artwork:
        """The artwork with its stitches, estimated from the filled area where not given."""
        if not self.estimated:
            return self.artwork
        density = self.method.density
        width, height = self.artwork.in_unit(density.unit)
        stitches = width * height * density.filled * density.stitches
        return replace(self.artwork, stitches=stitches)

    @property
    def estimate(self) -> int | None:
        """The stitches of one artwork where they are an estimate, else None."""
        return round(float(self.counted.stitches)) if self.estimated else None


@dataclass(frozen=True, eq=False)
class Order:
    """Good pieces wanted of each blank, all carrying the same decorations.

    `pieces` pairs each blank with its quantity (number or array; the arrays broadcast).
    Decorations are listed in the order in which they are put on; n artworks meet m quantities
    in a mesh (n, m), or, if they are `paired`, the k-th artwork the k-th quantity. `order_up`
    None leaves the choice to the shop.
    """

    pieces: Sequence[tuple[Blank, np.ndarray]]
    decorations: Sequence[Decoration]
    first: bool = True
    on: date | None = None
    order_up: bool | None = None
    paired: bool = False

    def __post_init__(self):
        if not self.pieces or not self.decorations:
            raise PricelabError("an order needs at least one blank and one decoration.")
        together: dict[str, tuple] = {}  # a blank's break is taken on all its pieces
        for blank, quantity in self.pieces:
            _, sofar = together.get(blank.key, (blank, 0))
            together[blank.key] = (blank, sofar + check_quantity(quantity))
        object.__setattr__(self, "pieces", tuple(together.values()))

    @classmethod
    def of(cls, blank: Blank, quantity, method: Method, artwork: Artwork, **more) -> "Order":
        """The usual order: one blank, one decoration."""
        return cls([(blank, quantity)], [Decoration(method, artwork)], **more)

    @property
    def quantity(self):
        """Good pieces in all; the quantity on which the artwork's break is taken."""
        return sum(quantity for _, quantity in self.pieces)

    @property
    def artwork_shape(self) -> tuple[int, ...]:
        """(n,) of n artworks, () of one."""
        return np.broadcast_shapes(*(decoration.artwork.shape for decoration in self.decorations))

    @property
    def shape(self) -> tuple[int, ...]:
        """The shape of the order's figures: its artworks down, its quantities across."""
        quantities = np.shape(self.quantity)
        if self.paired:
            return np.broadcast_shapes(self.artwork_shape, quantities)
        return self.artwork_shape + quantities

    @property
    def laid_out(self) -> list[Decoration]:
        """The decorations with artworks that meet the quantities as numpy broadcasts."""
        if self.paired:
            return list(self.decorations)
        quantity = self.quantity
        return [replace(d, artwork=d.artwork.laid_down(quantity)) for d in self.decorations]


def obstacles(order: Order) -> np.ndarray:
    """Why each artwork cannot go on the order's blanks, '' where it can; shape of the artworks."""
    found = np.full(order.artwork_shape, "", object)
    for stops, reason in _obstacles(order):
        found[np.broadcast_to(stops, found.shape) & (found == "")] = reason
    return found


def check_possible(order: Order) -> None:
    """Raise `NotPossible` with the first reason that stops any of the order's artworks."""
    for _, reason in _obstacles(order):
        raise NotPossible(reason)


def _obstacles(order: Order) -> Iterator[tuple[np.ndarray, str]]:
    """Pairs of (which artworks are stopped, why), only those that stop any."""
    blanks = [blank for blank, _ in order.pieces]
    for decoration in order.decorations:
        for stops, reason in _limits(decoration, blanks):
            if np.any(stops):
                yield stops, reason


def _limits(decoration: Decoration, blanks: Sequence[Blank]) -> Iterator[tuple]:
    """Every limit as (which artworks pass it, the reason); a side on the limit still fits."""
    method, artwork = decoration.method, decoration.artwork
    width, height = artwork.in_unit(method.unit)
    sides = (width, "wide", method.max_width), (height, "high", method.max_height)
    for side, word, most in sides:
        over = side > most + TOLERANCE
        yield over, f"{method.name} can be at most {most:g} {method.unit} {word}."
    under = np.minimum(width, height) < method.min_side - TOLERANCE
    yield under, f"{method.name} needs sides of {method.min_side:g} {method.unit} or more."
    for blank in blanks:
        width, height = artwork.in_unit(blank.unit)
        panel = f"{blank.panel_width:g} × {blank.panel_height:g} {blank.unit}"
        over = (width > blank.panel_width + TOLERANCE) | (height > blank.panel_height + TOLERANCE)
        yield over, f"the panel of {blank.name} takes at most {panel}."
        if method.heat is not None and blank.heat_limit is not None:
            hot = np.full(np.shape(width), method.heat > blank.heat_limit)
            yield (
                hot,
                f"{method.name} needs {method.heat:g}°, more than {blank.name} bears "
                f"({blank.heat_limit:g}°).",
            )
    if method.roll is not None:
        width, height = artwork.in_unit(method.roll.unit)
        none = np.maximum(method.roll.across(width), method.roll.across(height)) < 1
        yield none, f"the piece is wider than the roll of {method.name}, either way round."
    if method.grid is not None:
        size = size_of(decoration.counted, method.grid.measure, method.grid.unit)
        over = size > method.grid.bands[-1] + TOLERANCE
        yield over, f"the size is over the last band of {method.grid.name}."
