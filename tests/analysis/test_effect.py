"""What a change to the shop does to one order, worked out by hand on a shop of round figures."""

from dataclasses import replace

import numpy as np
import pytest
from example_shops import PATCH, a_blank, a_patch, a_shop
from hypothesis import given
from hypothesis import strategies as st

from pricelab.analysis.effect import Sample
from pricelab.cost.cost_sheet import beside
from pricelab.cost.costing import cost_sheet
from pricelab.cost.orders import Order
from pricelab.files.folders import DEMO_SHOP
from pricelab.files.shop_folder import read_shop
from pricelab.shop.errors import NotPossible, PricelabError
from pricelab.shop.pricing_rules import PricingRules, Tax
from pricelab.shop.rounding import Rounding
from pricelab.shop.sizes import Artwork
from pricelab.shop.work import Operation, Rates

DEMO = read_shop(DEMO_SHOP).shop


def shop_at(wage: float, **changes):
    """A cap at 4.00, a patch at 2.00 with a set-up of 30.00, three minutes a piece."""
    patch = a_patch(setup=30, operations=(Operation("press", 3.0),))
    rules = PricingRules(0.5, 0.4, Rounding(0.25))
    parts = {"rates": Rates(wage), "pricing": rules, "largest_order": 40, **changes}
    return a_shop(patch, blanks=(a_blank(),), **parts)


def sample(shop, quantity=20):
    """Twenty pieces of the patch on the cap."""
    return Sample.of(shop, "patch", "cap", PATCH, quantity)


def test_cost_and_price_before_and_after_a_higher_wage():
    """20.00 an hour is 1.00 for three minutes, 24.00 is 1.20; the set-up is 1.50 a piece of 20.

    Cost a piece: 4.00 + 2.00 + 1.00 + 1.50 = 8.50, then 8.70. Price at half the price: 7.00 / 0.5
    = 14.00, then 7.20 / 0.5 = 14.40, up to 14.50; the set-up line is 30 / 0.5 = 60.00.
    """
    before, after = sample(shop_at(20)), sample(shop_at(24))
    assert (before.cost, after.cost) == pytest.approx((8.50, 8.70), abs=1e-12)
    assert (before.price, after.price) == (14.00, 14.50)
    assert (before.setup, after.setup) == (60.00, 60.00)


def test_the_lines_that_differ_are_those_of_the_change():
    """Twenty times 1.00 of labour become twenty times 1.20; nothing else moves."""
    lines = beside(before=sample(shop_at(20)).lines, after=sample(shop_at(24)).lines)
    assert list(lines.columns) == ["level", "element", "label", "before", "after", "difference"]
    moved = lines[lines["difference"] != 0]
    assert moved["label"].tolist() == ["Patch: press"]
    figures = moved[["before", "after", "difference"]].to_numpy()
    assert figures == pytest.approx(np.array([[20.0, 24.0, 4.0]]), abs=1e-12)
    assert lines["before"].sum() == pytest.approx(20 * 8.50, abs=1e-9)
    assert lines["after"].sum() == pytest.approx(20 * 8.70, abs=1e-9)


def test_a_set_up_that_is_spread_stands_in_the_price():
    """8.50 / 0.5 = 17.00, with no line beside it; with 10 % tax in it 18.70, up to 18.75."""
    rules = PricingRules(0.5, 0.4, Rounding(0.25), setup_apart=False)
    spread = sample(shop_at(20, pricing=rules))
    assert (spread.price, spread.setup) == (17.00, None)
    taxed = sample(shop_at(20, pricing=replace(rules, tax=Tax(0.10, included=True))))
    assert taxed.price == 18.75


def test_the_curve_is_the_cost_sheet_at_every_quantity():
    """An order larger than the shop's largest is costed too."""
    shop = shop_at(20)
    curve = sample(shop)
    order = Order.of(shop.blanks["cap"], np.arange(1, 41), shop.methods["patch"], PATCH)
    assert curve.quantities.tolist() == list(range(1, 41))
    assert curve.each == pytest.approx(cost_sheet(shop, order).full / np.arange(1, 41), rel=1e-12)
    assert sample(shop, 90).quantities[-1] == 90


@given(quantity=st.integers(1, 600), wage=st.floats(1, 90), width=st.floats(1, 3))
def test_lines_add_up_to_the_cost_of_the_order(quantity, wage, width):
    """Before and after, and their difference, on the demo shop with any wage."""
    other = replace(DEMO, rates=replace(DEMO.rates, labour=wage))
    of = "leather", "mesh-back", Artwork(width, 2, "in"), quantity
    before, after = (Sample.of(shop, *of) for shop in (DEMO, other))
    lines = beside(before=before.lines, after=after.lines)
    assert lines["before"].sum() == pytest.approx(before.cost * quantity, rel=1e-9)
    assert lines["after"].sum() == pytest.approx(after.cost * quantity, rel=1e-9)
    more = (after.cost - before.cost) * quantity
    assert lines["difference"].sum() == pytest.approx(more, rel=1e-6, abs=1e-6)
    assert set(lines[lines["difference"].abs() > 1e-9]["element"]) <= {"labour"}


def test_a_line_that_one_side_lacks_costs_nothing_there():
    """A method without its operation."""
    shop = shop_at(20)
    idle = replace(shop, methods={"patch": a_patch(setup=30)})
    lines = beside(before=sample(shop).lines, after=sample(idle).lines)
    (press,) = lines[lines["label"] == "Patch: press"].itertuples()
    assert (press.before, press.after, press.difference) == (20.0, 0.0, -20.0)


def test_what_cannot_be_made_is_told():
    """Too large for the grid, or not a method of the shop."""
    with pytest.raises(NotPossible, match=r"^the size is over the last band of patches\.$"):
        Sample.of(shop_at(20), "patch", "cap", replace(PATCH, width=2.9), 20)
    with pytest.raises(PricelabError, match=r"patches"):
        Sample.of(shop_at(20), "patches", "cap", PATCH, 20)
