"""A panel keeps its last good result, can be read without a browser, and escapes all names."""

import errno
from html import unescape

import pytest

from pricelab.screens import html
from pricelab.screens.controls import UNFORESEEN, Choice, Press, Typed
from pricelab.screens.driving import drive_to_ends
from pricelab.screens.panel import NOT_UP_TO_DATE, Panel, Shown
from pricelab.screens.reading import length
from pricelab.shop.errors import PricelabError


class Doubler(Panel):
    """Twice a width, for a test."""

    def __init__(self):
        self.width = Typed("Width (in)", length("in"), "2")
        self.unit = Choice("In", {"inches": "in", "millimetres": "mm"})
        self.shown, self.drawn = Shown(), 0
        self.lay_out([self.width, self.unit], self.shown)

    def update(self):
        self.drawn += 1
        twice = float(2 * self.width.value.to(self.unit.value))
        if twice > 1000:
            with self.answering(self.width):
                raise PricelabError("found too wide a thing.")
        if twice == 8:
            raise PricelabError("eight is not possible.")
        self.shown.write(html.paragraph(f"{twice:g}"), f"{twice:g}")


class Stumbler(Doubler):
    """A panel whose rule has a mistake in it at 3, for a test."""

    def update(self):
        if self.width.value.value == 3:
            raise ZeroDivisionError("the cap costs 4.37")
        super().update()


def test_a_mistake_in_the_program_is_a_sentence_that_gives_nothing_away():
    """The last good result stays; whoever mends it finds the error, and a check fails on it."""
    panel = Stumbler()
    panel.width.set("3")
    assert str(panel) == f"{UNFORESEEN} {NOT_UP_TO_DATE}\n\n4"
    assert isinstance(panel.mistake, ZeroDivisionError)
    panel.width.set("1")
    assert str(panel) == "2"
    with pytest.raises(AssertionError, match="the program made a mistake: ZeroDivisionError"):
        drive_to_ends(panel)


def _refuse():
    raise PricelabError("Choose <one>.")


def _full():
    raise OSError(errno.ENOSPC, "No space left on device", "/shop/costs.csv")


@pytest.mark.parametrize(
    ("do", "said"),
    [
        (lambda: "Saved.", "Saved."),
        (_refuse, "Choose &lt;one&gt;."),
        (lambda: 1 / 0, UNFORESEEN),
        (
            _full,
            "The machine did not do this (No space left on device). Make room on its disk, or "
            "allow its folders to be used, and try again. Nothing that was saved is lost.",
        ),
    ],
)
def test_a_button_says_what_came_of_it(do, said):
    """Or why it could not be, without a traceback or a place: a client may look on."""
    button = Press("Save", do)
    button.button.click()
    assert button.said.value == f'<span role="status">{said}</span>'


def test_a_wrong_entry_keeps_the_last_good_result():
    """Answered beside the control, and taken back when it is mended."""
    panel = Doubler()
    panel.width.set("wide")
    assert str(panel) == f"{NOT_UP_TO_DATE}\n\n4"
    assert panel.shown.old
    assert f"{NOT_UP_TO_DATE}</p><p>4</p>" in panel.html()
    assert "Enter a length such as 2.25, 2 1/4 or 57 mm." in panel.width.answer.value
    panel.width.set("3")
    assert str(panel) == "6"
    assert panel.width.answer.value == ""
    assert not panel.shown.old


@pytest.mark.parametrize(
    ("width", "beside", "under"),
    [("600", "Found too wide a thing.", ""), ("4", "", "Eight is not possible. ")],
)
def test_a_refusal_is_answered_where_it_belongs(width, beside, under):
    """Beside its control where the panel knows which; and gone with the next good result."""
    panel = Doubler()
    panel.width.set(width)
    assert panel.width.words == beside
    assert str(panel) == f"{under}{NOT_UP_TO_DATE}\n\n4"
    panel.width.set("5")
    assert str(panel) == "10"


def test_controls_moved_quietly_update_once():
    """Two controls, one update."""
    panel = Doubler()
    before = panel.drawn
    with panel.quietly():
        panel.width.set("3")
        panel.unit.set("mm")
    panel.refresh()
    assert panel.drawn == before + 1


def test_a_panel_shows_itself_as_a_page_where_no_kernel_runs():
    """The widgets, the page and the words in one bundle."""
    bundle = Doubler()._repr_mimebundle_()
    assert bundle["text/plain"] == "4"
    assert "<p>4</p>" in bundle["text/html"]
    assert "application/vnd.jupyter.widget-view+json" in bundle


def test_driving_tells_what_changed_at_every_end():
    """And puts every control back."""
    panel = Doubler()
    assert drive_to_ends(panel) == "In, inches: as before\nIn, millimetres: 101.6"
    assert str(panel) == "4"


def test_driving_finds_a_panel_that_takes_a_wrong_entry():
    """A check that cannot fail would be none."""
    panel = Doubler()
    panel.width._parse = lambda said: length("in")("2")
    with pytest.raises(AssertionError, match="took x"):
        drive_to_ends(panel)


EVIL = '<script>alert("x")</script>'


@pytest.mark.parametrize(
    "page",
    [
        html.paragraph(EVIL),
        html.bullets([EVIL]),
        html.table([EVIL, "b"], [(EVIL, EVIL)], caption=EVIL),
    ],
)
def test_markup_in_names_is_text(page):
    """Whatever a shop's files call a thing."""
    assert "<script" not in page
    assert EVIL in unescape(page)


def test_tables_tell_what_their_headers_head():
    """Columns and rows, for whoever hears them."""
    page = html.table(("Size", "Price"), [("2 in", "$3.00"), ("in all", "$3.00")], sums=[1])
    assert page.count('scope="col"') == 2
    assert page.count('scope="row"') == 2
    assert page.count('class="pl-sum"') == 1


def test_what_a_button_answered_goes_when_an_entry_changes():
    """Or it would still ask for what was mended meanwhile."""

    class Saver(Doubler):
        def lay_out(self, *rows):
            self.save = Press("Save", lambda: "Saved.")
            super().lay_out(*rows, [self.save])

    panel = Saver()
    assert "Saved." in panel.save.press()
    panel.width.set("3")
    assert panel.save.said.value == ""
