"""A sound shop folder: every figure is where it should be and knows where it came from.

Expected values are read off `cornershop.CORNER_SHOP` by hand.
"""

import subprocess
import sys
from datetime import date

import numpy as np
import pandas as pd
import pytest

from pricelab.files.faults import ShopFaults
from pricelab.files.folders import DEMO_SHOPS
from pricelab.files.jobs import TYPES
from pricelab.files.shop_folder import read_shop
from pricelab.files.source import Folder
from pricelab.shop.charges import Level
from pricelab.shop.place import Place
from pricelab.shop.pricing_rules import Tax
from pricelab.shop.rounding import Rounding
from pricelab.shop.sizes import Measure


def test_settings_become_the_shop(corner_shop):
    """Percentages are fractions; what is left out has its default."""
    shop = corner_shop.read().shop
    assert (shop.name, shop.currency, shop.unit, shop.heat_unit) == (
        "Corner Caps",
        "USD",
        "in",
        "°F",
    )
    assert (shop.rates.labour, shop.rates.overhead, shop.rates.overhead_on) == (24, 6, "attended")
    rules = shop.pricing
    assert (rules.target, rules.floor, rules.rounding) == (0.4, 0.25, Rounding(0.25))
    assert (rules.setup_apart, rules.tax) == (True, Tax(0.065))
    assert (shop.service_level, shop.surplus_worth, shop.order_up) == (0.95, 0, False)
    assert (shop.valid_days, shop.conditions, shop.largest_order) == (60, "", 1000)


def test_every_setting_can_be_told(corner_shop):
    """In the words of the format."""
    corner_shop.write(
        "shop.csv",
        "setting;value\nname;Fjord\ncurrency;EUR\nunit;mm\nlabour rate;28,50\ntarget margin;44 %\n"
        "floor margin;30 %\nprice step;1\nprice ending;0,95\nset-up;spread\nsales tax;19%\n"
        "prices include tax;yes\ntax name;VAT\nheat unit;°C\noverhead on;machine\n"
        "overhead rate;12\nservice level;90 %\nsurplus worth;10 %\norder up;yes\n"
        "valid days;90\nconditions;Pay on receipt; no returns\nlargest order;500\n".replace(
            "Pay on receipt; no returns", '"Pay on receipt; no returns"'
        ),
    )
    shop = corner_shop.read().shop
    assert (shop.rates.labour, shop.rates.overhead_on, shop.unit) == (28.5, "machine", "mm")
    assert (shop.pricing.rounding, shop.pricing.setup_apart) == (Rounding(1, 0.95), False)
    assert shop.pricing.tax == Tax(0.19, True, "VAT")
    assert (shop.service_level, shop.surplus_worth, shop.order_up) == (0.9, 0.1, True)
    assert (shop.valid_days, shop.largest_order) == (90, 500)
    assert shop.conditions == "Pay on receipt; no returns"


def test_blanks_with_their_prices(corner_shop):
    """120 mm are 120 ÷ 25.4 = 4.7244 in."""
    blanks = corner_shop.read().shop.blanks
    twill, mesh = blanks["twill"], blanks["mesh"]
    assert (twill.name, twill.make_up, twill.heat_limit) == ("Twill cap", "six panels", 330)
    assert (twill.panel_width, twill.panel_height, twill.unit) == (5, 2.25, "in")
    assert mesh.panel_width == pytest.approx(120 / 25.4, abs=1e-12)
    assert (mesh.prices.pack, mesh.heat_limit, mesh.care) == (12, None, "")
    assert mesh.prices.price(0, np.array([1, 47, 48])).tolist() == [4.80, 4.80, 4.10]


def test_methods_with_all_that_hangs_on_them(corner_shop):
    """Grid, machine, roll, promotion, operations and costs, each with its method."""
    shop = corner_shop.read().shop
    leather, vinyl, flat = (shop.methods[key] for key in ("leather", "vinyl", "flat"))
    assert (leather.setup, leather.repeat_setup, leather.spoilage) == (45, 0, 0.02)
    assert (leather.max_width, leather.max_height, leather.min_side) == (5, 4, 0.75)
    assert (leather.heat, leather.care) == (300, "wipe clean")
    assert leather.setup_due(True, date(2026, 11, 20)) == 0
    assert [operation.name for operation in leather.operations] == ["press"]
    assert [charge.name for charge in leather.charges] == ["cover sheet"]
    assert float(leather.grid.price(2.25, 47)) == 3.95
    assert (vinyl.roll.width, vinyl.roll.edge, vinyl.roll.gap, vinyl.roll.price) == (
        15,
        0.5,
        0,
        0.21,
    )
    assert (flat.stitching.speed, flat.stitching.heads, flat.stitching.thread) == (700, 2, 0.16)
    assert (flat.stitching.change, flat.stitching.attended) == (1.5, False)
    assert flat.stitching.station == "embroidery machine"
    assert [operation.name for operation in shop.operations] == ["take the order"]
    card = shop.charges[1]
    assert (card.name, card.level, card.share, card.amount) == ("card fee", Level.REVENUE, 0.029, 0)
    assert [charge.batch for charge in shop.charges] == [48, 1]


@pytest.mark.parametrize("demo", DEMO_SHOPS, ids=lambda path: path.name)
def test_a_shop_in_memory_is_the_one_in_the_folder(demo):
    """But for the folder: the same figures, places, warnings and files that were read."""
    held, there = read_shop(dict(Folder(demo))), read_shop(demo)
    assert held.folder is None
    assert repr(held.shop) == repr(there.shop)
    assert [str(one) for one in held.price_lists] == [str(one) for one in there.price_lists]
    pd.testing.assert_frame_equal(held.jobs, there.jobs)
    pd.testing.assert_frame_equal(held.quotes, there.quotes)
    assert (held.warnings, held.held) == (there.warnings, there.held)


def test_faults_in_memory_are_told_in_the_same_words(corner_shop):
    """A cell that is none, a grid that is not there, and a table that is missing."""
    corner_shop.change("blanks.csv", "2 1/4", "2 1/O")
    corner_shop.change("methods.csv", ",leather,45", ",lether,45")
    (corner_shop.folder / "costs.csv").unlink()
    files = {
        name: corner_shop.folder.joinpath(name).read_bytes() for name in Folder(corner_shop.folder)
    }
    with pytest.raises(ShopFaults, match="2 1/O") as there:
        read_shop(corner_shop.folder)
    with pytest.raises(ShopFaults, match="2 1/O") as held:
        read_shop(files)
    assert held.value.faults == there.value.faults
    assert len(held.value.faults) == 3


def test_every_figure_knows_its_place(corner_shop):
    """File, row and column, as a person finds them in the spreadsheet."""
    shop = corner_shop.read().shop
    leather, vinyl, flat = (shop.methods[key] for key in ("leather", "vinyl", "flat"))
    assert {
        str(place)
        for place in (
            shop.blanks["mesh"].place,
            shop.blanks["mesh"].prices.place(0, 1),
            leather.place,
            leather.grid.place(2, 1),
            leather.promotions[0].place,
            leather.operations[0].place,
            leather.charges[0].place,
            vinyl.roll.place,
            flat.stitching.place,
            shop.charges[0].place,
        )
    } == {
        "blanks.csv, row 3",
        'blank_prices.csv, row 5, column "price"',
        "methods.csv, row 2",
        'grids/leather.csv, row 4, column "24"',
        'promotions.csv, row 2, column "set-up"',
        'operations.csv, row 3, column "minutes"',
        'costs.csv, row 4, column "amount"',
        'rolls.csv, row 2, column "price"',
        "stitching.csv, row 2",
        'costs.csv, row 2, column "amount"',
    }


def test_price_lists_by_method_and_blank(corner_shop):
    """Tiers without a price at the list's end are not part of it; the last ends by the setting."""
    leather, flat = corner_shop.read().price_lists
    assert (leather.method, leather.blank, leather.measure) == (
        "leather", "twill", Measure.MEAN_OF_SIDES,
    )  # fmt: skip
    assert (leather.sizes.tolist(), leather.unit) == ([2, 2.5], "in")
    assert (leather.starts.tolist(), leather.last) == ([12, 24, 48], 1000)
    assert leather.prices.tolist() == [[25, 20.75, 17.5], [27.5, 22.75, 19]]
    assert leather.tax == Tax(0.065)
    assert leather.place(1, 2) == Place("price_list.csv", 3, "48")
    assert (flat.starts.tolist(), flat.prices.tolist()) == ([24, 48], [[18, 15]])
    assert flat.place(0, 0) == Place("price_list.csv", 4, "24")


@pytest.mark.parametrize(
    ("header", "row", "starts", "last"),
    [
        ("12,24,48–500", "25,20,17", [12, 24, 48], 500),
        ("12–23,24–47,48+", "25,20,17", [12, 24, 48], 1000),
        ("12,24,2000", "25,20,17", [12, 24, 2000], 2000),
        ("12,24,48", "25,20,", [12, 24], 47),
        ("12,24,48", ",20,", [24], 47),
    ],
)
def test_where_a_list_ends(corner_shop, header, row, starts, last):
    """By its last heading, by the next tier not offered, or by the largest order of the shop."""
    corner_shop.write("price_list.csv", f"method,blank,size,{header}\nleather,twill,2,{row}\n")
    (price_list,) = corner_shop.read().price_lists
    assert (price_list.starts.tolist(), price_list.last) == (starts, last)


def test_jobs_are_a_table_with_types_and_row_numbers(corner_shop):
    """Minutes and spoiled pieces that nobody noted are missing, not 0."""
    jobs = corner_shop.read().jobs
    assert {name: str(kind) for name, kind in jobs.dtypes.items()} == TYPES
    assert jobs.index.tolist() == [2, 3]
    assert jobs.loc[2, ["width", "height", "quantity", "charged"]].tolist() == [2.5, 2, 24, 568]
    assert jobs.loc[2, "date"].date() == date(2026, 5, 19)
    assert jobs.loc[3, ["attended minutes", "spoiled pieces"]].isna().all()
    (corner_shop.folder / "jobs.csv").unlink()
    none = corner_shop.read().jobs
    assert len(none) == 0
    assert (none.dtypes == jobs.dtypes).all()


def test_what_was_paid_for_freight_and_set_up_may_be_noted_with_a_job(corner_shop):
    """In two more columns; an empty cell is not noted."""
    head, *rows = (corner_shop.folder / "jobs.csv").read_text().splitlines()
    more = [f"{head},freight paid,set-up paid", f"{rows[0]},7.25,", f"{rows[1]},,20.00"]
    corner_shop.write("jobs.csv", "\n".join(more))
    paid = corner_shop.read().jobs[["freight paid", "set-up paid"]]
    assert paid.astype(object).where(paid.notna(), None).to_numpy().tolist() == [
        [7.25, None], [None, 20.0],
    ]  # fmt: skip


def test_a_windows_spreadsheet_saves_the_same_shop(corner_shop):
    """Byte-order marks and carriage returns are read without complaint."""
    plain = corner_shop.read()
    for path in corner_shop.folder.rglob("*.csv"):
        path.write_text("\ufeff" + path.read_text("utf-8"), "utf-8", newline="\r\n")
    read = corner_shop.read()
    assert read.shop.rates == plain.shop.rates
    assert read.shop.methods["leather"].grid.prices.tolist() == [
        [3.65, 2.8, 2.15], [4.4, 3.4, 2.6], [5.1, 3.95, 3.05],
    ]  # fmt: skip
    assert read.jobs.equals(plain.jobs)
    assert not read.warnings


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda path: None, 'found no such folder, expected a folder that holds shop.csv. '
         "Copy a demo shop's folder and fill it in."),
        (lambda path: path.mkdir(), "found an empty folder, expected a folder that holds "
         "shop.csv. Copy a demo shop's folder and fill it in."),
        (lambda path: path.write_text(""), "found a file, expected a folder that holds "
         "shop.csv. Name the folder it lies in."),
    ],
)  # fmt: skip
def test_what_is_no_shop_folder(tmp_path, make, said):
    """Missing, empty, or a file."""
    path = tmp_path / "shop"
    make(path)
    with pytest.raises(ShopFaults, match=r"^.*expected a folder that holds shop") as refused:
        read_shop(path)
    assert str(refused.value) == f"{path}: {said}"


@pytest.mark.parametrize("lock", [".~lock.blanks.csv#", "~$blanks.csv"])
def test_a_table_that_is_open_in_a_spreadsheet_is_told(corner_shop, lock):
    """It is read as it was last saved; its mark is no table, and the mark of another is nothing."""
    before = corner_shop.read().warnings
    corner_shop.write(".~lock.letter.odt#", "")
    assert corner_shop.read().warnings == before
    corner_shop.write(lock, "")
    (told,) = set(corner_shop.read().warnings) - set(before)
    assert str(told) == (
        "blanks.csv: found a file that is open in a spreadsheet, expected one that is closed: "
        "what is not saved there is not read here, and what is saved here would be lost there. "
        "Save it there and close it."
    )


@pytest.mark.parametrize("stored", ["mu\u0308tzen", "m\u00fctzen"])
@pytest.mark.parametrize("told", ["mu\u0308tzen", "m\u00fctzen"])
def test_a_grid_is_found_whichever_way_its_umlaut_is_stored(corner_shop, stored, told):
    """A Mac takes ü apart where other machines do not."""
    (corner_shop.folder / "grids/leather.csv").rename(corner_shop.folder / f"grids/{stored}.csv")
    corner_shop.change("methods.csv", "Leather patch,leather,", f"Leather patch,{told},")
    grid = corner_shop.read().shop.methods["leather"].grid
    assert (grid.name, grid.sheet.file) == ("m\u00fctzen", f"grids/{stored}.csv")


def test_what_the_files_held_is_kept_with_what_was_read(corner_shop):
    """So that nothing is saved over what was never read."""
    read = corner_shop.read()
    for file in ("price_list.csv", "operations.csv", "methods.csv", "grids/leather.csv"):
        assert read.held[file] == (corner_shop.folder / file).read_bytes()


def test_reading_files_pulls_in_no_pictures_nor_screens():
    """Importing the reader stays quick."""
    code = (
        "import sys, pricelab.files.shop_folder;"
        "print([m for m in ('pandas', 'openpyxl', 'matplotlib', 'scipy', 'ipywidgets')"
        " if m in sys.modules])"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout == "[]\n"
