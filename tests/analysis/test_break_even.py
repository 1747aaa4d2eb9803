"""Break-even sets, against the textbook's point and against a walk over every quantity."""

import math
import re
from dataclasses import replace

import numpy as np
import pytest
import smallshop
from hypothesis import given
from hypothesis import strategies as st

from pricelab.analysis.break_even import (
    HOURLY,
    MARGIN,
    PROFIT,
    OrderCase,
    at_one_price,
    before_tax,
    break_even,
    break_even_point,
    orders_to_repay,
)
from pricelab.cost.costing import cost_sheet
from pricelab.cost.orders import Order
from pricelab.files.shop_folder import read_shop
from pricelab.lists.selling_list import selling_list
from pricelab.shop.charges import Charge, Element, Level
from pricelab.shop.errors import NoBreakEven, NotPossible, PricelabError
from pricelab.shop.sizes import Artwork


def spans(found):
    """The first and last quantity of each stretch."""
    return [(one.first, one.last) for one in found]


def test_a_stepped_profit_has_ranges_and_loss_pockets():
    """By hand: profits of 1 … 8 pieces, where a tier's price falls at 4 and a cost at 6."""
    found = break_even([-9, -2, 3, -1, 0, 2, -0.5, 4], range(1, 9))
    assert spans(found.missing) == [(1, 2), (4, 4), (7, 7)]
    assert spans(found.earning) == [(3, 3), (5, 6), (8, 8)]
    assert (found.first, found.sure_from) == (3, 8)


@pytest.mark.parametrize(
    ("goal", "missing", "earning", "first"), [(1, [], [(5, 6)], 5), (3, [(5, 6)], [], None)]
)
def test_a_goal_may_be_met_everywhere_or_nowhere(goal, missing, earning, first):
    found = break_even([1.0, 2.0], [5, 6], goal)
    assert (spans(found.missing), spans(found.earning)) == (missing, earning)
    assert (found.first, found.sure_from) == (first, first)


def test_a_profit_that_falls_away_at_the_end_is_never_sure():
    found = break_even([-1, 2, -1], [1, 2, 3])
    assert (found.first, found.sure_from) == (2, None)


@given(
    st.lists(st.integers(-3, 3), min_size=1, max_size=60), st.integers(1, 50), st.integers(-2, 2)
)
def test_the_ranges_are_those_of_a_walk_and_cover_every_quantity_once(profit, start, goal):
    quantities = list(range(start, start + len(profit)))
    found = break_even(profit, quantities, goal)
    earns = {q for span in found.earning for q in range(span.first, span.last + 1)}
    short = [q for span in found.missing for q in range(span.first, span.last + 1)]
    assert earns == {q for q, p in zip(quantities, profit, strict=True) if p >= goal}
    assert sorted([*earns, *short]) == quantities


@given(
    st.integers(1, 500_000), st.integers(2, 500), st.integers(0, 400)
)  # fmt: skip
def test_without_steps_the_set_starts_at_the_textbook_point(fixed, price, variable):
    """F / (p − v), and profit there is at least 0 while one piece fewer loses."""
    if price <= variable:
        with pytest.raises(NoBreakEven, match=r"(does not cover|only covers) the variable cost"):
            break_even_point(fixed, price, variable)
        return
    point = break_even_point(fixed, price, variable)
    first = math.ceil(round(point, 9))
    quantities = np.arange(1, first + 3)
    found = break_even(quantities * (price - variable) - fixed, quantities)
    assert (found.first, found.sure_from) == (first, first)


@pytest.mark.parametrize(
    ("fixed", "price", "variable", "profit", "units"),
    [
        # slideshare cvpa-56520948 (probably Heisinger & Hoyle, Managerial Accounting)
        (50_000, 250, 150, 0, 500), (50_000, 250, 150, 30_000, 800),
        (108_000, 50, 32, 0, 6_000),  # scribd 495053642, Ex. 6-14
        (12_168_000, 75, 36, 0, 312_000),  # sidebar.io lugar 14784308
        (800_000, 20, 12, 0, 100_000),  # tutorsglobe 5557191
    ],
)  # fmt: skip
def test_published_break_even_points(fixed, price, variable, profit, units):
    assert break_even_point(fixed, price, variable, profit) == pytest.approx(units, abs=1e-9)


def test_a_target_after_tax_is_more_before_it():
    """sidebar.io lugar 14784308: 1,872,000 after 40 % tax takes 392,000 units."""
    profit = before_tax(1_872_000, 0.40)
    assert break_even_point(12_168_000, 75, 36, profit) == pytest.approx(392_000, abs=1e-6)


def test_a_price_under_variable_cost_says_why_there_is_no_break_even():
    told = (
        "a price of 5.00 does not cover the variable cost of 6.00: every piece adds to the loss, "
        "so no quantity breaks even. Raise the price or cut the cost."
    )
    with pytest.raises(NoBreakEven, match=f"^{re.escape(told)}$"):
        break_even_point(100, 5, 6)


def test_a_price_that_only_covers_variable_cost_breaks_even_nowhere_either():
    told = (
        "a price of 6.00 only covers the variable cost of 6.00: every piece leaves nothing, "
        "so no quantity breaks even. Raise the price or cut the cost."
    )
    with pytest.raises(NoBreakEven, match=f"^{re.escape(told)}$"):
        break_even_point(100, 6, 6)


def test_no_profit_is_asked_for_unless_it_is_told():
    """By hand: 100 / (6 − 4)."""
    assert break_even_point(100, 6, 4) == 50


def test_without_income_tax_all_profit_is_kept():
    assert before_tax(100, 0) == 100


def test_repeat_orders_pay_back_a_set_up_given_free():
    """By hand: 45 at 20 an order takes three, 40 takes two exactly, nothing given takes none;
    .50 takes one order, and 2.00 takes four that leave .50.
    """
    assert [orders_to_repay(given, 20) for given in (45, 40, 0.5, 0)] == [3, 2, 1, 0]
    assert orders_to_repay(2, 0.5) == 4
    assert orders_to_repay(0, -1) == 0
    for contribution, shown in ((-1, "−1.00"), (0, "0.00")):
        told = f"a repeat order that leaves {shown} never pays back 45.00."
        with pytest.raises(NoBreakEven, match=f"^{re.escape(told)}$"):
            orders_to_repay(45, contribution)


@pytest.mark.parametrize(
    ("earned", "quantities", "told"),
    [
        ([1, 2], [1], "expected what is earned at each quantity, in one row."),
        ([], [], "expected what is earned at each quantity, in one row."),
        ([1, 2], [1, 3], "expected quantities that rise by one."),
    ],
)
def test_rows_that_do_not_fit_are_refused(earned, quantities, told):
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        break_even(earned, quantities)


def test_a_tax_that_takes_everything_is_refused():
    with pytest.raises(PricelabError, match=r"found an income tax rate of 1, expected 0 to under"):
        before_tax(10, 1)


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


def given_free(listed):
    """The list without its set-up line."""
    return replace(listed, setup=0.0)


@pytest.fixture(scope="module")
def stepped(folder, listed):
    """A list of 11.00 up to 23 pieces and 7.00 from 24 on, set-up given free."""
    prices = np.array([[11.0, 7.0], [11.0, 7.0]])
    two = replace(listed, starts=np.array([1, 24]), prices=prices, sheet=None)
    return OrderCase.of(folder.shop, given_free(two), TWO)


def flat(folder, listed, each, **how):
    """A case at one price throughout, set-up given free."""
    return OrderCase.of(folder.shop, given_free(at_one_price(listed, each)), TWO, **how)


def test_ranges_and_pockets_by_hand(stepped):
    """Under 20: 10.45 q − 7.5 q ≥ 36.3 from 12.3; from 24: 6.65 q − 5.5 q ≥ 36.3 from 31.6."""
    found = stepped.break_even()
    assert spans(found.missing) == [(1, 12), (24, 31)]
    assert spans(found.earning) == [(13, 23), (32, 50)]
    assert found.sure_from == 32


def test_the_quantities_that_earn_a_goal_by_hand(stepped):
    """20.00 of profit: 19 leave 2.95 × 19 − 36.3 = 19.75, 20 leave more; 1.15 q ≥ 56.3 from 49."""
    found = stepped.break_even(goal=20)
    assert spans(found.missing) == [(1, 19), (24, 48)]
    assert spans(found.earning) == [(20, 23), (49, 50)]


def test_profit_and_margin_by_hand(stepped):
    """At 24: 168 × .95 − .30 − 132 − 36 = −8.70, a margin of −8.70 / 168, in 24 minutes."""
    assert stepped.earned(PROFIT)[23] == pytest.approx(-8.70)
    assert stepped.earned(MARGIN)[23] == pytest.approx(-8.70 / 168)
    assert stepped.earned(HOURLY)[23] == pytest.approx(-8.70 * 60 / 24)
    sold = stepped.at(24)
    assert (sold.earnings.revenue, sold.charged.each) == (168, 7.00)


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
    """10 % of the total, so 11 % of the price, and .20 more: no loss on 168.00 at 168.50 / .84."""
    shop, method = folder.shop, folder.shop.methods["patch"]
    fee = Charge("licence", Element.FEES, Level.REVENUE, 0.20, share=0.10)
    licensed = replace(method, charges=(*method.charges, fee))
    shop = replace(shop, methods={**shop.methods, "patch": licensed})
    case = OrderCase.of(shop, given_free(listed), TWO)
    assert case.price_for(24) == pytest.approx(168.5 / 0.84 / 24)


@pytest.mark.parametrize(("first", "cost"), [(True, 168.0), (False, 138.0)])
def test_the_order_of_a_case_is_costed_as_it_is(folder, listed, first, cost):
    """24 pieces at 5.50, freight 6.00, and the set-up of 30.00 the first time."""
    order = OrderCase.of(folder.shop, listed, TWO, first=first).order(24)
    assert cost_sheet(folder.shop, order).full == pytest.approx(cost)


def test_a_price_asked_for_stands_in_no_file(listed):
    assert listed.place(0, 0) is not None
    assert at_one_price(listed, 7).place(0, 0) is None


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
    assert [case.at(pieces).charged.each for pieces in (12, 50)] == [7.00, 7.00]
    for quantity, outside in ((1, "1 is"), (11, "11 are"), (51, "51 are")):
        told = (
            f"this list goes from 12 to 50 pieces, and {outside} outside it. "
            "Ask for a quantity inside it."
        )
        with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
            case.at(quantity)


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
