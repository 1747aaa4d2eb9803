"""A supplier's spreadsheet is read as it looks; what it hides is left out, and said."""

import io

import pytest
from openpyxl import Workbook
from openpyxl.styles import Font

from pricelab.files.intake.reading import read_sheet_file
from pricelab.files.intake.xlsx_looks import shown_rounded
from pricelab.shop.errors import PricelabError

GRID = [["Size (in)", 24, 36, 48], [2, 3.95, 3.6, 3.3], [2.5, 4.1, 3.8, 3.5], [3, 5.35, 4.9, 4.45]]


def book(*sheets) -> Workbook:
    """A workbook with these sheets of rows."""
    made = Workbook()
    made.remove(made.active)
    for number, rows in enumerate(sheets, 1):
        sheet = made.create_sheet(f"Sheet {number}")
        for row in rows:
            sheet.append(row)
    return made


def content(made: Workbook) -> bytes:
    """The file of a workbook."""
    file = io.BytesIO()
    made.save(file)
    return file.getvalue()


def test_hidden_rows_and_columns_are_left_out_and_named():
    """Row 3 and column C are hidden: their prices are nobody's offer."""
    made = book(GRID)
    made.active.row_dimensions[3].hidden = True
    made.active.column_dimensions["C"].hidden = True
    (reading,) = read_sheet_file("a.xlsx", content(made)).readings
    assert reading.cells == (("", "24", "48"), ("2", "3.95", "3.3"), ("3", "5.35", "4.45"))
    assert reading.said == ("Left out, for the spreadsheet hides it: row 3, column C.",)
    assert reading.doubts == ()


def test_what_is_not_hidden_is_not_left_out():
    """And nothing is said of it."""
    (reading,) = read_sheet_file("a.xlsx", content(book(GRID))).readings
    assert len(reading.cells) == 4
    assert reading.said == ()


def test_hidden_columns_at_the_end_of_a_sheet_are_told_to_the_last():
    """Spreadsheets name them as one run."""
    made = book([[*GRID[0], 72], *([*row, 2.9] for row in GRID[1:])])
    made.active.column_dimensions.group("D", "E", hidden=True)
    (reading,) = read_sheet_file("a.xlsx", content(made)).readings
    assert reading.cells[0] == ("", "24", "36")
    assert reading.said == ("Left out, for the spreadsheet hides it: column D, column E.",)


def test_figures_are_read_as_they_are_shown():
    """3.9512 in the format 0.00 is 3.95 to whoever reads the sheet; struck out it is no price."""
    made = book([["Size (in)", 24, 48], [2, 3.9512, 3.3049], [3, 5.3451, 4.45]])
    for row in made.active.iter_rows(min_row=2, min_col=2):
        for cell in row:
            cell.number_format = '"$"#,##0.00'
    made.active["B3"].font = Font(strike=True)
    (reading,) = read_sheet_file("a.xlsx", content(made)).readings
    assert reading.cells[1:] == (("2", "3.95", "3.30"), ("3", "", "4.45"))
    assert reading.said == (
        "Figures are read as the spreadsheet shows them; it holds more decimals.",
    )


@pytest.mark.parametrize(
    ("value", "number_format", "shown"),
    [
        (0.125, "0.00", "0.13"),  # half up, as spreadsheets do
        (2.25, "# ?/?", ""),
        (2.25, "General", ""),
        (2.25, "0.0%", ""),
        (2.25, "0.00E+00", ""),
        (1.005, '[$€-407] #,##0.00_);[Red](#,##0.00)', "1.01"),
        (12.6, "0", ""),
        ("2.255", "0.00", ""),
        (True, "0.00", ""),
    ],
)  # fmt: skip
def test_only_decimals_that_are_cut_off_count_as_rounded(value, number_format, shown):
    """A fraction, a percentage and a whole number are left as they are held."""
    assert shown_rounded(value, number_format) == shown


def test_the_first_sheet_with_a_grid_is_read_and_named():
    """A cover sheet comes first."""
    (reading,) = read_sheet_file("a.xlsx", content(book([["Our prices"]], GRID))).readings
    assert reading.cells[0] == ("", "24", "36", "48")
    assert reading.said == ('Read off the sheet "Sheet 2", one of 2 in the file.',)


def test_sheets_after_the_one_that_is_read_are_not_passed_over_in_silence():
    """The second could hold other goods."""
    (reading,) = read_sheet_file("a.xlsx", content(book(GRID, GRID))).readings
    assert reading.said == ('Read off the sheet "Sheet 1", one of 2 in the file.',)


def test_a_file_without_a_grid_on_any_sheet_is_refused():
    """In the sentence for any other."""
    with pytest.raises(
        PricelabError, match=r"^Found no price grid, expected .* with its header\.$"
    ):
        read_sheet_file("a.xlsx", content(book([["a"]], [["b"]])))
