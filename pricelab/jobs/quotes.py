"""A quote as it was made: for whom, at which prices, and on which costs.

It keeps its own cost lines, so that another grid or another wage later does not rewrite
what a price stood on.
"""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

import numpy as np

from pricelab.client.offers import Offer, OfferLine, Wanted
from pricelab.cost.cost_sheet import OPERATOR, CostSheet, Why, beside
from pricelab.cost.costing import cost_sheet
from pricelab.cost.fees import Fees
from pricelab.cost.orders import Decoration, Order
from pricelab.cost.price import margin_at
from pricelab.jobs.estimates import COSTS, ratio
from pricelab.shop.charges import Element, Level
from pricelab.shop.errors import NotPossible, PricelabError
from pricelab.shop.shop import Shop
from pricelab.shop.sizes import Artwork
from pricelab.shop.tolerance import TOLERANCE

if TYPE_CHECKING:
    import pandas as pd


STATUSES = ("open", "won", "lost")


@dataclass(frozen=True)
class Quote:
    """A quote with its costs. Money is as shown: with a tax of `tax_in_prices` where that is not 0.

    `lines` are the cost sheet of the whole order; `minutes` by who or what is busy;
    `fee_share` and `fixed_fee` what is paid out of the money taken. `costed` is the day whose
    costs these are: the one it was made on wherever the shop of that day was kept, None where
    nobody noted it.
    """

    number: str
    made: date
    valid_until: date
    client: str
    method: str
    width: float
    height: float
    unit: str
    first: bool
    parts: tuple[OfferLine, ...]
    setup: float
    payable: float
    tax_in_prices: float
    lines: tuple[Why, ...]
    minutes: dict[str, float]
    fee_share: float = 0.0
    fixed_fee: float = 0.0
    status: str = "open"
    decided: date | None = None
    costed: date | None = None

    def __post_init__(self):
        if not self.parts:
            raise PricelabError(f"the quote {self.number} has no pieces.")
        if self.valid_until < self.made:
            raise PricelabError(
                f"the quote {self.number} ends on {self.valid_until}, before it was made."
            )

    @property
    def quantity(self) -> int:
        """Pieces in all."""
        return sum(part.pieces for part in self.parts)

    @property
    def revenue(self) -> float:
        """What the shop takes for it, before tax: the pieces and the set-up line."""
        shown = sum(part.amount for part in self.parts) + self.setup
        return shown / (1 + self.tax_in_prices)

    @property
    def cost(self) -> float:
        """Full cost of the order on the day of the quote."""
        return sum(line.amount for line in self.lines)

    def holds(self, on: date) -> bool:
        """Whether the client may still take it."""
        return self.made <= on <= self.valid_until


def quote_of(
    shop: Shop,
    wanted: Wanted,
    offer: Offer,
    number: str,
    made: date,
    client: str = "",
    *,
    costed: date | None = None,
) -> Quote:
    """The quote of an offer, with what it costs in `shop` on the day it is made.

    `costed` is the day on which the shop's tables stood so, where that is another day.
    """
    width, height = float(wanted.width.to(shop.unit)), float(wanted.height.to(shop.unit))
    parts = tuple(
        OfferLine(part.blank, part.colour, part.pieces, line.each, line.amount)
        for part, line in zip(wanted.parts, offer.lines, strict=True)
    )
    method = shop.method(wanted.method)
    sheet = _sheet(shop, method.key, parts, (width, height, shop.unit), wanted.first, made)
    tax, fees = shop.pricing.tax, Fees.due(shop, method)
    return Quote(
        number,
        made,
        made + timedelta(shop.valid_days),
        client,
        method.key,
        width,
        height,
        shop.unit,
        wanted.first,
        parts,
        offer.setup,
        offer.payable,
        tax.rate if tax.included else 0.0,
        sheet.why(),
        {who: float(spent) for who, spent in sheet.minutes.items()},
        fees.share,
        fees.fixed,
        costed=costed or made,
    )


def repeat(shop: Shop, quote: Quote, on: date) -> "pd.DataFrame":
    """A quoted order made again: its costs `then` beside those `now`, line by line.

    Columns: level, element, label, then, now, difference. A line that is due no more, such
    as the set-up of a first order, costs 0 now.
    """
    return beside(then=quote.lines, now=costs_on(shop, quote, on, first=False).why())


def costs_on(shop: Shop, quote: Quote, on: date, *, first: bool | None = None) -> CostSheet:
    """What the quoted order would cost in `shop` on a day; as first or repeat as quoted."""
    artwork = (quote.width, quote.height, quote.unit)
    first = quote.first if first is None else first
    return _sheet(shop, quote.method, quote.parts, artwork, first, on)


def _sheet(shop: Shop, method: str, parts, artwork, first: bool, on: date) -> CostSheet:
    decoration = Decoration(shop.method(method), Artwork(*artwork))
    pieces = [(shop.blank(part.blank), part.pieces) for part in parts]
    return cost_sheet(shop, Order(pieces, [decoration], first=first, on=on))


# ---- what the quotes were sold on, for judging -----------------------------------------


def kept_estimates(quotes: "pd.DataFrame", lines: "pd.DataFrame") -> "pd.DataFrame":
    """The estimates that quotes were made on, a row each by number, for `judge`.

    `quotes` and `lines` are tables of the book of records. Columns are named as those of
    `estimate_jobs`; what belongs to the order or the design stands once more as `fixed …`.
    How many pieces were expected to be spoiled shows in the work on them, as of what is bought
    something spare may replace them; of stitches by the thousand nothing counts as spare.
    """
    import pandas as pd

    index = pd.Index(quotes["number"], name="number")
    kind, level = lines["element"], lines["level"]
    once = level.isin([Level.ORDER.value, Level.DESIGN.value])
    spoiled = lines["spoiled"] == 1
    worked = (kind == Element.LABOUR.value) & (lines["unit"] == "minutes")

    def summed(which, column="amount", how="sum"):
        of_quotes = lines[which].groupby("quote")[column].agg(how)
        return of_quotes.reindex(index, fill_value=0.0).to_numpy(float)

    net = 1 + quotes["tax in prices"].to_numpy(float)
    quantity = quotes["quantity"].to_numpy(float)
    minutes = [json.loads(text) for text in quotes["minutes"]]
    stations = [[spent for who, spent in one.items() if who != OPERATOR] for one in minutes]
    costs = {
        name: kind.isin([x.value for x in elements]) & level.isin([x.value for x in levels])
        for name, (elements, levels) in COSTS.items()
    }
    costs["other"] = ~(costs["material"] | costs["overhead"] | worked)
    goods = kind.isin([Element.BLANK.value, Element.DECORATION.value])
    billed = goods & (lines["unit"] == "pieces") & (lines["quantity"] > 0)  # below 0: left over
    piece = worked & (level == Level.PIECE.value)
    lost, good = (summed(piece & which, "quantity") for which in (spoiled, ~spoiled))
    lost = quantity * ratio(lost, good)
    used = summed(costs["material"] & spoiled)
    sound = summed(costs["material"] & ~(goods & (lines["quantity"] < 0)))
    spare = {}
    for name in ("blank", "decoration"):
        own = billed & (kind == name)
        bought, on_top = (summed(own & which, "quantity") for which in (~spoiled, spoiled))
        price = ratio(summed(own & ~spoiled), bought)
        spare[f"{name} price"] = price
        spare[f"spare {name}s"] = np.where(bought > 0, bought - quantity, 0.0)
        used = used + price * (lost - on_top)
        sound = sound - price * spare[f"spare {name}s"]
    figures = {
        "quantity": quantity,
        "price": quotes["pieces total"].to_numpy(float) / quantity / net,
        "set-up": quotes["set-up"].to_numpy(float) / net,
        **{name: summed(which) for name, which in costs.items()},
        **{f"fixed {name}": summed(which & once) for name, which in costs.items()},
        "spoiled": lost,
        "spoiled cost": ratio(used, lost, sound / quantity),
        **spare,
        "minutes": np.array([one.get(OPERATOR, 0.0) for one in minutes]),
        "fixed minutes": summed(worked & once, "quantity"),
        "machine minutes": np.array([sum(spent) for spent in stations]),
        "busiest minutes": np.array([max(spent, default=0.0) for spent in stations]),
        "rate": summed(worked, "rate", "first"),
        "overhead rate": summed(costs["overhead"], "rate", "first"),
        "fee share": quotes["fee share"].to_numpy(float),
        "fixed fee": quotes["fixed fee"].to_numpy(float),
    }
    return pd.DataFrame(figures, index=index)


@dataclass(frozen=True)
class TouchedQuote:
    """An open quote whose order a change makes dearer or cheaper; margins are fractions.

    `before` is the margin it leaves at today's costs, `after` at the changed ones: None
    where the order cannot be bought any more, for the `reason` told.
    """

    quote: Quote
    before: float
    after: float | None
    reason: str = ""

    def falls_under(self, margin: float) -> bool:
        """Whether the change takes the quote under a margin that it met before."""
        return self.before >= margin and (self.after is None or self.after < margin)


def touched_quotes(
    shop: Shop, changed: Shop, quotes: Iterable[Quote], on: date
) -> tuple[TouchedQuote, ...]:
    """The quotes still open on a day that the change touches, the worst hit first.

    A quote binds the shop at its price until it ends, whatever its goods cost by then.
    """
    touched = []
    for quote in quotes:
        if quote.status != "open" or not quote.holds(on):
            continue
        try:
            now = costs_on(shop, quote, on).full
        except NotPossible:  # it could not be made today either: no change to tell of
            continue
        revenue, fees = quote.revenue, Fees(quote.fee_share, quote.fixed_fee)
        after, reason = None, ""
        try:
            then = costs_on(changed, quote, on).full
        except NotPossible as error:
            reason = str(error)
        else:
            if abs(then - now) <= TOLERANCE:
                continue
            after = float(margin_at(revenue, then, fees))
        before = float(margin_at(revenue, now, fees))
        touched.append(TouchedQuote(quote, before, after, reason))
    return tuple(sorted(touched, key=lambda one: -1.0 if one.after is None else one.after))
