"""The book of records as CSV files, and other spreadsheets taken over into it."""

from datetime import date

import pandas as pd
import pytest
from quoted import a_quote
from small_jobs import jobs_of

from pricelab.files.records.book import COPY, FILE, Records
from pricelab.files.records.happened import import_jobs
from pricelab.files.records.tables import HEADINGS, TABLES
from pricelab.files.shop_folder import read_shop
from pricelab.shop.errors import PricelabError


def test_the_whole_book_goes_out_as_csv_and_replaces_what_went_before(shop):
    """Every cell as a spreadsheet reads it: figures, days, letters, and nothing for nothing."""
    records = Records(shop)
    records.write_csv()
    records.save_quote(a_quote(shop))
    records.add_jobs(jobs_of({}, {"attended minutes": 7.5}).assign(quote=["Q1", ""]))
    records.remember_headings({"Stück": "quantity"})
    files = records.write_csv()
    assert [file.name for file in files] == [f"{table.name}.csv" for table in TABLES]
    assert {file.parent for file in files} == {shop / COPY}
    for table, file in zip(TABLES, files, strict=True):
        wanted = records.table(table)
        read = pd.read_csv(file, keep_default_na=False)
        assert list(read.columns) == list(wanted.columns)
        cells = [["" if pd.isna(cell) else cell for cell in row] for row in wanted.to_numpy(object)]
        for row, kept in zip(read.to_numpy(object).tolist(), cells, strict=True):
            assert [f"{x:%F}" if isinstance(x, date) else str(x) for x in kept] == [*map(str, row)]
    assert "1,2026-03-02,A,patch,cap,2.0,2.0,20,first,12.4,54.55,302.55,,,,,,,Q1,,\r\n" in (
        (shop / COPY / "jobs.csv").read_bytes().decode()
    )


def test_a_copy_that_leads_out_is_told(tmp_path):
    (tmp_path / "shop").mkdir()
    (tmp_path / "shop" / COPY).symlink_to(tmp_path)
    with pytest.raises(PricelabError, match=r"records-copy is a link out of the shop's folder"):
        Records(tmp_path / "shop").write_csv()


OTHER = """\
Auftrag;Tag;Kunde;Technik;Rohling;Breite;Höhe;Stück;Art;Preis;Summe;Wetter
7;2026-03-02;Åse;patch;cap;2;2;20;first;12,40;248,00;Regen
"""

HEADS = {
    "Auftrag": "job", "Tag": "date", "Kunde": "client", "Technik": "method", "Rohling": "blank",
    "Breite": "width", "Höhe": "height", "Stück": "quantity", "Art": "order",
    "Preis": "price each", "Summe": "charged", "Wetter": "note",
}  # fmt: skip


def test_a_spreadsheet_with_other_headings_is_explained_once(shop):
    """The second file is read without being told again."""
    records, values = Records(shop), read_shop(shop).shop
    (shop / "other.csv").write_text(OTHER)
    assert import_jobs(records, values, "other.csv", HEADS) == 1
    assert records.jobs().loc[0, ["job", "client", "charged"]].tolist() == ["7", "Åse", 248.00]
    (shop / "other.csv").write_text(OTHER.replace("7;", "8;"))
    assert import_jobs(records, values, "other.csv") == 1
    assert import_jobs(records, values, "other.csv") == 0
    assert records.headings() == HEADS
    assert len(records.table(HEADINGS)) == len(HEADS)


def test_what_freight_and_set_up_came_to_is_taken_over(shop):
    """7,25 of freight; the set-up was not noted, which is not 0."""
    records, values = Records(shop), read_shop(shop).shop
    told = HEADS | {"Fracht": "freight paid", "Form": "set-up paid"}
    text = OTHER.replace("Wetter", "Wetter;Fracht;Form").replace("Regen", "Regen;7,25;")
    (shop / "other.csv").write_text(text)
    assert import_jobs(records, values, "other.csv", told) == 1
    [job] = records.jobs().to_dict("records")
    assert job["freight paid"] == 7.25
    assert pd.isna(job["set-up paid"])


def test_headings_that_nobody_explained_are_told_and_nothing_is_remembered(shop):
    records, values = Records(shop), read_shop(shop).shop
    (shop / "other.csv").write_text(OTHER)
    some = {ours: theirs for ours, theirs in HEADS.items() if ours != "Summe"}
    with pytest.raises(PricelabError, match=r'other.csv, row 1, column "Summe": found the heading'):
        import_jobs(records, values, "other.csv", some)
    assert records.headings() == {}
    assert not (shop / FILE).exists()


def test_a_faulty_spreadsheet_is_told_by_row_and_column(shop):
    (shop / "other.csv").write_text(OTHER.replace("cap", "boot"))
    with pytest.raises(PricelabError, match=r'other.csv, row 2, column "blank": found "boot"'):
        import_jobs(Records(shop), read_shop(shop).shop, "other.csv", HEADS)
