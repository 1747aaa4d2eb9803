"""What a year costs over the order quantity of stock, with the supplier's breaks."""

from dataclasses import dataclass

import numpy as np

from pricelab.analysis.stock import Stocking
from pricelab.pictures import look
from pricelab.pictures.axes import Frame, money_axis, quantity_axis
from pricelab.pictures.labels import dot, in_points, write
from pricelab.pictures.picture import Description, InMoney, Picture
from pricelab.shop.figures import number, pieces


@dataclass(frozen=True, eq=False)
class StockCost(InMoney):
    """The cost of a year over `quantities`, the supplier's `breaks`, and the `best` order.

    `beside` are the costs at the breaks' own quantities, shape (breaks,).
    """

    name: str
    currency: str
    quantities: np.ndarray
    costs: np.ndarray
    breaks: np.ndarray
    beside: np.ndarray
    best: Stocking
    demand: float


def frame(values: StockCost) -> Frame:
    """Quantities by ratio with the breaks as ticks; money from under the best to well over."""
    best = values.best.cost
    top = max(float(np.quantile(values.costs, 0.7)), best * 1.12)
    low = max(0.0, best - 0.4 * (top - best))  # room for the words under the best order
    y = money_axis(f"{values.currency} a year", low, top, values.currency)
    x = quantity_axis(values.quantities, values.breaks, "pieces an order")
    return Frame(x, y, height=340, right=90)


def marks(values: StockCost, ax) -> None:
    """The curve with its drops at the breaks, each break a rule, the best order a large dot."""
    low, top = ax.get_ylim()
    for start in values.breaks:
        ax.axvline(start, color=look.SOFT_INK, linewidth=0.8, linestyle=(0, (1.2, 1.6)), zorder=1)
    at = np.flatnonzero(np.isin(values.quantities, values.breaks[1:]))
    x = np.insert(values.quantities.astype(float), at, np.nan)
    y = np.insert(values.costs, at, np.nan)
    ax.plot(x, np.where(y <= top + (top - low), y, np.nan), color=look.NAVY, linewidth=2, zorder=2)
    best = values.best
    dot(ax, best.quantity, best.cost, look.COPPER, 11, rim=1.5, zorder=4)
    first, last = np.log(ax.get_xlim())
    right = (np.log(best.quantity) - first) / (last - first) > 0.65
    words = f"{number(best.quantity)} pieces\n{values.show(best.cost)} a year"
    under = in_points(ax, best.quantity, best.cost)[0, 1] > 40  # where there is room
    shift = (-9 if right else 9, -8 if under else 10)
    align = f"{'right' if right else 'left'} {'top' if under else 'bottom'}"
    how = {"weight": "bold", "linespacing": 1.2, "zorder": 5}
    write(ax, words, (best.quantity, best.cost), shift, align, **how)


def describe(values: StockCost) -> Description:
    """The best order and how often it comes; what orders at the breaks would cost."""
    best = values.best
    finding = (
        f"{values.name}: order {pieces(int(best.quantity))} at a time, "
        f"{_often(values.demand / best.quantity)}; a year costs {values.show(best.cost)}"
    )
    costs = dict(zip(values.breaks.tolist(), values.beside.tolist(), strict=True))
    costs[best.quantity] = best.cost
    rows = [
        (
            number(order) + (" (best)" if order == best.quantity else ""),
            values.show(cost),
            values.show(cost - best.cost),
        )
        for order, cost in sorted(costs.items())
    ]
    return Description(finding, ("Order", "A year", "More than the best"), tuple(rows))


def _often(times: float) -> str:
    """How often an order comes.

    >>> _often(4), _often(0.5), _often(1)
    ('4 times a year', 'every 24 months', 'once a year')
    """
    if round(times, 1) == 1:
        return "once a year"
    if times < 1:
        return f"every {number(round(12 / times))} months"
    return f"{number(round(times, 1))} times a year"


STOCK_COST = Picture("stock-cost", frame, marks, describe)
