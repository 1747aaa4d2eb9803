"""What an order earns over its quantity: ranges that reach the goal, pockets that do not."""

from dataclasses import dataclass

import numpy as np

from pricelab.analysis.break_even import BreakEven
from pricelab.analysis.stretches import Stretch
from pricelab.pictures import look
from pricelab.pictures.axes import (
    TICKS,
    Axis,
    Frame,
    money_axis,
    plain_axis,
    quantity_axis,
    stairs,
)
from pricelab.pictures.labels import dot, label_ends, spread, write
from pricelab.pictures.picture import Description, InMoney, Picture
from pricelab.shop.figures import count, number, percent, pieces
from pricelab.shop.tolerance import TOLERANCE

_NAMED = 6
"""Pockets that are named in the picture, the widest by ratio; the table has them all."""


@dataclass(frozen=True, eq=False)
class Earning(InMoney):
    """What each of `quantities` (rising by one) earns, and the `found` break-even set.

    `what` is profit, margin or profit an hour; a margin is a fraction, the rest is money.
    `name` says what is sold; `marked` is the quantity asked about.
    """

    name: str
    what: str
    currency: str
    quantities: np.ndarray
    earned: np.ndarray
    goal: float
    found: BreakEven
    marked: int

    @property
    def here(self) -> float:
        """What the marked quantity earns."""
        return float(self.earned[self.marked - int(self.quantities[0])])

    def show(self, figure: float) -> str:
        """A figure as it is read."""
        return percent(figure) if self.what == "margin" else super().show(figure)


def frame(values: Earning) -> Frame:
    """Quantities by ratio; figures from the worst loss to well over the goal."""
    top = max(values.here * 1.4, values.goal * 1.4, float(np.median(values.earned)) * 0.8)
    low = min(0.0, float(np.quantile(values.earned, 0.005)), values.here)
    if values.what == "margin":
        low = min(float(np.quantile(values.earned, 0.01)), values.here, values.goal) - 0.05
        low, top = max(low, -0.5) * 100, min(max(top, 0.1), 1) * 100
        of_100 = plain_axis("margin, % of the money taken", low, top, steps=4)
        ticks = np.array(of_100.ticks) / 100
        y = Axis.ticked(of_100.title, ticks[0], ticks[-1], ticks, percent, grid=True)
    else:
        per = "an hour of the bottleneck" if values.what == "profit an hour" else "an order"
        y = money_axis(f"{values.currency} of profit {per}", low, max(top, 1.0), values.currency)
    x = quantity_axis(values.quantities, [values.quantities[0], *TICKS])
    return Frame(x, y, height=340, right=132)


def marks(values: Earning, ax) -> None:
    """The curve over the goal, pockets hatched and named, and a bar under what earns enough."""
    low, top = ax.get_ylim()
    x, y = stairs(ax, values.quantities, values.earned)
    y = np.clip(y, low - (top - low), top + (top - low))
    short = y < values.goal - TOLERANCE
    ax.fill_between(x, values.goal, y, where=~short, **look.GAIN)
    for one in values.found.missing:
        ax.axvspan(one.first, one.last + 1, **look.LOSS)
    ax.axhline(values.goal, color=look.COPPER, linewidth=1.6, linestyle=look.DASHED, zorder=2)
    ax.plot(x, y, color=look.NAVY, linewidth=2, zorder=3)
    bar = {"linewidth": 5, "solid_capstyle": "butt", "zorder": 4, "gid": "earning"}
    for one in values.found.earning:
        ends = [one.first, one.last + 1]
        ax.plot(ends, [0, 0], color=look.NAVY, transform=ax.get_xaxis_transform(), **bar)
    _name_pockets(values, ax)
    dot(ax, values.marked, values.here, look.NAVY, 8, rim=1.2, zorder=5)
    end = float(np.clip(values.earned[-1], low, top))
    goal = f"goal {values.show(values.goal)}"
    label_ends(ax, [(values.goal, goal, look.COPPER), (end, values.what, look.NAVY)])


def _name_pockets(values: Earning, ax) -> None:
    """The widest pockets by name along the top, beside each other."""
    by_width = sorted(values.found.missing, key=lambda one: one.first / (one.last + 1))
    named = sorted(by_width[:_NAMED], key=lambda one: one.first)
    if not named:
        return
    low, high = np.log(ax.get_xlim())
    middles = [np.log((one.first * (one.last + 1)) ** 0.5) for one in named]
    places = np.exp(spread(middles, (high - low) * 0.085, low, high))
    how = {"size": look.SMALL, "weight": "bold", "zorder": 6, "bbox": look.ground()}
    how |= {"color": look.darker(look.COPPER), "coords": ("data", "axes fraction")}
    for one, place in zip(named, places, strict=True):
        words = "–".join(dict.fromkeys((number(one.first), number(one.last))))
        write(ax, words, (place, 0.985), align="center top", **how)


def describe(values: Earning) -> Description:
    """From which quantity on it pays, and the pockets; every range in a row."""
    found, reaches = values.found, _reaches(values)
    if found.first is None:
        finding = f"{values.name}: no quantity {reaches}"
    elif not found.missing:
        finding = f"{values.name}: every quantity that is sold {reaches}"
    else:
        finding = f"{values.name} {reaches} {_where(values)}"
    rows = tuple(
        (
            pieces(one.first, one.last),
            "earn the goal" if one.value else "fall short",
            *_span(values, one),
        )
        for one in found.stretches
    )
    return Description(finding, ("Pieces", "Verdict", "At least", "At most"), rows)


def _reaches(values: Earning) -> str:
    if not values.goal:
        return "breaks even"
    return f"earns a {values.what} of {values.show(values.goal)}"


def _where(values: Earning) -> str:
    found = values.found
    short = count(len(found.missing), "range")
    falls = "falls" if len(found.missing) == 1 else "fall"
    if found.sure_from == found.first:
        return f"from {pieces(found.first)} on"
    then = "but not at the largest orders"
    if found.sure_from is not None:
        then = f"and always from {number(found.sure_from)} on"
    return f"first at {pieces(found.first)}, {then}; {short} {falls} short"


def _span(values: Earning, one: Stretch) -> tuple[str, str]:
    start = int(values.quantities[0])
    inside = values.earned[one.first - start : one.last - start + 1]
    return values.show(float(inside.min())), values.show(float(inside.max()))


EARNING = Picture("earning", frame, marks, describe)
