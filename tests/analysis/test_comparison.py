"""Comparing methods: an order by hand; leaders and runs by plain loops and published cases."""

from dataclasses import replace

import numpy as np
import pytest
from example_shops import a_blank, a_patch, a_shop

from pricelab.analysis.comparison import FIGURES, Comparison, MethodChoice, sell
from pricelab.analysis.lead_map import NOBODY, leaders
from pricelab.cost.cost_sheet import OPERATOR
from pricelab.files.folders import ROOT
from pricelab.files.shop_folder import read_shop
from pricelab.lists.selling_list import ListsOnBlank, lists_on
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
    cheap, dear = (compared.order(at, 0, 0) for at in (0, 1))
    account, minutes = cheap.account, cheap.sheet.minutes
    assert (account.revenue, account.cost, account.profit, account.quantity) == (100, 60, 40, 10)
    assert account.margin == pytest.approx(0.4, abs=1e-12)
    assert (minutes[OPERATOR], minutes["press"], cheap.earnings.bottleneck) == (15, 20, 20)
    assert cheap.price_list.method == "patch"
    charged = dear.charged
    assert (charged.each, charged.setup, charged.payable) == (12, 20, 140)
    assert (dear.account.cost, dear.account.profit, dear.account.setup) == (85, 55, 20)
    for by, expected in {
        "price": [10, 12], "total": [100, 140], "cost": [60, 85], "margin": [0.4, 55 / 140],
        "profit": [40, 55], "profit an hour": [120, 165],
    }.items():  # fmt: skip
        np.testing.assert_allclose(compared.figures(by)[:, 0, 0], expected, rtol=1e-12)
        assert FIGURES[by](cheap) == compared.figures(by)[0, 0, 0]


def ten(shop=SHOP, listed=None, **how):
    """Ten pieces of 2 × 2 in, sold off the cheap patch's list unless told otherwise."""
    return sell(shop, listed or a_list(), Artwork(2, 2, "in"), [10], **how).sold.at(0, 0)


def test_whoever_is_busy_longest_is_the_bottleneck():
    """By hand: trimming of 2 minutes a piece makes 35 of the operator, and 20 of the press."""
    trimmed = replace(CHEAP, operations=(*PRESSING, Operation("trim", 2)))
    sold = ten(a_shop(trimmed, blanks=(CAP,)))
    assert sold.sheet.minutes == {OPERATOR: 35, "press": 20}
    assert sold.earnings.bottleneck == 35


def test_a_repeat_is_charged_no_set_up_and_bears_none():
    """By hand: taken 120.00, spent 70.00, left 50.00."""
    account = one_order(10, first=False).order(1, 0, 0).account
    assert (account.revenue, account.cost, account.profit, account.setup) == (120, 70, 50, 0)


def test_a_repeat_is_charged_the_set_up_that_repeats():
    """By hand: 12.00 due again; at the target margin of 50 % its line is 24.00."""
    shop = a_shop(a_patch(operations=PRESSING, repeat_setup=12.0), blanks=(CAP,))
    sold = ten(shop, first=False)
    assert sold.charged.setup == 12.0 / (1 - shop.pricing.target)
    gained = sold.earnings.profit - ten(first=False).earnings.profit
    assert gained == pytest.approx(12.0 / (1 - shop.pricing.target) - 12.0)


def test_a_method_s_own_fee_is_taken_beside_the_shop_s():
    """By hand: 10 % of 100.00 less than the 40.00 that are left without it."""
    licence = Charge("licence", Element.FEES, Level.REVENUE, share=0.10)
    sold = ten(a_shop(replace(CHEAP, charges=(licence,)), blanks=(CAP,)))
    assert sold.earnings.profit == pytest.approx(30, abs=1e-9)


def test_a_currency_without_cents_is_charged_without_them():
    """By hand: 100.4 yen are charged as 100, ten times."""
    shop = a_shop(CHEAP, blanks=(CAP,), currency="JPY")
    charged = ten(shop, a_list(prices=((100.4, 100.4),))).charged
    assert (charged.each, charged.payable) == (100, 1000)


def test_prices_with_tax_in_them_leave_what_is_left_without_it():
    """By hand: 12.00 with 20 % in it is 10.00; 10 × 10.00 less 60.00 leaves 40.00."""
    sold = ten(listed=a_list(prices=((12.00, 12.00),), tax=Tax(0.2, included=True)))
    assert (sold.charged.each, sold.charged.payable) == (12, 120)
    assert sold.account.profit == pytest.approx(40, abs=1e-9)
    assert sold.account.each == pytest.approx(10, abs=1e-12)


def test_the_account_of_an_order_adds_up():
    """Identity, with labour, fees and charges: lines sum to the cost, and all to what is left."""
    shop = a_shop(
        CHEAP, DEAR, blanks=(CAP,), rates=Rates(24, 12),
        charges=(
            Charge("bag", Element.PACKING, Level.PIECE, 0.1),
            Charge("card", Element.FEES, Level.REVENUE, 0.3, 0.029),
        ),
    )  # fmt: skip
    account = ten(shop, a_list("dear", setup=20.0)).account
    assert sum(line.amount for line in account.lines) == pytest.approx(account.cost, abs=1e-9)
    assert account.each * 10 + account.setup == pytest.approx(account.revenue, abs=1e-9)
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


def test_a_list_that_sells_none_of_it_has_nothing_sold():
    listed = a_list(starts=(6, 50))
    sale = sell(SHOP, listed, Artwork([6.0], [2.0], "in"), [1, 10])
    assert sale.sold is None
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


CASES = [
    ("harbour-caps", "structured-twill", 2.5, 2.0, "in"),
    ("fjord-muetzen", "twill-firm", 60.0, 40.0, "mm"),
]


@pytest.fixture(params=CASES, ids=lambda case: case[0])
def case(request):
    """A demo shop, its offers on a blank, and an artwork."""
    name, blank, width, height, unit = request.param
    folder = read_shop(ROOT / "data" / name)
    offers = lists_on(folder, folder.shop.blanks[blank])
    return folder, offers, Artwork(width, height, unit)


def test_the_map_is_what_single_orders_give(case):
    """Some cells of the map, each sold alone off every list."""
    folder, offers, artwork = case
    choice = MethodChoice.of(folder.shop, offers, artwork)
    ratio = float(artwork.height / artwork.width)
    for by, least in (("profit", False), ("margin", False), ("total", True)):
        lead = choice.lead(by, least=least)
        for row in range(0, choice.widths.size, 7):
            wide = choice.widths[row]
            for column in range(0, choice.quantities.size, 53):
                alone = Comparison.of(
                    folder.shop, offers.lists, Artwork([wide], [wide * ratio], artwork.unit),
                    [choice.quantities[column]],
                ).figures(by)  # fmt: skip
                assert lead.leader[row, column] == leaders(alone, by, least=least)[0, 0]


def test_the_row_of_the_artwork_is_its_own(case):
    folder, offers, artwork = case
    choice = MethodChoice.of(folder.shop, offers, artwork)
    assert choice.widths[choice.at] == artwork.width
    able, unable = choice.orders(48)
    assert {x.price_list.method for x in able} | {m.key for m, _ in unable} == set(
        folder.shop.methods
    )
    one = able[0]
    alone = sell(folder.shop, one.price_list, artwork, 48).sold
    assert one.account.profit == pytest.approx(alone.earnings.profit.item(), abs=1e-9)


def test_every_row_of_the_map_can_be_made_by_someone_at_its_ends(case):
    """The map ends where nobody can go on: no empty rows at either end of the possible ones."""
    folder, offers, artwork = case
    choice = MethodChoice.of(folder.shop, offers, artwork)
    possible = np.zeros(choice.widths.size, bool)
    for sale in choice.comparison.sales:
        limits = np.array(["list of" in reason or not reason for reason in sale.reasons])
        possible |= limits
    assert possible[0]
    assert possible[-1]


def test_embroidery_here_is_paired_with_the_same_embroidery_sent_out(case):
    """Flat embroidery has the same density in both; raised embroidery has none to compare."""
    folder, offers, artwork = case
    choice = MethodChoice.of(folder.shop, offers, artwork)
    keys = [tuple(choice.methods[at].key for at in pair) for pair in choice.in_house_or_not()]
    assert keys == [("flat", "flat-contracted")]
    pair = choice.in_house_or_not()[0]
    phases = choice.between(pair, "profit", least=False)
    figures = choice.comparison.figures("profit")[list(pair), choice.at]
    both = choice.quantities[~np.ma.getmaskarray(figures).any(axis=0)]
    assert (phases[0].first, phases[-1].last) == (both[0], both[-1])
    assert all(phase.value != NOBODY for phase in phases)


def test_what_a_blank_cannot_bear_is_refused_with_the_reason():
    """Light nylon bears 275 °F; leather is pressed at 300 °F (blanks.csv, methods.csv)."""
    folder = read_shop(ROOT / "data" / "harbour-caps")
    offers = lists_on(folder, folder.shop.blanks["light-nylon"])
    refused = {method.key: reason for method, reason in offers.refused}
    assert refused["leather"] == (
        "Leather patch, pressed on needs 300°, more than Light nylon running cap bears (275°)."
    )
    assert set(refused) == {"leather", "embroidered-patch"}
    assert offers.planned == {"moulded", "raised", "flat-contracted"}


def test_lists_without_a_set_up_price_get_the_one_every_plan_asks():
    """Leather: 45.00 at a margin of 42 % and a fee of 2.9 % × 1.065 is 81.95, up to 82.00."""
    folder = read_shop(ROOT / "data" / "harbour-caps")
    offers = lists_on(folder, folder.shop.blanks["structured-twill"])
    setup = {one.method: one.setup for one in offers.lists}
    assert setup["leather"] == 82.00


def test_where_even_the_best_loses_money_the_lead_says_so():
    """By hand: a piece costs 6.00; asked 5.00 up to 49 pieces it loses, from 50 on at 7.00 not."""
    patch, cap = a_patch(), a_blank()
    shop = a_shop(patch, blanks=(cap,))
    listed = PriceList(
        "patch", "cap", Measure.MEAN_OF_SIDES, "in", (2.5,), (1, 50), 100, ((5.0, 7.0),)
    )
    offers = ListsOnBlank(cap, (listed,), frozenset(), ())
    choice = MethodChoice.of(shop, offers, Artwork(2.0, 2.0, "in"))
    lead = choice.lead("profit")
    assert (lead.leader[choice.at] == 0).all()
    assert lead.losing[choice.at].tolist() == [True] * 49 + [False] * 51
    assert not choice.lead("total", least=True).losing.any()


def test_an_artwork_that_nobody_can_make_has_a_reason_for_each_and_no_leader():
    folder = read_shop(ROOT / "data" / "harbour-caps")
    offers = lists_on(folder, folder.shop.blanks["structured-twill"])
    choice = MethodChoice.of(folder.shop, offers, Artwork(40.0, 30.0, "in"))
    able, unable = choice.orders(48)
    assert able == []
    assert len(unable) == len(folder.shop.methods)
    assert all(reason for _, reason in unable)
    assert (choice.lead("profit").leader[choice.at] == NOBODY).all()


def test_given_stitches_grow_with_the_area_over_the_map(case):
    """Twice as wide and as high takes four times the stitches; the artwork itself, those given."""
    folder, offers, artwork = case
    given = Artwork(artwork.width, artwork.height, artwork.unit, stitches=6_000)
    choice = MethodChoice.of(folder.shop, offers, given)
    assert not choice.estimates
    row = choice.widths.size // 2
    wide = choice.widths[row]
    share = (wide / artwork.width) ** 2
    larger = Artwork([wide], [wide * artwork.height / artwork.width], artwork.unit, [6_000 * share])
    alone = Comparison.of(folder.shop, offers.lists, larger, [48]).figures("cost")[:, 0, 0]
    there = choice.comparison.figures("cost")[:, row, choice.column(48)]
    np.testing.assert_array_equal(np.ma.getmaskarray(there), np.ma.getmaskarray(alone))
    np.testing.assert_allclose(there.filled(0), alone.filled(0), rtol=1e-12)


def test_estimated_stitches_are_told_by_method(case):
    """By hand: 2.5 × 2 in or 60 × 40 mm, filled share and density as the demo's methods.csv."""
    folder, offers, artwork = case
    choice = MethodChoice.of(folder.shop, offers, artwork)
    for key, count in choice.estimates.items():
        density = folder.shop.methods[key].density
        wide, high = artwork.in_unit(density.unit)
        assert count == round(float(wide * high) * density.filled * density.stitches)
    assert set(choice.estimates) == {m.key for m in choice.methods if m.by_stitches}
