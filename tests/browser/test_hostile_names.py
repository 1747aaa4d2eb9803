"""A shop whose every name is markup, in a real browser: shown as text, nothing of it is run."""

import pytest
from hostile_names import NAMES, hostile_shop

from pricelab.app import launch
from pricelab.files.folders import NOTEBOOKS

pytestmark = [pytest.mark.browser, pytest.mark.slow]

NAME = NAMES["script"] + NAMES["image"].replace("alert(1)", "window.ran=1") + NAMES["markdown"]
PLANTED = """
() => [...document.querySelectorAll('script, img, a')].filter(
    (one) => /alert|javascript:|window\\.ran/.test(one.outerHTML) && !one.closest('code')
).map((one) => one.outerHTML.slice(0, 200))
"""


@pytest.fixture
def page(visit):
    """A tab that keeps what was asked of its reader."""
    visit.asked = []
    visit.page.on("dialog", lambda dialog: (visit.asked.append(dialog.message), dialog.dismiss()))
    return visit.page


@pytest.mark.parametrize("who", ["client", "owner"])
def test_nothing_that_a_name_says_is_run(who, visit, page, tmp_path):
    """On the client's page and in the notebook on methods; the name is read there as it is."""
    shop = hostile_shop(tmp_path / "shop", NAME).folder
    if who == "client":
        served = launch.client_page(NOTEBOOKS / "2-quantity-breaks.ipynb", shop)
    else:
        served = launch.workbook(NOTEBOOKS, shop, "3-methods.ipynb")
    with served as at:
        page.goto(at.address)
        page.get_by_label("Pieces", exact=True).first.wait_for()
        page.get_by_text(NAME).first.wait_for(state="attached")
        page.wait_for_timeout(500)  # whatever would be run has been
        assert visit.asked == []
        assert page.evaluate("window.ran") is None
        assert page.evaluate(PLANTED) == []
