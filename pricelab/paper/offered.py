"""A quote made across the counter: as a page to hand over, and as a table for the shop's files.

Made of what a client may see and of nothing else.
"""

import csv
import io
from datetime import date

from pricelab import figures
from pricelab.counter import Counter
from pricelab.offers import Offer, Wanted
from pricelab.paper.clientcopy import Letterhead, care_words
from pricelab.paper.quote import Quote, QuotePart, quote_pdf
from pricelab.paper.safetext import defused

COLUMNS = ("quote", "date", "valid until", "client", "what", "pieces", "each", "together")
"""The columns of the table; a row for each line of the quote."""


def offered_quote(
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


def quote_files(quote: Quote) -> dict[str, bytes]:
    """The quote's two files by name: a page to print, and a table."""
    name = f"quote-{quote.number}"
    return {f"{name}.pdf": quote_pdf(quote), f"{name}.csv": quote_csv(quote)}


def quote_csv(quote: Quote) -> bytes:
    """The quote as a table: a row for each line, each with the quote's number and client."""
    parts = quote.parts or (QuotePart(quote.blank, quote.quantity, quote.each, quote.pieces),)
    lines = [
        (f"{quote.method}, {quote.artwork}, on {p.name}", p.quantity, p.each, p.pieces)
        for p in parts
    ]
    if quote.setup:
        lines.append(("Set-up of the artwork", "", "", quote.setup))
    if quote.tax:
        lines.append((f"Sales tax: {quote.tax_label}", "", "", quote.tax))
    lines.append(("Total", "", "", quote.payable))
    head, text = quote.head, io.StringIO(newline="")
    table = csv.writer(text, lineterminator="\r\n")
    table.writerow(COLUMNS)
    about = (quote.number, head.on.isoformat(), head.until.isoformat(), defused(quote.client))
    for what, count, *amounts in lines:
        shown = [f"{x:.{head.decimals}f}" if x != "" else "" for x in amounts]
        table.writerow([*about, defused(what), count, *shown])
    byte_order_mark = b"\xef\xbb\xbf"  # by it spreadsheets know that the text is UTF-8
    return byte_order_mark + text.getvalue().encode("utf-8")
