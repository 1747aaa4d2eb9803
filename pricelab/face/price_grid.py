"""The supplier's prices of a method, to look up by size and quantity."""

import numpy as np
import pandas as pd

from pricelab.cost.orders import Decoration
from pricelab.face.frames import mesh, table, whole_quantities
from pricelab.shop import figures
from pricelab.shop.method import Method
from pricelab.shop.shop import Shop
from pricelab.shop.sizes import Artwork, size_of
from pricelab.words.findings import size_unit


class PriceGrid:
    """The supplier's prices of a method to look up; `method.grid` holds the values."""

    def __init__(self, method: Method, shop: Shop):
        self.method, self._shop = method, shop

    def __repr__(self):
        grid = self.method.grid
        bands = figures.count(grid.bands.size, "size band")
        breaks = figures.count(grid.breaks.size, "quantity break")
        return f"<{grid.name}: {bands} by {grid.measure.value}, {breaks}>"

    def _repr_html_(self):
        return self.frame.to_html()

    @property
    def frame(self) -> pd.DataFrame:
        """The grid as it stands: a row for each band, by its upper end; a column for each break."""
        grid = self.method.grid
        unit = size_unit(grid.measure, grid.unit)
        return table(self._shop, f"price a {grid.per}", grid.prices, grid.bands, unit, grid.breaks)

    def price(self, sizes, quantities, *, stitches=None) -> pd.DataFrame:
        """The price of a piece (or of a thousand stitches) at every size and quantity: a mesh.

        A size is in the first band whose upper end is not below it, a quantity takes the
        greatest break that is not above it. `NotPossible` over the last band.

        >>> from pricelab.face.open_shop import open_shop
        >>> open_shop("data/harbour-caps").grid("leather").price((2.5, 2), [11, 12, 48])
        size, in  2.5 × 2
        pieces
        11           6.10
        12           4.65
        48           3.60
        """
        artwork = Artwork.read(sizes, self._shop.unit, stitches)
        quantities = whole_quantities(quantities)
        grid, counted = self.method.grid, Decoration(self.method, artwork).counted
        size = np.broadcast_to(size_of(counted, grid.measure, grid.unit), artwork.count)
        prices = grid.price(size, quantities)
        return mesh(self._shop, f"price a {grid.per}", prices, artwork, quantities)
