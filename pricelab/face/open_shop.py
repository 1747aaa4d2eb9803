"""The front door: open a shop and ask it, with keys or values in and pandas frames out.

Nothing is worked out here: every answer is a rule's, laid into a frame. A method or a blank
is a key of the shop, or a value made from one: `replace(shop.method("leather"), spoilage=0.1)`
asks *what if*. A size is a pair (width, height) in the shop's unit or as people write it,
`("57 mm", "40 mm")` or ``"2 1/4 x 2"``. One size or a list of them meets quantities in a mesh:
quantities down, sizes across. `stitches` and `colours` are one figure or one for each size;
stitches that are not given are estimated. `first`: an artwork's first order, or a repeat.

``frame.attrs`` says what the figures are and in which currency. Money is before sales tax
unless it is as printed; shares are fractions, not %. What cannot be made is answered by
`NotPossible` with the reason, a key that is not there by `PricelabError` with those that are.
"""

import os
from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import pandas as pd

from pricelab.analysis.break_even import HOURLY, MARGIN, PROFIT, OrderCase
from pricelab.analysis.buying import buying_list
from pricelab.analysis.comparison import Comparison
from pricelab.cost.costing import cost_sheet
from pricelab.cost.orders import Order, obstacles
from pricelab.face.frames import (
    about,
    artwork_labels,
    list_frame,
    list_of_frame,
    mesh,
    one_artwork,
    whole_quantities,
)
from pricelab.face.price_grid import PriceGrid
from pricelab.files import folders, shop_folder
from pricelab.lists.audit import audit
from pricelab.lists.breaks import TIERS_AT_A_GLANCE
from pricelab.lists.selling_list import planned_list, selling_list
from pricelab.lists.typical_quantity import weights_of
from pricelab.lists.usual_tiers import break_frontier
from pricelab.shop import figures
from pricelab.shop.blank import Blank
from pricelab.shop.business import Business
from pricelab.shop.errors import NotPossible, PricelabError
from pricelab.shop.method import Method
from pricelab.shop.price_list import PriceList
from pricelab.shop.sizes import Artwork
from pricelab.words.findings import size_label, tax_note, tier_label, verdict

_GOALS = {"margin": MARGIN, "profit": PROFIT, "hourly": HOURLY}
"""What can be asked of an order, by the word for it."""


def open_shop(folder: str | os.PathLike | None = None) -> "OpenShop":
    """The shop in a folder; where none is named, the one that the workbook opens.

    A folder is looked for from where you are, then in the clone, then among your own shops.
    Raises `ShopFaults` with every fault of every table, each with its row and its cure.

    >>> open_shop("data/harbour-caps")
    <Harbour Caps: 7 methods, 12 blanks, 24 price lists, 404 finished jobs; USD, in>
    """
    if folder and not os.path.isdir(folder) and (folders.ROOT / folder).is_dir():
        folder = folders.ROOT / folder
    return OpenShop(shop_folder.read_shop(folders.shop_folder(folder)))


def read_shop(tables: Mapping[str, bytes]) -> "OpenShop":
    """The shop of tables in memory, what each file holds by its name; as strict as `open_shop`.

    >>> folder = folders.ROOT / "data" / "fjord-muetzen"
    >>> tables = [path for path in folder.rglob("*") if path.is_file()]
    >>> read_shop({one.relative_to(folder).as_posix(): one.read_bytes() for one in tables})
    <Fjord Mützen: 5 methods, 8 blanks, 14 price lists, 252 finished jobs; EUR, mm>
    """
    return OpenShop(shop_folder.read_shop(tables))


class OpenShop:
    """A shop to ask. Its `business` holds the values: the shop, today's lists, jobs and quotes."""

    def __init__(self, business: Business):
        self.business = business

    def __repr__(self):
        business, shop = self.business, self.business.shop
        held = {"method": shop.methods, "blank": shop.blanks}
        held |= {"price list": business.price_lists, "finished job": business.jobs}
        counted = ", ".join(figures.count(len(all_), noun) for noun, all_ in held.items())
        return f"<{shop.name}: {counted}; {shop.currency}, {shop.unit}>"

    def _repr_html_(self):
        shop = self.business.shop
        rows = [("method", one.key, one.name) for one in shop.methods.values()]
        rows += [("blank", one.key, one.name) for one in shop.blanks.values()]
        return pd.DataFrame(rows, columns=[shop.name, "key", "name"]).to_html(index=False)

    # ---- what the shop holds ----------------------------------------------------------

    def method(self, key: str | Method) -> Method:
        """The method of a key.

        >>> open_shop("data/harbour-caps").method("lether")
        Traceback (most recent call last):
        pricelab.shop.errors.PricelabError: There is no method "lether". Name one of: leather, \
embroidered-patch, moulded, flat, raised, vinyl, flat-contracted.
        """
        return key if isinstance(key, Method) else self.business.shop.method(key)

    def blank(self, key: str | Blank) -> Blank:
        """The blank of a key.

        >>> open_shop("data/harbour-caps").blank("mesh-back").name
        'Mesh-backed cap'
        """
        return key if isinstance(key, Blank) else self.business.shop.blank(key)

    def grid(self, method: str | Method) -> PriceGrid:
        """The supplier's prices of a method that is bought in.

        >>> open_shop("data/harbour-caps").grid("leather")
        <leather-patches: 12 size bands by mean of sides, 8 quantity breaks>
        """
        method = self.method(method)
        if method.grid is None:
            raise PricelabError(f"{method.name} is not bought in: it has no supplier's prices.")
        return PriceGrid(method, self.business.shop)

    # ---- what an order costs ----------------------------------------------------------

    def unit_cost(
        self, method, blank, sizes, quantities, *, stitches=None, colours=1, first=True
    ) -> pd.DataFrame:
        """The full cost a piece, set-up included, before fees on the money taken: a mesh.

        >>> shop = open_shop("data/harbour-caps")
        >>> shop.unit_cost("leather", "mesh-back", [(2, 2), (3, 2)], [1, 48]).round(2)
        size, in   2 × 2   3 × 2
        pieces
        1         123.28  133.78
        48         10.16   11.23
        """
        business, method, blank = self._with(method, blank)
        artwork = Artwork.read(sizes, business.shop.unit, stitches, colours)
        quantities = whole_quantities(quantities)
        sheet = cost_sheet(business.shop, _order(method, blank, artwork, quantities, first))
        cost = np.broadcast_to(sheet.full, sheet.shape) / quantities
        return mesh(business.shop, "full cost a piece", cost, artwork, quantities)

    def cost_sheet(
        self, method, blank, size, quantity: int, *, stitches=None, colours=1, first=True
    ) -> pd.DataFrame:
        """What one order costs, line by line: quantity × rate = amount, and where that is from.

        ``attrs["by level"]`` holds the sums by level, ``attrs["notes"]`` what was estimated
        and what would pay.

        >>> shop = open_shop("data/harbour-caps")
        >>> sheet = shop.cost_sheet("leather", "mesh-back", (2.5, 2), 48)
        >>> sheet.groupby("level", sort=False)["amount"].sum().round(2)
        level
        piece     426.88
        design     45.00
        order      34.95
        batch       5.18
        Name: amount, dtype: float64
        """
        business, method, blank = self._with(method, blank)
        artwork = one_artwork(size, business.shop.unit, stitches, colours)
        quantities = whole_quantities(quantity)
        if quantities.size > 1:
            raise PricelabError(f"found {quantities.size} quantities, expected one, such as 48.")
        sheet = cost_sheet(business.shop, _order(method, blank, artwork, quantities, first))
        lines = pd.DataFrame(map(vars, sheet.at(0, 0).why()))
        for kind in ("level", "element"):
            lines[kind] = [one.value for one in lines[kind]]
        lines["place"] = [str(place or "") for place in lines["place"]]
        lines = lines.rename(columns={"label": "line", "place": "where from"})
        sums = lines.groupby("level", sort=False)["amount"].sum().to_dict()
        more = {"by level": sums, "notes": list(sheet.notes)}
        return about(lines, business.shop, "cost of the order", **more)

    def to_buy(self, method, blank, size, quantity: int, *, stitches=None) -> pd.DataFrame:
        """What to buy for one order, in whole pieces: a row for each thing.

        Of `pieces` the shop is as sure as it wants to be, `billed` are paid for; buying `up_to`
        so many would cost `saving` less.

        >>> shop = open_shop("data/harbour-caps")
        >>> shop.to_buy("leather", "mesh-back", (2.5, 2), 48)[["good", "billed", "amount"]]
                                   good  billed  amount
        name
        Mesh-backed cap              48      51   224.4
        Leather patch, pressed on    48      51   153.0
        """
        business, method, blank = self._with(method, blank)
        artwork = one_artwork(size, business.shop.unit, stitches).take(0)
        bought = buying_list(business.shop, Order.of(blank, quantity, method, artwork))
        frame = pd.DataFrame(map(vars, bought)).set_index("name")
        return about(frame, business.shop, "what to buy for the order")

    # ---- price lists ------------------------------------------------------------------

    def price_list(
        self, method, blank, *, target=None, floor=None, tiers=None, sizes=None
    ) -> pd.DataFrame:
        """The lowest list that meets a `target` and a `floor` margin: sizes down, tiers across.

        A row is the list size that it goes up to, a column the first quantity of its tier,
        a cell the price a piece as printed. `tiers` are first quantities, or how many of the
        best there shall be; `sizes` are list sizes, those that cannot be made are left out.
        What is not given is the shop's own: its margins, the tiers and sizes of today's list.

        >>> shop = open_shop("data/harbour-caps")
        >>> shop.price_list("leather", "mesh-back", target=0.45, tiers=[12, 48])
        pieces from        12     48
        size up to, in
        2.0             22.25  16.75
        2.5             25.00  18.25
        3.0             28.00  20.25
        3.5             31.00  22.25
        """
        business, method, blank = self._with(method, blank, target=target, floor=floor)
        if tiers is not None and not np.ndim(tiers):
            tiers = break_frontier(business, method, blank, tiers)[-1].starts
        listed = planned_list(business, method, blank, tiers=tiers, sizes=sizes)
        return list_frame(business.shop, listed)

    def todays_list(self, method, blank) -> pd.DataFrame:
        """Today's list in the form of `price_list`; `PricelabError` where there is none.

        >>> float(open_shop("data/harbour-caps").todays_list("leather", "mesh-back").loc[2.5, 48])
        17.5
        """
        business, method, blank = self._with(method, blank)
        return list_frame(business.shop, _todays(business, method, blank))

    def audit(self, method, blank, prices=None, *, target=None, floor=None) -> pd.DataFrame:
        """Every trouble of today's list, worst first, and what to charge instead.

        `prices`, a frame such as `price_list` gives, is judged in place of today's list. The
        margin is that of the worst quantity (of the usual one where the target is missed);
        where buying more costs less, from that quantity on to `buy` is better.
        ``attrs["verdict"]`` is the whole in a sentence.

        >>> shop = open_shop("data/harbour-caps")
        >>> found = shop.audit("leather", "mesh-back")
        >>> found[["size", "tier", "finding", "worst quantity", "charge instead"]].head(2)
                   size    tier       finding  worst quantity  charge instead
        0  up to 3.5 in   24–47   below floor              24           25.25
        1    up to 2 in  96–143  under target              96           15.25
        """
        business, method, blank = self._with(method, blank, target=target, floor=floor)
        if prices is None:
            listed = _todays(business, method, blank)
        else:
            listed = list_of_frame(business.shop, method, blank, prices)
        judged = audit(business.shop, listed, weights_of(business, listed))
        columns = {
            "size": [size_label(listed, one.band) for one in judged.findings],
            "tier": [tier_label(listed, one.tier) for one in judged.findings],
            "finding": [one.trouble.value for one in judged.findings],
            "worst quantity": [one.quantity for one in judged.findings],
            "margin": pd.Series([one.margin for one in judged.findings], dtype=float),
            "price": pd.Series([one.price for one in judged.findings], dtype=float),
            "charge instead": pd.Series([one.instead for one in judged.findings], dtype=float),
            "buy": pd.Series([one.buy for one in judged.findings], dtype="Int64"),
        }
        whole = verdict(judged, business.shop)
        return about(pd.DataFrame(columns), business.shop, "prices as printed", verdict=whole)

    def breaks(self, method, blank, most: int = TIERS_AT_A_GLANCE) -> pd.DataFrame:
        """The best first quantities for 1, 2, … `most` tiers, by the finished jobs.

        The overcharge is the mean a piece, in money, above what each quantity would have to
        be charged at the target margin.

        >>> open_shop("data/harbour-caps").breaks("leather", "mesh-back", most=2).round(2)
               overcharge a piece first quantities
        tiers
        1                    6.13            (12,)
        2                    2.38         (12, 36)
        """
        business, method, blank = self._with(method, blank)
        found = break_frontier(business, method, blank, most)
        rows = [(len(one.starts), one.overcharge, one.starts) for one in found]
        frame = pd.DataFrame(rows, columns=["tiers", "overcharge a piece", "first quantities"])
        return about(frame.set_index("tiers"), business.shop, "best breaks")

    # ---- what is charged and earned ---------------------------------------------------

    def quote(
        self, method, blank, size, quantities, *, stitches=None, colours=1, first=True
    ) -> pd.DataFrame:
        """Orders as a client is charged for them, off today's list or else the planned one.

        A row for each quantity: the price of a piece, the pieces, the set-up line, and the
        total, all as printed; the sales tax in it or on top, and what is paid in all.

        >>> open_shop("data/harbour-caps").quote("leather", "mesh-back", (2.5, 2), [12, 48])
                 each  all pieces  set-up  total    tax  to pay
        pieces
        12      26.75       321.0    82.0  403.0  26.20  429.20
        48      17.50       840.0    82.0  922.0  59.93  981.93
        """
        business, method, blank = self._with(method, blank)
        artwork = one_artwork(size, business.shop.unit, stitches, colours)
        quantities = whole_quantities(quantities)
        listed = selling_list(business, method, blank)
        orders = Comparison.of(business.shop, [listed], artwork, quantities, first=first)
        if reason := _reason(orders):
            raise NotPossible(reason)
        sold = orders.sales[0].sold.charged
        lines = sold.each, sold.pieces, sold.setup, sold.total, sold.tax_due, sold.payable
        frame = pd.DataFrame(
            np.concatenate(np.broadcast_arrays(*lines)).T,
            pd.Index(quantities, name="pieces"),
            ["each", "all pieces", "set-up", "total", "tax", "to pay"],
        )
        return about(frame, business.shop, "as printed", tax=tax_note(listed.tax))

    def break_even(
        self, method, blank, size, *, stitches=None, colours=1, first=True, **goal
    ) -> pd.DataFrame:
        """The ranges of quantities that earn a goal at the list's prices, and those between.

        The goal is a `margin` (a fraction), a `profit` an order or an `hourly` profit of
        whoever or whatever is busiest; where none is given, a profit of 0. The ranges cover
        every quantity of today's list, or else of the planned one, once.

        >>> shop = open_shop("data/harbour-caps")
        >>> shop.break_even("leather", "mesh-back", (2.5, 2), margin=0.42)
           first  last  earns
        0      6    23   True
        1     24    24  False
        2     25    47   True
        3     48    49  False
        4     50    96   True
        5     97    99  False
        6    100   600   True
        """
        goal = goal or {"profit": 0.0}
        if len(goal) > 1 or not goal.keys() <= _GOALS.keys():
            said, goals = figures.listed(goal), ", ".join(_GOALS)
            raise PricelabError(f"found the goal {said}, expected one of {goals}.")
        ((by, least),) = goal.items()
        business, method, blank = self._with(method, blank)
        artwork = one_artwork(size, business.shop.unit, stitches, colours)
        listed = selling_list(business, method, blank)
        found = OrderCase.of(business.shop, listed, artwork, first=first).break_even(
            _GOALS[by], least
        )
        ranges = [(one.first, one.last, one.value) for one in found.stretches]
        frame = pd.DataFrame(ranges, columns=["first", "last", "earns"])
        return about(frame, business.shop, f"quantities that earn {_GOALS[by]} of {least:g}")

    def compare(
        self, methods, blank, size, quantities, by="margin", *, stitches=None, colours=1, first=True
    ) -> pd.DataFrame:
        """One artwork by several methods, each off its own list: quantities down, methods across.

        `by` is the price (of a piece, as printed), or of the order the total (as printed),
        cost, margin, profit or profit an hour. NaN stands for "not possible";
        ``attrs["not possible"]`` says by method why, of the first quantity that is not.

        >>> shop = open_shop("data/harbour-caps")
        >>> shop.compare(["leather", "flat"], "mesh-back", (2.5, 2), [5, 48]).round(3)
        method  leather   flat
        pieces
        5           NaN    NaN
        48        0.413  0.421
        """
        business, quantities = self.business, whole_quantities(quantities)
        artwork = one_artwork(size, business.shop.unit, stitches, colours)
        columns, reasons = {}, {}
        for asked in [methods] if isinstance(methods, str | Method) else methods:
            business, method, on = self._with(asked, blank)
            try:
                lists = [selling_list(business, method, on)]
            except PricelabError as error:  # no size of it can go on this blank
                columns[method.key], reasons[method.key] = np.nan, str(error)
                continue
            orders = Comparison.of(business.shop, lists, artwork, quantities, first=first)
            columns[method.key] = orders.figures(by)[0, 0].filled(np.nan)
            if reason := _reason(orders):
                reasons[method.key] = reason
        frame = pd.DataFrame(columns, pd.Index(quantities, name="pieces"), dtype=float)
        frame.columns.name = "method"
        return about(frame, business.shop, by, **{"not possible": reasons})

    def _with(self, method, blank, **margins) -> tuple[Business, Method, Blank]:
        """The business with a method, a blank and margins as they are asked about, and the two."""
        method, blank, shop = self.method(method), self.blank(blank), self.business.shop
        given = {name: margin for name, margin in margins.items() if margin is not None}
        shop = replace(
            shop,
            methods={**shop.methods, method.key: method},
            blanks={**shop.blanks, blank.key: blank},
            pricing=replace(shop.pricing, **given),
        )
        return replace(self.business, shop=shop), method, blank


def _order(method: Method, blank: Blank, artwork: Artwork, quantities, first: bool) -> Order:
    """The order of every size and quantity; `NotPossible` with the first size that stops it."""
    order = Order.of(blank, quantities, method, artwork, first=first)
    for label, reason in zip(artwork_labels(artwork), obstacles(order).flat, strict=True):
        if reason:
            raise NotPossible(f"{label} {artwork.unit}: {reason}")
    return order


def _todays(business: Business, method: Method, blank: Blank) -> PriceList:
    """Today's list, or an error where there is none."""
    listed = business.todays_list(method, blank)
    if listed is None:
        raise PricelabError(f"there is no list of {method.name} on {blank.name} today.")
    return listed


def _reason(orders: Comparison) -> str:
    """Why the first quantity that is not possible is not, '' where all are."""
    return next(filter(None, (orders.reason(0, 0, at) for at in range(orders.quantities.size))), "")
