"""What finished jobs should have cost and been charged, all at once.

Jobs of one method on one blank share a cost sheet, their artworks and quantities side by
side; so half a million jobs take some hundred sheets. Rows with one number are one order
(see `joborders`); its parts, each at the quantity of the whole, add up to its cost sheet. All
is estimated on the grids, rates and times of the shop as it is.
"""

from collections.abc import Iterator, Sequence
from functools import partial
from typing import TYPE_CHECKING

import numpy as np

from pricelab.cost.cost_sheet import OPERATOR
from pricelab.cost.costing import cost_sheet
from pricelab.cost.fees import Fees
from pricelab.cost.job_orders import JobOrders, job_orders, parts_of
from pricelab.cost.orders import Decoration, Order, obstacles
from pricelab.cost.price import setup_line
from pricelab.cost.spoilage import extra_share
from pricelab.shop.charges import Element, Level
from pricelab.shop.nesting import feed
from pricelab.shop.price_list import PriceList
from pricelab.shop.shop import Shop
from pricelab.shop.sizes import Artwork, size_of

if TYPE_CHECKING:
    import pandas as pd

GROWING = (
    *("material", "spoiled", "minutes", "machine minutes", "busiest minutes", "overhead"),
    *("other", "freight", "set-up cost", "spare blanks", "spare decorations"),
)
"""Figures of an estimate that are of the whole order and grow with its pieces."""

FIGURES = (
    *("price", "set-up", *GROWING, "spoiled cost", "blank price", "decoration price"),
    *("fee share", "fixed fee", "size band", "tier"),
)
"""Columns of an estimate, beside `place`, `reason` and `AT`: see `estimate_jobs`."""

AT = "minutes at "
"""What the column of a station's minutes is called, with its name after it."""

_ANY, _PIECES = tuple(Level), (Level.PIECE, Level.BATCH)
_MATERIAL = (Element.BLANK, Element.DECORATION, Element.CONSUMABLES)

COSTS = {
    "material": (_MATERIAL, _PIECES),  # used again for a spoiled piece
    "overhead": ((Element.OVERHEAD,), _ANY),
    "freight": ((Element.FREIGHT,), _ANY),
    "set-up cost": ((Element.SET_UP,), _ANY),
}
"""Figures that are sums of cost lines: of which elements, on which levels."""


def estimate_jobs(
    shop: Shop,
    jobs: "pd.DataFrame",
    lists: Sequence[PriceList] = (),
    orders: JobOrders | None = None,
):
    """A frame of estimates under the index of `jobs` (columns as in `pricelab.files.jobs.TYPES`).

    `orders` are the jobs' `job_orders`, where these are known already. Money is of the whole
    job, before sales tax, or of a row's part of it (see `joborders`):

    * `price` a piece and `set-up`: what the list of the method on the blank asks, or, where
      none of `lists` has a cell for the job, what was charged;
    * `material`: blanks, decorations and consumables, with the pieces expected to be `spoiled`,
      each of which takes `spoiled cost` where nothing spare replaces it; `spare blanks` and
      `spare decorations` are bought beyond the good pieces, at the `blank price` and the
      `decoration price` a piece (0 where none is bought);
    * attended `minutes`; `minutes at` each station, `machine minutes` of all of them, and those
      of the one that is busiest; `overhead`; and `other`: freight, set-up, packing and the like,
      and of these once more the `freight` and the `set-up cost`;
    * what fees take: `fee share` of the money, and a `fixed fee`;
    * the list's cell: upper end of its `size band`, first quantity of its `tier` (0 where the
      job is on no list), and its `place` in a file, '' where it has none;
    * `reason`: why a job cannot be estimated ('' where it can); its figures are 0.
    """
    import pandas as pd

    listed = {(one.method, one.blank): one for one in lists}
    orders = job_orders(jobs) if orders is None else orders
    taken = {
        name: jobs[name].to_numpy()
        for name in ("width", "height", "quantity", "price each", "set-up charged")
    }
    decorated = orders.everywhere(taken["quantity"], orders.decorated)
    figures = {name: np.zeros(len(jobs)) for name in (*FIGURES, "good material")}
    figures |= {name: np.full(len(jobs), "", object) for name in ("place", "reason")}
    busy = {OPERATOR: np.zeros(len(jobs))}
    for rows, method, blank, first, on, lost in _alike(shop, jobs, orders):
        if method not in shop.methods or blank not in shop.blanks:
            what = f'method "{method}"' if method not in shop.methods else f'blank "{blank}"'
            figures["reason"][rows] = f"the shop has no {what} any more."
            continue
        method, blank = shop.methods[method], shop.blanks[blank]
        artwork = Artwork(taken["width"][rows], taken["height"][rows], shop.unit)
        reasons = obstacles(Order([(blank, 1)], [Decoration(method, artwork)]))
        figures["reason"][rows] = reasons
        possible = np.flatnonzero(reasons == "")
        if not possible.size:
            continue
        rows, artwork = rows[possible], artwork.take(possible)
        quantity = decorated[rows]
        order = Order.of(blank, quantity, method, artwork, first=first, on=on, paired=True)
        if lost is None:
            parts, lost = [(cost_sheet(shop, order), 1.0)], (method.spoilage, 0.0)
        else:
            parts = parts_of(shop, order, orders, rows, lost)
        for sheet, share in parts:
            for who, spent in sheet.minutes.items():
                busy.setdefault(who, np.zeros(len(jobs)))[rows] += share * spent
        found = _costs(shop, parts)
        if method.roll is not None:
            fed = feed(method.roll, *artwork.in_unit(method.roll.unit), quantity, paired=True)
            row = fed.row_length * method.roll.price
            found["good material"] = (
                found["good material"] + taken["quantity"][rows] / fed.across * row
            )
        found["spoiled"] = (extra_share(lost[0]) - extra_share(lost[1])) * taken["quantity"][rows]
        found["price"] = taken["price each"][rows]
        found["set-up"] = taken["set-up charged"][rows]
        fees = Fees.due(shop, method)
        found |= {"fee share": fees.share, "fixed fee": fees.fixed}
        price_list = listed.get((method.key, blank.key))
        if price_list is not None:
            promised = method.setup_due(first, None) - method.setup_due(first, on)
            due = sum(float(np.max(sheet.once)) for sheet, _ in parts)
            due += promised  # a promotion is the shop's, not the list's
            found |= _asked(
                shop, price_list, Decoration(method, artwork), quantity, due, first, found
            )
        for name, value in found.items():
            figures[name][rows] = value
    figures["minutes"] = busy.pop(OPERATOR)
    if busy:
        figures["machine minutes"] = sum(busy.values())
        figures["busiest minutes"] = np.maximum.reduce(list(busy.values()))
    figures |= {f"{AT}{station}": spent for station, spent in busy.items()}
    if orders.rows.size:
        _join(shop, jobs, orders, figures)
    _spoiled_each(shop, orders, figures, taken["quantity"])
    for name, kind in (("tier", "int64"), ("place", "str"), ("reason", "str")):
        figures[name] = pd.array(figures[name], dtype=kind)
    return pd.DataFrame(figures, index=jobs.index, copy=False)


def _alike(shop: Shop, jobs: "pd.DataFrame", orders: JobOrders) -> Iterator[tuple]:
    """Rows that share method, blank, first or repeat, the promotions of the day, and spoilage.

    The shares spoiled are those of `JobOrders.lost`, None for rows that are an order of their own.
    """
    import pandas as pd

    methods, blanks, kinds = (jobs[x].to_numpy(object) for x in ("method", "blank", "order"))
    days, first = jobs["date"].to_numpy("datetime64[D]"), kinds == "first"
    offers = np.zeros(len(jobs), int)
    for key, method in shop.methods.items():
        for which, offer in enumerate(method.promotions):
            begun = first & (methods == key) & (days >= np.datetime64(offer.starts))
            offers += (begun & (days <= np.datetime64(offer.ends))) << which
    spoilage = {key: method.spoilage for key, method in shop.methods.items()}
    shares, of_rows = orders.lost(jobs["method"].iloc[orders.rows].map(spoilage).fillna(0.0))
    lost = orders.everywhere(np.zeros(len(jobs), int), of_rows + 1)
    alike = pd.DataFrame(dict(enumerate((methods, blanks, first, offers, lost))))
    for key, rows in alike.groupby(list(alike), sort=False).indices.items():
        method, blank, is_first, _, at = key
        shares_lost = shares[at - 1] if at else None
        yield rows, method, blank, bool(is_first), days[rows[0]].item(), shares_lost


def _costs(shop: Shop, parts: Sequence[tuple]) -> dict:
    """The figures of an estimate that hang on cost sheets of which shares are taken.

    Each of shape (jobs,); `spoiled cost` is for all pieces spoiled.
    """

    def total(which=None):
        return sum(share * sheet.total(filter(which, sheet.lines)) for sheet, share in parts)

    def under(name: str, line) -> bool:
        elements, levels = COSTS[name]
        return line.element in elements and line.level in levels

    found = {name: total(partial(under, name)) for name in COSTS}
    minutes = sum(share * sheet.minutes[OPERATOR] for sheet, share in parts)
    labour = minutes * shop.rates.labour / 60
    found["spoiled cost"] = total(lambda line: line.spoiled and under("material", line))
    found["good material"] = total(
        lambda line: line.level is Level.PIECE and under("material", line)
    )
    for sheet, share in parts:
        for line in sheet.lines:
            if line.bought is None or line.spoiled or np.any(line.each < 0):
                continue  # neither the pieces billed, nor are they all
            name, price, bought = line.element.value, line.rate * line.each, line.bought
            found[f"{name} price"] = price
            found[f"spare {name}s"] = share * bought.surplus
            found["spoiled cost"] += share * price * (bought.spoiled - bought.on_top)
    found["other"] = total() - found["material"] - found["overhead"] - labour
    return found


def _join(shop: Shop, jobs: "pd.DataFrame", orders: JobOrders, figures: dict) -> None:
    """Finish what hangs on all rows of an order, in place."""
    here = {name: values[orders.rows] for name, values in figures.items()}
    job, artwork, own = orders.job, orders.artwork, Fees.due(shop)
    listed = (here["tier"] > 0) & (orders.own_pieces == orders.quantity)
    listed = orders.added(~listed, artwork) == 0  # a client is offered all of it or nothing
    dearest = np.zeros(job.size)
    np.maximum.at(dearest, artwork, here["set-up"])
    here["set-up"] = dearest[artwork] * orders.quantity / orders.decorated
    charged = jobs.iloc[orders.rows]
    for name, otherwise in (
        ("price", charged["price each"]),
        ("set-up", charged["set-up charged"]),
        ("size band", 0),
        ("tier", 0),
        ("place", ""),
    ):
        here[name] = np.where(listed, here[name], otherwise)
    stations = [orders.added(spent, job) for name, spent in here.items() if name.startswith(AT)]
    here["busiest minutes"] = orders.share * np.maximum.reduce([np.zeros(job.size), *stations])
    new = orders.once(orders.method)
    for name, fee in (("fee share", own.share), ("fixed fee", own.fixed)):
        here[name] = fee + orders.added(new * (here[name] - fee), job)
    here["fixed fee"] = here["fixed fee"] * orders.share
    reasons, wrong = here.pop("reason"), np.full(job.size, "", object)
    at = np.flatnonzero(reasons != "")[::-1]
    wrong[job[at]] = reasons[at]  # the first of a job is put last
    figures["reason"] = orders.everywhere(figures["reason"], wrong[job])
    for name, values in here.items():
        nothing = "" if name == "place" else 0
        values = np.where(wrong[job] == "", values, nothing)
        figures[name] = orders.everywhere(figures[name], values)


def _spoiled_each(shop: Shop, orders: JobOrders, figures: dict, quantity: np.ndarray) -> None:
    """Put what one spoiled piece costs, with all its decorations, in place of what all do.

    Where none was expected, it is what a good one takes: on a roll, its share of a full row.
    """
    spare = sum(figures[f"{x} price"] * figures[f"spare {x}s"] for x in ("blank", "decoration"))
    good = figures.pop("good material") - (1 - shop.surplus_worth) * spare
    spoiled, cost, good = (
        orders.everywhere(of_rows, orders.added(of_rows[orders.rows], orders.pieces))
        for of_rows in (figures["spoiled"], figures["spoiled cost"], good)
    )
    figures["spoiled cost"] = ratio(cost, spoiled, good / quantity)


def ratio(part, whole, otherwise=0.0) -> np.ndarray:
    """`part` / `whole`, `otherwise` where there is no whole; of one shape."""
    out = np.array(np.broadcast_to(otherwise, np.shape(part)), float)
    return np.divide(part, whole, out=out, where=whole > 0)


def _asked(
    shop: Shop, listed: PriceList, decoration: Decoration, quantity, due, first, charged
) -> dict:
    """What a list asks for each job and in which cell; what was `charged` where it has none."""
    size = size_of(decoration.counted, listed.measure, listed.unit)
    band, tier, there = listed.cells(size, quantity, paired=True)
    cells, at = np.unique(band * listed.starts.size + tier, return_inverse=True)
    places = [str(listed.place(*divmod(int(x), listed.starts.size)) or "") for x in cells]
    if listed.setup is not None and first:
        setup = listed.setup
    else:
        setup = setup_line(shop, decoration.method, due) or 0.0
    return {
        "price": np.where(there, listed.net[band, tier], charged["price"]),
        "set-up": np.where(there, listed.tax.net(setup), charged["set-up"]),
        "size band": np.where(there, listed.sizes[band], 0.0),
        "tier": np.where(there, listed.starts[tier], 0),
        "place": np.where(there, np.array(places, object)[at], ""),
    }
