"""A supplier's grid: a price for every size band and quantity break.

The tier interval, said once: a size belongs to the first band whose upper end is not
below it, ``(previous end, end]``; a quantity takes the greatest break not above it,
``[break, next break)``. All units take that price (all-units discount).
"""

from dataclasses import dataclass, field

import numpy as np

from pricelab.shop.checks import check_quantity, in_a_row, rising_counts, rising_sizes
from pricelab.shop.errors import NotPossible, PricelabError
from pricelab.shop.place import Place, Sheet
from pricelab.shop.sizes import Measure, laid_down
from pricelab.shop.tolerance import TOLERANCE
from pricelab.shop.units import UNITS

_CHUNK = 16_384
"""Values looked up at a time, so that every intermediate stays in the processor's cache."""

PER_PIECE = "piece"
PER_THOUSAND_STITCHES = "thousand stitches"


@dataclass(frozen=True, eq=False)
class Grid:
    """Prices by size band (rows) and quantity break (columns).

    `bands` are the upper ends, in `unit` (or its square, or thousands of stitches);
    `breaks` the quantities from which a price holds; `prices` the money a piece, or a
    thousand stitches when `per` says so. `pack` pieces come together.
    """

    name: str
    measure: Measure
    unit: str | None
    bands: np.ndarray
    breaks: np.ndarray
    prices: np.ndarray
    per: str = PER_PIECE
    pack: int = 1
    sheet: Sheet | None = field(default=None, repr=False)

    def __post_init__(self):
        bands = np.atleast_1d(np.asarray(self.bands, float))
        breaks = np.atleast_1d(np.asarray(self.breaks))
        prices = np.atleast_2d(np.asarray(self.prices, float))
        whose = f'the grid "{self.name}" has'
        if not rising_counts(breaks):
            raise PricelabError(
                f"{whose} the quantity breaks {in_a_row(breaks)}; "
                "expected whole numbers from 1, each more than the one before."
            )
        if not rising_sizes(bands):
            raise PricelabError(
                f"{whose} size bands that end at {in_a_row(bands)}; "
                "expected ends above 0, each more than the one before."
            )
        if prices.shape != (bands.size, breaks.size):
            raise PricelabError(
                f"{whose} {prices.shape[0]} × {prices.shape[1]} prices; "
                f"expected {bands.size} × {breaks.size}, one for each band and break."
            )
        if not (np.isfinite(prices).all() and prices.min() >= 0):
            wrong = prices[~(np.isfinite(prices) & (prices >= 0))][0]
            raise PricelabError(f"{whose} the price {wrong:g}; expected 0 or more.")
        if self.measure.has_unit and self.unit not in UNITS:
            raise PricelabError(
                f'the grid "{self.name}" goes by {self.measure.value}; '
                "say whether that is in inches (in) or millimetres (mm)."
            )
        if self.per not in (PER_PIECE, PER_THOUSAND_STITCHES):
            raise PricelabError(
                f'{whose} prices per "{self.per}"; expected piece or thousand stitches.'
            )
        if not (self.pack >= 1 and self.pack == int(self.pack)):
            raise PricelabError(
                f"{whose} packs of {self.pack:g}; expected a whole number of pieces from 1."
            )
        for name, array in (("bands", bands), ("breaks", breaks), ("prices", prices)):
            array = array.copy()
            array.setflags(write=False)
            object.__setattr__(self, name, array)

    @classmethod
    def by_quantity(cls, name: str, breaks, prices, *, pack: int = 1, **more) -> "Grid":
        """A grid of one band: the price hangs on the quantity alone (blanks, stitching)."""
        return cls(name, Measure.ANY_SIZE, None, [np.inf], breaks, [prices], pack=pack, **more)

    @property
    def by_stitches(self) -> bool:
        """Whether the price goes by stitches, as its band or as what it is for."""
        return self.measure is Measure.THOUSAND_STITCHES or self.by_thousand

    @property
    def by_thousand(self) -> bool:
        """Whether a price is for a thousand stitches of a piece instead of for the piece."""
        return self.per == PER_THOUSAND_STITCHES

    # ---- finding the cell -------------------------------------------------------------

    def band_of(self, size):
        """Index of each size's band, same shape; `NotPossible` over the last band."""
        size = np.asarray(size, float)
        if size.size and not self.holds(size.max()):
            raise NotPossible(
                f"size {size.max():g} is over the last band of {self.name}, "
                f"which ends at {self.bands[-1]:g}."
            )
        return _passed(self.bands[:-1] + TOLERANCE, size)

    def holds(self, size):
        """Whether each size is in one of the bands, same shape."""
        return np.asarray(size, float) <= self.bands[-1] + TOLERANCE

    def break_of(self, billed):
        """Index of each billed quantity's break, same shape (under the first break: the first)."""
        return _passed(self.breaks[1:], np.asarray(billed))

    def price(self, size, quantity, *, paired: bool = False):
        """Unit price of every size (n,) in every quantity (m,): (n, m).

        The look-up of the whole package. `paired`, the k-th size in the k-th quantity: (n,).
        """
        size = laid_down(size, quantity, paired=paired)
        return _cells(self.prices, self.band_of(size), self.break_of(quantity))

    def place(self, band: int, break_: int) -> Place | None:
        """File, row and column of one cell, if the grid was read from a file."""
        return None if self.sheet is None else self.sheet.place(band, break_)

    # ---- buying -----------------------------------------------------------------------

    def billed(self, quantity):
        """Pieces paid for when `quantity` are wanted: the first break's at least, whole packs."""
        quantity = check_quantity(quantity)
        billed = np.maximum(quantity, self.breaks[0]) if self.breaks[0] > 1 else quantity
        if self.pack > 1:
            billed = -(-billed // self.pack) * self.pack
        return billed

    def buy(self, size, quantity, *, order_up=False, paired=False) -> "Purchase":
        """What every quantity of every size costs, shapes as in `price`.

        Told to `order_up`, a later break is bought where that costs less.
        """
        billed, size = self.billed(quantity), laid_down(size, quantity, paired=paired)
        if order_up:
            better, _ = self.order_up(size, quantity, paired=paired)
            billed = np.maximum(billed, better)
        band, tier = self.band_of(size), self.break_of(billed)
        return Purchase(quantity, billed, _cells(self.prices, band, tier), self, band, tier)

    def order_up(self, size, quantity, *, paired: bool = False):
        """Where buying a later break's quantity costs less: that quantity, and the money saved.

        Shapes as in `price`; 0 where it does not pay. Of several such breaks the cheapest
        counts, of equals the smallest.
        """
        billed, size = self.billed(quantity), laid_down(size, quantity, paired=paired)
        band, tier = self.band_of(size), self.break_of(billed)
        quantities = self.billed(self.breaks)
        bills = self.prices[:, self.break_of(quantities)] * quantities
        later_quantity, later_bill = cheapest_later(quantities, bills)
        saving = _cells(self.prices, band, tier) * billed - _cells(later_bill, band, tier)
        pays = saving > TOLERANCE
        better = np.where(pays, _cells(later_quantity, band, tier), 0)
        return better[()], np.where(pays, saving, 0.0)[()]


def cheapest_later(quantities, bills):
    """For every break, the later one whose whole bill is least: its quantity and its bill.

    `quantities` are the breaks', shape (breaks,); `bills` the money for so many, shape
    (bands, breaks), and so are both answers. Of equal bills the nearest break counts; the
    last break has none after it: quantity 0, an infinite bill.
    """
    least = np.minimum.accumulate(bills[:, ::-1], axis=1)[:, ::-1]  # of this and all later
    last = bills.shape[1] - 1
    at = np.where(bills <= least + TOLERANCE, np.arange(last + 1), last)
    nearest = np.minimum.accumulate(at[:, ::-1], axis=1)[:, ::-1]
    later_quantity = np.zeros(bills.shape, np.int64)
    later_bill = np.full(bills.shape, np.inf)
    later_quantity[:, :-1] = np.asarray(quantities)[nearest[:, 1:]]
    later_bill[:, :-1] = least[:, 1:]
    return later_quantity, later_bill


@dataclass(frozen=True, eq=False)
class Purchase:
    """A purchase off a grid: pieces wanted and billed, the unit price and its cell.

    Of the good pieces' work, `spoiled` more are expected to be lost (a fraction of pieces).
    What is bought beyond the pieces wanted replaces them first: only those that it does not
    cover are charged `on_top`, and only what is then `left_over` is worth anything.
    """

    wanted: np.ndarray
    billed: np.ndarray
    unit_price: np.ndarray
    grid: Grid
    band: np.ndarray
    tier: np.ndarray
    spoiled: np.ndarray = 0.0

    @property
    def amount(self):
        """Money paid, billed × unit price, broadcast over sizes and quantities."""
        return self.unit_price * self.billed

    @property
    def surplus(self):
        """Pieces paid for beyond those wanted."""
        return self.billed - self.wanted

    @property
    def on_top(self):
        """Spoiled pieces that the surplus does not cover."""
        return _beyond(self.spoiled, self.surplus)

    @property
    def left_over(self):
        """Surplus that is left when the spoiled pieces are replaced."""
        return _beyond(self.surplus, self.spoiled)

    def paid(self, spoiled, surplus_worth: float = 0.0):
        """Pieces paid for where so many are spoiled, less what the pieces left over are worth."""
        over = self.surplus - spoiled
        return self.billed + np.maximum(-over, 0) - surplus_worth * np.maximum(over, 0)


def _beyond(pieces, covered):
    """Pieces beyond those that are covered, 0 where there are none."""
    beyond = np.asarray(pieces - covered)
    return np.where(beyond > TOLERANCE, beyond, 0.0)[()]


def _passed(edges, values):
    """How many of the rising `edges` each value has passed, or is on.

    Many values are looked up by counting comparisons: for the dozen edges of a printed grid
    that is several times quicker than `numpy.searchsorted`, since every comparison runs
    over a whole cached chunk at once.
    """
    if values.size < _CHUNK // 8:
        return np.searchsorted(edges, values, "right")
    counts = np.zeros(values.size, np.int8 if len(edges) < 128 else np.int64)
    flat = values.reshape(-1)
    for start in range(0, flat.size, _CHUNK):
        chunk, count = flat[start : start + _CHUNK], counts[start : start + _CHUNK]
        for edge in edges:
            count += chunk >= edge
    return counts.reshape(values.shape)


def _cells(table, row, column):
    """``table[row, column]``, broadcast, by the quickest way for the shapes at hand."""
    row, column = np.asarray(row), np.asarray(column)
    if row.ndim == 2 and row.shape[1] == 1 and column.ndim == 1:  # a mesh: one look-up an axis
        return np.take(table[row[:, 0]], column, axis=1)
    return table[row, column]
