"""The notebook on finished jobs as its owner meets it: in JupyterLab, by keyboard."""

import shutil

import pytest

from pricelab.app import launch
from pricelab.files.folders import NOTEBOOKS, ROOT

pytestmark = [pytest.mark.browser, pytest.mark.slow]

NOTEBOOK = "6-finished-jobs.ipynb"
LAST = 'svg[aria-labelledby="response-chance-title"]'


@pytest.fixture
def opened(visit, tmp_path):
    """The notebook, live on a copy of the demo shop, and the copy's folder."""
    shop = shutil.copytree(ROOT / "data" / "harbour-caps", tmp_path / "shop")
    visit.page.set_viewport_size({"width": 1280, "height": 800})
    with launch.workbook(NOTEBOOKS, shop, NOTEBOOK) as served:
        visit.page.goto(served.address)
        visit.page.get_by_label("Quotes for").first.wait_for()
        yield visit.page, shop


def _pick(page, label, letters):
    """Choose from a list by its first letters, as people do."""
    page.get_by_label(label).first.focus()
    page.keyboard.type(letters)


def _said(page, words):
    page.locator(".widget-html-content").get_by_text(words).first.wait_for()


def test_it_is_used_by_keyboard_alone_and_writes_what_is_accepted(opened):
    """Jobs by client, one method's times accepted, and a method with too few quotes refused."""
    page, shop = opened
    _pick(page, "Sum up by", "Cl")
    _said(page, "Grindle Family Reunion: profit an hour of the bottleneck $391.76, the best")

    _pick(page, "Method", "Cut")
    _said(page, "Cut vinyl, pressed on, minutes an order: your files say 25")
    page.get_by_role("button", name="minutes a piece").first.focus()
    page.keyboard.press("Enter")
    _said(page, "Cut vinyl, pressed on, minutes a piece: your files say 2.31")
    page.get_by_role("button", name="Accept: write these figures").first.focus()
    page.keyboard.press("Enter")
    page.get_by_role("status").filter(has_text="Written into operations.csv.").wait_for()
    _said(page, "Accepted so far")
    assert "vinyl,weed,1.63," in (shop / "operations.csv").read_text()

    _pick(page, "Quotes for", "Raised")
    _said(page, "6 quotes were won and 8 lost")
    page.wait_for_function("name => !document.querySelector(name)", arg=LAST)

    page.get_by_label("Job number").first.fill("H9001")
    page.get_by_role("button", name="Note this job").first.focus()
    page.keyboard.press("Enter")
    page.get_by_role("status").filter(has_text="Job H9001 is noted.").wait_for()
    _said(page, "405 finished jobs.")  # in the table at the top: it follows


def test_pictures_and_tables_fit_the_screen(opened):
    """Nothing is cut off at the right."""
    page, _ = opened
    for name in ("finished-waterfall", "finished-sizes", "times-fit", "response-expected"):
        box = page.locator(f'svg[aria-labelledby="{name}-title"]').first.bounding_box()
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= 1280
    cut = page.evaluate(
        "[...document.querySelectorAll('.pl-panel .pl-wide')]"
        ".map(one => one.scrollWidth - one.clientWidth)"
    )
    assert max(cut) <= 2, "a table is cut off"
