"""The owner's intake of a supplier's sheet: pasted, compared, mended, saved."""

import re
from datetime import UTC, datetime
from pathlib import Path

import pytest

from pricelab.files.folders import DEMO_SHOP
from pricelab.files.grid_file import read_grid
from pricelab.files.shop_folder import read_shop
from pricelab.screens.intake import IntakePanel
from pricelab.shop.grids import PER_PIECE
from pricelab.shop.sizes import Measure

SHEETS = Path(__file__).parents[1] / "sheets"


@pytest.fixture
def panel(folder):
    """The panel before anything is pasted."""
    return IntakePanel(read_shop(folder))


def sheet(name: str) -> str:
    """One of our sheets."""
    return (SHEETS / name).read_text("utf-8")


def choose(panel, name: str, content: bytes) -> None:
    """Choose a file, as the browser hands it over."""
    file = {"name": name, "type": "", "size": len(content), "content": content}
    panel.file.set(({**file, "last_modified": datetime(2026, 11, 25, tzinfo=UTC)},))


def marked(panel) -> set[tuple[int, int]]:
    """The boxes that are marked as doubtful."""
    boxes = panel.cells.widget.children
    width = len(panel.cells.value[0])
    return {divmod(at, width) for at, box in enumerate(boxes) if "pl-doubt" in box._dom_classes}


def test_before_anything_is_pasted_it_says_what_to_do(panel):
    """And saving says the same."""
    assert str(panel) == "Paste a supplier's price table, or choose its file."
    assert "There is nothing to save yet." in panel.save.press()


def test_a_doubtful_cell_is_marked_until_it_is_mended(panel):
    """Twice a letter O for a zero: in the sheet, in the box and in words."""
    panel.text.set(sheet("13-letter-o.txt"))
    assert panel.finding.words == "Sizes read: 3; quantities: 3; 2 cells are in doubt"
    assert marked(panel) == {(1, 1), (2, 2)}
    assert panel.sheet.box.value.count("<mark>") == 2
    assert panel.said.words.splitlines()[0] == (
        'pasted, row 2, column "B": "4.1O", not read. Replace the letter O by a zero.'
    )
    panel.cells.put(1, 1, "4.10")
    assert marked(panel) == {(2, 2)}
    assert panel.finding.words.endswith("one cell is in doubt")
    panel.cells.put(2, 2, "4.00")
    assert panel.finding.words.endswith("no cell is in doubt")
    assert panel.ready.words == (
        "Before it can be saved:\n"
        "The sheet does not say how the supplier measures. Choose the measure and the unit."
    )
    panel.measure.set(Measure.LONGEST_SIDE)
    assert panel.ready.words == "Ready to be saved: 9 prices."


def test_a_sheet_is_saved_and_the_method_may_use_it(panel, folder):
    """Sheet 06 says measure and unit itself; its corner price is 3.10."""
    panel.text.set(sheet("06-pdf-single-spaces.txt"))
    assert (panel.measure.value, panel.unit.value) == (Measure.LONGEST_SIDE, "in")
    panel.name.set("stitched")
    panel.holds.set("2026-01-01")
    assert "methods.csv, column &quot;grid&quot;, as stitched." in panel.save.press()
    grid, _ = read_grid(folder / "grids" / "stitched.csv")
    assert (grid.prices.shape, grid.prices[0, 0]) == ((3, 4), 3.10)
    panel.save.press()
    assert re.search(
        r"kept as grids/old/stitched\.until-2026-01-01-\d{6}\.csv", panel.save.said.value
    )


def test_an_invented_shop_takes_in_no_sheet():
    """It stays as it is; the sheet can be tried out on it."""
    before = sorted(DEMO_SHOP.rglob("*"))
    panel = IntakePanel(read_shop(DEMO_SHOP))
    panel.text.set(sheet("06-pdf-single-spaces.txt"))
    panel.name.set("stitched")
    assert "this is an invented shop, which stays as it is" in panel.save.press()
    assert sorted(DEMO_SHOP.rglob("*")) == before


def test_cells_in_doubt_must_be_compared_before_they_are_saved(panel, folder):
    """A price with a footnote may be right; a tick says that somebody looked."""
    panel.text.set(sheet("16-footnote-marks.txt"))
    panel.measure.set(Measure.LONGEST_SIDE)
    panel.name.set("stitched")
    assert "There are cells in doubt." in panel.save.press()
    assert not (folder / "grids" / "stitched.csv").exists()
    panel.compared.set(True)
    panel.save.press()
    assert (folder / "grids" / "stitched.csv").exists()


def test_an_emptied_row_is_left_out_with_its_doubts(panel):
    """A row over the last size, for which no upper end is printed."""
    panel.text.set(sheet("33-open-ended-and-under.txt"))
    panel.measure.set(Measure.LONGEST_SIDE)
    panel.cells.put(0, 1, "1")
    panel.cells.put(1, 0, "2.0")
    for column in range(4):
        panel.cells.put(3, column, "")
    assert panel.finding.words.endswith("no cell is in doubt")
    assert panel.ready.words == "Ready to be saved: 6 prices."


def test_each_of_two_grids_can_be_taken(panel):
    """The second has four quantities."""
    panel.text.set(sheet("18-two-tables.txt"))
    assert len(panel.cells.value[0]) == 4
    panel.which.set(1)
    assert [row[1] for row in panel.cells.value] == ["50+", "2.65", "3.60"]


def test_a_file_is_read_like_pasted_text(panel):
    """One that is none is answered beside the button; one taken back leaves nothing behind."""
    choose(panel, "a.csv", (SHEETS / "03-semicolons-decimal-comma.csv").read_bytes())
    assert panel.finding.words == "Sizes read: 3; quantities: 4; no cell is in doubt"
    assert panel.unit.value == "mm"
    choose(panel, "b.xlsx", b"x")
    assert panel.file.words.startswith('The file: found no readable spreadsheet ("')
    choose(panel, "c.csv", b"Size (in),12+,24+\nup to 2,4.10,3.10\n")
    assert panel.finding.words.startswith("Sizes read: 1")
    panel.file.set(())
    assert panel.mistake is None
    assert panel.finding.words == "Paste a supplier's price table, or choose its file."


def test_prices_for_a_dozen_are_told_and_divided(panel):
    """48.00 a dozen is 4.00 a piece; every price was in doubt."""
    panel.text.set(sheet("19-per-dozen.txt"))
    assert "6 cells are in doubt" in panel.finding.words
    panel.measure.set(Measure.AREA)
    panel.per.set((12, PER_PIECE))
    assert panel._grid().csv().splitlines()[1] == "2,4.00,3.50,3.00"


def test_another_currency_than_the_shops_is_told(panel):
    """Nothing is converted."""
    panel.text.set(sheet("05-code-before-money-pipes.txt"))
    assert "The sheet's prices are in EUR, your shop's in USD: convert them." in panel.said.words


def test_markup_in_a_sheet_is_shown_as_text(panel):
    """A supplier's page may hold anything."""
    panel.text.set("Size (in)\t12+\t24+\n<script>x</script>\t1\t2\nup to 2\t<b>4</b>\t3")
    shown = panel.html()
    assert not re.search("<script>|<b>4", shown)
    assert "&lt;script&gt;" in shown


def test_a_day_that_is_none_is_answered_beside_it(panel):
    """In the words of the shop's files."""
    panel.text.set(sheet("01-tabs-plain.txt"))
    panel.holds.set("25.11.2026")
    assert panel.holds.words == "Enter a day such as 2026-11-25."


def test_what_was_read_before_goes_with_its_sheet(panel):
    """Nothing of it is left beside a sheet that could not be read, nor a control without use."""
    controls = (panel.measure, panel.per, panel.name, panel.save)
    assert {item.box.layout.display for item in controls} == {"none"}
    panel.text.set(sheet("13-letter-o.txt"))
    assert {item.box.layout.display for item in controls} == {None}
    panel.text.set("IMG_2231.png")
    assert {item.box.layout.display for item in controls} == {"none"}
    shown = (panel.finding, panel.sheet, panel.said, panel.ready)
    assert {part.box.value for part in shown} == {""}
    assert panel.text.words.startswith("Found no price grid, expected a row of quantities")
    panel.text.set("")
    assert panel.text.words == ""


def test_a_cell_to_be_mended_is_named_in_the_table_as_read(panel):
    """The table is no file yet."""
    panel.text.set("Longest side (in)\t12-23\t24+\nup to 2\t$4.1O\t$3.10\n2.01-3\t$5.25\t$4.00")
    assert panel.ready.words.splitlines()[1] == (
        'Row 2, column "12-23": found an empty cell, expected an amount such as 3.20. Fill in the '
        "cell."
    )
