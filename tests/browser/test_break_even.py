"""The notebooks on break-even and buying as their owner meets them: in JupyterLab, by keyboard."""

import shutil

import pytest

from pricelab.app import launch
from pricelab.files.folders import NOTEBOOKS, ROOT

pytestmark = [pytest.mark.browser, pytest.mark.slow]

SHOP = ROOT / "data" / "harbour-caps"


@pytest.fixture
def lab(visit, tmp_path):
    """Opens a notebook live on a copy of the demo shop, at the size of a small laptop."""
    served = []

    def open_notebook(name: str, first: str, shop=SHOP):
        shop = shutil.copytree(shop, tmp_path / shop.name)
        served.append(launch.workbook(NOTEBOOKS, shop, name))
        visit.page.set_viewport_size({"width": 1280, "height": 800})
        visit.page.goto(served[-1].__enter__().address)
        visit.page.get_by_label(first, exact=True).first.wait_for()
        return visit.page

    yield open_notebook
    for one in served:
        one.__exit__(None, None, None)


def title(page, name):
    """The finding of a picture on the page."""
    return page.locator(f"#{name}-title").first.text_content()


def until_title(page, name, part):
    """Wait for a picture's finding."""
    page.wait_for_function(
        "([id, part]) => document.getElementById(id)?.textContent.includes(part)",
        arg=[f"{name}-title", part],
    )


def enter(page, label, words, nth=0):
    """Type over what a field holds."""
    field = page.get_by_label(label, exact=True).nth(nth)
    field.focus()
    page.keyboard.press("ControlOrMeta+A")
    page.keyboard.type(words)
    page.keyboard.press("Enter")
    return field


def test_the_order_answers_the_keyboard_and_long_draws_can_be_stopped(lab):
    page = lab("4-break-even.ipynb", "Margin of at least, %")
    assert "earns a margin of 42 % first at 6 pieces" in title(page, "order-earning")
    enter(page, "Margin of at least, %", "30")
    until_title(page, "order-earning", "every quantity that is sold earns a margin of 30 %")

    field = enter(page, "Pieces", "none")
    answer = page.get_by_role("alert").filter(has_text="Enter a whole number of pieces")
    answer.wait_for()
    assert 0 <= answer.bounding_box()["y"] - field.bounding_box()["y"] < 60
    enter(page, "Pieces", "30")
    until_title(page, "order-profits", "30 pieces")
    assert page.get_by_role("alert").count() == 0

    page.get_by_role("button", name="Draw 5,000,000 times").first.click()
    page.get_by_role("button", name="Stop").first.click()
    done = page.get_by_role("status").filter(has_text="draws: the chance of a loss is")
    done.wait_for()
    drawn = int(done.text_content().split()[0].replace(",", ""))
    assert 0 < drawn <= 5_000_000
    assert page.get_by_role("button", name="Draw 5,000,000 times").first.is_enabled()


def test_the_month_and_the_machine_follow_their_controls(lab):
    page = lab("4-break-even.ipynb", "Pieces a month")
    enter(page, "Pieces a month", "700")
    until_title(page, "month-plan", "700 pieces a month lose")
    enter(page, "Pieces a year", "300")
    until_title(page, "press-payback", "does not pay back")
    alone = page.evaluate(
        "[...document.querySelectorAll('.pl-panel .pl-wide')]"
        ".map(one => one.scrollWidth - one.clientWidth)"
    )
    assert max(alone) <= 2, "a table is cut off"


def test_buying_orders_up_and_a_supplier_s_change_is_judged(lab):
    page = lab("5-buying.ipynb", "Good pieces")
    page.get_by_text("50 would cost $22.80 less than 48. Order up.").first.wait_for()
    page.get_by_role("button", name="buy it").first.click()
    page.get_by_text("ordering up saves $22.80.").first.wait_for()
    enter(page, "All prices by, %", "0")
    page.get_by_text("every price that held still holds").first.wait_for()
    enter(page, "Pieces a year", "0")
    page.get_by_role("alert").filter(has_text="nothing to stock").wait_for()


def test_the_other_demo_shop_opens_both(lab):
    shop = ROOT / "data" / "fjord-muetzen"
    page = lab("4-break-even.ipynb", "Income tax, %", shop)
    assert "€" in title(page, "month-plan")
