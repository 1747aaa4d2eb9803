"""A quote as rows of the book of records, and back."""

import json
from dataclasses import astuple
from typing import TYPE_CHECKING

from pricelab.client.offers import OfferLine
from pricelab.cost.cost_sheet import Why
from pricelab.files.records.schema import LINES, PARTS, QUOTES
from pricelab.jobs.quotes import Quote
from pricelab.shop.charges import Element, Level
from pricelab.shop.place import Place

if TYPE_CHECKING:
    import pandas as pd

_FIELDS = {"set-up": "setup", "costs of": "costed"}
"""Columns of a quote that are named otherwise than its fields, but for spaces."""


def quote_tables(quote: Quote) -> dict[str, "pd.DataFrame"]:
    """A quote as rows of the tables quotes, quote_parts and quote_lines."""
    import pandas as pd

    as_kept = {"order": _ORDERS[quote.first], "minutes": json.dumps(quote.minutes)}
    head = [
        as_kept[name] if name in as_kept else getattr(quote, _field(name))
        for name in QUOTES.columns
    ]
    parts = [(quote.number, at, *astuple(part)) for at, part in enumerate(quote.parts, 1)]
    lines = [(quote.number, at, *_cells(line)) for at, line in enumerate(quote.lines, 1)]
    return {
        table.name: pd.DataFrame(rows, columns=list(table.columns))
        for table, rows in ((QUOTES, [head]), (PARTS, parts), (LINES, lines))
    }


def quote_from(tables: dict[str, "pd.DataFrame"]) -> Quote:
    """The quote of which `tables` hold the rows, as `quote_tables` gives them."""
    head, parts, lines = (
        tables[table.name].astype(object).itertuples(index=False, name=None)
        for table in (QUOTES, PARTS, LINES)
    )
    said = {_field(name): _plain(x) for name, x in zip(QUOTES.columns, next(head), strict=True)}
    said |= {
        "first": said.pop("order") == _ORDERS[True],
        "minutes": json.loads(said["minutes"]),
        "parts": tuple(OfferLine(*cells) for _, _, *cells in parts),
        "lines": tuple(_why(*cells) for _, _, *cells in lines),
    }
    return Quote(**said)


_ORDERS = {True: "first", False: "repeat"}


def _field(column: str) -> str:
    return _FIELDS.get(column, column.replace(" ", "_"))


def _plain(cell: object) -> object:
    """A cell of a frame as a field of a quote: a day as one, None where there is none."""
    import pandas as pd

    if isinstance(cell, pd.Timestamp):
        return cell.date()
    return None if cell is pd.NaT else cell


def _cells(line: Why) -> tuple:
    kind, place = (line.level.value, line.element.value), ("", None, "")
    if line.place is not None:
        place = (line.place.file, line.place.row, line.place.column or "")
    figures = line.quantity, line.unit, line.rate, line.amount
    return (*kind, line.label, *figures, line.spoiled, *place)


def _why(level, element, label, quantity, unit, rate, amount, spoiled, file, row, column) -> Why:
    import pandas as pd

    place = Place(file, None if row is pd.NA else row, column or None) if file else None
    kind = Level(level), Element(element)
    return Why(*kind, label, quantity, unit, rate, amount, bool(spoiled), place)
