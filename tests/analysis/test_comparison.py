"""Comparing methods: an order by hand; leaders and runs by plain loops and published cases."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from example_shops import a_blank, a_patch, a_shop
from hypothesis import given
from hypothesis import strategies as st

from pricelab.analysis.comparison import (
    FIGURES,
    NOBODY,
    Comparison,
    Run,
    leaders,
    runs,
    sell,
)
from pricelab.cost.cost_sheet import OPERATOR
from pricelab.shop.charges import Charge, Element, Level
from pricelab.shop.errors import PricelabError
from pricelab.shop.price_list import PriceList
from pricelab.shop.pricing_rules import Tax
from pricelab.shop.sizes import Artwork, Measure
from pricelab.shop.work import Operation, Rates

PRESSING = (
    Operation("place", 1.5, station="press"),
    Operation("press", 0.5, attended=False, station="press"),
)
CAP = a_blank()
CHEAP = a_patch(operations=PRESSING)
DEAR = a_patch(key="dear", name="Dear patch", prices=((3.00,),), setup=15.0, operations=PRESSING)
SHOP = a_shop(CHEAP, DEAR, blanks=(CAP,))


def a_list(method="patch", prices=((10.00, 9.00),), *, starts=(1, 50), sizes=(2.5,), **changes):
    """A list at 10.00, from 50 pieces at 9.00, up to 100, unless told otherwise."""
    return PriceList(
        method, "cap", Measure.MEAN_OF_SIDES, "in", sizes, starts, 100, prices, **changes
    )


def one_order(quantity, **how):
    """Ten pieces or so of 2 × 2 in off the cheap patch's list and off the dear one's."""
    lists = [a_list(), a_list("dear", ((12.00, 11.00),), setup=20.0)]
    return Comparison.of(SHOP, lists, Artwork([2.0], [2.0], "in"), [quantity], **how)


# ---- one order, by hand ---------------------------------------------------------------


def test_ten_pieces_of_each_patch_by_hand():
    """Cap 4.00, patches 2.00 and 3.00; the press is busy 1.5 + .5 minutes a piece.

    Cheap: taken 10 × 10.00 = 100.00, spent 10 × 6.00 = 60.00, left 40.00 or 40 %. The
    operator 15 minutes, the press 20: 40.00 in a third of an hour is 120.00 an hour.
    Dear: taken 10 × 12.00 + 20.00 = 140.00, spent 10 × 7.00 + 15.00 = 85.00, left 55.00.
    """
    compared = one_order(10)
    cheap, dear = (compared.standing(at, 0, 0) for at in (0, 1))
    assert (cheap.account.revenue, cheap.account.cost, cheap.account.profit) == (100, 60, 40)
    assert cheap.account.margin == pytest.approx(0.4, abs=1e-12)
    assert (cheap.operator, cheap.busiest, cheap.bottleneck) == (15, "press", 20)
    assert cheap.profit_an_hour == pytest.approx(120, abs=1e-9)
    assert (cheap.method, cheap.account.quantity) == (CHEAP, 10)
    assert (dear.each, dear.setup, dear.payable) == (12, 20, 140)
    assert (dear.account.cost, dear.account.profit) == (85, 55)
    for by, expected in {
        "price": [10, 12], "total": [100, 140], "cost": [60, 85], "margin": [0.4, 55 / 140],
        "profit": [40, 55], "profit an hour": [120, 165],
    }.items():  # fmt: skip
        assert by in FIGURES
        np.testing.assert_allclose(compared.figures(by)[:, 0, 0], expected, rtol=1e-12)


def test_whoever_is_busy_longest_is_the_bottleneck():
    """By hand: trimming of 2 minutes a piece makes 35 of the operator, and 20 of the press."""
    trimmed = replace(CHEAP, operations=(*PRESSING, Operation("trim", 2)))
    shop = a_shop(trimmed, blanks=(CAP,))
    standing = Comparison.of(shop, [a_list()], Artwork(2, 2, "in"), [10]).standing(0, 0, 0)
    assert (standing.operator, standing.busiest, standing.bottleneck) == (35, OPERATOR, 35)


def test_a_repeat_is_charged_no_set_up_and_bears_none():
    """By hand: taken 120.00, spent 70.00, left 50.00."""
    account = one_order(10, first=False).standing(1, 0, 0).account
    assert (account.revenue, account.cost, account.profit, account.setup) == (120, 70, 50, 0)


def test_a_repeat_is_charged_the_set_up_that_repeats():
    """By hand: 12.00 due again; at the target margin of 50 % its line is 24.00."""
    again = a_patch(operations=PRESSING, repeat_setup=12.0)
    shop = a_shop(again, blanks=(CAP,))
    sale = sell(shop, a_list(), Artwork(2, 2, "in"), [10], first=False)
    assert sale.charged.setup.item() == 12.0 / (1 - shop.pricing.target)
    before = sell(a_shop(CHEAP, blanks=(CAP,)), a_list(), Artwork(2, 2, "in"), [10], first=False)
    gained = sale.earnings.profit - before.earnings.profit
    assert gained.item() == pytest.approx(12.0 / (1 - shop.pricing.target) - 12.0)


def test_a_method_s_own_fee_is_taken_beside_the_shop_s():
    """By hand: 10 % of 100.00 less than the 40.00 that are left without it."""
    licence = Charge("licence", Element.FEES, Level.REVENUE, share=0.10)
    shop = a_shop(replace(CHEAP, charges=(licence,)), blanks=(CAP,))
    sale = sell(shop, a_list(), Artwork(2, 2, "in"), [10])
    assert sale.earnings.profit.item() == pytest.approx(30, abs=1e-9)


def test_a_currency_without_cents_is_charged_without_them():
    """By hand: 100.4 yen are charged as 100, ten times."""
    shop = a_shop(CHEAP, blanks=(CAP,), currency="JPY")
    sale = sell(shop, a_list(prices=((100.4, 100.4),)), Artwork(2, 2, "in"), [10])
    assert (sale.charged.each.item(), sale.charged.payable.item()) == (100, 1000)


def test_prices_with_tax_in_them_leave_what_is_left_without_it():
    """By hand: 12.00 with 20 % in it is 10.00; 10 × 10.00 less 60.00 leaves 40.00."""
    listed = a_list(prices=((12.00, 12.00),), tax=Tax(0.2, included=True))
    compared = Comparison.of(SHOP, [listed], Artwork([2.0], [2.0], "in"), [10])
    standing = compared.standing(0, 0, 0)
    assert (standing.each, standing.payable) == (12, 120)
    assert standing.account.profit == pytest.approx(40, abs=1e-9)
    assert standing.account.each == pytest.approx(10, abs=1e-12)


def test_the_account_of_a_standing_adds_up():
    """Identity, with labour, fees and charges: lines sum to the cost, and all to what is left."""
    shop = a_shop(
        CHEAP, DEAR, blanks=(CAP,), rates=Rates(24, 12),
        charges=(
            Charge("bag", Element.PACKING, Level.PIECE, 0.1),
            Charge("card", Element.FEES, Level.REVENUE, 0.3, 0.029),
        ),
    )  # fmt: skip
    account = Comparison.of(
        shop, [a_list("dear", setup=20.0)], Artwork([2.0], [2.0], "in"), [6, 7]
    ).standing(0, 0, 1).account  # fmt: skip
    assert sum(line.amount for line in account.lines) == pytest.approx(account.cost, abs=1e-9)
    assert account.each * 7 + account.setup == pytest.approx(account.revenue, abs=1e-9)
    assert account.revenue - account.fees - account.cost == pytest.approx(account.profit, abs=1e-9)


# ---- what is not possible -------------------------------------------------------------


def test_where_nothing_can_be_sold_there_is_a_reason_and_no_figure():
    lists = [a_list(starts=(6, 50)), a_list("dear", sizes=(1.5,))]
    artworks = Artwork([1.0, 2.0, 6.0], [1.0, 2.0, 2.0], "in")
    compared = Comparison.of(SHOP, lists, artworks, [1, 6, 100, 101])
    assert compared.reason(0, 1, 0) == "the list of Patch goes from 6 to 100 pieces."
    assert compared.reason(0, 1, 3) == "the list of Patch goes from 6 to 100 pieces."
    assert compared.reason(0, 1, 2) == ""
    assert compared.reason(0, 1, 1) == ""
    assert compared.reason(1, 1, 1) == "the list of Dear patch ends at 1.5 (mean of sides)."
    assert compared.reason(0, 2, 1) == "the panel of the cap takes at most 5 × 3 in."
    masked = np.ma.getmaskarray(compared.figures("profit"))
    for at in range(2):
        for size in range(3):
            for quantity in range(4):
                assert masked[at, size, quantity] == bool(compared.reason(at, size, quantity))


def test_a_list_that_sells_none_of_it_has_no_sheet():
    listed = a_list(starts=(6, 50))
    sale = sell(SHOP, listed, Artwork([6.0], [2.0], "in"), [1, 10])
    assert sale.sheet is None
    assert (sale.price_list, sale.sizes.tolist(), sale.quantities.tolist()) == (listed, [], [1])
    assert sale.reasons.tolist() == ["the panel of the cap takes at most 5 × 3 in."]


def test_a_list_ends_by_its_own_measure_and_its_end_belongs_to_it():
    """By hand: 2 × 2.25 in are 4.5 square inches, and 2 × 2.5 in are 5."""
    listed = replace(a_list(sizes=(4.5,)), measure=Measure.AREA)
    sale = sell(SHOP, listed, Artwork(2, [2.25, 2.5], "in"), [10])
    assert sale.reasons.tolist() == ["", "the list of Patch ends at 4.5 (area)."]


def test_an_unknown_figure_is_refused_with_those_that_are_known():
    with pytest.raises(
        PricelabError,
        match=r'^found "luck" to compare by, expected one of price, total, cost, margin, profit, '
        r"profit an hour\.$",
    ):
        one_order(1).figures("luck")


def test_a_mesh_is_its_single_orders():
    """Every cell of sizes × quantities is what the order alone gives."""
    lists = [a_list(sizes=(1.5, 2.5), prices=((9, 8), (10, 9))), a_list("dear", setup=20.0)]
    widths, quantities = np.array([1.0, 1.5, 2.0, 2.75]), np.array([1, 49, 50, 100])
    whole = Comparison.of(SHOP, lists, Artwork(widths, widths, "in"), quantities)
    for row, width in enumerate(widths):
        for column, quantity in enumerate(quantities):
            alone = Comparison.of(SHOP, lists, Artwork([width], [width], "in"), [quantity])
            for by in FIGURES:
                mesh, one = whole.figures(by)[:, row, column], alone.figures(by)[:, 0, 0]
                np.testing.assert_array_equal(mesh.mask, one.mask)
                np.testing.assert_allclose(mesh.filled(-1), one.filled(-1), rtol=1e-12)


# ---- leaders and runs -----------------------------------------------------------------


def run_over(quantities, *costs, least=True):
    """The runs of functions of quantity."""
    figures = np.ma.array([cost(quantities) for cost in costs])
    return runs(leaders(figures, least=least), quantities)


def test_two_processes_cross_where_published():
    """50,000 + 10q against 25,000 + 18q: equal at 3,125 (acedessays.com, a textbook's problem)."""
    q = np.arange(1, 10_001)
    one, two = (lambda q: 50_000 + 10 * q), (lambda q: 25_000 + 18 * q)
    assert run_over(q, one, two) == (Run(1, 1, 3124), Run(0, 3125, 10_000))
    assert (one(3_000), two(3_000)) == (80_000, 79_000)
    assert (one(7_000), two(7_000)) == (120_000, 151_000)
    led = leaders(np.ma.array([one(q), two(q)]), least=True)
    assert (led[3_000 - 1], led[7_000 - 1]) == (1, 0)


def test_three_processes_cross_where_published():
    """200k/300k/400k with 60/25/10 a unit: 2,857 and 6,667 (Heizer & Render, from memory)."""
    q = np.arange(1, 10_001)
    found = run_over(
        q, lambda q: 200_000 + 60 * q, lambda q: 300_000 + 25 * q, lambda q: 400_000 + 10 * q
    )
    assert found == (Run(0, 1, 2857), Run(1, 2858, 6666), Run(2, 6667, 10_000))


def test_of_equals_the_first_leads_and_noise_makes_no_leader():
    """By hand, to a hundredth of a cent: 5.00004 is 5.0000, and 5.00006 is 5.0001."""
    figures = np.ma.array([[5.0, 5.0, 5.0, 5.0], [5.0 + 1e-9, 5.00004, 5.00006, 5.01]])
    assert leaders(figures).tolist() == [0, 0, 1, 1]
    assert leaders(figures, least=True).tolist() == [0, 0, 0, 0]


@st.composite
def small_maps(draw):
    """Figures of a few methods over a few sizes and quantities, some of them masked."""
    shape = draw(st.tuples(*(st.integers(1, most) for most in (4, 3, 9))))
    count = int(np.prod(shape))
    values = draw(st.lists(st.integers(-3, 3), min_size=count, max_size=count))
    masked = draw(st.lists(st.booleans(), min_size=count, max_size=count))
    return np.ma.array(np.array(values, float).reshape(shape), mask=np.reshape(masked, shape))


@given(small_maps(), st.booleans(), st.integers(1, 50))
def test_leaders_and_runs_are_those_of_plain_loops(figures, least, start):
    """The leader of every cell by comparing one after another; runs cover each quantity once."""
    led = leaders(figures, least=least)
    methods, sizes, count = figures.shape
    quantities = np.arange(start, start + count)
    for size in range(sizes):
        expected = []
        for at in range(count):
            best = NOBODY
            for method in range(methods):
                value = figures[method, size, at]
                if value is np.ma.masked:
                    continue
                if best == NOBODY or (
                    value < figures[best, size, at] if least else value > figures[best, size, at]
                ):
                    best = method
            expected.append(best)
        assert led[size].tolist() == expected
        found = runs(led[size], quantities)
        covered = [(q, run.leader) for run in found for q in range(run.first, run.last + 1)]
        assert covered == list(zip(quantities.tolist(), expected, strict=True))
        assert all(one.leader != two.leader for one, two in pairwise(found))
