"""Which method for an artwork: the map against single orders, and what is offered on a blank."""

import numpy as np
import pytest
from example_shops import a_blank, a_patch, a_shop

from pricelab.analysis.comparison import NOBODY, Comparison, leaders, sell
from pricelab.analysis.method_choice import MethodChoice
from pricelab.files.folders import ROOT
from pricelab.files.shop_folder import read_shop
from pricelab.lists.defaults import ListsOnBlank, lists_on
from pricelab.shop.price_list import PriceList
from pricelab.shop.sizes import Artwork, Measure

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
    for by, least in (("profit", False), ("total", True)):
        lead = choice.lead(by, least=least)
        for row in range(0, choice.widths.size, 7):
            wide = choice.widths[row]
            for column in range(0, choice.quantities.size, 53):
                alone = Comparison.of(
                    folder.shop, offers.lists, Artwork([wide], [wide * ratio], artwork.unit),
                    [choice.quantities[column]],
                ).figures(by)  # fmt: skip
                assert lead.leader[row, column] == leaders(alone, least=least)[0, 0]


def test_the_row_of_the_artwork_is_its_own(case):
    folder, offers, artwork = case
    choice = MethodChoice.of(folder.shop, offers, artwork)
    assert choice.widths[choice.at] == artwork.width
    able, unable = choice.standings(48)
    assert {x.method.key for x in able} | {m.key for m, _ in unable} == set(folder.shop.methods)
    one = able[0]
    listed = next(x for x in offers.lists if x.method == one.method.key)
    alone = sell(folder.shop, listed, Artwork([artwork.width], [artwork.height], artwork.unit), 48)
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
    assert all(phase.leader != NOBODY for phase in phases)


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
    """Leather: 45.00 of set-up and 42 % of margin with 2.9 % of fees is 81.67, up to 81.75."""
    folder = read_shop(ROOT / "data" / "harbour-caps")
    offers = lists_on(folder, folder.shop.blanks["structured-twill"])
    setup = {one.method: one.setup for one in offers.lists}
    assert setup["leather"] == 81.75


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
    able, unable = choice.standings(48)
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
