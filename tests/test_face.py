"""The front door as somebody who knows pandas uses it.

Figures are held against the rules below the face to the cent, and, for what an order costs,
against the second clerk of `oracle`; sentences are held in full.
"""

import re
import subprocess
import sys
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pandas as pd
import pytest
from oracle import Art, cost, exact, half_up
from readme_lines import run_readme_lines

import pricelab as pl
from pricelab.client.catalogue import catalogue_of
from pricelab.client.offers import Part, Wanted, make_offer
from pricelab.cost.costing import cost_sheet
from pricelab.cost.orders import Order
from pricelab.lists.audit import audit
from pricelab.lists.selling_list import planned_list
from pricelab.lists.typical_quantity import weights_of
from pricelab.shop.sizes import Artwork
from pricelab.shop.units import Length

SIZES = [(2, 2), (2.5, 2), (3, 2)]
QUANTITIES = range(1, 301)


@pytest.fixture(scope="module")
def harbour():
    """The demo shop in inches and dollars."""
    return pl.open_shop("data/harbour-caps")


@pytest.fixture(scope="module")
def fjord():
    """The demo shop in millimetres and euros, whose prices include tax."""
    return pl.open_shop("data/fjord-muetzen")


@pytest.fixture(params=["harbour", "fjord"])
def any_shop(request):
    """Each demo shop with a method, a blank and two sizes of it."""
    shop = request.getfixturevalue(request.param)
    if request.param == "harbour":
        return shop, "leather", "structured-twill", [(2, 2), (3, 2)]
    return shop, "leather", "twill-firm", [(50, 50), (60, 40)]


# ---- the package ----------------------------------------------------------------------


def test_the_package_loads_nothing_before_it_is_asked(root):
    """The command line imports it before there are any libraries."""
    code = "import sys, pricelab; print('numpy' in sys.modules, 'pandas' in sys.modules)"
    run = subprocess.run([sys.executable, "-c", code], cwd=root, capture_output=True, text=True)
    assert run.stdout == "False False\n", run.stderr


def test_the_public_names_are_there_sorted_and_told():
    """Each is something, has a docstring, and is listed by dir()."""
    assert pl.__all__ == sorted(pl.__all__)
    assert set(pl.__all__) <= set(dir(pl))
    assert all(getattr(pl, name).__doc__ for name in pl.__all__)
    with pytest.raises(AttributeError, match=r"^module 'pricelab' has no attribute 'opn_shop'$"):
        pl.opn_shop  # noqa: B018


def test_a_shop_is_told_in_a_line_and_a_small_table(harbour):
    assert repr(harbour) == (
        "<Harbour Caps: 7 methods, 12 blanks, 24 price lists, 404 finished jobs; USD, in>"
    )
    rows = harbour._repr_html_()
    assert rows.count("<tr") == 1 + 7 + 12
    assert "Leather patch, pressed on" in rows


# ---- what an order costs --------------------------------------------------------------


def test_unit_costs_are_a_mesh_of_quantities_down_and_sizes_across(harbour):
    found = harbour.unit_cost("leather", "structured-twill", SIZES, QUANTITIES)
    assert found.shape == (300, 3)
    assert (found.index.name, found.columns.name) == ("pieces", "size, in")
    assert found.columns.tolist() == ["2 × 2", "2.5 × 2", "3 × 2"]
    assert found.attrs == {"figures": "full cost a piece", "currency": "USD"}
    square = harbour.unit_cost("leather", "structured-twill", SIZES, [1, 2, 3])
    assert square.shape == (3, 3)
    pd.testing.assert_frame_equal(square, found.iloc[:3])


def test_unit_costs_are_the_engines(any_shop):
    """Over every quantity to 300, to the last digit."""
    shop, method, blank, sizes = any_shop
    values = shop.business.shop
    artwork = Artwork(*np.array(sizes, float).T, values.unit)
    order = Order.of(values.blanks[blank], np.arange(1, 301), values.methods[method], artwork)
    expected = cost_sheet(values, order).full / np.arange(1, 301)
    found = shop.unit_cost(method, blank, sizes, QUANTITIES)
    np.testing.assert_array_equal(found.to_numpy(), expected.T)


def test_unit_costs_are_the_second_clerks(any_shop):
    shop, method, blank, sizes = any_shop
    values = shop.business.shop
    quantities = [1, 11, 12, 47, 144]
    found = shop.unit_cost(method, blank, sizes, quantities)
    for at, (width, height) in enumerate(sizes):
        art = Art(Fraction(width), Fraction(height), values.unit)
        for quantity in quantities:
            paper = cost(
                values, [(values.blanks[blank], quantity)], [(values.methods[method], art)]
            )
            assert found.iloc[:, at][quantity] == pytest.approx(
                float(paper.full / quantity), rel=1e-12
            )


def test_keys_and_values_and_written_sizes_are_one(harbour):
    by_key = harbour.unit_cost("leather", "mesh-back", (2.25, 2), 48)
    method, blank = harbour.method("leather"), harbour.blank("mesh-back")
    for size in ("2 1/4 x 2", ("57.15 mm", "50.8 mm"), [2.25, "2 in"]):
        pd.testing.assert_frame_equal(harbour.unit_cost(method, blank, size, [48]), by_key)


def test_a_changed_method_asks_what_if(harbour):
    """No spoilage costs less; the shop itself stays as it is."""
    before = harbour.unit_cost("leather", "mesh-back", (2, 2), 48).iloc[0, 0]
    careful = replace(harbour.method("leather"), spoilage=0.0)
    assert harbour.unit_cost(careful, "mesh-back", (2, 2), 48).iloc[0, 0] < before
    assert harbour.unit_cost("leather", "mesh-back", (2, 2), 48).iloc[0, 0] == before
    whatif = harbour.compare([careful], "mesh-back", (2, 2), 48, "margin").iloc[0, 0]
    assert whatif > harbour.compare("leather", "mesh-back", (2, 2), 48, "margin").iloc[0, 0]


def test_stitches_and_colours_name_their_columns_where_they_differ(harbour):
    found = harbour.unit_cost("flat", "mesh-back", (2, 2), 24, stitches=[5000, 6000])
    assert found.columns.tolist() == ["2 × 2, 5,000 stitches", "2 × 2, 6,000 stitches"]
    assert found.iloc[0].is_monotonic_increasing
    vinyl = harbour.unit_cost("vinyl", "mesh-back", (2, 2), 24, colours=[1, 2])
    assert vinyl.columns.tolist() == ["2 × 2, 1 colour", "2 × 2, 2 colours"]


def test_the_lines_of_the_readme_draw_one_staircase_a_size():
    """Quantities along, the size's name in the key, a step wherever the cost changes."""
    axes, names = run_readme_lines()
    cost = names["cost"].loc[12:]
    assert (axes.get_xlabel(), axes.get_ylabel()) == ("pieces", "cost a piece, $")
    assert [line.get_label() for line in axes.lines] == ["2 × 2", "2.5 × 2", "3 × 2"]
    assert {line.get_drawstyle() for line in axes.lines} == {"steps-post"}
    np.testing.assert_array_equal(axes.lines[1].get_xydata().T, [cost.index, cost["2.5 × 2"]])


def test_a_cost_sheet_adds_up_by_level_and_names_its_files(any_shop):
    shop, method, blank, sizes = any_shop
    sheet = shop.cost_sheet(method, blank, sizes[0], 48)
    assert sheet["amount"].sum() / 48 == pytest.approx(
        shop.unit_cost(method, blank, sizes[0], 48).iloc[0, 0], rel=1e-12
    )
    assert sheet.groupby("level")["amount"].sum().to_dict() == pytest.approx(
        sheet.attrs["by level"]
    )
    np.testing.assert_allclose(sheet["quantity"] * sheet["rate"], sheet["amount"], rtol=1e-12)
    assert sheet["where from"].str.match(r"[\w/-]+\.(csv|xlsx), row \d+|$").all()
    assert {"piece", "order", "design"} <= set(sheet["level"])


def test_what_to_buy_is_whole_pieces_of_every_thing(harbour):
    bought = harbour.to_buy("leather", "mesh-back", (2.5, 2), 48)
    assert bought.index.tolist() == ["Mesh-backed cap", "Leather patch, pressed on"]
    assert (bought["pieces"] >= 48).all()
    assert bought["amount"].tolist() == (bought["billed"] * bought["unit_price"]).tolist()


# ---- price lists ----------------------------------------------------------------------


def test_a_price_list_is_the_planned_one_at_the_margin_asked_for(any_shop):
    """And every cell of it meets that margin, by the audit; none does at a higher one."""
    shop, method, blank, _ = any_shop
    found = shop.price_list(method, blank, target=0.45)
    assert found.index.name.startswith("size up to, ")
    assert found.columns.name == "pieces from"
    business = shop.business
    rules = replace(business.shop.pricing, target=0.45)
    values = replace(business.shop, pricing=rules)
    expected = planned_list(
        replace(business, shop=values), values.methods[method], values.blanks[blank]
    )
    np.testing.assert_array_equal(found.to_numpy(), expected.prices)
    held = shop.audit(method, blank, found, target=0.45)
    assert not held["finding"].isin(["below cost", "below floor", "under target"]).any()
    assert held.attrs["verdict"].endswith("prices hold.")
    assert not shop.audit(method, blank, found, target=0.6)["finding"].empty


def test_tiers_and_sizes_can_be_chosen(harbour):
    """By their first quantities, or by how many there shall be."""
    chosen = harbour.price_list("leather", "mesh-back", tiers=[12, 48], sizes=[2, 3])
    assert (chosen.index.tolist(), chosen.columns.tolist()) == ([2, 3], [12, 48])
    four = harbour.price_list("leather", "mesh-back", tiers=4)
    breaks = harbour.breaks("leather", "mesh-back", most=4)
    assert four.columns.tolist() == list(breaks.loc[4, "first quantities"])
    assert breaks["overcharge a piece"].is_monotonic_decreasing


def test_an_audit_lists_every_finding_of_todays_list(any_shop):
    shop, method, blank, _ = any_shop
    values = shop.business.shop
    listed = shop.business.todays_list(values.methods[method], values.blanks[blank])
    judged = audit(values, listed, weights_of(shop.business, listed))
    found = shop.audit(method, blank)
    assert found["finding"].tolist() == [one.trouble.value for one in judged.findings]
    assert found["worst quantity"].tolist() == [one.quantity for one in judged.findings]
    short = found[found["finding"].isin(["below cost", "below floor", "under target"])]
    assert (short["charge instead"] > short["price"]).all()
    assert len(short) == (~judged.holding).sum()
    again = shop.audit(method, blank, shop.todays_list(method, blank))
    assert again["finding"].tolist() == found["finding"].tolist()


def test_an_edited_list_is_judged_as_it_stands(harbour):
    """A price of 1.00 loses money, whatever the rest is."""
    prices = harbour.price_list("leather", "mesh-back")
    prices.loc[2.5, 48] = 1.0
    worst = harbour.audit("leather", "mesh-back", prices).iloc[0]
    assert (worst["size"], worst["finding"], worst["price"]) == ("up to 2.5 in", "below cost", 1.0)


def test_a_grid_looks_up_the_tier_as_it_is_printed(harbour):
    """Just under a break, on it and between two: columns 6, 12 and 25 of the row up to 2.25."""
    grid = harbour.grid("leather")
    found = grid.price((2.5, 2), [11, 12, 48])
    assert found["2.5 × 2"].tolist() == grid.frame.loc[2.25, [6, 12, 25]].tolist()
    assert found.attrs == {"figures": "price a piece", "currency": "USD"}
    assert grid.price([(2, 2), (2.5, 2), (3, 2)], [11, 12, 48]).shape == (3, 3)
    contracted = harbour.grid("flat-contracted").price((2, 2), 24, stitches=6000)
    assert contracted.attrs["figures"].startswith("price a ")
    assert "<table" in grid._repr_html_()


# ---- what is charged and earned -------------------------------------------------------


def test_a_quote_is_what_the_clients_page_offers(any_shop):
    """The same coins, with tax in the price or on top."""
    shop, method, blank, sizes = any_shop
    counter, unit = catalogue_of(shop.business), shop.business.shop.unit
    quotes = shop.quote(method, blank, sizes[0], [12, 48])
    for quantity, quote in quotes.iterrows():
        sides = (Length(Fraction(side), unit) for side in sizes[0])
        offer = make_offer(counter, Wanted(method, (Part(blank, quantity),), *sides))
        assert quote.tolist() == [
            *(offer.each, offer.lines[0].amount, offer.setup, offer.total, offer.tax, offer.payable)
        ]
    assert exact(quote["all pieces"]) == half_up(exact(quote["each"]) * 48, 2)


def test_break_even_ranges_cover_the_list_once_and_earn_the_goal(any_shop):
    shop, method, blank, sizes = any_shop
    found = shop.break_even(method, blank, sizes[0], margin=0.42)
    listed = shop.todays_list(method, blank)
    assert found["first"].iloc[0] == listed.columns[0]
    assert found["last"].iloc[-1] == listed.attrs["last"]
    assert (found["first"].iloc[1:].to_numpy() == found["last"].iloc[:-1] + 1).all()
    every = range(found["first"].iloc[0], listed.attrs["last"] + 1)
    margins = shop.compare(method, blank, sizes[0], every, "margin")[method]
    for first, last, earns in found.itertuples(index=False):
        assert ((margins.loc[first:last] >= 0.42 - 1e-9) == earns).all()


def test_goals_of_money_and_of_an_hour(harbour):
    """Where none is given, nothing lost; one at a time."""
    ask = ("leather", "structured-twill", (2.5, 2))
    pd.testing.assert_frame_equal(harbour.break_even(*ask), harbour.break_even(*ask, profit=0))
    profit = harbour.compare("leather", ask[1], ask[2], range(6, 601), "profit an hour")["leather"]
    found = harbour.break_even(*ask, hourly=60)
    assert found["earns"].iloc[0] == (profit.iloc[0] >= 60)
    for goal in ({"margin": 0.4, "profit": 3}, {"markup": 2}):
        said = " and ".join(goal)
        sentence = f"found the goal {said}, expected one of margin, profit, hourly."
        with pytest.raises(pl.PricelabError, match=f"^{sentence}$"):
            harbour.break_even(*ask, **goal)


def test_methods_compared_stand_beside_one_another_with_what_is_not_possible(harbour):
    methods = ["leather", "flat", "vinyl"]
    found = harbour.compare(methods, "structured-twill", (2.5, 2), QUANTITIES, "margin")
    assert (found.shape, found.columns.tolist()) == ((300, 3), methods)
    assert found["leather"].isna().sum() == 5  # its list starts at 6 pieces
    assert found.attrs["not possible"] == {
        "leather": "the list of Leather patch, pressed on goes from 6 to 600 pieces.",
        "flat": "the list of Flat embroidery, own machine goes from 6 to 600 pieces.",
        "vinyl": "the list of Cut vinyl, pressed on goes from 6 to 600 pieces.",
    }
    hot = harbour.compare(["leather", "flat"], "waxed", (2, 2), [48], "price")
    assert hot["leather"].isna().all()
    assert hot.attrs["not possible"]["leather"].startswith(
        "no size of Leather patch, pressed on can go on Waxed cotton cap: "
    )
    with pytest.raises(pl.PricelabError, match=r'^found "markup" to compare by, expected one of '):
        harbour.compare("flat", "waxed", (2, 2), 48, "markup")


# ---- what is refused ------------------------------------------------------------------

REFUSED = {
    'There is no method "lether". Name one of: leather, embroidered-patch, moulded, flat, raised, '
    "vinyl, flat-contracted.": lambda shop: shop.unit_cost("lether", "waxed", (2, 2), 1),
    "9 × 9 in: Leather patch, pressed on can be at most 5 in wide.": lambda shop: shop.unit_cost(
        "leather", "mesh-back", [(2, 2), (9, 9)], [1, 2]
    ),
    "the list of Leather patch, pressed on goes from 6 to 600 pieces.": lambda shop: shop.quote(
        "leather", "mesh-back", (2, 2), [12, 601]
    ),
    "found 2 sizes, expected one, such as (2.5, 2).": lambda shop: shop.quote(
        "leather", "mesh-back", [(2, 2), (3, 2)], 12
    ),
    "found 2 quantities, expected one, such as 48.": lambda shop: shop.cost_sheet(
        "leather", "mesh-back", (2, 2), [12, 24]
    ),
    "found a quantity of 2.5, expected a whole number of pieces.": lambda shop: shop.cost_sheet(
        "leather", "mesh-back", (2, 2), 2.5
    ),
    "found no quantity, expected one or more, such as range(1, 301).": lambda shop: shop.unit_cost(
        "leather", "mesh-back", (2, 2), []
    ),
    "Flat embroidery, own machine is not bought in: it has no supplier's prices.": lambda shop: (
        shop.grid("flat")
    ),
    "there is no list of Leather patch, pressed on on Heavy cotton tote bag today.": lambda shop: (
        shop.audit("leather", "tote")
    ),
    "found a floor margin of 30 % above the target margin of 20 %; lower the floor or raise the "
    "target.": lambda shop: shop.price_list("leather", "mesh-back", target=0.2),
}


@pytest.mark.parametrize("sentence", REFUSED)
def test_what_cannot_be_answered_is_refused_in_a_sentence(harbour, sentence):
    with pytest.raises(pl.PricelabError, match=f"^{re.escape(sentence)}$"):
        REFUSED[sentence](harbour)


def test_only_what_cannot_be_made_is_called_not_possible(harbour):
    with pytest.raises(pl.NotPossible, match=r"^size 30 is over the last band"):
        harbour.grid("leather").price((30, 30), 12)
    with pytest.raises(pl.ShopFaults, match=r"shop\.csv: found no such file, expected"):
        pl.read_shop({})
