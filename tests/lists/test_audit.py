"""Judging a list, every finding worked out by hand (costs as in the tests of planning)."""

from dataclasses import replace

import numpy as np
import pytest
from example_shops import CARTONS

from pricelab.lists.audit import audit
from pricelab.lists.plan import plan
from pricelab.lists.trouble import LOSING, Finding, Trouble
from pricelab.shop.errors import NotPossible
from pricelab.shop.grids import Grid
from pricelab.shop.price_list import PriceList
from pricelab.shop.pricing_rules import NO_TAX, Tax
from pricelab.shop.sizes import Measure


def a_list(prices, starts=(1, 8, 16), last=24, *, tax=NO_TAX, sizes=(2, 3)):
    return PriceList("patch", "cap", Measure.MEAN_OF_SIDES, "in", sizes, starts, last, prices,
                     tax=tax)  # fmt: skip


def test_troubles_are_called_as_the_screen_and_the_paper_call_them_worst_first():
    assert [trouble.value for trouble in Trouble] == [
        "below cost", "below floor", "under target", "rises with quantity",
        "larger size costs less", "buying more costs less",
    ]  # fmt: skip


def test_every_kind_of_finding_on_one_list():
    """By hand, floor 48 %, target 50 %; unit costs 13, 4.5556, 3.6588 and 1.00 more.

    13.50 for what costs 14.00 loses money; 10.60 at 5.5556 leaves 47.59 % and 8.50 at
    4.6588 leaves 45.19 %, under the floor; 25.50 at 13.00 leaves 49.02 %, over the floor and
    under the target. 9.00 rises above 8.80. The larger size costs less at 1 and at 16.
    Buying more: 8 × 8.80 = 70.40 / 25.50 = 2.76; 8 × 10.60 = 84.80 / 13.50 = 6.28;
    16 × 8.50 = 136 / 10.60 = 12.83; and 16 × 9.00 = 144 / 8.80 = 16.4 is beyond the tier.
    """
    judged = audit(CARTONS, a_list([[25.50, 8.80, 9.00], [13.50, 10.60, 8.50]]))

    def near(figure):
        return pytest.approx(figure, abs=5e-7)

    first, *_ = judged.findings
    assert (first.until, first.buy) == (None, None)
    assert judged.findings == (
        Finding(Trouble.BELOW_COST, 1, 0, 1, 13.50, near(-0.5 / 13.5), instead=28.00),
        Finding(Trouble.BELOW_FLOOR, 1, 1, 9, 10.60, near(1 - 50 / 9 / 10.6), instead=10.70),
        Finding(Trouble.BELOW_FLOOR, 1, 2, 17, 8.50, near(1 - 79.2 / 17 / 8.5), instead=9.00),
        Finding(Trouble.UNDER_TARGET, 0, 0, 1, 25.50, near(12.5 / 25.5), instead=26.00),
        Finding(Trouble.RISES, 0, 2, 16, 9.00, instead=8.80),
        Finding(Trouble.SMALLER_DEARER, 1, 0, 1, 13.50, instead=25.50),
        Finding(Trouble.SMALLER_DEARER, 1, 2, 16, 8.50, instead=9.00),
        Finding(Trouble.BETTER_OFF, 0, 0, 3, 25.50, until=7, buy=8),
        Finding(Trouble.BETTER_OFF, 1, 0, 7, 13.50, until=7, buy=8),
        Finding(Trouble.BETTER_OFF, 1, 1, 13, 10.60, until=15, buy=16),
    )
    np.testing.assert_array_equal(judged.worst_quantity, [[1, 9, 17], [1, 9, 17]])
    np.testing.assert_array_equal(judged.holding, [[False, True, True], [False, False, False]])
    np.testing.assert_array_equal(judged.typical_quantity, [1, 8, 16])
    np.testing.assert_array_equal(judged.instead, [[26.00, 8.80, 7.05], [28.00, 10.70, 9.00]])


def test_prices_that_stay_the_same_are_out_of_no_order():
    """By hand: 28.00 holds everywhere, and neither rises with quantity nor falls with size."""
    assert audit(CARTONS, a_list([[28, 28, 28], [28, 28, 28]])).findings == ()


def test_a_planned_list_holds_in_every_cell():
    planned = plan(CARTONS, CARTONS.methods["patch"], CARTONS.blanks["cap"], [1, 8, 16], 24)
    judged = audit(CARTONS, planned)
    assert judged.holding.all()
    assert {finding.trouble for finding in judged.findings} <= {Trouble.BETTER_OFF}
    np.testing.assert_array_equal(judged.instead, planned.prices)


def test_one_rounding_step_less_does_not_hold():
    """An identity: a planned price is the lowest that holds; here each cell less .05 in turn."""
    planned = plan(CARTONS, CARTONS.methods["patch"], CARTONS.blanks["cap"], [1, 8, 16], 24)
    for at in np.ndindex(2, 3):
        prices = planned.prices.copy()
        prices[at] -= 0.05
        expected = np.ones((2, 3), bool)
        expected[at] = False
        np.testing.assert_array_equal(audit(CARTONS, a_list(prices)).holding, expected)


def test_the_worst_margin_is_the_least_of_every_quantity_in_the_tier():
    """By hand at 8.80: 1 − 4.5556 / 8.80 at 9 pieces, where 8 leave 1 − 4.25 / 8.80."""
    judged = audit(CARTONS, a_list([[26, 8.80, 7.05], [28, 10.7, 9]]))
    assert judged.worst_margin[0, 1] == pytest.approx(1 - 41 / 9 / 8.8, abs=1e-12)
    assert judged.typical_margin[0, 1] == pytest.approx(1 - 4.25 / 8.8, abs=1e-12)


def test_the_target_is_asked_of_the_quantity_that_is_usually_ordered():
    """By hand: at 9 pieces 8.80 leaves 48.23 %, over the floor but under the target; 9.15 mends."""
    weights = np.zeros(24)
    weights[9 - 1] = 1
    prices = [[26, 8.80, 7.05], [28, 11.15, 9.00]]
    (found,) = (x for x in audit(CARTONS, a_list(prices), weights).findings if x.margin is not None)
    assert (found.trouble, found.band, found.tier, found.quantity, found.instead) == (
        Trouble.UNDER_TARGET, 0, 1, 9, 9.15,
    )  # fmt: skip


def test_a_margin_exactly_on_the_floor_holds():
    """By hand: 13.00 / (1 − .48) = 25.00 is the floor; with the target there too it holds."""
    level = replace(CARTONS, pricing=replace(CARTONS.pricing, target=0.48))
    judged = audit(level, a_list([[25.00, 8.80, 7.05], [28, 10.7, 9]]))
    assert judged.holding.all()
    assert not any(finding.trouble in LOSING for finding in judged.findings)
    assert not audit(level, a_list([[24.99, 8.80, 7.05], [28, 10.7, 9]])).holding[0, 0]


def test_a_price_at_cost_is_below_the_floor_and_one_cent_less_below_cost():
    """By hand: 13.00 costs 13.00."""
    for price, trouble in ((13.00, Trouble.BELOW_FLOOR), (12.99, Trouble.BELOW_COST)):
        first = audit(CARTONS, a_list([[price, 8.80, 7.05], [28, 10.7, 9]])).findings[0]
        assert (first.trouble, first.band, first.tier) == (trouble, 0, 0)


def test_prices_that_include_the_tax_are_judged_without_it():
    """By hand: 31.20 with 20 % in it is 26.00, which holds; 31.19 is 25.99."""
    prices = np.array([[31.20, 10.60, 8.50], [33.60, 12.90, 10.80]])
    taxed = Tax(0.20, included=True)
    shop = replace(CARTONS, pricing=replace(CARTONS.pricing, tax=taxed))
    assert audit(shop, a_list(prices, tax=taxed)).holding.all()
    prices[0, 0] = 31.19
    assert not audit(shop, a_list(prices, tax=taxed)).holding[0, 0]


@pytest.mark.parametrize(
    ("measure", "unit", "bands"),
    [
        (Measure.MEAN_OF_SIDES, "mm", [50.8, 76.2]),
        (Measure.AREA, "in", [4, 9]),
        (Measure.LONGEST_SIDE, "in", [2, 3]),
    ],
)
def test_a_list_is_judged_by_its_own_measure_whatever_the_grid_goes_by_now(measure, unit, bands):
    """By hand: squares of 2 and 3 in are 50.8 and 76.2 mm, and 4 and 9 square inches: the same
    prices by another measure leave the same margins.
    """
    listed = a_list([[26, 8.80, 7.05], [28, 10.7, 9]])
    patch = CARTONS.methods["patch"]
    grid = Grid("new", measure, unit, bands, patch.grid.breaks, patch.grid.prices)
    changed = replace(CARTONS, methods={"patch": replace(patch, grid=grid)})
    before, after = audit(CARTONS, listed), audit(changed, listed)
    np.testing.assert_allclose(after.worst_margin, before.worst_margin, atol=1e-12)


def test_a_list_with_a_size_that_cannot_be_bought_any_more_cannot_be_judged():
    with pytest.raises(NotPossible, match=r"^the size is over the last band of patches\.$"):
        audit(CARTONS, a_list([[26, 9, 8], [28, 11, 9]], sizes=[2, 3.5]))
