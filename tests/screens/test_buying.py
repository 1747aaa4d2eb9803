"""The panels on buying, stock and a supplier's change, driven and read without a browser."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from quoted import a_quote

from pricelab.files.folders import ROOT
from pricelab.files.records.book import Records
from pricelab.files.shop_folder import read_shop
from pricelab.screens.buying import BuyingPanel
from pricelab.screens.stock import StockPanel
from pricelab.screens.supplier import SupplierPanel
from pricelab.shop.errors import PricelabError


@pytest.fixture
def small(folder):
    """The small shop, in a folder that a test may add to."""
    return read_shop(folder)


# ---- an order -------------------------------------------------------------------------


@pytest.fixture
def buying(small):
    """18 pieces of 2 × 2 in: nothing spoils, so 18 caps at 4.00 and 18 patches at 3.00."""
    panel = BuyingPanel(small)
    for control, said in ((panel.sides.width, "2"), (panel.sides.height, "2"),
                          (panel.pieces, "18")):  # fmt: skip
        control.set(said)
    return panel


def test_an_order_by_hand_and_the_break_that_would_cost_less(buying):
    """18 × 3.00 = 54.00, but 20 × 2.00 = 40.00; 24 caps at 3.00 are 72.00, as are 18 at 4.00."""
    assert buying.finding.words == (
        "For 18 pieces of 2 × 2 in, buy 18 × Plain cap and 18 × Leather patch: $126.00"
    )
    assert buying.said.words == "Leather patch: 20 would cost $14.00 less than 18. Order up."


def test_ordering_up_says_what_it_saves(buying):
    buying.up.set(True)
    assert buying.finding.words.endswith("18 × Plain cap and 20 × Leather patch: $112.00")
    assert "Leather patch: ordering up saves $14.00." in buying.said.words
    assert "Leather patch: 2 pieces more than needed are paid for" in buying.said.words


def test_more_sureness_buys_more():
    panel = BuyingPanel(read_shop(ROOT / "data" / "harbour-caps"))
    bought = []
    for sure in (50.0, 95.0, 99.9):
        panel.sure.set(sure)
        bought.append(int(panel.table.words.splitlines()[2].split()[-4]))
    assert bought == sorted(bought)
    assert bought[0] < bought[-1]


def test_an_artwork_that_cannot_be_made_is_answered(buying):
    before = [part.words for part in buying.parts]
    buying.sides.width.set("6")
    assert buying.sides.width.words == "The panel of Plain cap takes at most 5 × 2.5 in."
    assert [part.words for part in buying.parts] == before


# ---- stock ----------------------------------------------------------------------------


@pytest.fixture
def stock(small):
    """Patches of 2 in: 3.00, from 20 on 2.00; 600 a year, 10.00 an order, 20 % to hold."""
    panel = StockPanel(small)
    for control, value in (
        (panel.sides.width, "2"), (panel.sides.height, "2"), (panel.demand, 600),
        (panel.order_cost, 10.0), (panel.holding, 20),
    ):  # fmt: skip
        control.set(value)
    return panel


def test_stock_by_hand(stock):
    """√(2 × 10 × 600 / .40) = 173.2; 173: 1,200 + 34.68 + 34.60 = 1,269.28."""
    assert stock.picture.words.startswith(
        "Leather patch: order 173 pieces at a time, 3.5 times a year; a year costs $1,269.28"
    )
    assert "$1,200.00 for the pieces, $34.68 for ordering and $34.60 for holding" in (
        stock.said.words
    )
    assert "says 173.2 pieces" in stock.said.words


def test_a_discount_on_later_pieces_alone_is_worth_less(stock):
    """The first 20 cost 1.00 more: √(2 × 30 × 600 / .40) = 300 pieces."""
    stock.scheme.set(True)
    assert "order 300 pieces at a time" in stock.picture.words


def test_no_demand_is_answered_beside_it(stock):
    before = [part.words for part in stock.parts]
    stock.demand.set(0)
    assert stock.demand.words == "Found a demand of 0 a year: nothing to stock."
    assert [part.words for part in stock.parts] == before


def test_a_size_over_the_last_band_is_answered(stock):
    stock.sides.width.set("8")
    assert stock.sides.width.words.startswith("Size 5 is over the last band of patches")
    stock.sides.width.set("2")
    stock.goods.set("Plain cap")
    assert stock.picture.words.startswith("Plain cap: order ")


# ---- a supplier's change --------------------------------------------------------------


@pytest.fixture
def supplier(small):
    """The small shop's lists of today, 2 in: 25.10, 9.90 and 10.50; 3 in: 26.95, 13.00, 7.00."""
    return SupplierPanel(small)


def test_no_change_breaks_nothing(supplier):
    supplier.share.set(0.0)
    assert supplier.summary.box.value.count("every price that held still holds") == 1
    assert "No price of this list that held stops holding." in supplier.said.words


def test_dearer_patches_by_hand(supplier):
    """Half more: a patch of 2 in at 24 pieces is 3.00; (6.7625) / .55 = 12.295 → 12.30.

    The 3 in price from 24 on did not hold before, so of the held ones three are left to break.
    """
    supplier.share.set(50.0)
    assert "12.30" in supplier.table.words
    assert "Up to 2 in, 24 pieces or more: the usual order of 24 pieces" in supplier.said.words
    assert "charge $12.30 instead of $10.50" in supplier.said.words


def test_dearer_blanks_touch_the_same_list(supplier):
    supplier.goods.set(("blank", "cap"))
    supplier.share.set(50.0)
    assert "Plain cap with all its prices 50 % up" in supplier.summary.words
    assert "charge $" in supplier.said.words


def test_a_new_price_file_is_read_from_the_shop_s_folder(supplier, small):
    file = small.folder / "grids" / "dearer.csv"
    file.write_text("mean of sides (in),1,20\n2,4.50,3.00\n3,6.00,4.50\n", "utf-8")
    supplier.how.set("file")
    supplier.file.set("grids/dearer.csv")
    by_file = supplier.table.words
    supplier.how.set("share")
    supplier.share.set(50.0)
    assert supplier.table.words == by_file


def test_a_file_that_loses_sizes_names_them(supplier, small):
    (small.folder / "grids" / "small.csv").write_text(
        "mean of sides (in),1,20\n2,3.00,2.00\n", "utf-8"
    )
    supplier.how.set("file")
    supplier.file.set("grids/small.csv")
    assert "Up to 3 in: not possible any more" in supplier.said.words
    (small.folder / "grids" / "tiny.csv").write_text(
        "mean of sides (in),1,20\n1,3.00,2.00\n", "utf-8"
    )
    supplier.file.set("grids/tiny.csv")
    assert supplier.table.words.startswith("The size is over the last band of tiny")


@pytest.mark.parametrize(
    ("name", "answer"),
    [
        ("nowhere.csv", 'Found no file "nowhere.csv" in your shop\'s folder. Put the new price '
         "file there and write its name, such as grids/new-prices.csv."),
        ("../outside.csv", 'Found no file "../outside.csv" in your shop\'s folder.'),
        ("grids/bad.csv", 'Bad.csv, row 2, column "1": found "x"'),
        ("", "Write the name of the new price file."),
    ],
)  # fmt: skip
def test_a_file_that_will_not_do_is_answered_beside_its_control(supplier, small, name, answer):
    (small.folder.parent / "outside.csv").write_text("mean of sides (in),1\n3,1\n", "utf-8")
    (small.folder / "grids" / "bad.csv").write_text("mean of sides (in),1\n3,x\n", "utf-8")
    before = supplier.table.words
    supplier.how.set("file")
    supplier.file.set(name)
    assert answer in supplier.file.words
    assert supplier.table.words == before


def test_a_file_is_not_for_a_blank(supplier):
    supplier.goods.set(("blank", "cap"))
    supplier.how.set("file")
    supplier.file.set("grids/patches.csv")
    assert supplier.file.words.startswith("A price file is for a decoration's grid.")


def test_a_shop_without_lists_has_nothing_to_touch(folder):
    (folder / "price_list.csv").unlink()
    with pytest.raises(PricelabError, match=r"^There is no price list yet that a supplier's"):
        SupplierPanel(read_shop(folder))


def test_open_quotes_that_the_change_touches_are_told(folder):
    """The quote of `test_openquotes`: 29.2 % today, 21.2 % with patches half as dear again."""
    today = datetime.now().astimezone().date()
    made = replace(a_quote(folder), made=today, valid_until=today + timedelta(days=30))
    Records(folder).save_quote(made)
    panel = SupplierPanel(read_shop(folder))
    panel.share.set(50.0)
    first, _, row = panel.open_quotes.words.splitlines()[:3]
    assert first == "Of 1 open quotes touched, 0 fall under the floor of 20 %"
    assert row.split()[:2] == ["Q1", "Åse"]
    assert row.split()[-4:] == ["29.2", "%", "21.2", "%"]
    panel.share.set(100.0)
    assert "1 fall under the floor" in panel.open_quotes.words
    panel.share.set(0.0)
    assert panel.open_quotes.words == "No open quote in your book of records is touched."
