"""The lead map: which method leads at every size (down) and quantity (across).

Each method has its thread's colour and a pattern of its own, and its name where it leads;
runs are exact to the piece, on a scale on which a doubling is always as wide.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pricelab.comparison import NOBODY, runs
from pricelab.figures import number, percent
from pricelab.lead_wording import Goal, ranges
from pricelab.pictures import look
from pricelab.pictures.axes import Axis, Frame, quantity_axis, round_step
from pricelab.pictures.labels import darker
from pricelab.pictures.picture import Description, Picture

_TICKS = (1, 2, 3, 6, 12, 24, 48, 96, 144, 288, 600, 1200, 2400, 5000)
_PATTERNS = ("", "///", "...", "\\\\\\", "---", "xx", "||")
"""A second cue beside the colour, by the thread's number."""

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
    x = Axis(x.title, first, last + 1, x.ticks, x.words, log=True)
    edges = values.edges
    step = round_step(edges[-1] - edges[0], 6)
    ticks = np.arange(np.ceil(edges[0] / step), np.floor(edges[-1] / step) + 1) * step
    y = Axis(
        f"width of the artwork, {values.unit} (height in proportion)", float(edges[-1]),
        float(edges[0]), tuple(map(float, ticks)), tuple(map(number, ticks)),
    )  # fmt: skip
    return Frame(x, y, height=430, right=206)


def marks(values: LeadMap, ax) -> None:
    """The regions with their names, what is lost or left out, and the place looked at."""
    letters = initials(values.names)
    for at, name in enumerate(values.names):
        led = values.leader == at
        if not led.any():
            continue
        thread = values.threads[at]
        colour = look.thread(thread).colour
        _fill(
            values, ax, led, facecolor=_tinted(colour), edgecolor=_tinted(colour, 0.35),
            linewidth=0, hatch=_PATTERNS[thread % len(_PATTERNS)] or None,
        )  # fmt: skip
        if not _write(values, ax, led, name, darker(colour), bold=True):
            _write(values, ax, led, letters[at], darker(colour), bold=True)
    nobody = values.leader == NOBODY
    if nobody.any():
        _fill(values, ax, nobody, facecolor="#f4f5f7", edgecolor="none", linewidth=0)
        _write(values, ax, nobody, "nobody", look.SOFT_INK)
    _outlines(values, ax)
    if values.losing.any():
        _fill(values, ax, values.losing, facecolor="#ffffffb8", edgecolor="none", linewidth=0)
        _write(values, ax, values.losing, "at a loss", look.INK)
    _key(values, ax, [at for at in range(len(values.names)) if (values.leader == at).any()])
    if values.here is not None:
        _mark(values, ax)


def _fill(values: LeadMap, ax, where: np.ndarray, **look_of) -> None:
    """Fill `where` (sizes down, quantities across) in one stroke; equal rows are joined."""
    edges, corners = values.edges, []
    starts = np.flatnonzero(np.append(True, (where[1:] != where[:-1]).any(axis=1)))
    for top, bottom in zip(starts, np.append(starts[1:], len(where)), strict=True):
        for run in runs(where[top].astype(int), values.quantities):
            if run.leader:
                x0, x1, y0, y1 = run.first, run.last + 1, edges[top], edges[bottom]
                corners.append([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])
    _draw(ax, corners, closed=True, zorder=1.5, **look_of)


def _outlines(values: LeadMap, ax) -> None:
    """The borders between neighbours that are led by different methods."""
    edges, x, leader, lines = values.edges, values.quantities, values.leader, []
    for row in range(len(leader) - 1):
        for run in runs((leader[row] != leader[row + 1]).astype(int), x):
            if run.leader:
                lines.append([(run.first, edges[row + 1]), (run.last + 1, edges[row + 1])])
    changes = leader[:, 1:] != leader[:, :-1]
    for column in np.flatnonzero(changes.any(axis=0)):
        for run in runs(changes[:, column].astype(int), np.arange(len(leader))):
            if run.leader:
                at = x[column + 1]
                lines.append([(at, edges[run.first]), (at, edges[run.last + 1])])
    _draw(ax, lines, closed=False, zorder=1.8, fill=False, edgecolor=look.PAPER, linewidth=1.4)


def _draw(ax, strokes: list[list[tuple[float, float]]], *, closed: bool, **look_of) -> None:
    """Several shapes as one artist, which is several times quicker to draw than each alone."""
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path

    if not strokes:
        return
    points, codes = [], []
    for stroke in strokes:
        points += stroke
        codes += [Path.MOVETO] + [Path.LINETO] * (len(stroke) - 1)
        if closed:
            points.append(stroke[0])
            codes.append(Path.CLOSEPOLY)
    patch = PathPatch(Path(points, codes), **look_of)
    ax.add_artist(patch)


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


def _tinted(colour: str, towards: float = _TINT) -> str:
    """A colour mixed with paper.

    >>> _tinted("#000000", 0.5)
    '#808080'
    """
    parts = (int(colour[at : at + 2], 16) for at in (1, 3, 5))
    return "#" + "".join(f"{round(p + (255 - p) * towards):02x}" for p in parts)


def _write(values: LeadMap, ax, where: np.ndarray, words: str, colour: str, bold=False) -> bool:
    """Write `words` where `where` has most room for them; False if it has none."""
    wide, high = len(words) * look.LABEL * 0.62 + 12, look.LABEL + 8
    place = _roomiest(values, ax, where, wide, high)
    if place is None:
        return False
    ax.text(
        *place, words, color=colour, fontsize=look.LABEL, ha="center", va="center_baseline",
        fontweight="bold" if bold else "normal", zorder=4,
        bbox={"boxstyle": "round,pad=0.25", "facecolor": "#ffffffd9", "edgecolor": "none"},
    )  # fmt: skip
    return True


def _roomiest(values: LeadMap, ax, where: np.ndarray, wide: float, high: float):
    """The middle of the largest rectangle inside `where` that holds so many points, or None."""
    box, figure = ax.get_position(), ax.figure
    across = box.width * figure.get_figwidth() * 72
    up = box.height * figure.get_figheight() * 72
    edges, x = values.edges, values.quantities
    at = np.log(np.append(x, x[-1] + 1) / x[0]) / np.log((x[-1] + 1) / x[0]) * across
    down = (edges - edges[0]) / (edges[-1] - edges[0]) * up
    distinct = np.flatnonzero(np.append(True, (where[1:] != where[:-1]).any(axis=1)))
    ends = np.append(distinct[1:], len(where))
    best, found = 0.0, None
    for first, top in enumerate(distinct):
        inside = np.ones(where.shape[1], bool)
        for bottom_row, end in zip(distinct[first:], ends[first:], strict=True):
            inside &= where[bottom_row]
            if not inside.any():
                break
            tall = down[end] - down[top]
            if tall < high:
                continue
            changes = np.flatnonzero(np.diff(np.concatenate([[False], inside, [False]])))
            starts, stops = changes[::2], changes[1::2]
            widths = at[stops] - at[starts]
            one = int(widths.argmax())
            if widths[one] >= wide and widths[one] * tall > best:
                best = widths[one] * tall
                middle = np.sqrt(float(x[starts[one]]) * float(x[stops[one] - 1] + 1))
                found = (middle, (edges[top] + edges[end]) / 2)
    return found


def _key(values: LeadMap, ax, present: list[int]) -> None:
    """Every method that leads somewhere, with how much of the map, beside it."""
    from matplotlib.patches import Rectangle
    from matplotlib.transforms import ScaledTranslation

    points, letters = ax.figure.dpi_scale_trans, initials(values.names)
    order = sorted(present, key=lambda at: -values.shares[at])
    for line, at in enumerate(order):
        thread = values.threads[at]
        colour = look.thread(thread).colour
        down = -14 - 37 * line
        corner = ax.transAxes + ScaledTranslation(12 / 72, (down - 9) / 72, points)
        ax.add_patch(
            Rectangle(
                (1, 1), 20 / _across(ax), 18 / _up(ax), transform=corner,
                facecolor=_tinted(colour), edgecolor=_tinted(colour, 0.35), linewidth=0,
                hatch=_PATTERNS[thread % len(_PATTERNS)] or None, clip_on=False, zorder=3,
            )
        )  # fmt: skip
        middle = ax.transAxes + ScaledTranslation(22 / 72, down / 72, points)
        ax.text(
            1, 1, letters[at], transform=middle, color=darker(colour), fontsize=look.SMALL - 1,
            fontweight="bold", ha="center", va="center_baseline", zorder=4,
            bbox={"boxstyle": "round,pad=0.12", "facecolor": "#ffffffd9", "edgecolor": "none"},
        )  # fmt: skip
        move = ax.transAxes + ScaledTranslation(39 / 72, (down + 3) / 72, points)
        ax.text(
            1, 1, values.names[at], transform=move, color=darker(colour), fontsize=look.LABEL,
            ha="left", va="center_baseline",
        )  # fmt: skip
        move = ax.transAxes + ScaledTranslation(39 / 72, (down - 12) / 72, points)
        ax.text(
            1, 1, f"{_share(values.shares[at])} of the map", transform=move,
            color=look.SOFT_INK, fontsize=look.SMALL, ha="left", va="center_baseline",
        )  # fmt: skip


def _across(ax) -> float:
    return ax.get_position().width * ax.figure.get_figwidth() * 72


def _up(ax) -> float:
    return ax.get_position().height * ax.figure.get_figheight() * 72


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
    for size, colour, edge in ((11, look.PAPER, look.INK), (4.5, look.INK, look.INK)):
        ax.plot(
            [middle], [width], marker="o", markersize=size, color=colour, markeredgecolor=edge,
            markeredgewidth=1.4, zorder=5,
        )  # fmt: skip


def describe(values: LeadMap) -> Description:
    """The finding; by method how much it leads, and where along the lines through the place."""
    rows = []
    row, column = values.here or (0, 0)
    widths = [number(width) for width in values.widths]
    for at in sorted(range(len(values.names)), key=lambda at: -values.shares[at]):
        led = values.leader == at
        along = [
            (number(run.first), number(run.last))
            for run in runs(led[row].astype(int), values.quantities) if run.leader
        ]  # fmt: skip
        down = [
            (widths[run.first], widths[run.last])
            for run in runs(led[:, column].astype(int), np.arange(len(led))) if run.leader
        ]  # fmt: skip
        share = _share(values.shares[at]) if led.any() else "0 %"
        rows.append((values.names[at], share, ranges(along), ranges(down)))
    columns = (
        "Method", "Of the map", f"Leads at {widths[row]} {values.unit} wide, pieces",
        f"Leads at {number(values.quantities[column])} pieces, {values.unit} wide",
    )  # fmt: skip
    return Description(values.finding, columns, tuple(rows))


LEAD_MAP = Picture("lead-map", frame, marks, describe)
draw_lead_map = LEAD_MAP.draw
describe_lead_map = describe
