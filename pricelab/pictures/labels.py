"""Words beside lines, near to what they name and never over one another; and dots on lines."""

import numpy as np

from pricelab.pictures import look

POINTS_PER_INCH = 72


def size_in_points(ax) -> tuple[float, float]:
    """Width and height of axes."""
    wide, tall = ax.bbox.size * POINTS_PER_INCH / ax.figure.dpi
    return float(wide), float(tall)


def in_points(ax, x, y) -> np.ndarray:
    """Places of the data (n,), counted from the axes' lower left corner: shape (n, 2)."""
    places = ax.transData.transform(np.column_stack(np.broadcast_arrays(x, y)))
    return (places - ax.bbox.min) * POINTS_PER_INCH / ax.figure.dpi


def write(ax, words: str, at, shift=(0, 0), align="center", *, coords="data", **text) -> None:
    """Write `words` at a place, shifted by points (across, up).

    `align` tells which part of the words comes there, such as "right top"; `coords` in what
    the place is told, as `Axes.annotate` takes it.
    """
    across, _, up = align.partition(" ")
    how = {"ha": across, "va": up or "baseline", "textcoords": "offset points", **text}
    ax.annotate(words, at, shift, coords, **how)


def put_title(ax, words: str, width: float, left: float) -> None:
    """The finding, above the axes and flush with the left edge of a sheet `width` points wide.

    In at most two lines, or in smaller letters.
    """
    size, lines = look.TITLE, look.wrapped(words, width - 8, look.TITLE, bold=True)
    if len(lines) > 2:
        size, lines = look.LABEL, look.wrapped(words, width - 8, look.LABEL, bold=True)
    how = {"size": size, "weight": "bold", "linespacing": 1.2, "coords": "axes fraction"}
    write(ax, "\n".join(lines), (0, 1), (1 - left, 28), "left bottom", **how)


def spread(wanted, gap, low: float, high: float) -> np.ndarray:
    """Places at least `gap` apart, in the order of `wanted` and as near to it as can be.

    Each place may have a gap of its own: neighbours are half of both apart.

    The least sum of squared moves, by pooling neighbours that clash (isotonic regression).
    All places lie in [low, high] where there is room for them; with too many they are
    spaced evenly over it.

    >>> spread([10, 11, 30], 4, 0, 40).tolist()
    [8.5, 12.5, 30.0]
    """
    wanted = np.asarray(wanted, float)
    if not wanted.size:
        return wanted
    order = np.argsort(wanted, kind="stable")
    gaps = np.broadcast_to(gap, wanted.shape)[order]
    steps = np.append(0.0, np.cumsum((gaps[1:] + gaps[:-1]) / 2))
    steps *= min(1.0, (high - low) / max(steps[-1], 1e-9))
    pools: list[list[float]] = []  # sum and count of neighbours that share a shift
    for value in wanted[order] - steps:
        pools.append([value, 1])
        while len(pools) > 1 and pools[-2][0] / pools[-2][1] >= pools[-1][0] / pools[-1][1]:
            last = pools.pop()
            pools[-1] = [pools[-1][0] + last[0], pools[-1][1] + last[1]]
    shifts = np.concatenate([np.full(int(count), sum_ / count) for sum_, count in pools])
    places = np.empty_like(wanted)
    places[order] = np.clip(shifts, low, high - steps[-1]) + steps
    return places


_GAP, _LINE, _PAD = 16.0, 14.0, 8.0  # points from name to name, a line, axes to the names


def label_ends(ax, ends) -> None:
    """Write each line's words to the right of the axes, at the height where the line ends.

    `ends` holds (height in data, words, colour); long words go on in a second line, and what
    was moved away from its line gets a hairline back to it.
    """
    ends = [end for end in ends if end[1]]
    wide, tall = size_in_points(ax)
    room = (ax.figure.bbox.x1 - ax.bbox.x1) * POINTS_PER_INCH / ax.figure.dpi - _PAD - 2
    lines = [look.wrapped(words, room, look.LABEL) for _, words, _ in ends]
    heights = np.clip([height for height, _, _ in ends], *ax.get_ylim())
    wanted = in_points(ax, ax.get_xlim()[1], heights)[:, 1]
    places = spread(wanted, [_GAP + _LINE * (len(said) - 1) for said in lines], 0.0, tall)
    thin = {"transform": ax.transAxes, "linewidth": 0.8, "clip_on": False, "zorder": 2}
    for (_, _, colour), said, at, place in zip(ends, lines, wanted, places, strict=True):
        if abs(place - at) > 2:
            across = [1 + 1 / wide, 1 + (_PAD - 1) / wide]
            ax.plot(across, [at / tall, place / tall], color=colour, **thin)
        beside(ax, "\n".join(said), (_PAD, place - tall), colour, linespacing=1.15, zorder=4)


def beside(ax, words: str, shift, colour: str, align="left", **text) -> None:
    """Write `words` to the right of the axes, shifted by points from their upper corner."""
    up = "center" if "\n" in words else "center_baseline"
    how = {"color": look.darker(colour), "coords": "axes fraction", "zorder": 3, **text}
    write(ax, words, (1, 1), shift, f"{align} {up}", **how)


def dot(ax, x, y, colour: str, size: float, *, marker="o", rim=1.0, zorder=3.0) -> None:
    """A marker at a place of the data, its `rim` of paper setting it off from its line."""
    edge = {"markeredgecolor": look.PAPER, "markeredgewidth": rim, "zorder": zorder}
    ax.plot([x], [y], color=colour, linestyle="none", marker=marker, markersize=size, **edge)


def upright(ax, x: float) -> None:
    """A faint line through what is looked at."""
    ax.axvline(x, color=look.SOFT_INK, linewidth=0.9, alpha=0.5, zorder=1)
