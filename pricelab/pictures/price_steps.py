"""What a piece costs a client by the number taken: one decoration's steps, others beside it."""

from dataclasses import dataclass

import numpy as np

from pricelab.lists.better_off import better_off
from pricelab.pictures import look
from pricelab.pictures.axes import Frame, money_axis, quantity_axis
from pricelab.pictures.labels import dot, label_ends, write
from pricelab.pictures.picture import Description, InMoney, Picture
from pricelab.shop.figures import number, pieces
from pricelab.shop.money import show_money
from pricelab.shop.price_list import PriceList


@dataclass(frozen=True)
class Steps:
    """The printed prices of one decoration: `prices[i]` a piece from `starts[i]` on.

    `better` holds (from, until, buy): so many pieces cost no less in all than `buy` do.
    """

    name: str
    thread: int
    starts: tuple[int, ...]
    last: int
    prices: tuple[float, ...]
    better: tuple[tuple[int, int, int], ...] = ()

    @classmethod
    def of(cls, name: str, thread: int, listed: PriceList) -> "Steps":
        """The steps of a list that has one size band."""
        starts, prices = tuple(listed.starts.tolist()), tuple(listed.prices[0].tolist())
        better = tuple((found.quantity, found.until, found.buy) for found in better_off(listed))
        return cls(name, thread, starts, listed.last, prices, better)

    def price_at(self, quantity: int) -> float | None:
        """The price a piece of so many, None off the list."""
        if not self.starts[0] <= quantity <= self.last:
            return None
        return self.prices[int(np.searchsorted(self.starts, quantity, side="right")) - 1]

    @property
    def ends(self) -> tuple[int, ...]:
        """The last quantity of each step."""
        return (*(start - 1 for start in self.starts[1:]), self.last)

    def corners(self) -> tuple[np.ndarray, np.ndarray]:
        """Quantities and prices of the line's corners."""
        x = np.repeat([*self.starts, self.last], 2)[1:-1]
        return x, np.repeat(self.prices, 2)


@dataclass(frozen=True)
class PriceSteps(InMoney):
    """Decorations beside one another, the `chosen` one first; `marked` pieces are asked for."""

    at: str
    currency: str
    marked: int
    chosen: Steps | None
    others: tuple[Steps, ...] = ()

    @property
    def all(self) -> tuple[Steps, ...]:
        """Every line, the chosen one first."""
        return (self.chosen, *self.others) if self.chosen else self.others


def frame(values: PriceSteps) -> Frame:
    """Quantities by ratio with a tick at every step; money from nothing."""
    lines = values.all
    starts = values.chosen.starts if values.chosen else (1, 12, 24, 48, 96)
    first = min(values.marked, values.chosen.starts[0] if values.chosen else 1)
    last = max((steps.last for steps in lines), default=100)
    # The dear first pieces of other decorations may run off the top.
    tops = [1.12 * max(values.chosen.prices[:2]) if values.chosen else 1.0]
    for steps in lines:
        here = steps.price_at(values.marked)
        tops.append(1.12 * (here if here is not None else min(steps.prices)))
    shaded = values.chosen is not None and values.chosen.better
    x_words = "pieces (shaded: the next step costs no more in all)" if shaded else "pieces"
    x = quantity_axis((first, last), starts, x_words, wide=290)
    y = money_axis(f"{values.currency} a piece", 0, max(tops), values.currency, steps=5)
    sheet = {"width": 480, "height": 310, "left": 50, "right": 140, "top": 68, "bottom": 44}
    return Frame(x, y, behind=(values.chosen, values.others, values.currency), **sheet)


def backdrop(frame: Frame, ax) -> None:
    """The steps with their names, the chosen one's prices over them, and what is shaded."""
    chosen, others, currency = frame.behind
    _, top = ax.get_ylim()
    ends = []
    for steps in (*reversed(others), *([chosen] if chosen else [])):
        thread = look.thread(steps.thread)
        how = {"linewidth": 1.5, "linestyle": thread.dash, "zorder": 2}
        if steps is chosen:
            how = {"linewidth": 3.4, "linestyle": "solid", "zorder": 3}
        x, y = steps.corners()
        ax.plot(x, np.minimum(y, top * 1.5), color=thread.colour, **how)
        ends.append((steps.prices[-1], steps.name, thread.colour))
    if chosen:
        ranges = [(first, until + 1 - first) for first, until, _ in chosen.better]
        ax.broken_barh(ranges, (0, top), color=look.COPPER_TINT, linewidth=0, zorder=0.5)
        for step in range(len(chosen.starts)):
            _say_price(chosen, currency, ax, step)
    label_ends(ax, ends)


def marks(values: PriceSteps, ax) -> None:
    """The pieces asked for: an upright line with its words at the foot, and what they cost."""
    _, top = ax.get_ylim()
    _mark(values, ax)
    for steps in reversed(values.all):
        thread, here = look.thread(steps.thread), steps.price_at(values.marked)
        if here is not None and here <= top:
            size, zorder = (11, 5) if steps is values.chosen else (6, 2.5)
            how = {"marker": thread.marker, "rim": 1.4, "zorder": zorder}
            dot(ax, values.marked, here, thread.colour, size, **how)


def _mark(values: PriceSteps, ax) -> None:
    low, high = ax.get_xlim()
    at = min(max(values.marked, low), high)
    ax.axvline(at, color=look.INK, linewidth=1.1, zorder=1.5)
    share = np.log(at / low) / np.log(high / low)
    shift, align = ((6, 9), "left center") if share < 0.75 else ((-6, 9), "right center")
    how = {"weight": "bold", "zorder": 6, "bbox": look.ground()}
    write(ax, pieces(values.marked), (at, 0), shift, align, **how)


def _say_price(chosen: Steps, currency: str, ax, step: int) -> None:
    """The price over its step, where there is room for it."""
    start, price = chosen.starts[step], chosen.prices[step]
    end = chosen.starts[step + 1] if step + 1 < len(chosen.starts) else chosen.last
    low, high = ax.get_xlim()
    words = show_money(price, currency)
    wide = np.log(end / start) / np.log(high / low)
    if wide < 0.0225 * len(words) or price > ax.get_ylim()[1]:
        return
    colour, at = look.darker(look.thread(chosen.thread).colour), (np.sqrt(start * end), price)
    write(ax, words, at, (0, 8), "center bottom", color=colour, weight="bold", zorder=6)


def describe(values: PriceSteps) -> Description:
    """What a piece costs at the marked quantity and at the next step; every step in figures."""
    rows = []
    for steps in values.all:
        for start, end, price in zip(steps.starts, steps.ends, steps.prices, strict=True):
            worth = (
                f"from {number(first)} on {number(buy)} cost no more"
                for first, _, buy in steps.better
                if start <= first <= end
            )
            rows.append((steps.name, pieces(start, end), values.show(price), next(worth, "")))
    columns = ("Decoration", "Pieces", "Each", "Worth knowing")
    return Description(_finding(values), columns, tuple(rows))


def _finding(values: PriceSteps) -> str:
    chosen = values.chosen
    if chosen is None:
        return f"Other decorations of {pieces(values.marked)} on the same piece"
    here = chosen.price_at(values.marked)
    if here is None:
        return f"{values.at}: prices go from {number(chosen.starts[0])} to {pieces(chosen.last)}"
    money = values.show(here)
    for first, until, buy in chosen.better:
        if first <= values.marked <= until:
            return f"{number(buy)} pieces cost no more in all than {number(values.marked)}"
    each = f"{pieces(values.marked)}: {money} each"
    for start, price in zip(chosen.starts, chosen.prices, strict=True):
        if start > values.marked and price < here:
            return f"{each}; from {number(start)} on {values.show(price)}"
    return f"{each}, our lowest price for this"


PRICE_STEPS = Picture("price-steps", frame, marks, describe, backdrop)
