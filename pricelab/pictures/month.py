"""The month: contribution over pieces sold against the month's fixed costs."""

from dataclasses import dataclass

import numpy as np

from pricelab.analysis.month import MonthPlan
from pricelab.pictures import look
from pricelab.pictures.axes import Frame, money_axis, plain_axis
from pricelab.pictures.labels import dot, in_points, label_ends, write
from pricelab.pictures.picture import Description, InMoney, Picture
from pricelab.shop.figures import number, percent
from pricelab.shop.tolerance import TOLERANCE


@dataclass(frozen=True)
class Month(InMoney):
    """A month's plan, by a shop's currency."""

    plan: MonthPlan
    currency: str

    @property
    def even(self) -> int:
        """Whole pieces that break even."""
        return int(np.ceil(round(self.plan.break_even_pieces, 6)))

    @property
    def spare(self) -> int:
        """Whole pieces of the plan that could be lost; under 0, that are missing."""
        return round(self.plan.pieces) - self.even


def frame(values: Month) -> Frame:
    """Pieces and money from nothing to over both the plan and what breaks even."""
    plan = values.plan
    most = max(plan.pieces, plan.break_even_pieces, 1) * 1.15
    top = max(plan.fixed * 1.2, plan.contribution * 1.2, 1)
    x = plain_axis("pieces in the month", 0, most, whole=True, grid=False)
    y = money_axis(f"{values.currency} a month", 0, top, values.currency)
    return Frame(x, y, height=360, right=170)


def marks(values: Month, ax) -> None:
    """Two lines and the wedge between them; the margin of safety as a span along the foot."""
    plan, end = values.plan, ax.get_xlim()[1]
    at_end = _contribution(plan, end)
    x = np.array([0.0, plan.break_even_pieces, end])
    y = np.array([0.0, plan.fixed, at_end])
    order = np.argsort(x)
    x, y = x[order], y[order]
    ax.fill_between(x, plan.fixed, y, where=y <= plan.fixed + TOLERANCE, **look.LOSS)
    ax.fill_between(x, plan.fixed, y, where=y >= plan.fixed - TOLERANCE, **look.GAIN)
    ax.plot([0, end], [plan.fixed] * 2, color=look.COPPER, linewidth=2, linestyle=look.DASHED)
    ax.plot([0, end], [0, at_end], color=look.NAVY, linewidth=2)
    even = (plan.break_even_pieces, plan.fixed)
    dot(ax, *even, look.INK, 8, marker="D", zorder=4)
    dot(ax, plan.pieces, plan.contribution, look.NAVY, 9, zorder=4)
    words = f"{number(values.even)} pieces\nbreak even"
    shift, align = (-8, 12), "right bottom"
    if even[0] < 0.15 * end:  # no room there; clear of the words at the foot
        shift, align = (8, max(12, 44 - in_points(ax, *even)[0, 1])), "left bottom"
    write(ax, words, even, shift, align, linespacing=1.2, zorder=5)
    _mark_safety(values, ax)
    fixed = f"fixed {values.show(plan.fixed)}"
    label_ends(ax, [(plan.fixed, fixed, look.COPPER), (at_end, "contribution", look.NAVY)])


def _mark_safety(values: Month, ax) -> None:
    """What could be lost, or is missing, from the plan to where the month breaks even."""
    plan = values.plan
    foot, spare = 0.045 * ax.get_ylim()[1], values.spare
    span, ends = (plan.break_even_pieces, plan.pieces), {"marker": "|", "markersize": 9}
    ax.plot(span, [foot, foot], color=look.INK, linewidth=1.4, zorder=3, **ends)
    words = f"{number(abs(spare))} pieces {'of safety' if spare >= 0 else 'missing'}"
    if sum(span) / 2 > 0.75 * ax.get_xlim()[1]:
        write(ax, words, (max(span), foot), (0, 6), "right bottom", zorder=5, bbox=look.ground())
    else:
        write(ax, words, (min(span), foot), (0, 6), "left bottom", zorder=5, bbox=look.ground())


def _contribution(plan: MonthPlan, pieces: float) -> float:
    if plan.break_even_pieces:
        return plan.fixed * pieces / plan.break_even_pieces
    return plan.contribution * pieces / plan.pieces if plan.pieces else 0.0


def describe(values: Month) -> Description:
    """Whether the month pays, by how much, and how far it is from breaking even."""
    plan, show = values.plan, values.show
    planned, even = number(round(plan.pieces)), number(values.even)
    if plan.margin_of_safety >= 0:
        safety = f" ({percent(plan.margin_of_safety_share)})" if plan.pieces > 0 else ""
        finding = (
            f"{planned} pieces a month leave {show(plan.profit)}; "
            f"{number(values.spare)} of them{safety} could be lost before the "
            "month loses money"
        )
    else:
        finding = (
            f"{planned} pieces a month lose {show(-plan.profit)}; the month breaks even at {even}"
        )
    sums = (
        ("planned", planned, plan.revenue, plan.contribution, plan.profit),
        ("break-even", even, plan.break_even_revenue, plan.fixed, 0.0),
    )
    rows = tuple((what, many, *map(show, money)) for what, many, *money in sums)
    return Description(finding, ("Month", "Pieces", "Taken", "Contribution", "Profit"), rows)


MONTH = Picture("month", frame, marks, describe)
