"""Which shop is open, opening another, and starting one of one's own."""

import pytest

from pricelab.files.folders import DEMO_SHOP, DEMO_SHOPS, SHOP_VARIABLE, SHOPS_VARIABLE, shop_folder
from pricelab.files.shop_folder import read_shop
from pricelab.screens.intake import IntakePanel
from pricelab.screens.opening import FaultsPanel
from pricelab.screens.own_shop import GO_ON, OPEN, START, WHOLE, OwnShopPanel
from pricelab.screens.shop_tables import TablesPanel

FJORD = read_shop(DEMO_SHOPS[1]).shop


@pytest.fixture(autouse=True)
def shops(tmp_path, monkeypatch):
    """A place for one's own shops, still empty."""
    monkeypatch.delenv(SHOP_VARIABLE, raising=False)
    monkeypatch.setenv(SHOPS_VARIABLE, str(tmp_path / "shops"))
    return tmp_path / "shops"


def started(name="Corner Caps", methods=("leather",)) -> OwnShopPanel:
    """The panel after a shop was started."""
    panel = OwnShopPanel()
    panel.name.set(name)
    for method in methods:
        panel.methods[method].set(True)
    panel.start.press()
    return panel


def seen(panel) -> set[str]:
    """The labels of the controls in sight."""
    return {c.label for c in panel.controls if c.box.layout.display != "none"}


def test_at_first_the_shop_is_the_invented_one_and_one_is_asked_for_ones_own():
    """With only what is needed to start it."""
    panel = OwnShopPanel()
    assert str(panel).startswith("The shop worked out here is Harbour Caps, which is invented.\n")
    assert panel.want.value == START
    assert "Name of your shop" in seen(panel)
    assert "Shop" not in seen(panel)
    panel.want.set(GO_ON)
    assert seen(panel) == {"I want to"}
    assert panel.mistake is None


def test_a_shop_is_started_and_is_the_one_worked_on_from_then(shops):
    """What is left over from the invented shop is counted, table by table."""
    panel = started()
    assert shop_folder() == shops / "Corner Caps"
    assert panel.news.words == (
        f"Started {shops / 'Corner Caps'}. Corner Caps is open from now on. "
        "Other notebooks that are open take it with the next thing you change in them."
    )
    assert panel.want.value == GO_ON
    assert panel.told.words.splitlines() == [
        "Rates and rules (shop.csv): 6 to be replaced",
        "Blanks (blanks.csv): 3 to be replaced",
        "What blanks cost (blank_prices.csv): 15 to be replaced",
        "Methods (methods.csv): 1 to be replaced",
        "Minutes of work (operations.csv): 7 to be replaced",
        "Other costs (costs.csv): 14 to be replaced",
        "A supplier's grid (grids/leather-patches.csv): 1 to be replaced",
    ]
    again = OwnShopPanel()
    assert again.which.words.startswith("The shop worked out here is yours: Corner Caps.\n")
    assert again.want.value == GO_ON
    assert panel.mistake is again.mistake is None


def test_units_bring_their_usual_currency_and_decimal_mark(shops):
    """Until another is typed."""
    panel = OwnShopPanel()
    panel.unit.set(DEMO_SHOPS[1])
    assert (panel.currency.value, panel.decimals.value) == ("EUR", ",")
    assert "Raised embroidery over foam, own machine" not in seen(panel)
    panel.currency.set("chf")
    panel.decimals.set(".")
    panel.methods["raised"].set(True)  # out of sight, and not of this shop
    panel.methods["vinyl"].set(True)
    panel.name.set("Mützen")
    panel.start.press()
    shop = read_shop(shops / "Mützen").shop
    assert (shop.currency, shop.unit, list(shop.methods)) == ("CHF", "mm", ["vinyl"])
    assert ";" not in (shops / "Mützen" / "rolls.csv").read_text("utf-8")
    assert shop.methods["vinyl"].roll.price == FJORD.methods["vinyl"].roll.price


def test_what_will_not_do_is_said_beside_the_button(shops):
    """And nothing is started."""
    panel = started("Corner/Caps")
    assert "expected a name that can be a folder" in panel.start.said.value
    panel.name.set("Corner Caps")
    panel.currency.set("dollar")
    assert "Nothing was started." in panel.start.press()
    assert not shops.exists()
    assert shop_folder() == DEMO_SHOP


def test_a_whole_copy_to_try_out_is_told_by_its_notice(shops):
    """It has lists and jobs, which a start from rows has not."""
    panel = OwnShopPanel()
    panel.begin.set(WHOLE)
    assert "Currency" not in seen(panel)
    panel.name.set("To try out")
    panel.start.press()
    folder = read_shop(shops / "To try out")
    assert folder.shop.notice.startswith("Invented demonstration data")
    assert len(folder.price_lists) > 10


def test_other_panels_follow_to_the_shop_that_is_opened(shops):
    """Tables and intake are made anew, on its folder; the invented one can be opened again."""
    panel = OwnShopPanel()
    tables, intake = panel.following(TablesPanel), panel.opening(IntakePanel)
    shown = tables.root.children
    panel.name.set("Corner Caps")
    panel.methods["leather"].set(True)
    panel.start.press()
    assert tables.root.children != shown
    assert "6 rows, tinted, are still to be replaced" in str(tables)
    assert intake.panel._folder.folder == shops / "Corner Caps"
    panel.want.set(OPEN)
    assert [words for words, _ in panel.shop.widget.options] == [
        "Corner Caps", "Harbour Caps, invented (inches)", "Fjord Mützen, invented (millimetres)",
    ]  # fmt: skip
    panel.shop.set(DEMO_SHOPS[1])
    panel.open.press()
    assert panel.which.words.startswith("The shop worked out here is Fjord Mützen")
    assert "EUR" in tables.html()


def test_changes_that_are_not_saved_wait_while_another_shop_is_open(shops):
    """Once they are saved, what is left to be replaced is counted anew."""
    panel = started()
    tables = panel.following(TablesPanel)
    names = [name for name, _ in tables.panel._edits.settings()]
    tables.panel.cells.put(names.index("labour rate"), 1, "31")
    for folder in (DEMO_SHOP, shops / "Corner Caps"):
        panel.shop.set(folder)
        panel.open.press()
    assert "What you typed before and did not save is back: shop.csv." in str(tables)
    tables.panel.save.press()
    assert "Rates and rules (shop.csv): 5 to be replaced" in panel.told.words
    assert read_shop(shops / "Corner Caps").shop.rates.labour == 31


def test_a_workbook_opened_with_shop_stays_on_it(shops, tmp_path, monkeypatch):
    """The choice counts the next time, and says so."""
    panel = started()
    monkeypatch.setenv(SHOP_VARIABLE, str(DEMO_SHOP))
    panel.shop.set(DEMO_SHOPS[1])
    panel.open.press()
    assert panel.news.words == (
        "fjord-muetzen is opened next time. Until this workbook is stopped it stays on "
        "data/harbour-caps, which it was started with by --shop."
    )
    assert "Harbour Caps" in panel.which.words


def test_a_shop_that_is_gone_or_faulty_is_told(shops):
    """The tables open on a faulty one, to mend it; another can be chosen."""
    panel = started()
    path = shops / "Corner Caps" / "shop.csv"
    path.write_text(path.read_text().replace("labour rate,26", "labour rate,x"))
    panel = OwnShopPanel()
    assert "One thing in them must be mended before anything can be worked out." in str(panel)
    tables, intake = panel.following(TablesPanel), panel.opening(IntakePanel)
    assert 'found "x", expected an amount' in str(tables)
    assert isinstance(intake.panel, FaultsPanel)
    (shops / "Corner Caps").rename(shops / "Moved")
    panel = OwnShopPanel()
    assert panel.which.words.startswith(f'There is no folder "{shops / "Corner Caps"}" any more')
    assert isinstance(panel.following(TablesPanel).panel, FaultsPanel)
    panel.shop.set(shops / "Moved")
    panel.open.press()
    assert shop_folder() == shops / "Moved"
