"""A quote for one order: what the client pays, and nothing of what it costs the shop."""

from dataclasses import dataclass
from datetime import date

import numpy as np

from pricelab import figures, wording
from pricelab.errors import NotPossible, PricelabError
from pricelab.grids import Grid
from pricelab.paper.clientcopy import OTHER_RULES, Letterhead, care_words
from pricelab.paper.safetext import one_line
from pricelab.paper.typesetting import typeset
from pricelab.pricelist import PriceList
from pricelab.quoting import charge_order
from pricelab.shop import Shop
from pricelab.sizes import Artwork, size_of


@dataclass(frozen=True)
class QuotePart:
    """The pieces of one blank (`name`, with its colour) in a quote; shown money."""

    name: str
    quantity: int
    each: float
    pieces: float


@dataclass(frozen=True)
class Quote:
    """One order as it is offered to `client`; money as shown, for the whole order but `each`.

    `total` is the sum of the lines, `tax` the sales tax in it or on top of it, `payable`
    what the client pays in all. Where the pieces are of several blanks or colours, `parts`
    has a line for each, and `each` is 0 unless all have the same price.
    """

    head: Letterhead
    client: str
    method: str
    blank: str
    artwork: str
    quantity: int
    each: float
    pieces: float
    setup: float
    total: float
    tax: float
    payable: float
    tax_label: str
    care: tuple[str, ...]
    hint: str = ""
    number: str = ""
    parts: tuple["QuotePart", ...] = ()

    def __post_init__(self):
        if self.quantity < 1:
            raise PricelabError(f"found a quantity of {self.quantity}, expected 1 piece or more.")
        for name in ("each", "pieces", "setup", "total", "tax", "payable"):
            if not 0 <= getattr(self, name) < float("inf"):
                raise PricelabError(
                    f"found {getattr(self, name)} for {name} in a quote, expected 0 or more."
                )


def quote(
    shop: Shop,
    price_list: PriceList,
    artwork: Artwork,
    quantity: int,
    on: date,
    *,
    client: str = "",
    first: bool = True,
) -> Quote:
    """The quote for `quantity` pieces with one `artwork`, by the list.

    `first` says whether the artwork is made for the first time, so that set-up is due.
    Raises `NotPossible` for sizes and quantities that the list does not offer.
    """
    each = listed_price(price_list, artwork, quantity)
    setup = (price_list.setup or 0.0) if first else 0.0
    charged = charge_order(quantity, each, setup, price_list.tax, shop.decimals)
    method, blank = shop.methods[price_list.method], shop.blanks[price_list.blank]
    tax, rate = price_list.tax, figures.percent(price_list.tax.rate, 3)
    label = f"including {rate} {tax.name}" if tax.included else f"{rate} {tax.name}"
    return Quote(
        Letterhead.of(shop, on), client, method.name, blank.name, _artwork_words(artwork),
        int(quantity), float(charged.each), float(charged.pieces), float(charged.setup),
        float(charged.total), float(charged.tax_due), float(charged.payable), label,
        care_words(method, blank), _hint(shop, price_list, artwork, quantity, charged.pieces),
    )  # fmt: skip


def listed_price(price_list: PriceList, artwork: Artwork, quantity) -> float:
    """The list's price of a piece, with the reason where there is none."""
    first, last = int(price_list.starts[0]), price_list.last
    if not first <= quantity <= last:
        raise NotPossible(
            f"the list offers {figures.pieces(first, last)}, and {figures.number(quantity)} "
            "are asked for."
        )
    size = size_of(artwork, price_list.measure, price_list.unit)
    table = Grid(
        "the price list", price_list.measure, price_list.unit, price_list.sizes,
        price_list.starts, price_list.prices,
    )  # fmt: skip
    return float(table.price(size, quantity))


def _hint(shop: Shop, price_list: PriceList, artwork: Artwork, quantity, paid) -> str:
    """A later quantity that costs the client no more than this one, if there is any."""
    later = price_list.starts[price_list.starts > quantity]
    if not later.size:
        return ""
    bills = np.array([listed_price(price_list, artwork, int(q)) * q for q in later])
    at = int(np.argmin(np.round(bills, 9)))
    if np.round(bills[at] - paid, 9) > 0:
        return ""
    more = figures.pieces(int(later[at]))
    bill = Letterhead.of(shop, date.min).money(bills[at])
    return f"{more} cost {bill}, no more than {figures.number(quantity)}."


def _artwork_words(artwork: Artwork) -> str:
    """The artwork's size as it is measured."""
    width, height = (figures.number(side) for side in (artwork.width, artwork.height))
    return f"{width} × {height} {artwork.unit}"


def quote_pdf(offer: Quote) -> bytes:
    """The quote on one page."""
    head = offer.head
    lines = [
        [
            f"{figures.number(p.quantity)} {one_line(p.name)}",
            head.money(p.each),
            head.money(p.pieces),
        ]
        for p in offer.parts
    ] or [[figures.pieces(offer.quantity), head.money(offer.each), head.money(offer.pieces)]]
    lines.append(["Set-up of the artwork", "", head.money(offer.setup)])
    included = offer.tax_label.startswith("including")
    tax = [offer.tax_label, "", head.money(offer.tax)]
    total = ["Total", "", head.money(offer.payable)]
    before = ["Sum before tax", "", head.money(offer.total)]
    if not offer.setup:
        lines.pop()
    if not offer.tax:
        lines += [total]
    else:
        lines += [total, tax] if included else [before, tax, total]
    named = f"Quote {offer.number}" if offer.number else "Quote"
    about = [head.conditions, *offer.care, OTHER_RULES]
    return typeset(
        "quote.typ",
        {
            "title": one_line(f"{head.shop}: quote {offer.client}").rstrip(),
            "paper": head.paper,
            "shop": one_line(head.shop),
            "notice": one_line(head.notice),
            "client": one_line(offer.client),
            "method": one_line(offer.method),
            "blank": one_line(offer.blank),
            "artwork": offer.artwork,
            "validity": f"{named} of {wording.day(head.on)}, "
            f"valid until {wording.day(head.until)}.",
            "lines": lines,
            "total": lines.index(total),
            "tax_note": head.tax_note if not offer.tax else "",
            "hints": [offer.hint] if offer.hint else [],
            "notes": [one_line(line) for line in about if line],
        },
    )
