"""A picture drawn again is the picture drawn afresh, and says what it shows."""

import re
from dataclasses import dataclass
from xml.etree import ElementTree

from pricelab.pictures import look
from pricelab.pictures.axes import Axis, Frame, new_axes
from pricelab.pictures.picture import Description, Live, Picture

SVG = "{http://www.w3.org/2000/svg}"


@dataclass(frozen=True)
class Hill:
    """A line of two ends, for a test."""

    top: float
    name: str = "hill"


def _frame(values):
    top = 10.0 if values.top <= 10 else 100.0
    return Frame(
        Axis("x", 0, 1, (0.0, 1.0), ("left", "right")),
        Axis("USD", 0, top, (0.0, top), ("0", "top")),
    )


def _marks(values, ax):
    ax.plot([0, 1], [0, values.top], color=look.NAVY, marker="o")
    ax.fill_between([0, 1], [0, values.top], color=look.NAVY_TINT, hatch="//")
    ax.text(1, values.top, values.name)


def _describe(values):
    return Description(f"The {values.name} is {values.top:g}", ("End",), ((f"{values.top:g}",),))


HILL = Picture("hill", _frame, _marks, _describe)


def test_a_quick_picture_is_the_fresh_one_to_the_letter():
    """Whatever was drawn before, with other limits too, leaves no trace."""
    live = Live(HILL)
    for top in (3, 90, 7, 5):
        live.svg(Hill(top))
    assert live.svg(Hill(8)) == Live(HILL).svg(Hill(8))


def test_the_still_part_is_drawn_once_for_each_frame(monkeypatch):
    """Four pictures in two frames set two frames."""
    from pricelab.pictures import picture

    frames, real = [], picture.set_frame
    monkeypatch.setattr(picture, "set_frame", lambda *args: frames.append(1) or real(*args))
    live = Live(HILL)
    for top in (3, 4, 90, 5):
        live.svg(Hill(top))
    assert len(frames) == 2


def test_a_picture_says_what_it_shows():
    """A role, the finding as title and the table as description, tied by ids of its own."""
    root = ElementTree.fromstring(HILL.svg(Hill(8)))
    title, desc = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert root.get("role") == "img"
    assert (title.text, desc.text) == ("The hill is 8", "End 8.")
    assert root.get("aria-labelledby") == title.get("id")
    assert root.get("aria-describedby") == desc.get("id")
    assert {text.text for text in root.iter(f"{SVG}text")} >= {"The hill is 8", "left", "top"}


def test_two_pictures_on_a_page_share_no_id():
    """Clip paths, markers and hatches included."""
    one, two = (Live(HILL, name).svg(Hill(8)) for name in ("one", "two"))
    ids = [set(re.findall(r'id="([^"]+)"', svg)) for svg in (one, two)]
    assert len(ids[0]) > 4
    assert not ids[0] & ids[1]
    for svg, own in zip((one, two), ids, strict=True):
        used = set(re.findall(r"url\(#([^)]+)\)", svg)) | set(re.findall(r'href="#([^"]+)"', svg))
        assert used <= own


def test_a_picture_holds_no_date_no_program_and_no_rule_for_the_page():
    """The same bytes every day, and no style that reaches beyond the picture."""
    svg = HILL.svg(Hill(8)).lower()
    assert "matplotlib" not in svg
    assert "<style" not in svg
    assert not re.search(r"20\d\d-\d\d", svg)


def test_names_are_shown_as_they_are_written():
    """Markup, and what other programs take for mathematics, is text."""
    root = ElementTree.fromstring(HILL.svg(Hill(8, "<b>$5 & $6</b>")))
    assert "<b>$5 & $6</b>" in {text.text for text in root.iter(f"{SVG}text")}
    assert root.find(f"{SVG}title").text == "The <b>$5 & $6</b> is 8"


def test_a_picture_draws_on_the_axes_it_is_given_and_returns_them():
    """On paper and on a screen the same artists."""
    with look.style():
        ax = new_axes(_frame(Hill(8)))
        assert HILL.draw(Hill(8), ax) is ax
    assert ax.lines[0].get_ydata().tolist() == [0, 8]
    assert "The hill is 8" in [text.get_text() for text in ax.texts]


def test_the_live_svg_draws_what_matplotlib_itself_would_save():
    """Every path and every word of matplotlib's own file is in the live picture."""
    from io import StringIO

    with look.style("hill"):
        ax = new_axes(_frame(Hill(8)))
        HILL.draw(Hill(8), ax)
        own = StringIO()
        ax.figure.savefig(own, format="svg")

    def drawn(svg):
        svg = re.sub(r"(\.\d\d)\d+", r"\1", re.sub(r"\s+", " ", svg))
        return sorted(
            re.findall(r'<path d="[^"]+"|>[^<>]*\w[^<>]*</text>|<use [^>]*x="[^"]+"', svg)
        )

    assert drawn(Live(HILL).svg(Hill(8))) == drawn(own.getvalue())


def test_a_description_reads_as_a_table():
    """Figures stand under their headings."""
    said = Description("Found.", ("Pieces", "Total"), (("6", "$10.00"), ("144", "$9.00")))
    assert str(said) == "Found.\nPieces   Total\n     6  $10.00\n   144   $9.00"
    assert said.spoken == "Pieces 6, Total $10.00; Pieces 144, Total $9.00."
