"""From what jobs were estimated to earn to what they earned, cause by cause."""

from dataclasses import dataclass

import numpy as np

from pricelab.pictures import look
from pricelab.pictures.axes import Axis, Frame, money_axis
from pricelab.pictures.labels import write
from pricelab.pictures.picture import Description, InMoney, Picture
from pricelab.shop.figures import percent


@dataclass(frozen=True)
class Waterfall(InMoney):
    """`estimated` profit of some jobs (`name`), and what each cause moved it by, in order.

    `causes` pairs a cause in words with money, above 0 where more was earned for it.
    """

    name: str
    currency: str
    estimated: float
    causes: tuple[tuple[str, float], ...]

    @property
    def actual(self) -> float:
        """The profit that was left."""
        return self.estimated + sum(money for _, money in self.causes)

    @property
    def moving(self) -> tuple[tuple[str, float], ...]:
        """The causes that moved anything."""
        return tuple((words, money) for words, money in self.causes if abs(money) >= 0.005)

    def show(self, money: float, *, sign: bool = False) -> str:
        """Money as it is read, with a plus where a sign is asked for."""
        shown = super().show(money)
        return f"+{shown}" if sign and money > 0 else shown


def frame(values: Waterfall) -> Frame:
    """A row for each amount; money over the span that the profit goes through, not from 0."""
    words = ["estimated profit", *(words for words, _ in values.moving), "profit"]
    ends = values.estimated + np.cumsum([0.0, *(money for _, money in values.moving)])
    room = max(float(np.ptp(ends)), abs(values.estimated) * 0.01, 0.01) * 0.06
    title = f"{values.currency}, not from 0"
    x = money_axis(title, ends.min() - room, ends.max() + room, values.currency)
    rows = range(len(words))
    y = Axis.ticked("", len(words) - 0.4, -0.6, rows, words.__getitem__)
    return Frame(x, y, height=126 + 30 * len(words), left=176, right=118)


def marks(values: Waterfall, ax) -> None:
    """Both profits as points, each cause as a bar from where the one before it ended."""
    at, ends = values.estimated, []
    rows = values.moving
    for row, (_, money) in enumerate(rows, 1):
        ink = look.NAVY if money > 0 else look.COPPER
        fill = look.GAIN if money > 0 else look.LOSS
        ax.barh(row, money, 0.62, at, **{**fill, "edgecolor": ink, "linewidth": 1.2, "zorder": 2})
        ax.plot([at, at], [row - 1, row], color=look.SOFT_INK, linewidth=0.9, zorder=1)
        at += money
        ends.append((row, values.show(money, sign=True), look.darker(ink)))
    ax.plot([at, at], [len(rows), len(rows) + 1], color=look.SOFT_INK, linewidth=0.9, zorder=1)
    for row, money in ((0, values.estimated), (len(rows) + 1, at)):
        ax.plot([money], [row], "D", color=look.INK, markersize=9, zorder=3)
        ends.append((row, values.show(money), look.INK))
    for row, words, colour in ends:  # figures stand in a column, as in a table
        how = {"coords": ("axes fraction", "data"), "color": colour, "weight": "bold"}
        write(ax, words, (1, row), (110, 0), "right center_baseline", **how)


def describe(values: Waterfall) -> Description:
    """By how much the jobs missed or beat their estimate, and what moved them most."""
    actual, moved = values.actual, values.actual - values.estimated
    if not values.moving:
        finding = f"{values.name} earned just what was estimated, {values.show(actual)}"
    else:
        cause, most = max(values.moving, key=lambda pair: pair[1] * (1 if moved > 0 else -1))
        way = "more" if moved > 0 else "less"
        share = f" ({percent(abs(moved / values.estimated))})" if values.estimated > 0 else ""
        finding = (
            f"{values.name} earned {values.show(abs(moved))}{share} {way} than estimated; "
            f"{cause} did most, {values.show(most, sign=True)}"
        )
    rows = (
        ("estimated profit", values.show(values.estimated)),
        *((words, values.show(money, sign=True)) for words, money in values.causes),
        ("profit", values.show(actual)),
    )
    return Description(finding, ("What", "Money"), rows)


WATERFALL = Picture("waterfall", frame, marks, describe)
