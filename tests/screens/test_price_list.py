"""The owner's price list: prices, margins, findings, why, today's list, and what is saved."""

import re

import pytest
import smallshop

from pricelab.files.shop_folder import read_shop
from pricelab.screens.opening import FaultsPanel, opened
from pricelab.screens.price_list import HANDED_OUT, TODAY, TYPED, PriceListPanel


@pytest.fixture
def shop(tmp_path):
    """The small shop's folder."""
    return smallshop.write_shop(tmp_path)


@pytest.fixture
def panel(shop):
    """The panel, with today's tiers typed so that its prices are those of smallshop."""
    panel = PriceListPanel(read_shop(shop))
    panel.by.set(TYPED)
    return panel


def cells(panel):
    """The prices of the table as shown, row by row."""
    return re.findall(r"<b>([^<]+)</b>", panel.table.box.value)


def test_every_cell_shows_its_price_margin_and_todays_price(panel):
    """By the calculation at the top of smallshop; 12.40 at 12: 1 − 8.025/12.40 − 5 % = 30.3 %."""
    assert cells(panel) == ["$25.10", "$12.40", "$10.50", "$26.95", "$14.25", "$12.30"]
    assert "12–23  $12.40        30.3 %      holds   $9.90" in panel.table.words
    assert "<span>30 %</span>" in panel.table.box.value


def test_a_price_of_ones_own_belongs_to_its_cell_and_is_judged(panel, shop):
    """12 pieces at 8.00 lose: (8.00 × .95 − 8.025) / 8.00 = −5.3 %. Emptied, the plan's is back."""
    panel.tier.set(1)
    panel.own.set("8,00")
    assert cells(panel) == ["$25.10", "$8.00", "$10.50", "$26.95", "$14.25", "$12.30"]
    assert re.search(r"12–23 +\$8\.00 your own +−5\.3 % +does not hold", panel.table.words)
    assert "1 of 6 prices does not hold" in panel.verdict.words
    assert "One price is your own; empty its field" in panel.verdict.words
    panel.tier.set(2)
    assert panel.own.widget.value == ""
    panel.target.set(45)  # another draft: it stays
    assert cells(panel)[1] == "$8.00"
    panel.tier.set(1)
    assert panel.own.widget.value == "8.00"
    panel.files[0].press()
    assert "8.00" in (shop / "price_list.csv").read_text()
    panel.shown.set(TODAY)
    assert panel.own.box.layout.display == "none"
    assert "your own" not in panel.table.words
    panel.shown.set("new")
    panel.own.set("")
    assert cells(panel)[1] != "$8.00"
    assert "your own" not in panel.verdict.words


def test_a_target_out_of_bounds_is_answered_beside_it(panel):
    """The list stays."""
    before = cells(panel)
    panel.target.set(95)
    assert panel.target.words == ("Enter a figure from 0 to 90 %.")
    assert cells(panel) == before
    assert panel.table.old
    for press in panel.files:
        assert "Nothing was saved. Fix the entry that is marked first." in press.press()


@pytest.mark.parametrize(
    ("entry", "answered", "words"),
    [
        (("floor", 50), "floor", "Found a floor margin of 50"),
        (("sizes", "8, 9"), "blank", "No size of Leather patch can go on Plain cap"),
    ],
)
def test_what_cannot_be_is_answered_beside_what_can_be_changed(panel, entry, answered, words):
    """A floor above the target, a method that no size allows; by the rule's own words."""
    control = getattr(panel, entry[0])
    kept = control.widget.value
    control.set(entry[1])
    assert getattr(panel, answered).words.startswith(words)
    control.set(kept)
    assert not getattr(panel, answered).words


def test_todays_list_is_judged_with_its_mends(panel):
    """9.90 where 12.40 would hold."""
    panel.shown.set(TODAY)
    assert "3 of 6 prices do not hold" in panel.verdict.words
    assert cells(panel)[1] == "$9.90"
    assert panel.table.box.value.count("▼ ") == 4  # three cells and the key


def test_a_finding_leads_to_its_cell(panel):
    """Picked, its size and pieces are looked at, and its sentence says the mend."""
    panel.shown.set(TODAY)
    words, value = panel.finding.widget.options[0]
    assert words == "up to 3 in, 24+ pieces: below cost"
    panel.finding.set(value)
    assert (panel.band.value, panel.tier.value) == (1, 2)
    assert "charge $12.30 instead of $7.00." in panel.said.words
    assert 'class="pl-here pl-fails"' in panel.table.box.value


def test_a_price_tells_why_line_by_line(panel):
    """24 pieces of 2 in: 252.00 less 138.00 of costs and 12.90 of fees leave 101.10."""
    panel.tier.set(2)
    panel.why.set(True)
    assert panel.account.words.splitlines()[0] == (
        "Of $252.00 for 24 pieces, the quantity that earns least here, $101.10 are left: 40.1 %."
    )
    assert "blank_prices.csv, row 3, price" in panel.account.words
    assert "grids/patches.csv, row 2, 20" in panel.account.words
    assert "−$72.00" in panel.account.words  # 24 blanks at 3.00


def test_typed_tiers_make_the_columns(panel):
    """As clients know them."""
    panel.starts.set("1, 10, 20")
    assert '<th scope="col">10–19</th>' in panel.table.box.value


def test_saving_puts_the_list_into_the_shops_folder(panel, shop):
    """Read again, it is the list that was shown, and today's from then on."""
    panel.files[0].press()
    kept = "kept in old/price_list.until-"
    said = "Saved in price_list.csv: Leather patch (Plain cap). 3 prices changed; the list you had"
    assert said in panel.files[0].said.value
    assert kept in panel.files[0].said.value
    assert read_shop(shop).price_lists[0].prices.tolist() == smallshop.PRICES
    panel.shown.set(TODAY)
    assert "all 6 prices hold" in panel.verdict.words


def test_saving_over_another_tabs_list_is_refused(panel, shop):
    """Neither is lost."""
    with (shop / "price_list.csv").open("a", encoding="utf-8") as file:
        file.write("# from another tab\n")
    panel.files[0].press()
    assert "was changed since this page read it" in panel.files[0].said.value
    assert (shop / "price_list.csv").read_text("utf-8").endswith("# from another tab\n")


def test_what_clients_get_is_saved_in_a_folder_of_its_own(panel, shop):
    """PDF, XLSX and CSV, whole."""
    for button in panel.files[1:]:
        button.press()
    saved = sorted((shop / HANDED_OUT).iterdir())
    assert [path.suffix for path in saved] == [".csv", ".pdf", ".xlsx"]
    assert saved[1].read_bytes()[:5] == b"%PDF-"
    assert read_shop(shop).warnings == ()


def test_todays_list_of_nothing_is_told(tmp_path):
    """A shop without a list shows the new one and says so."""
    folder = smallshop.write_shop(tmp_path)
    (folder / "price_list.csv").unlink()
    panel = PriceListPanel(read_shop(folder))
    assert "today" not in panel.table.words.partition("\n")[0]
    assert "the least margin is 40 % at 20 pieces\n" in panel.staircase.words
    panel.shown.set(TODAY)
    assert "There is no list of this method on this blank today." in panel.verdict.words


def test_a_faulty_shop_is_told_what_to_mend(tmp_path):
    """File, row and column, all of them, and no traceback."""
    grid = smallshop.FILES["grids/patches.csv"].replace("3.00,2.00", "3.0O,2.00")
    panel = opened(PriceListPanel, smallshop.write_shop(tmp_path, patches=grid))
    assert isinstance(panel, FaultsPanel)
    assert str(panel).splitlines()[0] == "One thing in your shop's files needs mending."
    assert 'grids/patches.csv, row 2, column "1": found "3.0O"' in str(panel)
    assert "<td>2</td>" in panel.html()


def test_a_folder_that_is_not_there_is_told(tmp_path):
    """In one sentence."""
    assert str(opened(PriceListPanel, tmp_path / "none")).startswith("There is no folder")
