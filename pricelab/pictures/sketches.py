"""Sketches of pieces: a cap's, hat's or beanie's front, or a bag, around its decorable panel."""

import re
from dataclasses import dataclass

from pricelab.shop.blank import Blank

_CLOTH, _BRIM, _SEAM = "#eef1f4", "#e2e7ec", "#aeb8c3"
"""The piece itself: there, and no more than that."""

_STROKES = {
    "cloth": {"facecolor": _CLOTH, "linewidth": 1.4},
    "brim": {"facecolor": _BRIM, "linewidth": 1.4},
    "strap": {"facecolor": "none", "linewidth": 1.4},
    "seam": {"facecolor": "none", "linewidth": 0.9},
    "rib": {"facecolor": "none", "linewidth": 0.7},
    "stitch": {"facecolor": "none", "linewidth": 0.9, "linestyle": (0, (3, 2.5))},
}


@dataclass(frozen=True)
class Sketch:
    """How a kind of piece is drawn, and how far it reaches from the panel's middle.

    `told_by` are words of its name. `beside` counts in the panel's width, `below` and `above`
    in its height, and so do the `paths`, each with its kind of stroke, from the back to the
    front: M move, L line, C a curve by three points, Z close; upwards is more.
    """

    told_by: tuple[str, ...]
    beside: float
    below: float
    above: float
    paths: tuple[tuple[str, str], ...] = ()

    def draw(self, panel: tuple[float, float], ax) -> None:
        """Draw around a panel of that width and height."""
        from matplotlib.patches import PathPatch
        from matplotlib.path import Path

        numbers = {"M": Path.MOVETO, "L": Path.LINETO, "C": Path.CURVE4}
        for stroke, path in self.paths:
            points, codes = [], []
            for letter, places in re.findall(r"([MLC])([^MLCZ]*)", path):
                points += [[float(x) for x in place.split(",")] for place in places.split()]
                codes += [numbers[letter]] * (len(points) - len(codes))
            if path.endswith("Z"):
                points, codes = [*points, points[0]], [*codes, Path.CLOSEPOLY]
            drawn = Path([(x * panel[0], y * panel[1]) for x, y in points], codes)
            ax.add_patch(PathPatch(drawn, edgecolor=_SEAM, zorder=1.2, **_STROKES[stroke]))


SKETCHES = {
    "bag": Sketch(
        ("bag", "tote"),
        0.74,
        0.78,
        1.0,
        (
            ("strap", "M -.3,.7 C -.3,1 .3,1 .3,.7"),
            ("strap", "M -.36,.7 C -.36,1.06 .36,1.06 .36,.7"),
            ("cloth", "M -.66,.7 L -.6336,-.74 .6336,-.74 .66,.7 Z"),
            ("stitch", "M -.66,.64 L .66,.64"),
        ),
    ),
    "beanie": Sketch(
        ("beanie", "cuff"),
        0.82,
        0.85,
        1.75,
        (
            ("cloth", "M -.6596,.72 C -.646,1.53 -.34,1.7 0,1.7 .34,1.7 .646,1.53 .6596,.72"),
            *(
                ("rib", f"M {x * 0.13192},.72 C {x * 0.136},1.496 {x * 0.0952},1.615 0,1.7")
                for x in range(-4, 5)
            ),
            ("brim", "M -.68,-.72 L -.68,.72 .68,.72 .68,-.72 Z"),
        ),
    ),
    "hat": Sketch(
        ("bucket", "hat "),
        0.95,
        1.3,
        0.95,
        (
            ("cloth", "M -.72,-.62 L -.56,.82 C -.5,.92 .5,.92 .56,.82 L .72,-.62 Z"),
            ("brim", "M -.72,-.62 L -.9,-1.12 C -.4,-1.3 .4,-1.3 .9,-1.12 L .72,-.62 Z"),
            ("stitch", "M -.752,-.748 C -.4,-.828 .4,-.828 .752,-.748"),
            ("stitch", "M -.78,-.86 C -.4,-1.01 .4,-1.01 .78,-.86"),
            ("stitch", "M -.808,-.972 C -.4,-1.192 .4,-1.192 .808,-.972"),
        ),
    ),
    "cap": Sketch(
        ("cap", "panels"),
        0.9,
        1.35,
        1.05,
        (
            ("cloth", "M -.032,.98 C -.032,1.04 .032,1.04 .032,.98"),
            (
                "cloth",
                "M -.64,-.66 C -.6528,.539 -.3968,.98 0,.98 .3968,.98 .6528,.539 .64,-.66 "
                ".32,-.76 -.32,-.76 -.64,-.66",
            ),
            ("seam", "M 0,.98 C -.36608,.98 -.5824,.294 -.552448,-.66"),
            ("seam", "M 0,.98 C .36608,.98 .5824,.294 .552448,-.66"),
            (
                "brim",
                "M -.64,-.66 C -.96,-1.16 -.512,-1.32 0,-1.32 .512,-1.32 .96,-1.16 .64,-.66 "
                ".32,-.76 -.32,-.76 -.64,-.66",
            ),
            ("stitch", "M -.5504,-.84 C -.256,-.98 .256,-.98 .5504,-.84"),
            ("stitch", "M -.5504,-1 C -.256,-1.14 .256,-1.14 .5504,-1"),
        ),
    ),
    "": Sketch((), 0.75, 0.85, 0.75),  # its words do not tell what it is
}


def sketch_of(blank: Blank) -> str:
    """What the blank's name and make-up call it: a bag, a beanie, a hat, a cap, or ''.

    Words of the trade, in the language of the file; a piece they do not tell of is drawn as
    its panel alone.
    """
    words = f"{blank.name} {blank.make_up}".lower()
    named = (kind for kind, sketch in SKETCHES.items() if any(x in words for x in sketch.told_by))
    return next(named, "")
