"""The order beside a quote's page: written, read again, and taken into the book."""

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest
from smallshop import ON, write_shop

from pricelab.client.catalogue import catalogue_of
from pricelab.client.offers import Offer, OfferLine, Part, Wanted
from pricelab.files.order_file import CounterOrder, order_file, read_order
from pricelab.files.records.book import Records
from pricelab.files.records.happened import counter_orders, take_quotes
from pricelab.files.records.shop_then import keep_tables, stamped
from pricelab.files.shop_folder import read_shop
from pricelab.screens.counter import CounterPanel
from pricelab.shop.errors import PricelabError
from pricelab.shop.units import Length

ORDER = CounterOrder(
    "2026-11-25-01", date(2026, 11, 25), "Åse & Søn",
    Wanted(
        "patch", (Part("cap", 20, "blue"), Part("cap", 4)), Length(Fraction(9, 4), "in"),
        Length(Fraction("57.15"), "mm"), first=False,
    ),
    Offer(
        (OfferLine("Plain cap", "blue", 20, 9.9, 198.0), OfferLine("Plain cap", "", 4, 9.9, 39.6)),
        24, 0.0, 237.6, 23.76, 261.36,
    ),
    "5eed",
)  # fmt: skip


def test_an_order_comes_back_as_it_was_written():
    assert read_order(order_file(ORDER), "order.json") == ORDER


@pytest.mark.parametrize(
    "content",
    [
        b"", b"[]", b"{}", b'{"wanted": 1, "offer": 2}', b"\xff", b"[" * 100_000,
        order_file(ORDER).replace(b'"pieces": 20', b'"pieces": "20"'),
        order_file(ORDER).replace(b'"pieces": 20', b'"pieces": -20'),
        order_file(ORDER).replace(b"23.76", b"NaN"),
        order_file(ORDER).replace(b"23.76", b"1e999"),
        order_file(ORDER).replace(b"23.76", b"[]"),
        order_file(ORDER).replace(b'"first": false', b'"first": 0'),
        order_file(ORDER).replace(b"2026-11-25\"", b"9999-12-31\""),
        order_file(ORDER).replace(b'"5eed"', b'"\\ud800"'),
        order_file(ORDER).replace("Åse".encode(), b"\\udfff"),
        order_file(replace(ORDER, offer=replace(ORDER.offer, lines=ORDER.offer.lines[:1]))),
    ],
)  # fmt: skip
def test_a_damaged_order_is_named(content):
    with pytest.raises(
        PricelabError, match=r"^order\.json is not the order of a quote any more\. "
    ):
        read_order(content, "order.json")


@pytest.fixture
def folder(tmp_path):
    """The small shop, and a quote for 20 caps saved across its counter."""
    folder = read_shop(write_shop(tmp_path))
    assert keep_tables(tmp_path) == ""
    counter = CounterPanel(catalogue_of(folder), tmp_path / "quotes", lambda: ON, stamped(folder))
    counter.pieces.set("20")
    counter.client.set("Ann")
    counter.save.press()
    return folder


def test_a_quote_of_the_counter_is_taken_over_once(folder):
    """With its price and what it costs; a second time there is nothing to take."""
    assert len(counter_orders(folder)) == 1
    assert take_quotes(folder, ON) == (1, ())
    assert take_quotes(folder, ON) == (0, ())
    records = Records(folder.folder)
    kept = records.quotes().iloc[0]
    assert (kept["number"], kept["client"], kept["status"]) == ("2026-11-25-01", "Ann", "open")
    assert kept["quantity"] == 20
    quote = records.quote("2026-11-25-01")
    assert quote.cost > 0
    assert quote.parts[0].blank == "cap"


def test_one_that_cannot_be_opened_is_told(folder):
    """A folder of that name stands there; the other is taken."""
    (folder.folder / "quotes" / "2026-11-25-02" / "order-2026-11-25-02.json").mkdir(parents=True)
    taken, (told,) = take_quotes(folder, ON)
    assert taken == 1
    assert told.startswith("2026-11-25-02: order-2026-11-25-02.json could not be read (")


def test_one_that_cannot_be_taken_holds_up_no_other(folder):
    """Its reason is told."""
    broken = folder.folder / "quotes" / "2026-11-25-02"
    broken.mkdir()
    (broken / "order-2026-11-25-02.json").write_text("{}")
    taken, reasons = take_quotes(folder, ON)
    assert taken == 1
    assert reasons == (
        "2026-11-25-02: order-2026-11-25-02.json is not the order of a quote any more. Write the "
        "quote into quotes.csv by hand.",
    )
