"""The first screen says whose files are read, and what is worth a look in them."""

import pytest

from pricelab.files.folders import DEMO_SHOP, SHOPS_VARIABLE
from pricelab.files.new_shop import start_shop
from pricelab.files.shop_folder import read_shop
from pricelab.screens.start import StartPanel


@pytest.fixture
def panel(folder):
    """The panel on the small shop."""
    return StartPanel(read_shop(folder))


def test_a_shop_in_order_is_told_with_what_was_read(panel):
    """By counts, and with the notice of an invented shop."""
    assert panel.check.words.splitlines() == [
        "Small Shop: your files are in order.",
        "Read: 1 method, 1 blank, 1 price list, 2 finished jobs. Nothing in them looks odd.",
        "Invented for a test.",
    ]
    assert panel.mistake is None


def test_figures_left_over_from_an_invented_shop_are_told_in_one_sentence(tmp_path, monkeypatch):
    """Of whatever tables they are, as they are read; another warning stands beside."""
    monkeypatch.setenv(SHOPS_VARIABLE, str(tmp_path))
    folder = start_shop("Corner Caps", DEMO_SHOP, "USD", ("leather",))
    (folder / "blank_price.csv").write_text("left,over\n")
    said = StartPanel(read_shop(folder)).check.words.splitlines()
    assert said[1].endswith("3 things are worth a look:")
    assert said[2] == (
        "Some figures are still those of an invented shop, marked “to be replaced”, in "
        "shop.csv, blanks.csv, blank_prices.csv, methods.csv, operations.csv, costs.csv and "
        "grids/leather-patches.csv: put your own in, in notebook 7."
    )
    assert said[3].startswith("blank_price.csv: found a file that is not read, expected the names")


def test_it_shows_what_a_piece_costs(panel):
    """20 pieces of 2 × 2 in cost 8.30 each, set-up included."""
    panel.sides.width.set("2")
    panel.quantity.set("20")
    assert panel.costs.words.startswith(
        "20 pieces of 2 × 2 in: Leather patch has a cost of $8.30 a piece"
    )
    assert panel.layers.words.startswith("Leather patch, 2 × 2 in: 20 pieces cost $8.30 each")


def test_it_says_why_a_method_cannot(panel):
    """Six inches do not go on a panel of five."""
    panel.sides.width.set("6")
    assert "takes at most 5 × 2.5 in" in panel.impossible.words
    assert "nothing here can be made" in panel.costs.words


def test_a_shop_of_one_and_without_a_list_is_counted_as_people_count(folder):
    (folder / "price_list.csv").unlink()
    said = StartPanel(read_shop(folder)).check.words
    assert "Read: 1 method, 1 blank, 0 price lists, " in said
    assert (
        "There is no price list yet. Until you save one in notebook 1, nothing can be shown" in said
    )
