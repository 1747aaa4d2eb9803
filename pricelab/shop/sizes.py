"""One size out of a width and a height, by the supplier's own measure.

Common practice, no source: suppliers of patches price by the mean of the sides, by
the area or by the longest side; embroiderers by thousands of stitches.
"""

import re
from dataclasses import dataclass
from enum import Enum

import numpy as np

from pricelab.shop.errors import PricelabError
from pricelab.shop.tolerance import TOLERANCE
from pricelab.shop.units import check_unit, convert, parse_length


class Measure(Enum):
    """How a supplier turns an artwork into one size."""

    MEAN_OF_SIDES = "mean of sides"
    AREA = "area"
    LONGEST_SIDE = "longest side"
    THOUSAND_STITCHES = "thousand stitches"
    ANY_SIZE = "any size"

    @property
    def has_unit(self) -> bool:
        """Whether a grid of this measure must say inches or millimetres."""
        return self not in (Measure.THOUSAND_STITCHES, Measure.ANY_SIZE)


@dataclass(frozen=True, eq=False)
class Artwork:
    """What goes on the piece: width and height in `unit`, stitches and colours if known.

    Width, height, stitches and colours are numbers or arrays (n,) of n artworks.
    """

    width: np.ndarray
    height: np.ndarray
    unit: str
    stitches: np.ndarray | None = None
    colours: np.ndarray = 1

    def __post_init__(self):
        check_unit(self.unit)
        for name in ("width", "height"):
            side = np.asarray(getattr(self, name), float)
            if side.size == 0 or not (np.isfinite(side).all() and side.min() > 0):
                raise PricelabError(f"found a {name} of {_first_bad(side)}, expected more than 0.")
            object.__setattr__(self, name, side)
        if self.stitches is not None:
            stitches = np.asarray(self.stitches, float)
            if stitches.size == 0 or not (np.isfinite(stitches).all() and stitches.min() > 0):
                raise PricelabError(
                    f"found a stitch count of {_first_bad(stitches)}, expected more than 0."
                )
            object.__setattr__(self, "stitches", stitches)
        colours = np.asarray(self.colours)
        if not np.issubdtype(colours.dtype, np.integer) or colours.min() < 1:
            raise PricelabError(f"found {self.colours} colours, expected a whole number from 1.")
        object.__setattr__(self, "colours", colours)

    @classmethod
    def read(cls, sizes, unit: str, stitches=None, colours=1) -> "Artwork":
        """Artworks (n,) of one size or several as people write them, counted in `unit`.

        A size is a pair of lengths, each a number or a text, or a text of both; stitches and
        colours are one figure or one for each size.

        >>> Artwork.read([(2.5, 2), "57 x 40 mm", "2 1/4 x 2"], "in").width.round(3)
        array([2.5  , 2.244, 2.25 ])
        """
        sides = [_sides(size, unit) for size in ([sizes] if _is_one(sizes) else sizes)]
        if not sides:
            raise PricelabError("found no size, expected one or more, such as (2.5, 2).")
        artwork = cls(*np.array(sides).T, unit, stitches, colours)
        try:
            return artwork.take(np.arange(artwork.count))
        except ValueError:
            raise PricelabError(
                f"found {len(sides)} sizes, {np.size(stitches)} stitch counts and "
                f"{np.size(colours)} colours, expected one of each or one for each size."
            ) from None

    @property
    def shape(self) -> tuple[int, ...]:
        """(n,) of n artworks, () of one that is not in an array."""
        parts = self.width, self.height, self.colours, 0 if self.stitches is None else self.stitches
        return np.broadcast_shapes(*map(np.shape, parts))

    @property
    def count(self) -> int:
        """How many artworks there are."""
        return int(np.prod(self.shape))

    def laid_down(self, quantity) -> "Artwork":
        """The artworks laid down, to meet a `quantity` that runs across: see `laid_down`."""
        width, height, colours = (
            laid_down(values, quantity) for values in (self.width, self.height, self.colours)
        )
        stitches = None if self.stitches is None else laid_down(self.stitches, quantity)
        return Artwork(width, height, self.unit, stitches, colours)

    def take(self, rows) -> "Artwork":
        """The artworks at some indices, or where a mask says so: shape (rows,)."""

        def taken(values):
            return np.atleast_1d(np.broadcast_to(values, self.shape))[rows]

        stitches = None if self.stitches is None else taken(self.stitches)
        return Artwork(
            taken(self.width), taken(self.height), self.unit, stitches, taken(self.colours)
        )

    def in_unit(self, unit: str) -> tuple[np.ndarray, np.ndarray]:
        """Width and height counted in `unit`."""
        return convert(self.width, self.unit, unit), convert(self.height, self.unit, unit)


def laid_down(sizes, quantity, *, paired: bool = False):
    """Sizes (n,) laid down, as (n, 1), where quantities (m,) run across: together (n, m).

    That is how sizes meet quantities all through the package; numbers that are no arrays drop
    out, as numpy lets them, and so does what is laid out already, shape (n, 1). Only where
    the caller says that they are `paired`, the k-th size in the k-th quantity, is nothing
    laid down.

    >>> laid_down([2.0, 2.5, 3.0], [12, 24]).shape, laid_down([2.0, 2.5], 12).shape
    ((3, 1), (2,))
    """
    sizes = np.asarray(sizes)
    meet = sizes.ndim == 1 and np.ndim(quantity) == 1 and not paired
    return sizes[:, None] if meet else sizes


_BY = re.compile(r"\s*[x×]\s*", re.IGNORECASE)
"""What stands between width and height where a size is written out."""


def _is_one(sizes) -> bool:
    """Whether one size is meant: a text, or a pair of lengths."""
    if isinstance(sizes, str) or not hasattr(sizes, "__len__"):
        return True
    whole = (_BY.search(x) if isinstance(x, str) else hasattr(x, "__len__") for x in sizes)
    return len(sizes) == 2 and not any(whole)


def _sides(size, unit: str) -> tuple[float, float]:
    """Width and height in `unit`; what a text names at one of them alone is meant at both."""
    written = isinstance(size, str)
    said = _BY.split(size) if written else np.atleast_1d(np.asarray(size, object))
    if len(said) != 2:
        raise PricelabError(
            f'found the size "{size}", expected width and height, such as (2.5, 2) or "2 1/4 x 2".'
        )
    high = parse_length(str(said[1]), unit)
    wide = parse_length(str(said[0]), high.unit if written else unit)
    high = parse_length(str(said[1]), wide.unit if written else unit)
    return float(wide.to(unit)), float(high.to(unit))


def _first_bad(values) -> str:
    values = np.atleast_1d(values)
    bad = values[~(np.isfinite(values) & (values > 0))]
    return f"{bad[0]:g}" if bad.size else "nothing"


def size_of(artwork: Artwork, measure: Measure, unit: str | None):
    """The artwork's size by `measure`, counted in `unit` (or its square, or 1,000 stitches).

    >>> float(size_of(Artwork(5, 2.25, "in"), Measure.MEAN_OF_SIDES, "in"))
    3.625
    """
    if measure is Measure.ANY_SIZE:
        return np.zeros(())
    if measure is Measure.THOUSAND_STITCHES:
        if artwork.stitches is None:
            raise PricelabError(
                "this price goes by stitches, and the artwork has no stitch count. "
                "Give the stitches, or give the method a stitch density to estimate them by."
            )
        return artwork.stitches / 1000
    width, height = artwork.in_unit(unit)
    if measure is Measure.MEAN_OF_SIDES:
        return (width + height) / 2
    if measure is Measure.AREA:
        return width * height
    return np.maximum(width, height)


def other_side(side, size, measure: Measure):
    """The height of an artwork of a `size` and a width, or the reverse; 0 or less where none is.

    >>> float(other_side(3.5, 3, Measure.MEAN_OF_SIDES)), float(other_side(3.5, 7, Measure.AREA))
    (2.5, 2.0)
    """
    if measure is Measure.AREA:
        return size / side
    if measure is Measure.MEAN_OF_SIDES:
        return 2 * size - side
    return np.where(side <= size, size, 0.0)


def squarest(size, measure: Measure, max_width: float, max_height: float):
    """Width and height of the squarest artwork of each `size` inside a panel, same shape.

    It has the greatest area of all artworks of its size that fit, so it is the dearest to
    stitch or cut. A size too large for the panel comes back too large: `obstacles` says so.
    """
    size = np.asarray(size, float)
    if measure is Measure.LONGEST_SIDE:
        upright = (size > max_width + TOLERANCE) & (size <= max_height + TOLERANCE)
        return np.where(upright, max_width, size), np.minimum(size, max_height)
    square = np.sqrt(size) if measure is Measure.AREA else size
    height = np.minimum(square, max_height)
    width = other_side(height, size, measure)
    tall = width > max_width + TOLERANCE
    narrow = np.minimum(square, max_width)
    return np.where(tall, narrow, width), np.where(tall, other_side(narrow, size, measure), height)
