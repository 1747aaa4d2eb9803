"""A new grid goes into the shop's folder whole, read back first, and the old one is kept."""

import re
from datetime import UTC, date, datetime

import pytest

from pricelab.files.faults import ShopFaults
from pricelab.files.grid_file import read_grid
from pricelab.files.save_grid import NewGrid, save_grid
from pricelab.files.shop_folder import read_shop
from pricelab.shop.errors import PricelabError
from pricelab.shop.grids import PER_THOUSAND_STITCHES
from pricelab.shop.sizes import Measure

CELLS = (("", "12-23", "24+"), ("up to 2", "4.10", "3.20"), ("2.01-3", "5.25", "4.00"))
GRID = NewGrid(CELLS, Measure.MEAN_OF_SIDES, "in")
NOW = datetime(2026, 11, 25, 9, 30, tzinfo=UTC)
TODAY = NOW.date()


def save(folder, name="stitched", grid=GRID, holds_from=TODAY):
    """Save a grid on the day of the tests."""
    return save_grid(folder, name, grid, holds_from, NOW)


def test_a_saved_grid_reads_back_as_it_was_typed(folder):
    """By the reader of every grid."""
    path, kept = save(folder)
    grid, warnings = read_grid(path)
    assert (path, kept, warnings) == (folder / "grids" / "stitched.csv", None, ())
    assert (grid.measure, grid.unit) == (Measure.MEAN_OF_SIDES, "in")
    assert grid.bands.tolist() == [2, 3]
    assert grid.breaks.tolist() == [12, 24]
    assert grid.prices.tolist() == [[4.10, 3.20], [5.25, 4.00]]
    assert path.read_text("utf-8").startswith("# Prices hold from 2026-11-25\nmean of sides (in),")


def test_the_grid_before_is_kept_and_the_shop_reads_as_before(folder):
    """Under the day until which it held, in a folder that nobody reads or warns of."""
    before = (folder / "grids" / "leather.csv").read_bytes()
    warnings = read_shop(folder).warnings
    _, kept = save(folder, "leather")
    assert kept == folder / "grids" / "old" / "leather.until-2026-11-25-093000.csv"
    assert kept.read_bytes() == before
    shop = read_shop(folder)
    assert shop.shop.methods["leather"].grid.prices.tolist() == [[4.10, 3.20], [5.25, 4.00]]
    assert shop.warnings == warnings


def test_two_grids_replaced_on_one_day_are_both_kept(folder):
    """And one that is saved twice is kept once."""
    save(folder, "leather")
    other = NewGrid((("", "12"), ("2", "9.00")), Measure.AREA, "in")
    _, second = save(folder, "leather", other)
    assert second.name == "leather.until-2026-11-25-093000-2.csv"
    save(folder, "leather", GRID)
    _, again = save(folder, "leather", other)
    assert again == second


def test_a_grid_in_a_spreadsheet_is_replaced_and_kept(folder):
    """Else there would be two of one name."""
    old = folder / "grids" / "stitched.xlsx"
    old.write_bytes(b"whatever it held")
    path, kept = save(folder)
    assert not old.exists()
    assert kept.name == "stitched.until-2026-11-25-093000.xlsx"
    assert kept.read_bytes() == b"whatever it held"
    assert path.exists()


def test_a_grid_that_holds_later_stands_beside_todays(folder):
    """No method uses it yet."""
    before = (folder / "grids" / "leather.csv").read_bytes()
    path, kept = save(folder, "leather", holds_from=date(2027, 1, 1))
    assert (path.name, kept) == ("leather-from-2027-01-01.csv", None)
    assert (folder / "grids" / "leather.csv").read_bytes() == before
    read_shop(folder)


@pytest.mark.parametrize(
    "name", ["", "../leather", "a/b", "con", "COM¹", "a.csv", ".x", "x" * 41, "a\nb"]
)
def test_a_name_that_is_none_is_refused(folder, name):
    """It could lead out of the folder, or nowhere on another machine."""
    with pytest.raises(PricelabError, match=r"^Found .*, expected up to 40 letters, .*\.$"):
        save(folder, name)
    assert [path.name for path in (folder / "grids").iterdir()] == ["leather.csv"]


@pytest.mark.parametrize("name", ["Leather", "LEATHER"])
def test_a_name_that_many_machines_take_for_another_is_refused(folder, name):
    """Two files on this machine would be one on the next."""
    said = (
        f'Found the name "{name}", and there is a grid "leather": on many machines the two are '
        "one file. Write the name as that grid has it to put the new one in its place, or write "
        "another name."
    )
    with pytest.raises(PricelabError, match=f"^{re.escape(said)}$"):
        save(folder, name)
    assert [path.name for path in (folder / "grids").iterdir()] == ["leather.csv"]


def test_an_umlaut_is_one_however_it_is_stored(folder):
    """A Mac that packs a folder takes ü apart; the grid in that file is replaced and kept."""
    apart, whole = "mu\u0308tzen", "m\u00fctzen"
    (folder / "grids" / f"{apart}.csv").write_bytes(b"whatever it held")
    path, kept = save(folder, apart)
    assert path == folder / "grids" / f"{whole}.csv"
    assert kept.read_bytes() == b"whatever it held"
    names = {path.name for path in (folder / "grids").glob("*.csv")}
    assert names == {"leather.csv", f"{whole}.csv"}


def test_a_grid_that_is_open_in_a_spreadsheet_is_not_replaced(folder):
    """Not even kept: nothing is done."""
    (folder / "grids" / "~$leather.csv").write_bytes(b"")
    with pytest.raises(PricelabError, match="it is open in a spreadsheet"):
        save(folder, "leather")
    assert not (folder / "grids" / "old").exists()


def test_grids_outside_the_shop_are_not_written(folder, tmp_path):
    """Where the folder is a link."""
    (folder / "grids").rename(tmp_path / "elsewhere")
    (folder / "grids").symlink_to(tmp_path / "elsewhere")
    with pytest.raises(PricelabError, match=r"^Found that grids leads out of the shop's folder"):
        save(folder)


@pytest.mark.parametrize(
    ("cells", "said"),
    [
        ((("", "12"), ("2", "")),
         'row 2, column "12": found an empty cell, expected an amount such as 3.20. '
         "Fill in the cell."),
        ((("", "12"), ("2", "4,10")),
         'row 2, column "12": found "4,10", expected an amount such as 3.20. '
         "Replace the comma by a point."),
        ((("", "12"), ("2", "=1+1")),
         'row 2, column "12": found "=1+1", expected an amount such as 3.20. '
         "Write a plain number."),
        ((("", "12"), ("2", "\ud8004.10")),  # half a letter, as a damaged page may give one
         'row 2, column "12": found "?4.10", expected an amount such as 3.20. '
         "Write a plain number."),
    ],
)  # fmt: skip
def test_what_could_not_be_read_back_is_not_saved(folder, cells, said):
    """The sentence names the row and column of the table on the screen."""
    with pytest.raises(ShopFaults, match=f"^{re.escape(f'stitched.csv, {said}')}$"):
        save(folder, grid=NewGrid(cells, Measure.AREA, "mm"))
    assert not (folder / "grids" / "stitched.csv").exists()


def test_emptied_rows_and_columns_are_left_out():
    """The owner's way to leave something out."""
    cells = (("", "12", "", "48"), ("2", "4.10", "", "2.70"), ("", "", "", ""), ("3", "5", "", "4"))
    assert NewGrid(cells, Measure.AREA, "in").csv() == "area (in),12,48\n2,4.10,2.70\n3,5,4\n"


def test_prices_for_a_dozen_are_divided():
    """49.20 / 12 = 4.10 and 50 / 12 = 4.16666…, to a hundredth of a cent."""
    cells = (("", "12", "24"), ("2", "50", "49.20"))
    grid = NewGrid(cells, Measure.AREA, "in", pieces=12)
    assert grid.csv() == "area (in),12,24\n2,4.1667,4.10\n"


def test_the_heading_says_packs_and_thousands():
    """As the reader of grids reads it."""
    cells = (("", "12", "24"), ("any", "0.9", "0.8"))
    grid, _ = NewGrid(cells, Measure.ANY_SIZE, None, PER_THOUSAND_STITCHES, 12).check()
    assert (grid.measure, grid.per, grid.pack) == (Measure.ANY_SIZE, PER_THOUSAND_STITCHES, 12)
