"""The client's workbook: what stands in it, its formulas worked out by a real spreadsheet."""

import io
import zipfile
from dataclasses import replace

import numpy as np
import pytest
from openpyxl import load_workbook
from smallshop import ON, PRICES, SETUP
from spreadsheet import disagreements, formulas, recalculated

from pricelab.cost.price import charge_order
from pricelab.paper.client_copy import ClientCopy
from pricelab.paper.list_xlsx import LIST, ORDER, list_xlsx
from pricelab.shop.price_list import PriceList
from pricelab.shop.pricing_rules import Tax
from pricelab.shop.sizes import Measure


def opened(content: bytes):
    return load_workbook(io.BytesIO(content))


def test_the_list_stands_in_it(copy):
    """Names, sizes, tiers with their first quantities, prices, set-up and tax."""
    sheet = opened(list_xlsx(copy))[LIST]
    rows = [[cell.value for cell in row[:4]] for row in sheet.iter_rows(min_row=1, max_row=13)]
    assert rows == [
        ["Small Shop", None, None, None],
        ["Leather patch", None, None, None],
        ["Plain cap", None, None, None],
        ["Price of one piece in US dollars (USD), blank and decoration.", None, None, None],
        [None, None, None, None],
        [None, "Number of pieces", None, None],
        ["Size of the artwork", "1–11", "12–23", "24+"],
        ["from", 1, 12, 24],
        ["up to 2 in", *PRICES[0]],
        ["up to 3 in", *PRICES[1]],
        [None, None, None, None],
        ["Set-up of an artwork", SETUP, None, None],
        ["sales tax", 0.1, None, None],
    ]
    notes = [sheet.cell(row, 1).value for row in range(15, 27)]
    assert notes[0] == "Set-up $54.55 the first time an artwork is made, none on reorders."
    assert "Prices of 25 November 2026, valid until 25 December 2026." in notes
    assert "Paid on collection." in notes
    assert "Leather patch: wipe clean; not for laundering." in notes
    assert "Invented for a test." in notes


def test_it_opens_on_an_order_already_worked_out(copy):
    """One piece of the smallest size: 25.10 + 54.55 = 79.65, 10 % tax 7.965, so 7.97."""
    sheet = load_workbook(io.BytesIO(list_xlsx(copy)), data_only=True)[ORDER]
    lines = {sheet.cell(row, 1).value: sheet.cell(row, 2).value for row in range(4, 17)}
    assert lines == {
        "Size of the artwork": "up to 2 in",
        "Number of pieces": 1,
        "First order of this artwork (yes or no)": "yes",
        None: None,
        "Price of one piece": 25.10,
        "The pieces": 25.10,
        "Set-up": 54.55,
        "Sum before tax": 79.65,
        "sales tax": 7.97,
        "To pay": 87.62,
        "The list's next quantity, in pieces": 12,
        "So many pieces would cost": 148.80,
    }


def test_nothing_is_hidden_in_it(copy):
    """No hidden sheet, row or column, no name, comment or property beyond title and day."""
    content = list_xlsx(copy)
    book = opened(content)
    assert [sheet.title for sheet in book] == [LIST, ORDER]
    for sheet in book:
        assert sheet.sheet_state == "visible"
        assert not [d for d in sheet.row_dimensions.values() if d.hidden]
        assert not [d for d in sheet.column_dimensions.values() if d.hidden]
        assert not [cell for row in sheet.iter_rows() for cell in row if cell.comment]
        assert not sheet.defined_names
    assert not book.defined_names
    assert not list(book.custom_doc_props)
    assert (book.properties.creator or "", book.properties.description) == ("", None)
    with zipfile.ZipFile(io.BytesIO(content)) as parts:
        known = ("[Content_Types].xml", "_rels/", "docProps/", "xl/")
        assert not [name for name in parts.namelist() if not name.startswith(known)]
        assert not [name for name in parts.namelist() if "external" in name or "query" in name]


def test_the_same_list_gives_the_same_bytes(copy):
    """Nothing of the moment gets into the file."""
    assert list_xlsx(copy) == list_xlsx(copy)


def test_text_from_the_shops_files_stays_text(folder, price_list):
    """A name that looks like a formula is no formula, in any cell."""
    evil = '=HYPERLINK("http://example.org","prize")'
    shop = folder.shop
    method = replace(shop.methods["patch"], name=evil, care=evil)
    blank = replace(shop.blanks["cap"], name="@SUM(1)", care="+1")
    shop = replace(
        shop, name="-1+1", notice=evil, conditions="https://example.org",
        methods={"patch": method}, blanks={"cap": blank},
    )  # fmt: skip
    evil_tax = replace(price_list, tax=Tax(0.1, name="=1+1"))
    content = list_xlsx(ClientCopy.of(shop, evil_tax, ON))
    assert {sheet for sheet, *_ in formulas(content)} == {ORDER}
    assert {column for _, _, column, _ in formulas(content)} == {2}
    sheet = opened(content)[LIST]
    assert sheet["A1"].value == "'-1+1"
    assert sheet["A2"].value == f"'{evil}"
    assert not [cell for row in sheet.iter_rows() for cell in row if cell.hyperlink]


ORDERS = [
    (0, 1, "yes"), (0, 11, "no"), (0, 12, "yes"), (1, 23, "yes"), (1, 24, "no"), (1, 50, "yes"),
]  # fmt: skip


def awkward(copy: ClientCopy, tax: Tax) -> ClientCopy:
    """The copy with prices whose products fall on half a cent, and another tax."""
    prices = np.array([[1.005, 0.335, 0.115], [2.675, 1.115, 0.145]])
    price_list = PriceList(
        "patch", "cap", Measure.MEAN_OF_SIDES, "in", [2, 3], [1, 12, 24], 50, prices, 1.105, tax
    )
    return replace(copy, price_list=price_list)


@pytest.mark.spreadsheet
def test_a_spreadsheet_works_every_order_out_as_we_do(copy, tmp_path, spreadsheet_program):
    """Each order of `ORDERS`, tax on top and tax included, to the cent."""
    copies = {
        "plain": copy,
        "awkward": awkward(copy, Tax(0.065)),
        "included": awkward(copy, Tax(0.19, True)),
    }
    files, changes = {}, {}
    for name, each in copies.items():
        for at, (band, pieces, first) in enumerate(ORDERS):
            file = f"{name}{at}"
            files[file] = list_xlsx(each)
            wanted = (each.sizes[band], pieces, first)
            changes |= {(file, ORDER, f"B{row}"): x for row, x in enumerate(wanted, 4)}
    worked = recalculated(spreadsheet_program, tmp_path, files, changes)
    for name, each in copies.items():
        for at, (band, pieces, first) in enumerate(ORDERS):
            price_list = each.price_list
            tier = int(np.searchsorted([1, 12, 24], pieces, side="right")) - 1
            setup = price_list.setup if first == "yes" else 0.0
            order = charge_order(pieces, price_list.prices[band, tier], setup, price_list.tax)
            sheet = worked[f"{name}{at}"][ORDER]
            shown = [sheet.cell(row, 2).value for row in range(9, 14)]
            expected = [order.pieces, order.setup, order.total, order.tax_due, order.payable]
            assert shown == pytest.approx([float(x) for x in expected], abs=1e-9), (name, at)


@pytest.mark.spreadsheet
def test_stored_values_are_what_a_spreadsheet_works_out(copy, tmp_path, spreadsheet_program):
    """The file as it is saved, and what it says of an order that the list does not offer."""
    content = list_xlsx(copy)
    files = {"saved": content, "over": content, "half": content}
    changes = {("over", ORDER, "B5"): 51, ("half", ORDER, "B5"): 1.5}
    worked = recalculated(spreadsheet_program, tmp_path, files, changes)
    assert disagreements(content, worked["saved"]) == []
    for name in ("over", "half"):
        sheet = worked[name][ORDER]
        assert sheet["B7"].value == "The list offers 1 to 50 pieces."
        assert [sheet.cell(row, 2).value or "" for row in range(8, 17)] == [""] * 9
