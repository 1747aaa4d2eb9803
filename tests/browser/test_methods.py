"""The methods notebook as its owner meets it: in JupyterLab, by keyboard, on both demo shops."""

import shutil

import pytest

from pricelab.app import launch
from pricelab.files.folders import NOTEBOOKS, ROOT

pytestmark = [pytest.mark.browser, pytest.mark.slow]

NOTEBOOK = "3-methods.ipynb"
TITLE = "document.querySelector('svg[aria-labelledby=methods-map-title] title')"


@pytest.fixture(params=["harbour-caps", "fjord-muetzen"])
def opened(request, visit, tmp_path):
    """The notebook, live on a copy of a demo shop."""
    shop = shutil.copytree(ROOT / "data" / request.param, tmp_path / request.param)
    with launch.workbook(NOTEBOOKS, shop, NOTEBOOK) as served:
        visit.page.goto(served.address)
        visit.page.get_by_label("Pieces", exact=True).first.wait_for()
        yield visit.page, request.param


def _map(page):
    return page.locator('svg[aria-labelledby="methods-map-title"]').first


def _said(page, words):
    page.locator(".widget-html-content").get_by_text(words).first.wait_for()


def test_it_is_used_by_keyboard_alone_and_answers_wrong_entries(opened):
    """A new quantity, a size in fractions, another goal, a slip answered and mended."""
    page, shop = opened
    unit = "in" if shop == "harbour-caps" else "mm"
    field = page.get_by_label("Pieces", exact=True).first
    before = _map(page).locator("title").first.text_content()
    field.focus()
    page.keyboard.press("ControlOrMeta+A")
    page.keyboard.type("150")
    page.keyboard.press("Enter")
    _said(page, "150 pieces of")
    page.wait_for_function(f"before => {TITLE}.textContent !== before", arg=before)

    page.get_by_label(f"Width ({unit})").first.focus()
    page.keyboard.press("ControlOrMeta+A")
    page.keyboard.type("2 1/4 in")
    page.keyboard.press("Tab")  # goes on to the height, and the width is taken
    _said(page, "2.25 ×" if unit == "in" else "57.15 ×")
    assert page.evaluate("document.activeElement.tagName") == "INPUT"

    field.focus()
    page.keyboard.press("ControlOrMeta+A")
    page.keyboard.type("a dozen")
    page.keyboard.press("Enter")
    answer = page.get_by_role("alert").filter(has_text="Enter a whole number of pieces")
    answer.wait_for()
    under = (
        "(answer, field) => answer.getBoundingClientRect().top - field.getBoundingClientRect().top"
    )
    assert 0 <= answer.evaluate(under, field.element_handle()) < 60
    _said(page, "150 pieces of")  # the last good result stays
    page.keyboard.press("ControlOrMeta+A")
    page.keyboard.type("24")
    page.keyboard.press("Enter")
    _said(page, "24 pieces of")
    assert page.get_by_role("alert").count() == 0

    goal = page.get_by_role("button", name="price to the client").first
    goal.focus()
    page.keyboard.press("Enter")
    page.wait_for_function(f"{TITLE}.textContent.includes('is cheapest to the client here')")


@pytest.mark.parametrize("size", [(1280, 800), (1024, 768)])
def test_map_and_controls_fit_the_screen_together(visit, size, tmp_path):
    """Nothing is cut off at the right, and the map is in sight without scrolling far."""
    page = visit.page
    page.set_viewport_size({"width": size[0], "height": size[1]})
    shop = shutil.copytree(ROOT / "data" / "harbour-caps", tmp_path / "shop")
    with launch.workbook(NOTEBOOKS, shop, NOTEBOOK) as served:
        page.goto(served.address)
        page.get_by_label("Pieces", exact=True).first.wait_for()
        box = _map(page).bounding_box()
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= size[0]
        wide = page.evaluate(
            "[...document.querySelectorAll('.pl-panel .pl-wide')].slice(0, 2)"
            ".map(one => one.scrollWidth - one.clientWidth)"
        )
        assert max(wide) <= 2, "a table is cut off"
