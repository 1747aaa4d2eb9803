"""The book of records as CSV files, and other spreadsheets taken over into it."""

import pandas as pd
import pytest
from quoted import a_quote
from small_jobs import jobs_of

from pricelab.files.records.as_csv import COPY, export_csv, import_csv, import_jobs
from pricelab.files.records.book import FILE, Records
from pricelab.files.records.schema import HEADINGS, TABLES
from pricelab.files.shop_folder import read_shop
from pricelab.shop.errors import PricelabError


def test_the_whole_book_goes_out_as_csv_and_comes_in_again(shop, tmp_path):
    records, other = Records(shop), Records(tmp_path / "other")
    records.save_quote(a_quote(shop))
    records.add_jobs(jobs_of({}, {"attended minutes": 7.5}).assign(quote=["Q1", ""]))
    records.remember_headings({"Stück": "quantity"})
    with records.writing() as book:
        book.execute("INSERT INTO changes VALUES (1, '2026-11-25', 'a', 'b', 'c', 'd')")
        book.execute(
            "INSERT INTO intended VALUES (9, '2026-11-25', 'a', 'b', 'c', 'd', 'x.csv', 4, 'y', '')"
        )
    files = export_csv(records)
    assert {file.name for file in files} == {f"{table.name}.csv" for table in TABLES}
    (shop / COPY).rename((tmp_path / "other").joinpath(COPY).parent.mkdir() or other.folder / COPY)
    assert import_csv(other) > 0
    assert import_csv(other) == 0
    for table in TABLES:
        pd.testing.assert_frame_equal(other.table(table), records.table(table), check_exact=True)
    assert other.quote("Q1") == records.quote("Q1")


def test_a_spoiled_csv_is_told_by_row_and_column_and_changes_nothing(tmp_path):
    records = Records(tmp_path)
    records.add_jobs(jobs_of({}, {}))
    export_csv(records)
    file = tmp_path / COPY / "jobs.csv"
    file.write_text(file.read_text().replace("302.55,", "30z,", 1).replace("1,2026", "3,2026", 1))
    with pytest.raises(PricelabError, match=r'records-copy/jobs.csv, row 2, column "charged": '
                       r'found "30z", expected money with up to four decimals.'):  # fmt: skip
        import_csv(records)
    assert records.jobs()["job"].tolist() == ["1", "2"]


def test_a_copy_that_is_not_there_or_leads_out_is_told(tmp_path):
    (tmp_path / "shop").mkdir()
    records = Records(tmp_path / "shop")
    with pytest.raises(PricelabError, match=r"There are no CSV files in records-copy"):
        import_csv(records)
    (tmp_path / "shop" / COPY).symlink_to(tmp_path)
    with pytest.raises(PricelabError, match=r"records-copy is a link out of the shop's folder"):
        export_csv(records)


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


def test_what_freight_and_set_up_came_to_is_taken_over_and_goes_out_and_in(shop, tmp_path):
    """7,25 of freight; the set-up was not noted, which is not 0."""
    records, values = Records(shop), read_shop(shop).shop
    told = HEADS | {"Fracht": "freight paid", "Form": "set-up paid"}
    text = OTHER.replace("Wetter", "Wetter;Fracht;Form").replace("Regen", "Regen;7,25;")
    (shop / "other.csv").write_text(text)
    assert import_jobs(records, values, "other.csv", told) == 1
    [job] = records.jobs().to_dict("records")
    assert job["freight paid"] == 7.25
    assert pd.isna(job["set-up paid"])
    export_csv(records)
    other = Records(tmp_path)
    (shop / COPY).rename(tmp_path / COPY)
    import_csv(other)
    pd.testing.assert_frame_equal(other.jobs(), records.jobs(), check_exact=True)


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


def test_a_line_of_no_quote_and_a_job_of_an_unknown_one_are_told(shop):
    """A part without its quote's number; then a job whose quote is not among the quotes."""
    records = Records(shop)
    records.save_quote(a_quote(shop))
    records.add_jobs(jobs_of({}).assign(quote="Q1"))
    export_csv(records)
    (shop / FILE).unlink()
    parts, quotes = shop / COPY / "quote_parts.csv", shop / COPY / "quotes.csv"
    whole = parts.read_bytes()
    parts.write_bytes(whole.replace(b"Q1", b""))
    with pytest.raises(
        PricelabError, match=r'quote_parts.csv, row 2, column "quote": found an empty'
    ):
        import_csv(records)
    parts.write_bytes(whole)
    quotes.write_bytes(quotes.read_bytes().replace(b"Q1", b"Q2"))
    with pytest.raises(PricelabError, match=r"names a quote that records.sqlite does not have"):
        import_csv(records)
    assert len(records.jobs()) == 0
