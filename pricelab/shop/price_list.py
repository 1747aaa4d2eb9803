"""A price list: a price for every size band and quantity tier of a method on a blank."""

from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from pricelab.shop.checks import check_quantity, in_a_row, rising_counts, rising_sizes
from pricelab.shop.errors import NotPossible, PricelabError
from pricelab.shop.grids import Grid
from pricelab.shop.place import Place, Sheet
from pricelab.shop.pricing_rules import NO_TAX, Tax
from pricelab.shop.sizes import Measure, laid_down


@dataclass(frozen=True, eq=False)
class PriceList:
    """Printed unit prices: `prices[band, tier]`.

    `sizes` are the upper ends of the bands by `measure`, counted in `unit`; `starts` the
    first quantity of each tier, `last` the last quantity of the last tier. Prices are as
    printed: with sales tax where `tax.included`. `setup` is the printed price of the
    set-up line of a first order, or None where set-up is spread over the pieces.
    """

    method: str
    blank: str
    measure: Measure
    unit: str | None
    sizes: np.ndarray
    starts: np.ndarray
    last: int
    prices: np.ndarray
    setup: float | None = None
    tax: Tax = NO_TAX
    sheet: Sheet | None = field(default=None, repr=False)

    def __post_init__(self):
        sizes = np.atleast_1d(np.asarray(self.sizes, float))
        starts = np.atleast_1d(np.asarray(self.starts))
        prices = np.atleast_2d(np.asarray(self.prices, float))
        if not rising_sizes(sizes):
            raise PricelabError(
                f"the list has the sizes {in_a_row(sizes)}; "
                "expected sizes above 0, each more than the one before."
            )
        check_tiers(starts, self.last)
        if prices.shape != (sizes.size, starts.size):
            raise PricelabError(
                f"the list has {prices.shape[0]} × {prices.shape[1]} prices; "
                f"expected {sizes.size} × {starts.size}, one for each size and tier."
            )
        if not (np.isfinite(prices).all() and prices.min() > 0):
            wrong = prices[~(np.isfinite(prices) & (prices > 0))][0]
            raise PricelabError(f"the list has the price {wrong:g}; expected more than 0.")
        for name, array in (("sizes", sizes), ("starts", starts), ("prices", prices)):
            array = array.copy()
            array.setflags(write=False)
            object.__setattr__(self, name, array)

    @property
    def ends(self) -> np.ndarray:
        """The last quantity of each tier, shape (tiers,)."""
        return np.append(self.starts[1:] - 1, self.last)

    @property
    def quantities(self) -> np.ndarray:
        """Every quantity the list covers, from the first tier's start to `last`."""
        return np.arange(self.starts[0], self.last + 1)

    @property
    def tier_of_quantity(self) -> np.ndarray:
        """Index of the tier of each of `quantities`."""
        return self.grid.break_of(self.quantities)

    @property
    def net(self) -> np.ndarray:
        """Prices before sales tax, shape (bands, tiers)."""
        return self.tax.net(self.prices)

    def of_sizes(self, bands: np.ndarray) -> "PriceList":
        """The list of some of its sizes, by their indices."""
        sheet = self.sheet
        if sheet is not None:
            sheet = replace(sheet, rows=tuple(sheet.rows[band] for band in bands))
        return replace(self, sizes=self.sizes[bands], prices=self.prices[bands], sheet=sheet)

    @cached_property
    def grid(self) -> Grid:
        """The list as a grid, to look prices up in as in any other."""
        name = f"the list of {self.method} on {self.blank}"
        return Grid(name, self.measure, self.unit, self.sizes, self.starts, self.prices)

    def cells(self, size, quantity, *, paired: bool = False):
        """Band and tier of every size in every quantity, and whether the list has them.

        Three arrays, shapes as in `Grid.price`. Where the list has no such cell, band and tier
        are the nearest ones.
        """
        size = laid_down(np.asarray(size, float), quantity, paired=paired)
        size, quantity = np.broadcast_arrays(size, np.asarray(quantity))
        band = self.grid.band_of(np.minimum(size, self.sizes[-1]))
        there = self.grid.holds(size) & (quantity >= self.starts[0]) & (quantity <= self.last)
        return band, self.grid.break_of(quantity), there

    def price(self, size, quantity):
        """Shown price a piece, of the shape of `Grid.price`; `NotPossible` off the list."""
        quantity = check_quantity(quantity)
        if quantity.min() < self.starts[0] or quantity.max() > self.last:
            raise NotPossible(f"{self.grid.name} goes from {self.starts[0]} to {self.last} pieces.")
        return self.grid.price(size, quantity)

    def place(self, band: int, tier: int) -> Place | None:
        """File, row and column of a cell that was read from a file."""
        return None if self.sheet is None else self.sheet.place(band, tier)


def check_tiers(starts: np.ndarray, last: int) -> None:
    """Whether quantity tiers `starts` rise and none begins above the `last` quantity."""
    if not rising_counts(starts):
        raise PricelabError(
            f"the list has tiers that start at {in_a_row(starts)}; "
            "expected whole numbers from 1, each more than the one before."
        )
    if last < starts[-1]:
        raise PricelabError(
            f"the list ends at {last}, before its last tier starts at {starts[-1]}; "
            "let it end at that quantity or later."
        )
