"""One size out of a width and a height; the dearest artwork of a size."""

import re

import numpy as np
import pytest

from pricelab.shop.errors import PricelabError
from pricelab.shop.sizes import Artwork, Measure, size_of, squarest
from pricelab.shop.units import convert


@pytest.mark.parametrize(
    ("width", "height", "size"), [(2.25, 2.25, 2.25), (2.5, 2.25, 2.375), (5, 2.25, 3.625)]
)
def test_the_mean_of_the_sides(width, height, size):
    """Common practice, no source: the measure of suppliers of patches."""
    assert size_of(Artwork(width, height, "in"), Measure.MEAN_OF_SIDES, "in") == size


def test_the_other_measures():
    """By hand, of an artwork 3 × 2 in with 7,500 stitches."""
    artwork = Artwork(3, 2, "in", stitches=7500)
    assert size_of(artwork, Measure.AREA, "in") == 6
    assert size_of(artwork, Measure.LONGEST_SIDE, "in") == 3
    assert size_of(artwork, Measure.THOUSAND_STITCHES, None) == 7.5
    assert size_of(artwork, Measure.ANY_SIZE, None) == 0


@pytest.mark.parametrize(
    ("measure", "words"),
    [
        (Measure.MEAN_OF_SIDES, "mean of sides"),
        (Measure.AREA, "area"),
        (Measure.LONGEST_SIDE, "longest side"),
        (Measure.THOUSAND_STITCHES, "thousand stitches"),
        (Measure.ANY_SIZE, "any size"),
    ],
)
def test_a_measure_is_known_by_the_words_that_head_a_grid(measure, words):
    """As data/README.md has them, for files that shops have."""
    assert Measure(words) is measure


def test_an_artwork_has_one_colour_where_nobody_says():
    assert Artwork(2, 2, "in").colours == 1


def test_an_artwork_in_millimetres_meets_a_grid_in_inches():
    """By hand: 63.5 mm is 2.5 in, 57.15 mm is 2.25 in; 25.4 mm squared is one square inch."""
    artwork = Artwork(63.5, 57.15, "mm")
    assert size_of(artwork, Measure.MEAN_OF_SIDES, "in") == pytest.approx(2.375, rel=1e-15)
    assert size_of(Artwork(1, 1, "in"), Measure.AREA, "mm") == pytest.approx(645.16, rel=1e-15)


@pytest.mark.parametrize(
    ("said", "sides"),
    [
        ((2.25, 2), (2.25, 2)),
        (["2 1/4", "50.8 mm"], (2.25, 2)),
        ("2 1/4 x 2", (2.25, 2)),
        ("57.15 × 50.8 mm", (2.25, 2)),
        ("57.15 mm X 50.8", (2.25, 2)),
        (np.array([2.25, 2]), (2.25, 2)),
    ],
)
def test_a_size_is_read_as_people_write_it(said, sides):
    """A unit named once holds for both sides. By hand: 57.15 and 50.8 mm are 2.25 and 2 in."""
    artwork = Artwork.read(said, "in", colours=2)
    assert (artwork.shape, artwork.unit, artwork.colours.tolist()) == ((1,), "in", [2])
    assert (artwork.width.tolist(), artwork.height.tolist()) == tuple([side] for side in sides)


def test_several_sizes_are_read_in_their_order():
    """Pairs and texts may stand beside each other; stitches are one count for each, or for all."""
    artwork = Artwork.read(
        [(2, 1), "3 x 1", ("76.2 mm", "1 in")], "in", stitches=[1000, 2000, 3000]
    )
    assert artwork.width.tolist() == [2, 3, 3]
    assert artwork.stitches.tolist() == [1000, 2000, 3000]
    assert Artwork.read(np.array([[2, 1], [3, 1]]), "mm", 500).stitches.tolist() == [500, 500]


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        (
            "57 mm",
            'found the size "57 mm", expected width and height, such as (2.5, 2) or "2 1/4 x 2".',
        ),
        (2.5, 'found the size "2.5", expected width and height, such as (2.5, 2) or "2 1/4 x 2".'),
        (
            [(2, 2, 2)],
            'found the size "(2, 2, 2)", expected width and height, '
            'such as (2.5, 2) or "2 1/4 x 2".',
        ),
        ([], "found no size, expected one or more, such as (2.5, 2)."),
        ((0, 2), "found the length 0, expected more than 0."),
        (
            (-1, 2),
            'found "-1", expected a length such as 2.25, 2 1/4 or 57 mm. '
            "Write the number first and the unit, in or mm, after it.",
        ),
    ],
)
def test_what_is_no_size_is_refused_with_one_that_is(said, sentence):
    with pytest.raises(PricelabError, match=f"^{re.escape(sentence)}$"):
        Artwork.read(said, "in")


def test_stitches_that_match_no_sizes_are_refused():
    sentence = (
        "found 3 sizes, 2 stitch counts and 1 colours, expected one of each or one for each size."
    )
    with pytest.raises(PricelabError, match=re.escape(sentence)):
        Artwork.read([(1, 1)] * 3, "in", stitches=[1000, 2000])


def test_sizes_keep_the_shape_of_the_artworks():
    assert np.ndim(size_of(Artwork(2, 2, "in"), Measure.AREA, "in")) == 0
    several = Artwork([2, 3, 4], 2, "in")
    np.testing.assert_array_equal(size_of(several, Measure.MEAN_OF_SIDES, "in"), [2, 2.5, 3])


def test_artworks_are_laid_down_with_their_stitches_and_colours_to_meet_quantities_across():
    several = Artwork([2, 3], 2, "in", stitches=[4000, 6000], colours=[1, 4])
    down = several.laid_down([12, 24, 48])
    np.testing.assert_array_equal(down.width, [[2], [3]])
    assert np.ndim(down.height) == 0
    np.testing.assert_array_equal(down.stitches, [[4000], [6000]])
    np.testing.assert_array_equal(down.colours, [[1], [4]])
    assert several.laid_down(12).shape == (2,)
    assert down.laid_down([12, 24]).shape == (2, 1)


def test_some_of_several_artworks_can_be_taken_with_their_stitches_and_colours():
    several = Artwork([2, 3, 4], 2, "in", stitches=[4000, 5000, 6000], colours=[1, 2, 3])
    assert several.count == 3
    taken = several.take([0, 2])
    for values, expected in (
        (taken.width, [2, 4]), (taken.height, [2, 2]), (taken.stitches, [4000, 6000]),
        (taken.colours, [1, 3]),
    ):  # fmt: skip
        np.testing.assert_array_equal(values, expected)
    assert Artwork(2, 2, "in").count == 1
    assert Artwork(2, 2, "in", colours=[1, 2]).count == 2
    assert Artwork([2, 3], 2, "in").take([1]).stitches is None


@pytest.mark.parametrize(
    ("sides", "told"),
    [
        ((0, 2), "found a width of 0, expected more than 0."),
        ((2, 0), "found a height of 0, expected more than 0."),
        ((-1, 2), "found a width of -1, expected more than 0."),
        ((2, float("nan")), "found a height of nan, expected more than 0."),
        ((2, float("inf")), "found a height of inf, expected more than 0."),
        (([0.5, 0, -3], 1), "found a width of 0, expected more than 0."),
        (([], 1), "found a width of nothing, expected more than 0."),
    ],
)
def test_an_artwork_of_size_zero_is_refused(sides, told):
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        Artwork(*sides, "in")


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ({"stitches": 0}, "found a stitch count of 0, expected more than 0."),
        ({"stitches": [5000, -1]}, "found a stitch count of -1, expected more than 0."),
        ({"stitches": []}, "found a stitch count of nothing, expected more than 0."),
        ({"colours": 0}, "found 0 colours, expected a whole number from 1."),
        ({"colours": 1.5}, "found 1.5 colours, expected a whole number from 1."),
    ],
)
def test_stitches_and_colours_are_counts(more, told):
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        Artwork(2, 2, "in", **more)


def test_one_stitch_is_a_stitch_count():
    """By hand: more than 0."""
    assert Artwork(2, 2, "in", stitches=1).stitches == 1


def test_an_artwork_is_in_inches_or_millimetres():
    with pytest.raises(PricelabError, match=r'^found the unit "cm", expected "in" or "mm"\.$'):
        Artwork(2, 2, "cm")


def test_a_price_by_stitches_asks_for_the_stitches():
    told = (
        "this price goes by stitches, and the artwork has no stitch count. "
        "Give the stitches, or give the method a stitch density to estimate them by."
    )
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        size_of(Artwork(2, 2, "in"), Measure.THOUSAND_STITCHES, None)


@pytest.mark.parametrize(
    ("size", "measure", "panel", "sides"),
    [
        (2, Measure.MEAN_OF_SIDES, (5, 3), (2, 2)),  # a square fits
        (3.5, Measure.MEAN_OF_SIDES, (5, 3), (4, 3)),  # low panel: (4 + 3) / 2
        (3.5, Measure.MEAN_OF_SIDES, (3, 5), (3, 4)),  # narrow panel, turned
        (9, Measure.AREA, (5, 3), (3, 3)),
        (12, Measure.AREA, (5, 3), (4, 3)),  # 4 × 3
        (12, Measure.AREA, (3, 5), (3, 4)),
        (4, Measure.LONGEST_SIDE, (5, 3), (4, 3)),
        (2, Measure.LONGEST_SIDE, (5, 3), (2, 2)),
        (4, Measure.LONGEST_SIDE, (3, 5), (3, 4)),  # only the height has room for it
        (5, Measure.LONGEST_SIDE, (3, 5), (3, 5)),  # just enough
    ],
)
def test_the_squarest_artwork_of_a_size_inside_a_panel(size, measure, panel, sides):
    """By hand: the size is kept, the panel too, and no other such artwork has more area."""
    width, height = squarest(size, measure, *panel)
    assert (float(width), float(height)) == sides


@pytest.mark.parametrize("panel", [(5, 3), (3, 5)])
@pytest.mark.parametrize(
    ("measure", "size"),
    [(Measure.MEAN_OF_SIDES, 4.1), (Measure.AREA, 15.1), (Measure.LONGEST_SIDE, 5.1)],
)
def test_a_size_too_large_for_the_panel_comes_back_too_large(measure, size, panel):
    width, height = squarest(size, measure, *panel)
    assert width > panel[0] or height > panel[1]


def test_the_squarest_artworks_measure_what_was_asked():
    """An identity: the size of the squarest artwork of a size is that size, in either unit."""
    sizes = np.array([0.5, 2.0, 2.9, 3.3])
    for unit in ("in", "mm"):
        panel = convert(5.0, "in", unit), convert(2.8, "in", unit)
        wanted = convert(sizes, "in", unit)
        for measure in (Measure.MEAN_OF_SIDES, Measure.AREA, Measure.LONGEST_SIDE):
            artwork = Artwork(*squarest(wanted, measure, *panel), unit)
            np.testing.assert_allclose(size_of(artwork, measure, unit), wanted, rtol=1e-12)
