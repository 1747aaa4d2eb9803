"""The owner's notebooks as they are met: in JupyterLab, by keyboard, on the demo shops."""

import shutil
from contextlib import ExitStack
from pathlib import Path

import pytest

from pricelab.app import launch
from pricelab.files.folders import NOTEBOOKS, ROOT
from pricelab.files.grid_file import read_grid

pytestmark = [pytest.mark.browser, pytest.mark.slow]

METHODS, BREAK_EVEN, BUYING = "3-methods.ipynb", "4-break-even.ipynb", "5-buying.ipynb"
JOBS, OWN_SHOP = "6-finished-jobs.ipynb", "7-own-shop.ipynb"
SHEET = Path(__file__).parents[1] / "sheets" / "13-letter-o.txt"


@pytest.fixture
def lab(visit, tmp_path):
    """Opens a notebook live on a copy of a demo shop, at the size of a small laptop."""
    with ExitStack() as served:

        def open_notebook(name: str, first: str, shop: str = "harbour-caps"):
            folder = shutil.copytree(ROOT / "data" / shop, tmp_path / shop)
            at = served.enter_context(launch.workbook(NOTEBOOKS, folder, name))
            visit.page.set_viewport_size({"width": 1280, "height": 800})
            visit.page.goto(at.address)
            visit.page.get_by_label(first, exact=True).first.wait_for()
            return visit.page, folder

        yield open_notebook


def picture(page, name):
    """A picture of the page."""
    return page.locator(f'svg[aria-labelledby="{name}-title"]').first


def until_title(page, name, part):
    """Wait for a picture's finding."""
    page.wait_for_function(
        "([id, part]) => document.getElementById(id)?.textContent.includes(part)",
        arg=[f"{name}-title", part],
    )


def until_said(page, words):
    """Wait for words on the page."""
    page.locator(".widget-html-content").get_by_text(words).first.wait_for()


def enter(page, label, words, key="Enter"):
    """Type over what a field holds."""
    field = page.get_by_label(label, exact=True).first
    field.focus()
    page.keyboard.press("ControlOrMeta+A")
    page.keyboard.type(words)
    page.keyboard.press(key)
    return field


def press(page, name):
    """Press a button by its key."""
    page.get_by_role("button", name=name).first.focus()
    page.keyboard.press("Enter")


def answered(page, field, words):
    """Wait for the answer to a wrong entry, which stands close under it."""
    answer = page.get_by_role("alert").filter(has_text=words)
    answer.wait_for()
    assert 0 <= answer.bounding_box()["y"] - field.bounding_box()["y"] < 60


@pytest.mark.parametrize(
    ("name", "first", "pictures", "width"),
    [
        (METHODS, "Pieces", ["methods-map"], 1280),
        (METHODS, "Pieces", ["methods-map"], 1024),
        (BREAK_EVEN, "Pieces a month", ["month-plan"], 1280),
        (
            *(JOBS, "Quotes for"),
            ["finished-waterfall", "finished-sizes", "times-fit", "response-expected"],
            1280,
        ),
    ],
)
def test_pictures_and_tables_fit_the_screen(lab, name, first, pictures, width):
    """Nothing is cut off at the right."""
    page, _ = lab(name, first)
    page.set_viewport_size({"width": width, "height": 768})
    page.wait_for_timeout(300)
    for each in pictures:
        box = picture(page, each).bounding_box()
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= width
    cut = page.evaluate(
        "[...document.querySelectorAll('.pl-panel .pl-wide')]"
        ".map(one => one.scrollWidth - one.clientWidth)"
    )
    assert max(cut) <= 2, "a table is cut off"


@pytest.mark.parametrize("shop", ["harbour-caps", "fjord-muetzen"])
def test_methods_are_compared_by_keyboard_alone(lab, shop):
    """A new quantity, a size in fractions, another goal, a slip answered and mended."""
    page, _ = lab(METHODS, "Pieces", shop)
    unit = "in" if shop == "harbour-caps" else "mm"
    before = picture(page, "methods-map").locator("title").first.text_content()
    enter(page, "Pieces", "150")
    until_said(page, "150 pieces of")
    page.wait_for_function(
        "before => document.getElementById('methods-map-title').textContent !== before", arg=before
    )
    enter(page, f"Width ({unit})", "2 1/4 in", "Tab")  # goes on to the height; the width is taken
    until_said(page, "2.25 ×" if unit == "in" else "57.15 ×")
    assert page.evaluate("document.activeElement.tagName") == "INPUT"
    field = enter(page, "Pieces", "a dozen")
    answered(page, field, "Enter a whole number of pieces")
    until_said(page, "150 pieces of")  # the last good result stays
    enter(page, "Pieces", "24")
    until_said(page, "24 pieces of")
    assert page.get_by_role("alert").count() == 0
    press(page, "price to the client")
    until_title(page, "methods-map", "is cheapest to the client here")


def test_the_order_answers_the_keyboard_and_long_draws_can_be_stopped(lab):
    page, _ = lab(BREAK_EVEN, "Margin of at least, %")
    until_title(page, "order-earning", "earns a margin of 42 % first at 6 pieces")
    enter(page, "Margin of at least, %", "30")
    until_title(page, "order-earning", "every quantity that is sold earns a margin of 30 %")
    answered(page, enter(page, "Pieces", "none"), "Enter a whole number of pieces")
    enter(page, "Pieces", "30")
    until_title(page, "order-profits", "30 pieces")
    assert page.get_by_role("alert").count() == 0

    page.get_by_role("button", name="Draw 5,000,000 times").first.click()
    page.get_by_role("button", name="Stop").first.click()
    done = page.get_by_role("status").filter(has_text="draws: the chance of a loss is")
    done.wait_for()
    assert 0 < int(done.text_content().split()[0].replace(",", "")) <= 5_000_000
    assert page.get_by_role("button", name="Draw 5,000,000 times").first.is_enabled()


def test_the_month_and_the_machine_follow_their_controls(lab):
    page, _ = lab(BREAK_EVEN, "Income tax, %", "fjord-muetzen")
    until_title(page, "month-plan", "€")
    enter(page, "Pieces a month", "70")
    until_title(page, "month-plan", "70 pieces a month lose")
    enter(page, "Pieces a year", "300")
    until_title(page, "press-payback", "does not pay back")


def test_buying_orders_up_and_a_supplier_s_change_is_judged(lab):
    page, _ = lab(BUYING, "Good pieces")
    page.get_by_text("50 would cost $22.80 less than 48. Order up.").first.wait_for()
    page.get_by_role("button", name="buy it").first.click()
    page.get_by_text("ordering up saves $22.80.").first.wait_for()
    enter(page, "All prices by, %", "0")
    page.get_by_text("every price that held still holds").first.wait_for()
    enter(page, "Pieces a year", "0")
    page.get_by_role("alert").filter(has_text="nothing to stock").wait_for()


def test_finished_jobs_are_read_accepted_and_noted_by_keyboard_alone(lab):
    """Jobs by client, one method's times accepted, and a method with too few quotes refused."""
    page, shop = lab(JOBS, "Quotes for")

    def pick(label, letters):
        page.get_by_label(label).first.focus()
        page.keyboard.type(letters)

    pick("Sum up by", "Cl")
    until_said(page, "Grindle Family Reunion: profit an hour of the bottleneck $390.01, the best")
    pick("Method", "Cut")
    until_said(page, "Cut vinyl, pressed on, minutes an order: your files say 25")
    press(page, "minutes a piece")
    until_said(page, "Cut vinyl, pressed on, minutes a piece: your files say 2.31")
    press(page, "Accept: write these figures")
    page.get_by_role("status").filter(has_text="Written into operations.csv.").wait_for()
    until_said(page, "Accepted so far")
    assert "vinyl,weed,1.63," in (shop / "operations.csv").read_text()
    pick("Quotes for", "Raised")
    until_said(page, "6 quotes were won and 8 lost")
    picture(page, "response-chance").wait_for(state="detached")
    page.get_by_label("Job number").first.fill("H9001")
    press(page, "Note this job")
    page.get_by_role("status").filter(has_text="Job H9001 is noted.").wait_for()
    until_said(page, "405 finished jobs.")  # in the table at the top: it follows


def test_a_suppliers_sheet_is_pasted_mended_and_saved(lab):
    """Two cells hold a letter O; the file saved holds what was typed for them."""
    page, shop = lab(OWN_SHOP, "Paste a supplier's price table, or choose its file")
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
