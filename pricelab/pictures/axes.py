"""The still part of a picture: its limits, its ticks and the words on its axes.

A `Frame` is a value that can be compared, so a picture that changes under a reader's hand
draws its still part again only when a limit or a tick has changed. Limits go by round
steps, which keeps them still while a control moves a little.
"""

from collections.abc import Hashable, Iterable
from dataclasses import dataclass

import numpy as np

from pricelab.pictures import look
from pricelab.pictures.look import text_width, wrapped
from pricelab.shop.figures import number
from pricelab.shop.money import minor_unit, show_money

POINTS_PER_INCH = 72

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
    from matplotlib.figure import Figure

    figure = Figure((frame.width / POINTS_PER_INCH, frame.height / POINTS_PER_INCH), dpi=72)
    return figure.add_axes(frame.box)


def set_frame(frame: Frame, ax):
    """Give `ax` the frame's limits, ticks and words, and return it."""
    from matplotlib.ticker import FixedLocator, NullLocator

    for name, axis, here in (("x", frame.x, ax.xaxis), ("y", frame.y, ax.yaxis)):
        if axis.log:
            getattr(ax, f"set_{name}scale")("log")
        getattr(ax, f"set_{name}lim")(axis.low, axis.high)
        here.set_major_locator(FixedLocator(axis.ticks))
        here.set_minor_locator(NullLocator())
        here.set_ticks(axis.ticks, axis.words)
        if axis.grid:
            here.grid(True, color=look.HAIRLINE, linewidth=0.8)
        ink = {"color": look.SOFT_INK, "labelcolor": look.SOFT_INK, "labelsize": look.SMALL}
        here.set_tick_params(length=3 if name == "x" else 0, width=0.8, pad=4, **ink)
    for side in ("top", "right", "left"):
        ax.spines[side].set_visible(False)
    ax.spines["bottom"].set(color=look.SOFT_INK, linewidth=0.8, zorder=0.6)
    ax.set_xlabel(frame.x.title, loc="right", labelpad=5)
    # The words of the y axis stand over its figures.
    _above(ax, frame.y.title, -34, 8, color=look.SOFT_INK, fontsize=look.SMALL, gid="axis")
    return ax


def put_title(ax, words: str, width: float, left: float) -> None:
    """The finding, above the axes and flush with the sheet's left edge.

    In at most two lines, or in smaller letters.
    """
    size, lines = look.TITLE, wrapped(words, width - 8, look.TITLE, bold=True)
    if len(lines) > 2:
        size, lines = look.LABEL, wrapped(words, width - 8, look.LABEL, bold=True)
    how = {"fontsize": size, "fontweight": "bold", "linespacing": 1.2}
    _above(ax, "\n".join(lines), 1 - left, 28, **how)


def _above(ax, words, across, up, **text):
    """Words that begin so many points from the axes' upper left corner."""
    ax.text(0, 1, words, transform=moved(ax, across, up), ha="left", va="bottom", **text)


def moved(ax, across: float, up: float):
    """The axes' own places, 0 to 1 each way, moved by so many points, whatever the figure."""
    from matplotlib.transforms import ScaledTranslation

    shift = (across / POINTS_PER_INCH, up / POINTS_PER_INCH)
    return ax.transAxes + ScaledTranslation(*shift, ax.figure.dpi_scale_trans)


def size_in_points(ax) -> tuple[float, float]:
    """Width and height of axes."""
    wide, tall = ax.bbox.size * POINTS_PER_INCH / ax.figure.dpi
    return float(wide), float(tall)


def in_points(ax, x, y) -> np.ndarray:
    """Places of the data (n,), counted from the axes' lower left corner: shape (n, 2)."""
    places = ax.transData.transform(np.column_stack(np.broadcast_arrays(x, y)))
    return (places - ax.bbox.min) * POINTS_PER_INCH / ax.figure.dpi


# ---- axes of the usual kinds ----------------------------------------------------------


def round_step(span: float, steps: int) -> float:
    """The round step (1, 2, 2.5 or 5 times a power of ten) that cuts `span` in about `steps`.

    >>> round_step(37, 4), round_step(0.9, 4)
    (10.0, 0.25)
    """
    raw = max(span, 1e-9) / steps
    power = 10.0 ** np.floor(np.log10(raw))
    return float(next(k * power for k in (1, 2, 2.5, 5, 10) if k * power >= raw * (1 - 1e-9)))


def money_axis(title: str, low: float, high: float, currency: str, *, steps: int = 4) -> Axis:
    """An axis of money from under `low` (0 unless told) to over `high`, at round amounts."""
    coin = 10.0 ** -minor_unit(currency)
    step = max(round_step(max(high - low, coin), steps), coin)
    while abs(step / coin - round(step / coin)) > 1e-6:  # 0.025 is no amount of money
        step = round_step(step * 1.01, 1)
    ticks = _round_ticks(low, high, step)

    def say(tick: float) -> str:
        return show_amount(tick, currency, whole=step == round(step))

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
    title: str, low: int, high: int, ticks: Iterable[int], *, wide: float = 470
) -> Axis:
    """An axis of quantities by ratio, as quantity breaks go, with ticks where they are told.

    Of ticks too near to each other on axes `wide` points wide the first stays, but at the end
    the last.
    """
    low, high = max(1, int(low)), int(high)
    inside = sorted({int(t) for t in ticks if low <= t <= high})
    points = wide / np.log(high / low) if high > low else wide
    half = {tick: text_width(number(tick), look.SMALL) / 2 for tick in inside}

    def near(tick: int, after: int) -> bool:
        return points * np.log(after / tick) < max(wide / 24, half[tick] + half[after] + 5)

    kept: list[int] = []
    for tick in inside:
        if tick == inside[-1]:  # the end of the axis is the one that is named
            while len(kept) > 1 and near(kept[-1], tick):
                kept.pop()
        if not kept or not near(kept[-1], tick):
            kept.append(tick)
    return Axis.ticked(title, low * 0.97, max(high, low + 1), kept, log=True)


def plain_axis(
    title: str, low: float, high: float, *, steps: int = 5, whole: bool = False, grid: bool = True
) -> Axis:
    """An axis of plain figures at round steps; of `whole` ones where half of one is none."""
    step = round_step(high - low, steps)
    ticks = _round_ticks(low, high, np.ceil(step) if whole else step)
    return Axis.ticked(title, ticks[0], ticks[-1], ticks, grid=grid)


def _round_ticks(low: float, high: float, step: float) -> tuple[float, ...]:
    """Multiples of `step`, from the last one not above `low` to the first not below `high`."""
    first, last = np.floor(low / step + 1e-9), np.ceil(high / step - 1e-9)
    return tuple((np.round(np.arange(first, last + 1) * step, 9) + 0.0).tolist())  # no -0


def stairs(quantities, *curves, tolerance: float = 0.0) -> tuple[np.ndarray, ...]:
    """Curves that hold from each quantity up to the next, as corners: x, then each curve.

    Quantities at which no curve changes (by `tolerance`, in the curves' unit) are left out,
    so that a thousand quantities at nine prices are eighteen points.

    >>> [corners.tolist() for corners in stairs([1, 2, 3, 4], [9, 9, 5, 5])]
    [[1, 3, 3, 4], [9, 9, 5, 5]]
    """
    quantities = np.asarray(quantities)
    levels = [np.asarray(curve) for curve in curves]
    changes = np.zeros(quantities.size, bool)
    changes[0] = True
    for y in levels:
        cut = np.floor(y / tolerance) if tolerance and y.dtype.kind == "f" else y
        changes[1:] |= (cut[1:] != cut[:-1]) & ~((cut[1:] != cut[1:]) & (cut[:-1] != cut[:-1]))
    x = np.repeat(np.append(quantities[changes], quantities[-1]), 2)[1:-1]
    return (x, *(np.repeat(y[changes], 2) for y in levels))


def fine(ax) -> float:
    """The money that a third of a point of height stands for: what no eye can tell."""
    low, high = ax.get_ylim()
    return (high - low) * 0.35 / size_in_points(ax)[1]
