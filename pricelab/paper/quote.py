"""A quote for one order: what the client pays, as a page to hand over and as a table to keep.

Made of what a client may see and of nothing else.
"""

from dataclasses import dataclass
from datetime import date

from pricelab.client.catalogue import Catalogue
from pricelab.client.offers import Offer, OfferLine, Wanted
from pricelab.paper.client_copy import Letterhead, care_words
from pricelab.paper.safe_text import csv_file, defused, one_line
from pricelab.paper.typesetting import typeset
from pricelab.shop import figures
from pricelab.shop.errors import PricelabError
from pricelab.words import findings as wording
from pricelab.words.cautions import OTHER_RULES

COLUMNS = ("quote", "date", "valid until", "client", "what", "pieces", "each", "together")
"""The columns of the table; a row for each line of the quote."""


@dataclass(frozen=True)
class QuotePaper:
    """An `offer` as it is put to `client`, with its words; `tax_label` names the tax in it."""

    head: Letterhead
    client: str
    method: str
    blank: str
    artwork: str
    offer: Offer
    tax_label: str
    care: tuple[str, ...]
    hint: str = ""
    number: str = ""

    def __post_init__(self):
        offer = self.offer
        if offer.quantity < 1:
            raise PricelabError(f"found a quantity of {offer.quantity}, expected 1 piece or more.")
        amounts = [(name, getattr(offer, name)) for name in ("setup", "total", "tax", "payable")]
        for line in offer.lines:
            amounts += [("each", line.each), ("pieces", line.amount)]
        for name, amount in amounts:
            if not 0 <= amount < float("inf"):
                raise PricelabError(f"found {amount} for {name} in a quote, expected 0 or more.")


def quote(
    catalogue: Catalogue, wanted: Wanted, offer: Offer, on: date, *, client="", number="", hint=""
) -> QuotePaper:
    """The quote for an offer that was made for what was wanted."""
    shop, tax = catalogue.shop, catalogue.shop.pricing.tax
    method = shop.methods[wanted.method]
    blanks = [shop.blanks[key] for key in dict.fromkeys(part.blank for part in wanted.parts)]
    care = dict.fromkeys(words for blank in blanks for words in care_words(method, blank))
    rate = figures.percent(tax.rate, 3)
    size = " × ".join(figures.number(float(x.to(shop.unit))) for x in (wanted.width, wanted.height))
    label = f"including {rate} {tax.name}" if tax.included else f"{rate} {tax.name}"
    names, head = ", ".join(blank.name for blank in blanks), Letterhead.of(shop, on)
    what = (method.name, names, f"{size} {shop.unit}", offer)
    return QuotePaper(head, client, *what, label, tuple(care), hint, number)


def _piece(line: OfferLine) -> str:
    """A blank with its colour."""
    return f"{line.blank}, {line.colour}" if line.colour else line.blank


def quote_pdf(made: QuotePaper) -> bytes:
    """The quote on one page."""
    head, offer = made.head, made.offer
    whats = [f"{figures.number(line.pieces)} {one_line(_piece(line))}" for line in offer.lines]
    if len(whats) == 1 and not offer.lines[0].colour:  # the blank stands over them
        whats = [figures.pieces(offer.quantity)]
    lines = [
        [what, head.money(line.each), head.money(line.amount)]
        for what, line in zip(whats, offer.lines, strict=True)
    ]
    if offer.setup:
        lines.append(["Set-up of the artwork", "", head.money(offer.setup)])
    total = ["Total", "", head.money(offer.payable)]
    tax = [made.tax_label, "", head.money(offer.tax)]
    if not offer.tax:
        lines.append(total)
    elif made.tax_label.startswith("including"):
        lines += [total, tax]
    else:
        lines += [["Sum before tax", "", head.money(offer.total)], tax, total]
    named, on = f"Quote {made.number}".rstrip(), wording.day(head.on)
    about = [head.conditions, *made.care, OTHER_RULES]
    return typeset(
        "quote.typ",
        {
            "title": one_line(f"{head.shop}: quote {made.client}").rstrip(),
            "paper": head.paper,
            "shop": one_line(head.shop),
            "notice": one_line(head.notice),
            "client": one_line(made.client),
            "method": one_line(made.method),
            "blank": one_line(made.blank),
            "artwork": made.artwork,
            "validity": f"{named} of {on}, valid until {wording.day(head.until)}.",
            "lines": lines,
            "total": lines.index(total),
            "tax_note": head.tax_note if not offer.tax else "",
            "hints": [made.hint] if made.hint else [],
            "notes": [one_line(line) for line in about if line],
        },
    )


def quote_files(made: QuotePaper) -> dict[str, bytes]:
    """The quote's two files by name: a page to print, and a table."""
    name = f"quote-{made.number}"
    return {f"{name}.pdf": quote_pdf(made), f"{name}.csv": quote_csv(made)}


def quote_csv(made: QuotePaper) -> bytes:
    """The quote as a table: a row for each line, each with the quote's number and client."""
    head, offer, what = made.head, made.offer, f"{made.method}, {made.artwork}"
    lines = [
        (f"{what}, on {_piece(line)}", line.pieces, line.each, line.amount) for line in offer.lines
    ]
    if offer.setup:
        lines.append(("Set-up of the artwork", "", "", offer.setup))
    if offer.tax:
        lines.append((f"Sales tax: {made.tax_label}", "", "", offer.tax))
    lines.append(("Total", "", "", offer.payable))
    about = (made.number, head.on.isoformat(), head.until.isoformat(), defused(made.client))
    rows = [COLUMNS]
    for what, count, *amounts in lines:
        shown = [f"{x:.{head.decimals}f}" if x != "" else "" for x in amounts]
        rows.append((*about, defused(what), count, *shown))
    return csv_file(rows)
