"""The front of a piece with its decorable panel and the artwork on it, to scale.

Panel and artwork are true to each other; what is around them is a sketch.
"""

from dataclasses import dataclass

import numpy as np
from matplotlib.patches import FancyBboxPatch

from pricelab.pictures import look
from pricelab.pictures.axes import Axis, Frame, round_ticks
from pricelab.pictures.labels import size_in_points, write
from pricelab.pictures.picture import Description, Picture
from pricelab.pictures.sketches import SKETCHES, sketch_of
from pricelab.shop.blank import Blank
from pricelab.shop.figures import number
from pricelab.shop.tolerance import TOLERANCE
from pricelab.shop.units import convert

_WIDTH, _HEIGHT, _TOP, _SIDE, _BOTTOM = 480.0, 336.0, 68.0, 10.0, 8.0
_FOOT = 30.0  # points under the piece, for the scale


@dataclass(frozen=True)
class CapFront:
    """An artwork on a blank; sizes are (width, height) in `unit`.

    `reason` says why it cannot be made, '' where it can; `would_fit` is the size that could
    be had instead, if any. `kind` is what is sketched around the panel, '' for nothing.
    """

    blank: str
    decoration: str
    unit: str
    panel: tuple[float, float]
    artwork: tuple[float, float]
    kind: str = ""
    reason: str = ""
    would_fit: tuple[float, float] | None = None

    @classmethod
    def of(cls, blank: Blank, decoration: str, unit: str, artwork, **more) -> "CapFront":
        """An artwork on a blank, both counted in `unit`."""
        sides = (blank.panel_width, blank.panel_height)
        panel = tuple(float(convert(side, blank.unit, unit)) for side in sides)
        artwork = tuple(map(float, artwork))
        return cls(blank.name, decoration, unit, panel, artwork, sketch_of(blank), **more)


def frame(values: CapFront) -> Frame:
    """The same scale both ways; it changes only when a much larger artwork is asked for."""
    beside, below, above = _reach(values)
    across, up = _WIDTH - 2 * _SIDE, _HEIGHT - _TOP - _BOTTOM
    scale = max(2 * beside / across, (below + above) / (up - _FOOT))  # units a point
    half, low = across * scale / 2, -below - _FOOT * scale
    sheet = {"width": _WIDTH, "height": _HEIGHT, "top": _TOP, "bottom": _BOTTOM}
    x, y = Axis("", -half, half), Axis("", low, low + up * scale)
    return Frame(x, y, left=_SIDE, right=_SIDE, **sheet)


def _reach(values: CapFront) -> tuple[float, float, float]:
    """How far must be seen to either side of the panel's middle, below and above, in the unit."""
    (wide, high), sketch = values.panel, SKETCHES[values.kind]
    beside, below, above = sketch.beside * wide, sketch.below * high, sketch.above * high
    over_wide = max(1.0, 0.68 * values.artwork[0] / beside)
    over_high = max(1.0, 0.72 * values.artwork[1] / min(below, above))
    grow = 1.25 ** np.ceil(np.log(max(over_wide, over_high)) / np.log(1.25) - TOLERANCE)
    return beside * grow, below * grow, above * grow


def marks(values: CapFront, ax) -> None:
    """The piece, its panel, the artwork with its two dimensions, and what would fit."""
    SKETCHES[values.kind].draw(values.panel, ax)
    ruled = {"linewidth": 1.3, "linestyle": (0, (4, 3))}
    soft = {"facecolor": look.PAPER, "edgecolor": look.SOFT_INK}
    _rectangle(ax, values.panel, **soft, zorder=1.5, **ruled)
    if values.reason:
        fill = {"facecolor": (look.COPPER_TINT, 0.75), "hatch": "///", "edgecolor": look.COPPER}
        _rectangle(ax, values.artwork, linewidth=2.2, zorder=2, **fill)
        _rectangle(ax, values.panel, facecolor="none", edgecolor=look.INK, zorder=2.5, **ruled)
        if values.would_fit:
            _would_fit(values, ax)
    else:
        _artwork(values, ax)
    _dimensions(values, ax)
    _scale_bar(values, ax)


def _rectangle(ax, size, **how) -> None:
    wide, high = size
    style = f"round,pad=0,rounding_size={0.06 * min(size)}"
    ax.add_patch(FancyBboxPatch((-wide / 2, -high / 2), wide, high, boxstyle=style, **how))


def _artwork(values: CapFront, ax) -> None:
    """With its stitched edge, and the decoration's name where there is room."""
    size, navy = np.array(values.artwork), {"edgecolor": look.NAVY}
    _rectangle(ax, size, facecolor=look.NAVY_TINT, linewidth=2.2, zorder=2, **navy)
    stitched = {"facecolor": "none", "linewidth": 1, "linestyle": (0, (3, 2.5)), "zorder": 2.1}
    _rectangle(ax, size - 0.14 * min(size), **stitched, **navy)
    wide, high = size / _unit_a_point(ax)
    if wide > 8.2 * len(values.decoration) and high > 26:
        how = {"color": look.NAVY, "size": look.LABEL + 1, "zorder": 3}
        write(ax, values.decoration, (0, 0), align="center center", **how)


def _would_fit(values: CapFront, ax) -> None:
    size = np.array(values.would_fit)
    _rectangle(ax, size, facecolor=look.PAPER, edgecolor=look.NAVY, linewidth=2, zorder=3)
    words = f"{_size(values.would_fit, values.unit)} would fit"
    how = {"color": look.NAVY, "weight": "bold", "zorder": 4}
    wide, high = size / _unit_a_point(ax)
    if wide > 7.4 * len(words) and high > 24:
        write(ax, words, (0, 0), align="center center", **how)
    else:
        write(ax, words, (0, -size[1] / 2), (0, -4), "center top", bbox=look.ground(), **how)


def _dimensions(values: CapFront, ax) -> None:
    """The artwork's width over it and its height to its right, clear of the panel."""
    wide, high = values.artwork
    words = {"size": look.LABEL + 2, "weight": "bold", "bbox": look.ground(2), "zorder": 5}
    line = {"color": look.COPPER if values.reason else look.NAVY, "linewidth": 1.3, "zorder": 4}
    ends = {"markersize": 8, "markeredgewidth": 1.3}
    beside, over = np.maximum(values.artwork, values.panel) / 2 + 13 * _unit_a_point(ax)
    ax.plot([-wide / 2, wide / 2], [over, over], marker="|", **line, **ends)
    ax.plot([beside, beside], [-high / 2, high / 2], marker="_", **line, **ends)
    both = {"align": "center center", **words}
    write(ax, f"{number(wide)} {values.unit}", (0, over), **both)
    write(ax, f"{number(high)} {values.unit}", (beside, 0), rotation=90, **both)


def _scale_bar(values: CapFront, ax) -> None:
    """At the foot a round length to compare with, and the panel's size."""
    point = _unit_a_point(ax)
    (left, right), (low, _) = ax.get_xlim(), ax.get_ylim()
    length = round_ticks(0, 44 * point, 1)[1]
    start, low = left + 4 * point, low + 13 * point
    ax.plot([start, start + length], [low, low], color=look.INK, linewidth=2.4, zorder=5)
    soft = {"color": look.SOFT_INK, "zorder": 5}
    words = f"{number(length)} {values.unit}, to scale"
    write(ax, words, (start + length, low), (6, 0), "left center", **soft)
    words = f"panel {_size(values.panel, values.unit)}"
    write(ax, words, (right, low), (-4, 0), "right center", **soft)


def _unit_a_point(ax) -> float:
    left, right = ax.get_xlim()
    return (right - left) / size_in_points(ax)[0]


def _size(size, unit: str) -> str:
    return f"{number(size[0])} × {number(size[1])} {unit}"


# ---- in words -------------------------------------------------------------------------


def describe(values: CapFront) -> Description:
    """Whether it fits and with how much to spare, or why not; panel and artwork in figures."""

    def row(what, size):
        return (what, *(f"{number(side)} {values.unit}" for side in size))

    rows = [row(f"panel of {values.blank}", values.panel), row("artwork", values.artwork)]
    if values.reason and values.would_fit:
        rows.append(row("would fit", values.would_fit))
    return Description(values.reason or _fits(values), ("To scale", "Width", "Height"), tuple(rows))


def _fits(values: CapFront) -> str:
    beside, above = (np.array(values.panel) - values.artwork) / 2
    size = _size(values.artwork, values.unit)
    aside = f"{number(round(beside, 3))} {values.unit} free on each side"
    over = f"{number(round(above, 3))} {values.unit} free above and below"
    if beside <= TOLERANCE and above <= TOLERANCE:
        return f"{size} fills the panel"
    if above <= TOLERANCE:
        return f"{size} fits: as high as the panel, {aside}"
    if beside <= TOLERANCE:
        return f"{size} fits: as wide as the panel, {over}"
    return f"{size} fits: {aside}, {over.replace(' free', '')}"


CAP_FRONT = Picture("cap-front", frame, marks, describe)
