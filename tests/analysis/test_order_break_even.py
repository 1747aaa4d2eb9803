"""When an order pays: by hand on the small shop, against the textbook, and piece by piece.

In the small shop, at 2 in, a first order of q pieces costs 7.50 a piece under 20, 6.50 from 20
and 5.50 from 24 on, and 36.00 once (freight 6.00, set-up 30.00); fees are 5 % and 0.30.
"""

import re
from dataclasses import replace

import numpy as np
import pytest
import smallshop
from hypothesis import given
from hypothesis import strategies as st

from pricelab.analysis.break_even import Range, break_even_point
from pricelab.analysis.order_break_even import (
    HOURLY,
    MARGIN,
    PROFIT,
    OrderCase,
    at_one_price,
    set_up_given,
)
from pricelab.cost.costing import cost_sheet
from pricelab.cost.orders import Order
from pricelab.files.shop_folder import read_shop
from pricelab.lists.defaults import selling_list
from pricelab.shop.charges import Charge, Element, Level
from pricelab.shop.errors import NoBreakEven, NotPossible, PricelabError
from pricelab.shop.sizes import Artwork

TWO = Artwork(2, 2, "in")


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """The small shop."""
    return read_shop(smallshop.write_shop(tmp_path_factory.mktemp("shop")))


@pytest.fixture(scope="module")
def listed(folder):
    """Its list of today, with the set-up line of 54.55."""
    shop = folder.shop
    return selling_list(folder, shop.methods["patch"], shop.blanks["cap"])


@pytest.fixture(scope="module")
def stepped(folder, listed):
    """A list of 11.00 up to 23 pieces and 7.00 from 24 on, set-up given free."""
    prices = np.array([[11.0, 7.0], [11.0, 7.0]])
    two = replace(listed, starts=np.array([1, 24]), prices=prices, sheet=None)
    return OrderCase.of(folder.shop, set_up_given(two), TWO)


def flat(folder, listed, each, **how):
    """A case at one price throughout, set-up given free."""
    return OrderCase.of(folder.shop, set_up_given(at_one_price(listed, each)), TWO, **how)


def test_ranges_and_pockets_by_hand(stepped):
    """Under 20: 10.45 q − 7.5 q ≥ 36.3 from 12.3; from 24: 6.65 q − 5.5 q ≥ 36.3 from 31.6."""
    found = stepped.break_even()
    assert found.missing == Range(1, 12)
    assert found.earning == (Range(13, 23), Range(32, 50))
    assert found.pockets == (Range(24, 31),)
    assert found.sure_from == 32


def test_the_quantities_that_earn_a_goal_by_hand(stepped):
    """20.00 of profit: 19 leave 2.95 × 19 − 36.3 = 19.75, 20 leave more; 1.15 q ≥ 56.3 from 49."""
    found = stepped.break_even(goal=20)
    assert found.missing == Range(1, 19)
    assert found.earning == (Range(20, 23), Range(49, 50))


def test_profit_and_margin_by_hand(stepped):
    """At 24: 168 × .95 − .30 − 132 − 36 = −8.70, a margin of −8.70 / 168, in 24 minutes."""
    assert stepped.earned(PROFIT)[23] == pytest.approx(-8.70)
    assert stepped.earned(MARGIN)[23] == pytest.approx(-8.70 / 168)
    assert stepped.earned(HOURLY)[23] == pytest.approx(-8.70 * 60 / 24)
    assert stepped.revenue(24) == 168
    assert stepped.each(24) == 7.00


def test_a_set_up_line_is_money_taken(folder, listed):
    """At 24 and 7.00: 54.55 × .95 more than without it."""
    with_line = OrderCase.of(folder.shop, at_one_price(listed, 7), TWO)
    assert with_line.earned(PROFIT)[23] == pytest.approx(-8.70 + 54.55 * 0.95)


def test_the_textbook_s_point_by_hand(stepped):
    """(36 + .30) / (7 − 5.50 − .05 × 7) = 36.3 / 1.15."""
    found = stepped.stepless(24)
    assert (found.fixed, found.price) == (pytest.approx(36.3), 7.0)
    assert found.variable == pytest.approx(5.85)
    assert found.point == pytest.approx(36.3 / 1.15)


def test_a_margin_takes_its_share_as_a_fee_does(folder, listed):
    """10 % of 7.00 is .70 more a piece, and of the set-up line 5.455 less."""
    found = OrderCase.of(folder.shop, at_one_price(listed, 7), TWO).stepless(24, margin=0.1)
    assert found.variable == pytest.approx(5.85 + 0.70)
    assert found.fixed == pytest.approx(36.3 - 54.55 * 0.85)


def test_a_method_s_own_fee_is_due_beside_the_shop_s(folder, listed):
    """10 % and .20 more: no loss on 168.00 takes 168.50 / .85."""
    shop, method = folder.shop, folder.shop.methods["patch"]
    fee = Charge("licence", Element.FEES, Level.REVENUE, 0.20, share=0.10)
    licensed = replace(method, charges=(*method.charges, fee))
    shop = replace(shop, methods={**shop.methods, "patch": licensed})
    case = OrderCase.of(shop, set_up_given(listed), TWO)
    assert case.price_for(24) == pytest.approx(168.5 / 0.85 / 24)


@pytest.mark.parametrize(("first", "cost"), [(True, 168.0), (False, 138.0)])
def test_the_order_of_a_case_is_costed_as_it_is(folder, listed, first, cost):
    """24 pieces at 5.50, freight 6.00, and the set-up of 30.00 the first time."""
    order = OrderCase.of(folder.shop, listed, TWO, first=first).order(24)
    assert cost_sheet(folder.shop, order).full == pytest.approx(cost)


def test_a_price_asked_for_stands_in_no_file_and_a_set_up_given_free_is_a_line_of_nothing(listed):
    """A set-up of None would be one spread over the pieces."""
    assert listed.place(0, 0) is not None
    assert at_one_price(listed, 7).place(0, 0) is None
    assert set_up_given(listed).setup == 0


def test_a_set_up_that_covers_all_breaks_even_from_the_first_piece(folder, listed):
    """36.3 less 54.55 × .95 is below nothing."""
    found = OrderCase.of(folder.shop, at_one_price(listed, 7), TWO).stepless(24)
    assert found.fixed == pytest.approx(36.3 - 54.55 * 0.95)
    assert found.point == 0


@given(st.integers(24, 50), st.integers(650, 5_000), st.sampled_from([0.0, 0.1, 0.2]))
def test_without_steps_the_set_begins_at_the_textbook_s_point(small_case, quantity, cents, margin):
    """From 24 on nothing steps in the small shop, so F / (p − v) and the set must agree."""
    folder, listed = small_case
    case = flat(folder, listed, cents / 100)
    try:
        point = case.stepless(quantity, margin).point
    except NoBreakEven:
        point = np.inf
    earns = case.earned(MARGIN)[23:] >= margin - 1e-9
    first = 24 + int(earns.argmax()) if earns.any() else None
    assert first == (max(24, int(np.ceil(point - 1e-9))) if point <= 50 else None)


@pytest.fixture(scope="module")
def small_case(folder, listed):
    """Both, for tests that draw many prices."""
    return folder, listed


def test_the_price_for_a_goal_by_hand(stepped):
    """24 pieces cost 168.00: no loss takes 168.30 / .95, a margin of 40 % 168.30 / .55.

    24 minutes at 30.00 an hour are 12.00 more: 180.30 / .95; and so are 12.00 of profit.
    """
    assert stepped.price_for(24) == pytest.approx(168.3 / 0.95 / 24)
    assert stepped.price_for(24, MARGIN, 0.4) == pytest.approx(168.3 / 0.55 / 24)
    assert stepped.price_for(24, HOURLY, 30) == pytest.approx(180.3 / 0.95 / 24)
    assert stepped.price_for(24, PROFIT, 12) == pytest.approx(180.3 / 0.95 / 24)


@given(st.integers(1, 50), st.sampled_from([(PROFIT, 25.0), (MARGIN, 0.3), (HOURLY, 80.0)]))
def test_at_its_price_a_quantity_earns_the_goal(small_case, quantity, goal):
    """And a cent under it, less."""
    folder, listed = small_case
    by, least = goal
    price = flat(folder, listed, 1).price_for(quantity, by, least)
    up, down = np.ceil(round(price * 100, 6)) / 100, np.floor(round(price * 100 - 1, 6)) / 100
    for each, met in ((up, True), (down, False)):
        case = flat(folder, listed, each)
        assert (case.earned(by)[quantity - 1] >= least - 1e-9) == met


def test_a_set_up_that_alone_meets_the_goal_needs_no_price(folder, listed):
    """Never below 0: 54.55 less a piece of 7.50, 36.00 and fees leaves something."""
    assert OrderCase.of(folder.shop, listed, TWO).price_for(1) == 0.0


def test_repeat_orders_pay_off_a_set_up_by_hand(folder, listed):
    """30.00 given; a repeat of 24 at 7.00 leaves 159.60 − .30 − 138.00 = 21.30: two of them."""
    case = flat(folder, listed, 7)
    assert case.set_up_cost(24) == 30
    assert case.repeats_to_repay(24) == 2
    assert flat(folder, listed, 7, first=False).repeats_to_repay(24) == 2


def test_a_price_under_the_variable_cost_has_no_point(folder, listed):
    """5.00 against 5.50 and a fee of .25: why, and not infinity."""
    case = flat(folder, listed, 5)
    told = (
        "a price of 5.00 does not cover the variable cost of 5.75: every piece adds to the loss, "
        "so no quantity breaks even. Raise the price or cut the cost."
    )
    with pytest.raises(NoBreakEven, match=f"^{re.escape(told)}$"):
        case.stepless(24)
    assert case.break_even().earning == ()
    with pytest.raises(NoBreakEven, match=r"^a repeat order that leaves −24\.30 never pays back"):
        case.repeats_to_repay(24)


def test_a_quantity_off_the_list_is_refused(folder, listed):
    case = OrderCase.of(folder.shop, at_one_price(listed, 7, first=12), TWO)
    assert (case.each(12), case.each(50)) == (7.00, 7.00)
    for quantity, outside in ((1, "1 is"), (11, "11 are"), (51, "51 are")):
        told = (
            f"this list goes from 12 to 50 pieces, and {outside} outside it. "
            "Ask for a quantity inside it."
        )
        with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
            case.revenue(quantity)


def test_an_artwork_that_cannot_be_made_says_why(folder, listed):
    with pytest.raises(NotPossible, match=r"^the panel of Plain cap takes at most 5 × 2\.5 in\.$"):
        OrderCase.of(folder.shop, listed, Artwork(6, 2, "in"))


@pytest.mark.parametrize("first", [True, False])
def test_every_quantity_by_itself(folder, listed, first):
    """Brute force: each quantity costed and charged alone, as in the statement of fees."""
    shop = folder.shop
    case = OrderCase.of(shop, listed, TWO, first=first)
    for quantity in range(1, 51):
        each = {0: 25.10, 1: 9.90, 2: 10.50}[int(quantity >= 12) + int(quantity >= 24)]
        taken = each * quantity + (54.55 if first else 0)
        order = Order.of(shop.blanks["cap"], quantity, shop.methods["patch"], TWO, first=first)
        left = taken - (0.05 * taken + 0.30) - float(cost_sheet(shop, order).full)
        assert case.earned(PROFIT)[quantity - 1] == pytest.approx(left)
        pays = any(one.first <= quantity <= one.last for one in case.break_even().earning)
        assert pays == (left >= -1e-9)


def test_break_even_point_is_the_one_rule(stepped):
    """The case adds nothing to F / (p − v) but its figures."""
    one = stepped.stepless(24, profit=50)
    assert one.point == break_even_point(one.fixed, one.price, one.variable, 50)
