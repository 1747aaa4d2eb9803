"""The client's screen, driven and read without a browser."""

import csv
import time
from base64 import b64encode
from datetime import date

import pytest
import smallshop
from twoblanks import two_blanks, two_blanks_counter

from pricelab.files.clock import today
from pricelab.screens.counter import QUOTES, CounterPanel, open_counter


@pytest.fixture
def panel(tmp_path):
    """The screen of the small shop with two blanks, at 12 patches of 2 × 2 in on the cap."""
    counter = two_blanks_counter(tmp_path / "shop")
    panel = CounterPanel(counter, tmp_path / "shop" / QUOTES, lambda: date(2026, 11, 25))
    panel.width.set("2")
    panel.pieces.set(12)
    return panel


@pytest.mark.skipif(not hasattr(time, "tzset"), reason="zones are set as on Linux and macOS")
def test_the_day_is_that_of_the_shops_own_calendar(monkeypatch):
    """Where the day begins first on earth it is a day or two later than where it ends last."""
    days = []
    for zone in ("Etc/GMT-14", "Etc/GMT+12"):  # 26 hours apart
        monkeypatch.setenv("TZ", zone)
        time.tzset()
        days.append(today())
    monkeypatch.undo()
    time.tzset()
    assert (days[0] - days[1]).days in (1, 2)


def test_price_and_total_are_shown(panel):
    """12 × 9.90 + 54.55, and 17.34 of tax: the sum of the offers' test."""
    assert panel.price.words.startswith("$9.90 a piece, $190.69 in all, with set-up and tax")
    assert "<b>$190.69</b>" in panel.price.box.value


def test_a_few_more_that_cost_less_are_told(panel):
    """11 × 25.10 + 54.55 = 330.65, with tax 363.72 (33.065 half up is 33.07); 12 are 190.69."""
    panel.pieces.set(11)
    assert panel.hint.words.splitlines()[0] == (
        "12 pieces cost less than 11: $190.69 in all, $173.03 less."
    )


def test_a_repeat_has_no_set_up(panel):
    """118.80 and its tax."""
    panel.order.set(False)
    assert panel.price.words.startswith("$9.90 a piece, $130.68 in all, with tax")


def test_a_fraction_is_read_and_a_wrong_entry_answered_beside_its_control(panel):
    """The last good result stays."""
    panel.height.set("2 1/4")
    assert "2 × 2.25 in fits" in panel.front.words
    before = panel.price.words
    panel.height.set("two")
    assert panel.height.words == "Enter a length such as 2.25, 2 1/4 or 57 mm."
    assert all(part.old for part in (panel.price, panel.hint, panel.front, panel.steps))
    assert not panel.head.old
    assert "Enter a length such as" in panel.save.press()
    assert panel.price.words == before
    panel.height.set("57 mm")
    assert panel.height.words == ""


def test_what_does_not_fit_says_why_and_what_would(panel):
    """On the screen and in the drawing; nothing can be saved then."""
    panel.width.set("6")
    assert panel.price.words == (
        "The panel of Plain cap takes at most 5 × 2.5 in. 4.5 × 1.5 in would fit."
    )
    assert panel.hint.words == ""
    assert "There is nothing to save" in panel.save.press()
    assert not panel._quotes.exists()


def test_too_few_pieces_leave_the_drawing_as_it_fits(panel, tmp_path):
    """The artwork is not at fault."""
    (tmp_path / "b").mkdir()
    rows = "method,blank,size,1,12,24\npatch,cap,3,,13.00,7.00\n"
    counter = two_blanks_counter(tmp_path / "few", price_list=rows)
    panel = CounterPanel(counter, tmp_path / "q")
    panel.width.set("2")
    panel.pieces.set(6)
    assert panel.price.words == "Leather patch on Plain cap is made from 12 pieces on."
    assert "fits" in panel.front.words


def test_several_pieces_share_the_tier_and_a_closed_drawer_counts_nothing(panel):
    """6 caps and 6 knits are the offers' 184.75; without the tick there are 6 caps."""
    panel.pieces.set(6)
    panel.several.set(True)
    count, blank, colour = panel.more[0]
    count.set("6")
    blank.set("knit")
    colour.set("sand")
    assert "$184.75" in panel.price.words
    assert "6 × Knit beanie, sand" in panel.price.words
    count.set("x")  # a wrong entry that is put away must not hold the screen up
    panel.several.set(False)
    assert "6 × Plain cap" in panel.price.words
    assert "Knit" not in panel.price.words


def test_decorations_are_ranked_by_price_with_the_impossible_last(panel):
    """The film cannot go on the knit; on the cap both have a price."""
    first, second = panel.by_price.words.splitlines()[2:4]
    assert "$" in first
    assert "$" in second
    panel.blank.set("knit")
    *_, last = panel.by_price.words.splitlines()
    assert "Pressed film needs 300°" in last


def test_care_cautions_and_conditions_are_told(panel):
    """Of the decoration, the piece, children and food, tax."""
    for words in (
        "Leather patch, pressed on: wipe clean; not for laundering.", "Plain cap: hand wash.",
        "Goods for small children", "10 % sales tax is added", "Paid on collection.",
    ):  # fmt: skip
        assert words in panel.notes.words, words


def test_a_quote_is_saved_with_the_clients_name_and_can_be_opened(panel):
    """Both files; the link carries the very page that was saved; a change takes it away."""
    panel.client.set("  Someone\tNew ")
    panel.save.press()
    folder = panel._quotes / "2026-11-25-01"
    assert panel.saved.words == "Quote 2026-11-25-01 is saved."
    page = (folder / "quote-2026-11-25-01.pdf").read_bytes()
    assert page.startswith(b"%PDF")
    assert b64encode(page).decode() in panel.saved.box.value
    with (folder / "quote-2026-11-25-01.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert {row["client"] for row in rows} == {"Someone New"}
    assert rows[-1]["together"] == "190.69"
    panel.pieces.set(13)
    assert panel.saved.box.value == ""


def test_what_cannot_be_saved_is_told_without_a_place(panel):
    """A file stands where the folder should."""
    panel._quotes.write_text("mine")
    assert "could not be saved" in panel.save.press()
    assert str(panel._quotes.parent) not in panel.save.said.value


def test_a_shop_that_needs_mending_tells_a_client_nothing_of_it(tmp_path):
    """No file, row or figure; the owner is told how to find them."""
    folder = two_blanks(tmp_path / "shop", blank_prices="blank,from,price\ncap,1,4.OO\n")
    panel = open_counter(folder)
    assert "python -m pricelab check" in str(panel)
    for words in (".csv", "4.OO", str(tmp_path), "row"):
        assert words not in str(panel)
        assert words not in panel.html().partition("</style>")[2]


def test_the_opening_screen_is_of_the_shop_that_was_named(tmp_path):
    """Its quotes go into its folder."""
    folder = two_blanks(tmp_path / "shop")
    panel = open_counter(folder)
    assert str(panel).startswith("Small Shop")
    assert panel._quotes == folder.resolve() / QUOTES


def test_one_decoration_is_not_set_beside_others(tmp_path):
    panel = open_counter(smallshop.write_shop(tmp_path))
    assert len(panel.look) == 1
    assert panel.by_price.words == ""
