"""What a client is offered across the counter: an order's price, and what a few more would do.

All pieces that share an artwork take the price of their tier by the *whole* quantity, each
on its own blank's list; the set-up is due once. (Common practice, no source: it is how the
decorations themselves are bought.)
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from pricelab.client.catalogue import Catalogue
from pricelab.cost.orders import Decoration, Order, obstacles
from pricelab.cost.price import charge_order
from pricelab.shop.blank import Blank
from pricelab.shop.errors import NotPossible
from pricelab.shop.price_list import PriceList
from pricelab.shop.pricing_rules import NO_TAX
from pricelab.shop.sizes import Artwork, size_of
from pricelab.shop.tolerance import TOLERANCE
from pricelab.shop.units import Length

STEP = {"in": 0.125, "mm": 1.0}
"""Sizes that are offered instead go by eighths of an inch or whole millimetres."""


@dataclass(frozen=True)
class Part:
    """Pieces of one blank; `colour` is a word for the quote and changes no price."""

    blank: str
    pieces: int
    colour: str = ""


@dataclass(frozen=True)
class Wanted:
    """An order as a client asks for it: one artwork on pieces of one or several blanks."""

    method: str
    parts: tuple[Part, ...]
    width: Length
    height: Length
    first: bool = True

    @property
    def quantity(self) -> int:
        """Pieces in all; the tier is taken on them."""
        return sum(part.pieces for part in self.parts)

    def with_more(self, quantity: int) -> "Wanted":
        """The same order of `quantity` pieces in all: what is added is of the first part."""
        head, *others = self.parts
        more = replace(head, pieces=head.pieces + quantity - self.quantity)
        return replace(self, parts=(more, *others))


@dataclass(frozen=True)
class OfferLine:
    """The pieces of one blank, as charged."""

    blank: str
    colour: str
    pieces: int
    each: float
    amount: float


@dataclass(frozen=True)
class Offer:
    """An order as charged: shown money. `payable` is what the client pays in all."""

    lines: tuple[OfferLine, ...]
    quantity: int
    setup: float
    total: float
    tax: float
    payable: float

    @property
    def each(self) -> float | None:
        """The price a piece where all pieces have the same."""
        prices = {line.each for line in self.lines}
        return prices.pop() if len(prices) == 1 else None


@dataclass(frozen=True)
class Refusal:
    """Why an order is not possible (a sentence), and what would do: a size, other methods.

    `fits` tells that the artwork could be made in other quantities.
    """

    reason: str
    fits: bool = False
    size: tuple[float, float] | None = None
    methods: tuple[str, ...] = ()


def make_offer(catalogue: Catalogue, wanted: Wanted) -> Offer:
    """What the order is offered at; raises `NotPossible` with the reason."""
    reason = why_not(catalogue, wanted)
    if reason:
        raise NotPossible(reason)
    shop, tax, quantity = catalogue.shop, catalogue.shop.pricing.tax, wanted.quantity
    lists = [catalogue.lists[wanted.method, part.blank] for part in wanted.parts]
    lines = []
    for part, listed in zip(wanted.parts, lists, strict=True):
        each = listed.price(_size(catalogue, wanted, listed), quantity)
        charged = charge_order(part.pieces, each, 0, NO_TAX, shop.decimals)
        name, amounts = shop.blanks[part.blank].name, map(float, (charged.each, charged.pieces))
        lines.append(OfferLine(name, part.colour, part.pieces, *amounts))
    first_setup = max(listed.setup or 0.0 for listed in lists)
    setup = first_setup if wanted.first else catalogue.repeat_setup[wanted.method]
    whole = charge_order(1, sum(line.amount for line in lines), setup, tax, shop.decimals)
    amounts = map(float, (whole.setup, whole.total, whole.tax_due, whole.payable))
    return Offer(tuple(lines), quantity, *amounts)


def more_pieces(catalogue: Catalogue, wanted: Wanted, most: int = 2) -> tuple[Offer, ...]:
    """The same order at the next tiers above its quantity, at most so many of them.

    Where one of the later tiers costs least in all and no more than the order itself, it
    is among them: whoever asks for 45 is told of 48.
    """
    lists = [catalogue.lists[wanted.method, part.blank] for part in wanted.parts]
    last = min(listed.last for listed in lists)
    starts = {int(start) for listed in lists for start in listed.starts}
    later = sorted(start for start in starts if wanted.quantity < start <= last)
    offers = [make_offer(catalogue, wanted.with_more(quantity)) for quantity in later]
    if not offers:
        return ()
    least = min(offers, key=lambda offer: round(offer.payable, 6))
    saves = least.payable <= make_offer(catalogue, wanted).payable + TOLERANCE
    if saves and least not in offers[:most]:
        offers[most - 1 :] = [least]
    return tuple(offers[:most])


def why_not(catalogue: Catalogue, wanted: Wanted) -> str:
    """The first reason that the order is not possible, '' where there is none."""
    return _no_such_piece(catalogue, wanted) or _not_in_that_quantity(catalogue, wanted)


def refuse(catalogue: Catalogue, wanted: Wanted) -> Refusal:
    """Why an order is not possible, with the nearest size of its shape that is, or methods."""
    reason = _no_such_piece(catalogue, wanted)
    if not reason:  # another size or method would not help
        return Refusal(_not_in_that_quantity(catalogue, wanted), fits=True)
    others = (replace(wanted, method=method.key) for method in catalogue.methods)
    possible = tuple(other.method for other in others if not why_not(catalogue, other))
    return Refusal(reason, size=_nearest_size(catalogue, wanted), methods=possible)


def artwork_of(catalogue: Catalogue, wanted: Wanted) -> Artwork:
    """The order's artwork in the shop's unit."""
    unit = catalogue.shop.unit
    return Artwork(float(wanted.width.to(unit)), float(wanted.height.to(unit)), unit)


def prices_by_quantity(catalogue: Catalogue, wanted: Wanted) -> PriceList | None:
    """The one band of the first blank's list that holds for the artwork; None without one."""
    listed = catalogue.lists.get((wanted.method, wanted.parts[0].blank))
    if listed is None or _no_such_piece(catalogue, wanted):
        return None
    band = int(listed.grid.band_of(_size(catalogue, wanted, listed)))
    return replace(listed, sizes=listed.sizes[[band]], prices=listed.prices[[band]])


# ---- what is possible -----------------------------------------------------------------


def _no_such_piece(catalogue: Catalogue, wanted: Wanted) -> str:
    """Why the artwork cannot be had at all, or ''."""
    return str(_reasons(catalogue, wanted, artwork_of(catalogue, wanted)).item())


def _reasons(catalogue: Catalogue, wanted: Wanted, artwork: Artwork) -> np.ndarray:
    """Why each of some artworks cannot be had, '' where it can; shape of the artworks."""
    method, blanks = catalogue.shop.methods[wanted.method], _blanks(catalogue, wanted)
    decoration = Decoration(method, artwork)
    order = Order([(blank, 1) for blank in blanks], [decoration])
    found, name = obstacles(order), catalogue.short_name(method.key)
    for blank in blanks:
        listed = catalogue.lists.get((method.key, blank.key))
        if listed is None:
            found[found == ""] = f"{name} is not offered on {blank.name}."
            continue
        size = size_of(decoration.counted, listed.measure, listed.unit)
        over = np.broadcast_to(size > listed.sizes[-1] + TOLERANCE, found.shape)
        told = f"{name} on {blank.name} is not offered in that size; ask us."
        found[over & (found == "")] = told
    capital = [reason[:1].upper() + reason[1:] for reason in found.flat]
    return np.array(capital, object).reshape(found.shape)


def _not_in_that_quantity(catalogue: Catalogue, wanted: Wanted) -> str:
    method = catalogue.shop.methods[wanted.method]
    for blank in _blanks(catalogue, wanted):
        listed = catalogue.lists[method.key, blank.key]
        first, quantity = int(listed.starts[0]), wanted.quantity
        if quantity < first:
            name = catalogue.short_name(method.key)
            return f"{name} on {blank.name} is made from {first:,} pieces on."
        if quantity > listed.last:
            return f"Our prices go up to {listed.last:,} pieces: for {quantity:,} ask us."
    return ""


def _nearest_size(catalogue: Catalogue, wanted: Wanted) -> tuple[float, float] | None:
    """The possible size of the artwork's shape that is nearest to it, in `STEP`s; or None."""
    artwork = artwork_of(catalogue, wanted)
    step = STEP[artwork.unit]
    longer, shorter = max(artwork.width, artwork.height), min(artwork.width, artwork.height)
    reach = max(2 * float(longer), 40 * step)
    long = step * np.arange(1, int(reach / step) + 1)
    short = step * np.floor(long * float(shorter / longer) / step + 1e-6)
    long, short = long[short > 0], short[short > 0]
    wide, high = (long, short) if artwork.width >= artwork.height else (short, long)
    reasons = _reasons(catalogue, wanted, Artwork(wide, high, artwork.unit))
    possible = np.flatnonzero(reasons == "")
    if not possible.size:
        return None
    at = possible[np.argmin(np.abs(long[possible] - longer))]
    return float(wide[at]), float(high[at])


def _blanks(catalogue: Catalogue, wanted: Wanted) -> Sequence[Blank]:
    keys = dict.fromkeys(part.blank for part in wanted.parts)
    return [catalogue.shop.blanks[key] for key in keys]


def _decoration(catalogue: Catalogue, wanted: Wanted) -> Decoration:
    return Decoration(catalogue.shop.methods[wanted.method], artwork_of(catalogue, wanted))


def _size(catalogue: Catalogue, wanted: Wanted, listed: PriceList):
    return size_of(_decoration(catalogue, wanted).counted, listed.measure, listed.unit)


def estimated_stitches(catalogue: Catalogue, wanted: Wanted) -> int | None:
    """Stitches that the price goes by where they are an estimate, else None."""
    return _decoration(catalogue, wanted).estimate
