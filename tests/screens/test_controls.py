"""Controls have words, units and bounds, and answer a wrong entry beside themselves."""

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


@pytest.mark.parametrize("said", ["2 1/4", "2.25", "2-1/4", '2 1/4"', "57.15 mm"])
def test_lengths_are_read_as_people_write_them(said):
    """Two and a quarter inches."""
    assert c.Typed("Width", r.length("in"), said).value.to("in") == Fraction(9, 4)


def test_a_wrong_length_says_what_would_do():
    """What, why and what would do, in a sentence."""
    typed = c.Typed("Width", r.length("in"), "2 x")
    with pytest.raises(PricelabError, match=r"^Enter a length such as 2\.25, 2 1/4 or 57 mm\.$"):
        _ = typed.value


@pytest.mark.parametrize("said", ["0", "-3", "12.5", "2,5", "1e9", "5001", "x", "", "²", "1" * 40])
def test_wrong_quantities_are_refused(said):
    """Whole pieces from 1 to 5,000."""
    with pytest.raises(PricelabError, match=r"^Enter a whole number of pieces from 1 to 5,000, "):
        r.pieces()(said)


@pytest.mark.parametrize("said", ["6, 12, 12", "", "6, x", "6,12"])
def test_wrong_rows_of_quantities_are_refused(said):
    """They rise, each once; 6,12 may be one figure."""
    with pytest.raises(PricelabError, match=r"^Enter quantities that rise, with a comma and a sp"):
        r.rising("quantities", "6, 12, 24", r.pieces())(said)


def test_a_comma_between_digits_parts_no_two_quantities():
    assert r.rising("quantities", "6, 12, 24", r.pieces())("6, 1,200") == (6, 1200)


def test_rows_of_sizes_take_lengths_and_squares():
    """A list by area goes by plain figures, one by sides by lengths in any unit."""
    assert r.rising("sizes in in", "2, 3", r.size("in"))("2 1/4, 76.2 mm") == (2.25, 3.0)
    assert r.rising("sizes in sq in", "4, 9", r.size("sq in"))("4, 9.5") == (4.0, 9.5)


@pytest.mark.parametrize("said", ["x", "4, y"])
def test_a_size_that_is_no_figure_is_refused(said):
    """With the form that would do."""
    with pytest.raises(PricelabError, match=r"^Enter sizes in mm² that rise, with a comma and"):
        r.rising("sizes in mm²", "400, 900", r.size("mm²"))(said)


@pytest.mark.parametrize("said", ["-4", "inf", "0"])
def test_a_size_not_above_nothing_is_refused(said):
    """Infinite ones too."""
    with pytest.raises(PricelabError, match=r"^Enter a size above 0 in mm²\.$"):
        r.size("mm²")(said)


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


def test_a_button_says_what_came_of_it():
    """Or why it could not be, without a traceback."""

    def fail():
        raise PricelabError("The disk is full.")

    for do, said in ((lambda: "Saved.", "Saved."), (fail, "The disk is full.")):
        button = c.Press("Save", do)
        button.button.click()
        assert button.said.value == f'<span role="status">{said}</span>'


def test_length_value():
    """A length keeps its unit."""
    assert r.length("mm")("57") == Length(Fraction(57), "mm")


def test_a_box_in_which_nothing_is_chosen_asks_to_choose():
    """As a browser may send it; the panel then answers beside the control."""
    for control in (c.Choice("Blank", {"Cap": 1}), c.SideBox("Artwork", {"new": True})):
        control.widget.index = None
        with pytest.raises(PricelabError, match=r"^Nothing is chosen\. Choose one of the list\.$"):
            _ = control.value
        control.widget.index = 0
        assert control.value in (1, True)


@pytest.mark.parametrize("sent", ["nan", "inf", "-1e308", "1e1", "1,200", "4 2", "", "0x9", "٣"])
def test_a_figure_that_is_no_number_or_may_be_two_is_answered(sent):
    """1,200 is over a thousand to some and a little over one to others."""
    slide = c.Slide("Share", 10.0, (0, 9_000), "%", step=0.5)
    slide.set(sent)
    with pytest.raises(PricelabError, match=r"^Enter a figure from 0 to 9,000 %, such as 10\.$"):
        _ = slide.value
    assert slide.slider.value == 10.0
    slide.set(20.0)
    assert (slide.value, slide.slider.value) == (20.0, 20.0)


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
