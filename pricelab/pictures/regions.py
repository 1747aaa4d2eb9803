"""Regions of a map of sizes by quantities: filled, parted by lines, named where there is room.

Sizes go down and quantities across, by ratio: `edges` are those between the rows, shape
(sizes + 1,), `quantities` the columns, consecutive, shape (quantities,); `where` tells of each
size and quantity whether it belongs to a region, shape (sizes, quantities).
"""

from itertools import pairwise

import numpy as np

from pricelab.analysis.stretches import stretches
from pricelab.pictures import labels, look
from pricelab.pictures.axes import size_in_points


def fill(ax, edges, quantities, where: np.ndarray, **look_of) -> None:
    """Fill a region in one stroke; equal rows are joined."""
    corners = []
    for top, bottom in _distinct_rows(where):
        for run in stretches(where[top], quantities):
            if run.value:
                x0, x1, y0, y1 = run.first, run.last + 1, edges[top], edges[bottom]
                corners.append([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])
    _draw(ax, corners, closed=True, zorder=1.5, linewidth=0, **look_of)


def _distinct_rows(where: np.ndarray) -> list[tuple[int, int]]:
    """Rows that are alike and follow one another: the first of them, and the one after the last."""
    first = np.flatnonzero(np.append(True, (where[1:] != where[:-1]).any(axis=1))).tolist()
    return list(pairwise([*first, len(where)]))


def outline(ax, edges, quantities, leader: np.ndarray) -> None:
    """The borders between neighbours of which `leader` [size, quantity] is not the same."""
    lines = []
    for row in range(len(leader) - 1):
        for run in stretches(leader[row] != leader[row + 1], quantities):
            if run.value:
                lines.append([(run.first, edges[row + 1]), (run.last + 1, edges[row + 1])])
    changes = leader[:, 1:] != leader[:, :-1]
    for column in np.flatnonzero(changes.any(axis=0)):
        for run in stretches(changes[:, column], np.arange(len(leader))):
            if run.value:
                at = quantities[column + 1]
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
    ax.add_artist(PathPatch(Path(points, codes), **look_of))


def write(ax, edges, quantities, where: np.ndarray, words: str, colour: str, *, bold=False) -> bool:
    """Write `words` where a region has most room for them; False if it has none."""
    wide, high = len(words) * look.LABEL * 0.62 + 12, look.LABEL + 8
    place = _roomiest(ax, edges, quantities, where, wide, high)
    if place is None:
        return False
    how = {"fontsize": look.LABEL, "fontweight": "bold" if bold else "normal", "zorder": 4}
    backed = {"bbox": look.rounded_ground(0.25), "color": colour}
    labels.write(ax, words, *place, "center center_baseline", **how, **backed)
    return True


def _roomiest(ax, edges, quantities, where: np.ndarray, wide: float, high: float):
    """The middle of the largest rectangle of a region that holds so many points, or None."""
    across, up = size_in_points(ax)
    ends = np.append(quantities, quantities[-1] + 1)
    at = np.log(ends / ends[0]) / np.log(ends[-1] / ends[0]) * across
    down = (edges - edges[0]) / (edges[-1] - edges[0]) * up
    rows = _distinct_rows(where)
    best, found = 0.0, None
    for first, (top, _) in enumerate(rows):
        inside = np.ones(where.shape[1], bool)
        for row, end in rows[first:]:
            inside &= where[row]
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
                middle = np.sqrt(float(ends[starts[one]]) * float(ends[stops[one]]))
                found = (middle, (edges[top] + edges[end]) / 2)
    return found
