"""Planning a list, every cell of it worked out by hand.

The shop of these tests buys blanks at 2.00, has 6.00 of freight an order and a carton at
4.00 for every 8 pieces. Its patches cost 1.00 up to 2 in and 2.00 up to 3 in, from 10
pieces .40 less. A piece of the smaller size then costs, in an order of q:

    q   1: (3 + 6 + 4)       / 1  = 13.0000    the worst of 1–7
    q   8: (24 + 6 + 4)      / 8  =  4.2500    the first of 8–15
    q   9: (27 + 6 + 8)      / 9  =  4.5556    the worst: a second carton, before the break
    q  16: (41.60 + 6 + 8)   / 16 =  3.4750    the first of 16–24
    q  17: (44.20 + 6 + 12)  / 17 =  3.6588    the worst: a third carton

and one of the larger size 1.00 more.
"""

import re
from dataclasses import replace

import numpy as np
import pytest
from example_shops import CARTONS, VINYL, a_shop

from pricelab.lists.basis import basis_of
from pricelab.lists.plan import plan
from pricelab.shop.charges import Charge, Element, Level
from pricelab.shop.errors import NoPrice, PricelabError
from pricelab.shop.pricing_rules import PricingRules, Tax
from pricelab.shop.rounding import Rounding
from pricelab.shop.sizes import Measure

TIERS = [1, 8, 16]
PATCH, CAP = CARTONS.methods["patch"], CARTONS.blanks["cap"]


def ruled(**changes):
    """The shop of the cartons with other pricing rules."""
    return replace(CARTONS, pricing=replace(CARTONS.pricing, **changes))


def planned(shop=CARTONS, **more):
    return plan(shop, shop.methods["patch"], shop.blanks["cap"], TIERS, 24, **more)


# ---- the list ------------------------------------------------------------------------


def test_a_list_of_two_sizes_and_three_tiers():
    """By hand, floor 48 %, target 50 % at the tier's first quantity, up to .05.

    2 in:  13 / .50 = 26.00;  4.5556 / .52 = 8.7607 → 8.80 (4.25 / .50 = 8.50 is less);
    3.6588 / .52 = 7.0362 → 7.05 (3.475 / .50 = 6.95 is less).
    3 in:  14 / .50 = 28.00;  5.5556 / .52 = 10.6838 → 10.70;  4.6588 / .52 = 8.9593 → 9.00.
    """
    listed = planned()
    np.testing.assert_array_equal(listed.prices, [[26.00, 8.80, 7.05], [28.00, 10.70, 9.00]])
    np.testing.assert_array_equal(listed.sizes, [2, 3])
    np.testing.assert_array_equal(listed.starts, TIERS)
    assert (listed.method, listed.blank, listed.last) == ("patch", "cap", 24)
    assert (listed.measure, listed.unit) == (Measure.MEAN_OF_SIDES, "in")


def test_without_cartons_the_first_quantity_is_the_worst():
    """By hand, the smaller size: 9 / .50 = 18; (24 + 6) / 8 / .50 = 7.50; 47.6 / 16 / .5 = 5.95."""
    shop = replace(CARTONS, charges=CARTONS.charges[:1])
    np.testing.assert_array_equal(planned(shop).prices[0], [18.00, 7.50, 5.95])


def test_the_typical_quantity_comes_from_past_orders():
    """By hand: all orders of 8–15 were for 9: 4.5556 / .50 = 9.1111 → 9.15, 11.1111 → 11.15."""
    weights = np.zeros(24)
    weights[9 - 1] = 3
    prices = planned(weights=weights).prices
    np.testing.assert_array_equal(prices, [[26.00, 9.15, 7.05], [28.00, 11.15, 9.00]])


def test_prices_that_include_the_tax_are_rounded_with_it():
    """By hand: 13 / .50 × 1.2 = 31.20; 8.7607 × 1.2 = 10.5128 → 10.55; 7.0362 × 1.2 = 8.4434."""
    listed = planned(ruled(tax=Tax(0.20, included=True)))
    np.testing.assert_array_equal(listed.prices[0], [31.20, 10.55, 8.45])
    assert listed.tax.included
    np.testing.assert_array_equal(planned(ruled(tax=Tax(0.20))).prices, planned().prices)


def test_prices_end_as_the_shop_likes():
    """By hand: up to .95."""
    prices = planned(ruled(rounding=Rounding(1, ending=0.95))).prices
    np.testing.assert_array_equal(prices, [[26.95, 8.95, 7.95], [28.95, 10.95, 9.95]])


def test_fees_on_the_money_taken_are_paid_by_the_price():
    """By hand, 3 % + .50: (13 + .50) / .47 = 28.7234 → 28.75;
    (41 + .50) / 9 / .49 = 9.4104 → 9.45; (62.20 + .50) / 17 / .49 = 7.5270 → 7.55.
    """
    card = Charge("card fee", Element.FEES, Level.REVENUE, amount=0.50, share=0.03)
    shop = replace(CARTONS, charges=(*CARTONS.charges, card))
    np.testing.assert_array_equal(planned(shop).prices[0], [28.75, 9.45, 7.55])


def test_a_methods_own_fee_counts_too():
    """By hand, a royalty of 3 %: 13 / .47 = 27.6596 → 27.70; 4.5556 / .49 = 9.2971 → 9.30;
    a set-up of 20.00 stands apart at 20 / .47 = 42.5532 → 42.60.
    """
    royalty = Charge("royalty", Element.FEES, Level.REVENUE, share=0.03)
    patch = replace(PATCH, charges=(royalty,))
    shop = replace(CARTONS, methods={"patch": patch})
    np.testing.assert_array_equal(planned(shop).prices[0, :2], [27.70, 9.30])
    assert planned(replace(shop, methods={"patch": replace(patch, setup=20.00)})).setup == 42.60


def test_set_up_stands_apart_at_the_target_or_is_spread_over_the_cells():
    """By hand, a fee of 40.00: apart 40 / .50 = 80.00 and the cells as without;
    spread (13 + 40) / .50 = 106.00; (34 + 40) / 8 / .50 = 18.50; (55.60 + 40) / 16 / .50 = 11.95.
    """
    shop = replace(CARTONS, methods={"patch": replace(PATCH, setup=40.00)})
    apart = planned(shop)
    assert apart.setup == 80.00
    np.testing.assert_array_equal(apart.prices, planned().prices)
    spreading = replace(shop, pricing=replace(shop.pricing, setup_apart=False))
    spread = planned(spreading)
    assert spread.setup is None
    np.testing.assert_array_equal(spread.prices[0], [106.00, 18.50, 11.95])
    for ruled_by, once in ((shop, 40.00), (spreading, 0.00)):
        assert (
            basis_of(ruled_by, shop.methods["patch"], CAP, [2], np.arange(1, 9)).design_cost == once
        )


def test_no_list_exists_when_fees_and_target_take_the_whole_price():
    commission = Charge("commission", Element.FEES, Level.REVENUE, share=0.50)
    shop = replace(CARTONS, charges=(commission,))
    told = (
        "no price leaves a margin of 50 % after fees of 50 %: together they take the whole "
        "price. Ask for a smaller margin."
    )
    with pytest.raises(NoPrice, match=f"^{re.escape(told)}$"):
        planned(shop)


# ---- what is refused -----------------------------------------------------------------


@pytest.mark.parametrize(
    ("method", "sizes", "reason"),
    [
        (replace(PATCH, max_width=1, max_height=1), None, "Patch can be at most 1 in high."),
        (PATCH, [3.5, 9], "the size is over the last band of patches."),
        (PATCH, [9], "the panel of the cap takes at most 5 × 3 in."),
    ],
)
def test_where_no_size_is_possible_the_list_says_why(method, sizes, reason):
    told = f"no size of Patch can go on the cap: {reason}"
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        plan(CARTONS, method, CAP, TIERS, 24, sizes=sizes)


@pytest.mark.parametrize(
    ("starts", "last", "told"),
    [
        (
            [8, 1],
            24,
            "the list has tiers that start at 8, 1; "
            "expected whole numbers from 1, each more than the one before.",
        ),
        (
            [1, 8, 30],
            24,
            "the list ends at 24, before its last tier starts at 30; "
            "let it end at that quantity or later.",
        ),
        ([0, 8], 24, "found a quantity of 0, expected 1 piece or more."),
        ([1.5, 8], 24, "found a quantity of 1.5, expected a whole number of pieces."),
    ],
)
def test_tiers_rise_and_end_inside_the_list(starts, last, told):
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        plan(CARTONS, PATCH, CAP, starts, last)


def test_a_planned_list_of_any_method_has_a_price_for_every_cell():
    """An identity: planning a list without a grid goes the same way."""
    shop = a_shop(VINYL, blanks=(CAP,), pricing=PricingRules(0.5, 0.4, Rounding(0.05)))
    listed = plan(shop, VINYL, CAP, [1, 12], 24, sizes=[2, 3])
    assert listed.prices.shape == (2, 2)
    assert (listed.prices > 2 / 0.6).all()  # the blank alone, at the floor
