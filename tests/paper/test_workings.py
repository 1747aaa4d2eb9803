"""The owner's workings: every price a formula that a real spreadsheet works out alike."""

import io
from dataclasses import replace

import pytest
from openpyxl import load_workbook
from smallshop import ON, PRICES, with_setting, write_shop
from spreadsheet import disagreements, formulas, recalculated

from pricelab.files.folders import ROOT
from pricelab.files.shop_folder import read_shop
from pricelab.lists.audit import audit
from pricelab.lists.selling_list import planned_list
from pricelab.lists.typical_quantity import weights_of
from pricelab.paper.workings import CELLS, FINDINGS, LIST, RULES, workings_xlsx


def workings(folder, price_list) -> bytes:
    """The workings of a list of a shop."""
    judged = audit(folder.shop, price_list, weights_of(folder, price_list))
    return workings_xlsx(folder.shop, judged, ON)


def column(sheet, heading: str, at: int = 0) -> list:
    """The cells under the `at`-th heading of that name."""
    heads = [cell for cell in sheet[3] if cell.value == heading]
    return [row[heads[at].column - 1].value for row in sheet.iter_rows(min_row=4)]


def test_costs_a_piece_stand_in_input_cells_by_element(folder, price_list):
    """At 2 in: one piece, and twelve as the dearest of the second tier (see smallshop)."""
    sheet = load_workbook(io.BytesIO(workings(folder, price_list)), data_only=True)[CELLS]
    assert column(sheet, "size")[:4] == ["up to 2 in"] * 3 + ["up to 3 in"]
    assert column(sheet, "pieces", 1) == [1, 12, 24, 1, 12, 24]  # dearest
    assert column(sheet, "pieces", 2) == [1, 20, 24, 1, 20, 24]  # usual
    assert column(sheet, "blank") == [4, 4, 3, 4, 4, 3]
    assert column(sheet, "decoration") == [3, 3, 2, 4, 4, 3]
    assert column(sheet, "freight") == pytest.approx([6, 0.5, 0.25] * 2)
    assert column(sheet, "labour") == pytest.approx([0.5] * 6)
    assert column(sheet, "decoration", 1) == [3, 2, 2, 4, 3, 3]  # at the usual quantity
    assert column(sheet, "price on the list") == [*PRICES[0], *PRICES[1]]
    assert column(sheet, "verdict") == ["holds"] * 6


def test_a_price_set_by_hand_is_an_input_and_is_judged(folder):
    """Today's list of the small shop: three of its six prices do not hold."""
    book = load_workbook(io.BytesIO(workings(folder, folder.price_lists[0])), data_only=True)
    sheet = book[CELLS]
    assert column(sheet, "price on the list") == [25.10, 9.90, 10.50, 26.95, 13.00, 7.00]
    assert column(sheet, "rounded up") == [*PRICES[0], *PRICES[1]]
    verdicts = ["holds", "below floor", "holds", "holds", "under target", "below cost"]
    assert column(sheet, "verdict") == verdicts
    table = [[cell.value for cell in row] for row in book[LIST].iter_rows(min_row=7, max_row=9)]
    assert table == [
        ["Verdict", "1–11", "12–23", "24+"],
        ["up to 2 in", *verdicts[:3]],
        ["up to 3 in", *verdicts[3:]],
    ]
    said = [row[0].value for row in book[FINDINGS].iter_rows()]
    assert said[0] == (
        "Leather patch (Plain cap): 3 of 6 prices do not hold "
        "(1 below cost, 1 below the floor, 1 under the target)."
    )
    assert said[2].startswith("Up to 3 in, 24 pieces or more: 24 pieces lose money")


def test_every_sheet_says_that_it_is_not_for_clients(folder, price_list):
    """On the page too, in its footer."""
    book = load_workbook(io.BytesIO(workings(folder, price_list)))
    assert [sheet.title for sheet in book] == [RULES, CELLS, LIST, FINDINGS]
    for sheet in book:
        assert sheet.oddFooter.left.text == "Not for clients"


def test_names_from_the_shops_files_stay_text(folder, price_list):
    """A name that looks like a formula."""
    shop = folder.shop
    evil = replace(shop.methods["patch"], name="=1+1")
    shop = replace(shop, name="=2+2", methods={"patch": evil})
    judged = audit(shop, price_list, weights_of(folder, price_list))
    book = load_workbook(io.BytesIO(workings_xlsx(shop, judged, ON)))
    for sheet in book:
        for row in sheet.iter_rows():
            for cell in row:
                assert cell.data_type == "f" or not str(cell.value).startswith("=")
    assert book[FINDINGS]["A1"].value == "'=1+1 (Plain cap): all 6 prices hold."


def odd_shops(folder):
    """Folders with every pricing rule there is: endings, tax, spread set-up, coarse steps."""
    yield "plain", read_shop(write_shop(folder / "plain"))
    # 4.20 / 0.60 is 7.00, and 7.000000000000001 in binary fractions
    exact = {
        "blank_prices": "blank,from,price\ncap,1,3.00\n",
        "patches": "mean of sides (in),1\n3,1.20\n",
        "operations": "method,operation,minutes,per\npatch,pressing,0,piece\n",
        "costs": "method,cost,element,level,amount\n,label,packing,piece,0\n",
    }
    yield "exact", read_shop(write_shop(folder / "exact", **exact))
    settings = {
        "ending": ("price step,0.05", "price step,1\nprice ending,0.95"),
        "spread": ("currency,USD", "currency,USD\nset-up,spread"),
        "included": ("sales tax,10 %", "sales tax,19 %\nprices include tax,yes"),
        "yen": ("currency,USD", "currency,JPY"),
    }
    for name, (old, new) in settings.items():
        text = with_setting("conditions", "").replace(old, new)
        assert new in text
        yield name, read_shop(write_shop(folder / name, shop=text))


DEMO_LISTS = (
    ("harbour-caps", "leather"), ("harbour-caps", "raised"), ("harbour-caps", "vinyl"),
    ("fjord-muetzen", "leather"), ("fjord-muetzen", "flat-contracted"),
)  # fmt: skip
"""Bought patches, own stitching, a roll, an area-measured grid, a price by the stitch."""


@pytest.mark.slow
@pytest.mark.spreadsheet
def test_a_spreadsheet_works_every_price_out_as_we_do(tmp_path, spreadsheet_program):
    """Every formula of small shops under all pricing rules, and of both demo shops."""
    files = {}
    for name, folder in odd_shops(tmp_path):
        shop = folder.shop
        planned = planned_list(folder, shop.methods["patch"], shop.blanks["cap"])
        files[f"{name}-planned"] = workings(folder, planned)
        files[f"{name}-today"] = workings(folder, folder.price_lists[0])
        if name == "exact":
            assert planned.prices.tolist() == [[7.0] * 3] * 2
    for name, method in DEMO_LISTS:
        folder = read_shop(ROOT / "data" / name)
        today = next(x for x in folder.price_lists if x.method == method)
        shop = folder.shop
        planned = planned_list(folder, shop.methods[method], shop.blanks[today.blank])
        files[f"{name}-{method}"] = workings(folder, planned)
    worked = recalculated(spreadsheet_program, tmp_path, files)
    assert sum(len(formulas(content)) for content in files.values()) > 2000
    assert {
        name: wrong for name, x in files.items() if (wrong := disagreements(x, worked[name]))
    } == {}


@pytest.mark.spreadsheet
def test_a_changed_cost_reprices_the_list(folder, price_list, tmp_path, spreadsheet_program):
    """One piece at 2 in with a blank at 5.50 for 4.00: 15.30 / 0.55 = 27.82, so 27.85; with the
    target at 45 % 20 pieces come to 6.815 / 0.50 = 13.63, so 13.65."""
    content = workings(folder, price_list)
    sheet = load_workbook(io.BytesIO(content))[CELLS]
    blanks = [cell.column_letter for cell in sheet[3] if cell.value == "blank"]
    changes = {("a", CELLS, f"{letter}4"): 5.5 for letter in blanks}
    changes["b", RULES, "B4"] = 0.45
    worked = recalculated(spreadsheet_program, tmp_path, {"a": content, "b": content}, changes)
    assert column(worked["a"][CELLS], "price on the list")[:2] == pytest.approx([27.85, 12.40])
    assert column(worked["b"][CELLS], "price on the list")[1] == pytest.approx(13.65)
