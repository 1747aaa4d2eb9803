"""The two demo shops keep what they promise, and data/README.md tells all of it."""

import csv
import re
import shutil
from pathlib import Path

import openpyxl
import pytest

from pricelab.cost.orders import Order, obstacles
from pricelab.files.faults import ShopFaults
from pricelab.files.schema import SETTINGS, TABLES
from pricelab.files.shop_folder import read_shop
from pricelab.lists.audit import audit
from pricelab.lists.basis import list_shapes
from pricelab.lists.trouble import Trouble
from pricelab.shop.grids import PER_THOUSAND_STITCHES
from pricelab.shop.sizes import Artwork, Measure

DATA = Path(__file__).parents[2] / "data"
NAMES = ("harbour-caps", "fjord-muetzen")
INVENTED = "# Invented demonstration data: no real shop and no real price"
IN_HOUSE = {"flat", "raised", "vinyl"}


@pytest.fixture(scope="module")
def folders():
    """Both demo shops, read."""
    return {name: read_shop(DATA / name) for name in NAMES}


@pytest.fixture(scope="module")
def harbour(folders):
    return folders["harbour-caps"]


@pytest.fixture(scope="module")
def fjord(folders):
    return folders["fjord-muetzen"]


@pytest.fixture(scope="module")
def readme() -> str:
    return (DATA / "README.md").read_text(encoding="utf-8")


def _findings(folder):
    """Every finding on every list of a shop, with its list."""
    for price_list in folder.price_lists:
        for finding in audit(folder.shop, price_list).findings:
            yield price_list, finding


# ---- what is true of both -------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_a_demo_shop_reads_without_a_fault_or_a_warning(folders, name):
    assert folders[name].warnings == ()


@pytest.mark.parametrize("name", NAMES)
def test_a_demo_shop_says_that_it_is_invented(folders, name):
    assert folders[name].shop.notice.startswith("Invented demonstration data")


@pytest.mark.parametrize("path", sorted(DATA.glob("*/**/*.csv")), ids=lambda p: p.stem)
def test_every_file_says_that_it_is_invented_in_its_first_line(path):
    assert path.read_text(encoding="utf-8").splitlines()[0] == INVENTED


@pytest.mark.parametrize("name", NAMES)
def test_every_finished_job_can_be_made(folders, name):
    """No job is too large, too small or too hot for what it was made of."""
    shop, seen = folders[name].shop, folders[name].jobs
    artworks = seen[["method", "blank", "width", "height"]].drop_duplicates()
    for method, blank, width, height in artworks.itertuples(index=False):
        artwork = Artwork(width, height, shop.unit)
        order = Order.of(shop.blanks[blank], 1, shop.methods[method], artwork)
        assert obstacles(order) == "", (method, blank, width, height)


@pytest.mark.parametrize("name", NAMES)
def test_only_the_first_order_of_an_artwork_is_called_first(folders, name):
    """A repeat comes after a first order of the same client, method and artwork."""
    artwork = ["client", "method", "blank", "width", "height"]
    done = folders[name].jobs.sort_values(["date", "job"], kind="stable")
    assert (done.drop_duplicates(artwork)["order"] == "first").all()
    repeats = (done["order"] == "repeat").mean()
    assert 0.3 < repeats < 0.6


@pytest.mark.parametrize(("name", "count"), [("harbour-caps", 400), ("fjord-muetzen", 250)])
def test_the_finished_jobs_cover_eighteen_months_of_a_small_shop(folders, name, count):
    done = folders[name].jobs
    assert count <= len(done) < count + 10
    assert 530 < (done["date"].max() - done["date"].min()).days < 560
    dozens = done["quantity"].isin([12, 24, 36, 48]).mean()
    assert dozens > 0.3, "small shops sell by the dozen"
    assert {30, 45, 50, 60, 100} < set(done["quantity"])
    assert done["client"].duplicated().sum() > len(done) / 2


# ---- inches and dollars ---------------------------------------------------------------


def test_harbour_caps_is_in_inches_and_dollars_before_tax(harbour):
    shop = harbour.shop
    assert (shop.unit, shop.currency, shop.heat_unit) == ("in", "USD", "°F")
    assert not shop.pricing.tax.included


def test_harbour_caps_decorates_in_six_ways_and_has_one_of_them_done_outside_too(harbour):
    bought = {key for key, method in harbour.shop.methods.items() if method.grid is not None}
    assert bought == {"leather", "embroidered-patch", "moulded", "flat-contracted"}
    assert set(harbour.shop.methods) - bought == IN_HOUSE
    assert harbour.shop.methods["flat-contracted"].grid.measure is Measure.THOUSAND_STITCHES


def test_harbour_caps_has_ten_blanks_or_more_with_a_beanie_and_a_bag(harbour):
    names = [blank.name for blank in harbour.shop.blanks.values()]
    assert len(names) >= 10
    assert any("beanie" in name for name in names)
    assert any("bag" in name for name in names)
    assert len({blank.make_up for blank in harbour.shop.blanks.values()}) >= 8
    assert {blank.prices.pack for blank in harbour.shop.blanks.values()} > {1, 12}


def test_every_grid_of_harbour_caps_has_eight_sizes_and_seven_breaks_or_more(harbour):
    for method in harbour.shop.methods.values():
        if method.grid is not None:
            assert method.grid.bands.size >= 8, method.key
            assert method.grid.breaks.size >= 7, method.key


def test_leather_goes_by_the_mean_of_the_sides_with_a_fee_on_the_first_order_and_an_offer(harbour):
    leather = harbour.shop.methods["leather"]
    assert leather.grid.measure is Measure.MEAN_OF_SIDES
    assert leather.setup > 0
    assert leather.repeat_setup == 0
    assert leather.promotions
    assert "laundering" in leather.care


def test_moulded_patches_have_the_higher_minimum(harbour):
    least = {key: m.grid.breaks[0] for key, m in harbour.shop.methods.items() if m.grid}
    assert least["moulded"] == 50 == max(least.values())


def test_a_foam_front_does_not_bear_a_pressed_leather_patch(harbour):
    shop = harbour.shop
    order = Order.of(shop.blanks["foam-front"], 24, shop.methods["leather"], Artwork(2, 2, "in"))
    assert str(obstacles(order)) == (
        "Leather patch, pressed on needs 300°, more than Foam-front mesh cap bears (250°)."
    )


def test_ten_thousand_stitches_are_taken_as_wide_as_the_panel_is_low(harbour):
    """By hand: 10,000 / (2,000 × 50 %) = 10 square inches; 2.5 high on the panel, so 4 wide."""
    shop = harbour.shop
    method, blank = shop.methods["flat-contracted"], shop.blanks["structured-twill"]
    artwork = list_shapes(method, blank, [10])
    assert (artwork.width.item(), artwork.height.item()) == pytest.approx((4, 2.5), rel=1e-12)
    assert artwork.stitches.item() == 10_000


def test_the_list_of_harbour_caps_mostly_holds_and_loses_in_a_few_cells(harbour):
    cells = sum(price_list.prices.size for price_list in harbour.price_lists)
    findings = list(_findings(harbour))
    losing = [f for _, f in findings if f.trouble in (Trouble.BELOW_COST, Trouble.BELOW_FLOOR)]
    assert cells > 400
    assert 5 <= len(losing) < 0.05 * cells
    assert {f.trouble for _, f in findings} >= {
        Trouble.BELOW_COST,
        Trouble.BELOW_FLOOR,
        Trouble.UNDER_TARGET,
        Trouble.RISES,
        Trouble.SMALLER_DEARER,
        Trouble.BETTER_OFF,
    }


def test_some_cells_lose_inside_their_tier_and_not_at_its_start(harbour):
    """Where packs and minimums fall inside a tier the worst quantity is a later one."""
    inside = [
        (price_list.method, price_list.blank)
        for price_list, f in _findings(harbour)
        if f.trouble in (Trouble.BELOW_COST, Trouble.BELOW_FLOOR)
        and f.quantity > price_list.starts[f.tier]
    ]
    assert {("moulded", "foam-front"), ("vinyl", "tote")} <= set(inside)


# ---- millimetres and euros ------------------------------------------------------------


def test_fjord_muetzen_is_in_millimetres_and_euros_with_tax_in_its_prices(fjord):
    shop = fjord.shop
    assert (shop.unit, shop.currency, shop.heat_unit) == ("mm", "EUR", "°C")
    assert (shop.pricing.tax.rate, shop.pricing.tax.included) == (0.19, True)
    endings = {round(p % 1, 2) for each in fjord.price_lists for p in each.prices.flat}
    assert endings == {0.95}


def test_fjord_muetzen_buys_leather_by_area_in_packs_of_twelve_from_a_minimum(fjord):
    leather = fjord.shop.methods["leather"].grid
    assert (leather.measure, leather.unit, leather.pack) == (Measure.AREA, "mm", 12)
    assert leather.breaks[0] == 24
    assert leather.prices.shape == (9, 7)
    # By hand: 45 × 45 = 2025 mm², over the band that ends at 2000; 25 wanted are 3 packs of 12.
    assert leather.band_of(2025) == leather.band_of(2700)
    assert leather.billed(25) == 36


def test_fjord_muetzen_moulds_embroiders_cuts_and_contracts_out_by_the_thousand(fjord):
    methods_ = fjord.shop.methods
    assert set(methods_) == {"leather", "moulded", "flat", "vinyl", "flat-contracted"}
    assert methods_["flat-contracted"].grid.per == PER_THOUSAND_STITCHES
    assert len(fjord.shop.blanks) >= 6
    assert 12 in {blank.prices.pack for blank in fjord.shop.blanks.values()}


def test_fjord_muetzen_shows_the_decimal_comma_and_a_grid_from_a_spreadsheet(fjord):
    grids = [m.grid.sheet.file for m in fjord.shop.methods.values() if m.grid is not None]
    workbooks = [file for file in grids if file.endswith(".xlsx")]
    assert workbooks == ["grids/leather-by-area.xlsx"]
    sheet = openpyxl.load_workbook(DATA / "fjord-muetzen" / workbooks[0]).active
    assert sheet["A1"].value == INVENTED
    with (DATA / "fjord-muetzen" / "price_list.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file, delimiter=";"))
    assert "," in rows[2][-1]


# ---- the page for the owner -----------------------------------------------------------


def test_the_page_names_every_column_in_its_own_section(readme):
    for stem, columns in {**TABLES, "shop": SETTINGS}.items():
        section = readme.split(f"\n## {stem}.csv\n")[1].split("\n## ")[0]
        for column in columns:
            assert re.search(rf"\b{re.escape(column.name)}\b", section), (stem, column.name)


def test_the_page_quotes_an_error_as_it_is_told(readme, tmp_path):
    """The slip of the hand shown on the page, made in a copy, is answered word for word."""
    quoted = re.search(r"^ {4}(grids/leather-patches\.csv, row 4.*)$", readme, re.MULTILINE)[1]
    copy = shutil.copytree(DATA / "harbour-caps", tmp_path / "copy")
    grid = copy / "grids" / "leather-patches.csv"
    lines = grid.read_text(encoding="utf-8").splitlines(keepends=True)
    cells = lines[3].split(",")
    cells[lines[1].split('"')[-1].split(",").index("50+")] = "3.2O"
    lines[3] = ",".join(cells)
    grid.write_text("".join(lines), encoding="utf-8")
    with pytest.raises(ShopFaults, match=f"{re.escape(quoted)}$"):
        read_shop(copy)
