"""The tiers a list gets where nobody says: today's, else those that suit the finished jobs."""

import numpy as np

from pricelab.lists.basis import Basis, basis_of, list_sizes
from pricelab.lists.breaks import FIRST_TIERS, FRIENDLY, TIERS_AT_A_GLANCE, Breaks, choose_breaks
from pricelab.lists.typical_quantity import weights_between
from pricelab.shop.blank import Blank
from pricelab.shop.business import Business
from pricelab.shop.method import Method


def best_breaks(basis: Basis, weights, most: int, places=FRIENDLY) -> tuple[Breaks, ...]:
    """The best breaks for 1 … `most` tiers at the target margin, as in `choose_breaks`.

    Without orders among the `weights` every quantity weighs the same.
    """
    if weights is None or not weights.sum():
        weights = np.ones(basis.quantities.size)
    price = basis.price_for(basis.shop.pricing.target)
    return choose_breaks(price, basis.quantities, weights, most, places)


def break_frontier(
    business: Business, method: Method, blank: Blank, most: int
) -> tuple[Breaks, ...]:
    """The best breaks for 1 … `most` tiers of all possible sizes, by the finished jobs."""
    shop = business.shop
    quantities = np.arange(1, shop.largest_order + 1)
    basis = basis_of(shop, method, blank, list_sizes(method, blank), quantities)
    return best_breaks(basis, weights_between(business, method, 1, shop.largest_order), most)


def usual_tiers(business: Business, method: Method, blank: Blank) -> tuple[int, ...]:
    """The quantities from which prices hold: those of today's list of the method on the blank.

    Without one, of the best breaks the fewest that overcharge less than a price step more than
    `TIERS_AT_A_GLANCE` would: another column has to save clients something. Without jobs,
    `FIRST_TIERS`.
    """
    today = business.todays_list(method, blank)
    if today is not None:
        return tuple(today.starts.tolist())
    if len(business.jobs):
        frontier = break_frontier(business, method, blank, TIERS_AT_A_GLANCE)
        enough = frontier[-1].overcharge + business.shop.pricing.rounding.step
        return next(found.starts for found in frontier if found.overcharge < enough)
    return tuple(tier for tier in FIRST_TIERS if tier <= business.shop.largest_order)
