"""How sure is a profit: its distribution over many draws, and what moves it most."""

from dataclasses import dataclass, replace

import numpy as np

from pricelab.analysis.risk import Outcome, Swing
from pricelab.pictures import look
from pricelab.pictures.axes import Axis, Frame, money_axis
from pricelab.pictures.labels import darker, note
from pricelab.pictures.picture import Description, InMoney, Picture
from pricelab.shop.figures import number, percent
from pricelab.shop.tolerance import TOLERANCE

_BINS = 60


@dataclass(frozen=True, eq=False)
class Profits(InMoney):
    """The profits of an order, drawn many times over; `expected` is the cost sheet's."""

    name: str
    currency: str
    outcome: Outcome
    expected: float


def frame(values: Profits) -> Frame:
    """Money across, from the rare worst to the rare best; how often goes up, without figures."""
    profits = values.outcome.profits
    low, high = np.quantile(profits, [0.001, 0.999])
    x = replace(_profit_axis(values.currency, low, high, values.expected), grid=False)
    return Frame(x, Axis("how often", 0, 1.18, (), ()), height=290, left=40, right=40)


def marks(values: Profits, ax) -> None:
    """Bars of how often, losses hatched; the 5–95 % range and what the cost sheet says."""
    profits, (low, high) = values.outcome.profits, ax.get_xlim()
    edges = np.linspace(low, high, _BINS + 1)
    if low < 0 < high:  # a bar lies on one side of nothing or on the other
        edges = np.sort(np.append(edges[np.abs(edges) > (high - low) / _BINS / 2], 0.0))
    counts = np.histogram(profits, edges)[0] / np.diff(edges)
    height = counts / counts.max() if counts.any() else counts
    losing = edges[:-1] < -TOLERANCE
    for these, face, line, hatch in (
        (losing, look.COPPER_TINT, look.COPPER, "///"),
        (~losing, look.NAVY_TINT, look.NAVY, None),
    ):
        if these.any():
            x = np.repeat(edges[np.append(these, False) | np.append(False, these)], 2)[1:-1]
            ax.fill_between(
                x,
                np.repeat(height[these], 2),
                facecolor=face,
                edgecolor=line,
                hatch=hatch,
                linewidth=0.8,
                zorder=1,
            )
    five, ninety_five = values.outcome.likely_range
    ax.plot(
        [five, ninety_five],
        [1.06, 1.06],
        color=look.INK,
        linewidth=1.4,
        marker="|",
        markersize=9,
        zorder=3,
    )
    for at, room, shift, align in (
        (five, five - low, -5, "right"),
        (ninety_five, high - ninety_five, 5, "left"),
    ):
        words, place = values.show(at), (at, 1.06)
        if room < 0.1 * (high - low):  # none beside the range: over its end
            note(ax, words, place, (0, 5), ha="center", va="bottom", color=look.INK, zorder=4)
        else:
            note(ax, words, place, (shift, 0), ha=align, va="center", color=look.INK, zorder=4)
    ax.axvline(
        values.expected,
        ymax=1.0 / 1.18,
        color=look.COPPER,
        linewidth=1.8,
        linestyle=(0, (6, 2)),
        zorder=2,
    )
    note(
        ax,
        "cost sheet",
        (values.expected, 0.04),
        (5, 0),
        color=darker(look.COPPER),
        fontsize=look.SMALL,
        va="bottom",
        ha="left",
        zorder=4,
    )


def describe(values: Profits) -> Description:
    """The chance of a loss and the likely range."""
    outcome = values.outcome
    low, high = map(values.show, outcome.likely_range)
    loss = outcome.chance_of_loss
    finding = (
        f"{values.name}: profit is most likely {low} to {high}; "
        f"{'it did not lose once' if not loss else f'the chance of a loss is {percent(loss)}'}"
    )
    rows = (
        ("draws", number(outcome.draws)),
        ("chance of a loss", percent(loss, 2)),
        ("one in twenty below", low),
        ("middle", values.show(float(np.median(outcome.profits)))),
        ("one in twenty above", high),
        ("by the cost sheet", values.show(values.expected)),
    )
    return Description(finding, ("Of the order", "Profit"), rows)


PROFITS = Picture("profits", frame, marks, describe)


def _profit_axis(currency: str, *figures: float) -> Axis:
    """An axis that holds all the figures, with room around one that is sure."""
    low, high = min(figures), max(figures)
    if high - low < 1:
        low, high = low - 0.5, high + 0.5
    return money_axis(f"{currency} of profit on the order", low, high, currency)


@dataclass(frozen=True, eq=False)
class Tornado(InMoney):
    """What each doubt alone does to the profit, the widest first."""

    name: str
    currency: str
    swings: tuple[Swing, ...]
    expected: float

    @property
    def words(self) -> list[str]:
        """The drivers by name."""
        return [_DRIVERS[swing.driver] for swing in self.swings]


_DRIVERS = {"minutes": "minutes", "prices": "suppliers' prices", "spoiled": "spoiled pieces"}


def _tornado_frame(values: Tornado) -> Frame:
    ends = [end for swing in values.swings for end in (swing.low, swing.high)]
    money = _profit_axis(values.currency, *ends, values.expected)
    pad = (money.high - money.low) * 0.14  # for the figures at the bars' ends
    x = replace(money, low=money.low - pad, high=money.high + pad)
    count = len(values.swings)
    y = Axis("", -0.6, count - 0.4, tuple(map(float, range(count))), tuple(values.words[::-1]))
    return Frame(x, y, height=120 + 44 * count, left=132, right=40)


def _tornado_marks(values: Tornado, ax) -> None:
    """A bar from each driver's poor end to its good one; the rule is the cost sheet's profit."""
    for at, swing in enumerate(values.swings[::-1]):
        low, high = sorted((swing.low, swing.high))
        for face, start, end in (
            (look.COPPER, low, min(high, values.expected)),
            (look.NAVY, max(low, values.expected), high),
        ):
            if end > start:
                ax.barh(at, end - start, 0.5, left=start, color=face, zorder=2)
        for end, shift, align in ((low, -5, "right"), (high, 5, "left")):
            note(ax, values.show(end), (end, at), (shift, 0), ha=align, va="center", zorder=3)
    ax.axvline(values.expected, color=look.INK, linewidth=1, zorder=3)


def _tornado_describe(values: Tornado) -> Description:
    rows = tuple(
        (
            words,
            values.show(min(s.low, s.high)),
            values.show(max(s.low, s.high)),
            values.show(s.width),
        )
        for words, s in zip(values.words, values.swings, strict=True)
    )
    columns = ("Alone", "Poor end", "Good end", "Swing")
    if not values.swings or values.swings[0].width < 0.005:
        return Description(f"{values.name}: nothing is in doubt", columns, rows)
    most = values.swings[0]
    return Description(
        f"{values.name}: {values.words[0]} move the profit most, by {values.show(most.width)} "
        "from the poor end to the good one",
        columns,
        rows,
    )


TORNADO = Picture("tornado", _tornado_frame, _tornado_marks, _tornado_describe)
