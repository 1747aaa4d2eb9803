"""The order behind a quote that was made across the counter, for the shop's book of records.

It lies beside the quote's page, and tells what the page tells: what was wanted, by the
shop's own keys, and what was asked for it. No cost is known where it is written: the stamp
of the shop's tables says by which the owner's book works the costs out (`files.shopthen`).
"""

import json
from dataclasses import asdict, dataclass, fields
from datetime import date

from pricelab.client.offers import Offer, OfferLine, Part, Wanted
from pricelab.files.cells import YEARS
from pricelab.shop.errors import PricelabError
from pricelab.shop.units import Length, parse_length

_MOST = 1e11
"""Money and pieces beyond any order's."""

QUOTES = "quotes"
"""The folder of quotes saved across the counter, in the shop's folder."""


@dataclass(frozen=True)
class CounterOrder:
    """What was `wanted` and offered on the day that the quote was `made`, and for whom.

    `shop` is the stamp of the tables it was offered from, '' where nobody noted it.
    """

    number: str
    made: date
    client: str
    wanted: Wanted
    offer: Offer
    shop: str = ""


def order_file(order: CounterOrder) -> bytes:
    """The order as JSON."""
    wanted = asdict(order.wanted)
    wanted |= {side: _written(getattr(order.wanted, side)) for side in ("width", "height")}
    said = {
        "number": order.number,
        "made": order.made.isoformat(),
        "client": order.client,
        "wanted": wanted,
        "offer": asdict(order.offer),
        "shop": order.shop,
    }
    return json.dumps(said, ensure_ascii=False, indent=1).encode()


def read_order(content: bytes, name: str) -> CounterOrder:
    """The order that `order_file` wrote; a `PricelabError` names the file where it is not one."""
    try:
        said = json.loads(content)
        wanted, offer = said["wanted"], said["offer"]
        parts = tuple(Part(**part) for part in wanted.pop("parts"))
        sides = {side: parse_length(wanted.pop(side), "in") for side in ("width", "height")}
        lines = tuple(OfferLine(**line) for line in offer.pop("lines"))
        order = CounterOrder(
            said["number"],
            date.fromisoformat(said["made"]),
            said["client"],
            Wanted(parts=parts, **sides, **wanted),
            Offer(lines=lines, **offer),
            str(said.get("shop", "")),
        )
        _check(order, order.wanted, order.offer, *parts, *lines)
        if len(parts) != len(lines) or order.made.year not in YEARS:
            raise ValueError
        return order
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        raise PricelabError(
            f"{name} is not the order of a quote any more. Write the quote into quotes.csv by hand."
        ) from None


def _check(*made) -> None:
    """A `ValueError` where a field is not of its kind, or is a figure beyond any order's."""
    for value in made:
        for field in fields(value):
            held = getattr(value, field.name)
            if field.type in (int, float):
                fits = type(held) in (int, field.type) and 0 <= held < _MOST
            else:
                fits = field.type not in (str, bool) or type(held) is field.type
                str(held).encode()  # halves of letters are no text
            if not fits:
                raise ValueError


def _written(length: Length) -> str:
    return f"{length.value} {length.unit}"
