"""Size bands and quantity breaks as suppliers print them."""

import re
from fractions import Fraction

import pytest

from pricelab.files.cells import BadCell
from pricelab.files.printed import (
    Break,
    misfits_of_bands,
    misfits_of_breaks,
    parse_band,
    parse_break,
)


@pytest.mark.parametrize(
    ("text", "mark", "lower", "upper", "step"),
    [
        ("2.50", ".", None, "5/2", "1/100"),
        ("2,50", ",", None, "5/2", "1/100"),
        ("up to 2.5", ".", None, "5/2", "1/10"),
        ("Up to 2 1/4", ".", None, "9/4", "1/4"),
        ("≤ 3", ".", None, "3", "1"),
        ("<=3", ".", None, "3", "1"),
        ("2 1/4", ".", None, "9/4", "1/4"),
        ("2-1/4", ".", None, "9/4", "1/4"),
        ("2½", ".", None, "5/2", "1/2"),
        ("2.01–2.50", ".", "201/100", "5/2", "1/100"),
        ("2.01-2.50", ".", "201/100", "5/2", "1/100"),
        ("2,01 – 2,50", ",", "201/100", "5/2", "1/100"),
        ("2.01 to 2.50", ".", "201/100", "5/2", "1/100"),
        ("1 9/16 – 2", ".", "25/16", "2", "1/16"),
        ("1/2-3/4", ".", "1/2", "3/4", "1/4"),
        ("5–8", ".", "5", "8", "1"),
        ("0–1.5", ".", "0", "3/2", "1/10"),
    ],
)
def test_a_band_in_every_printed_form(text, mark, lower, upper, step):
    """Its ends are exact, and its finer step is one in the last place that is printed."""
    band = parse_band(text, mark)
    assert band.lower == (None if lower is None else Fraction(lower))
    assert (band.upper, min(band.steps)) == (Fraction(upper), Fraction(step))


NO_BAND = "the upper end of a size band, such as 2.50, 2.01–2.50 or up to 2 1/2"


@pytest.mark.parametrize(
    ("text", "expected", "mend"),
    [
        ("2.5+", NO_BAND, "Write the number alone."),
        ("2.5 in", NO_BAND, "Write the number alone."),
        ("2..5", NO_BAND, "Write the number alone."),
        ("٣", NO_BAND, "Write the number alone."),
        ("-2", NO_BAND, "Remove the minus sign."),
        ("2,5", NO_BAND, "Replace the comma by a point."),
        ("1/0", NO_BAND, "Correct the fraction."),
        ("Feb 3", NO_BAND, "The spreadsheet took a range for a day. Write one number alone."),
        ("0", "a size above 0", "Write the upper end of the band."),
        ("0–0", "a size above 0", "Write the upper end of the band."),
        ("3–2", "a lower end before the upper end", "Swap the two ends."),
    ],
)
def test_what_is_no_band(text, expected, mend):
    """A band needs an upper end above 0; its unit stands in the top-left cell."""
    with pytest.raises(BadCell, match=f"^{re.escape(f'expected {expected}. {mend}')}$"):
        parse_band(text, ".")


@pytest.mark.parametrize(
    ("text", "start", "last", "more"),
    [
        ("25", 25, None, False),
        ("25-49", 25, 49, False),
        ("25–49", 25, 49, False),
        ("25 — 49", 25, 49, False),
        ("25 to 49", 25, 49, False),
        ("25+", 25, None, True),
        ("144 or more", 144, None, True),
    ],
)
def test_a_break_in_every_printed_form(text, start, last, more):
    """Known by the quantity from which it holds."""
    assert parse_break(text, ".") == Break(text, start, last, more)


NO_BREAK = "a quantity such as 25, 25–49, 25+ or 144 or more"


@pytest.mark.parametrize(
    ("text", "mend", "expected"),
    [
        ("0", "Write a number from 1 to 1000000.", "a quantity from 1"),
        ("48–24", "Correct the two quantities.", "a first quantity up to the last"),
        ("1,000", "Write 1000 or 1.000, whichever is meant.", NO_BREAK),
        ("1O", "Replace the letter O by a zero.", NO_BREAK),
        ("12-Jun", "The spreadsheet took a range for a day. Write one number alone.", NO_BREAK),
        ("2026-06-12", "The spreadsheet took a range for a day. Write one number alone.", NO_BREAK),
        ("1.5", "Write a whole number of pieces.", NO_BREAK),
        ("a dozen", "Write a whole number of pieces.", NO_BREAK),
    ],
)
def test_what_is_no_break(text, mend, expected):
    """A break is a whole number of pieces."""
    with pytest.raises(BadCell, match=f"^{re.escape(f'expected {expected}. {mend}')}$"):
        parse_break(text, ".")


@pytest.mark.parametrize(
    "bands",
    [
        ["up to 1.50", "1.51–2.00", "2.01–2.50"],
        ["1.0–1.5", "1.5–2.0"],
        ["1.50", "1.51–2"],
        ["up to 1.50", "1.6–2"],  # one step of its own print: sizes between belong to it
        ["1–2", "3–4"],
        ["up to 1.5", "1.6–1.6875", "1.7–2.25"],  # mixed decimals: lower ends are for the eye
        ["43–50", "51–57.5"],
        ["1 1/2", "1 9/16–2"],
        ["1.5", "2.5", "3"],
    ],
)
def test_bands_that_follow_one_another(bands):
    """A lower end one printed step above the last upper end is for the eye, no gap."""
    assert not list(misfits_of_bands([parse_band(band, ".") for band in bands]))


@pytest.mark.parametrize(
    ("bands", "mend"),
    [
        (["1.50", "1.52–2.00"], "Add the band between them, or correct the ends."),
        (["1.50", "1.7–2.0"], "Add the band between them, or correct the ends."),
        (["1–1.50", "2–2.50"], "Add the band between them, or correct the ends."),
        (["1–2", "4–5"], "Add the band between them, or correct the ends."),
        (["43–50", "52–57.5"], "Add the band between them, or correct the ends."),
        (["1.50", "1.49–2.00"], "Correct the ends: the two bands overlap."),
        (["2.0", "1.5"], "Sort the rows by size."),
        (["2.0", "2"], "Remove one of the two rows."),
    ],
)
def test_bands_that_do_not(bands, mend):
    """One sentence for the pair."""
    (misfit,) = misfits_of_bands([parse_band(band, ".") for band in bands])
    assert (misfit.at, misfit.mend) == (1, mend)


@pytest.mark.parametrize(
    "breaks", [["12", "24"], ["12–23", "24–47", "48+"], ["12+", "24+"], ["12–23", "24"]]
)
def test_breaks_that_follow_one_another(breaks):
    """A last quantity is checked where it is printed."""
    assert not list(misfits_of_breaks([parse_break(text, ".") for text in breaks]))
