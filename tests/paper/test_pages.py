"""The list and the quote on paper: one page, all words on it, and nothing taken for markup."""

import subprocess
from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from handedout import quoted
from programs import program_or_skip
from smallshop import ON

from pricelab.paper.client_copy import ClientCopy, Letterhead
from pricelab.paper.list_pdf import list_pdf
from pricelab.paper.quote import quote_pdf
from pricelab.shop.errors import PricelabError
from pricelab.shop.price_list import PriceList
from pricelab.shop.pricing_rules import Tax
from pricelab.shop.sizes import Measure

ODD = r"#set [Hat] $x$ *b* _i_ `c` <z> @ref \ // ~ 'q' \"d\" = - + &amp;"
"""Every sign that means something to the typesetter."""


@pytest.fixture(scope="module")
def read_pdf(tmp_path_factory):
    """The text of a PDF, as lines across the page and as it was written; and its properties."""
    text_reader = program_or_skip("pdftotext", "pdftotext")
    page_reader = program_or_skip("pdfinfo", "pdfinfo")

    def read(content: bytes) -> tuple[list[str], str, dict[str, str]]:
        path = tmp_path_factory.mktemp("pdf") / "page.pdf"
        path.write_bytes(content)
        across, written = (
            subprocess.run(
                [text_reader, order, str(path), "-"], check=True, capture_output=True, text=True
            ).stdout
            for order in ("-layout", "-raw")
        )
        about = subprocess.run([page_reader, str(path)], check=True, capture_output=True, text=True)
        pairs = (line.partition(":") for line in about.stdout.splitlines())
        lines = [" ".join(line.split()) for line in across.splitlines() if line.strip()]
        return lines, squeezed(written), {key: value.strip() for key, _, value in pairs}

    return read


def squeezed(text: str) -> str:
    """Text without the spaces and breaks of its layout."""
    return "".join(text.split()).replace("\u200b", "")


def test_the_list_says_all_it_should(copy, read_pdf):
    """Every row of the table, and every note, on one page."""
    lines, text, about = read_pdf(list_pdf(copy))
    assert about["Pages"] == "1"
    assert "Size of the artwork 1–11 12–23 24+" in lines
    assert "up to 2 in 25.10 12.40 10.50" in lines
    assert "up to 3 in 26.95 14.25 12.30" in lines
    for said in (
        "Small Shop", "Leather patch", "Plain cap", "Price list", copy.priced_in, copy.setup_note,
        "10 % sales tax is added to the prices.", "valid until 25 December 2026",
        "Paid on collection.", "wipe clean; not for laundering", "hand wash", *copy.hints,
        copy.measure_note, copy.range_note, "Invented for a test.", "Goods for small children",
    ):  # fmt: skip
        assert squeezed(said) in text, said


def test_it_is_tagged_titled_and_of_no_date(copy, read_pdf):
    """A screen reader can read it; the same list gives the same bytes."""
    content = list_pdf(copy)
    *_, about = read_pdf(content)
    assert (about["Title"], about["Tagged"]) == ("Small Shop: Leather patch (Plain cap)", "yes")
    assert "CreationDate" not in about
    assert list_pdf(copy) == content


def test_an_inch_shop_prints_on_letter_and_a_millimetre_shop_on_a4(folder, price_list, read_pdf):
    """By the shop's unit."""
    *_, about = read_pdf(list_pdf(ClientCopy.of(folder.shop, price_list, ON)))
    assert about["Page size"] == "612 x 792 pts (letter)"
    metric = replace(folder.shop, unit="mm")
    *_, about = read_pdf(list_pdf(ClientCopy.of(metric, price_list, ON)))
    assert about["Page size"].endswith("(A4)")


@pytest.mark.parametrize("bands", [1, 12])
@pytest.mark.parametrize("tiers", [1, 7, 10])
@pytest.mark.parametrize("name", ["Cap", ODD * 3, "Donaudampfschifffahrtsgesellschaft" * 4])
def test_every_list_stands_on_one_page(folder, read_pdf, bands, tiers, name):
    """From one price to twelve sizes by ten tiers of four figures, under any names."""
    starts = np.array([1, 12, 24, 36, 48, 72, 96, 144, 192, 288])[:tiers]
    prices = np.linspace(1234.5, 9876.25, bands * tiers).reshape(bands, tiers)[:, ::-1]
    price_list = PriceList(
        "patch", "cap", Measure.AREA, "mm", 1000 * np.arange(1, bands + 1), starts, 1000, prices,
        81.75, Tax(0.19, True, "value added tax"),
    )  # fmt: skip
    shop = folder.shop
    method = replace(shop.methods["patch"], name=name, care=name)
    blank = replace(shop.blanks["cap"], name=name)
    shop = replace(
        shop, name=name, methods={"patch": method}, blanks={"cap": blank},
        conditions=" ".join([name] * 3), unit="mm",
    )  # fmt: skip
    lines, text, about = read_pdf(list_pdf(ClientCopy.of(shop, price_list, ON)))
    assert about["Pages"] == "1"
    for size, row in zip(price_list.sizes, prices, strict=True):
        figures = " ".join(f"{price:,.2f}" for price in row)
        assert f"up to {size:,.0f} mm² {figures}" in lines
    assert text.count(squeezed(name)) >= 3


def test_signs_of_the_typesetter_are_printed_as_they_are(folder, price_list, read_pdf):
    """Names, care and conditions are data, never markup."""
    shop = folder.shop
    method = replace(shop.methods["patch"], name=ODD, care=f"care {ODD}")
    shop = replace(shop, methods={"patch": method}, conditions='#panic("run")', notice="$ #eval")
    _, text, _ = read_pdf(list_pdf(ClientCopy.of(shop, price_list, ON)))
    for said in (ODD, f"care {ODD}", '#panic("run")', "$ #eval"):
        assert squeezed(said) in text


def test_a_name_in_another_script_is_set_too(folder, price_list, read_pdf):
    """By whatever fonts the machine has."""
    shop = replace(folder.shop, name="帽子屋 Шапки")
    *_, about = read_pdf(list_pdf(ClientCopy.of(shop, price_list, ON)))
    assert about["Pages"] == "1"


# ---- the quote ------------------------------------------------------------------------


@pytest.fixture
def quote(folder, price_list):
    """Twenty pieces of 3 × 2 in, a size of 2.5 in, for a first order: 20 × 14.25 = 285.00;
    with set-up 339.55; tax 33.955, so 33.96; in all 373.51."""
    return quoted(folder.shop, price_list, 3, 2, 20, ON, client="Otter & Sons")


def test_a_quote_is_charged_by_the_list(quote):
    """The calculation above."""
    made = quote.offer
    (line,) = made.lines
    figures = (line.each, line.amount, made.setup, made.total, made.tax, made.payable)
    assert figures == (14.25, 285.00, 54.55, 339.55, 33.96, 373.51)
    assert quote.hint == ""
    assert (quote.artwork, quote.tax_label) == ("3 × 2 in", "10 % sales tax")


def test_the_quote_says_all_it_should(quote, read_pdf):
    """One page with client, lines, total, validity, conditions and care."""
    lines, text, about = read_pdf(quote_pdf(quote))
    assert (about["Pages"], about["Title"]) == ("1", "Small Shop: quote Otter & Sons")
    for line in (
        "for Otter & Sons", "Leather patch", "Plain cap", "Artwork of 3 × 2 in",
        "20 pieces $14.25 $285.00", "Set-up of the artwork $54.55", "Sum before tax $339.55",
        "10 % sales tax $33.96", "Total $373.51",
        "Quote of 25 November 2026, valid until 25 December 2026.",
    ):  # fmt: skip
        assert line in lines
    for said in ("Paid on collection.", "Leather patch: wipe clean", "Invented for a test."):
        assert squeezed(said) in text


def test_a_reorder_has_no_set_up_and_a_tax_inclusive_price_says_what_is_in_it(
    folder, price_list, read_pdf
):
    """24 × 10.50 = 252.00 with 10 % in it: 252 − 252/1.1 = 22.909, so 22.91."""
    included = replace(price_list, tax=Tax(0.1, True, "value added tax"))
    again = quoted(folder.shop, included, 2, 2, 24, ON, first=False)
    lines, *_ = read_pdf(quote_pdf(again))
    at = lines.index("24 pieces $10.50 $252.00")
    assert lines[at + 1 : at + 3] == ["Total $252.00", "including 10 % value added tax $22.91"]
    assert not [line for line in lines if line.startswith("for ")]  # a quote for nobody yet


def test_an_impossible_quote_cannot_be_made(quote):
    """A quote is checked when it is made."""
    made, (line,) = quote.offer, quote.offer.lines
    for wrong, told in (
        ({"quantity": 0}, "found a quantity of 0, expected 1 piece or more"),
        ({"total": float("nan")}, "found nan for total in a quote, expected 0 or more"),
        ({"lines": (replace(line, each=-1),)}, "found -1 for each in a quote, expected 0 or more"),
    ):
        with pytest.raises(PricelabError, match=told):
            replace(quote, offer=replace(made, **wrong))


def test_a_quote_of_any_names_stands_on_one_page(quote, read_pdf):
    """Long names and conditions make the type smaller, not the pages more."""
    head = replace(quote.head, shop=ODD * 2, conditions=" ".join([ODD] * 30), on=date(2026, 1, 1))
    dear = replace(quote.offer, payable=1e7)
    long = replace(quote, head=head, client="Donaudampfschiff" * 12, method=ODD * 4, offer=dear)
    _, text, about = read_pdf(quote_pdf(long))
    assert about["Pages"] == "1"
    assert "$10,000,000.00" in text


@pytest.mark.parametrize(
    ("on", "said"),
    [
        (date(2028, 2, 29), "Prices of 29 February 2028, valid until 30 March 2028."),
        (date(2027, 1, 30), "Prices of 30 January 2027, valid until 1 March 2027."),
        (date(2026, 12, 31), "Prices of 31 December 2026, valid until 30 January 2027."),
    ],
)
def test_thirty_days_over_the_ends_of_months_and_years(folder, on, said):
    """Counted on a calendar: February 2028 has 29 days, that of 2027 has 28."""
    assert Letterhead.of(folder.shop, on).validity == said
