"""The front of a piece with its decorable panel and the artwork on it, to scale.

Panel and artwork are true to each other; the cap, beanie, hat or bag around them is a
sketch of our own in about the right proportion.
"""

from dataclasses import dataclass

import numpy as np

from pricelab.figures import number
from pricelab.pictures import look
from pricelab.pictures.axes import Axis, Frame, round_step
from pricelab.pictures.picture import Description, Picture
from pricelab.shop import Blank
from pricelab.units import convert

CLOTH, SEAM = "#eef1f4", "#aeb8c3"
"""The piece itself: there, and no more than that."""

_EDGE = 1e-9  # sizes are decimals: one that equals the panel fits

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
        panel = tuple(
            float(convert(side, blank.unit, unit))
            for side in (blank.panel_width, blank.panel_height)
        )
        sides = tuple(float(side) for side in artwork)
        return cls(blank.name, decoration, unit, panel, sides, sketch_of(blank), **more)


def sketch_of(blank: Blank) -> str:
    """What the blank's name and make-up call it: a bag, a beanie, a hat, a cap, or ''.

    Words of the trade, in the language of the file; a piece they do not tell of is drawn as
    its panel alone.
    """
    words = f"{blank.name} {blank.make_up}".lower()
    for kind, told_by in (
        ("bag", ("bag", "tote")), ("beanie", ("beanie", "cuff")), ("hat", ("bucket", "hat ")),
        ("cap", ("cap", "panels")),
    ):  # fmt: skip
        if any(word in words for word in told_by):
            return kind
    return ""


def frame(values: CapFront) -> Frame:
    """The same scale both ways; it changes only when a much larger artwork is asked for."""
    left, right, low, high = _reach(values)
    across, up = _WIDTH - 2 * _SIDE, _HEIGHT - _TOP - _BOTTOM
    scale = max((right - left) / across, (high - low) / (up - _FOOT))  # units a point
    low -= _FOOT * scale
    extra = up * scale - (high - low)
    middle = (left + right) / 2
    return Frame(
        Axis("", middle - across * scale / 2, middle + across * scale / 2, (), ()),
        Axis("", low, high + extra, (), ()),
        width=_WIDTH, height=_HEIGHT, left=_SIDE, right=_SIDE, top=_TOP, bottom=_BOTTOM,
    )  # fmt: skip


def _reach(values: CapFront) -> tuple[float, float, float, float]:
    """Left, right, low and high of what must be seen, in the unit; the panel's middle is 0."""
    wide, high = values.panel
    reach = {
        "cap": (0.9 * wide, 0.9 * wide, 1.35 * high, 1.05 * high),
        "hat": (0.95 * wide, 0.95 * wide, 1.3 * high, 0.95 * high),
        "beanie": (0.82 * wide, 0.82 * wide, 0.85 * high, 1.75 * high),
        "bag": (0.74 * wide, 0.74 * wide, 0.78 * high, 1.0 * high),
        "": (0.75 * wide, 0.75 * wide, 0.85 * high, 0.75 * high),
    }[values.kind]
    over_wide = max(1.0, 0.68 * values.artwork[0] / reach[0])
    over_high = max(1.0, 0.72 * values.artwork[1] / min(reach[2:]))
    grow = 1.25 ** np.ceil(np.log(max(over_wide, over_high)) / np.log(1.25) - 1e-9)
    left, right, low, up = (side * grow for side in reach)
    return -left, right, -low, up


def marks(values: CapFront, ax) -> None:
    """The piece, its panel, the artwork with its two dimensions, and what would fit."""
    _SKETCHES[values.kind](values.panel, ax)
    _panel(values, ax)
    _artwork(values, ax)
    if values.reason and values.would_fit:
        _would_fit(values, ax)
    _dimensions(values, ax)
    _scale_bar(values, ax)


def _rectangle(ax, size, **how):
    from matplotlib.patches import FancyBboxPatch

    wide, high = size
    rounded = 0.06 * min(wide, high)
    ax.add_patch(
        FancyBboxPatch(
            (-wide / 2 + rounded, -high / 2 + rounded), wide - 2 * rounded, high - 2 * rounded,
            boxstyle=f"round,pad={rounded},rounding_size={rounded}", **how,
        )
    )  # fmt: skip


def _panel(values: CapFront, ax) -> None:
    _rectangle(
        ax, values.panel, facecolor=look.PAPER, edgecolor=look.SOFT_INK, linewidth=1.3,
        linestyle=(0, (4, 3)), zorder=1.5,
    )  # fmt: skip


def _artwork(values: CapFront, ax) -> None:
    wide, high = values.artwork
    if values.reason:
        _rectangle(
            ax, values.artwork, facecolor=(*_rgb(look.COPPER_TINT), 0.75), hatch="///",
            edgecolor=look.COPPER, linewidth=2.2, zorder=2,
        )  # fmt: skip
        _rectangle(
            ax, values.panel, facecolor="none", edgecolor=look.INK, linewidth=1.3,
            linestyle=(0, (4, 3)), zorder=2.5,
        )  # fmt: skip
        return
    _rectangle(
        ax, values.artwork, facecolor=look.NAVY_TINT, edgecolor=look.NAVY, linewidth=2.2, zorder=2
    )
    inset = 0.07 * min(wide, high)
    _rectangle(
        ax, (wide - 2 * inset, high - 2 * inset), facecolor="none", edgecolor=look.NAVY,
        linewidth=1, linestyle=(0, (3, 2.5)), zorder=2.1,
    )  # fmt: skip
    point = _unit_a_point(ax)
    if wide / point > 8.2 * len(values.decoration) and high / point > 26:
        ax.text(
            0, 0, values.decoration, ha="center", va="center", color=look.NAVY,
            fontsize=look.LABEL + 1, zorder=3,
        )  # fmt: skip


def _would_fit(values: CapFront, ax) -> None:
    _rectangle(
        ax, values.would_fit, facecolor=look.PAPER, edgecolor=look.NAVY, linewidth=2, zorder=3
    )
    point = _unit_a_point(ax)
    wide, high = values.would_fit
    words = f"{_size(values.would_fit, values.unit)} would fit"
    inside = wide / point > 7.4 * len(words) and high / point > 24
    ax.text(
        0, 0 if inside else -high / 2 - 4 * point, words, ha="center",
        va="center" if inside else "top", color=look.NAVY, fontsize=look.LABEL,
        fontweight="bold", zorder=4,
        bbox=None if inside else {"facecolor": look.PAPER, "edgecolor": "none", "pad": 1.5},
    )  # fmt: skip


def _dimensions(values: CapFront, ax) -> None:
    """The artwork's width over it and its height to its right, clear of the panel."""
    point = _unit_a_point(ax)
    wide, high = values.artwork
    colour = look.COPPER if values.reason else look.NAVY
    words = {"color": look.INK, "fontsize": look.LABEL + 2, "fontweight": "bold", "zorder": 5}
    white = {"facecolor": look.PAPER, "edgecolor": "none", "pad": 2}
    line = {"color": colour, "linewidth": 1.3, "zorder": 4}
    over = max(high, values.panel[1]) / 2 + 13 * point
    beside = max(wide, values.panel[0]) / 2 + 13 * point
    tick = 4 * point
    ax.plot([-wide / 2, wide / 2], [over, over], **line)
    for x in (-wide / 2, wide / 2):
        ax.plot([x, x], [over - tick, over + tick], **line)
    ax.plot([beside, beside], [-high / 2, high / 2], **line)
    for y in (-high / 2, high / 2):
        ax.plot([beside - tick, beside + tick], [y, y], **line)
    ax.text(0, over, f"{number(wide)} {values.unit}", ha="center", va="center", bbox=white, **words)
    ax.text(
        beside, 0, f"{number(high)} {values.unit}", ha="center", va="center", rotation=90,
        bbox=white, **words,
    )  # fmt: skip


def _scale_bar(values: CapFront, ax) -> None:
    """At the foot a round length to compare with, and the panel's size."""
    point = _unit_a_point(ax)
    left, right = ax.get_xlim()
    left, right, low = left + 4 * point, right - 4 * point, ax.get_ylim()[0] + 13 * point
    length = round_step(44 * point, 1)
    ax.plot([left, left + length], [low, low], color=look.INK, linewidth=2.4, zorder=5)
    words = {"color": look.SOFT_INK, "fontsize": look.LABEL, "va": "center", "zorder": 5}
    ax.text(
        left + length + 6 * point,
        low,
        f"{number(length)} {values.unit}, to scale",
        ha="left",
        **words,
    )
    ax.text(right, low, f"panel {_size(values.panel, values.unit)}", ha="right", **words)


def _unit_a_point(ax) -> float:
    left, right = ax.get_xlim()
    return (right - left) / (ax.get_position().width * ax.figure.get_figwidth() * 72)


def _rgb(colour: str):
    from matplotlib.colors import to_rgb

    return to_rgb(colour)


def _size(size, unit: str) -> str:
    return f"{number(size[0])} × {number(size[1])} {unit}"


# ---- sketches of our own --------------------------------------------------------------


def _shape(ax, points, codes: str, *, fill=CLOTH, width=1.4, zorder=1.0, dash="solid") -> None:
    """A closed or open shape: M move, L line, C each of the three points of a curve, Z close."""
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path

    numbers = {"M": Path.MOVETO, "L": Path.LINETO, "C": Path.CURVE4, "Z": Path.CLOSEPOLY}
    path = Path(points, [numbers[code] for code in codes])
    ax.add_patch(
        PathPatch(
            path, facecolor=fill, edgecolor=SEAM, linewidth=width, linestyle=dash, zorder=zorder
        )
    )


def _cap(panel, ax) -> None:
    wide, high = panel
    side, base, top = 0.64 * wide, -0.66 * high, 0.98 * high
    crown = [
        (-side, base), (-1.02 * side, 0.55 * top), (-0.62 * side, top), (0, top),
        (0.62 * side, top), (1.02 * side, 0.55 * top), (side, base),
        (0.5 * side, base - 0.1 * high), (-0.5 * side, base - 0.1 * high), (-side, base),
    ]  # fmt: skip
    _shape(ax, crown, "MCCCCCCCCC", zorder=1.1)
    for at in (-0.52, 0.52):  # the seams of the front panels
        seam = [
            (0, top),
            (at * 1.1 * side, top),
            (at * 1.75 * side, 0.3 * top),
            (at * 1.66 * side, base),
        ]
        _shape(ax, seam, "MCCC", fill="none", width=0.9, zorder=1.2)
    button = [
        (-0.05 * side, top), (-0.05 * side, top + 0.06 * high), (0.05 * side, top + 0.06 * high),
        (0.05 * side, top),
    ]  # fmt: skip
    _shape(ax, button, "MCCC", zorder=1.0)
    brim = [
        (-side, base), (-1.5 * side, base - 0.5 * high), (-0.8 * side, base - 0.66 * high),
        (0, base - 0.66 * high), (0.8 * side, base - 0.66 * high),
        (1.5 * side, base - 0.5 * high), (side, base), (0.5 * side, base - 0.1 * high),
        (-0.5 * side, base - 0.1 * high), (-side, base),
    ]  # fmt: skip
    _shape(ax, brim, "MCCCCCCCCC", fill="#e2e7ec", zorder=1.3)
    for depth in (0.2, 0.36):
        stitch = [
            (-0.86 * side, base - (depth - 0.02) * high),
            (-0.4 * side, base - (depth + 0.12) * high),
            (0.4 * side, base - (depth + 0.12) * high),
            (0.86 * side, base - (depth - 0.02) * high),
        ]  # fmt: skip
        _shape(ax, stitch, "MCCC", fill="none", width=0.9, dash=(0, (3, 2.5)), zorder=1.35)


def _hat(panel, ax) -> None:
    wide, high = panel
    base, top = -0.62 * high, 0.82 * high
    crown = [
        (-0.72 * wide, base), (-0.56 * wide, top), (-0.5 * wide, top + 0.1 * high),
        (0.5 * wide, top + 0.1 * high), (0.56 * wide, top), (0.72 * wide, base),
        (-0.72 * wide, base),
    ]  # fmt: skip
    _shape(ax, crown, "MLCCCLZ", zorder=1.1)
    brim = [
        (-0.72 * wide, base), (-0.9 * wide, base - 0.5 * high), (-0.4 * wide, base - 0.68 * high),
        (0.4 * wide, base - 0.68 * high), (0.9 * wide, base - 0.5 * high), (0.72 * wide, base),
        (-0.72 * wide, base),
    ]  # fmt: skip
    _shape(ax, brim, "MLCCCLZ", fill="#e2e7ec", zorder=1.2)
    for depth in (0.16, 0.3, 0.44):
        reach = 0.72 + 0.2 * depth
        stitch = [
            (-reach * wide, base - 0.8 * depth * high), (-0.4 * wide, base - 1.3 * depth * high),
            (0.4 * wide, base - 1.3 * depth * high), (reach * wide, base - 0.8 * depth * high),
        ]  # fmt: skip
        _shape(ax, stitch, "MCCC", fill="none", width=0.9, dash=(0, (3, 2.5)), zorder=1.3)


def _beanie(panel, ax) -> None:
    wide, high = panel
    side, low, up, top = 0.68 * wide, -0.72 * high, 0.72 * high, 1.7 * high
    dome = [
        (-0.97 * side, up), (-0.95 * side, 0.9 * top), (-0.5 * side, top), (0, top),
        (0.5 * side, top), (0.95 * side, 0.9 * top), (0.97 * side, up),
    ]  # fmt: skip
    _shape(ax, dome, "MCCCCCC", zorder=1.1)
    for at in np.linspace(-0.8, 0.8, 9):
        rib = [
            (at * 0.97 * side, up),
            (at * side, 0.88 * top),
            (at * 0.7 * side, 0.95 * top),
            (0, top),
        ]
        _shape(ax, rib, "MCCC", fill="none", width=0.7, zorder=1.15)
    cuff = [(-side, low), (-side, up), (side, up), (side, low), (-side, low)]
    _shape(ax, cuff, "MLLLZ", fill="#e2e7ec", zorder=1.2)


def _bag(panel, ax) -> None:
    wide, high = panel
    side, low, up = 0.66 * wide, -0.74 * high, 0.7 * high
    for inner in (0.3, 0.36):
        handle = [
            (-inner * wide, up), (-inner * wide, up + inner * high),
            (inner * wide, up + inner * high), (inner * wide, up),
        ]  # fmt: skip
        _shape(ax, handle, "MCCC", fill="none", zorder=1.0)
    body = [(-side, up), (-0.96 * side, low), (0.96 * side, low), (side, up), (-side, up)]
    _shape(ax, body, "MLLLZ", zorder=1.1)
    hem = [(-side, up - 0.06 * high), (side, up - 0.06 * high)]
    _shape(ax, hem, "ML", fill="none", width=0.9, dash=(0, (3, 2.5)), zorder=1.2)


def _nothing(panel, ax) -> None:
    """A piece whose words do not tell what it is."""


_SKETCHES = {"cap": _cap, "hat": _hat, "beanie": _beanie, "bag": _bag, "": _nothing}


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
    beside, above = (
        (room - side) / 2 for room, side in zip(values.panel, values.artwork, strict=True)
    )
    size = _size(values.artwork, values.unit)
    aside = f"{number(round(beside, 3))} {values.unit} free on each side"
    over = f"{number(round(above, 3))} {values.unit} free above and below"
    if beside <= _EDGE and above <= _EDGE:
        return f"{size} fills the panel"
    if above <= _EDGE:
        return f"{size} fits: as high as the panel, {aside}"
    if beside <= _EDGE:
        return f"{size} fits: as wide as the panel, {over}"
    return f"{size} fits: {aside}, {over.replace(' free', '')}"


CAP_FRONT = Picture("cap-front", frame, marks, describe)
draw_cap_front = CAP_FRONT.draw
describe_cap_front = describe
