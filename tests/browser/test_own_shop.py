"""A shop of one's own on the first evening: started, filled in, mended, saved, opened again."""

import re

import pytest

from pricelab.app import launch
from pricelab.files.folders import NOTEBOOKS, SHOP_VARIABLE, SHOPS_VARIABLE, shop_folder
from pricelab.files.shop_folder import read_shop

pytestmark = [pytest.mark.browser, pytest.mark.slow]


def test_a_shop_is_started_filled_in_saved_and_opened_again(visit, tmp_path, monkeypatch):
    """As an owner does it: by labels, with the Tab key, and with one slip on the way."""
    monkeypatch.delenv(SHOP_VARIABLE, raising=False)
    monkeypatch.setenv(SHOPS_VARIABLE, str(tmp_path / "shops"))
    page = visit.page

    def box(row: int, column: str):
        return page.get_by_title(f"{column}, row {row} shown")

    def rate():
        """The box of the labour rate, as a screen reader names it."""
        return page.get_by_title(re.compile("^value, labour rate, [A-Z]{3} an hour"))

    def says(words: str) -> None:
        page.locator(".pl-verdict").filter(has_text=words).wait_for()

    with launch.workbook(NOTEBOOKS, None, "7-own-shop.ipynb") as served:
        page.goto(served.address)
        page.get_by_text("The shop worked out here is Harbour Caps, which is invented").wait_for()
        page.get_by_label("Name of your shop").fill("Mützen 帽子")
        page.get_by_label("Leather patch, pressed on").check()
        page.get_by_role("button", name="Start it").click()
        page.get_by_text("The shop worked out here is yours: Mützen 帽子").wait_for()
        page.get_by_text("6 rows, tinted, are still to be replaced").wait_for()

        rate().fill("31")  # the labour rate: an invented 26 before
        page.keyboard.press("Tab")
        says("more than as saved")
        page.get_by_text("5 rows, tinted, are still to be replaced").wait_for()

        page.get_by_label("Table", exact=True).select_option(
            label="What blanks cost (blank_prices.csv)"
        )
        price = box(2, "price")
        price.fill("6.1O")
        page.keyboard.press("Tab")
        page.get_by_text('Found "6.1O", expected an amount such as 3.20').wait_for()
        page.locator(".pl-rows .pl-doubt").wait_for()
        page.get_by_role("button", name="Save the tables").click()
        page.get_by_text("Nothing was saved: mend what is listed above").wait_for()
        assert read_shop(shop_folder()).shop.rates.labour == 26
        price.fill("6.10")
        page.keyboard.press("Enter")
        page.locator(".pl-rows .pl-doubt").wait_for(state="detached")
        page.get_by_role("button", name="Save the tables").click()
        page.get_by_text("Saved: shop.csv, blank_prices.csv.").wait_for()

        page.goto(served.address.replace("7-own-shop", "0-start"))
        page.get_by_text("Mützen 帽子: your files are in order").wait_for()
        page.goto(served.address)
        page.get_by_text("The shop worked out here is yours: Mützen 帽子").wait_for()
        rate().wait_for()
        assert rate().input_value() == "31"
    shop = read_shop(shop_folder()).shop
    assert (shop.name, shop.rates.labour) == ("Mützen 帽子", 31)
    assert shop.blanks["structured-twill"].prices.prices[0, 1] == 6.10
