"""The drawing is true to scale, says whether the artwork fits, and what would."""

import pytest
from drawing import check_drawn_again, drawn, said
from example_shops import a_blank
from matplotlib.colors import rgb_to_hsv, to_rgb

from pricelab.pictures.cap_front import CAP_FRONT, CapFront, describe
from pricelab.pictures.sketches import sketch_of

FITS = CapFront("Cap", "Patch", "in", (5, 2.5), (4, 2), "cap")
TOO_WIDE = CapFront("Cap", "Patch", "in", (5, 2.5), (6, 2), "cap", "Too wide.", (5, 1.625))


def boxes(ax):
    """Width and height of every panel and artwork drawn, in points."""
    ax.figure.draw_without_rendering()
    found = []
    for patch in ax.patches:
        if type(patch).__name__ == "FancyBboxPatch":
            box = patch.get_path().transformed(patch.get_transform()).get_extents()
            found.append((box.width, box.height))
    return found


@pytest.mark.parametrize("kind", ["cap", "hat", "beanie", "bag", ""])
def test_panel_and_artwork_are_drawn_to_one_scale(kind):
    """4 × 2 on 5 × 2.5 in: the same points an inch in both directions."""
    values = CapFront("x", "Patch", "in", (5, 2.5), (4, 2), kind)
    panel, artwork, *_ = boxes(drawn(CAP_FRONT, values))
    scale = panel[0] / 5
    assert panel[1] / 2.5 == pytest.approx(scale)
    assert artwork == (pytest.approx(4 * scale), pytest.approx(2 * scale))


@pytest.mark.parametrize("artwork", [(0.5, 0.5), (4, 2), (7, 3), (30, 2), (2, 40)])
def test_the_whole_artwork_is_on_the_sheet(artwork):
    """However large it is; the panel stays in the middle."""
    values = CapFront("x", "Patch", "in", (5, 2.5), artwork, "cap", "Too large.")
    ax = drawn(CAP_FRONT, values)
    left, right = ax.get_xlim()
    low, high = ax.get_ylim()
    assert left <= -artwork[0] / 2 < artwork[0] / 2 <= right
    assert low <= -artwork[1] / 2 < artwork[1] / 2 <= high
    assert left == pytest.approx(-right)


def test_dimensions_are_written_with_their_unit():
    """Width and height of the artwork, the panel's size, and a bar to compare with."""
    words = set(said(drawn(CAP_FRONT, FITS)))
    assert {"4 in", "2 in", "panel 5 × 2.5 in", "Patch"} <= words
    assert any(words.endswith("to scale") for words in words)


def test_what_fits_says_how_much_is_free():
    """(5 − 4) / 2 and (2.5 − 2) / 2."""
    told = describe(FITS)
    assert told.finding == "4 × 2 in fits: 0.5 in free on each side, 0.25 in above and below"
    assert told.rows == (("panel of Cap", "5 in", "2.5 in"), ("artwork", "4 in", "2 in"))


@pytest.mark.parametrize(
    ("artwork", "finding"),
    [
        ((5, 2.5), "5 × 2.5 in fills the panel"),
        ((5, 2), "5 × 2 in fits: as wide as the panel, 0.25 in free above and below"),
        ((4, 2.5), "4 × 2.5 in fits: as high as the panel, 0.5 in free on each side"),
    ],
)
def test_a_side_as_long_as_the_panel_fits(artwork, finding):
    """On the edge is inside."""
    assert describe(CapFront("Cap", "Patch", "in", (5, 2.5), artwork)).finding == finding


def test_what_does_not_fit_is_hatched_and_what_would_is_outlined():
    """A second cue beside the colour; the finding is the reason."""
    ax = drawn(CAP_FRONT, TOO_WIDE)
    assert sum(bool(patch.get_hatch()) for patch in ax.patches) == 1
    assert "5 × 1.625 in would fit" in said(ax)
    told = describe(TOO_WIDE)
    assert told.finding == "Too wide."
    assert told.rows[-1] == ("would fit", "5 in", "1.625 in")
    assert not any(patch.get_hatch() for patch in drawn(CAP_FRONT, FITS).patches)


def test_no_red_is_drawn():
    """Neither in what fits nor in what does not: hue from 330° to 15° is red."""
    for values in (FITS, TOO_WIDE):
        for patch in drawn(CAP_FRONT, values).patches:
            for colour in (patch.get_facecolor(), patch.get_edgecolor()):
                hue, strong, _ = rgb_to_hsv(to_rgb(colour[:3]))
                assert not (strong > 0.5 and not 15 / 360 < hue < 330 / 360), colour


def test_digits_are_kept_in_the_words_of_the_svg():
    """Coordinates are cut to a hundredth of a point, figures are not."""
    assert "5 × 1.625 in would fit" in CAP_FRONT.svg(TOO_WIDE)


def test_a_quick_picture_is_the_same_as_a_fresh_one():
    """After others were drawn on the same still part."""
    check_drawn_again(CAP_FRONT, FITS, TOO_WIDE)


@pytest.mark.parametrize(
    ("name", "make_up", "kind"),
    [
        ("Structured twill cap", "six panels, firm front", "cap"),
        ("Cotton bucket hat", "soft crown, stitched brim", "hat"),
        ("Ribbed cuffed beanie", "cotton-rich knit, turned cuff", "beanie"),
        ("Heavy cotton tote bag", "flat-sewn bag, two handles", "bag"),
        ("Schildmütze", "", ""),
    ],
)
def test_the_sketch_is_what_the_words_call_it(name, make_up, kind):
    """And nothing is sketched where they do not tell."""
    from dataclasses import replace

    assert sketch_of(replace(a_blank(), name=name, make_up=make_up)) == kind


def test_a_panel_in_another_unit_is_measured_in_the_artworks(tmp_path):
    """127 × 63.5 mm is 5 × 2.5 in."""
    blank = a_blank(panel_width=127, panel_height=63.5, unit="mm")
    assert CapFront.of(blank, "Patch", "in", (4, 2)).panel == pytest.approx((5, 2.5))
