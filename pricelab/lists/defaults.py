"""What a list is planned and judged with where nobody says: its tiers, sizes and weights.

Tiers are those of today's list of the method on the blank; without one, the breaks that
suit the finished jobs best; without jobs, `TIERS`.
"""

from dataclasses import dataclass, replace

import numpy as np

from pricelab.cost.job_orders import by_artwork
from pricelab.lists.breaks import FRIENDLY, Breaks, choose_breaks
from pricelab.lists.history import order_weights
from pricelab.lists.planning import basis_of, list_sizes, plan
from pricelab.shop.blank import Blank
from pricelab.shop.business import Business
from pricelab.shop.errors import PricelabError
from pricelab.shop.method import Method
from pricelab.shop.price_list import PriceList
from pricelab.shop.shop import Shop

TIERS = (1, 12, 24, 48, 96, 144)
"""One piece, then dozens: the tiers of a shop without history (common practice, no source)."""

MOST_TIERS = 6
"""Columns of a list that nobody has given a number for: what is read at a glance."""


def method_named(shop: Shop, key: str) -> Method:
    """The shop's method of that name, or an error that lists them."""
    return _named(shop.methods, key, "method")


def blank_named(shop: Shop, key: str) -> Blank:
    """The shop's blank of that name, or an error that lists them."""
    return _named(shop.blanks, key, "blank")


def _named(known, key, kind):
    if key not in known:
        raise PricelabError(f'There is no {kind} "{key}". Name one of: {", ".join(known)}.')
    return known[key]


def todays_list(business: Business, method: Method, blank: Blank) -> PriceList | None:
    """Today's list of the method on the blank, None where there is none."""
    pair = (method.key, blank.key)
    return next((x for x in business.price_lists if (x.method, x.blank) == pair), None)


def quantities_sold(business: Business, method: Method) -> np.ndarray:
    """Quantities of the finished jobs by the method; of all jobs where it had none.

    A job on several blanks is of all its pieces with the artwork: they share the tier.
    """
    jobs = by_artwork(business.jobs)
    own = jobs[jobs["method"] == method.key]
    return (own if len(own) else jobs)["quantity"].to_numpy(np.int64)


def weights_between(business: Business, method: Method, first: int, last: int) -> np.ndarray | None:
    """How often each quantity from `first` to `last` was ordered; None without finished jobs."""
    sold = quantities_sold(business, method)
    return order_weights(sold, first, last) if sold.size else None


def weights_of(business: Business, price_list: PriceList) -> np.ndarray | None:
    """How often each quantity of a list was ordered; None without finished jobs."""
    method = business.shop.methods[price_list.method]
    return weights_between(business, method, int(price_list.starts[0]), price_list.last)


def best_breaks(
    shop: Shop, method: Method, blank: Blank, sizes, quantities, weights, most: int, places=FRIENDLY
) -> tuple[Breaks, ...]:
    """The best breaks for 1 … `most` tiers at the target margin, as in `choose_breaks`.

    Without orders among the `weights` every quantity weighs the same.
    """
    if weights is None or not weights.sum():
        weights = np.ones(quantities.size)
    price = basis_of(shop, method, blank, sizes, quantities).price_for(shop.pricing.target)
    return choose_breaks(price, quantities, weights, most, places)


def break_frontier(
    business: Business, method: Method, blank: Blank, most: int
) -> tuple[Breaks, ...]:
    """The best breaks for 1 … `most` tiers of all possible sizes, by the finished jobs."""
    shop = business.shop
    sizes = list_sizes(method, blank)
    quantities = np.arange(1, shop.largest_order + 1)
    weights = weights_between(business, method, 1, shop.largest_order)
    return best_breaks(shop, method, blank, sizes, quantities, weights, most)


def tiers_for(business: Business, method: Method, blank: Blank) -> tuple[int, ...]:
    """The quantities from which prices hold, where nobody says.

    Of the best breaks the fewest that overcharge less than a price step more than `MOST_TIERS`
    would: another column has to save clients something.
    """
    today = todays_list(business, method, blank)
    if today is not None:
        return tuple(int(start) for start in today.starts)
    if quantities_sold(business, method).size:
        frontier = break_frontier(business, method, blank, MOST_TIERS)
        enough = frontier[-1].overcharge + business.shop.pricing.rounding.step
        return next(found.starts for found in frontier if found.overcharge < enough)
    return tuple(tier for tier in TIERS if tier <= business.shop.largest_order)


def planned_list(
    business: Business, method: Method, blank: Blank, *, tiers=None, sizes=None
) -> PriceList:
    """The list of the method on the blank, with the tiers and sizes told or the usual ones."""
    shop, today = business.shop, todays_list(business, method, blank)
    tiers = tiers_for(business, method, blank) if tiers is None else tiers
    if sizes is None and today is not None:
        sizes = today.sizes
    last = shop.largest_order if today is None else max(today.last, shop.largest_order)
    if tiers[-1] > last:
        last = tiers[-1]
    weights = weights_between(business, method, tiers[0], last)
    return plan(shop, method, blank, list(tiers), last, sizes=sizes, weights=weights)


def selling_list(business: Business, method: Method, blank: Blank) -> PriceList:
    """The list by which a method on a blank is sold: today's, else the planned one.

    A printed list has no column for set-up: where set-up is a line of its own, it is priced
    as every plan prices it.
    """
    listed = todays_list(business, method, blank)
    if listed is None:
        return planned_list(business, method, blank)
    if listed.setup is None and business.shop.pricing.setup_apart:
        size = list_sizes(method, blank, listed.sizes)[:1]
        listed = replace(listed, setup=plan(business.shop, method, blank, [1], 1, sizes=size).setup)
    return listed


@dataclass(frozen=True, eq=False)
class ListsOnBlank:
    """What a shop can offer on one blank: a list of every method, or why there is none.

    `planned` are the methods without a list today, whose list is planned; `refused` pairs a
    method with the reason why no size of it can go on the blank.
    """

    blank: Blank
    lists: tuple[PriceList, ...]
    planned: frozenset[str]
    refused: tuple[tuple[Method, str], ...]


def lists_on(business: Business, blank: Blank) -> ListsOnBlank:
    """Today's list of every method on a blank, the planned one where there is none today."""
    lists, planned, refused = [], set(), []
    for method in business.shop.methods.values():
        try:
            lists.append(selling_list(business, method, blank))
        except PricelabError as error:
            whole = f"no size of {method.name} can go on {blank.name}: "
            refused.append((method, str(error).removeprefix(whole)))
            continue
        if todays_list(business, method, blank) is None:
            planned.add(method.key)
    return ListsOnBlank(blank, tuple(lists), frozenset(planned), tuple(refused))
