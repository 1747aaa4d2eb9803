"""Regions of a map of sizes by quantities: filled, parted by lines, named where there is room.

Sizes go down and quantities across, by ratio: `edges` are those between the rows, shape
(sizes + 1,), `quantities` the columns, consecutive, shape (quantities,); `where` tells of each
size and quantity whether it belongs to a region, shape (sizes, quantities).
"""

from itertools import pairwise

import numpy as np
from matplotlib.patches import PathPatch
from matplotlib.path import Path

from pricelab.pictures import look
from pricelab.pictures.labels import size_in_points, write


def fill(ax, edges, quantities, where: np.ndarray, **look_of) -> None:
    """Fill a region in one stroke; equal rows are joined."""
    ends = _ends(quantities)
    corners = [
        [(first, top), (after, top), (after, bottom), (first, bottom)]
        for row, end in _distinct_rows(where)
        for top, bottom in [(edges[row], edges[end])]
        for first, after in ends[_runs(where[row])]
    ]
    if corners:
        path = Path.make_compound_path_from_polys(np.array(corners))
        ax.add_artist(PathPatch(path, zorder=1.5, linewidth=0, **look_of))


def outline(ax, edges, quantities, leader: np.ndarray) -> None:
    """The borders between neighbours of which `leader` [size, quantity] is not the same."""
    below, beside = leader[1:] != leader[:-1], leader[:, 1:] != leader[:, :-1]
    ends, gap = _ends(quantities), (np.nan, np.nan)
    lines = [
        ((first, height), (after, height), gap)
        for height, row in zip(edges[1:], below, strict=False)
        for first, after in ends[_runs(row)]
    ] + [
        ((at, first), (at, after), gap)
        for at, column in zip(quantities[1:], beside.T, strict=True)
        for first, after in edges[_runs(column)]
    ]
    if lines:
        # One line with gaps is several times quicker to draw than each alone.
        how = {"linewidth": 1.4, "solid_capstyle": "butt", "zorder": 1.8}
        ax.plot(*np.concatenate(lines).T, color=look.PAPER, **how)


def _ends(quantities) -> np.ndarray:
    return np.append(quantities, quantities[-1] + 1).astype(float)


def _runs(where: np.ndarray) -> np.ndarray:
    """The index of the first and of the one after the last of each run of true, shape (n, 2)."""
    changes = np.flatnonzero(np.diff(np.concatenate([[False], where, [False]])))
    return changes.reshape(-1, 2)


def _distinct_rows(where: np.ndarray) -> list[tuple[int, int]]:
    """Rows that are alike and follow one another: the first of them, and the one after the last."""
    first = np.flatnonzero(np.append(True, (where[1:] != where[:-1]).any(axis=1))).tolist()
    return list(pairwise([*first, len(where)]))


def name(ax, edges, quantities, where: np.ndarray, words: str, colour: str, **text) -> bool:
    """Write `words` where a region has most room for them; False if it has none."""
    wide, high = len(words) * look.LABEL * 0.62 + 12, look.LABEL + 8
    place = _roomiest(ax, edges, quantities, where, wide, high)
    if place is None:
        return False
    how = {"bbox": look.rounded_ground(0.25), "color": colour, "zorder": 4, **text}
    write(ax, words, place, align="center center_baseline", **how)
    return True


def _roomiest(ax, edges, quantities, where: np.ndarray, wide: float, high: float):
    """The middle of the largest rectangle of a region that holds so many points, or None."""
    across, up = size_in_points(ax)
    ends = _ends(quantities)
    at = np.log(ends / ends[0]) / np.log(ends[-1] / ends[0]) * across
    down = (edges - edges[0]) / (edges[-1] - edges[0]) * up
    rows = _distinct_rows(where)
    best, found = 0.0, None
    for start, (top, _) in enumerate(rows):
        inside = True
        for row, end in rows[start:]:
            inside = inside & where[row]
            runs, tall = _runs(inside), down[end] - down[top]
            if not len(runs):
                break
            widths = np.diff(at[runs])[:, 0]
            one = int(widths.argmax())
            if tall >= high and widths[one] >= wide and widths[one] * tall > best:
                best = widths[one] * tall
                found = np.sqrt(ends[runs[one]].prod()), (edges[top] + edges[end]) / 2
    return found
