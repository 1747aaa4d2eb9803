"""A quote as rows of the book of records, and back."""

import json
from typing import TYPE_CHECKING

from pricelab.client.offers import OfferLine
from pricelab.cost.cost_sheet import Why
from pricelab.files.records.schema import LINES, PARTS, QUOTES
from pricelab.jobs.quotes import Quote
from pricelab.shop.charges import Element, Level
from pricelab.shop.place import Place

if TYPE_CHECKING:
    import pandas as pd


def quote_tables(quote: Quote) -> dict[str, "pd.DataFrame"]:
    """A quote as rows of the tables quotes, quote_parts and quote_lines."""
    import pandas as pd

    head = (
        quote.number,
        quote.made,
        quote.valid_until,
        quote.client,
        quote.method,
        quote.width,
        quote.height,
        quote.unit,
        "first" if quote.first else "repeat",
        quote.setup,
        quote.payable,
        quote.tax_in_prices,
        quote.fee_share,
        quote.fixed_fee,
        quote.status,
        quote.decided,
        json.dumps(quote.minutes),
        quote.costed,
    )
    parts = [
        (quote.number, at, part.blank, part.colour, part.pieces, part.each, part.amount)
        for at, part in enumerate(quote.parts, 1)
    ]
    lines = [
        (
            quote.number,
            at,
            line.level.value,
            line.element.value,
            line.label,
            line.quantity,
            line.unit,
            line.rate,
            line.amount,
            line.spoiled,
            *_standing(line.place),
        )
        for at, line in enumerate(quote.lines, 1)
    ]
    return {
        table.name: pd.DataFrame(rows, columns=list(table.columns))
        for table, rows in ((QUOTES, [head]), (PARTS, parts), (LINES, lines))
    }


def _standing(place: Place | None) -> tuple:
    return ("", None, "") if place is None else (place.file, place.row, place.column or "")


def quote_from(tables: dict[str, "pd.DataFrame"]) -> Quote:
    """The quote of which `tables` hold the rows, as `quote_tables` gives them."""
    import pandas as pd

    head = tables["quotes"].iloc[0]
    parts = tables["quote_parts"].drop(columns=["quote", "part"])
    lines = tables["quote_lines"].astype({"row": object})
    made, until, decided, costed = (
        None if pd.isna(head[name]) else head[name].date()
        for name in ("made", "valid until", "decided", "costs of")
    )
    return Quote(
        head["number"],
        made,
        until,
        head["client"],
        head["method"],
        float(head["width"]),
        float(head["height"]),
        head["unit"],
        head["order"] == "first",
        tuple(OfferLine(*row) for row in parts.itertuples(index=False, name=None)),
        float(head["set-up"]),
        float(head["payable"]),
        float(head["tax in prices"]),
        tuple(_why(row) for row in lines.itertuples(index=False, name=None)),
        json.loads(head["minutes"]),
        float(head["fee share"]),
        float(head["fixed fee"]),
        head["status"],
        decided,
        costed,
    )


def _why(row: tuple) -> Why:
    *_, level, element, label, quantity, unit, rate, amount, spoiled, file, number, column = row
    place = Place(file, number, column or None) if file else None
    return Why(
        Level(level), Element(element), label, quantity, unit, rate, amount, bool(spoiled), place
    )
