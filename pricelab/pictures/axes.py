"""The still part of a picture: its limits, its ticks and the words on its axes.

A `Frame` is a value that can be compared, so a picture that changes under a reader's hand
draws its still part again only when a limit or a tick has changed. Limits go by round
steps, which keeps them still while a control moves a little.
"""

from collections.abc import Hashable, Iterable
from dataclasses import dataclass

import numpy as np
from matplotlib.figure import Figure
from matplotlib.ticker import FixedLocator, MaxNLocator, NullLocator

from pricelab.pictures import look
from pricelab.pictures.labels import POINTS_PER_INCH, size_in_points, write
from pricelab.pictures.look import text_width
from pricelab.shop.figures import number
from pricelab.shop.money import minor_unit, show_money

TICKS = (1, 2, 3, 6, 12, 24, 48, 96, 144, 288, 500, 1000, 2000, 5000)
"""Quantities that are named along an axis of pieces where no list names others."""


@dataclass(frozen=True)
class Axis:
    """One axis: `title` with its unit, limits, and each tick with its words."""

    title: str
    low: float
    high: float
    ticks: tuple[float, ...] = ()
    words: tuple[str, ...] = ()
    log: bool = False
    grid: bool = False

    @classmethod
    def ticked(cls, title: str, low: float, high: float, ticks, say=number, **more) -> "Axis":
        """An axis with ticks in the words that `say` makes of them."""
        return cls(title, low, high, tuple(map(float, ticks)), tuple(map(say, ticks)), **more)


@dataclass(frozen=True)
class Frame:
    """The still part: two axes on a sheet of `width` × `height` points, and its margins.

    `right` is the room for labels at the ends of lines, `top` for a finding of two lines.
    `behind` is what else stands still, for the picture's own backdrop to draw; a value.
    """

    x: Axis
    y: Axis
    width: float = 760
    height: float = 400
    left: float = 62
    right: float = 150
    top: float = 66
    bottom: float = 48
    behind: Hashable = None

    def __post_init__(self):  # long figures push the axes to the right
        widest = max((text_width(words, look.SMALL) for words in self.y.words), default=0)
        object.__setattr__(self, "left", max(self.left, float(np.ceil(widest + 6))))

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, bottom, width and height of the axes, as shares of the sheet."""
        across = self.width - self.left - self.right
        up = self.height - self.top - self.bottom
        w, h = self.width, self.height
        return self.left / w, self.bottom / h, across / w, up / h


def new_axes(frame: Frame):
    """Empty axes on a sheet of the frame's size; `set_frame` fills in the rest."""
    figure = Figure((frame.width / POINTS_PER_INCH, frame.height / POINTS_PER_INCH), dpi=72)
    return figure.add_axes(frame.box)


def set_frame(frame: Frame, ax):
    """Give `ax` the frame's limits, ticks and words, and return it."""
    if frame.x.log:
        ax.set_xscale("log")
    if frame.y.log:
        ax.set_yscale("log")
    ax.set(xlim=(frame.x.low, frame.x.high), ylim=(frame.y.low, frame.y.high))
    for axis, here, length in ((frame.x, ax.xaxis, 3), (frame.y, ax.yaxis, 0)):
        here.set_major_locator(FixedLocator(axis.ticks))
        here.set_minor_locator(NullLocator())
        here.set_ticks(axis.ticks, axis.words)
        if axis.grid:
            here.grid(True, color=look.HAIRLINE, linewidth=0.8)
        ink = {"color": look.SOFT_INK, "labelcolor": look.SOFT_INK, "labelsize": look.SMALL}
        here.set_tick_params(length=length, width=0.8, pad=4, **ink)
    ax.spines[["top", "right", "left"]].set_visible(False)
    ax.spines["bottom"].set(color=look.SOFT_INK, linewidth=0.8, zorder=0.6)
    ax.set_xlabel(frame.x.title, loc="right", labelpad=5)
    # The words of the y axis stand over its figures.
    soft = {"color": look.SOFT_INK, "size": look.SMALL, "gid": "axis"}
    write(ax, frame.y.title, (0, 1), (-34, 8), "left bottom", coords="axes fraction", **soft)
    return ax


# ---- axes of the usual kinds ----------------------------------------------------------


def round_ticks(low: float, high: float, steps: int, *, whole: bool = False) -> list[float]:
    """Multiples of a round step that cuts the span in about `steps`, from under it to over it.

    >>> round_ticks(0, 37, 4), round_ticks(0, 0.9, 4), round_ticks(0, 2, 4, whole=True)
    ([0.0, 10.0, 20.0, 30.0, 40.0], [0.0, 0.25, 0.5, 0.75, 1.0], [0.0, 1.0, 2.0])
    """
    locator = MaxNLocator(steps, steps=[1, 2, 2.5, 5, 10], integer=whole, min_n_ticks=1)
    return (np.round(locator.tick_values(low, high), 9) + 0.0).tolist()  # no -0


def plain_axis(
    title: str, low: float, high: float, *, steps: int = 5, whole: bool = False, grid: bool = True
) -> Axis:
    """An axis of plain figures at round steps; of `whole` ones where half of one is none."""
    ticks = round_ticks(low, high, steps, whole=whole)
    return Axis.ticked(title, ticks[0], ticks[-1], ticks, grid=grid)


def money_axis(title: str, low: float, high: float, currency: str, *, steps: int = 4) -> Axis:
    """An axis of money from under `low` to over `high`, at round amounts of whole coins."""
    coins = 10 ** minor_unit(currency)
    counts = round_ticks(low * coins, max(high, low + 1 / coins) * coins, steps, whole=True)
    ticks = [count / coins for count in counts]
    whole = all(map(float.is_integer, ticks))

    def say(tick: float) -> str:
        return show_amount(tick, currency, whole=whole)

    return Axis.ticked(title, ticks[0], ticks[-1], ticks, say, grid=True)


def show_amount(amount: float, currency: str, *, whole: bool = False) -> str:
    """Money on an axis: without its cents where all ticks are whole.

    >>> show_amount(20, "USD", whole=True), show_amount(2.5, "USD")
    ('$20', '$2.50')
    """
    words = show_money(amount, currency)
    decimals = minor_unit(currency)
    return words[: -decimals - 1] if whole and decimals else words


def quantity_axis(
    quantities, ticks: Iterable[int] = TICKS, title="pieces in the order", *, wide: float = 470
) -> Axis:
    """An axis of rising quantities by ratio, as quantity breaks go, with ticks where told.

    Of ticks too near to each other on axes `wide` points wide the first stays, but at the end
    the last quantity is named.
    """
    low, high = max(1, int(quantities[0])), int(quantities[-1])
    inside = sorted({int(tick) for tick in (*ticks, high) if low <= tick <= high})
    points = wide / np.log(high / low) if high > low else wide
    half = {tick: text_width(number(tick), look.SMALL) / 2 for tick in inside}

    def near(tick: int, after: int) -> bool:
        return points * np.log(after / tick) < max(wide / 24, half[tick] + half[after] + 5)

    kept: list[int] = []
    for tick in inside:
        if tick == high:
            while len(kept) > 1 and near(kept[-1], tick):
                kept.pop()
        if not kept or not near(kept[-1], tick):
            kept.append(tick)
    return Axis.ticked(title, low * 0.97, max(high, low + 1), kept, log=True)


# ---- curves that hold from one quantity to the next -----------------------------------


def stairs(ax, quantities, *curves) -> tuple[np.ndarray, ...]:
    """Curves that hold from each quantity up to the next, as corners: x, then each curve.

    Quantities at which no curve changes by a third of a point of height on `ax` (what no eye
    can tell) are left out: a thousand quantities at nine prices are eighteen points.
    """
    quantities, levels = np.asarray(quantities), [np.asarray(curve) for curve in curves]
    low, high = ax.get_ylim()
    third = (high - low) * 0.35 / size_in_points(ax)[1]
    changes = np.append(True, np.zeros(quantities.size - 1, bool))
    for y in levels:
        cut = np.nan_to_num(np.floor(y / third), nan=np.inf) if y.dtype.kind == "f" else y
        changes[1:] |= cut[1:] != cut[:-1]
    x = np.repeat(np.append(quantities[changes], quantities[-1]), 2)[1:-1]
    return (x, *(np.repeat(y[changes], 2) for y in levels))
