"""What a price wins: the chance by margin, and the profit to expect from a quote."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pricelab.jobs.price_response import Best, Response
from pricelab.pictures import look
from pricelab.pictures.axes import Axis, Frame, money_axis
from pricelab.pictures.labels import dot, write
from pricelab.pictures.picture import Description, InMoney, Picture
from pricelab.shop.figures import number, percent

_GROUPS = 8
"""Quotes are shown in so many groups of about as many: their share that was won."""

_PER = 100
"""Profit is told for so much money of cost."""


@dataclass(frozen=True, eq=False)
class Priced(InMoney):
    """A `response` over prices in multiples of the cost, of which fees take the share `fees`.

    `target` is the margin the shop aims at today; `name` says which quotes these are. `share`
    is the part of the cost that counts: 1 for profit, less where what does not move with an
    order is left out, for contribution.
    """

    name: str
    currency: str
    response: Response
    fees: float
    target: float
    share: float = 1.0

    @cached_property
    def best(self) -> Best:
        """The best price, in multiples of the whole cost."""
        return self.response.best(self.share / (1 - self.fees))

    @property
    def what(self) -> str:
        """What is expected of a quote."""
        return "profit" if self.share == 1 else "contribution"

    def margin(self, price) -> np.ndarray:
        """The margin that a price in multiples of the cost leaves."""
        return 1 - self.fees - 1 / np.asarray(price, float)

    def price(self, margin) -> np.ndarray:
        """The price in multiples of the cost that leaves a margin."""
        return 1 / (1 - self.fees - np.asarray(margin, float))

    def expected(self, price, chance=None) -> np.ndarray:
        """What to expect for 100 of cost: by a chance of its own, or the fitted one."""
        price = np.asarray(price, float)
        chance = self.response.chance(price) if chance is None else chance
        return _PER * chance * ((1 - self.fees) * price - self.share)

    @property
    def span(self) -> tuple[float, float]:
        """Margins from the least to the most that was quoted, and to the best where it is more."""
        low, high = self.margin([self.response.prices.min(), self.response.prices.max()])
        best, target = float(self.margin(self.best.price)), self.target
        return float(min(low, target)), float(max(high, best + 0.02, target))

    @property
    def x(self) -> np.ndarray:
        """Margins along the axis."""
        return np.linspace(*self.span, 80)


def _margins(values: Priced) -> Axis:
    low, high = values.span
    ticks = _twentieths(low, high)
    if len(ticks) > 9:
        ticks = ticks[np.round(ticks * 20) % 2 == 0]
    return Axis.ticked("margin quoted", low, high, ticks, lambda tick: percent(tick, 0))


def _twentieths(low: float, high: float) -> np.ndarray:
    return np.arange(np.ceil(low * 20), np.floor(high * 20) + 1) / 20


def chance_frame(values: Priced) -> Frame:
    """Margins across, chances from 0 % to 100 %."""
    y = Axis.ticked("quotes won", 0, 1, (0, 0.25, 0.5, 0.75, 1), percent, grid=True)
    return Frame(_margins(values), y, height=320, right=40)


def chance_marks(values: Priced, ax) -> None:
    """The fitted chance in its band, and a dot for each group of quotes."""
    x = values.x
    low, high = values.response.chance_range(values.price(x))
    ax.fill_between(x, low, high, **look.GAIN)
    ax.plot(x, values.response.chance(values.price(x)), color=look.NAVY, linewidth=2, zorder=2)
    small = {"size": look.SMALL, "color": look.SOFT_INK, "zorder": 3}
    for margin, won, count in _groups(values):
        dot(ax, margin, won, look.TEAL, 8)
        write(ax, str(count), (margin, won), (0, 8), "center", **small)


def _groups(values: Priced) -> list[tuple[float, float, int]]:
    """Groups of quotes by price: mean margin, share won, how many."""
    order = np.argsort(values.response.prices, kind="stable")
    margins, won = values.margin(values.response.prices[order]), values.response.won[order]
    return [
        (float(margins[part].mean()), float(won[part].mean()), len(part))
        for part in np.array_split(np.arange(len(order)), _GROUPS)
        if len(part)
    ]


def describe_chance(values: Priced) -> Description:
    """What a point of margin costs in quotes; share won by group."""
    won = values.response.won
    at = values.price(np.array([values.target, values.target + 0.01]))
    here, more = values.response.chance(at)
    finding = (
        f"{values.name}: {won.sum()} of {len(won)} quotes won; at your target of "
        f"{percent(values.target)} about {percent(here, 0)}, and one more point of margin loses "
        f"{number(round((here - more) * 100, 1))} points of them"
    )
    rows = tuple(
        (percent(margin), str(count), percent(share, 0)) for margin, share, count in _groups(values)
    )
    return Description(finding, ("Margin, mean", "Quotes", "Won"), rows)


def expected_frame(values: Priced) -> Frame:
    """Margins across, money from nothing."""
    top = float(values.expected(values.best.price))
    title = f"{values.currency} of {values.what} to expect for each {_PER} of cost quoted"
    y = money_axis(title, 0, top * 1.2, values.currency)
    return Frame(_margins(values), y, height=330, right=40)


def expected_marks(values: Priced, ax) -> None:
    """The profit in its band, the flat top marked, the best price and today's target named."""
    x, price = values.x, values.price(values.x)
    top = ax.get_ylim()[1]
    chances = values.response.chance_range(price)
    low, high = (np.clip(values.expected(price, chance), 0, top) for chance in chances)
    flat = values.margin(np.array(values.best.flat))
    ax.axvspan(*flat, color=look.COPPER_TINT, linewidth=0, zorder=0.8)
    ax.fill_between(x, low, high, alpha=0.8, **look.GAIN)
    ax.plot(x, np.clip(values.expected(price), 0, None), color=look.NAVY, linewidth=2, zorder=2)
    best = float(values.margin(values.best.price))
    for margin, words, colour, marker, up in (
        (values.target, "target today", look.WINE, "s", -22),
        (best, f"best, {percent(best)}", look.NAVY, "o", 14),
    ):
        height = float(values.expected(values.price(margin)))
        dot(ax, margin, height, colour, 9, marker=marker, zorder=4)
        bold = {"color": colour, "weight": "bold", "zorder": 4}
        write(ax, words, (margin, height), (0, up), "center", **bold)
    small = {"color": look.OCHRE, "size": look.SMALL, "zorder": 3}
    write(ax, "within 1 % of the best", (float(flat.mean()), 0), (0, 6), "center", **small)


def describe_expected(values: Priced) -> Description:
    """The best margin and how flat the top is; profit by margin."""
    best = float(values.margin(values.best.price))
    flat = [percent(x) for x in values.margin(np.array(values.best.flat))]
    finding = (
        f"{values.name}: a margin of {percent(best)} brings most {values.what}, and any from "
        f"{flat[0]} to {flat[1]} within 1 % as much"
    )
    shown = _twentieths(*values.span)
    price = values.price(shown)
    columns_of = (shown, values.response.chance(price), values.expected(price).tolist())
    rows = tuple(
        (percent(margin, 0), percent(chance, 0), values.show(profit))
        for margin, chance, profit in zip(*columns_of, strict=True)
    )
    columns = ("Margin", "Chance", f"{values.what.capitalize()} for {_PER} of cost")
    return Description(finding, columns, rows)


CHANCE = Picture("chance", chance_frame, chance_marks, describe_chance)
EXPECTED = Picture("expected", expected_frame, expected_marks, describe_expected)
