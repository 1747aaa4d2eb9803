"""Sketches of what is decorated: a cap, hat, beanie or bag, drawn around its decorable panel.

Each is given the panel's width and height, whose middle is at 0, and draws a piece in about
the right proportion.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from pricelab.shop.blank import Blank

CLOTH, SEAM = "#eef1f4", "#aeb8c3"
"""The piece itself: there, and no more than that."""


def sketch_of(blank: Blank) -> str:
    """What the blank's name and make-up call it: a bag, a beanie, a hat, a cap, or ''.

    Words of the trade, in the language of the file; a piece they do not tell of is drawn as
    its panel alone.
    """
    words = f"{blank.name} {blank.make_up}".lower()
    for kind, told_by in (
        ("bag", ("bag", "tote")),
        ("beanie", ("beanie", "cuff")),
        ("hat", ("bucket", "hat ")),
        ("cap", ("cap", "panels")),
    ):
        if any(word in words for word in told_by):
            return kind
    return ""


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
        (-side, base),
        (-1.02 * side, 0.55 * top),
        (-0.62 * side, top),
        (0, top),
        (0.62 * side, top),
        (1.02 * side, 0.55 * top),
        (side, base),
        (0.5 * side, base - 0.1 * high),
        (-0.5 * side, base - 0.1 * high),
        (-side, base),
    ]
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
        (-0.05 * side, top),
        (-0.05 * side, top + 0.06 * high),
        (0.05 * side, top + 0.06 * high),
        (0.05 * side, top),
    ]
    _shape(ax, button, "MCCC", zorder=1.0)
    brim = [
        (-side, base),
        (-1.5 * side, base - 0.5 * high),
        (-0.8 * side, base - 0.66 * high),
        (0, base - 0.66 * high),
        (0.8 * side, base - 0.66 * high),
        (1.5 * side, base - 0.5 * high),
        (side, base),
        (0.5 * side, base - 0.1 * high),
        (-0.5 * side, base - 0.1 * high),
        (-side, base),
    ]
    _shape(ax, brim, "MCCCCCCCCC", fill="#e2e7ec", zorder=1.3)
    for depth in (0.2, 0.36):
        stitch = [
            (-0.86 * side, base - (depth - 0.02) * high),
            (-0.4 * side, base - (depth + 0.12) * high),
            (0.4 * side, base - (depth + 0.12) * high),
            (0.86 * side, base - (depth - 0.02) * high),
        ]
        _shape(ax, stitch, "MCCC", fill="none", width=0.9, dash=(0, (3, 2.5)), zorder=1.35)


def _hat(panel, ax) -> None:
    wide, high = panel
    base, top = -0.62 * high, 0.82 * high
    crown = [
        (-0.72 * wide, base),
        (-0.56 * wide, top),
        (-0.5 * wide, top + 0.1 * high),
        (0.5 * wide, top + 0.1 * high),
        (0.56 * wide, top),
        (0.72 * wide, base),
        (-0.72 * wide, base),
    ]
    _shape(ax, crown, "MLCCCLZ", zorder=1.1)
    brim = [
        (-0.72 * wide, base),
        (-0.9 * wide, base - 0.5 * high),
        (-0.4 * wide, base - 0.68 * high),
        (0.4 * wide, base - 0.68 * high),
        (0.9 * wide, base - 0.5 * high),
        (0.72 * wide, base),
        (-0.72 * wide, base),
    ]
    _shape(ax, brim, "MLCCCLZ", fill="#e2e7ec", zorder=1.2)
    for depth in (0.16, 0.3, 0.44):
        reach = 0.72 + 0.2 * depth
        stitch = [
            (-reach * wide, base - 0.8 * depth * high),
            (-0.4 * wide, base - 1.3 * depth * high),
            (0.4 * wide, base - 1.3 * depth * high),
            (reach * wide, base - 0.8 * depth * high),
        ]
        _shape(ax, stitch, "MCCC", fill="none", width=0.9, dash=(0, (3, 2.5)), zorder=1.3)


def _beanie(panel, ax) -> None:
    wide, high = panel
    side, low, up, top = 0.68 * wide, -0.72 * high, 0.72 * high, 1.7 * high
    dome = [
        (-0.97 * side, up),
        (-0.95 * side, 0.9 * top),
        (-0.5 * side, top),
        (0, top),
        (0.5 * side, top),
        (0.95 * side, 0.9 * top),
        (0.97 * side, up),
    ]
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
            (-inner * wide, up),
            (-inner * wide, up + inner * high),
            (inner * wide, up + inner * high),
            (inner * wide, up),
        ]
        _shape(ax, handle, "MCCC", fill="none", zorder=1.0)
    body = [(-side, up), (-0.96 * side, low), (0.96 * side, low), (side, up), (-side, up)]
    _shape(ax, body, "MLLLZ", zorder=1.1)
    hem = [(-side, up - 0.06 * high), (side, up - 0.06 * high)]
    _shape(ax, hem, "ML", fill="none", width=0.9, dash=(0, (3, 2.5)), zorder=1.2)


@dataclass(frozen=True)
class Sketch:
    """How a kind of piece is drawn, and how far it reaches from the panel's middle.

    `beside` counts in the panel's width, `below` and `above` in its height.
    """

    draw: Callable[[tuple[float, float], object], None]
    beside: float
    below: float
    above: float


SKETCHES = {
    "cap": Sketch(_cap, 0.9, 1.35, 1.05),
    "hat": Sketch(_hat, 0.95, 1.3, 0.95),
    "beanie": Sketch(_beanie, 0.82, 0.85, 1.75),
    "bag": Sketch(_bag, 0.74, 0.78, 1.0),
    "": Sketch(lambda panel, ax: None, 0.75, 0.85, 0.75),  # its words do not tell what it is
}
