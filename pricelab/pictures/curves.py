"""Money a piece over quantity (or size), a line for each method or whatever is compared."""

from dataclasses import dataclass, replace

import numpy as np

from pricelab.pictures import look
from pricelab.pictures.axes import Axis, Frame, money_axis, plain_axis, quantity_axis, stairs
from pricelab.pictures.labels import dot, label_ends, upright
from pricelab.pictures.picture import Description, InMoney, Picture
from pricelab.shop.figures import listed
from pricelab.words.findings import short_names


@dataclass(frozen=True, eq=False)
class Curve:
    """One line: its `name`, its `y` (NaN where there is no figure), and its thread's number."""

    name: str
    y: np.ndarray
    thread: int


@dataclass(frozen=True, eq=False)
class Curves(InMoney):
    """Lines over a common `x`, rising; `what` they show, such as "cost", and `at` which order.

    With `steps` each figure holds up to the next x, as prices by quantity do; `marked` is
    the x whose figures are named, `x_title` the words of the x axis with its unit. Where
    the `highest` is best, as of profit, it is named first.
    """

    what: str
    at: str
    currency: str
    x: np.ndarray
    curves: tuple[Curve, ...]
    marked: float
    x_title: str = "pieces in the order"
    steps: bool = True
    per: str = "a piece"
    highest: bool = False

    @property
    def here(self) -> int:
        """The index of the marked x, or of the nearest to it."""
        return int(np.abs(np.asarray(self.x) - self.marked).argmin())

    @property
    def names(self) -> list[str]:
        """The curves' names, as short as tells them apart."""
        return short_names(curve.name for curve in self.curves)

    def ranked(self) -> list[Curve]:
        """The curves that have a figure at the marked x, the best first."""
        have = [curve for curve in self.curves if np.isfinite(curve.y[self.here])]
        return sorted(have, key=lambda curve: curve.y[self.here], reverse=self.highest)


def frame(values: Curves) -> Frame:
    """Quantities by ratio, other sizes by steps; money from nothing, or from the worst loss."""
    figures = np.concatenate([curve.y for curve in values.curves] or [np.zeros(1)])
    figures = figures[np.isfinite(figures)]
    low, top = 0.0, 1.0
    if figures.size:  # a dear first piece may run off the top
        at = (1.25 * curve.y[values.here] for curve in values.ranked())
        top = max(float(np.quantile(figures, 0.9)), *at, 0.01)
        low = min(0.0, float(np.quantile(figures, 0.03)))
    y = money_axis(f"{values.currency} {values.per}", low, top, values.currency)
    return Frame(_x_axis(values), y, right=222)


def _x_axis(values: Curves) -> Axis:
    if values.steps:
        return quantity_axis(values.x, title=values.x_title)
    low, high = float(values.x[0]), float(values.x[-1])
    if low == high:  # one size alone still needs an axis to stand on
        low, high = low * 0.9, high * 1.1
    return replace(plain_axis(values.x_title, low, high, grid=False), low=low, high=high)


def marks(values: Curves, ax) -> None:
    """The lines, each with its dash, its marker at the marked x and its name at its end."""
    _, top = ax.get_ylim()
    upright(ax, values.marked)
    ends = []
    for curve, name in zip(values.curves, values.names, strict=True):
        thread, y = look.thread(curve.thread), np.asarray(curve.y, float)
        line = values.x, np.where(y <= top * 1.5, y, np.nan)
        if values.steps:
            line = stairs(ax, *line)
        ax.plot(*line, color=thread.colour, linewidth=2, linestyle=thread.dash)
        at = y[values.here]
        if np.isfinite(at):
            dot(ax, values.marked, at, thread.colour, 7, marker=thread.marker)
        if np.isfinite(y).any():
            ends.append((y[np.isfinite(y)][-1], name, thread.colour))
    label_ends(ax, ends)


def describe(values: Curves) -> Description:
    """Which is best and worst at the marked x; the figures there, the best first."""
    ranked = values.ranked()
    rows = tuple((curve.name, values.show(curve.y[values.here])) for curve in ranked)
    return Description(_finding(values, ranked), ("Method", f"{values.what} {values.per}"), rows)


def _finding(values: Curves, ranked: list[Curve]) -> str:
    if not ranked:
        return f"{values.at}: nothing here can be made"
    short = dict(zip((curve.name for curve in values.curves), values.names, strict=True))
    best, worst = ranked[0], ranked[-1]
    money = values.show(best.y[values.here])
    if best is worst:
        return f"{values.at}: {short[best.name]} has a {values.what} of {money} {values.per}"
    same = [c for c in ranked if values.show(c.y[values.here]) == money]
    verb = "has" if len(same) == 1 else "have"
    names = listed(short[curve.name] for curve in same)
    first, last = ("highest", "lowest") if values.highest else ("lowest", "highest")
    return (
        f"{values.at}: {names} {verb} the {first} {values.what}, {money} {values.per}; "
        f"{short[worst.name]} the {last}, {values.show(worst.y[values.here])}"
    )


CURVES = Picture("curves", frame, marks, describe)
