"""The owner's price list as it is seen and worked in a browser, by keyboard alone."""

import shutil

import pytest

from pricelab.app import launch
from pricelab.files.folders import DEMO_SHOP, NOTEBOOKS

pytestmark = [pytest.mark.browser, pytest.mark.slow]

PAGE = ".jp-WindowedPanel-outer"
PANEL = ".pl-panel.widget-vbox"


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    """A copy of the demo shop, which may be saved to."""
    return shutil.copytree(DEMO_SHOP, tmp_path_factory.mktemp("shops") / "harbour-caps")


@pytest.fixture(scope="module")
def served(shop):
    """The workbook, opened at the price list."""
    with launch.workbook(NOTEBOOKS, shop, "1-price-list.ipynb") as served:
        yield served


@pytest.fixture
def page(visit, served):
    """The price list, live."""
    said = []
    visit.page.on("pageerror", lambda error: said.append(str(error)))
    visit.page.set_viewport_size({"width": 1280, "height": 800})
    visit.page.goto(served.address)
    visit.page.locator(PANEL).get_by_label("Target margin, %").wait_for()
    visit.page.locator(f"{PANEL} svg.pl-picture").first.wait_for()
    yield visit.page
    assert said == [], "errors in the page"


def prices(page):
    """The prices of the list as shown."""
    return page.locator(f"{PANEL} .pl-prices b").all_text_contents()


def place(page, selector):
    """Where a part of the panel stands on the screen."""
    return page.locator(f"{PANEL} {selector}").first.bounding_box()


@pytest.mark.parametrize(("width", "height"), [(1280, 800), (1024, 768)])
def test_everything_has_its_place_on_a_laptop_and_on_a_tablet(page, width, height):
    """Nothing runs over the right edge; the list's first rows are on the first screen."""
    page.set_viewport_size({"width": width, "height": height})
    page.wait_for_timeout(300)
    over = page.evaluate(
        """([outer, panel]) => {
            const right = document.querySelector(outer).getBoundingClientRect().right
            const answers = ".pl-control > .widget-html, .pl-control > .widget-html *"
            const inside = document.querySelectorAll(`${panel} *:not(${answers})`)
            return [...inside].filter((e) => e.getBoundingClientRect().right > right + 1
                && e.getBoundingClientRect().width > 0).map((e) => e.className)
        }""",
        [PAGE, PANEL],
    )
    assert over == []
    first = place(page, ".pl-prices tbody tr")
    assert first["y"] + first["height"] < height
    picture = page.locator(f"{PANEL} svg.pl-picture").first
    assert picture.bounding_box()["width"] > 700


def test_each_control_has_a_name_that_its_label_gives(page):
    """A screen reader says what stands over the entry."""
    panel = page.locator(PANEL)
    for label in (
        "Method", "Blank", "Size bands, up to (in)", "Target margin, %", "Floor margin, %",
        "Prices go up to", "How many tiers", "Tiers start at", "Smallest order", "Size", "Pieces",
        "Findings: choose one to see its cell",
    ):  # fmt: skip
        assert panel.get_by_label(label, exact=True).count() == 1, label
    picture = panel.get_by_role("img", name="every step holds")
    assert picture.count() == 1


def test_a_key_changes_the_list_and_nothing_jumps(page):
    """One step of the arrow key: other prices, at the same place of the screen."""
    target = page.get_by_label("Target margin, %")
    target.focus()
    before, at = prices(page), place(page, ".pl-prices")
    page.keyboard.press("ArrowUp")
    page.wait_for_function(
        "(was) => document.querySelector('.pl-panel .pl-prices b').textContent !== was",
        arg=before[0],
    )
    assert target.input_value() == "42.5"
    assert place(page, ".pl-prices") == at
    assert target.evaluate("(entry) => entry === document.activeElement")


def test_a_wrong_entry_is_answered_beside_it_and_moves_nothing(page):
    """In a sentence that can be read where it stands; the list stays until it is mended."""
    sizes = page.get_by_label("Size bands, up to (in)")
    before, at = prices(page), place(page, ".pl-prices")
    sizes.fill("2, two")
    sizes.press("Enter")
    answer = page.get_by_role("alert")
    answer.wait_for()
    assert answer.text_content() == (
        "Enter sizes that rise, with a comma and a space between, such as 2, 2.5, 3."
    )
    entry, box = sizes.bounding_box(), answer.bounding_box()
    assert 0 <= box["y"] - (entry["y"] + entry["height"]) < 30
    assert box["x"] < entry["x"] + entry["width"]
    assert entry["x"] < box["x"] + box["width"]
    assert (prices(page), place(page, ".pl-prices")) == (before, at)
    assert sizes.get_attribute("aria-invalid") == "true"
    table = page.locator(".widget-html:has(> * > .pl-wide > .pl-prices)")
    assert table.evaluate("e => e.classList.contains('pl-old')")
    page.get_by_text("Not up to date: what is grey is for the entries before.").wait_for()
    sizes.fill("2, 2 1/2")
    sizes.press("Enter")
    page.get_by_role("alert").wait_for(state="detached")
    page.wait_for_function(
        "() => document.querySelectorAll('.pl-panel .pl-prices tbody tr').length === 2"
    )


def test_findings_and_reasons_are_reached_by_keyboard(page):
    """Today's list, its worst finding, the cell it is about, and every line of its cost."""
    page.get_by_role("button", name="today's list").focus()
    page.keyboard.press("Enter")
    page.locator(f"{PANEL} .pl-finding").get_by_text("do not hold").wait_for()
    found = page.get_by_label("Findings: choose one to see its cell")
    found.focus()
    page.keyboard.press("ArrowDown")
    page.locator(f"{PANEL} .pl-here.pl-fails").wait_for()
    assert "▼" in page.locator(f"{PANEL} .pl-here").text_content()
    page.locator(f"{PANEL} li").get_by_text("charge $").wait_for()
    page.keyboard.press("ArrowDown")
    page.locator(f"{PANEL} tr:nth-child(2) .pl-here").wait_for()
    page.get_by_label("show every line of the cost sheet").focus()
    page.keyboard.press("Space")
    page.locator(f"{PANEL} .pl-table").get_by_text("blank_prices.csv, row").first.wait_for()


def test_the_list_is_saved_by_a_click(page, shop):
    """Into the shop's folder, and as clients get it."""
    page.get_by_role("button", name="Save as my shop's list").click()
    page.get_by_role("status").get_by_text("Saved in price_list.csv").wait_for()
    page.get_by_role("button", name="Save PDF for clients").click()
    page.get_by_role("status").get_by_text("Saved in your shop's folder").wait_for()
    assert (shop / "for-clients/leather-structured-twill-price-list.pdf").is_file()
