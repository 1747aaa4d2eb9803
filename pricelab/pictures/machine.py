"""A new press: money paid back over the years, and its worth over volume and price."""

from dataclasses import dataclass

import numpy as np
from matplotlib.patches import Rectangle

from pricelab.analysis.machine import PressCase, payback, so_far
from pricelab.pictures import look
from pricelab.pictures.axes import Axis, Frame, money_axis, show_amount
from pricelab.pictures.labels import dot, label_ends, write
from pricelab.pictures.picture import Description, InMoney, Picture
from pricelab.shop.errors import NoBreakEven
from pricelab.shop.figures import number, percent


@dataclass(frozen=True)
class Payback(InMoney):
    """A press and what it saves, by a shop's currency."""

    case: PressCase
    currency: str

    def sofar(self, rate: float = 0.0) -> np.ndarray:
        """Money by the end of each year, discounted at `rate`: shape (years + 1,)."""
        return so_far(self.case.flows, rate)

    def paid(self, rate: float = 0.0) -> float | None:
        """Years until it has paid back, None where it does not."""
        try:
            return payback(self.case.flows, rate)
        except NoBreakEven:
            return None


def frame(values: Payback) -> Frame:
    """Years across; money from the price paid to what is left at the end."""
    sums = np.concatenate([values.sofar(), values.sofar(values.case.rate)])
    years = values.case.years
    low, high = min(0.0, float(sums.min())), max(1.0, float(sums.max()))
    x = Axis.ticked("years from today", 0, years, range(years + 1))
    y = money_axis(f"{values.currency} paid back so far", low, high, values.currency)
    return Frame(x, y, height=340, right=150)


def marks(values: Payback, ax) -> None:
    """Both sums over the years, each with its marker where it crosses nothing."""
    ax.axhline(0, color=look.INK, linewidth=1, zorder=1)
    years, ends = np.arange(values.case.years + 1), []
    for at, (name, rate) in enumerate(_ways(values)):
        thread, sofar = look.thread(at), values.sofar(rate)
        ax.plot(years, sofar, color=thread.colour, linestyle=thread.dash, linewidth=2, zorder=2)
        paid = values.paid(rate)
        if paid is not None:
            dot(ax, paid, 0, thread.colour, 9, marker=thread.marker)
            # The plain one over the line to the left, the discounted one under it to the right.
            shift, align = ((6, -9), "left top") if at else ((-6, 9), "right bottom")
            if not at and paid < 0.15 * years[-1]:  # no room to the left
                shift, align = (6, 9), "left bottom"
            colour = look.darker(thread.colour)
            write(ax, _years(paid), (paid, 0), shift, align, color=colour, zorder=4)
        ends.append((float(sofar[-1]), name, thread.colour))
    label_ends(ax, ends)


def _ways(values: Payback) -> list[tuple[str, float]]:
    rate = values.case.rate
    return [("plain", 0.0), *([(f"at {percent(rate)} a year", rate)] if rate else [])]


def _years(years: float) -> str:
    """A span as people say it.

    >>> _years(2.5), _years(0.25), _years(1)
    ('2.5 years', '3 months', '12 months')
    """
    if years < 2:
        months = int(np.ceil(round(years * 12, 6)))
        return f"{months} {'month' if months == 1 else 'months'}"
    return f"{number(round(years, 1))} years"


def describe(values: Payback) -> Description:
    """When it has paid back and what it is worth; the sums year by year."""
    case, paid = values.case, values.paid(values.case.rate)
    price = values.show(case.price)
    worth = values.show(abs(case.npv))
    judged = f"worth {worth} more than its price" if case.npv >= 0 else f"{worth} short"
    at = f" at {percent(case.rate)} a year" if case.rate else ""
    after = f"pays back in {_years(paid)}{at}" if paid is not None else f"does not pay back{at}"
    finding = f"A machine for {price} {after}; over {_span(case.years)} it is {judged}"
    ways = _ways(values)
    rows = tuple(
        (str(year), values.show(flow), *(values.show(values.sofar(rate)[year]) for _, rate in ways))
        for year, flow in enumerate(case.flows.tolist())
    )
    return Description(finding, ("Year", "That year", *(f"So far, {n}" for n, _ in ways)), rows)


def _span(years: int) -> str:
    return "one year" if years == 1 else f"{years} years"


PAYBACK = Picture("payback", frame, marks, describe)


@dataclass(frozen=True, eq=False)
class PressMap:
    """Net present value of a press over pieces a year (v,) and its price (p,): `npv[p, v]`."""

    pieces: np.ndarray
    prices: np.ndarray
    npv: np.ndarray
    here: tuple[int, int]
    years: int
    currency: str

    @classmethod
    def of(cls, case: PressCase, currency: str):
        """Around a case: volumes from a quarter to three times, prices from half to twice."""
        pieces = max(case.pieces, 1.0) * np.array([0.25, 0.5, 0.75, 1, 1.5, 2, 3])
        prices = case.price * np.array([0.5, 0.75, 1, 1.25, 1.5, 2])
        worth = case.npv_over(pieces[None, :], prices[:, None])
        return cls(pieces, prices, worth, (2, 3), case.years, currency)


def _map_frame(values: PressMap) -> Frame:
    down, across = values.npv.shape
    volumes = _volumes(values)
    x = Axis("pieces a year", 0, across, tuple(np.arange(across) + 0.5), volumes)
    y = Axis("price of the machine", 0, down, tuple(np.arange(down) + 0.5), _prices(values))
    return Frame(x, y, height=330, left=86, right=24)


def _map_marks(values: PressMap, ax) -> None:
    """A cell for each volume and price: tinted where the press pays, hatched where not."""

    def cell(down: int, across: int, **how):
        ax.add_patch(Rectangle((across + 0.03, down + 0.04), 0.94, 0.92, **how))

    for (down, across), worth in np.ndenumerate(values.npv):
        cell(down, across, **(look.GAIN if worth >= 0 else {**look.LOSS, "edgecolor": "#ecd0b2"}))
        bold = "bold" if (down, across) == values.here else "normal"
        how = {"size": look.SMALL, "weight": bold, "zorder": 3}
        middle = (across + 0.5, down + 0.5)
        write(ax, _rounded(worth, values.currency), middle, align="center center", **how)
    cell(*values.here, facecolor="none", edgecolor=look.NAVY, linewidth=2.2, zorder=4)


def _volumes(values: PressMap) -> tuple[str, ...]:
    """Pieces a year, to the hundredth where whole ones would be alike."""
    whole = tuple(number(round(pieces)) for pieces in values.pieces)
    distinct = len(set(whole)) == len(whole)
    return whole if distinct else tuple(number(round(pieces, 2)) for pieces in values.pieces)


def _prices(values: PressMap) -> tuple[str, ...]:
    whole = bool((values.prices == np.round(values.prices)).all())
    return tuple(show_amount(price, values.currency, whole=whole) for price in values.prices)


def _rounded(worth: float, currency: str) -> str:
    return show_amount(round(worth), currency, whole=True)


def _map_describe(values: PressMap) -> Description:
    pays = values.npv >= 0
    finding = (
        f"What a machine is worth over {_span(values.years)}, less its price: "
        f"{int(pays.sum())} of {pays.size} cases pay"
    )
    rows = tuple(
        (price, *(_rounded(worth, values.currency) for worth in row))
        for price, row in zip(_prices(values), values.npv.tolist(), strict=True)
    )
    columns = ("Price", *(f"{volume} a year" for volume in _volumes(values)))
    return Description(finding, columns, rows)


PRESS_MAP = Picture("press-map", _map_frame, _map_marks, _map_describe)
