"""Files made to harm: archives that swell, books that others wrote in, names that lead away.

Each is answered in a sentence, soon, and in little memory.
"""

import io
import os
import re
import sqlite3
import time
import zipfile

import pytest
from quoted import a_quote
from smallshop import FILES, write_shop

from pricelab.files.faults import Report, ShopFaults
from pricelab.files.intake.pasted import currency_in, read_band, read_break, read_price
from pricelab.files.intake.reading import read_pasted
from pricelab.files.raw_table import read_raw
from pricelab.files.records.book import FILE, Records
from pricelab.files.records.happened import sold_on
from pricelab.files.shop_folder import read_shop
from pricelab.files.slips import mend_of_figure
from pricelab.files.source import Folder, inner_file
from pricelab.files.xlsx_file import MOST_CELLS, MOST_UNPACKED, xlsx_cells
from pricelab.shop.errors import PricelabError
from pricelab.shop.units import parse_length

SHEET = "xl/worksheets/sheet1.xml"


def spreadsheet(old: bytes = b"", new: bytes = b"") -> bytes:
    """An XLSX file of one cell, A1, whose sheet was changed by hand."""
    from openpyxl import Workbook

    book, whole, changed = Workbook(), io.BytesIO(), io.BytesIO()
    book.active["A1"] = 5
    book.save(whole)
    with zipfile.ZipFile(whole) as parts, zipfile.ZipFile(changed, "w", zipfile.ZIP_DEFLATED) as to:
        for name in parts.namelist():
            part = parts.read(name)
            assert name != SHEET or old in part
            to.writestr(name, part.replace(old, new) if name == SHEET and old else part)
    return changed.getvalue()


def said_of(content: bytes) -> list[str]:
    """The faults of a spreadsheet."""
    report = Report()
    xlsx_cells(content, "costs.xlsx", report)
    return [str(fault) for fault in report.faults]


# ---- spreadsheets that swell ----------------------------------------------------------


def test_a_spreadsheet_that_unpacks_to_far_more_is_not_unpacked():
    """Twelve million blanks in a few kilobytes; a sound one beside it is read."""
    content = spreadsheet(b"<sheetData>", b"<sheetData>" + b" " * 12_000_000)
    assert len(content) < 100_000
    assert MOST_UNPACKED == 10_000_000
    (said,) = said_of(content)
    assert said == (
        "costs.xlsx: found a spreadsheet of 12 MB, expected up to 10 MB and 300,000 cells. "
        'Save the table alone as "CSV UTF-8", which may be longer.'
    )
    assert said_of(spreadsheet()) == []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b'<row r="1"', b'<row r="99999999999"'),
        (b"</row>", b'</row><row r="1048576"><c r="A1048576"><v>1</v></c></row>'),
        (
            b"</row>",
            b'</row><row><c r="XFD2"><v>1</v></c></row>' + b'<row><c r="XFD2"/></row>' * 40,
        ),
    ],
    ids=["a row that no sheet has", "the last row", "the last column again and again"],
)
def test_a_cell_far_away_does_not_fill_the_memory(old, new):
    """All the empty cells before it would be made."""
    (said,) = said_of(spreadsheet(old, new))
    assert said == (
        f"costs.xlsx: found a spreadsheet of more than {MOST_CELLS:,} cells, expected up to 10 MB "
        'and 300,000 cells. Save the table alone as "CSV UTF-8", which may be longer.'
    )


# ---- very many faults, very long texts ------------------------------------------------


@pytest.mark.parametrize("tag", [b"<a>", b'<a b="c">\n'])
def test_tags_within_tags_do_not_fill_the_memory(tag):
    """A hundred of them; thirty columns that each end at once lie beside one another."""
    assert said_of(spreadsheet(b"<sheetData>", b"<sheetData>" + tag * 100)) == [
        'costs.xlsx: found no readable spreadsheet ("tags within tags, over thirty deep"), '
        "expected an .xlsx file. Open it in the spreadsheet and save it again."
    ]
    assert said_of(spreadsheet(b"<sheetData>", b"<sheetData>" + b'<row r="1"/>' * 100)) == []


def test_so_many_faults_are_told_and_no_more(tmp_path):
    """500 of 3,000; whoever mends those reads the shop again."""
    rows = "patch,cap,x,1,1,1\n" * 3000
    folder = write_shop(tmp_path / "shop", price_list=FILES["price_list.csv"] + rows)
    with pytest.raises(ShopFaults, match=r"nothing after them was read") as refused:
        read_shop(folder)
    assert len(refused.value.faults) == 501
    assert str(refused.value.faults[-1]) == (
        'price_list.csv, row 503, column "size": These are 500 faults; nothing after them was '
        "read. Mend them first."
    )


@pytest.mark.parametrize("piece", ["1.3", "1/99999991", "9", "1,", "5 ", "O", "$", "1k", "- "])
def test_a_very_long_cell_is_looked_at_no_longer_than_a_short_one(piece):
    """200,000 letters took minutes in a pattern that tries every place; now less than a second."""
    text = (piece * 200_000)[:200_000]
    start = time.process_time()
    assert mend_of_figure(text, ".", "Write a plain number.") == "Write a plain number."
    assert read_break(text) == (
        None, "It is too long for a quantity. Write a whole number of pieces.",
    )  # fmt: skip
    assert read_band(text, ".").why == "It is too long for a size. Write the number alone."
    assert read_price(text, ".") == ("", "It is too long for a price. Write a plain number.")
    assert currency_in(text) == ""
    assert time.process_time() - start < 1


@pytest.mark.parametrize("text", ["9" * 5000, "1/" + "3" * 400, "1" * 400 + " in", "7" * 13])
def test_a_length_of_very_many_digits_is_no_length(text):
    """Python itself refuses more than 4,300 digits, with a traceback."""
    with pytest.raises(PricelabError, match=r"^found \"[0-9/ in]+\", expected a length such as "):
        parse_length(text, "in")
    assert parse_length("7" * 12, "in").unit == "in"


# ---- names that lead away -------------------------------------------------------------


def test_only_a_file_inside_the_folder_is_found(tmp_path):
    """By no dots, no whole path, no link, no name that cannot be."""
    shop = tmp_path / "shop"
    (shop / "grids").mkdir(parents=True)
    (shop / "grids" / "a.csv").write_text("x")
    (tmp_path / "secret.csv").write_text("x")
    (shop / "link.csv").symlink_to(tmp_path / "secret.csv")
    (shop / "round.csv").symlink_to(shop / "round.csv")
    (shop / "inner.csv").symlink_to(shop / "grids" / "a.csv")
    assert inner_file(shop, "grids/a.csv") == shop / "grids" / "a.csv"
    assert inner_file(shop, "inner.csv") == shop / "inner.csv"
    wrong = (
        "../secret.csv", str(tmp_path / "secret.csv"), "link.csv", "round.csv", "grids", "a\0.csv",
        "a" * 300, "\ud800", "", ".", "..", "C:\\secret.csv", "\\\\host\\x",
    )  # fmt: skip
    for name in wrong:
        assert inner_file(shop, name) is None, name


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("a\0.csv", "a .csv: found a file that does not open (embedded null byte), expected one "
         "that can be read. Close it in other programs and allow it to be read."),
        ("a" * 300, "a" * 39 + "…: found a file that does not open (File name too long), expected "
         "one that can be read. Close it in other programs and allow it to be read."),
        ("../outside.csv", "../outside.csv: found a link out of the shop folder, expected a file "
         "inside it. Copy the file here."),
    ],
)  # fmt: skip
def test_a_name_that_no_table_can_have_is_a_fault(tmp_path, name, said):
    (tmp_path / "shop").mkdir()
    report = Report()
    assert read_raw(Folder(tmp_path / "shop"), name, report) is None
    assert [str(fault) for fault in report.faults] == [said]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no pipes among its files")
def test_a_pipe_is_not_waited_for(tmp_path):
    """Nobody writes into it: whoever opens it waits for ever."""
    os.mkfifo(tmp_path / "costs.csv")
    report = Report()
    assert read_raw(Folder(tmp_path), "costs.csv", report) is None
    assert str(report.faults[0]) == (
        "costs.csv: found a file that does not open (it is no ordinary file), expected one that "
        "can be read. Close it in other programs and allow it to be read."
    )


# ---- books that others wrote in -------------------------------------------------------

DAMAGED = (
    "records.sqlite is damaged, or was changed by another program: it holds what this workbook "
    "does not write. Put your last copy of it in its place."
)


@pytest.fixture
def book(tmp_path):
    """A book with a quote in it."""
    shop = write_shop(tmp_path / "shop")
    records = Records(shop)
    records.save_quote(a_quote(shop))
    return records


def change(records: Records, statement: str, *values) -> None:
    """Change the file as another program does."""
    book = sqlite3.connect(records.folder / FILE)
    book.execute("PRAGMA ignore_check_constraints = ON")
    with book:
        book.execute(statement, values)
    book.close()


@pytest.mark.parametrize(
    ("statement", "value"),
    [
        ("UPDATE quotes SET client = ?", b"\xff\xfe"),
        ("UPDATE quotes SET payable = ?", "much"),
        ("UPDATE quotes SET width = ?", 9e999),
        ("UPDATE quotes SET made = ?", -1),
        ("UPDATE quotes SET made = ?", "soon"),
        ("UPDATE quotes SET minutes = ?", "{"),
        ("UPDATE quotes SET minutes = ?", "[" * 100_000),
        ("UPDATE quote_parts SET pieces = ?", "many"),
        ("UPDATE quote_parts SET pieces = ?", 0),
        ("DELETE FROM quote_parts WHERE ? = 1", 1),
        ("UPDATE quote_lines SET level = ?", "sky"),
    ],
)
def test_what_no_book_holds_is_said_in_a_sentence(book, statement, value):
    """By whatever reads that part of it."""
    assert book.quote("Q1").number == "Q1"
    change(book, statement, value)
    refused = set()
    readers = (
        book.quotes,
        lambda: book.quote("Q1"),
        lambda: sold_on(read_shop(book.folder)),
        book.write_csv,
    )
    for read in readers:
        try:
            read()
        except PricelabError as error:
            refused.add(str(error))
    assert DAMAGED in refused


@pytest.mark.parametrize(
    "statements",
    [
        ["CREATE TRIGGER t AFTER INSERT ON jobs BEGIN DELETE FROM quotes; END"],
        ["DROP TABLE headings",
         "CREATE VIEW headings AS WITH RECURSIVE c(x) AS (SELECT 1 UNION ALL SELECT x + 1 FROM c) "
         'SELECT x AS heading, x AS "column" FROM c'],
    ],
    ids=["a trigger", "a table that never ends"],
)  # fmt: skip
def test_rules_that_another_put_into_the_book_are_not_carried_out(book, statements):
    """They would delete quotes when a job is noted, or never come to an end."""
    for statement in statements:
        change(book, statement)
    for do in (book.headings, book.quotes, lambda: book.decide("Q1", "open", None)):
        told = (
            "records.sqlite was changed by another program, which put rules of its own into it. "
            "Put your last copy of it in its place."
        )
        with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
            do()


def test_a_view_of_the_owners_own_harms_nothing(book):
    """Other tools may keep one in the file."""
    change(book, "CREATE VIEW mine AS SELECT client FROM quotes")
    assert len(book.quotes()) == 1


@pytest.mark.parametrize("end", ["\r", "\v", "\x1c", "\x85", "\u2028"])
def test_lines_are_counted_whatever_ends_them(end):
    """Ten thousand rows were looked at from every row: minutes."""
    told = "^Found 30,000 letters in 10,000 lines, expected a price sheet of up to 300 lines"
    with pytest.raises(PricelabError, match=told):
        read_pasted(f"12{end}" * 10_000)


@pytest.mark.parametrize(
    ("size", "content", "said"),
    [
        (1_000_000_000, b"", "a file of 1,000.0 MB, expected up to 100 MB"),
        (0, b"\n" * 3_000_000, "3,000,000 lines, expected up to 2,000,000"),
    ],
)
def test_a_history_beyond_all_measure_is_refused_unread(corner_shop, size, content, said):
    """A gigabyte of nothing, or three million blank lines, in far less than a second."""
    corner_shop.write("jobs.csv", content)
    if size:
        os.truncate(corner_shop.folder / "jobs.csv", size)
    start = time.process_time()
    assert corner_shop.faults() == [
        f"jobs.csv: found {said}. Take out the rows and blank lines that are not needed."
    ]
    assert time.process_time() - start < 1


def test_many_wrong_rows_and_headings_are_told_in_less_than_a_second(corner_shop):
    """15,000 methods that nobody has made, with operations of others; 50,000 unknown headings."""
    text = (corner_shop.folder / "operations.csv").read_text()
    rows = "".join(f"m{at},press,1,piece,,,\n" for at in range(15_000))
    for file, changed in (("operations.csv", text + rows), ("blanks.csv", None)):
        if changed is None:
            changed = "blank," + ",".join(f"x{at}" for at in range(50_000)) + "\n"
        corner_shop.write(file, changed)
        start = time.process_time()
        assert len(corner_shop.faults()) == 501
        assert time.process_time() - start < 1
