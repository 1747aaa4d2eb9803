"""The values of a shop: none of them can be impossible."""

import re
from datetime import date

import pytest
from example_shops import a_blank, a_patch, a_shop

from pricelab.shop.charges import Charge, Element, Level
from pricelab.shop.errors import PricelabError
from pricelab.shop.method import Density, Method, Promotion, Stitching
from pricelab.shop.pricing_rules import PricingRules, Tax
from pricelab.shop.work import Operation, Rates

AUTUMN = Promotion(date(2026, 9, 1), date(2026, 9, 30), 10.00)


# ---- set-up and promotions -----------------------------------------------------------


def test_set_up_is_due_the_first_time_an_artwork_is_made_not_on_reorders():
    """Common practice, no source."""
    method = a_patch(setup=35.00)
    assert method.setup_due(True, None) == 35.00
    assert method.setup_due(False, None) == 0.00
    assert a_patch(setup=35.00, repeat_setup=5.00).setup_due(False, None) == 5.00


@pytest.mark.parametrize(
    ("on", "due"),
    [
        (date(2026, 8, 31), 35.00),
        (date(2026, 9, 1), 10.00),
        (date(2026, 9, 30), 10.00),
        (date(2026, 10, 1), 35.00),
        (None, 35.00),
    ],
)
def test_a_promotion_cuts_the_first_set_up_on_its_days_both_included(on, due):
    assert a_patch(setup=35.00, promotions=(AUTUMN,)).setup_due(True, on) == due


def test_of_promotions_that_overlap_the_lowest_counts_and_none_raises_the_fee():
    day = date(2026, 9, 15)
    lower, higher = (Promotion(day, day, fee) for fee in (5.00, 50.00))
    assert a_patch(setup=35.00, promotions=(AUTUMN, lower, higher)).setup_due(True, day) == 5.00
    assert a_patch(setup=35.00, promotions=(higher,)).setup_due(True, day) == 35.00


def test_a_promotion_does_not_touch_the_repeat_set_up():
    method = a_patch(setup=35.00, repeat_setup=12.00, promotions=(AUTUMN,))
    assert method.setup_due(False, date(2026, 9, 15)) == 12.00


def test_a_shop_knows_the_decimals_of_its_currency():
    """ISO 4217, by babel."""
    assert a_shop().decimals == 2
    assert a_shop(currency="JPY").decimals == 0


# ---- what is refused -----------------------------------------------------------------


@pytest.mark.parametrize(
    ("make", "told"),
    [
        (
            lambda: Promotion(date(2026, 9, 30), date(2026, 9, 1), 10),
            "the promotion ends on 2026-09-01, before it starts on 2026-09-30.",
        ),
        (
            lambda: Promotion(date(2026, 9, 1), date(2026, 9, 1), -1),
            "found a promotional set-up fee of -1, expected 0 or more.",
        ),
        (
            lambda: Charge("bag", Element.PACKING, Level.PIECE, -0.1),
            'found an amount for "bag" of -0.1, expected 0 or more.',
        ),
        (
            lambda: Charge("bag", Element.PACKING, Level.PIECE, float("inf")),
            'found an amount for "bag" of inf, expected 0 or more.',
        ),
        (
            lambda: Charge("bag", Element.PACKING, Level.PIECE, share=0.03),
            '"bag" is a share at piece level; only a revenue-level cost is a share of the '
            "money taken.",
        ),
        (
            lambda: Charge("card fee", Element.FEES, Level.REVENUE, share=1.0),
            'found a share for "card fee" of 1, expected a share from 0 to under 1.',
        ),
        (
            lambda: Charge("card fee", Element.FEES, Level.REVENUE, share=0.03, of="profit"),
            '"card fee" is a share of "profit", expected total or price.',
        ),
        (
            lambda: Charge("carton", Element.PACKING, Level.BATCH, 1.25, batch=0),
            'found a batch of 0 for "carton", expected a whole number of pieces from 1.',
        ),
        (
            lambda: Operation("hoop", 1, Level.BATCH, batch=2.5),
            'found a batch of 2.5 for "hoop", expected a whole number of pieces from 1.',
        ),
        (
            lambda: Operation("hoop", -1),
            'found minutes for "hoop" of -1, expected 0 or more.',
        ),
        (
            lambda: Operation("sweep", 30, Level.PERIOD),
            '"sweep" counts minutes per period, expected piece, batch, order or design.',
        ),
        (
            lambda: Operation("press", 0.5, attended=False),
            '"press" is dwell without a station; name the machine it occupies.',
        ),
        (
            lambda: Stitching(speed=0, heads=1, thread=0.02),
            "found a stitching speed of 0 with 1 heads, expected a speed above 0 "
            "and a whole number of heads from 1.",
        ),
        (
            lambda: Stitching(speed=800, heads=1.5, thread=0.02),
            "found a stitching speed of 800 with 1.5 heads, expected a speed above 0 "
            "and a whole number of heads from 1.",
        ),
        (
            lambda: Stitching(speed=800, heads=1, thread=-0.02),
            "found a thread price of -0.02, expected 0 or more.",
        ),
        (
            lambda: Stitching(speed=800, heads=1, thread=0.02, change=-1),
            "found thread-change minutes of -1, expected 0 or more.",
        ),
        (
            lambda: Density(0, "in"),
            "found 0 stitches a square in on a filled share of 1, expected stitches above 0 "
            "and a filled share up to 1.",
        ),
        (
            lambda: Density(2000, "in", filled=1.2),
            "found 2000 stitches a square in on a filled share of 1.2, expected stitches above 0 "
            "and a filled share up to 1.",
        ),
        (lambda: Density(2000, "cm"), 'found the unit "cm", expected "in" or "mm".'),
        (
            lambda: Method("air", "Air", "in"),
            'the method "air" takes nothing: give it a grid, a stitching row or a roll.',
        ),
        (lambda: a_patch(setup=-1), "found a set-up fee of -1, expected 0 or more."),
        (lambda: a_patch(repeat_setup=-1), "found a repeat set-up fee of -1, expected 0 or more."),
        (
            lambda: a_patch(spoilage=1),
            'found a spoilage for "patch" of 1, expected a share from 0 to under 1.',
        ),
        (
            lambda: a_patch(max_width=0),
            'the method "patch" has a size limit of 0 × inf in, expected both above 0.',
        ),
        (
            lambda: a_blank(panel_height=0),
            'the blank "cap" has a panel of 5 × 0 in, expected both above 0.',
        ),
        (lambda: Rates(-24), "found a labour rate of -24, expected 0 or more."),
        (lambda: Rates(float("nan")), "found a labour rate of nan, expected 0 or more."),
        (lambda: Rates(24, -1), "found an overhead rate of -1, expected 0 or more."),
        (
            lambda: Rates(24, 15, "sales"),
            'overhead is recovered on "sales" minutes, expected attended or machine.',
        ),
        (lambda: Tax(-0.2), "found a tax rate of -0.2, expected 0 or more."),
        (
            lambda: PricingRules(target=1, floor=0.2),
            "found a target margin of 1, expected a share from 0 to under 1.",
        ),
        (
            lambda: PricingRules(target=0.4, floor=-0.1),
            "found a floor margin of -0.1, expected a share from 0 to under 1.",
        ),
        (
            lambda: PricingRules(target=0.3, floor=0.4),
            "found a floor margin of 40 % above the target margin of 30 %; "
            "lower the floor or raise the target.",
        ),
        (
            lambda: PricingRules(0.4, 0.3, tier_limit=0.9),
            "found a tier limit of 0.9, expected 1 or more.",
        ),
        (
            lambda: a_shop(currency="dollar"),
            'found the currency "dollar", expected a three-letter code in capitals, '
            "such as USD or EUR.",
        ),
        (lambda: a_shop(unit="cm"), 'found the unit "cm", expected "in" or "mm".'),
        (lambda: a_patch(unit="cm"), 'found the unit "cm", expected "in" or "mm".'),
        (lambda: a_blank(unit="cm"), 'found the unit "cm", expected "in" or "mm".'),
        (
            lambda: a_shop(service_level=1),
            "found a service level of 1, expected a share between 0 and 1.",
        ),
        (
            lambda: a_shop(surplus_worth=1.2),
            "found a surplus worth of 1.2, expected a share from 0 to 1.",
        ),
    ],
)
def test_an_impossible_value_cannot_exist(make, told):
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        make()
