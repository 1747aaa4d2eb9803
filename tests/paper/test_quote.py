"""A quote across the counter as a page and as a table: every line, and no formula."""

import csv
import io
import subprocess
from fractions import Fraction

import pytest
from programs import program_or_skip
from smallshop import ON, UNTIL
from twoblanks import two_blanks_counter

from pricelab.client.offers import Part, Wanted, make_offer
from pricelab.paper.quote import COLUMNS, quote, quote_csv, quote_files
from pricelab.shop.units import Length

TWO = Length(Fraction(2), "in")


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """6 black caps and 6 sand knits: 59.40, 54.00, set-up 54.55, tax 16.80, 184.75 in all."""
    counter = two_blanks_counter(tmp_path_factory.mktemp("shop"))
    parts = (Part("cap", 6, "black"), Part("knit", 6, "sand"))
    order = Wanted("patch", parts, TWO, TWO)
    offer = make_offer(counter, order)
    return quote(
        counter,
        order,
        offer,
        ON,
        client="=HYPERLINK(1)",
        number="2026-11-25-01",
        hint="24 is less.",
    )


def test_the_table_has_a_row_for_every_line(made):
    """In the order of the page; the figures are the hand calculation's."""
    rows = list(csv.reader(io.StringIO(quote_csv(made).decode("utf-8-sig"))))
    assert tuple(rows[0]) == COLUMNS
    assert [row[4:] for row in rows[1:]] == [
        ["Leather patch, pressed on, 2 × 2 in, on Plain cap, black", "6", "9.90", "59.40"],
        ["Leather patch, pressed on, 2 × 2 in, on Knit beanie, sand", "6", "9.00", "54.00"],
        ["Set-up of the artwork", "", "", "54.55"],
        ["Sales tax: 10 % sales tax", "", "", "16.80"],
        ["Total", "", "", "184.75"],
    ]
    assert {tuple(row[:3]) for row in rows[1:]} == {("2026-11-25-01", "2026-11-25", "2026-12-25")}


def test_a_clients_name_is_never_a_formula(made):
    """An apostrophe stands before it."""
    assert "'=HYPERLINK(1)" in quote_csv(made).decode("utf-8")


def test_the_page_says_the_number_the_lines_and_the_hint(made, tmp_path):
    """As a reader of the PDF finds them."""
    reader = program_or_skip("pdftotext", "pdftotext")
    files = quote_files(made)
    assert set(files) == {"quote-2026-11-25-01.pdf", "quote-2026-11-25-01.csv"}
    page = tmp_path / "page.pdf"
    page.write_bytes(files["quote-2026-11-25-01.pdf"])
    said = [reader, "-layout", str(page), "-"]
    text = subprocess.run(said, check=True, capture_output=True, text=True).stdout
    text = " ".join(text.split())
    for words in (
        f"Quote 2026-11-25-01 of 25 November 2026, valid until {UNTIL}.",
        "6 Plain cap, black $9.90 $59.40", "6 Knit beanie, sand $9.00 $54.00",
        "Set-up of the artwork $54.55", "Total $184.75", "24 is less.",
        "Knit beanie: dry flat.", "Plain cap: hand wash.",
    ):  # fmt: skip
        assert words in text, words
