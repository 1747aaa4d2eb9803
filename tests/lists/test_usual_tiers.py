"""The tiers that a list gets where nobody says: no quantity is charged far over what it needs."""

from itertools import combinations

import numpy as np
import pytest
from example_shops import a_blank, a_patch, a_shop
from hypothesis import given
from hypothesis import strategies as st
from small_jobs import jobs_of

from pricelab.files.folders import DEMO_SHOPS
from pricelab.files.shop_folder import read_shop
from pricelab.lists.basis import basis_of, list_sizes
from pricelab.lists.breaks import Breaks, choose_breaks
from pricelab.lists.selling_list import selling_list
from pricelab.lists.usual_tiers import usual_tiers
from pricelab.shop.business import Business
from pricelab.shop.errors import PricelabError
from pricelab.shop.pricing_rules import PricingRules


@pytest.mark.parametrize("path", DEMO_SHOPS, ids=lambda path: path.name)
def test_no_offer_of_a_demo_shop_is_over_the_tier_limit(path):
    """Of every method on every blank, at every size and quantity of its list, planned or saved.

    What a quantity needs is its cost at the target margin, with tax and rounded as prices are.
    """
    business = read_shop(path)
    shop, rules, looked_at = business.shop, business.shop.pricing, 0
    for method in shop.methods.values():
        for blank in shop.blanks.values():
            try:
                listed = selling_list(business, method, blank)
            except PricelabError:  # no size of it can go on this blank
                continue
            quantities = np.arange(listed.starts[0], listed.last + 1)
            sizes = list_sizes(method, blank, listed.sizes)
            basis = basis_of(shop, method, blank, sizes, quantities)
            needed = rules.asked(basis.price_for(rules.target))
            band, tier, there = listed.cells(sizes, quantities)
            assert there.all()
            over = listed.prices[band, tier] / needed
            assert over.max() <= rules.tier_limit * (1 + 1e-9), (method.key, blank.key)
            looked_at += 1
    assert looked_at == {"harbour-caps": 75, "fjord-muetzen": 39}[path.name]


def test_a_list_begins_where_a_supplier_s_minimum_is_no_burden():
    """By hand: a cap at 4.00 and patches at 2.00, twelve at least, cost 4 + 24 / q up to twelve
    and 6 from there, asked for at twice that: 56.00 for one, 32.00, 24.00 for three, 16.00 for
    six, 12.00 from twelve. Three ask less than 2.5 times twelve's, two do not. From three up to
    five at most 24.00 / 17.60 = 1.36 of their need is asked, up to eleven 24.00 / 12.36 = 1.94.
    """
    shop = a_shop(a_patch(breaks=(12,)), blanks=[a_blank()], largest_order=100)
    business = Business(shop, (), jobs_of({}).iloc[:0], None)
    (method,), (blank,) = shop.methods.values(), shop.blanks.values()
    assert usual_tiers(business, method, blank) == (3, 6, 12)
    listed = selling_list(business, method, blank)
    assert listed.prices.tolist() == [[24.00, 16.00, 12.00]]


def test_where_a_list_begins_hangs_on_no_tier_limit():
    """As above, but any tier will do: one piece asks 56.00, over 2.5 times 12.00, three do not."""
    rules = PricingRules(0.5, 0.4, tier_limit=9)
    shop = a_shop(a_patch(breaks=(12,)), blanks=[a_blank()], largest_order=100, pricing=rules)
    business = Business(shop, (), jobs_of({}).iloc[:0], None)
    (method,), (blank,) = shop.methods.values(), shop.blanks.values()
    assert usual_tiers(business, method, blank)[0] == 3


def test_a_list_may_begin_at_the_largest_order_alone():
    """By hand: up to nine a patch is 100.00 and 208.00 are asked; ten are at 2.00, and 12.00 are
    asked. Ten is the largest order and no place of a break, yet nothing else is worth asking for.
    """
    steep = a_patch(breaks=(1, 10), prices=((100.00, 2.00),))
    rules = PricingRules(0.5, 0.4, tier_limit=99)
    shop = a_shop(steep, blanks=[a_blank()], largest_order=10, pricing=rules)
    business = Business(shop, (), jobs_of({}).iloc[:0], None)
    (method,), (blank,) = shop.methods.values(), shop.blanks.values()
    assert usual_tiers(business, method, blank) == (10,)


def test_tiers_over_the_limit_are_left_out():
    """By hand: 9 is over twice 4, and over 1.5 times 5; what is asked, not the price, decides."""
    frontier = choose_breaks([9, 8, 5, 4], range(1, 5), [1] * 4, most=3, limit=1.5)
    assert frontier == (Breaks((1, 3), 0.5), Breaks((1, 2, 3), 0.25))
    asked = [10, 9, 9, 4]
    frontier = choose_breaks([9, 8, 5, 4], range(1, 5), [1] * 4, most=2, asked=asked, limit=1.5)
    assert frontier == (Breaks((1, 4), 1.25),)
    assert choose_breaks([9, 4], [1, 2], [1, 1], most=1, limit=1.5) == ()


COUNTS = st.integers(1, 9)


@given(st.lists(st.tuples(COUNTS, COUNTS, COUNTS), min_size=1, max_size=7), st.integers(100, 300))
def test_within_the_limit_no_other_breaks_overcharge_less(rows, percent):
    """Against every way to cut the quantities into tiers, in whole numbers."""
    prices, asked, weights = map(list, zip(*rows, strict=True))
    count, found = len(rows), {}
    for tiers in range(1, count + 1):
        for cuts in combinations(range(1, count), tiers - 1):
            parts = list(zip((0, *cuts), (*cuts, count), strict=True))
            if all(100 * max(asked[i:j]) <= percent * min(asked[i:j]) for i, j in parts):
                over = sum(max(prices[i:j]) * sum(weights[i:j]) for i, j in parts)
                found[tiers] = min(found.get(tiers, over), over)
    paid = sum(price * weight for price, weight in zip(prices, weights, strict=True))
    least = [(over - paid) / sum(weights) for over in found.values()]
    frontier = choose_breaks(
        *(prices, range(1, count + 1), weights, count), asked=asked, limit=percent / 100
    )
    assert [len(one.starts) for one in frontier] == list(found)
    assert [one.overcharge for one in frontier] == pytest.approx(least, abs=1e-9)
