"""Words beside lines, near to what they name and never over one another; and dots on lines."""

import numpy as np

from pricelab.pictures import look
from pricelab.pictures.axes import POINTS_PER_INCH, in_points, moved, size_in_points


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
    sheet = ax.figure.bbox.width * POINTS_PER_INCH / ax.figure.dpi
    room = sheet * (1 - ax.get_position().x1) - _PAD - 2
    lines = [look.wrapped(words, room, look.LABEL) for _, words, _ in ends]
    heights = np.clip([height for height, _, _ in ends], *ax.get_ylim())
    wanted = in_points(ax, ax.get_xlim()[1], heights)[:, 1]
    places = spread(wanted, [_GAP + _LINE * (len(said) - 1) for said in lines], 0.0, tall)
    thin = {"transform": ax.transAxes, "linewidth": 0.8, "clip_on": False, "zorder": 2}
    for (_, _, colour), said, at, place in zip(ends, lines, wanted, places, strict=True):
        if abs(place - at) > 2:
            across = [1 + 1 / wide, 1 + (_PAD - 1) / wide]
            ax.plot(across, [at / tall, place / tall], color=colour, **thin)
        how = {"color": darker(colour), "fontsize": look.LABEL, "linespacing": 1.15}
        align = "left center" if len(said) > 1 else "left center_baseline"
        beside(ax, "\n".join(said), place / tall, (_PAD, 0), align, **how)


def beside(ax, words: str, height: float, shift, align="left center_baseline", **text) -> None:
    """Write `words` to the right of the axes, at a share of their height, shifted by points."""
    place = moved(ax, *shift)
    ax.text(1, height, words, transform=place, **_aligned(align), **{"zorder": 4, **text})


def write(ax, words: str, x: float, y: float, align="center center", **text) -> None:
    """Write `words` at a place of the data."""
    ax.text(x, y, words, **_aligned(align), **text)


def note(ax, words: str, at, shift, align="left", **text) -> None:
    """Write `words` at a place of the data, shifted by points (across, up).

    `align` tells which part of the words comes there, such as "right top".
    """
    how = {"fontsize": look.LABEL, **_aligned(align), **text}
    ax.annotate(words, at, shift, textcoords="offset points", **how)


def _aligned(align: str) -> dict:
    across, _, up = align.partition(" ")
    return {"ha": across, "va": up or "baseline"}


def dot(ax, x, y, colour: str, size: float, *, marker="o", rim=1.0, zorder=3.0) -> None:
    """A marker at a place of the data, its `rim` of paper setting it off from its line."""
    edge = {"markeredgecolor": look.PAPER, "markeredgewidth": rim, "zorder": zorder}
    ax.plot([x], [y], color=colour, linestyle="none", marker=marker, markersize=size, **edge)


def upright(ax, x: float) -> None:
    """A faint line through what is looked at."""
    ax.axvline(x, color=look.SOFT_INK, linewidth=0.9, alpha=0.5, zorder=1)


def darker(colour: str) -> str:
    """A thread's colour, dark enough for small words on paper (4.5 to 1).

    >>> darker("#154470"), darker("#c17938")
    ('#154470', '#a46730')
    """
    from matplotlib.colors import to_hex, to_rgb

    rgb = np.array(to_rgb(colour))
    while contrast(to_hex(rgb)) < 4.5:
        rgb = rgb * 0.96
    return to_hex(rgb)


def contrast(colour: str) -> float:
    """Contrast of a colour on paper, as WCAG 2.2 counts it."""
    from matplotlib.colors import to_rgb

    parts = np.array(to_rgb(colour))
    linear = np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)
    return 1.05 / (float(linear @ [0.2126, 0.7152, 0.0722]) + 0.05)
