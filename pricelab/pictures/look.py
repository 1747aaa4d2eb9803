"""The look of all pictures: seven threads, inks on paper, letters, and how numbers are cut.

Nothing here touches matplotlib's global settings: `style()` is a context that is entered
where a picture is drawn.
"""

import re
from contextlib import AbstractContextManager
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from matplotlib import rc_context
from matplotlib.colors import to_hex, to_rgb
from matplotlib.font_manager import FontProperties, findfont, get_font

# ---- inks on paper --------------------------------------------------------------------

PAPER = "#ffffff"
INK = "#1d2733"
"""Words and figures: 15 to 1 on paper."""
SOFT_INK = "#53606e"
"""Axis words and side notes: 6.5 to 1 on paper (WCAG 2.2 asks 4.5 for small text)."""
HAIRLINE = "#dfe3e8"
"""Grid lines and rules: there when looked for."""

# ---- threads --------------------------------------------------------------------------

NAVY, COPPER, TEAL, WINE = "#154470", "#c17938", "#3d9e98", "#58012b"
LAVENDER, MOSS, HEATHER = "#9886ed", "#416407", "#815b74"

NAVY_TINT, COPPER_TINT = "#d8e3ef", "#f6e3d0"
"""Fills behind words."""
OCHRE = "#8a5220"
"""Words on a copper tint."""

GAIN = {"color": NAVY_TINT, "linewidth": 0, "zorder": 1}
LOSS = {"facecolor": COPPER_TINT, "edgecolor": COPPER, "hatch": "///", "linewidth": 0, "zorder": 1}
"""What pays is tinted; what does not is hatched too, so that colour is not the only cue."""

DASHED = (0, (6, 2))
"""The dash of a goal or of a figure to compare with."""


def ground(pad: float = 1.5) -> dict:
    """A piece of paper under words, where they stand on something."""
    return {"facecolor": PAPER, "edgecolor": "none", "pad": pad}


def rounded_ground(pad: float) -> dict:
    """The same with round corners, and a little of what is behind shining through."""
    style = f"round,pad={pad}"
    return {"boxstyle": style, "facecolor": f"{PAPER}d9", "edgecolor": "none"}


@dataclass(frozen=True)
class Thread:
    """How one thing is drawn wherever it is drawn: a colour, and a dash and marker beside it."""

    colour: str
    dash: tuple[int, tuple[float, ...]]
    marker: str


THREADS = (
    Thread(NAVY, (0, ()), "o"),
    Thread(COPPER, DASHED, "s"),
    Thread(TEAL, (0, (1.2, 1.6)), "^"),
    Thread(WINE, (0, (8, 2, 1.5, 2)), "D"),
    Thread(LAVENDER, (0, (3.5, 1.5)), "v"),
    Thread(MOSS, (0, (6, 1.5, 1.2, 1.5, 1.2, 1.5)), "P"),
    Thread(HEATHER, (0, (2.2, 3)), "X"),
)
"""Seven threads that stay apart for readers with any of the three kinds of colour blindness.

Chosen by a search over lightness, chroma and hue for the greatest least distance in OKLab
(Ottosson 2020) under full deuteranopia and protanopia, and 0.6 of it under tritanopia, as
Machado, Oliveira & Fernandes (2009) simulate them; all stand at least 3 to 1 on paper.
"""


def thread(index: int) -> Thread:
    """The thread of the `index`-th method, blank or whatever is told apart; they repeat."""
    return THREADS[index % len(THREADS)]


def darker(colour: str) -> str:
    """A thread's colour, dark enough for small words on paper (4.5 to 1).

    >>> darker("#154470"), darker("#c17938")
    ('#154470', '#a46730')
    """
    rgb = np.array(to_rgb(colour))
    while contrast(to_hex(rgb)) < 4.5:
        rgb = rgb * 0.96
    return to_hex(rgb)


def contrast(colour: str) -> float:
    """Contrast of a colour on paper, as WCAG 2.2 counts it."""
    parts = np.array(to_rgb(colour))
    linear = np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)
    return 1.05 / (float(linear @ [0.2126, 0.7152, 0.0722]) + 0.05)


# ---- letters --------------------------------------------------------------------------

TITLE, LABEL, SMALL = 15.0, 12.0, 11.0
"""Sizes of letters in points: the finding, words beside lines, figures on axes."""

ON_SCREEN = "system-ui, 'Segoe UI', 'DejaVu Sans', sans-serif"
"""The reader's own letters. Widths are measured in DejaVu Sans, the widest of them, so that
what fits here fits there."""


def text_width(words: str, size: float, *, bold: bool = False) -> float:
    """The width of words in points, in DejaVu Sans: no letters of a reader's own are wider."""
    return size * sum(_advance(letter, bold) for letter in words)


@lru_cache(2048)
def _advance(letter: str, bold: bool) -> float:
    """How far a letter reaches along its line, as a share of its size."""
    weight = "bold" if bold else "normal"
    font = get_font(findfont(FontProperties(family="DejaVu Sans", weight=weight)))
    font.set_size(100, 72)
    return font.load_char(ord(letter)).linearHoriAdvance / 65536 / 100


_PARTS = re.compile(r" (?!%|in\b|mm\b|pieces?\b)")  # a figure and its unit stay together


def wrapped(words: str, room: float, size: float, *, bold: bool = False) -> list[str]:
    """Words in lines of at most `room` points; a word that is wider alone is parted."""
    lines = [""]
    for word in _PARTS.split(words):
        longer = f"{lines[-1]} {word}".strip()
        if text_width(longer, size, bold=bold) <= room:
            lines[-1] = longer
            continue
        while len(word) > 1 and text_width(word, size, bold=bold) > room:
            ends = range(1, len(word))
            end = max((e for e in ends if text_width(word[:e], size, bold=bold) <= room), default=1)
            lines.append(word[:end])
            word = word[end:]
        lines.append(word)
    return [line for line in lines if line] or [""]


def style(name: str = "pricelab") -> AbstractContextManager:
    """The context that pictures are drawn in; `name` is the salt of the ids in an SVG."""
    return rc_context(
        {
            "font.family": ["DejaVu Sans"],
            "font.size": LABEL,
            "text.color": INK,
            "text.usetex": False,
            "text.parse_math": False,  # a name with two dollar signs is a name
            "figure.facecolor": PAPER,
            "axes.facecolor": "none",
            "axes.labelcolor": SOFT_INK,
            "axes.labelsize": SMALL,
            "axes.axisbelow": True,
            "hatch.linewidth": 0.8,
            "lines.solid_capstyle": "round",
            "lines.solid_joinstyle": "round",
            "svg.fonttype": "none",  # letters stay letters: searched, read aloud, sharp
            "svg.hashsalt": name,
        }
    )
