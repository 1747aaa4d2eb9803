"""The tiers a list gets where nobody says: today's, else those that suit the finished jobs."""

import numpy as np

from pricelab.lists.basis import Basis, basis_of, list_sizes
from pricelab.lists.breaks import (
    DEAREST_START,
    DOZENS,
    FRIENDLY,
    MOST_TIERS,
    TENS,
    TIERS_AT_A_GLANCE,
    Breaks,
    choose_breaks,
)
from pricelab.lists.typical_quantity import quantities_sold, weights_between
from pricelab.shop.blank import Blank
from pricelab.shop.business import Business
from pricelab.shop.method import Method


def best_breaks(basis: Basis, weights, most: int, places=FRIENDLY, limit=np.inf):
    """The best breaks for 1 … `most` tiers at the target margin, as in `choose_breaks`.

    Without orders among the `weights` every quantity weighs the same.
    """
    if weights is None or not weights.sum():
        weights = np.ones(basis.quantities.size)
    rules = basis.shop.pricing
    price = basis.price_for(rules.target)
    return choose_breaks(
        *(price, basis.quantities, weights, most, places), asked=rules.asked(price), limit=limit
    )


def break_frontier(
    business: Business, method: Method, blank: Blank, most: int, limit=np.inf
) -> tuple[Breaks, ...]:
    """The best breaks for 1 … `most` tiers of all possible sizes, by the finished jobs.

    They stand at dozens or at tens, as more of the jobs do. Without jobs an order of half the
    pieces is taken to come twice as often. The first tier starts where `usual_start` says, or
    later where it takes that to keep within the `limit`.
    """
    shop, sold = business.shop, quantities_sold(business, method)
    places = max(DOZENS, TENS, key=lambda family: np.isin(sold, family).sum())
    sizes, last = list_sizes(method, blank), shop.largest_order
    whole = basis_of(shop, method, blank, sizes, np.arange(1, last + 1))
    start = usual_start(whole, places)
    for first in (x for x in (*places, last) if start <= x <= last):
        basis = whole.beginning(first)
        weights = weights_between(business, method, first, last)
        weights = 1 / basis.quantities if weights is None else weights
        if frontier := best_breaks(basis, weights, most, places, limit):
            break
    return frontier


def usual_start(basis: Basis, places) -> int:
    """Where no size asks over `DEAREST_START` times what it asks in the largest order.

    The first such quantity of the `places`, else the largest order itself.
    """
    asked = basis.shop.pricing.asked(basis.price_for(basis.shop.pricing.target))
    fit = (asked <= DEAREST_START * asked[:, -1:]).all(axis=0)
    here = np.isin(basis.quantities, (*places, basis.quantities[-1]))
    return int(basis.quantities[(fit & here).argmax()])


def usual_tiers(business: Business, method: Method, blank: Blank) -> tuple[int, ...]:
    """The quantities from which prices hold: those of today's list of the method on the blank.

    Without one, of the best breaks within the shop's tier limit the fewest that overcharge less
    than a price step more than `TIERS_AT_A_GLANCE` would, or as few over that as there are:
    another column has to save clients something.
    """
    today = business.todays_list(method, blank)
    if today is not None:
        return tuple(today.starts.tolist())
    rules = business.shop.pricing
    frontier = break_frontier(business, method, blank, MOST_TIERS, rules.tier_limit)
    best = [found for found in frontier if len(found.starts) <= TIERS_AT_A_GLANCE] or frontier[:1]
    enough = best[-1].overcharge + rules.rounding.step
    return next(found.starts for found in best if found.overcharge < enough)
