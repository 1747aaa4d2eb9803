"""Figures are live: a panel looks at the tables before it draws or saves; what was typed stays."""

import shutil
from functools import partial

import pytest
from smallshop import FILES, write_shop
from twoblanks import two_blanks

from pricelab.files.folders import DEMO_SHOPS, KEEPS_VARIABLE
from pricelab.files.shop_folder import read_shop
from pricelab.screens.counter import open_counter
from pricelab.screens.intake import IntakePanel
from pricelab.screens.methods import MethodsPanel
from pricelab.screens.opening import opened
from pricelab.screens.price_list import PriceListPanel

CHANGED = "Your tables changed; figures are up to date ("


@pytest.fixture
def folder(tmp_path):
    return two_blanks(tmp_path / "shop")


def newest(panel):
    """The panel that is in another's place: the one whose boxes are on the screen."""
    return panel.stands_in or panel


def raise_wage(folder, wage="90"):
    path = folder / "shop.csv"
    path.write_text(path.read_text().replace("labour rate,30", f"labour rate,{wage}"))


def test_a_wage_that_was_changed_elsewhere_is_in_the_next_list(folder):
    """What the list asks is what a list that is opened now asks; the typed target stays."""
    panel = opened(PriceListPanel, folder)
    panel.target.set(45)
    before = panel.table.words
    raise_wage(folder)
    panel.floor.set(22)
    panel = newest(panel)
    assert CHANGED in str(panel)
    assert (panel.target.value, panel.floor.value) == (45, 22)
    fresh = opened(PriceListPanel, folder)
    fresh.target.set(45)
    fresh.floor.set(22)
    assert panel.table.words == fresh.table.words != before
    panel.floor.set(25)
    assert CHANGED not in str(panel)


def test_nothing_is_saved_that_is_of_the_tables_before(folder):
    """The press shows the new figures and says so; the next one saves them."""
    panel = opened(PriceListPanel, folder)
    raise_wage(folder)
    saved = (folder / "price_list.csv").read_bytes()
    panel.files[0].press()
    assert (folder / "price_list.csv").read_bytes() == saved
    panel = newest(panel)
    again = "Nothing was saved: look at them, and press again."
    assert CHANGED in panel.files[0].said.value
    assert again in panel.files[0].said.value
    assert "Saved in price_list.csv" in panel.files[0].press()
    (listed, *_) = read_shop(folder).price_lists
    new = panel.draft.judged.price_list
    assert listed.price(new.sizes, new.starts).tolist() == new.prices.tolist()
    panel.floor.set(22)  # its own save is no news to it
    assert panel.stands_in is None


def test_a_price_of_one_s_own_stays(folder):
    panel = opened(PriceListPanel, folder)
    panel.own.set("77.05")
    raise_wage(folder)
    panel.floor.set(22)
    assert newest(panel).draft.own.sum() == 1
    assert 77.05 in newest(panel).draft.judged.price_list.prices


def test_tables_that_need_mending_leave_what_is_shown_and_grey_it(folder):
    """Until they are in order again."""
    panel = opened(PriceListPanel, folder)
    whole = (folder / "shop.csv").read_text()
    (folder / "shop.csv").write_text(whole.replace("labour rate,30", "labour rate,x"))
    panel.floor.set(22)
    assert "Your tables changed and need fixing: notebook 0 says where." in str(panel)
    assert panel.table.old
    assert "Nothing was saved. Your tables changed and need fixing" in panel.files[0].press()
    (folder / "shop.csv").write_text(whole)
    panel.floor.set(23)
    assert newest(panel).floor.value == 23
    assert newest(panel) is not panel
    assert not newest(panel).table.old


def test_another_shop_that_is_opened_is_shown(tmp_path, monkeypatch):
    """As by notebook 7, which writes down which one."""
    monkeypatch.setenv("PRICELAB_SHOPS", str(tmp_path))
    for name, demo in zip(("one", "two"), DEMO_SHOPS, strict=True):
        shutil.copytree(demo, tmp_path / name)
    (tmp_path / "opened.txt").write_text("one")
    panel = opened(MethodsPanel)
    (tmp_path / "opened.txt").write_text("two")
    panel.pieces.set("36")
    assert "€" in newest(panel).table.words


def test_the_counter_in_the_workbook_asks_the_new_prices(folder, monkeypatch):
    """The client's own page stays with those it was opened on, whose tables are kept."""
    page = open_counter(folder)
    monkeypatch.setenv(KEEPS_VARIABLE, "tables")
    panel = open_counter(folder)
    panel.width.set("2")
    lists = (folder / "price_list.csv").read_text()
    (folder / "price_list.csv").write_text(lists.replace("9.90", "9.85"))
    panel.pieces.set("14")
    panel = newest(panel)
    assert "Prices are up to date (" in str(panel)
    assert "Your" not in panel._answer.words
    assert panel.pieces.value == 14
    assert "$9.85" in panel.price.words
    page.width.set("2")
    page.pieces.set("14")
    assert page.stands_in is None
    assert "$9.90" in page.price.words


def test_what_did_not_change_is_left_alone(tmp_path):
    panel = opened(partial(PriceListPanel), write_shop(tmp_path))
    (tmp_path / "shop.csv").write_text(FILES["shop.csv"])
    panel.floor.set(22)
    again = newest(panel)
    again.floor.set(23)
    assert again.stands_in is None


def test_a_pasted_sheet_can_be_read_where_the_tables_are_followed(folder):
    """The panel has a reader of its own."""
    panel = opened(IntakePanel, folder)
    panel.text.set("Longest side (in)\t12-23\t24+\nup to 2\t$4.10\t$3.20\n3\t$5.25\t$4.00")
    assert panel.mistake is None
    assert panel.cells.boxes
