"""What a piece costs, by what the money is spent on: layers over quantity."""

from dataclasses import dataclass

import numpy as np

from pricelab.cost.cost_sheet import CostSheet
from pricelab.pictures import look
from pricelab.pictures.axes import Frame, money_axis, quantity_axis, stairs
from pricelab.pictures.labels import label_ends, write
from pricelab.pictures.picture import Description, InMoney, Picture
from pricelab.shop.figures import listed, number, percent, pieces

_MOST = 5
"""Layers told apart; what is smaller is one layer."""


@dataclass(frozen=True, eq=False)
class Layers(InMoney):
    """Cost a piece at each of `quantities`, `layers[element]`, largest first at `marked`."""

    name: str
    currency: str
    quantities: np.ndarray
    layers: tuple[tuple[str, np.ndarray], ...]
    marked: int

    @classmethod
    def of(cls, name: str, sheet: CostSheet, currency: str, marked: int) -> "Layers":
        """The layers of a cost sheet over quantities that rise."""
        quantities = np.asarray(sheet.quantity)
        here = int(np.abs(quantities - marked).argmin())
        parts = [(e.value, total / quantities) for e, total in sheet.by_element().items()]
        parts.sort(key=lambda part: -part[1][here])
        few, rest = parts[:_MOST], parts[_MOST:]
        if len(rest) == 1:
            few, rest = parts, []
        if rest:
            few.append((listed(name for name, _ in rest), sum(y for _, y in rest)))
        return cls(name, currency, quantities, tuple(few), int(quantities[here]))

    @property
    def here(self) -> int:
        """The index of the marked quantity."""
        return int(np.searchsorted(self.quantities, self.marked))

    @property
    def total(self) -> np.ndarray:
        """Cost a piece, all layers."""
        return sum(y for _, y in self.layers)


def frame(values: Layers) -> Frame:
    """Quantities by ratio; money up to what a few pieces cost."""
    total = values.total
    top = max(float(np.quantile(total, 0.97)), 1.3 * float(total[values.here]))
    y = money_axis(f"{values.currency} a piece", 0, top, values.currency)
    return Frame(quantity_axis(values.quantities), y, right=180)


_FILLS = ("#254f7a", "#c98a52", "#66b2ac", "#7d2c55", "#aea0f0", "#6d8a3c", "#a98d9f")


def marks(values: Layers, ax) -> None:
    """Layers from the largest up, each named at the right with its share."""
    below, ends = np.zeros(values.quantities.size), []
    for at, (name, y) in enumerate(values.layers):
        above = below + y
        x, low, high = stairs(ax, values.quantities, below, above)
        colour = _FILLS[at % len(_FILLS)]
        ax.fill_between(x, low, high, facecolor=colour, linewidth=0, zorder=1)
        share = y[values.here] / values.total[values.here]
        ends.append(((below[-1] + above[-1]) / 2, f"{name} {percent(share, 0)}", colour))
        below = above
    ax.axvline(values.marked, color=look.INK, linewidth=1, zorder=2)
    total = values.total[values.here]
    words = f"{values.show(total)} a piece at {number(values.marked)}"
    low, high = np.log(ax.get_xlim())
    right = np.log(values.marked) > low + 0.6 * (high - low)
    shift, align = ((-6, -4), "right top") if right else ((6, -4), "left top")
    at_top = {"coords": ("data", "axes fraction"), "weight": "bold"}
    write(ax, words, (values.marked, 1), shift, align, **at_top)
    label_ends(ax, ends)


def describe(values: Layers) -> Description:
    """The cost a piece at the marked quantity, and its two largest layers."""
    total = values.total[values.here]
    rows = tuple(
        (name, values.show(y[values.here]), percent(y[values.here] / total))
        for name, y in values.layers
    )
    most = listed(f"{name} {share}" for name, _, share in rows[:2])
    each = f"{pieces(values.marked)} cost {values.show(total)} each"
    finding = f"{values.name}: {each}, most of it {most}"
    return Description(finding, ("Spent on", "A piece", "Share"), rows)


LAYERS = Picture("layers", frame, marks, describe)
