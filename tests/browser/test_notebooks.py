"""The workbook and the client's page as a browser meets them, on a notebook made for the test."""

import pytest
from oddplaces import NAME

from pricelab.app import launch
from pricelab.files.folders import SHOP_VARIABLE

pytestmark = [pytest.mark.browser, pytest.mark.slow]


def _cells(name, link="other.ipynb"):
    """A notebook that notes each of its runs, and the shop it was told of, in runs.txt."""
    return (
        f"# Sample\n\nA piece is \\$5. [The next one]({link})",
        "import ipywidgets, os, pathlib",
        f"pieces = ipywidgets.IntText(12, description='Pieces of {name}')\n"
        f"said = ipywidgets.HTML('Dear client: 12 of {name}')\n"
        "pieces.observe(lambda change: setattr(said, 'value', f'Now {change.new}'), 'value')\n"
        "ipywidgets.VBox([pieces, said])",
        "runs = pathlib.Path('runs.txt').open('a')\n"
        f"print('{name}', os.environ['{SHOP_VARIABLE}'], file=runs, flush=True)",
    )


def _said(page):
    return page.locator(".widget-html-content")


def test_the_workbook_is_live_when_it_is_opened_and_runs_once(visit, write_notebook, tmp_path):
    """No click; the shop reaches the kernel; the file keeps what it was; nothing asked outside."""
    books = tmp_path / NAME / "books"
    start = write_notebook(books / "start.ipynb", *_cells("start"))
    write_notebook(books / "other.ipynb", *_cells("other", "third.ipynb"), run_on_open=False)
    write_notebook(books / "third.ipynb", *_cells("third"))
    shop = tmp_path / NAME / "shop"
    shop.mkdir()
    before = start.read_bytes()
    with launch.workbook(books, shop, start.name) as served:
        page = visit.page
        page.goto(served.address)
        _said(page).get_by_text("Dear client: 12 of start").wait_for()
        page.get_by_label("Pieces of start").fill("13")
        page.get_by_label("Pieces of start").press("Enter")
        _said(page).get_by_text("Now 13").wait_for()
        page.get_by_role("link", name="The next one").click()
        page.locator("a[href*='third.ipynb']").wait_for()
        other = page.locator(".jp-NotebookPanel:not(.lm-mod-hidden)")
        other.locator(".jp-Notebook-ExecutionIndicator[data-status=idle]").wait_for()
        page.locator("a[href*='third.ipynb']").click()
        _said(page).get_by_text("Dear client: 12 of third").wait_for()
        assert page.locator(".jp-Dialog").count() == 0
    runs = (books / "runs.txt").read_text().splitlines()
    assert runs == [f"start {shop}", f"third {shop}"]
    assert start.read_bytes() == before


def test_the_client_page_is_live_and_shows_no_code(visit, write_notebook, tmp_path):
    """Neither the page's source nor its messages carry a line of the notebook's code."""
    page = write_notebook(tmp_path / NAME / "page.ipynb", *_cells("page"))
    with launch.client_page(page, tmp_path) as served:
        tab = visit.page
        tab.goto(served.address)
        _said(tab).get_by_text("Dear client: 12 of page").wait_for()
        tab.get_by_label("Pieces of page").fill("13")
        tab.get_by_label("Pieces of page").press("Enter")
        _said(tab).get_by_text("Now 13").wait_for()
        assert visit.frames
        for text in (tab.content(), *visit.frames):
            assert "import ipywidgets" not in text
            assert "runs.txt" not in text
            assert str(tmp_path) not in text
