"""What a change to the shop does to the cost of a piece, over the quantity of the order."""

from dataclasses import dataclass

import numpy as np

from pricelab.analysis.effect import Sample
from pricelab.pictures import look
from pricelab.pictures.axes import TICKS, Frame, money_axis, quantity_axis, stairs
from pricelab.pictures.labels import dot, label_ends, upright
from pricelab.pictures.picture import Description, InMoney, Picture
from pricelab.shop.figures import number


@dataclass(frozen=True, eq=False)
class Changed(InMoney):
    """An order's cost a piece in the shop as saved and as edited; `what` the order is."""

    what: str
    currency: str
    before: Sample
    after: Sample
    edited: bool

    @property
    def quantities(self) -> np.ndarray:
        """Every quantity that both were costed for."""
        return min(self.before.quantities, self.after.quantities, key=len)

    @property
    def curves(self) -> tuple[np.ndarray, np.ndarray]:
        """Cost a piece before and after, by quantity."""
        many = self.quantities.size
        return self.before.each[:many], self.after.each[:many]


def frame(values: Changed) -> Frame:
    """Quantities by ratio; money from nothing, where a dear first piece may run off the top."""
    at, (before, after) = values.after.quantity - 1, values.curves
    top = max(float(np.quantile(after, 0.9)), 1.25 * before[at], 1.25 * after[at], 0.01)
    y = money_axis(f"{values.currency} a piece", 0, top, values.currency)
    return Frame(quantity_axis(values.quantities), y, height=300, right=110)


def marks(values: Changed, ax) -> None:
    """As saved in dashes, as edited in a line, and what lies between them filled."""
    _, top = ax.get_ylim()
    at = values.after.quantity
    upright(ax, at)
    clipped = (np.where(curve <= top * 1.5, curve, np.nan) for curve in values.curves)
    x, before, after = stairs(ax, values.quantities, *clipped)
    ends = [(after[-1], "as edited" if values.edited else "as saved", look.NAVY)]
    if values.edited:
        ax.fill_between(x, before, after, color=look.COPPER_TINT, linewidth=0, zorder=1)
        ax.plot(x, before, color=look.SOFT_INK, linewidth=1.6, linestyle=(0, (5, 3)), zorder=2)
        ends.append((before[-1], "as saved", look.SOFT_INK))
    ax.plot(x, after, color=look.NAVY, linewidth=2, zorder=3)
    dot(ax, at, values.after.cost, look.NAVY, 7, zorder=4)
    label_ends(ax, ends)


def describe(values: Changed) -> Description:
    """What a piece costs now and before; the same at usual quantities."""
    named = (tick for tick in TICKS if tick <= values.quantities[-1])
    curves = values.curves if values.edited else values.curves[1:]
    rows = tuple(
        (number(many), *(values.show(curve[many - 1]) for curve in curves))
        for many in sorted({*named, values.after.quantity})
    )
    columns = ("Pieces", "As saved", "As edited")
    return Description(_finding(values), columns[: 1 + len(curves)], rows)


def _finding(values: Changed) -> str:
    more = values.after.cost - values.before.cost
    cost = values.show(values.after.cost)
    if not values.edited:
        return f"{values.what}: a piece costs {cost}"
    moved = values.show(abs(more))
    if moved == values.show(0):
        return f"{values.what}: a piece costs {cost}, as before"
    way = "more" if more > 0 else "less"
    return f"{values.what}: a piece costs {cost}, {moved} {way} than as saved"


CHANGE = Picture("change", frame, marks, describe)
