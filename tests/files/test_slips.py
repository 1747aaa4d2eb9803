"""What is said of figures that are nearly right. The mends are worked out by hand."""

import pytest

from pricelab.files.slips import mend_of_figure, plain_figure

OTHERWISE = "Write a plain number."


@pytest.mark.parametrize(
    ("text", "mark", "mend"),
    [
        ("3.2O", ".", "Replace the letter O by a zero."),
        ("3,2o", ",", "Replace the letter O by a zero."),
        ("3,2O", ".", "Replace the letter O by a zero. Replace the comma by a point."),
        ("l2.50", ".", "Replace the letter l by a one."),
        ("I2", ".", "Replace the letter l by a one."),
        ("3,20", ".", "Replace the comma by a point."),
        ("3.20", ",", "Replace the point by a comma."),
        (",5", ".", "Replace the comma by a point."),
        ("1,200", ".", "Write 1200 or 1.200, whichever is meant."),
        ("1.200", ",", "Write 1200 or 1,200, whichever is meant."),
        ("1,200.50", ".", "Remove the thousands separator."),
        ("1.200,50", ",", "Remove the thousands separator."),
        ("1.200,50", ".", "Remove the thousands separator. Replace the comma by a point."),
        ("1,200,500", ".", "Remove the thousands separator."),
        ("1 200", ".", "Remove the thousands separator."),
        ("1'200.50", ".", "Remove the thousands separator."),
        ("$3.20", ".", "Remove the currency sign $."),
        ("3.20 €", ".", "Remove the currency sign €."),
        ("USD 3.20", ".", "Remove the currency USD."),
        ("3,20 EUR", ",", "Remove the currency EUR."),
        ("3 %", ".", "Remove the sign %."),
        ("-3.20", ".", "Remove the minus sign."),
        ("−3.20", ".", "Remove the minus sign."),
        ("-€ 1.200,5O", ",", "Remove the minus sign. Remove the currency sign €. "
         "Replace the letter O by a zero. Remove the thousands separator."),
        ("on request", ".", OTHERWISE),
        ("3.2.1", ".", OTHERWISE),
        ("3 2", ".", OTHERWISE),
        ("1e3", ".", OTHERWISE),
        ("٣", ".", OTHERWISE),
        ("", ".", OTHERWISE),
    ],
)  # fmt: skip
def test_every_slip_is_named(text, mark, mend):
    """One mend for each slip, in the order of the hand."""
    assert plain_figure(text, mark) is None
    assert mend_of_figure(text, mark, OTHERWISE) == mend


@pytest.mark.parametrize(
    ("text", "mark", "plain"),
    [("3.20", ".", "3.20"), ("3,20", ",", "3.20"), ("12", ",", "12"), (".95", ".", ".95")],
)
def test_plain_figures_are_taken_as_they_are(text, mark, plain):
    """Digits with at most one decimal mark, the file's own."""
    assert plain_figure(text, mark) == plain
