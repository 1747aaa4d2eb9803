"""Fees on the money taken."""

import re
from dataclasses import replace

import pytest
from example_shops import a_patch, a_shop

from pricelab.cost.fees import Fees
from pricelab.cost.price import price_for_margin
from pricelab.shop.charges import PRICE, TOTAL, Charge, Element, Level
from pricelab.shop.errors import PricelabError
from pricelab.shop.money import round_half_up
from pricelab.shop.pricing_rules import PricingRules, Tax


def test_fees_are_the_revenue_charges_added_up():
    """By hand, 20 % tax: 3 % of 240.00 in all is 7.20, 10 % of the price of 200.00 is 20.00, and
    .30; the bag is no fee. Without tax the total is the price.
    """
    charges = [
        Charge("card fee", Element.FEES, Level.REVENUE, amount=0.30, share=0.03),
        Charge("commission", Element.FEES, Level.REVENUE, share=0.10, of=PRICE),
        Charge("bag", Element.PACKING, Level.PIECE, 0.10),
    ]
    fees = Fees.of(charges, Tax(0.20))
    assert (fees.of_price, fees.of_total, fees.fixed) == (0.10, 0.03, 0.30)
    assert fees.share == pytest.approx(0.136)
    assert fees.on(200.00) == pytest.approx(27.50)
    assert Fees.of(charges).on(200.00) == pytest.approx(26.30)
    assert Fees.of([]) == Fees(0, 0)


@pytest.mark.parametrize("included", [False, True])
def test_the_card_fee_is_on_what_the_client_pays(included):
    """€3,363.50 taken at 1.5 % + 0.25, 19 % tax in it or on top: a fee of €50.70."""
    shop = a_shop(
        currency="EUR",
        pricing=PricingRules(0.4, 0.2, tax=Tax(0.19, included=included)),
        charges=(Charge("card fee", Element.FEES, Level.REVENUE, 0.25, 0.015),),
    )
    fee = Fees.due(shop).on(3363.50 / 1.19)
    assert round_half_up(fee) == 50.70
    assert fee == pytest.approx(50.7025, abs=1e-10)


@pytest.mark.parametrize("of", [TOTAL, PRICE])
def test_a_price_for_a_margin_pays_the_fee_on_whatever_it_is_of(of):
    """An identity: what is left of the price, tax apart, is the margin of it."""
    shop = a_shop(
        pricing=PricingRules(0.4, 0.2, tax=Tax(0.25)),
        charges=(Charge("fee", Element.FEES, Level.REVENUE, 0.30, 0.04, of=of),),
    )
    price = price_for_margin(60.00, 0.4, Fees.due(shop))
    taken = price * (1.25 if of == TOTAL else 1)
    assert price - 60.00 - (0.04 * taken + 0.30) == pytest.approx(0.4 * price, abs=1e-12)


def test_the_methods_of_an_order_bear_their_own_fees_once():
    """By hand: 3 % of all, and 5 % for a method, though it decorates twice."""
    royalty = Charge("royalty", Element.FEES, Level.REVENUE, share=0.05)
    patch = a_patch(charges=(royalty,))
    shop = a_shop(charges=(Charge("card fee", Element.FEES, Level.REVENUE, share=0.03),))
    assert Fees.due(shop, patch, replace(patch, spoilage=0.1)).share == pytest.approx(0.08)


@pytest.mark.parametrize(
    ("share", "fixed", "told"),
    [
        (1.0, 0, "found fees of 1, expected a share from 0 to under 1."),
        (-0.1, 0, "found fees of -0.1, expected a share from 0 to under 1."),
        (0.03, -1, "found a fixed fee of -1, expected 0 or more."),
        (0.03, float("inf"), "found a fixed fee of inf, expected 0 or more."),
    ],
)
def test_impossible_fees_cannot_exist(share, fixed, told):
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        Fees(share, fixed)
