"""How sure is a profit: its distribution over many draws, and what moves it most."""

from dataclasses import dataclass, replace

import numpy as np

from pricelab.analysis.risk import chance_of_loss, likely_range
from pricelab.pictures import look
from pricelab.pictures.axes import Axis, Frame, money_axis
from pricelab.pictures.labels import write
from pricelab.pictures.picture import Description, InMoney, Picture
from pricelab.shop.figures import number, percent
from pricelab.shop.tolerance import TOLERANCE

_BINS = 60


@dataclass(frozen=True, eq=False)
class Profits(InMoney):
    """The profits of an order, one for each draw; `expected` is the cost sheet's."""

    name: str
    currency: str
    profits: np.ndarray
    expected: float


def frame(values: Profits) -> Frame:
    """Money across, from the rare worst to the rare best; how often goes up, without figures."""
    profits = values.profits
    low, high = np.quantile(profits, [0.001, 0.999])
    x = replace(_profit_axis(values.currency, low, high, values.expected), grid=False)
    return Frame(x, Axis("how often", 0, 1.18, (), ()), height=290, left=40, right=40)


def marks(values: Profits, ax) -> None:
    """Bars of how often, losses hatched; the 5–95 % range and what the cost sheet says."""
    profits, (low, high) = values.profits, ax.get_xlim()
    edges = np.linspace(low, high, _BINS + 1)
    if low < 0 < high:  # a bar lies on one side of nothing or on the other
        edges = np.sort(np.append(edges[np.abs(edges) > (high - low) / _BINS / 2], 0.0))
    counts = np.histogram(profits, edges)[0] / np.diff(edges)
    height = counts / counts.max() if counts.any() else counts
    losing = edges[:-1] < -TOLERANCE
    for these, fill, ink in ((losing, look.LOSS, look.COPPER), (~losing, look.GAIN, look.NAVY)):
        if these.any():
            x = np.repeat(edges[np.append(these, False) | np.append(False, these)], 2)[1:-1]
            how = {**fill, "edgecolor": ink, "linewidth": 0.8}
            ax.fill_between(x, np.repeat(height[these], 2), **how)
    ends = likely_range(profits)
    bar = {"marker": "|", "markersize": 9, "linewidth": 1.4}
    ax.plot(ends, [1.06, 1.06], color=look.INK, zorder=3, **bar)
    sides = [(ends[0], (-5, 0), "right"), (ends[1], (5, 0), "left")]
    for at, shift, align in sides if values.show(ends[0]) != values.show(ends[1]) else sides[1:]:
        if min(at - low, high - at) < 0.1 * (high - low):  # no room beside the range: over its end
            write(ax, values.show(at), (at, 1.06), (0, 5), "center bottom", zorder=4)
        else:
            write(ax, values.show(at), (at, 1.06), shift, f"{align} center", zorder=4)
    line = {"linewidth": 1.8, "linestyle": look.DASHED, "zorder": 2}
    ax.axvline(values.expected, ymax=1.0 / 1.18, color=look.COPPER, **line)
    how = {"color": look.darker(look.COPPER), "size": look.SMALL, "zorder": 4}
    write(ax, "cost sheet", (values.expected, 0.04), (5, 0), "left bottom", **how)


def describe(values: Profits) -> Description:
    """The chance of a loss and the likely range."""
    low, high = map(values.show, likely_range(values.profits))
    loss = chance_of_loss(values.profits)
    likely = f"most likely {low} to {high}" if low != high else low
    finding = (
        f"{values.name}: profit is {likely}; "
        f"{'it did not lose once' if not loss else f'the chance of a loss is {percent(loss)}'}"
    )
    rows = (
        ("draws", number(values.profits.size)),
        ("chance of a loss", percent(loss, 2)),
        ("one in twenty below", low),
        ("middle", values.show(float(np.median(values.profits)))),
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
    """The profit at both ends of each doubt alone, the widest swing first."""

    name: str
    currency: str
    swings: dict[str, tuple[float, float]]
    expected: float

    @property
    def words(self) -> list[str]:
        """The drivers by name."""
        return [_DRIVERS[driver] for driver in self.swings]


_DRIVERS = {"minutes": "minutes", "prices": "suppliers' prices", "spoiled": "spoiled pieces"}


def _tornado_frame(values: Tornado) -> Frame:
    ends = [end for both in values.swings.values() for end in both]
    money = _profit_axis(values.currency, *ends, values.expected)
    pad = (money.high - money.low) * 0.14  # for the figures at the bars' ends
    x = replace(money, low=money.low - pad, high=money.high + pad)
    count = len(values.swings)
    y = Axis.ticked("", -0.6, count - 0.4, range(count), values.words[::-1].__getitem__)
    return Frame(x, y, height=120 + 44 * count, left=132, right=40)


def _tornado_marks(values: Tornado, ax) -> None:
    """A bar from each driver's poor end to its good one; the rule is the cost sheet's profit."""
    for at, (low, high) in enumerate(map(sorted, reversed(values.swings.values()))):
        for face, start, end in (
            (look.COPPER, low, min(high, values.expected)),
            (look.NAVY, max(low, values.expected), high),
        ):
            if end > start:
                ax.barh(at, end - start, 0.5, left=start, color=face, zorder=2)
        for end, across, align in ((low, -5, "right center"), (high, 5, "left center")):
            write(ax, values.show(end), (end, at), (across, 0), align, zorder=3)
    ax.axvline(values.expected, color=look.INK, linewidth=1, zorder=3)


def _tornado_describe(values: Tornado) -> Description:
    ends = [(low, high, high - low) for low, high in map(sorted, values.swings.values())]
    rows = tuple(
        (words, *map(values.show, three)) for words, three in zip(values.words, ends, strict=True)
    )
    finding = f"{values.name}: nothing is in doubt"
    if ends and ends[0][2] >= 0.005:
        finding = (
            f"{values.name}: {values.words[0]} move the profit most, by "
            f"{values.show(ends[0][2])} from the poor end to the good one"
        )
    return Description(finding, ("Alone", "Poor end", "Good end", "Swing"), rows)


TORNADO = Picture("tornado", _tornado_frame, _tornado_marks, _tornado_describe)
