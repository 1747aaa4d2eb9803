"""The price book: every method on every blank, planned and judged in one go."""

from dataclasses import dataclass

import numpy as np

from pricelab.audit import Audit, audit_on
from pricelab.orders import Order, obstacles
from pricelab.planning import Tiers, basis_of, list_artwork, plan_on, usual_sizes
from pricelab.shop import Shop


@dataclass(frozen=True, eq=False)
class Page:
    """A method on a blank: its list as judged, or None, and why some sizes are not possible.

    `impossible` pairs a size with the reason.
    """

    method: str
    blank: str
    audit: Audit | None
    impossible: tuple[tuple[float, str], ...]


def price_book(shop: Shop, starts, last: int, weights=None) -> tuple[Page, ...]:
    """A page for every method and blank of the shop, with tiers from `starts` up to `last`."""
    starts = np.asarray(starts)
    quantities = np.arange(starts[0], last + 1)
    pages = []
    for method in shop.methods.values():
        sizes = usual_sizes(method)
        for blank in shop.blanks.values():
            order = Order.of(blank, 1, method, list_artwork(method, blank, sizes))
            reasons = obstacles(order)
            possible = sizes[reasons == ""]
            judged = None
            if possible.size:
                basis = basis_of(shop, method, blank, possible, quantities)
                tiers = Tiers.of(basis, starts, weights)
                judged = audit_on(basis, tiers, plan_on(basis, tiers))
            no = zip(sizes[reasons != ""].tolist(), reasons[reasons != ""], strict=True)
            pages.append(Page(method.key, blank.key, judged, tuple(no)))
    return tuple(pages)
