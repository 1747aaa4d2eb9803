"""Controls have words, units and bounds, and answer a wrong entry beside themselves."""

import re
from fractions import Fraction

import pytest

from pricelab.screens import controls as c
from pricelab.screens import reading as r
from pricelab.shop.errors import PricelabError
from pricelab.shop.units import Length


def test_labels_are_the_widgets_own_descriptions():
    """So that a browser ties them to what they label."""
    assert c.Typed("Width (in)", r.length("in"), "2").widget.description == "Width (in)"
    assert c.Slide("Target margin", 42, (0, 90), "%").widget.description == "Target margin, %"


PIECES = "Enter a whole number of pieces from 1 to 5,000, such as 24."
LENGTH = "Enter a length such as 2.25, 2 1/4 or 57 mm."
PRICE = "Enter a price such as 12.50, or nothing to have it planned."
STITCHES = (
    "Enter the stitches of one piece, such as 7200 (up to 1,000,000), or nothing to have them "
    "estimated."
)
RISING = "Enter quantities that rise, with a comma and a space between, such as 6, 12, 24."
SIZES = "Enter sizes in mm² that rise, with a comma and a space between, such as 400, 900."
FIGURE = "Enter a figure from 0 to 9,000 %, such as 10."


def sizes(unit, example):
    """A reader of a row of list sizes."""
    return r.rising(f"sizes in {unit}", example, r.size(unit))


QUANTITIES = r.rising("quantities", "6, 12, 24", r.pieces())


@pytest.mark.parametrize(
    ("read", "said", "meant"),
    [
        *(
            (r.length("in"), said, Length(Fraction(9, 4), "in"))
            for said in ("2 1/4", "2.25", "2-1/4", '2 1/4"')
        ),
        (r.length("in"), "57.15 mm", Length(Fraction("57.15"), "mm")),
        (r.length("mm"), "57", Length(Fraction(57), "mm")),
        (r.pieces(), "1,200", 1200),
        (r.price(2), "8,00", 8.0),
        (r.stitches, " ", None),
        (QUANTITIES, "6, 1,200", (6, 1200)),
        (sizes("in", "2, 3"), "2 1/4, 76.2 mm", (2.25, 3.0)),
        (sizes("sq in", "4, 9"), "4, 9.5", (4.0, 9.5)),
    ],
)
def test_figures_are_read_as_people_write_them(read, said, meant):
    """A comma between three digits parts no two quantities; a list by area goes by figures."""
    assert read(said) == meant


@pytest.mark.parametrize(
    ("read", "wrong", "sentence"),
    [
        (r.pieces(), ["0", "-3", "12.5", "2,5", "1e9", "5001", "x", "", "²", "1" * 40], PIECES),
        (r.length("in"), ["2 x", "1e9", "-2", ""], LENGTH),
        (r.price(2), ["8.005", "0", "-8", "eight", "1e3", "1,200"], PRICE),
        (r.stitches, ["5k", "0", "12.5", "1000001"], STITCHES),
        (QUANTITIES, ["6, 12, 12", "12, 6", "", "6, x", "6,12"], RISING),
        (sizes("mm²", "400, 900"), ["x", "4, y", "-4", "inf", "0"], SIZES),
        (r.size("mm²"), ["-4", "inf", "0"], "Enter a size above 0 in mm²."),
        (
            r.figure(0, 9_000, "%", 10),
            ["nan", "inf", "-1e308", "1e1", "1,200", "4 2", "", "0x9", "٣", "9001"],
            FIGURE,
        ),
    ],
)
def test_what_will_not_do_is_refused_in_a_sentence(read, wrong, sentence):
    """12.5 pieces are not 125, 2,5 not 25 and 1e9 not 19; 1,200 % may be two figures."""
    for said in wrong:
        with pytest.raises(PricelabError, match=f"^{re.escape(sentence)}$"):
            read(said)


def test_a_slide_follows_its_figure_and_the_figure_its_slide():
    """Typed, stepped by keys or slid: one value."""
    slide = c.Slide("Target margin", 42, (0, 90), "%")
    slide.slider.value = 50
    assert slide.value == 50
    slide.set(60)
    assert slide.slider.value == 60


def test_a_figure_out_of_bounds_is_answered_and_not_cut():
    """The slider stays; so does the figure as typed, until it is fixed."""
    slide = c.Slide("Target margin", 42, (0, 90), "%")
    slide.set(95)
    assert (slide.widget.value, slide.slider.value) == ("95", 42)
    said = r"^Enter a whole number from 0 to 90 %, such as 42\.$"
    with pytest.raises(PricelabError, match=said):
        _ = slide.value


def test_a_choice_stays_where_it_can():
    """Other options, the same value; or the first of them."""
    choice = c.Choice("Blank", {"Cap": "cap", "Bag": "bag"}, "bag")
    choice.offer({"A bag": "bag", "A hat": "hat"})
    assert choice.value == "bag"
    choice.offer({"A cap": "cap"})
    assert choice.value == "cap"


def test_an_answer_is_shown_as_text_and_taken_back():
    """Markup in what was typed is shown, not obeyed."""
    typed = c.Typed("Width", r.length("in"), "2")
    typed.say("Found <b>.")
    assert typed.answer.value == ('<div class="pl-answer" role="alert">Found &lt;b&gt;.</div>')
    typed.say()
    assert typed.answer.value == ""


def test_a_box_in_which_nothing_is_chosen_asks_to_choose():
    """As a browser may send it; the panel then answers beside the control."""
    for control in (c.Choice("Blank", {"Cap": 1}), c.SideBox("Artwork", {"new": True})):
        control.widget.index = None
        with pytest.raises(PricelabError, match=r"^Nothing is chosen\. Choose one of the list\.$"):
            _ = control.value
        control.widget.index = 0
        assert control.value in (1, True)


def test_a_typed_entry_has_an_end():
    """Nobody types a thousand letters; looking through 100,000 of them takes minutes."""
    typed = c.Typed("Width", r.length("in"), "2")
    typed.set("2" * 100_000)
    told = r"^Enter no more than 1,000 letters\. This is 100,000 long\.$"
    with pytest.raises(PricelabError, match=told):
        _ = typed.value


def test_words_hold_no_half_of_a_letter():
    """JavaScript lets one be pasted; no file can hold it."""
    words = c.Words("Client")
    words.set("An\ud83en  Åse \U0001f9e2")
    assert words.value == "An?n Åse \U0001f9e2"
