"""A shop's tables edited: read by the loader as they would be, saved together or not at all."""

import os
import shutil
from datetime import UTC, datetime

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pricelab.files.csv_sheet import CsvSheet
from pricelab.files.edits import EDITABLE, Edits
from pricelab.files.explained import explained
from pricelab.files.faults import ShopFaults
from pricelab.files.folders import DEMO_SHOPS
from pricelab.files.schema import REQUIRED, SETTINGS
from pricelab.files.shop_folder import read_shop
from pricelab.shop.errors import PricelabError

NOW = datetime(2026, 11, 25, 9, 30, tzinfo=UTC)


def files(folder):
    """Every file with what it holds."""
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*.*")}


def row_of(edits, table, column, text):
    """The first row in which a cell holds a text."""
    return next(r for r in edits.rows(table) if edits.cell(table, r, column) == text)


@pytest.mark.parametrize("shop", DEMO_SHOPS, ids=lambda path: path.name)
def test_tables_that_are_not_edited_are_as_they_were(shop):
    """And read as the folder itself is read."""
    edits = Edits.of(shop)
    assert edits.changed == ()
    assert set(edits.sheets) == set(EDITABLE)
    would_be, is_now = edits.read(), read_shop(shop)
    assert would_be.shop.rates == is_now.shop.rates
    assert would_be.shop.methods.keys() == is_now.shop.methods.keys()
    assert would_be.warnings == is_now.warnings


def test_a_cell_edited_is_read_as_it_would_be_and_then_saved(folder):
    """Only its file changes, only in its row; what stood there before is kept."""
    before = files(folder)
    edits = Edits.of(folder)
    row = row_of(edits, "blank_prices", "blank", "twill")
    edits = edits.with_cell("blank_prices", row, "price", "4.56")
    assert edits.changed == ("blank_prices",)
    assert edits.read().shop.blanks["twill"].prices.prices[0, 0] == 4.56
    assert files(folder) == before
    assert edits.save(NOW) == ("blank_prices.csv",)
    after = files(folder)
    assert after.pop("old/blank_prices.until-2026-11-25-093000.csv") == before["blank_prices.csv"]
    assert {name for name in after if after[name] != before[name]} == {"blank_prices.csv"}
    old, new = (x["blank_prices.csv"].splitlines() for x in (before, after))
    assert [at for at, line in enumerate(new) if line != old[at]] == [row]
    assert read_shop(folder).shop.blanks["twill"].prices.prices[0, 0] == 4.56


def test_every_fault_of_every_table_is_told_in_the_loaders_words(folder):
    """A blank without a price, a wage that is none and a method that is not there, in one go."""
    edits = Edits.of(folder).with_setting("labour rate", "2O")
    edits = edits.with_row("blanks")
    new = edits.rows("blanks")[-1]
    for column, text in (("blank", "visor"), ("panel width", "4"), ("panel height", "2")):
        edits = edits.with_cell("blanks", new, column, text)
    row = row_of(edits, "operations", "method", "leather")
    edits = edits.with_cell("operations", row, "method", "lether")
    with pytest.raises(ShopFaults, match="visor") as told:
        edits.read()
    said = [str(fault) for fault in told.value.faults]
    assert said == [
        'shop.csv, row 5, column "value": found "2O", expected an amount such as 3.20. '
        "Replace the letter O by a zero.",
        f'blanks.csv, row {new + 1}, column "blank": found "visor" without a price, expected its '
        "prices in blank_prices.csv. Add a row there with the quantity the price holds from.",
        f'operations.csv, row {row + 1}, column "method": found "lether", expected a method of '
        'methods.csv. Write "leather", or add "lether" to methods.csv.',
    ]


def test_rows_are_added_and_removed_and_empty_ones_are_not_saved(folder):
    """A new row counts from the file's last; removed ones take no others with them."""
    edits = Edits.of(folder)
    count = len(edits.rows("costs"))
    edits = edits.with_row("costs").with_row("costs")
    assert len(edits.rows("costs")) == count + 2
    assert edits.changed == ()
    assert edits.read().shop.charges == read_shop(folder).shop.charges
    first, second = edits.rows("costs")[-2:]
    for column, text in (("cost", "bag"), ("element", "packing"), ("level", "piece")):
        edits = edits.with_cell("costs", second, column, text)
    edits = edits.with_cell("costs", second, "amount", "0.07").without_row("costs", first)
    assert edits.save(NOW) == ("costs.csv",)
    assert ("bag", 0.07) in [(c.name, c.amount) for c in read_shop(folder).shop.charges]
    again = Edits.of(folder)
    assert len(again.rows("costs")) == count + 1
    again.without_row("costs", again.rows("costs")[-1]).save(NOW)
    assert len(Edits.of(folder).rows("costs")) == count


def test_a_table_that_was_not_there_is_begun_with_its_columns(folder):
    """Separated as the shop's other tables are."""
    (folder / "promotions.csv").unlink(missing_ok=True)
    edits = Edits.of(folder).with_row("promotions")
    assert edits.changed == ()
    (row,) = edits.rows("promotions")
    told = {"method": "leather", "starts": "2026-11-20", "ends": "2026-12-06", "set-up": "0"}
    for column, text in told.items():
        edits = edits.with_cell("promotions", row, column, text)
    assert edits.save(NOW) == ("promotions.csv",)
    assert (folder / "promotions.csv").read_text() == (
        "method,starts,ends,set-up,note\nleather,2026-11-20,2026-12-06,0,\n"
    )
    assert read_shop(folder).shop.methods["leather"].promotions[0].setup == 0


def test_a_setting_that_was_left_out_gets_a_row(folder):
    """One that is empty does not."""
    edits = Edits.of(folder)
    assert dict(edits.settings())["valid days"] is None
    assert edits.with_setting("valid days", " ") is edits
    edits = edits.with_setting("valid days", "45")
    assert edits.read().shop.valid_days == 45
    assert edits.setting("valid days") == "45"
    edits.save(NOW)
    assert read_shop(folder).shop.valid_days == 45


def test_the_mark_on_a_row_goes_when_its_figure_is_replaced(folder):
    """The rest of the note stays; another row keeps its mark until the reader says otherwise."""
    path = folder / "costs.csv"
    sheet = CsvSheet.of(path.read_bytes())
    rows = [r for r in range(sheet.head + 1, len(sheet.rows)) if not sheet.is_remark(r)]
    for row, note in zip(rows, ("to be replaced: ask the carrier", "To be replaced"), strict=False):
        sheet = sheet.with_cell(row, "note", note)
    path.write_bytes(sheet.content)
    edits = Edits.of(folder)
    assert edits.count_marked("costs") == 2
    edits = edits.with_cell("costs", rows[0], "amount", "7.77")
    assert edits.cell("costs", rows[0], "note") == "ask the carrier"
    assert edits.count_marked("costs") == 1
    edits = edits.without_marks("costs")
    assert (edits.count_marked("costs"), edits.cell("costs", rows[1], "note")) == (0, "")


def test_a_name_that_would_make_its_row_a_remark_is_refused(folder):
    """It would be gone without a word."""
    edits = Edits.of(folder)
    with pytest.raises(PricelabError, match="remark") as told:
        edits.with_cell("blanks", edits.rows("blanks")[0], "blank", "#1 cap")
    assert str(told.value) == (
        'Found "#1 cap" in the column "blank", expected a name: a row that begins with # is a '
        "remark, which nobody reads. Leave out the #."
    )


def test_a_file_changed_meanwhile_is_left_alone_and_so_are_all_others(folder):
    """In a spreadsheet, say, or in another tab."""
    edits = Edits.of(folder).with_setting("labour rate", "31")
    edits = edits.with_cell("blanks", edits.rows("blanks")[0], "name", "Another name")
    path = folder / "blanks.csv"
    path.write_bytes(path.read_bytes() + b"\n")
    before = files(folder)
    with pytest.raises(PricelabError, match="was changed since") as told:
        edits.save(NOW)
    assert str(told.value) == (
        "blanks.csv was changed since this page read it, perhaps in another tab or in a "
        "spreadsheet. Run this notebook again, then save."
    )
    assert files(folder) == before


def test_where_one_of_two_files_cannot_be_placed_neither_is(folder, monkeypatch):
    """The first is put back as it was."""
    edits = Edits.of(folder).with_setting("labour rate", "31")
    edits = edits.with_cell("blanks", edits.rows("blanks")[0], "name", "Another name")
    before = files(folder)
    replace, count = os.replace, []

    def locked(part, path):
        if path.parent == folder and path.suffix:
            count.append(path.name)
        if count == ["shop.csv", "blanks.csv"]:
            raise PermissionError(13, "Permission denied")
        replace(part, path)

    monkeypatch.setattr(os, "replace", locked)
    with pytest.raises(PricelabError, match=r"^Could not save .*blanks\.csv.*may not be written"):
        edits.save(NOW)
    now = {name: held for name, held in files(folder).items() if not name.startswith("old/")}
    assert now == before
    assert count == ["shop.csv", "blanks.csv", "shop.csv"]


def test_a_table_in_a_spreadsheet_or_no_text_is_shown_locked(folder):
    """With what to do; the other tables can be edited."""
    (folder / "costs.csv").rename(folder / "costs.xlsx")
    (folder / "blanks.csv").write_bytes(b"\xff\xfe\x00")
    locked = Edits.of(folder).locked
    assert locked == {
        "costs": "This table stands in costs.xlsx, which this workbook does not write. Edit it in "
        "your spreadsheet, or save it as costs.csv and delete the old file.",
        "blanks": "This table holds letters that are not UTF-8. Save it from the spreadsheet as "
        '"CSV UTF-8".',
    }


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.data())
def test_whatever_is_typed_anywhere_reads_back_and_the_rest_stays(tmp_path_factory, data):
    """Any text in any cell of any table of the demo shop: saved, it stands there on one line."""
    folder = tmp_path_factory.mktemp("shop")
    for table in EDITABLE:
        shutil.copyfile(DEMO_SHOPS[0] / f"{table}.csv", folder / f"{table}.csv")
    edits = Edits.of(folder)
    before = files(folder)
    wanted = {}
    for _ in range(data.draw(st.integers(1, 4))):
        table = data.draw(st.sampled_from(EDITABLE))
        row = data.draw(st.sampled_from(edits.rows(table)))
        column = data.draw(st.sampled_from([c for c in edits.headings(table) if c != "note"]))
        text = data.draw(st.text(max_size=12))
        try:
            edits = edits.with_cell(table, row, column, text)
        except PricelabError:
            assert text.strip().startswith("#") or not text.isprintable()
            continue
        wanted[table, row, column] = edits.cell(table, row, column)
        assert "\n" not in wanted[table, row, column]
        if text.isprintable() and text.isascii():
            assert wanted[table, row, column] in (" ".join(text.split()), text)
    edits.save(NOW)
    again = Edits.of(folder)
    for (table, row, column), text in wanted.items():
        assert CsvSheet.of(files(folder)[f"{table}.csv"]).cell(row, column) == text
    for name, held in before.items():
        table = name.removesuffix(".csv")
        old, new = CsvSheet.of(held), again.sheets[table]
        touched = {row for one, row, _ in wanted if one == table}
        assert len(old.rows) == len(new.rows)
        for at, cells in enumerate(old.rows):
            if at not in touched:
                assert new.rows[at] == cells


def test_every_column_and_setting_is_explained_in_the_page_on_the_data():
    """The screens say it in the same words, and which columns may be empty."""
    edits = Edits.of(DEMO_SHOPS[0])
    for table in EDITABLE:
        told = explained(table)
        known = SETTINGS if table == "shop" else edits.columns(table)
        assert set(told) == {column.name for column in known}, table
        for column in known:
            needed = told[column.name].empty == ("needed" if table == "shop" else "no")
            assert needed == (column.default is REQUIRED), (table, column.name)
