"""Words beside lines: near to what they name, and never over one another."""

import numpy as np

from pricelab.pictures import look


def spread(wanted, gap: float, low: float, high: float) -> np.ndarray:
    """Places at least `gap` apart, in the order of `wanted` and as near to it as can be.

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
    gap = min(gap, (high - low) / max(wanted.size - 1, 1))
    steps = gap * np.arange(wanted.size)
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


def label_ends(ax, ends, *, gap: float = 16.0, pad: float = 8.0) -> None:
    """Write each line's words to the right of the axes, at the height where the line ends.

    `ends` holds (height in data, words, colour); words that were moved away from their
    line get a hairline back to it.
    """
    from matplotlib.transforms import ScaledTranslation

    ends = [end for end in ends if end[1]]
    if not ends:
        return
    points = 72.0
    box = ax.get_position()
    tall = box.height * ax.figure.get_figheight() * points
    low, high = ax.get_ylim()
    scale = tall / (high - low)
    wanted = [(min(max(height, low), high) - low) * scale for height, _, _ in ends]
    places = spread(wanted, gap, 0.0, tall)
    for (_, words, colour), at, place in zip(ends, wanted, places, strict=True):
        moved = abs(place - at) > 2
        if moved:
            wide = box.width * ax.figure.get_figwidth() * points
            ax.plot(
                [1 + 1 / wide, 1 + (pad - 1) / wide], [at / tall, place / tall],
                transform=ax.transAxes, color=colour, linewidth=0.8, clip_on=False, zorder=2,
            )  # fmt: skip
        shift = ScaledTranslation(pad / points, 0, ax.figure.dpi_scale_trans)
        ax.text(
            1, place / tall, words, transform=ax.transAxes + shift, color=darker(colour),
            ha="left", va="center_baseline", fontsize=look.LABEL, zorder=4,
        )  # fmt: skip


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
