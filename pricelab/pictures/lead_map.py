"""The lead map: which method leads at every size (down) and quantity (across).

Each method has its thread's colour and a pattern of its own, and its name where it leads;
runs are exact to the piece, on a scale on which a doubling is always as wide.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from pricelab.analysis.lead_map import NOBODY
from pricelab.analysis.stretches import stretches
from pricelab.pictures import look, regions
from pricelab.pictures.axes import (
    Axis,
    Frame,
    moved,
    quantity_axis,
    round_step,
    size_in_points,
)
from pricelab.pictures.labels import beside, darker
from pricelab.pictures.picture import Description, Picture
from pricelab.shop.figures import number, percent
from pricelab.words.leads import Goal, ranges

_TICKS = (1, 2, 3, 6, 12, 24, 48, 96, 144, 288, 600, 1200, 2400, 5000)
_PATTERNS = ("", "///", "...", "\\\\\\", "---", "xx", "||")
"""A second cue beside the colour, by the thread's number."""

_KEY = 206
"""Points beside the map for the key."""

_TINT = 0.72
"""How far a region's fill goes from its thread's colour to paper: words stand on it."""


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
    first, last = int(values.quantities[0]), int(values.quantities[-1])
    x = quantity_axis("pieces in the order", first, last, [*_TICKS, last])
    edges = values.edges
    step = round_step(edges[-1] - edges[0], 6)
    ticks = np.arange(np.ceil(edges[0] / step), np.floor(edges[-1] / step) + 1) * step
    title = f"width of the artwork, {values.unit} (height in proportion)"
    y = Axis.ticked(title, float(edges[-1]), float(edges[0]), ticks)
    return Frame(replace(x, low=first, high=last + 1), y, height=430, right=_KEY)


def marks(values: LeadMap, ax) -> None:
    """The regions with their names, what is lost or left out, and the place looked at."""
    cells, letters, present = (ax, values.edges, values.quantities), initials(values.names), []
    for at, name in enumerate(values.names):
        led = values.leader == at
        if not led.any():
            continue
        present.append(at)
        thread = values.threads[at]
        dark = darker(look.thread(thread).colour)
        regions.fill(*cells, led, **_cloth(thread))
        clear = led & ~values.losing  # the words "at a loss" stand elsewhere
        off_line = clear.copy()
        off_line[values.here[:1] if values.here else []] = False
        places = (off_line, name), (clear, name), (clear, letters[at])
        any(regions.write(*cells, where, words, dark, bold=True) for where, words in places)
    nobody = values.leader == NOBODY
    if nobody.any():
        regions.fill(*cells, nobody, facecolor="#f4f5f7", edgecolor="none")
        regions.write(*cells, nobody, "nobody", look.SOFT_INK)
    regions.outline(*cells, values.leader)
    if values.losing.any():
        regions.fill(*cells, values.losing, facecolor="#ffffffb8", edgecolor="none")
        regions.write(*cells, values.losing, "at a loss", look.INK)
    _key(values, ax, present)
    if values.here is not None:
        _mark(values, ax)


def _cloth(thread: int) -> dict:
    """What a method's region is filled with: its thread's colour on paper, and a pattern."""
    colour = look.thread(thread).colour
    pattern = _PATTERNS[thread % len(_PATTERNS)] or None
    return {"facecolor": _tinted(colour), "edgecolor": _tinted(colour, 0.35), "hatch": pattern}


def _tinted(colour: str, towards: float = _TINT) -> str:
    """A colour mixed with paper.

    >>> _tinted("#000000", 0.5)
    '#808080'
    """
    parts = (int(colour[at : at + 2], 16) for at in (1, 3, 5))
    return "#" + "".join(f"{round(p + (255 - p) * towards):02x}" for p in parts)


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


def _key(values: LeadMap, ax, present: list[int]) -> None:
    """Every method that leads somewhere, with how much of the map, beside it."""
    from matplotlib.patches import Rectangle

    letters, (wide, tall) = initials(values.names), size_in_points(ax)
    backed = {"bbox": look.rounded_ground(0.12), "fontsize": look.SMALL - 1, "fontweight": "bold"}
    down = -14
    for at in sorted(present, key=lambda at: -values.shares[at]):
        thread, said = values.threads[at], look.wrapped(values.names[at], _KEY - 43, look.LABEL)
        dark = darker(look.thread(thread).colour)
        place = {"transform": moved(ax, 12, down - 9), "clip_on": False, "zorder": 3}
        cloth = {**_cloth(thread), "linewidth": 0}
        ax.add_patch(Rectangle((1, 1), 20 / wide, 18 / tall, **place, **cloth))
        beside(ax, letters[at], 1, (22, down), "center center_baseline", color=dark, **backed)
        name = {"color": dark, "fontsize": look.LABEL, "zorder": 3}
        for line, words in enumerate(said):
            beside(ax, words, 1, (39, down + 3 - 15 * line), **name)
        down -= 15 * len(said)
        share = {"color": look.SOFT_INK, "fontsize": look.SMALL, "zorder": 3}
        beside(ax, f"{_share(values.shares[at])} of the map", 1, (39, down + 3), **share)
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


def _runs_of(led: np.ndarray, words: list[str]) -> list[tuple[str, str]]:
    """From where to where a method leads along a line, in the words of its places."""
    found = stretches(led, np.arange(led.size))
    return [(words[run.first], words[run.last]) for run in found if run.value]


def describe(values: LeadMap) -> Description:
    """The finding; by method how much it leads, and where along the lines through the place."""
    rows = []
    row, column = values.here or (0, 0)
    widths = [number(width) for width in values.widths]
    for at in sorted(range(len(values.names)), key=lambda at: -values.shares[at]):
        led = values.leader == at
        along = _runs_of(led[row], list(map(number, values.quantities)))
        down = _runs_of(led[:, column], widths)
        share = _share(values.shares[at]) if led.any() else "0 %"
        rows.append((values.names[at], share, ranges(along), ranges(down)))
    columns = (
        "Method",
        "Of the map",
        f"Leads at {widths[row]} {values.unit} wide, pieces",
        f"Leads at {number(values.quantities[column])} pieces, {values.unit} wide",
    )
    return Description(values.finding, columns, tuple(rows))


LEAD_MAP = Picture("lead-map", frame, marks, describe)
