"""Single cells: the value, or what was expected and how to mend it."""

import re
from datetime import date

import pytest

from pricelab.files import cells
from pricelab.files.cells import BadCell


@pytest.mark.parametrize(
    ("read", "text", "mark", "value"),
    [
        (cells.amount, "3.20", ".", 3.2),
        (cells.amount, "3,20", ",", 3.2),
        (cells.amount, "0", ".", 0.0),
        (cells.more_than_nothing, "0.0075", ".", 0.0075),
        (cells.from_one, "1,0", ",", 1.0),
        (cells.count, "24", ".", 24),
        (cells.count_or_none, "0", ".", 0),
        (cells.share, "2.9 %", ".", 0.029),
        (cells.share, "2,9%", ",", 0.029),
        (cells.share, "0 %", ".", 0.0),
        (cells.any_share, "100 %", ".", 1.0),
        (cells.amount_or_share, "2.9 %", ".", (0.0, 0.029)),
        (cells.amount_or_share, "0.30", ".", (0.3, 0.0)),
        (cells.day, "2026-11-25", ".", date(2026, 11, 25)),
        (cells.yes_or_no, "no", ".", False),
        (cells.length_in("in"), "2 1/4", ".", 2.25),
        (cells.length_in("mm"), "2,25 in", ",", 57.15),
        (cells.length_in("in"), "57.15 mm", ".", 2.25),
        (cells.distance_in("in"), "0", ".", 0.0),
        (cells.distance_in("mm"), "0,00", ",", 0.0),
        (cells.known(["leather"], "a method", "methods.csv"), "leather", ".", "leather"),
        (cells.known(None, "a method", "methods.csv"), "anything", ".", "anything"),
    ],
)
def test_a_good_cell_gives_its_value(read, text, mark, value):
    """Values worked out by hand; 25.4 mm to the inch."""
    assert read(text, mark) == value


PERCENT = "a percentage from 0 % to under 100 %, such as 3 %"
LENGTH = "a length such as 2.25, 2 1/4 or 57 mm"
ONE = "a figure of 1 or more"
WHOLE = "a whole number from 1, such as 24"


@pytest.mark.parametrize(
    ("read", "text", "expected", "mend"),
    [
        (cells.amount, "x", "an amount such as 3.20", "Write a plain number."),
        (cells.more_than_nothing, "0", "a figure above 0 such as 3.20", "Write a figure above 0."),
        (cells.from_one, "0.9", f"{ONE} such as 1.5", f"Write {ONE}."),
        (cells.count, "0", WHOLE, "Write a number from 1 to 1000000."),
        (cells.count, "1.5", WHOLE, "Write a whole number."),
        (cells.count, "2O", WHOLE, "Replace the letter O by a zero."),
        (cells.count, "1000001", WHOLE, "Write a number from 1 to 1000000."),
        (cells.count_or_none, "-1", "a whole number from 0, such as 24", "Remove the minus sign."),
        (cells.share, "3", PERCENT, "Write the sign % after the number."),
        (cells.share, "0.03", PERCENT, "Write the sign % after the number."),
        (cells.share, "100 %", PERCENT, "Write a percentage from 0 % to under 100 %."),
        (cells.share, "3,5 %", PERCENT, "Replace the comma by a point."),
        (cells.share, "3,5", PERCENT,
         "Replace the comma by a point. Write the sign % after the number."),
        (cells.some_share, "0 %", "a percentage above 0 % and up to 100 %, such as 3 %",
         "Write a percentage above 0 % and up to 100 %."),
        (cells.level_of_service, "100 %", "a percentage above 0 % and under 100 %, such as 3 %",
         "Write a percentage above 0 % and under 100 %."),
        (cells.day, "25.11.2026", "a day such as 2026-11-25", "Write year-month-day."),
        (cells.day, "2026-02-30", "a day such as 2026-11-25", "Correct the month or the day."),
        (cells.day, "0206-11-25", "a day such as 2026-11-25", "Correct the year."),
        (cells.yes_or_no, "yess", "yes or no", 'Write "yes".'),
        (cells.yes_or_no, "1", "yes or no", "Write one of these words."),
        (cells.length_in("in"), "0", LENGTH, "Write a length above 0."),
        (cells.length_in("in"), "2,25", LENGTH, "Replace the comma by a point."),
        (cells.length_in("in"), "two", LENGTH,
         "Write the number first and the unit, in or mm, after it."),
        (cells.length_in("in"), "1/0", LENGTH,
         "Write the number first and the unit, in or mm, after it."),
        (cells.length_in("in"), "9" * 400, LENGTH, "Write a length that fits on a piece."),
        (cells.known(["leather"], "a method", "methods.csv"), "Lether", "a method of methods.csv",
         'Write "leather", or add "Lether" to methods.csv.'),
        (cells.known(["leather"], "a method", "methods.csv"), "foil", "a method of methods.csv",
         "Add it to methods.csv."),
    ],
)  # fmt: skip
def test_a_bad_cell_says_what_was_expected_and_how_to_mend_it(read, text, expected, mend):
    """Nothing is guessed."""
    with pytest.raises(BadCell, match=f"^{re.escape(f'expected {expected}. {mend}')}$"):
        read(text, ".")
