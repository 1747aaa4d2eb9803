"""The threads stay apart for every reader, and nothing global is touched."""

from itertools import combinations

import matplotlib as mpl
import numpy as np
import pytest

from pricelab.pictures import look
from pricelab.pictures.look import contrast

# How full colour blindness sees linear RGB: Machado, Oliveira & Fernandes, "A physiologically
# based model for simulation of color vision deficiency" (2009), severity 1.0.
SEEN = {
    "full colour": np.eye(3),
    "protanopia": np.array(
        [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216],
         [-0.003882, -0.048116, 1.051998]]
    ),
    "deuteranopia": np.array(
        [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413],
         [-0.011820, 0.042940, 0.968881]]
    ),
    "tritanopia": np.array(
        [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602],
         [0.004733, 0.691367, 0.303900]]
    ),
}  # fmt: skip

# OKLab: Björn Ottosson, "A perceptual color space for image processing" (2020).
TO_CONES = np.array(
    [[0.4122214708, 0.5363325363, 0.0514459929], [0.2119034982, 0.6806995451, 0.1073969566],
     [0.0883024619, 0.2817188376, 0.6299787005]]
)  # fmt: skip
TO_LAB = np.array(
    [[0.2104542553, 0.7936177850, -0.0040720468], [1.9779984951, -2.4285922050, 0.4505937099],
     [0.0259040371, 0.7827717662, -0.8086757660]]
)  # fmt: skip


def seen(colour: str, eyes: str) -> np.ndarray:
    """A colour in OKLab, as those eyes see it."""
    parts = np.array([int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)])
    linear = np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)
    return TO_LAB @ np.cbrt(TO_CONES @ np.clip(SEEN[eyes] @ linear, 0, 1))


@pytest.mark.parametrize(
    ("eyes", "least"),
    [("full colour", 0.15), ("protanopia", 0.1), ("deuteranopia", 0.1), ("tritanopia", 0.06)],
)
def test_threads_are_told_apart_by_colour(eyes, least):
    """OKLab's just noticeable difference is about 0.02: five of them, three for tritanopia."""
    for one, other in combinations(look.THREADS, 2):
        distance = np.linalg.norm(seen(one.colour, eyes) - seen(other.colour, eyes))
        assert distance > least, (one.colour, other.colour)


def test_threads_are_told_apart_without_any_colour():
    """Each has a dash and a marker of its own."""
    assert len({thread.dash for thread in look.THREADS}) == len(look.THREADS)
    assert len({thread.marker for thread in look.THREADS}) == len(look.THREADS)


def test_lines_and_words_stand_out_on_paper():
    """WCAG 2.2 asks 3 to 1 for lines and 4.5 to 1 for words."""
    assert min(contrast(thread.colour) for thread in look.THREADS) >= 3
    assert min(contrast(look.INK), contrast(look.SOFT_INK)) >= 4.5


def test_contrast_of_black_and_of_white():
    """21 to 1 and 1 to 1, by the definition in WCAG 2.2."""
    assert contrast("#000000") == pytest.approx(21)
    assert contrast("#ffffff") == pytest.approx(1)


def test_the_style_is_left_behind():
    """matplotlib's settings are the same before and after a picture."""
    before = dict(mpl.rcParams)
    with look.style():
        assert mpl.rcParams["svg.fonttype"] == "none"
    assert dict(mpl.rcParams) == before
