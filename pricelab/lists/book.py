"""The price book: every method on every blank, planned and judged in one go."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from pricelab.cost.cost_sheet import CostSheet
from pricelab.cost.costing import decorating_sheet
from pricelab.cost.orders import obstacles
from pricelab.lists.audit import Audit, audit_on
from pricelab.lists.planning import Tiers, basis_on, list_order, plan_on, usual_sizes
from pricelab.shop.method import Method
from pricelab.shop.shop import Shop


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
    return tuple(
        page
        for method in shop.methods.values()
        for page in _pages(shop, method, starts, quantities, weights)
    )


def _pages(shop: Shop, method: Method, starts, quantities, weights) -> Iterator[Page]:
    """A method's pages; blanks that take the same artworks share what decorating costs."""
    sizes = usual_sizes(method)
    known: dict[bytes, CostSheet] = {}
    for blank in shop.blanks.values():
        order = list_order(method, blank, sizes, quantities)
        reasons = obstacles(order)
        possible, judged = sizes[reasons == ""], None
        if 0 < possible.size < sizes.size:
            order = list_order(method, blank, possible, quantities)
        if possible.size:
            artwork = order.decorations[0].artwork
            same = b"".join(x.tobytes() for x in (possible, artwork.width, artwork.height))
            if same not in known:
                known[same] = decorating_sheet(shop, order)
            basis = basis_on(shop, possible, order, known[same])
            tiers = Tiers.of(basis, starts, weights)
            judged = audit_on(basis, tiers, plan_on(basis, tiers))
        no = zip(sizes[reasons != ""].tolist(), reasons[reasons != ""], strict=True)
        yield Page(method.key, blank.key, judged, tuple(no))
