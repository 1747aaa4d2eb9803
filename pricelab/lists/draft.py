"""Drafting a price list: from what the owner wishes to a list, its judgement and its choices."""

from dataclasses import dataclass, replace

import numpy as np

from pricelab.lists.audit import Audit, audit, audit_on
from pricelab.lists.basis import (
    FIRST_SIZES,
    basis_of,
    list_sizes,
    possible_sizes,
    usual_sizes,
    why_not,
)
from pricelab.lists.breaks import DOZENS, FRIENDLY, MOST_TIERS, TENS, Breaks
from pricelab.lists.plan import Tiers, plan_on
from pricelab.lists.typical_quantity import weights_between, weights_of
from pricelab.lists.usual_tiers import best_breaks, usual_tiers
from pricelab.shop.blank import Blank
from pricelab.shop.business import Business
from pricelab.shop.errors import NotPossible
from pricelab.shop.method import Method
from pricelab.shop.price_list import PriceList, check_tiers
from pricelab.shop.pricing_rules import PricingRules
from pricelab.shop.rounding import Rounding
from pricelab.shop.shop import Shop


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
        wished = {"target": self.target, "floor": self.floor, "rounding": self.rounding}
        return replace(shop.pricing, **wished)


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

    @property
    def changed(self) -> int:
        """How many cells ask another price than today's list does."""
        there, new = ~np.isnan(self.today_prices), self.judged.price_list.prices
        return int((there & ~np.isclose(self.today_prices, new)).sum())


def opening_spec(business: Business, method: Method, blank: Blank) -> ListSpec:
    """Where drafting begins: at today's list, else at the first sizes that can be made."""
    shop, rules = business.shop, business.shop.pricing
    today, starts = business.todays_list(method, blank), usual_tiers(business, method, blank)
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
    sizes, reasons = list_sizes(method, blank, spec.sizes), why_not(method, blank, spec.sizes)
    told = zip(spec.sizes, reasons, strict=True)
    notes = [f"Size {size:g} is left out: {why}" for size, why in told if why]
    first = spec.first if spec.starts is None else spec.starts[0]
    last = max(spec.last, first if spec.starts is None else spec.starts[-1])
    weights = weights_between(business, method, first, last)
    basis = basis_of(shop, method, blank, sizes, np.arange(first, last + 1))
    frontier = best_breaks(basis, weights, MOST_TIERS, spec.places)
    starts = np.array(spec.starts or frontier[min(spec.tiers, len(frontier)) - 1].starts)
    check_tiers(starts, last)
    tiers = Tiers.of(basis, starts, weights)
    listed, own = _with_own(plan_on(basis, tiers), spec.own)
    today = business.todays_list(method, blank)
    today_judged, today_prices = None, np.full(listed.prices.shape, np.nan)
    if today is not None:
        today_prices = _asked_today(listed, today)
        try:
            today_judged = audit(shop, today, weights_of(business, today))
        except NotPossible as error:
            notes.append(f"Today's list cannot be judged: {error}")
    judged = audit_on(basis, tiers, listed)
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


def _asked_today(listed: PriceList, today: PriceList) -> np.ndarray:
    """Today's price for every cell's size and first quantity, NaN where today has none."""
    if (listed.measure, listed.unit) != (today.measure, today.unit):
        return np.full(listed.prices.shape, np.nan)
    band, tier, there = today.cells(listed.sizes, listed.starts)
    return np.where(there, today.prices[band, tier], np.nan)
