"""Fees on the money taken."""

import re

import pytest

from pricelab.cost.fees import Fees
from pricelab.shop.charges import Charge, Element, Level
from pricelab.shop.errors import PricelabError


def test_fees_are_the_revenue_charges_added_up():
    """By hand: 2.9 % + 10 % and .30; the bag is no fee."""
    fees = Fees.of(
        [
            Charge("card fee", Element.FEES, Level.REVENUE, amount=0.30, share=0.029),
            Charge("commission", Element.FEES, Level.REVENUE, share=0.10),
            Charge("bag", Element.PACKING, Level.PIECE, 0.10),
        ]
    )
    assert (fees.share, fees.fixed) == (pytest.approx(0.129), 0.30)
    assert fees.on(200.00) == pytest.approx(26.10)
    assert Fees.of([]) == Fees(0, 0)


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
