"""A supplier's sheet taken in on notebook 7, as an owner does it in a browser."""

import shutil
from pathlib import Path

import pytest

from pricelab.app import launch
from pricelab.files.folders import DEMO_SHOP, NOTEBOOKS
from pricelab.files.grid_file import read_grid

pytestmark = [pytest.mark.browser, pytest.mark.slow]

SHEET = Path(__file__).parents[1] / "sheets" / "13-letter-o.txt"


def test_a_sheet_is_pasted_mended_and_saved(visit, tmp_path):
    """Two cells hold a letter O; the file saved holds what was typed for them."""
    shop = shutil.copytree(DEMO_SHOP, tmp_path / "harbour-caps")
    page = visit.page
    with launch.workbook(NOTEBOOKS, shop, "7-own-shop.ipynb") as served:
        page.goto(served.address)
        page.get_by_label("Paste a supplier's price table").fill(SHEET.read_text("utf-8"))
        doubtful = page.locator(".pl-cells .pl-doubt input")
        page.get_by_text("2 cells are in doubt").wait_for()
        assert page.locator(".pl-pasted mark").all_text_contents() == ["4.1O", "4.O0"]
        for left, price in ((1, "4.10"), (0, "4.00")):
            doubtful.first.fill(price)
            page.keyboard.press("Tab")
            page.wait_for_function(
                "n => document.querySelectorAll('.pl-cells .pl-doubt').length === n", arg=left
            )
        page.get_by_label("The supplier measures by").select_option("longest side")
        page.get_by_label("Name of the grid in your shop").fill("from-a-sheet")
        page.keyboard.press("Tab")
        page.get_by_text("Ready to be saved: 9 prices.").wait_for()
        page.get_by_role("button", name="Save it in the shop's folder").click()
        page.get_by_text("Saved as grids/from-a-sheet.csv.").wait_for()
    grid, _ = read_grid(shop / "grids" / "from-a-sheet.csv")
    assert grid.prices.tolist() == [[4.10, 3.20, 2.70], [5.25, 4.00, 3.35], [6.40, 4.95, 4.05]]
