"""Whole orders, every line of them worked out by hand."""

import re
from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from example_shops import (
    LEATHER,
    PATCH,
    STITCHED,
    VINYL,
    WORKED_CAP,
    WORKED_SHOP,
    a_blank,
    a_patch,
    a_shop,
)

from pricelab.cost.costing import cost_sheet, shop_sheet
from pricelab.cost.orders import Decoration, Order
from pricelab.shop.charges import Charge, Element, Level
from pricelab.shop.errors import NotPossible
from pricelab.shop.grids import PER_THOUSAND_STITCHES, Grid
from pricelab.shop.method import Density, Method, Promotion
from pricelab.shop.place import Place
from pricelab.shop.sizes import Artwork, Measure
from pricelab.shop.work import Operation, Rates

CAP = a_blank()


def lines_of(sheet):
    """Label → amount, rounded to a millionth; lines of one label are added up."""
    lines = {}
    for line in sheet.why():
        lines[line.label] = round(lines.get(line.label, 0) + line.amount, 6)
    return lines


# ---- the worked order ----------------------------------------------------------------


def test_an_order_of_24_leather_patches_line_by_line():
    """By hand. 4 % of pieces started are spoiled: 24 × .04 / .96 = 1 piece more.

    Caps come in packs of 10: 30 are billed, which reaches the break at 30. The patches'
    first break is 25: 25 are billed; a mean of sides of 2.25 falls in the band to 2.5. The
    spoiled piece is one of the caps and patches that are over.
    Labour is .40 a minute on attended minutes; the dwell of the press is not attended.
    Overhead is .25 a minute on attended minutes, on the level of the work:
    pieces 36 + 12 = 48 and, spoiled, 1.5 + .5 = 2; batches 3 × 2 = 6, the order 10, the design 20.
    """
    sheet = cost_sheet(WORKED_SHOP, Order.of(WORKED_CAP, 24, LEATHER, PATCH))
    expected = [
        ("the cap", Level.PIECE, Element.BLANK, 30, 4.00, 120.00),
        ("Leather", Level.PIECE, Element.DECORATION, 25, 2.80, 70.00),
        ("Leather: set-up", Level.DESIGN, Element.SET_UP, 1, 35.00, 35.00),
        ("Leather: cover sheet", Level.PIECE, Element.CONSUMABLES, 24, 0.05, 1.20),
        ("Leather: cover sheet, expected spoiled pieces",
         Level.PIECE, Element.CONSUMABLES, 1, 0.05, 0.05),
        ("Leather: inbound freight", Level.ORDER, Element.FREIGHT, 1, 12.00, 12.00),
        ("bag", Level.PIECE, Element.CONSUMABLES, 24, 0.10, 2.40),
        ("carton", Level.BATCH, Element.PACKING, 2, 1.25, 2.50),  # 24 / 12
        ("packing", Level.ORDER, Element.PACKING, 1, 3.50, 3.50),
        ("delivery", Level.ORDER, Element.DELIVERY, 1, 9.00, 9.00),
        ("Leather: set the press", Level.ORDER, Element.LABOUR, 10, 0.40, 4.00),
        ("Leather: draw the artwork", Level.DESIGN, Element.LABOUR, 20, 0.40, 8.00),
        ("Leather: fetch a tray", Level.BATCH, Element.LABOUR, 6, 0.40, 2.40),  # 3 trays of 10
        ("Leather: load and place", Level.PIECE, Element.LABOUR, 36, 0.40, 14.40),
        ("Leather: load and place, expected spoiled pieces",
         Level.PIECE, Element.LABOUR, 1.5, 0.40, 0.60),
        ("count and pack", Level.PIECE, Element.LABOUR, 12, 0.40, 4.80),
        ("count and pack, expected spoiled pieces", Level.PIECE, Element.LABOUR, 0.5, 0.40, 0.20),
        ("overhead on attended minutes", Level.ORDER, Element.OVERHEAD, 10, 0.25, 2.50),
        ("overhead on attended minutes", Level.DESIGN, Element.OVERHEAD, 20, 0.25, 5.00),
        ("overhead on attended minutes", Level.BATCH, Element.OVERHEAD, 6, 0.25, 1.50),
        ("overhead on attended minutes", Level.PIECE, Element.OVERHEAD, 48, 0.25, 12.00),
        ("overhead on attended minutes, expected spoiled pieces",
         Level.PIECE, Element.OVERHEAD, 2, 0.25, 0.50),
    ]  # fmt: skip
    found = [
        (w.label, w.level, w.element, round(w.quantity, 9), round(w.rate, 9), round(w.amount, 9))
        for w in sheet.why()
    ]
    assert sorted(found, key=repr) == sorted(
        [(label, level, element, float(q), rate, amount)
         for label, level, element, q, rate, amount in expected],
        key=repr,
    )  # fmt: skip
    assert sheet.full == pytest.approx(311.55, abs=1e-9)


def test_what_the_shop_itself_adds_to_the_worked_order():
    """By hand, its charges and 12.5 minutes of packing with their overhead, no method's own."""
    sheet = shop_sheet(WORKED_SHOP, Order.of(WORKED_CAP, [24, 48], LEATHER, PATCH))
    assert sheet.shape == (2,)
    first = {line.label: line.amount for line in sheet.at(0).why()}
    assert first == pytest.approx({
        "bag": 2.40, "carton": 2.50, "packing": 3.50, "delivery": 9.00, "count and pack": 4.80,
        "count and pack, expected spoiled pieces": 0.20, "overhead on attended minutes": 3.00,
        "overhead on attended minutes, expected spoiled pieces": 0.125,
    })  # fmt: skip


def test_the_worked_order_by_level_by_element_and_by_what_is_paid():
    """By hand from the lines of the worked order."""
    sheet = cost_sheet(WORKED_SHOP, Order.of(WORKED_CAP, 24, LEATHER, PATCH))
    by_level = {Level.PIECE: 226.15, Level.BATCH: 6.40, Level.ORDER: 31.00, Level.DESIGN: 48.00}
    by_element = {
        Element.BLANK: 120.00, Element.DECORATION: 70.00, Element.SET_UP: 35.00,
        Element.CONSUMABLES: 3.65, Element.FREIGHT: 12.00, Element.PACKING: 6.00,
        Element.DELIVERY: 9.00, Element.LABOUR: 34.40, Element.OVERHEAD: 21.50,
    }  # fmt: skip
    assert sheet.by_level() == pytest.approx(by_level, abs=1e-9)
    assert sheet.by_element() == pytest.approx(by_element, abs=1e-9)
    assert sheet.variable == pytest.approx(311.55 - 21.50, abs=1e-9)


def test_the_worked_orders_minutes_and_what_limits_output():
    """By hand: the operator 36 + 1.5 + 10 + 20 + 6 + 12.5, the press 36 + 1.5 + 10 + 12.5."""
    sheet = cost_sheet(WORKED_SHOP, Order.of(WORKED_CAP, 24, LEATHER, PATCH))
    assert sheet.minutes == pytest.approx({"operator": 86.0, "press": 60.0}, abs=1e-9)
    assert sheet.bottleneck == pytest.approx(86.0, abs=1e-9)


def test_when_dwell_is_long_the_press_limits_output():
    """By hand: 25 pieces × (1.5 + 3) + 10 = 122.5 minutes of press against 86 of operator."""
    slow = replace(LEATHER.operations[-1], minutes=3.0)
    method = replace(LEATHER, operations=(*LEATHER.operations[:-1], slow))
    sheet = cost_sheet(WORKED_SHOP, Order.of(WORKED_CAP, 24, method, PATCH))
    assert sheet.minutes["press"] == pytest.approx(122.5, abs=1e-9)
    assert sheet.bottleneck == pytest.approx(122.5, abs=1e-9)


def test_a_repeat_order_pays_no_set_up_and_no_work_per_design():
    """By hand: without 35.00 set-up, 8.00 of drawing and its overhead of 5.00."""
    sheet = cost_sheet(WORKED_SHOP, Order.of(WORKED_CAP, 24, LEATHER, PATCH, first=False))
    assert sheet.full == pytest.approx(311.55 - 48.00, abs=1e-9)
    assert Level.DESIGN not in sheet.by_level()


def test_a_promotion_of_the_day_cuts_the_set_up():
    """By hand: 10.00 instead of 35.00."""
    offer = Promotion(date(2026, 9, 1), date(2026, 9, 30), 10.00)
    method = replace(LEATHER, promotions=(offer,))
    order = Order.of(WORKED_CAP, 24, method, PATCH, on=date(2026, 9, 30))
    assert cost_sheet(WORKED_SHOP, order).full == pytest.approx(311.55 - 25.00, abs=1e-9)


def test_every_figure_opens_down_to_file_row_and_column():
    sheet = cost_sheet(WORKED_SHOP, Order.of(WORKED_CAP, 24, LEATHER, PATCH))
    where = {line.label: str(line.place) for line in sheet.why()}
    assert where["the cap"] == 'blank_prices.csv, row 3, column "price"'
    assert where["Leather"] == 'grids/leather.csv, row 3, column "25"'
    assert where["Leather: set-up"] == "methods.csv, row 2"


def all_ways():
    """An order decorated in every way there is: bought in, stitched, contracted and cut."""
    machine = replace(STITCHED.stitching, place=Place("methods.csv", 3))
    hoop = replace(STITCHED.operations[0], place=Place("operations.csv", 5))
    fees = (
        Charge("backing", Element.CONSUMABLES, Level.PIECE, 0.02, place=Place("charges.csv", 2)),
        Charge("proof", Element.CONSUMABLES, Level.DESIGN, 2.50, place=Place("charges.csv", 3)),
    )
    stitched = replace(STITCHED, stitching=machine, operations=(hoop,), charges=fees)
    vinyl = replace(VINYL, roll=replace(VINYL.roll, place=Place("methods.csv", 4)))
    ways = (LEATHER, stitched, CONTRACTED, vinyl)
    artwork = Artwork(2, 2, "in", stitches=8000, colours=4)
    decorations = [Decoration(way, artwork) for way in ways]
    return cost_sheet(WORKED_SHOP, Order([(WORKED_CAP, 24)], decorations))


def test_what_is_expected_to_spoil_is_marked_as_such():
    sheet = all_ways()
    marked = [(x.spoiled, x.label.endswith(", expected spoiled pieces")) for x in sheet.why()]
    marked += [(x.spoiled, x.label.endswith(", expected spoiled pieces")) for x in sheet.work]
    assert set(marked) == {(True, True), (False, False)}


@pytest.mark.parametrize(
    ("label", "level", "element", "unit", "place"),
    [
        ("the cap", Level.PIECE, Element.BLANK, "pieces",
         'blank_prices.csv, row 3, column "price"'),
        ("Leather", Level.PIECE, Element.DECORATION, "pieces",
         'grids/leather.csv, row 2, column "25"'),
        ("Leather: set-up", Level.DESIGN, Element.SET_UP, "artwork", "methods.csv, row 2"),
        ("Leather: inbound freight", Level.ORDER, Element.FREIGHT, "order", "None"),
        ("carton", Level.BATCH, Element.PACKING, "batches", "None"),
        ("Contracted", Level.PIECE, Element.DECORATION, "thousand stitches", "None"),
        ("Stitched: thread", Level.PIECE, Element.DECORATION, "thousand stitches",
         "methods.csv, row 3"),
        ("Stitched: backing", Level.PIECE, Element.CONSUMABLES, "pieces", "charges.csv, row 2"),
        ("Stitched: proof", Level.DESIGN, Element.CONSUMABLES, "artwork", "charges.csv, row 3"),
        ("Stitched: thread changes", Level.BATCH, Element.LABOUR, "minutes", "methods.csv, row 3"),
        ("Stitched: hoop", Level.PIECE, Element.LABOUR, "minutes", "operations.csv, row 5"),
        ("Vinyl: roll", Level.BATCH, Element.DECORATION, "in of roll", "methods.csv, row 4"),
        ("Vinyl: roll, expected spoiled pieces", Level.PIECE, Element.DECORATION, "in of roll",
         "methods.csv, row 4"),
    ],
)  # fmt: skip
def test_a_line_says_what_it_grows_with_is_for_counts_and_comes_from(
    label, level, element, unit, place
):
    """By hand, a line for each kind of thing that is bought or worked."""
    (line,) = [line for line in all_ways().why() if line.label == label]
    found = (line.level, line.element, line.unit, str(line.place))
    assert found == (level, element, unit, place)


def test_the_minutes_of_a_machine_come_from_its_own_row():
    places = {work.label: str(work.place) for work in all_ways().work}
    for label in ("stitching", "stitching, expected spoiled pieces", "thread changes"):
        assert places[f"Stitched: {label}"] == "methods.csv, row 3"


def test_in_a_mesh_every_figure_opens_to_its_own_cell():
    """By hand: sizes 2 and 2.25 stand in rows 2 and 3, quantities 24 and 60 in their columns."""
    artworks = Artwork([2, 2.25], [2, 2.25], "in")
    sheet = cost_sheet(WORKED_SHOP, Order.of(WORKED_CAP, [24, 60], LEATHER, artworks))

    def leather(at):
        return next(line for line in sheet.at(*at).why() if line.label == "Leather")

    assert str(leather((0, 1)).place) == 'grids/leather.csv, row 2, column "50"'
    assert (leather((0, 1)).quantity, leather((0, 1)).rate) == (60, 2.20)
    assert str(leather((1, 0)).place) == 'grids/leather.csv, row 3, column "25"'
    assert leather((1, 0)).amount == 70.00


# ---- embroidery, contracted and one's own ---------------------------------------------


def stitched_sheet(quantity=24, **more):
    """8,000 stitches in 4 colours on an order of plain caps; overhead on machine minutes."""
    shop = a_shop(STITCHED, rates=Rates(24, 15, overhead_on="machine"))
    artwork = Artwork(2, 2, "in", stitches=8000, colours=4)
    return cost_sheet(shop, Order.of(CAP, quantity, STITCHED, artwork, **more))


def test_an_order_of_24_stitched_by_ones_own_machine_line_by_line():
    """By hand: 1 piece more is started; a piece runs 8,000 / 800 / 2 = 5 minutes, unattended.

    Thread 8 × .02 = .16 a piece; 3 changes of .5 minutes on each of 12 loads of 2 = 18
    minutes; hooping 1 minute a piece. Overhead .25 on machine minutes: 120 + 18, spoiled 5.
    """
    sheet = stitched_sheet()
    assert lines_of(sheet) == {
        "the cap": 96.00,
        "the cap, expected spoiled pieces": 4.00,
        "Stitched: thread": 3.84,
        "Stitched: thread, expected spoiled pieces": 0.16,
        "Stitched: set-up": 30.00,
        "Stitched: thread changes": 7.20,
        "Stitched: hoop": 9.60,
        "Stitched: hoop, expected spoiled pieces": 0.40,
        "overhead on machine minutes": 34.50,  # 120 on pieces and 18 on loads
        "overhead on machine minutes, expected spoiled pieces": 1.25,
    }
    assert sheet.full == pytest.approx(186.95, abs=1e-9)
    assert sheet.minutes == pytest.approx({"embroidery machine": 143.0, "operator": 43.0})
    assert sheet.bottleneck == pytest.approx(143.0)


def test_a_part_load_takes_its_thread_changes_whole():
    """By hand: 25 pieces on 2 heads are 13 loads × 1.5 minutes × .40."""
    assert lines_of(stitched_sheet(25))["Stitched: thread changes"] == 7.80


def test_a_repeat_set_up_is_charged_on_a_repeat():
    """By hand: 5.00 instead of 30.00."""
    assert stitched_sheet(first=False).full == pytest.approx(186.95 - 25.00, abs=1e-9)


def test_one_colour_needs_no_thread_change():
    shop = a_shop(STITCHED, rates=Rates(24))
    artwork = Artwork(2, 2, "in", stitches=8000)
    sheet = cost_sheet(shop, Order.of(CAP, 24, STITCHED, artwork))
    assert "Stitched: thread changes" not in lines_of(sheet)


def test_an_attended_machine_costs_its_running_minutes_too():
    """By hand: 24 × 5 minutes × .40 = 48.00, and 2.00 for the piece spoiled."""
    attended = replace(STITCHED, stitching=replace(STITCHED.stitching, attended=True))
    artwork = Artwork(2, 2, "in", stitches=8000)
    sheet = cost_sheet(a_shop(rates=Rates(24)), Order.of(CAP, 24, attended, artwork))
    assert lines_of(sheet)["Stitched: stitching"] == 48.00
    assert lines_of(sheet)["Stitched: stitching, expected spoiled pieces"] == 2.00
    assert sheet.minutes["operator"] == pytest.approx(125 + 25)


def test_an_estimate_of_stitches_is_marked_as_one():
    """By hand: 2 × 1.5 × 80 % × 2,000 = 4,800 stitches; 4.8 × .02 × 24 = 2.304 of thread."""
    method = replace(STITCHED, density=Density(2000, "in", filled=0.8))
    sheet = cost_sheet(a_shop(), Order.of(CAP, 24, method, Artwork(2, 1.5, "in")))
    assert lines_of(sheet)["Stitched: thread"] == 2.304
    assert sheet.notes == ("Stitched: stitches are estimated from the filled area.",)
    assert stitched_sheet().notes == ()


CONTRACTED = Method(
    "contracted", "Contracted", "in", spoilage=0.04,
    grid=Grid.by_quantity(
        "contract", [12, 24, 72], [0.90, 0.60, 0.45], per=PER_THOUSAND_STITCHES
    ),
)  # fmt: skip


@pytest.mark.parametrize(
    ("quantity", "paid", "spoiled"),
    [(24, 108.00, 4.50), (23, 155.25, 6.46875), (6, 81.00, 0), (96, 324.00, 13.50)],
)
def test_contracted_embroidery_goes_by_the_thousand_stitches_and_the_quantity(
    quantity, paid, spoiled
):
    """By hand, 7,500 stitches: 24 × 7.5 × .60; 23 × 7.5 × .90; 12 (minimum) × 7.5 × .90;
    96 × 7.5 × .45; and 1/24 of the good pieces again for those spoiled, but for 6 pieces: of
    the minimum 6 are over.
    """
    order = Order.of(CAP, quantity, CONTRACTED, Artwork(2, 2, "in", stitches=7500))
    sheet = cost_sheet(a_shop(), order)
    assert lines_of(sheet)["Contracted"] == paid
    assert lines_of(sheet).get("Contracted, expected spoiled pieces", 0) == spoiled


def test_contracted_embroidery_by_bands_of_stitches():
    """By hand: 7,500 stitches fall in the band to 10 thousand; 5,000 in that to 5."""
    grid = Grid("bands", Measure.THOUSAND_STITCHES, None, [5, 10], [1, 24], [[4, 3], [6, 5]])
    method = Method("contracted", "Contracted", "in", grid=grid)
    for stitches, paid in ((7500, 120.00), (5000, 72.00)):
        order = Order.of(CAP, 24, method, Artwork(2, 2, "in", stitches=stitches))
        assert lines_of(cost_sheet(a_shop(), order))["Contracted"] == paid


# ---- cut vinyl -----------------------------------------------------------------------


def test_an_order_of_24_in_cut_vinyl_line_by_line():
    """By hand: pieces 3 × 2 in two colours lie turned, 6 across, in 4 rows of 3.25 in.

    4 × 3.25 × 2 layers × .10 = 2.60; the spoiled piece takes a sixth of a row, .65 / 6.
    Weeding 2 minutes a piece at .40.
    """
    shop = a_shop(VINYL, rates=Rates(24))
    order = Order.of(CAP, 24, VINYL, Artwork(3, 2, "in", colours=2))
    sheet = cost_sheet(shop, order)
    assert lines_of(sheet) == {
        "the cap": 96.00,
        "the cap, expected spoiled pieces": 4.00,
        "Vinyl: roll": 2.60,
        "Vinyl: roll, expected spoiled pieces": round(0.65 / 6, 6),
        "Vinyl: weed": 19.20,
        "Vinyl: weed, expected spoiled pieces": 0.80,
    }
    assert sheet.by_level()[Level.BATCH] == pytest.approx(2.60, abs=1e-9)
    assert sheet.full == pytest.approx(122.60 + 0.65 / 6, abs=1e-9)


def test_an_artwork_in_millimetres_is_cut_from_a_roll_in_inches():
    """By hand: 76.2 × 50.8 mm is 3 × 2 in: 2.60 as above for two colours."""
    order = Order.of(CAP, 24, VINYL, Artwork(76.2, 50.8, "mm", colours=2))
    assert lines_of(cost_sheet(a_shop(), order))["Vinyl: roll"] == 2.60


# ---- breaks that are shared, minimums, packs and surplus -------------------------------


def test_blanks_share_the_artworks_break_but_not_each_others():
    """By hand, a tenth spoiled: 12 caps × 4.00 and 24 beanies × 2.50, each on its own break;
    36 patches × 2.00, on the break at 36; a ninth of each again for spoiled pieces: 200.00.
    """
    cap = a_blank("cap", (1, 24), (4.00, 3.50))
    beanie = a_blank("beanie", (1, 24), (3.00, 2.50))
    patch = a_patch((1, 24, 36), ((3.00, 2.50, 2.00),), spoilage=0.1)
    order = Order([(cap, 12), (beanie, 24)], [Decoration(patch, PATCH)])
    sheet = cost_sheet(a_shop(), order)
    assert lines_of(sheet) == {
        "the cap": 48.00,
        "the cap, expected spoiled pieces": round(12 / 9 * 4, 6),
        "the beanie": 60.00,
        "the beanie, expected spoiled pieces": round(24 / 9 * 2.5, 6),
        "Patch": 72.00,
        "Patch, expected spoiled pieces": 8.00,
    }
    assert sheet.full == pytest.approx(200.00, abs=1e-9)


def test_a_blanks_break_is_taken_on_all_its_pieces():
    """By hand: 12 and 12 of one cap are 24 at 3.50."""
    cap = a_blank("cap", (1, 24), (4.00, 3.50))
    order = Order([(cap, 12), (cap, 12)], [Decoration(a_patch(), PATCH)])
    assert lines_of(cost_sheet(a_shop(), order))["the cap"] == 84.00


def test_a_surplus_is_worth_nothing_unless_the_owner_says_otherwise():
    """By hand: 7 wanted, a minimum of 12 at 2.00; at half their worth 5 left over are 5.00."""
    order = Order.of(CAP, 7, a_patch((12,)), PATCH)
    assert cost_sheet(a_shop(), order).full == pytest.approx(28.00 + 24.00)
    shop = a_shop(surplus_worth=0.5)
    sheet = cost_sheet(shop, order)
    assert lines_of(sheet)["Patch, worth of the surplus"] == -5.00
    assert sheet.full == pytest.approx(28.00 + 24.00 - 5.00)


@pytest.mark.parametrize(
    ("wanted", "billed", "on_top", "worth"),
    [
        (12, 20, 0, 5.00),
        (16, 20, 0, 0),
        (18, 20, 2.5 * 2, 0),
        (20, 20, 5 * 2, 0),
        (21, 30, 0, 3.75),
    ],
)
def test_a_surplus_replaces_spoiled_pieces_before_any_are_charged_on_top(
    wanted, billed, on_top, worth
):
    """By hand, packs of 10 at 2.00, a fifth spoiled, so that a quarter more is started: 12 take
    15 of 20, and 5 are over at half their price; 16 take all 20; 18 take 22.5, 2.5 more than
    20; 20 take 25; 21 take 26.25 of 30.
    """
    beanie = a_blank("beanie", prices=(2.00,), pack=10)
    order = Order.of(beanie, wanted, a_patch(prices=((0.00,),), spoilage=0.2), PATCH)
    lines = lines_of(cost_sheet(a_shop(surplus_worth=0.5), order))
    assert lines["the beanie"] == 2.00 * billed
    assert lines.get("the beanie, expected spoiled pieces", 0) == on_top
    assert -lines.get("the beanie, worth of the surplus", 0) == worth


@pytest.mark.parametrize("order_up", [False, True])
@pytest.mark.parametrize("paired", [False, True])
def test_what_is_paid_for_is_what_is_billed_or_what_is_started_whichever_is_more(order_up, paired):
    """An identity, over 200 invented purchases of two sizes: a minimum, packs, buying up."""
    dice = np.random.default_rng(5)
    for _ in range(200):
        spoilage, worth = dice.choice([0, 0.04, 0.2, 0.5]), dice.choice([0, 0.5, 1])
        breaks = np.cumsum(dice.integers(1, 30, 3))
        prices = np.round(np.sort(dice.uniform(1, 5, (2, 3)))[:, ::-1], 2)
        patch = a_patch(breaks, prices, (2.0, 2.5), spoilage=spoilage)
        patch = replace(patch, grid=replace(patch.grid, pack=int(dice.choice([1, 6, 10]))))
        quantity, sizes = dice.integers(1, 90, 2), np.array([2.0, 2.5])
        free = a_blank(prices=(0.00,))
        order = Order.of(free, quantity, patch, Artwork(sizes, sizes, "in"), paired=paired)
        sheet = cost_sheet(a_shop(surplus_worth=worth, order_up=order_up), order)
        bought = patch.grid.buy(sizes, quantity, order_up=order_up, paired=paired)
        started = quantity / (1 - spoilage)
        paid = np.maximum(bought.billed, started) - worth * np.maximum(bought.billed - started, 0)
        np.testing.assert_allclose(sheet.full, bought.unit_price * paid, rtol=1e-12)


# ---- several decorations -------------------------------------------------------------


def test_several_decorations_add_up_and_each_starts_what_later_ones_will_spoil():
    """By hand, 12 good: yields .8 × .75 = .6, so 20 are started: 8 more caps at 4.00 and 8
    more of the first patch at 2.00; 16 reach the second: 4 more at 1.00.
    """
    first = a_patch(key="front", name="Front", spoilage=0.2)
    second = a_patch(prices=((1.00,),), key="side", name="Side", spoilage=0.25, setup=15.00)
    shop = a_shop(rates=Rates(60), operations=(Operation("pack", 1.0),))
    order = Order([(CAP, 12)], [Decoration(first, PATCH), Decoration(second, PATCH)])
    assert lines_of(cost_sheet(shop, order)) == {
        "the cap": 48.00,
        "the cap, expected spoiled pieces": 32.00,
        "Front": 24.00,
        "Front, expected spoiled pieces": 16.00,
        "Side": 12.00,
        "Side, expected spoiled pieces": 4.00,
        "Side: set-up": 15.00,
        "pack": 12.00,
        "pack, expected spoiled pieces": 8.00,
    }


def test_of_two_decorations_by_one_method_what_is_bought_is_due_once_and_what_is_done_for_each():
    """By hand: 12 + 12 patches at 2.00 = 48.00, caps 48.00; freight 9.00 once for both; the press
    set twice, 2 × 6 minutes at .50; a set-up of 15.00 and a proof of 2.50 for each artwork.
    A freight of another method is its own.
    """
    freight = Charge("freight", Element.FREIGHT, Level.ORDER, 9.00)
    proof = Charge("proof", Element.CONSUMABLES, Level.DESIGN, 2.50)
    press = Operation("set the press", 6, Level.ORDER)
    patch = a_patch(charges=(freight, proof), operations=(press,), setup=15.00)
    front, side = Decoration(patch, PATCH), Decoration(patch, Artwork(1, 1, "in"))
    other = Decoration(replace(patch, key="other", name="Other"), PATCH)
    shop = a_shop(rates=Rates(30))
    both = lines_of(cost_sheet(shop, Order([(CAP, 12)], [front, side])))
    assert both == {
        "the cap": 48.00, "Patch": 48.00, "Patch: set-up": 30.00, "Patch: freight": 9.00,
        "Patch: proof": 5.00, "Patch: set the press": 6.00,
    }  # fmt: skip
    three = lines_of(cost_sheet(shop, Order([(CAP, 12)], [front, other, side])))
    assert three["Patch: freight"] == three["Other: freight"] == 9.00


# ---- ordering up ---------------------------------------------------------------------

MACHINE = a_blank("machine", (1, 50, 90), (1400, 1100, 900))
"""Gandomi 4QA3, a problem on all-units discounts."""


def test_the_sheet_says_when_ordering_up_would_pay():
    """Gandomi 4QA3: 49 cost 68,600, 50 cost 55,000."""
    sheet = cost_sheet(a_shop(), Order.of(MACHINE, 49, a_patch(), PATCH))
    assert lines_of(sheet)["the machine"] == 68_600
    assert sheet.notes == (
        "the machine: buying 50 instead of 49 would cost $13,600.00 less.",
    )  # fmt: skip


def test_only_one_artwork_in_one_quantity_is_told_when_ordering_up_would_pay():
    """By hand: 49 cost more than 50 would, of either size; beside each other none is told so."""
    patch = a_patch(breaks=(1, 50), prices=((14.0, 11.0),))
    for artwork, notes in ((PATCH, 1), (Artwork([2, 2.25], 2.25, "in"), 0)):
        assert len(cost_sheet(a_shop(), Order.of(CAP, 49, patch, artwork)).notes) == notes


@pytest.mark.parametrize(
    "switch", [{"order": True}, {"shop": True}, {"shop": False, "order": True}]
)
def test_the_sheet_orders_up_when_the_owner_or_the_order_says_so(switch):
    """Gandomi 4QA3: 50 cost 55,000; then there is nothing left to say."""
    order = Order.of(MACHINE, 49, a_patch(), PATCH, order_up=switch.get("order"))
    sheet = cost_sheet(a_shop(order_up=switch.get("shop", False)), order)
    assert lines_of(sheet)["the machine"] == 55_000
    assert sheet.notes == ()


def test_an_order_can_decline_to_order_up():
    order = Order.of(MACHINE, 49, a_patch(), PATCH, order_up=False)
    assert lines_of(cost_sheet(a_shop(order_up=True), order))["the machine"] == 68_600


def test_an_order_bought_up_opens_to_the_cell_it_was_bought_at_and_its_surplus_is_spoiled():
    """By hand: 40 wanted at 2.00, 50 bought at 1.00, of which 4 % of 40 / .96 started spoil; 49
    take 51 1/24, so 1 1/24 more at 1.00.
    """
    grid = WORKED_CAP.prices
    cap = replace(WORKED_CAP, prices=replace(grid, breaks=[1, 50], prices=[[2.0, 1.0]], pack=1))
    patch = a_patch(prices=((0.00,),), spoilage=0.04)
    (bought,) = cost_sheet(a_shop(), Order.of(cap, 40, patch, PATCH, order_up=True)).why()
    assert (bought.quantity, bought.amount) == (50, 50.00)
    assert str(bought.place) == 'blank_prices.csv, row 3, column "price"'
    bought, spoiled = cost_sheet(a_shop(), Order.of(cap, 49, patch, PATCH, order_up=True)).why()
    assert bought.amount == 50.00
    assert spoiled.amount == pytest.approx(25 / 24, abs=1e-9)
    assert spoiled.place == bought.place


def test_the_saving_of_contracted_stitches_is_money_not_money_a_thousand():
    """By hand, 8,000 stitches: 20 × 8 × .90 = 144.00; 24 × 8 × .60 = 115.20; 28.80 less."""
    order = Order.of(CAP, 20, CONTRACTED, Artwork(2, 2, "in", stitches=8000))
    assert cost_sheet(a_shop(), order).notes == (
        "Contracted: buying 24 instead of 20 would cost $28.80 less.",
    )


# ---- levels --------------------------------------------------------------------------


def test_shop_wide_charges_a_piece_are_for_good_pieces_a_methods_for_all_started():
    """By hand, 24 good and 1 spoiled: bags 24 × .10, cover sheets 25 × .05."""
    method = a_patch(
        spoilage=0.04, charges=(Charge("sheet", Element.CONSUMABLES, Level.PIECE, 0.05),)
    )
    shop = a_shop(charges=(Charge("bag", Element.CONSUMABLES, Level.PIECE, 0.10),))
    lines = lines_of(cost_sheet(shop, Order.of(CAP, 24, method, PATCH)))
    assert lines["bag"] == 2.40
    assert lines["Patch: sheet"] + lines["Patch: sheet, expected spoiled pieces"] == 1.25
    assert "bag, expected spoiled pieces" not in lines


@pytest.mark.parametrize(("quantity", "batches"), [(1, 1), (12, 1), (13, 2), (24, 2), (25, 3)])
def test_a_part_batch_costs_a_whole_one(quantity, batches):
    """By hand, cartons of 12 at 1.25; batches count good pieces."""
    shop = a_shop(charges=(Charge("carton", Element.PACKING, Level.BATCH, 1.25, batch=12),))
    sheet = cost_sheet(shop, Order.of(CAP, quantity, a_patch(spoilage=0.04), PATCH))
    assert lines_of(sheet)["carton"] == batches * 1.25


def test_overhead_follows_batches_of_every_size():
    """By hand: 24 pieces are 3 trays of 10 at 2 minutes and 2 boxes of 12 at 5: 16 × .25."""
    work = (
        Operation("fetch a tray", 2, Level.BATCH, batch=10),
        Operation("fill a box", 5, Level.BATCH, batch=12),
    )
    shop = a_shop(rates=Rates(24, 15))
    sheet = cost_sheet(shop, Order.of(CAP, 24, a_patch(operations=work), PATCH))
    assert sheet.by_element()[Element.OVERHEAD] == pytest.approx(4.00, abs=1e-9)
    units = {line.unit for line in sheet.why() if line.element is Element.OVERHEAD}
    assert units == {"minutes"}


def test_period_and_revenue_costs_are_not_in_a_sheet():
    charges = (
        Charge("rent", Element.RENT, Level.PERIOD, 900),
        Charge("card fee", Element.FEES, Level.REVENUE, 0.30, share=0.03),
    )
    sheet = cost_sheet(a_shop(charges=charges), Order.of(CAP, 24, a_patch(), PATCH))
    assert sheet.full == pytest.approx(24 * 6.00)


def test_work_without_a_wage_or_overhead_still_takes_its_minutes():
    """The owner's unpaid hour: no money, but the minutes are counted."""
    method = a_patch(operations=(Operation("place", 1.5),))
    sheet = cost_sheet(a_shop(), Order.of(CAP, 24, method, PATCH))
    assert sheet.full == pytest.approx(144.00)
    assert sheet.minutes["operator"] == pytest.approx(36)


# ---- shapes and what is not possible --------------------------------------------------


@pytest.mark.parametrize("method", [LEATHER, STITCHED, VINYL])
def test_a_mesh_of_sizes_and_quantities_equals_its_orders_one_by_one(method):
    """An identity, for every method at sizes down and quantities across."""
    widths, stitches = np.array([1.5, 2.0, 2.5]), np.array([3000, 6000, 9000])
    quantities = np.array([1, 23, 24, 25, 48, 50, 144])
    artworks = Artwork(widths, 2, "in", stitches, np.array([1, 2, 4]))
    sheet = cost_sheet(WORKED_SHOP, Order.of(WORKED_CAP, quantities, method, artworks))
    assert sheet.full.shape == (3, 7)
    for at in np.ndindex(3, 7):
        artwork = Artwork(widths[at[0]], 2, "in", stitches[at[0]], [1, 2, 4][at[0]])
        order = Order.of(WORKED_CAP, quantities[at[1]], method, artwork)
        one = cost_sheet(WORKED_SHOP, order)
        assert one.full == pytest.approx(sheet.full[at], rel=1e-13)
        assert one.variable == pytest.approx(sheet.variable[at], rel=1e-13)
        assert np.ndim(one.full) == 0
        for who, minutes in one.minutes.items():
            assert minutes == pytest.approx(sheet.minutes[who][at], rel=1e-13)
        assert sum(w.amount for w in sheet.at(*at).why()) == pytest.approx(
            sheet.full[at], rel=1e-13
        )


def test_what_cannot_be_made_has_no_cost_but_a_reason():
    reason = "the size is over the last band of leather."
    with pytest.raises(NotPossible, match=f"^{re.escape(reason)}$"):
        cost_sheet(WORKED_SHOP, Order.of(WORKED_CAP, 24, LEATHER, Artwork(2.6, 2.6, "in")))
    with pytest.raises(NotPossible, match=f"^{re.escape(reason)}$"):
        cost_sheet(WORKED_SHOP, Order.of(WORKED_CAP, 24, LEATHER, Artwork([2, 2.6], 2.6, "in")))


@pytest.mark.parametrize("method", [LEATHER, STITCHED, VINYL])
def test_orders_side_by_side_are_the_orders_one_by_one(method):
    """An identity: the k-th artwork in the k-th quantity, where an order says so."""
    widths, stitches = np.array([1.5, 2.0, 2.5]), np.array([3000, 6000, 9000])
    quantities, artworks = np.array([1, 24, 60]), Artwork(widths, 2, "in", stitches)
    order = Order.of(WORKED_CAP, quantities, method, artworks, paired=True)
    one_by_one = [
        cost_sheet(WORKED_SHOP, Order.of(WORKED_CAP, quantity, method, artworks.take(at))).full
        for at, quantity in enumerate(quantities)
    ]
    assert cost_sheet(WORKED_SHOP, order).full == pytest.approx(one_by_one)
