"""A quote for one order: what the client pays, as a page to hand over and as a table to keep.

Made of what a client may see and of nothing else.
"""

from dataclasses import dataclass
from datetime import date

from pricelab import figures, wording
from pricelab.counter import Counter
from pricelab.errors import PricelabError
from pricelab.offers import Offer, Wanted
from pricelab.paper.clientcopy import OTHER_RULES, Letterhead, care_words
from pricelab.paper.safetext import csv_file, defused, one_line
from pricelab.paper.typesetting import typeset

COLUMNS = ("quote", "date", "valid until", "client", "what", "pieces", "each", "together")
"""The columns of the table; a row for each line of the quote."""


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
    parts: tuple[QuotePart, ...] = ()

    def __post_init__(self):
        if self.quantity < 1:
            raise PricelabError(f"found a quantity of {self.quantity}, expected 1 piece or more.")
        for name in ("each", "pieces", "setup", "total", "tax", "payable"):
            if not 0 <= getattr(self, name) < float("inf"):
                raise PricelabError(
                    f"found {getattr(self, name)} for {name} in a quote, expected 0 or more."
                )


def quote(
    counter: Counter, wanted: Wanted, offer: Offer, on: date, *, client="", number="", hint=""
) -> Quote:
    """The quote for an offer that was made for what was wanted."""
    shop, tax = counter.shop, counter.shop.pricing.tax
    method = shop.methods[wanted.method]
    blanks = [shop.blanks[key] for key in dict.fromkeys(part.blank for part in wanted.parts)]
    named = [
        QuotePart(", ".join(filter(None, (line.blank, line.colour))), line.pieces, line.each,
                  line.amount)
        for line in offer.lines
    ]  # fmt: skip
    apart = len(named) > 1 or any(line.colour for line in offer.lines)
    care = dict.fromkeys(words for blank in blanks for words in care_words(method, blank))
    rate = figures.percent(tax.rate, 3)
    size = " × ".join(figures.number(float(x.to(shop.unit))) for x in (wanted.width, wanted.height))
    return Quote(
        Letterhead.of(shop, on), client, method.name, ", ".join(blank.name for blank in blanks),
        f"{size} {shop.unit}", offer.quantity, offer.each or 0.0,
        sum(line.amount for line in offer.lines), offer.setup, offer.total, offer.tax,
        offer.payable, f"including {rate} {tax.name}" if tax.included else f"{rate} {tax.name}",
        tuple(care), hint, number, tuple(named) if apart else (),
    )  # fmt: skip


def quote_pdf(offer: Quote) -> bytes:
    """The quote on one page."""
    head = offer.head
    pieces = [
        (f"{figures.number(p.quantity)} {one_line(p.name)}", p.each, p.pieces) for p in offer.parts
    ] or [(figures.pieces(offer.quantity), offer.each, offer.pieces)]
    lines = [[what, head.money(each), head.money(sum_)] for what, each, sum_ in pieces]
    if offer.setup:
        lines.append(["Set-up of the artwork", "", head.money(offer.setup)])
    total = ["Total", "", head.money(offer.payable)]
    tax = [offer.tax_label, "", head.money(offer.tax)]
    if not offer.tax:
        lines.append(total)
    elif offer.tax_label.startswith("including"):
        lines += [total, tax]
    else:
        lines += [["Sum before tax", "", head.money(offer.total)], tax, total]
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


def quote_files(made: Quote) -> dict[str, bytes]:
    """The quote's two files by name: a page to print, and a table."""
    name = f"quote-{made.number}"
    return {f"{name}.pdf": quote_pdf(made), f"{name}.csv": quote_csv(made)}


def quote_csv(made: Quote) -> bytes:
    """The quote as a table: a row for each line, each with the quote's number and client."""
    parts = made.parts or (QuotePart(made.blank, made.quantity, made.each, made.pieces),)
    lines = [
        (f"{made.method}, {made.artwork}, on {p.name}", p.quantity, p.each, p.pieces) for p in parts
    ]
    if made.setup:
        lines.append(("Set-up of the artwork", "", "", made.setup))
    if made.tax:
        lines.append((f"Sales tax: {made.tax_label}", "", "", made.tax))
    lines.append(("Total", "", "", made.payable))
    head = made.head
    about = (made.number, head.on.isoformat(), head.until.isoformat(), defused(made.client))
    rows = [COLUMNS]
    for what, count, *amounts in lines:
        shown = [f"{x:.{head.decimals}f}" if x != "" else "" for x in amounts]
        rows.append((*about, defused(what), count, *shown))
    return csv_file(rows)
