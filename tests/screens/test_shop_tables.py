"""The owner's tables in boxes: checked as they are read, their effect shown, saved together."""

import shutil

import ipywidgets as widgets
import pytest

from pricelab.files.folders import DEMO_SHOP
from pricelab.files.shop_folder import read_shop
from pricelab.screens import table_view as tableview
from pricelab.screens.shop_tables import TablesPanel
from pricelab.words import cautions


@pytest.fixture
def panel(folder):
    """The panel on it, with a sample job of 12 pieces of 2 × 2 in."""
    panel = TablesPanel(folder)
    panel.job.sides.width.set("2")
    panel.job.pieces.set("12")
    return panel


def columns(panel) -> list[str]:
    """The names over the boxes."""
    return [heading.name for heading in panel._view.headings]


def put(panel, row: int, column: str, text: str) -> None:
    """Type into the box in a row (from 0) under a name."""
    panel.cells.put(row, columns(panel).index(column), text)


def put_setting(panel, name: str, text: str) -> None:
    """Type into the box beside a setting."""
    panel.table.set("shop")
    names = [setting for setting, _ in panel._edits.settings()]
    panel.cells.put(names.index(name), 1, text)


def add_visor(panel) -> None:
    """Add a blank, whose price is not told yet."""
    panel.table.set("blanks")
    panel.add.press()
    for column, text in (("blank", "visor"), ("panel width", "4"), ("panel height", "2 1/2")):
        put(panel, 1, column, text)


def marked(panel) -> set[tuple[int, str]]:
    """The boxes that are marked, by row and column."""
    return {
        (r, columns(panel)[c])
        for r, row in enumerate(panel.cells.boxes)
        for c, box in enumerate(row)
        if "pl-doubt" in box._dom_classes
    }


def test_before_any_change_the_sample_job_is_as_saved(panel):
    """A piece of 12 costs 8.025 less its part of the card fee, which hangs on the price: 8.00.

    The set-up of 30.00 for the artwork is 2.50 a piece of 12. In all 10.50.
    """
    assert panel.job.effect.words.startswith(
        "12 × Leather patch, 2 × 2 in: a piece costs $10.50\nPieces  As saved\n"
    )
    assert panel.job.lines.words == panel.job.verdict.box.value == panel.faults.words == ""
    assert panel.mistake is None


def test_a_change_shows_at_once_what_it_does(panel):
    """A minute at 36.00 an hour is 0.60 instead of 0.50: 12 pieces cost 1.20 more."""
    put_setting(panel, "labour rate", "36")
    assert panel.job.effect.words.startswith(
        "12 × Leather patch, 2 × 2 in: a piece costs $10.60, $0.10 more than as saved\n"
        "Pieces  As saved  As edited\n"
    )
    assert "a piece costs $10.60, $0.10 more than as saved" in panel.job.verdict.box.value
    assert [" ".join(line.split()) for line in panel.job.lines.words.splitlines()] == [
        "The whole order of 12 pieces: the lines that differ",
        "What it costs As saved As edited Difference",
        "Leather patch: pressing $6.00 $7.20 $1.20",
        "4 other lines $120.00 $120.00 $0.00",
        "the whole order $126.00 $127.20 $1.20",
    ]
    # at 12: (8.00 + 0.025) / 0.55 = 14.59…, then (8.10 + 0.025) / 0.55 = 14.77…
    assert panel.job.prices.words.splitlines() == [
        "At your target margin of 40 % a piece sells for $14.80 and the set-up of an artwork for "
        "$54.55.",
        "As saved: at 40 % a piece sells for $14.60 and the set-up of an artwork for $54.55.",
    ]
    panel.back.press()
    assert "As edited" not in panel.job.effect.words


def test_a_fault_is_marked_and_told_until_it_is_mended(panel, folder):
    """In the loader's words; nothing is saved, and the last good result stays."""
    before = (folder / "blank_prices.csv").read_bytes()
    panel.table.set("blank_prices")
    put(panel, 0, "price", "4.5O")
    assert marked(panel) == {(0, "price")}
    assert panel.faults.words == (
        'One thing to mend.\nblank_prices.csv, row 2, column "price": found "4.5O", expected an '
        "amount such as 3.20. Replace the letter O by a zero."
    )
    assert "a piece costs $10.50\n" in panel.job.effect.words
    assert "Nothing was saved: mend what is listed above" in panel.save.press()
    put(panel, 0, "price", "4.50")
    assert marked(panel) == set()
    assert panel.faults.words == ""
    assert "a piece costs $11.00, $0.50 more than as saved" in panel.job.effect.words
    assert (folder / "blank_prices.csv").read_bytes() == before
    assert "Saved: blank_prices.csv. What stood there before is kept" in panel.save.press()
    assert read_shop(folder).shop.blanks["cap"].prices.prices[0, 0] == 4.50
    (kept,) = (folder / "old").iterdir()
    assert kept.read_bytes() == before
    assert "a piece costs $11.00\n" in panel.job.effect.words


def test_a_new_blank_needs_its_price_in_another_table(panel, folder):
    """Both are saved together; nothing is written before."""
    add_visor(panel)
    assert panel.faults.words.startswith('One thing to mend.\nblanks.csv, row 3, column "blank": ')
    assert marked(panel) == {(1, "blank")}
    panel.table.set("blank_prices")
    panel.add.press()
    boxes = panel.cells.boxes[-1]
    assert [word for _, word in boxes[0].options] == ["", "cap", "visor"]
    for column, text in (("blank", "visor"), ("from", "1"), ("price", "3.10")):
        put(panel, 2, column, text)
    assert panel.faults.words == ""
    assert dict(panel.job.blank.widget.options)["visor"] == "visor"
    panel.job.blank.set("visor")
    assert panel.job.prices.words.splitlines()[1].startswith("As saved it cannot be made: ")
    assert "Saved: blanks.csv, blank_prices.csv." in panel.save.press()
    assert read_shop(folder).shop.blanks["visor"].panel_height == 2.5


def test_words_are_chosen_where_the_loader_knows_them(panel):
    """A word that will not do is shown too, and stays until another is chosen."""
    panel.table.set("costs")
    first = dict(zip(columns(panel), panel.cells.boxes[0], strict=True))
    assert [word for _, word in first["level"].options] == [
        "piece", "batch", "order", "design", "period", "revenue",
    ]  # fmt: skip
    assert first["method"].options == (("the whole shop", ""), ("patch", "patch"))
    assert isinstance(first["amount"], widgets.Text)
    panel.table.set("methods")
    assert dict(zip(columns(panel), panel.cells.value[0], strict=True))["grid"] == "patches"


def test_a_row_is_removed(panel):
    """The freight: a piece of 12 costs 0.50 less."""
    panel.table.set("costs")
    panel.cells.press_remove(0)
    assert "a piece costs $10.00, $0.50 less than as saved" in panel.job.effect.words
    assert len(panel.cells.value) == 2


def test_a_misspelt_setting_can_be_removed_and_its_own_row_filled(folder):
    """The panel opens on a shop with faults: it is where they are mended."""
    path = folder / "shop.csv"
    path.write_bytes(path.read_bytes().replace(b"labour rate,30", b"labor rate,30"))
    panel = TablesPanel(folder)
    assert (
        panel.job.effect.words == "The sample job is worked out once the things above are mended."
    )
    assert 'found "labor rate", expected a setting' in panel.faults.words
    names = [name for name, _ in panel._edits.settings()]
    panel.cells.press_remove(names.index("labor rate"))
    put_setting(panel, "labour rate", "30")
    assert panel.faults.words == ""
    assert "a piece costs $" in panel.job.effect.words
    panel.save.press()
    assert read_shop(folder).shop.rates.labour == 30


def test_unfinished_tables_are_saved_if_the_reader_says_so(panel, folder):
    """So that an evening's work is not lost for a price that is not known yet."""
    panel.table.set("blank_prices")
    put(panel, 0, "price", "")
    panel.unfinished.set(True)
    assert "Saved: blank_prices.csv." in panel.save.press()
    assert (folder / "blank_prices.csv").read_bytes().startswith(b"blank,from,price\ncap,1,\n")
    assert not panel.unfinished.value
    assert "found an empty cell" in TablesPanel(folder).faults.words


def test_what_was_typed_and_not_saved_is_back_when_the_notebook_is_opened_again(panel, folder):
    """After a crash, a closed tab or a look at another shop; until it is saved or taken back."""
    put_setting(panel, "labour rate", "36")
    assert "Not saved yet: shop.csv." in panel.state.words
    again = TablesPanel(folder)
    assert "What you typed before and did not save is back: shop.csv." in again.state.words
    assert again._edits.setting("labour rate") == "36"
    assert "more than as saved" in again.job.effect.words
    again.back.press()
    assert not (folder / "unsaved.json").exists()
    assert "is back" not in TablesPanel(folder).state.words


def test_what_was_typed_into_a_file_that_was_changed_since_is_told(panel, folder):
    """It would put the older figures back."""
    put_setting(panel, "labour rate", "36")
    path = folder / "shop.csv"
    path.write_bytes(path.read_bytes().replace(b"30\n", b"31\n", 1))
    again = TablesPanel(folder)
    assert "Not so what was typed into shop.csv: it was changed elsewhere" in again.state.words
    assert again._edits.setting("labour rate") == "31"


def test_where_nothing_can_be_kept_the_page_says_so(panel, folder):
    """As in a folder that may not be written to, or with something else in the way."""
    (folder / "unsaved.json").mkdir()
    put_setting(panel, "labour rate", "36")
    assert panel.state.words.endswith(
        "a folder of that name is in its place. Move that folder away and try again; nothing was "
        "changed. Until then, what you type is kept in this page alone."
    )
    assert "more than as saved" in panel.job.effect.words


def test_a_remark_is_put_back_and_told(panel):
    """The name stays as it was."""
    panel.table.set("blanks")
    put(panel, 0, "blank", "#cap")
    assert panel.cells.words.startswith('Found "#cap" in the column "blank", expected a name:')
    assert panel.cells.value[0][0] == "cap"
    put(panel, 0, "name", "Plain cap, blue")
    assert panel.cells.words == ""


def test_an_invented_shop_is_a_try_out():
    """Its effect is shown, and nothing is written."""
    before = {p: p.read_bytes() for p in DEMO_SHOP.rglob("*.csv")}
    panel = TablesPanel(DEMO_SHOP)
    put_setting(panel, "labour rate", "52")
    assert "more than as saved" in panel.job.effect.words
    assert "this is an invented shop, which stays as it is" in panel.save.press()
    assert {p: p.read_bytes() for p in DEMO_SHOP.rglob("*.csv")} == before


def test_a_large_table_is_cut_into_pages(tmp_path, monkeypatch):
    """Added rows are on the last one, and what is typed there is that row's."""
    folder = shutil.copytree(DEMO_SHOP, tmp_path / "copy")
    monkeypatch.setattr(tableview, "MOST_BOXES", 40)
    panel = TablesPanel(folder)
    panel.table.set("blank_prices")  # four columns with the note: ten rows a page
    assert [words for words, _ in panel.page.widget.options][:2] == ["1–10", "11–20"]
    assert len(panel.cells.value) == 10
    panel.page.set(1)
    assert panel._view.page(1)[0] == panel._edits.rows("blank_prices")[10]
    panel.add.press()
    last = panel._edits.rows("blank_prices")[-1]
    assert panel._view.page(panel.page.value)[-1] == last
    put(panel, len(panel.cells.value) - 1, "from", "5")
    assert panel._edits.cell("blank_prices", last, "from") == "5"
    panel.table.set("blanks")
    assert panel.mistake is None


def test_a_sample_job_that_will_not_do_holds_up_no_table(panel):
    """What is typed goes where it is seen; the last good sample job stays."""
    panel.table.set("operations")
    panel.job.pieces.set("many")
    shown = panel.job.effect.words
    panel.table.set("costs")
    put(panel, 0, "amount", "7.00")
    assert panel._edits.cell("costs", panel._edits.rows("costs")[0], "amount") == "7.00"
    assert panel.job.effect.words == shown
    assert panel.job.pieces.words.startswith("Enter a whole number of pieces")
    assert panel.job.effect.old
    assert not panel.state.old
    panel.job.pieces.set("12")
    assert "more than as saved" in panel.job.effect.words


def test_a_choice_without_anything_chosen_is_an_empty_cell(panel):
    """As a browser sends it, for a setting and in a table."""
    for table in ("shop", "operations"):
        panel.table.set(table)
        choices = [box for row in panel.cells.boxes for box in row
                   if isinstance(box, widgets.Dropdown)]  # fmt: skip
        choices[0].index = None
        assert panel.mistake is None
    assert panel._edits.changed


def test_a_blank_that_goes_takes_its_prices_along(panel, folder):
    add_visor(panel)
    panel.cells.press_remove(0)
    assert "blank_prices.csv, row" not in panel.faults.words
    panel.table.set("blank_prices")
    assert panel.cells.value == ()


def test_a_blank_of_another_name_keeps_its_prices(panel):
    panel.table.set("blanks")
    put(panel, 0, "blank", "visor")
    panel.table.set("blank_prices")
    assert {row[0] for row in panel.cells.value} == {"visor"}


def test_settings_are_named_by_what_they_are_and_their_unit_once(panel):
    panel.table.set("shop")
    names = [row.cells[0].text for row in map(panel._view.row, panel._view.rows)]
    assert "labour rate, USD an hour" in names
    assert "valid days" in names
    told = [row[1].tooltip for row in panel.cells.boxes]
    assert "value, labour rate, USD an hour" in told
    assert "value, valid days" in told


def test_cautions_stand_under_tables_of_heat_and_care(panel):
    for table, wanted in (("methods", True), ("operations", True), ("costs", False)):
        panel.table.set(table)
        assert (str(cautions.STARTING_POINTS) in panel.cautions.words) is wanted
