"""The lead map: which method leads at every size (down) and quantity (across).

Each method has its thread's colour and a pattern of its own, and its name where it leads;
runs are exact to the piece, on a scale on which a doubling is always as wide.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from matplotlib.colors import to_hex, to_rgb
from matplotlib.patches import Rectangle
from matplotlib.transforms import offset_copy

from pricelab.analysis.lead_map import NOBODY
from pricelab.analysis.stretches import stretches
from pricelab.pictures import look, regions
from pricelab.pictures.axes import Axis, Frame, quantity_axis, round_ticks
from pricelab.pictures.labels import beside, size_in_points
from pricelab.pictures.picture import Description, Picture
from pricelab.shop.figures import number, percent
from pricelab.words.leads import Goal, ranges

_PATTERNS = ("", "///", "...", "\\\\\\", "---", "xx", "||")
"""A second cue beside the colour, by the thread's number."""

_KEY = 206
"""Points beside the map for the key."""


@dataclass(frozen=True, eq=False)
class LeadMap:
    """Who leads by a goal: `leader[size, quantity]` is an index of `names`, or `NOBODY`.

    `widths` are the rows' artworks in `unit`, rising, and `quantities` consecutive;
    `threads` are the methods' numbers in the shop. `losing` marks where even the leader
    loses money. `here` is the place looked at (indices of a width and a quantity) or None,
    with its `words`.
    """

    goal: Goal
    names: tuple[str, ...]
    threads: tuple[int, ...]
    widths: np.ndarray
    unit: str
    quantities: np.ndarray
    leader: np.ndarray
    losing: np.ndarray
    shares: np.ndarray
    here: tuple[int, int] | None
    finding: str

    @property
    def edges(self) -> np.ndarray:
        """The edges between the rows, half way from width to width, shape (n + 1,)."""
        middles = (self.widths[1:] + self.widths[:-1]) / 2
        step = float(np.diff(self.widths).max()) / 2 if len(self.widths) > 1 else 0.5
        return np.concatenate([[self.widths[0] - step], middles, [self.widths[-1] + step]])


def frame(values: LeadMap) -> Frame:
    """Quantities by ratio; widths down, small ones first, as a price list has them."""
    top, bottom = values.edges[[0, -1]].tolist()
    ticks = [tick for tick in round_ticks(top, bottom, 6) if top <= tick <= bottom]
    title = f"width of the artwork, {values.unit} (height in proportion)"
    x = quantity_axis(values.quantities)
    x = replace(x, low=int(values.quantities[0]), high=int(values.quantities[-1]) + 1)
    return Frame(x, Axis.ticked(title, bottom, top, ticks), height=430, right=_KEY)


def marks(values: LeadMap, ax) -> None:
    """The regions with their names, what is lost or left out, and the place looked at."""
    cells, letters = (ax, values.edges, values.quantities), initials(values.names)
    on_line = np.zeros(values.leader.shape, bool)
    on_line[values.here[:1] if values.here else []] = True
    for at in np.unique(values.leader[values.leader != NOBODY]):
        led, thread = values.leader == at, values.threads[at]
        regions.fill(*cells, led, **_cloth(thread))
        clear = led & ~values.losing  # the words "at a loss" stand elsewhere
        ink = {"colour": look.darker(look.thread(thread).colour), "weight": "bold"}
        name = values.names[at]
        places = (clear & ~on_line, name), (clear, name), (clear, letters[at])
        any(regions.name(*cells, where, words, **ink) for where, words in places)
    nobody = values.leader == NOBODY
    for where, fill, words, ink in (
        (nobody, "#f4f5f7", "nobody", look.SOFT_INK),
        (values.losing, "#ffffffb8", "at a loss", look.INK),
    ):
        regions.fill(*cells, where, facecolor=fill, edgecolor="none")
        regions.name(*cells, where, words, ink)
    regions.outline(*cells, values.leader)
    _key(values, ax)
    if values.here is not None:
        _mark(values, ax)


def _cloth(thread: int) -> dict:
    """What a method's region is filled with: its thread's colour on paper, and a pattern."""
    colour, pattern = look.thread(thread).colour, _PATTERNS[thread % len(_PATTERNS)] or None
    # How far a fill goes from its colour to paper: words stand on it.
    return {
        "facecolor": _tinted(colour, 0.72),
        "edgecolor": _tinted(colour, 0.35),
        "hatch": pattern,
    }


def _tinted(colour: str, towards: float) -> str:
    """A colour mixed with paper.

    >>> _tinted("#000000", 0.5)
    '#808080'
    """
    return to_hex(1 - (1 - np.array(to_rgb(colour))) * (1 - towards))


def initials(names: Sequence[str]) -> list[str]:
    """A letter for each name, where there is no room for it: of its words, else any of it.

    >>> initials(["Leather patch", "Flat (own machine)", "Flat (contracted out)"])
    ['L', 'F', 'C']
    """
    taken: list[str] = []
    for name in names:
        plain = "".join(sign if sign.isalnum() else " " for sign in name).upper()
        wanted = [word[0] for word in plain.split()] + [*plain.replace(" ", "")]
        taken.append(next((one for one in wanted if one not in taken), str(len(taken) + 1)))
    return taken


def _key(values: LeadMap, ax) -> None:
    """Every method that leads somewhere, with how much of the map, beside it."""
    letters, (wide, tall) = initials(values.names), size_in_points(ax)
    small = {"size": look.SMALL - 1, "weight": "bold", "bbox": look.rounded_ground(0.12)}
    down = -14
    for at in np.argsort(-values.shares, kind="stable"):
        if at not in values.leader:
            continue
        colour, cloth = look.thread(values.threads[at]).colour, _cloth(values.threads[at])
        place = offset_copy(ax.transAxes, ax.figure, 12, down - 9, "points")
        drawn = {"transform": place, "clip_on": False, "zorder": 3, "linewidth": 0, **cloth}
        ax.add_patch(Rectangle((1, 1), 20 / wide, 18 / tall, **drawn))
        beside(ax, letters[at], (22, down), colour, "center", **small)
        for words in look.wrapped(values.names[at], _KEY - 43, look.LABEL):
            beside(ax, words, (39, down + 3), colour)
            down -= 15
        share = f"{_share(values.shares[at])} of the map"
        beside(ax, share, (39, down + 3), look.SOFT_INK, size=look.SMALL)
        down -= 22


def _share(share: float) -> str:
    """A share of the map, never nothing for what is there."""
    return "under 1 %" if share < 0.01 else percent(share, 0)


def _mark(values: LeadMap, ax) -> None:
    """Hairlines to the place looked at, and a ring on it."""
    row, column = values.here
    width, quantity = values.widths[row], values.quantities[column]
    middle = np.sqrt(float(quantity) * float(quantity + 1))
    ax.axvline(middle, color=look.INK, linewidth=0.9, alpha=0.55, zorder=3)
    ax.axhline(width, color=look.INK, linewidth=0.9, alpha=0.55, zorder=3)
    ring = {"marker": "o", "markeredgecolor": look.INK, "markeredgewidth": 1.4, "zorder": 5}
    for size, colour in ((11, look.PAPER), (4.5, look.INK)):
        ax.plot([middle], [width], markersize=size, color=colour, **ring)


def describe(values: LeadMap) -> Description:
    """The finding; by method how much it leads, and where along the lines through the place."""
    row, column = values.here or (0, 0)
    widths, quantities = (list(map(number, each)) for each in (values.widths, values.quantities))

    def runs(led: np.ndarray, words: list[str]) -> str:
        found = stretches(led, np.arange(led.size))
        return ranges([(words[run.first], words[run.last]) for run in found if run.value])

    rows = []
    for at in np.argsort(-values.shares, kind="stable"):
        led = values.leader == at
        share = _share(values.shares[at]) if led.any() else "0 %"
        along, down = runs(led[row], quantities), runs(led[:, column], widths)
        rows.append((values.names[at], share, along, down))
    columns = (
        "Method",
        "Of the map",
        f"Leads at {widths[row]} {values.unit} wide, pieces",
        f"Leads at {quantities[column]} pieces, {values.unit} wide",
    )
    return Description(values.finding, columns, tuple(rows))


LEAD_MAP = Picture("lead-map", frame, marks, describe)
