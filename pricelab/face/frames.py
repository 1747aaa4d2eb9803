"""Sizes, quantities and lists as people give them, and frames as they are given back."""

import numpy as np
import pandas as pd

from pricelab.lists.basis import list_measure
from pricelab.shop import figures
from pricelab.shop.blank import Blank
from pricelab.shop.checks import check_quantity
from pricelab.shop.errors import PricelabError
from pricelab.shop.method import Method
from pricelab.shop.price_list import PriceList
from pricelab.shop.shop import Shop
from pricelab.shop.sizes import Artwork
from pricelab.words.findings import size_unit, tax_note


def one_artwork(size, unit: str, stitches=None, colours=1) -> Artwork:
    """The artwork of one size, shape (1,)."""
    artwork = Artwork.read(size, unit, stitches, colours)
    if artwork.count != 1:
        raise PricelabError(f"found {artwork.count} sizes, expected one, such as (2.5, 2).")
    return artwork


def whole_quantities(quantities) -> np.ndarray:
    """Whole pieces, shape (m,)."""
    found = np.ravel(np.asarray(quantities))
    if not found.size:
        raise PricelabError("found no quantity, expected one or more, such as range(1, 301).")
    return check_quantity(found)


def about(frame: pd.DataFrame, shop: Shop, what: str, **more) -> pd.DataFrame:
    """The frame with word of its figures and their currency."""
    frame.attrs = {"figures": what, "currency": shop.currency, **more}
    return frame


def mesh(shop: Shop, what: str, values, artwork: Artwork, quantities) -> pd.DataFrame:
    """Figures of every size (down) and quantity (across), turned round as people plot them."""
    columns = pd.Index(artwork_labels(artwork), name=f"size, {artwork.unit}")
    return about(pd.DataFrame(values.T, pd.Index(quantities, name="pieces"), columns), shop, what)


def artwork_labels(artwork: Artwork) -> list[str]:
    """What each artwork is called: its size, and its stitches or colours where they differ."""
    sides = zip(artwork.width, artwork.height, strict=True)
    parts = [[f"{figures.number(wide)} × {figures.number(high)}" for wide, high in sides]]
    if artwork.stitches is not None and np.ptp(artwork.stitches):
        parts.append([f"{figures.number(many)} stitches" for many in artwork.stitches])
    if np.ptp(artwork.colours):
        parts.append([figures.count(many, "colour") for many in artwork.colours])
    return [", ".join(said) for said in zip(*parts, strict=True)]


def table(shop: Shop, what: str, prices, sizes, unit: str, starts, **more) -> pd.DataFrame:
    """Prices by the upper ends of sizes (down) and the first quantities of tiers (across)."""
    rows = pd.Index(sizes, name=f"size up to, {unit}")
    columns = pd.Index(starts, name="pieces from")
    return about(pd.DataFrame(prices, rows, columns), shop, what, **more)


def list_frame(shop: Shop, listed: PriceList) -> pd.DataFrame:
    """A price list: its last quantity, set-up line and tax are told beside it."""
    more = {"last": int(listed.last), "set-up": listed.setup, "tax": tax_note(listed.tax)}
    unit, what = size_unit(listed.measure, listed.unit), "price a piece, as printed"
    return table(shop, what, listed.prices, listed.sizes, unit, listed.starts, **more)


def list_of_frame(shop: Shop, method: Method, blank: Blank, prices: pd.DataFrame) -> PriceList:
    """The list that a frame such as `list_frame` gives stands for."""
    measure, unit = list_measure(method)
    sizes, starts = prices.index.to_numpy(), prices.columns.to_numpy()
    last = prices.attrs.get("last", max(shop.largest_order, starts[-1]))
    named = method.key, blank.key, measure, unit, sizes, starts, last, prices.to_numpy()
    return PriceList(*named, prices.attrs.get("set-up"), shop.pricing.tax)
