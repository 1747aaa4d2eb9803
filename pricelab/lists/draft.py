"""Drafting a price list: from what the owner wishes to a list, its judgement and its choices."""

from dataclasses import dataclass, replace

import numpy as np

from pricelab.cost.orders import obstacles
from pricelab.lists.audit import Audit, audit
from pricelab.lists.breaks import FRIENDLY, Breaks
from pricelab.lists.defaults import (
    best_breaks,
    tiers_for,
    todays_list,
    weights_between,
    weights_of,
)
from pricelab.lists.planning import list_order, list_sizes, plan, possible_sizes, usual_sizes
from pricelab.shop.blank import Blank
from pricelab.shop.business import Business
from pricelab.shop.errors import NotPossible
from pricelab.shop.method import Method
from pricelab.shop.price_list import PriceList
from pricelab.shop.pricing_rules import PricingRules
from pricelab.shop.rounding import Rounding
from pricelab.shop.shop import Shop

MOST_TIERS = 10
"""More columns than this do not go on a page, nor into a client's head."""

DOZENS = (1, 3, 6, 12, 18, 24, 36, 48, 72, 96, 144, 192, 288, 432, 576, 864)
"""Where breaks stand in a shop that counts in dozens (common practice, no source)."""

TENS = (1, 5, 10, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200, 250, 300, 400, 500, 750, 1000)
"""Where breaks stand in a shop that counts in fives, tens and hundreds (common practice)."""

FIRST_SIZES = 6
"""Rows of a list for which there is none today: the first sizes that can be made."""


@dataclass(frozen=True)
class OwnPrice:
    """A printed price set by hand, of the band that ends at `size` in the tier from `start` on."""

    size: float
    start: int
    price: float


@dataclass(frozen=True)
class ListSpec:
    """What a list shall be: `starts` as told, or the best breaks for a number of `tiers`.

    The first tier starts at `first`, the last ends at `last`; `sizes` are the bands' upper
    ends in the measure of the method's list, `places` where a chosen break may stand. `own`
    prices stand in place of the planned ones, as far as the list has their cells.
    """

    method: str
    blank: str
    sizes: tuple[float, ...]
    first: int
    last: int
    tiers: int
    target: float
    floor: float
    rounding: Rounding
    starts: tuple[int, ...] | None = None
    places: tuple[int, ...] = FRIENDLY
    own: tuple[OwnPrice, ...] = ()

    def rules(self, shop: Shop) -> PricingRules:
        """The shop's pricing rules with the spec in them."""
        own = shop.pricing
        return PricingRules(self.target, self.floor, self.rounding, own.setup_apart, own.tax)


@dataclass(frozen=True, eq=False)
class Draft:
    """A list that was drafted, with all that it was chosen by.

    `shop` prices by the spec; `frontier` holds the best breaks for 1, 2, … tiers; `today`
    is today's list of the same method and blank as judged by the same rules, or None;
    `today_prices[band, tier]` is what it asks for each cell's size and first quantity, NaN
    where it has no price; `own[band, tier]` says which prices were set by hand; `notes` say
    what was left out and why.
    """

    shop: Shop
    judged: Audit
    frontier: tuple[Breaks, ...]
    today: Audit | None
    today_prices: np.ndarray
    own: np.ndarray
    notes: tuple[str, ...]


def opening_spec(business: Business, method: Method, blank: Blank) -> ListSpec:
    """Where drafting begins: at today's list, else at the first sizes that can be made."""
    shop, rules = business.shop, business.shop.pricing
    today, starts = todays_list(business, method, blank), tiers_for(business, method, blank)
    if today is not None:
        sizes = today.sizes
    else:
        possible = possible_sizes(method, blank)
        sizes = (possible if possible.size else usual_sizes(method))[:FIRST_SIZES]
    last = shop.largest_order if today is None else today.last
    return ListSpec(
        method.key,
        blank.key,
        tuple(sizes.tolist()),
        starts[0],
        int(max(last, starts[-1])),
        min(len(starts), MOST_TIERS),
        rules.target,
        rules.floor,
        rules.rounding,
        starts,
        _places_like(starts),
    )


def draft(business: Business, spec: ListSpec) -> Draft:
    """Draft the list of a spec, with the finished jobs as weights.

    Sizes that cannot be made are left out and noted. Raises `PricelabError` where none can.
    """
    shop = replace(business.shop, pricing=spec.rules(business.shop))
    method, blank = shop.methods[spec.method], shop.blanks[spec.blank]
    sizes, notes = list_sizes(method, blank, spec.sizes), _left_out(method, blank, spec.sizes)
    first = spec.first if spec.starts is None else spec.starts[0]
    last = max(spec.last, first if spec.starts is None else spec.starts[-1])
    weights = weights_between(business, method, first, last)
    quantities = np.arange(first, last + 1)
    frontier = best_breaks(shop, method, blank, sizes, quantities, weights, MOST_TIERS, spec.places)
    starts = spec.starts or frontier[min(spec.tiers, len(frontier)) - 1].starts
    listed = plan(shop, method, blank, starts, last, sizes=sizes, weights=weights)
    listed, own = _with_own(listed, spec.own)
    today = todays_list(business, method, blank)
    today_judged, today_prices = None, np.full(listed.prices.shape, np.nan)
    if today is not None:
        today_prices = _asked_today(listed, today)
        try:
            today_judged = audit(shop, today, weights_of(business, today))
        except NotPossible as error:
            notes.append(f"Today's list cannot be judged: {error}")
    judged = audit(shop, listed, weights)
    return Draft(shop, judged, frontier, today_judged, today_prices, own, tuple(notes))


def _with_own(listed: PriceList, own: tuple[OwnPrice, ...]) -> tuple[PriceList, np.ndarray]:
    """The list with the prices set by hand, and which these are."""
    prices, by_hand = listed.prices.copy(), np.zeros(listed.prices.shape, bool)
    for one in own:
        cell = np.isclose(listed.sizes, one.size)[:, None] & (listed.starts == one.start)
        prices[cell], by_hand[cell] = one.price, True
    return replace(listed, prices=prices), by_hand


def _places_like(starts: tuple[int, ...]) -> tuple[int, ...]:
    """The family of quantities that the breaks of a list belong to."""
    return next((family for family in (DOZENS, TENS) if set(starts) <= set(family)), FRIENDLY)


def _left_out(method: Method, blank: Blank, wished) -> list[str]:
    """A sentence for each wished size that cannot be made."""
    reasons = obstacles(list_order(method, blank, wished, 1))
    return [
        f"Size {size:g} is left out: {why}"
        for size, why in zip(wished, reasons, strict=True)
        if why
    ]


def _asked_today(listed: PriceList, today: PriceList) -> np.ndarray:
    """Today's price for every cell's size and first quantity, NaN where today has none."""
    if (listed.measure, listed.unit) != (today.measure, today.unit):
        return np.full(listed.prices.shape, np.nan)
    band, tier, there = today.cells(listed.sizes, listed.starts)
    return np.where(there, today.prices[band, tier], np.nan)
