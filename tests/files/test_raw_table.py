"""What stands in a file, before it is understood: CSV and workbooks."""

import datetime
import re
import time
from pathlib import Path

import pytest

from pricelab.files.faults import Report
from pricelab.files.raw_table import read_raw
from pricelab.files.source import Folder

PLAIN = "blank,care\ntwill,wash\n"


def read(folder, content: bytes, file="blanks.csv"):
    """The table in a file of `content`, and the faults in words."""
    (folder / file).write_bytes(content)
    report = Report()
    return read_raw(Folder(folder), file, report), [str(fault) for fault in report.faults]


@pytest.mark.parametrize(
    "content",
    [
        PLAIN.encode(),
        PLAIN.encode("utf-8-sig"),
        PLAIN.replace("\n", "\r\n").encode(),
        PLAIN.replace("\n", "\r\n").encode("utf-8-sig"),
        PLAIN.rstrip().encode(),
        PLAIN.replace(",", "\t").encode(),
        PLAIN.replace(",", ";").encode(),
        PLAIN.replace(",", " ,\u00a0").encode(),
        b'blank,care,,\n"twill","wash",,\n,,,\n',
    ],
)
def test_marks_of_a_file_that_change_nothing(tmp_path, content):
    """Byte-order mark, line ends, separators, spaces round cells, empty cells at the end."""
    table, faults = read(tmp_path, content)
    assert faults == []
    assert table.header.cells == ("blank", "care")
    assert [row.cells for row in table.rows] == [("twill", "wash")]


def test_rows_keep_the_numbers_a_spreadsheet_gives_them(tmp_path):
    """Comments, empty rows and cells of two lines are counted as the spreadsheet counts them."""
    content = b'# note\n\nblank,care\n"two\nlines",x\n# note\ntwill,y\n'
    table, _ = read(tmp_path, content)
    assert table.header.number == 3
    assert [row.number for row in table.rows] == [4, 6]


@pytest.mark.parametrize(
    ("header", "mark"),
    [("a,b", "."), ("a\tb", "."), ("a;b", ","), ('"a;b",c', "."), ("a (mm), packs of 12;b", ",")],
)
def test_the_separator_tells_the_decimal_mark(tmp_path, header, mark):
    """A semicolon outside quotation marks means decimal commas."""
    table, _ = read(tmp_path, header.encode())
    assert table.mark == mark


@pytest.mark.parametrize(
    ("content", "said"),
    [
        ("blank,care\nmütze,x\n".encode("cp1252"), ", row 2: found letters that are not UTF-8, "
         'expected a text file in UTF-8. Save it from the spreadsheet as "CSV UTF-8".'),
        ("blank,care\n".encode("utf-16"), ", row 1: found letters that are not UTF-8, "
         'expected a text file in UTF-8. Save it from the spreadsheet as "CSV UTF-8".'),
        (b"blank,care\na,\0\n", ", row 2: found letters that are not UTF-8, "
         'expected a text file in UTF-8. Save it from the spreadsheet as "CSV UTF-8".'),
        (b'blank,care\na,"wash\n', ", row 2: found an odd quotation mark, expected them "
         "in pairs. Close or remove the odd quotation mark."),
        (b"# only a note\n\n", ": found an empty file, expected a first row of column names. "
         "Copy that row from a demo shop."),
    ],
)  # fmt: skip
def test_a_csv_file_that_cannot_be_read(tmp_path, content, said):
    """One fault, and no table."""
    assert read(tmp_path, content) == (None, [f"blanks.csv{said}"])


def test_a_cell_under_no_heading_is_a_fault_where_the_header_ends_in_empty_cells(tmp_path):
    """Else its figure would be missed in silence."""
    table, _ = read(tmp_path, b"blank,care,,\na,b,,\na,b,c,\n")
    assert table.wide_rows(Report()) == {3}


@pytest.mark.parametrize("row", [b"a,b,c", b"a,b,", b"a,3,20", b"a,,,"])
def test_a_row_wider_than_the_header_is_a_fault_even_by_an_empty_cell(tmp_path, row):
    """A decimal comma that splits a cell pushes the empty last one over the edge."""
    table, _ = read(tmp_path, b"blank,care\n" + row + b"\n")
    report = Report()
    assert table.wide_rows(report) == {2}
    cells = row.count(b",") + 1
    assert [str(fault) for fault in report.faults] == [
        f"blanks.csv, row 2: found {cells} cells, expected no more than the 2 of the first row. "
        "Put quotation marks round a cell that holds the separator itself, "
        "such as a decimal comma in a file separated by commas."
    ]


def workbook(folder, *rows, formats=()):
    """The bytes of a workbook of one sheet, with number formats for some of its cells."""
    from openpyxl import Workbook

    book = Workbook()
    for row in rows:
        book.active.append(row)
    for cell, number_format in formats:
        book.active[cell].number_format = number_format
    book.save(folder / "made.xlsx")
    return (folder / "made.xlsx").read_bytes()


def test_a_workbook_reads_as_it_is_shown(tmp_path):
    """3.2 is 3.2, a share in percent keeps its sign, a day is ISO, noise of floats is dropped."""
    day = datetime.date(2026, 11, 25)
    content = workbook(
        tmp_path,
        ["a", "b", "c", "d", "e", "f", "g"],
        [3.2, 0.029, day, 0.1 + 0.2, True, 48, 1e-7],
        [None, 0.065, None, "text"],
        formats=[("B2", "0.0%"), ("B3", '0.0"%"'), ("F3", "0.00")],
    )
    table, faults = read(tmp_path, content, "costs.xlsx")
    assert faults == []
    assert table.mark == "."
    assert table.rows[0].cells == ("3.2", "2.9 %", "2026-11-25", "0.3", "yes", "48", "0.0000001")
    assert table.rows[1].cells == ("", "0.065", "", "text")


def test_a_formula_needs_its_result(tmp_path):
    """openpyxl writes formulas without results, as some programs do."""
    content = workbook(tmp_path, ["a", "b"], ["=1+1", "#DIV/0!"])
    assert read(tmp_path, content, "costs.xlsx") == (
        None,
        [
            'costs.xlsx, row 2, column "A": found a formula without its result, expected a figure '
            "or a word. Open the file in the spreadsheet and save it, or write the result itself.",
            'costs.xlsx, row 2, column "B": found "#DIV/0!", expected a figure or a word. '
            "Mend the formula.",
        ],
    )


def test_a_formula_with_its_result_is_read_as_the_result(tmp_path):
    """As a spreadsheet saves it."""
    from xlsxwriter import Workbook

    with Workbook(tmp_path / "costs.xlsx") as book:
        sheet = book.add_worksheet()
        sheet.write_row("A1", ["a", "b"])
        sheet.write_formula("A2", "=1+1.5", None, 2.5)
        sheet.write_formula("B2", '="x"', None, "x")
    table, faults = read(tmp_path, (tmp_path / "costs.xlsx").read_bytes(), "costs.xlsx")
    assert (faults, table.rows[0].cells) == ([], ("2.5", "x"))


@pytest.mark.parametrize("content", [b"", b"PK\x03\x04 broken", b"blank,care\n"])
def test_a_workbook_that_is_none(tmp_path, content):
    """Whatever the library says of it."""
    table, (said,) = read(tmp_path, content, "costs.xlsx")
    assert table is None
    assert re.fullmatch(
        r'costs\.xlsx: found no readable spreadsheet \(".+"\), expected an \.xlsx file\. '
        r"Open it in the spreadsheet and save it again\.",
        said,
    )


@pytest.mark.parametrize("times", [2, 99])
def test_a_file_that_is_written_meanwhile_is_read_when_it_is_whole(tmp_path, monkeypatch, times):
    """A spreadsheet that saves it in two goes; or one that does not end."""
    path, read_bytes, waits = tmp_path / "blanks.csv", Path.read_bytes, []

    def half(of):
        content = read_bytes(of)
        if len(waits) < times:
            path.write_bytes(PLAIN.encode() + b"mesh,cold\n" * len(waits))
        return content

    monkeypatch.setattr(Path, "read_bytes", half)
    monkeypatch.setattr(time, "sleep", waits.append)
    table, faults = read(tmp_path, b"blank,care\ntwi")
    if times == 2:
        assert [row.cells[0] for row in table.rows] == ["twill", "mesh"]
        return
    assert (table, faults) == (
        None,
        [
            "blanks.csv: found a file that another program is writing, expected one that is "
            "whole. Wait until it is saved there, and try again."
        ],
    )
    assert sum(waits) < 1


def test_a_table_of_more_than_a_megabyte_is_refused(tmp_path):
    """A byte more than a million is one too many."""
    whole = PLAIN.encode().ljust(1_000_000, b"\n")
    assert read(tmp_path, whole)[1] == []
    table, faults = read(tmp_path, whole + b"\n" * 60_000)
    assert table is None
    assert faults == [
        "blanks.csv: found a file of 1.1 MB, expected up to 1 MB. Take out the rows and blank "
        "lines that are not needed."
    ]
    assert read(tmp_path, whole + b"\n")[1]
