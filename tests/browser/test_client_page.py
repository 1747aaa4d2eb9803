"""The client's page in a real browser: by finger, by keyboard alone, on both sizes of screen."""

import base64
import shutil
from datetime import date

import pytest

from pricelab.app import launch
from pricelab.files.folders import DEMO_SHOP, NOTEBOOKS, ROOT
from pricelab.files.records.book import Records
from pricelab.files.records.happened import take_quotes
from pricelab.files.shop_folder import read_shop
from pricelab.jobs.quotes import costs_on

pytestmark = [pytest.mark.browser, pytest.mark.slow]

NOTEBOOK = NOTEBOOKS / "2-quantity-breaks.ipynb"
TOUCH = 40
"""Pixels: the least height of what a finger should hit."""


@pytest.fixture
def shop(tmp_path):
    """A copy of the demo shop, for quotes to be saved in."""
    folder = tmp_path / "shop"
    shutil.copytree(DEMO_SHOP, folder, ignore=shutil.ignore_patterns("quotes"))
    return folder


@pytest.fixture
def page(visit, shop):
    """The client's page, live."""
    with launch.client_page(NOTEBOOK, shop) as served:
        visit.page.goto(served.address)
        visit.page.locator(".plc-price").wait_for()
        visit.page.set_default_timeout(20_000)
        yield visit.page


def drawn(page, words):
    """Wait until a picture says so."""
    page.locator("svg title").get_by_text(words).wait_for(state="attached")


def says(page, words):
    """Wait until the page says so."""
    page.locator(".pl-counter").get_by_text(words).first.wait_for()


def enter(page, label, words):
    """Put words in a box, and leave it by the key."""
    box = page.get_by_label(label, exact=True)
    box.fill(words)
    box.press("Enter")
    return box


@pytest.mark.parametrize(("width", "height"), [(1280, 800), (1024, 768)])
def test_it_is_a_clean_page_that_a_finger_can_use(page, width, height):
    """No code and no other part of the notebook; price, hint and drawing on the first screen."""
    page.set_viewport_size({"width": width, "height": height})
    page.wait_for_timeout(300)
    assert page.title() == "What does my order cost?"
    assert page.locator(".jp-InputArea, .jp-InputPrompt, #jp-top-panel").count() == 0
    text = page.locator("body").inner_text()
    assert "Checks" not in text
    assert "What this means" not in text
    wide = page.evaluate("document.documentElement.scrollWidth")
    assert wide <= width
    for name in (".plc-price", ".plc-hint", "svg.pl-picture"):
        box = page.locator(name).first.bounding_box()
        assert box["y"] + box["height"] <= height, name
        assert box["x"] + box["width"] <= width, name
    page.get_by_text("Several colours or pieces").click()
    controls = ".pl-counter input[type=text], .pl-counter input[type=number], .pl-counter select"
    seen = 0
    for control in page.locator(
        f"{controls}, .pl-counter button, .pl-counter label:has(input)"
    ).all():
        if control.is_visible():
            seen += 1
            assert control.bounding_box()["height"] >= TOUCH, control.inner_text()
    assert seen > 20
    large = page.locator(".plc-price b").first
    assert float(large.evaluate("x => parseFloat(getComputedStyle(x).fontSize)")) >= 40


def test_it_fits_a_telephone_and_a_sheet_of_paper(page):
    """No part lies beside the screen or over another; every line of the page is printed."""
    page.set_viewport_size({"width": 390, "height": 844})
    page.wait_for_timeout(300)
    price, picture = (
        page.locator(what).first.bounding_box() for what in (".plc-price", ".pl-picture")
    )
    assert picture["y"] > price["y"] + price["height"]
    for table in page.locator(".plc-halves .pl-wide").all():
        assert table.evaluate("e => e.scrollWidth <= e.clientWidth")
    page.set_viewport_size({"width": 1280, "height": 800})
    page.emulate_media(media="print")
    wide = page.evaluate("document.querySelector('.plc-main').scrollWidth")
    assert page.locator(".pl-counter").evaluate("e => e.clientWidth") >= wide
    columns = page.locator(".plc-halves > .widget-box")
    first, second = (columns.nth(at).bounding_box() for at in (0, 1))
    assert second["y"] >= first["y"] + first["height"]
    notes = page.locator(".plc-note").evaluate(
        "e => getComputedStyle(e.closest('.jp-Cell')).overflow"
    )
    assert notes == "visible"


def test_an_order_is_made_by_keyboard_alone(page, shop):
    """From the first control to the saved quote with Tab, arrows, Space, Enter and letters."""
    keys = page.keyboard
    page.locator("body").focus()

    def over(words):
        keys.press("Control+a")
        keys.type(words)
        keys.press("Enter")

    def tab_to(name, most=40):
        for _ in range(most):
            keys.press("Tab")
            label = page.evaluate(
                "() => { const e = document.activeElement;"
                " return (e.labels?.[0] ?? e).innerText || e.title || e.className; }"
            )
            if label.strip().startswith(name):
                return
        raise AssertionError(f"Tab does not come to {name}")

    tab_to("Pieces")
    over("44")
    keys.press("ArrowUp")
    says(page, "48 pieces cost less than 45")
    tab_to("Width")
    over("3 1/2")
    drawn(page, "3.5 × 2 in fits")
    tab_to("Piece to decorate")
    keys.press("ArrowDown")
    says(page, "45 × Washed cotton cap")
    tab_to("Decoration")
    keys.press("ArrowDown")
    says(page, "Embroidered patch, pressed on: machine wash cold")
    keys.press("ArrowUp")
    says(page, "Leather patch, pressed on: wipe clean")
    tab_to("made before")
    keys.press("Space")
    says(page, "in all, with tax")
    tab_to("Several")
    keys.press("Space")
    page.get_by_text("How many (2)").first.wait_for()  # or Tab passes by what is not there yet
    tab_to("How many (2)")
    over("5")
    says(page, "5 × Structured twill cap")
    tab_to("For")
    keys.type("Somebody New")
    tab_to("Save the quote")
    keys.press("Enter")
    says(page, "is saved")
    (table,) = shop.glob("quotes/*/*.csv")
    assert "Somebody New" in table.read_text("utf-8")


@pytest.mark.parametrize(("wide", "entry"), [(1280, "12.5"), (390, "1e9"), (390, "7" * 300)])
def test_no_price_stands_beside_pieces_that_are_none(page, wide, entry):
    """The box is marked and described; the price is grey, said to be old, and not covered."""
    page.set_viewport_size({"width": wide, "height": 844})
    price = page.locator(".widget-html:has(> * > .plc-price)")
    box = enter(page, "Pieces", entry)
    answer = page.get_by_role("alert")
    answer.wait_for()
    assert answer.inner_text() == "Enter a whole number from 1 to 600, such as 36."
    assert box.input_value() == entry
    assert box.get_attribute("aria-invalid") == "true"
    described = page.locator(f"#{box.get_attribute('aria-describedby')}")
    assert described.inner_text() == answer.inner_text()
    says(page, "Not up to date: what is grey is for the entries before.")
    assert price.evaluate("e => getComputedStyle(e).opacity") == "0.3"
    covered = page.locator(".plc-total").bounding_box()
    said = answer.bounding_box()
    assert said["y"] + said["height"] <= covered["y"] or said["x"] + said["width"] <= covered["x"]
    assert page.evaluate("document.documentElement.scrollWidth") <= wide
    enter(page, "Pieces", "24")
    says(page, "24 × Structured twill cap")
    answer.wait_for(state="hidden")
    page.locator(".pl-old").first.wait_for(state="detached")
    assert box.get_attribute("aria-invalid") is None
    new, before = (page.get_by_role("button", name=name) for name in ("new", "made before"))
    assert new.first.get_attribute("aria-pressed") == "true"
    assert before.get_attribute("aria-pressed") == "false"


def test_a_wrong_entry_is_answered_beside_its_control(page):
    """In a sentence, under the control, with the last good price still there."""
    before = page.locator(".plc-price").inner_text()
    width = enter(page, "Width, in", "four")
    answer = page.get_by_role("alert")
    answer.wait_for()
    assert answer.inner_text() == "Enter a length such as 2.25, 2 1/4 or 57 mm."
    below = answer.bounding_box()["y"] - width.bounding_box()["y"]
    assert 0 < below < 70
    assert page.locator(".plc-price").inner_text() == before
    enter(page, "Width, in", "4")
    answer.wait_for(state="hidden")


def test_what_does_not_fit_is_drawn_and_answered(page):
    """Why, and what would, in the words and in the drawing; then it is made to fit."""
    enter(page, "Width, in", "6")
    says(page, "can be at most 5 in wide")
    page.locator("svg text", has_text="5 × 1.625 in would fit").wait_for(state="attached")
    enter(page, "Width, in", "4")
    page.locator(".plc-price").wait_for()
    page.get_by_label("Piece to decorate").select_option("Foam-front mesh cap")
    says(page, "more than Foam-front mesh cap bears")
    says(page, "In the size asked for: Moulded flexible patch")
    page.get_by_label("Piece to decorate").select_option("Structured twill cap")
    page.locator(".plc-price").wait_for()


def test_the_page_to_print_is_the_one_that_was_saved(page, shop):
    """Byte for byte; a second quote has the next number.

    Then a wage is raised while the page is open, and a third is saved from what it has read:
    taken over, all three cost what they cost before.
    """
    page.get_by_role("button", name="Save the quote").click()
    link = page.get_by_role("link", name="Open the page to print")
    link.wait_for()
    packed = link.get_attribute("href").removeprefix("data:application/pdf;base64,")
    (saved,) = shop.glob("quotes/*-01/*.pdf")
    assert base64.b64decode(packed) == saved.read_bytes()
    with page.expect_download() as download:
        link.click()
    assert download.value.suggested_filename == saved.name
    page.get_by_role("button", name="Save the quote").click()
    says(page, "-02 is saved")
    assert len(list(shop.glob("quotes/*/*.pdf"))) == 2
    assert [path for path in (shop / "quotes").iterdir() if path.name.startswith(".")] == []
    before = read_shop(shop).shop
    wages = (shop / "shop.csv").read_text("utf-8")
    (shop / "shop.csv").write_text(wages.replace("labour rate,26", "labour rate,52"), "utf-8")
    page.get_by_role("button", name="Save the quote").click()
    says(page, "-03 is saved")
    assert take_quotes(read_shop(shop), date(2027, 1, 31)) == (3, ())
    records = Records(shop)
    for number in records.quotes()["number"]:
        quote = records.quote(number)
        assert quote.lines == costs_on(before, quote, quote.made).why()
        assert quote.lines != costs_on(read_shop(shop).shop, quote, quote.made).why()


def test_the_shop_in_millimetres_with_tax_in_its_prices(visit, tmp_path):
    """36 × 35.95 = 1,294.20 and a set-up line; the tax is in the total, not on it."""
    folder = tmp_path / "shop"
    shutil.copytree(ROOT / "data" / "fjord-muetzen", folder)
    page = visit.page
    with launch.client_page(NOTEBOOK, folder) as served:
        page.goto(served.address)
        says(page, "in it 19 % value added tax")
        says(page, "€1,294.20")
        drawn(page, "80 × 45 mm fits")
        enter(page, "Height, mm", "2 in")
        drawn(page, "80 × 50.8 mm fits")


def test_a_shop_that_needs_mending_shows_a_client_nothing_of_it(visit, shop):
    """No file, no row, no traceback."""
    prices = shop / "blank_prices.csv"
    prices.write_text(prices.read_text("utf-8").replace("6.90", "6.9O"), "utf-8")
    page = visit.page
    with launch.client_page(NOTEBOOK, shop) as served:
        page.goto(served.address)
        says_so = page.get_by_text("This page cannot be shown yet")
        says_so.wait_for()
        for text in (page.content(), *visit.frames):
            assert "6.9O" not in text
            assert "blank_prices" not in text
            assert "Traceback" not in text
