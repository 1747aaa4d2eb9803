"""The price list as a page for the counter."""

from pricelab.paper.client_copy import SIZE_HEADING, TIER_HEADING, ClientCopy
from pricelab.paper.safe_text import one_line
from pricelab.paper.typesetting import typeset


def list_pdf(copy: ClientCopy) -> bytes:
    """The client's list on one page, as large as will fit."""
    head = copy.head
    conditions = [head.conditions] if head.conditions else []
    return typeset(
        "list.typ",
        {
            "title": one_line(f"{head.shop}: {copy.title}"),
            "paper": head.paper,
            "shop": one_line(head.shop),
            "notice": one_line(head.notice),
            "method": one_line(copy.method),
            "blank": one_line(copy.blank),
            "validity": head.validity,
            "priced_in": copy.priced_in,
            "size_heading": SIZE_HEADING,
            "tier_heading": TIER_HEADING,
            "tiers": copy.tiers,
            "sizes": copy.sizes,
            "prices": [[head.figure(p) for p in prices] for prices in copy.price_list.prices],
            "setup_note": copy.setup_note,
            "tax_note": head.tax_note,
            "hints": copy.hints,
            "notes": [one_line(x) for x in (copy.measure_note, copy.range_note, *conditions)],
            "cautions": [one_line(line) for line in copy.cautions],
        },
    )
