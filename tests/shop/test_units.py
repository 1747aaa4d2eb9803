"""Lengths: read as people write them, kept exactly, compared in one unit."""

import re
from fractions import Fraction

import numpy as np
import pytest
from scipy import constants

from pricelab.shop.errors import PricelabError
from pricelab.shop.units import MM_PER_INCH, Length, convert, parse_length


@pytest.mark.parametrize(
    "text",
    ["2.25", "2 1/4", "2-1/4", " 2 - 1/4 ", "9/4", "2¼", "2 ¼", "2.25 in", '2.25"', "2.25 inches",
     "2 1/4 IN", "2.25in."],
)  # fmt: skip
def test_two_and_a_quarter_inches_reads_alike_in_every_spelling(text):
    assert parse_length(text, "in") == Length(Fraction(9, 4), "in")


@pytest.mark.parametrize(
    ("unit", "words"),
    [
        ("in", ("in", "in.", "inch", "inches", '"', "”", "″")),
        ("mm", ("mm", "mm.", "millimetre", "millimetres", "millimeter", "millimeters")),
    ],
)
def test_a_unit_may_be_written_in_full_or_by_its_sign(unit, words):
    other = {"in": "mm", "mm": "in"}[unit]
    for word in words:
        assert parse_length(f"3 {word}", other) == Length(Fraction(3), unit)


@pytest.mark.parametrize(
    ("sign", "value"),
    [("¼", "1/4"), ("½", "1/2"), ("¾", "3/4"), ("⅛", "1/8"), ("⅜", "3/8"), ("⅝", "5/8"),
     ("⅞", "7/8")],
)  # fmt: skip
def test_a_fraction_of_one_letter_is_the_fraction_it_shows(sign, value):
    """Unicode's names of the letters: vulgar fraction one quarter, and so on."""
    assert parse_length(sign, "in").value == Fraction(value)
    assert parse_length(f"2{sign}", "in").value == 2 + Fraction(value)


def test_the_unit_in_the_text_wins_over_the_unit_meant():
    assert parse_length("57 mm", "in") == Length(Fraction(57), "mm")
    assert parse_length('2"', "mm") == Length(Fraction(2), "in")
    assert parse_length("57", "mm") == Length(Fraction(57), "mm")


def test_decimals_are_read_as_decimals_not_as_binary_floats():
    assert parse_length("1.1", "in").value == Fraction(11, 10)
    assert parse_length(".5", "in").value == Fraction(1, 2)


def test_a_length_is_kept_as_an_exact_fraction():
    assert isinstance(Length(0.5, "in").value, Fraction)
    assert Length(0.5, "in").to("mm") == Fraction(127, 10)


def test_an_inch_is_25_4_millimetres_exactly():
    """NIST SP 811, by scipy.constants: inch .0254 m, yard .9144 m (= 36 in)."""
    assert Fraction(254, 10) == MM_PER_INCH
    assert float(MM_PER_INCH) == pytest.approx(constants.inch * 1000, rel=1e-15)
    assert float(Length(36, "in").to("mm")) == pytest.approx(constants.yard * 1000, rel=1e-15)


def test_converting_there_and_back_changes_nothing():
    length = parse_length("2 3/8", "in")
    assert length.to("in") == length.value
    assert Length(length.to("mm"), "mm").to("in") == length.value


def test_a_length_is_shown_with_its_unit():
    assert str(parse_length("2 1/4", "in")) == "2.25 in"
    assert str(parse_length("57 mm", "in")) == "57 mm"


def test_converting_numbers_keeps_their_shape():
    """By hand: 1 in = 25.4 mm, 2 in = 50.8 mm."""
    assert convert(2.0, "in", "mm") == pytest.approx(50.8)
    both_ways = convert(np.array([[25.4], [50.8]]), "mm", "in")
    np.testing.assert_allclose(both_ways, [[1.0], [2.0]], rtol=1e-15)
    assert convert(7.0, "mm", "mm") == 7.0


@pytest.mark.parametrize(
    "text",
    ["", "two", "2,25", "2.25 cm", "2 1/0", "2 1/4 1/4", "-2", "mm 57", "2.25 × 2", "1e3", "2/"],
)
def test_an_unreadable_length_is_told_back_with_the_spellings_that_would_do(text):
    told = (
        f'found "{text}", expected a length such as 2.25, 2 1/4 or 57 mm. '
        "Write the number first and the unit, in or mm, after it."
    )
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        parse_length(text, "in")


@pytest.mark.parametrize(("text", "shown"), [("0", "0"), ("0.0", "0"), ("0/4", "0")])
def test_a_length_of_nothing_is_no_length(text, shown):
    told = f"found the length {shown}, expected more than 0."
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        parse_length(text, "in")


def test_a_length_below_nothing_is_no_length():
    with pytest.raises(PricelabError, match=r"^found the length -2\.5, expected more than 0\.$"):
        Length(Fraction(-5, 2), "mm")


def test_only_inches_and_millimetres_are_units():
    with pytest.raises(PricelabError, match=r'^found the unit "cm", expected "in" or "mm"\.$'):
        Length(Fraction(1), "cm")
