"""What finished jobs should have cost and been charged, all at once.

Jobs of one method on one blank share a cost sheet, their artworks and quantities side by
side; so half a million jobs take some hundred sheets. Each row of the jobs is estimated as
an order of its own, on the grids, rates and times of the shop as it is.
"""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

import numpy as np

from pricelab.costing import cost_sheet
from pricelab.costsheet import OPERATOR, CostSheet
from pricelab.orders import Decoration, Order, obstacles
from pricelab.planning import setup_line
from pricelab.pricelist import PriceList
from pricelab.pricing import Fees, without_tax
from pricelab.shop import Element, Level, Method, Shop
from pricelab.sizes import Artwork, size_of
from pricelab.spoilage import extra_share

if TYPE_CHECKING:
    import pandas as pd

FIGURES = (
    "price", "set-up", "material", "spoiled", "spoiled cost", "minutes", "machine minutes",
    "busiest minutes", "overhead", "other", "fee share", "fixed fee", "size band", "tier",
)  # fmt: skip
"""Columns of an estimate, beside `place` and `reason`: see `estimate_jobs`."""

MATERIAL = (Element.BLANK, Element.DECORATION, Element.CONSUMABLES)
"""What a piece or a batch of pieces uses up; it is used again for a spoiled piece."""


def estimate_jobs(shop: Shop, jobs: "pd.DataFrame", lists: Sequence[PriceList] = ()):
    """A frame of estimates under the index of `jobs` (columns as in `pricelab.files.jobs.TYPES`).

    Money is of the whole job, before sales tax:

    * `price` a piece and `set-up`: what the list of the method on the blank asks, or, where
      none of `lists` has a cell for the job, what was charged;
    * `material`: blanks, decorations and consumables, with the pieces expected to be `spoiled`,
      each of which takes `spoiled cost`;
    * attended `minutes`, `machine minutes` of all stations, and those of the one that is
      busiest; `overhead`; and `other`: freight, set-up, packing and the like;
    * what fees take: `fee share` of the money, and a `fixed fee`;
    * the list's cell: upper end of its `size band`, first quantity of its `tier` (0 where the
      job is on no list), and its `place` in a file, '' where it has none;
    * `reason`: why a job cannot be estimated ('' where it can); its figures are 0.
    """
    import pandas as pd

    listed = {(one.method, one.blank): one for one in lists}
    taken = {name: jobs[name].to_numpy() for name in
             ("width", "height", "quantity", "price each", "set-up charged")}  # fmt: skip
    figures = {name: np.zeros(len(jobs)) for name in FIGURES}
    figures |= {name: np.full(len(jobs), "", object) for name in ("place", "reason")}
    for rows, method, blank, first, on in _alike(shop, jobs):
        if first is None:
            what = f'method "{method}"' if method not in shop.methods else f'blank "{blank}"'
            figures["reason"][rows] = f"the shop has no {what} any more."
            continue
        artwork = Artwork(taken["width"][rows], taken["height"][rows], shop.unit)
        reasons = obstacles(Order([(blank, 1)], [Decoration(method, artwork)]))
        figures["reason"][rows] = reasons
        possible = np.flatnonzero(reasons == "")
        if not possible.size:
            continue
        rows, artwork = rows[possible], artwork.take(possible)
        quantity = taken["quantity"][rows]
        sheet = cost_sheet(shop, Order.of(blank, quantity, method, artwork, first=first, on=on))
        found = _costs(shop, sheet, method, quantity)
        found["price"] = taken["price each"][rows]
        found["set-up"] = taken["set-up charged"][rows]
        price_list = listed.get((method.key, blank.key))
        if price_list is not None:
            promised = method.setup_due(first, None) - method.setup_due(first, on)
            due = float(np.max(sheet.once)) + promised  # a promotion is the shop's, not the list's
            found |= _asked(
                shop, price_list, Decoration(method, artwork), quantity, due, first, found
            )
        for name, value in found.items():
            figures[name][rows] = value
    types = {"tier": "int64", "place": "str", "reason": "str"}
    return pd.DataFrame(figures, index=jobs.index).astype(types)


def _alike(shop: Shop, jobs: "pd.DataFrame") -> Iterator[tuple]:
    """Rows that share method, blank, first or repeat, and the promotions of the day.

    Where the shop has no such method or blank, their names, and None for the rest.
    """
    import pandas as pd

    codes, names = [], []
    for name in ("method", "blank", "order"):
        code, found = pd.factorize(jobs[name])
        codes.append(code)
        names.append(list(found))
    days = jobs["date"].to_numpy("datetime64[D]")
    kinds = tuple(len(found) for found in names)
    kind = np.ravel_multi_index(codes, kinds) if len(jobs) else np.zeros(0, int)
    for at, rows in _split(kind):
        method_at, blank_at, order_at = np.unravel_index(at, kinds)
        method, blank = names[0][method_at], names[1][blank_at]
        if method not in shop.methods or blank not in shop.blanks:
            yield rows, method, blank, None, None
            continue
        method, blank = shop.methods[method], shop.blanks[blank]
        first = names[2][order_at] == "first"
        offers = np.zeros(rows.size, int)
        for which, offer in enumerate(method.promotions if first else ()):
            begun = days[rows] >= np.datetime64(offer.starts)
            offers += (begun & (days[rows] <= np.datetime64(offer.ends))) << which
        for _, some in _split(offers):
            yield rows[some], method, blank, first, days[rows[some[0]]].item()


def _split(kind: np.ndarray) -> Iterator[tuple[int, np.ndarray]]:
    """Every different value of `kind` with the indices it stands at."""
    order = np.argsort(kind, kind="stable")
    ends = np.flatnonzero(np.diff(kind[order])) + 1
    for rows in np.split(order, ends):
        if rows.size:
            yield int(kind[rows[0]]), rows


def _costs(shop: Shop, sheet: CostSheet, method: Method, quantity) -> dict:
    """The figures of an estimate that hang on the cost sheet, each of shape (jobs,)."""
    used = [x for x in sheet.lines if x.element in MATERIAL
            and x.level in (Level.PIECE, Level.BATCH)]  # fmt: skip
    extra = extra_share(method.spoilage)
    material = sheet.total(used)
    if extra:
        spoiled_cost = sheet.total(x for x in used if x.spoiled) / (extra * quantity)
    else:
        spoiled_cost = material / quantity
    overhead = sheet.total(x for x in sheet.lines if x.element is Element.OVERHEAD)
    stations = [spent for who, spent in sheet.minutes.items() if who != OPERATOR]
    minutes, fees = sheet.minutes[OPERATOR], Fees.due(shop, method)
    return {
        "material": material,
        "spoiled": extra * quantity,
        "spoiled cost": spoiled_cost,
        "minutes": minutes,
        "machine minutes": sum(stations),
        "busiest minutes": np.maximum.reduce(stations) if stations else 0.0,
        "overhead": overhead,
        "other": sheet.full - material - overhead - minutes * shop.rates.labour / 60,
        "fee share": fees.share,
        "fixed fee": fees.fixed,
    }


def _asked(
    shop: Shop, listed: PriceList, decoration: Decoration, quantity, due, first, charged
) -> dict:
    """What a list asks for each job and in which cell; what was `charged` where it has none."""
    size = size_of(decoration.counted, listed.measure, listed.unit)
    size = np.broadcast_to(size, quantity.shape)
    there = (size <= listed.sizes[-1] + 1e-9) & (quantity <= listed.last)
    there &= quantity >= listed.starts[0]
    band = listed.grid.band_of(np.minimum(size, listed.sizes[-1]))
    tier = listed.grid.break_of(quantity)
    cells, at = np.unique(band * listed.starts.size + tier, return_inverse=True)
    places = [str(listed.place(*divmod(int(x), listed.starts.size)) or "") for x in cells]
    if listed.setup is not None and first:
        setup = listed.setup
    else:
        setup = setup_line(shop, decoration.method, due) or 0.0
    return {
        "price": np.where(there, listed.net[band, tier], charged["price"]),
        "set-up": np.where(there, without_tax(setup, listed.tax), charged["set-up"]),
        "size band": np.where(there, listed.sizes[band], 0.0),
        "tier": np.where(there, listed.starts[tier], 0),
        "place": np.where(there, np.array(places, object)[at], ""),
    }
