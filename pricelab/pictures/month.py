"""The month: contribution over pieces sold against the month's fixed costs."""

from dataclasses import dataclass

import numpy as np

from pricelab.analysis.month import MonthPlan
from pricelab.pictures import look
from pricelab.pictures.axes import Frame, money_axis, plain_axis
from pricelab.pictures.labels import dot, label_ends, note
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


def frame(values: Month) -> Frame:
    """Pieces and money from nothing to over both the plan and what breaks even."""
    plan = values.plan
    most = max(plan.pieces, plan.break_even_pieces, 1) * 1.15
    x = plain_axis("pieces in the month", 0, most, grid=False)
    top = max(plan.fixed, plan.contribution) * 1.2
    return Frame(
        x,
        money_axis(f"{values.currency} a month", 0, max(top, 1), values.currency),
        height=360,
        right=170,
    )


def marks(values: Month, ax) -> None:
    """Two lines and the wedge between them; the margin of safety as a span along the foot."""
    plan, end = values.plan, ax.get_xlim()[1]
    at_end = _contribution(plan, end)
    x = np.array([0.0, plan.break_even_pieces, end])
    y = np.array([0.0, plan.fixed, at_end])
    order = np.argsort(x)
    x, y = x[order], y[order]
    for where, face, hatch, line in (
        (y <= plan.fixed + TOLERANCE, look.COPPER_TINT, "///", look.COPPER),
        (y >= plan.fixed - TOLERANCE, look.NAVY_TINT, None, look.NAVY_TINT),
    ):
        ax.fill_between(
            x,
            plan.fixed,
            y,
            where=where,
            facecolor=face,
            hatch=hatch,
            edgecolor=line,
            linewidth=0,
            zorder=1,
        )
    ax.plot([0, end], [plan.fixed] * 2, color=look.COPPER, linewidth=2, linestyle=(0, (6, 2)))
    ax.plot([0, end], [0, at_end], color=look.NAVY, linewidth=2)
    even = (plan.break_even_pieces, plan.fixed)
    dot(ax, *even, look.INK, 8, marker="D", zorder=4)
    dot(ax, plan.pieces, plan.contribution, look.NAVY, 9, zorder=4)
    note(
        ax,
        f"{number(values.even)} pieces\nbreak even",
        even,
        (-8, 12),
        ha="right",
        va="bottom",
        linespacing=1.2,
        zorder=5,
    )
    foot = 0.045 * ax.get_ylim()[1]
    ax.plot(
        [plan.break_even_pieces, plan.pieces],
        [foot, foot],
        color=look.INK,
        linewidth=1.4,
        marker="|",
        markersize=9,
        zorder=3,
    )
    lost, ends = plan.margin_of_safety, sorted((plan.pieces, plan.break_even_pieces))
    words = (
        f"{number(round(lost))} pieces of safety"
        if lost >= 0
        else f"{number(round(-lost))} pieces missing"
    )
    at, align = (ends[1], "right") if sum(ends) / 2 > 0.75 * end else (ends[0], "left")
    note(ax, words, (at, foot), (0, 6), ha=align, va="bottom", zorder=5)
    label_ends(
        ax,
        [
            (plan.fixed, f"fixed {values.show(plan.fixed)}", look.COPPER),
            (at_end, "contribution", look.NAVY),
        ],
    )


def _contribution(plan: MonthPlan, pieces: float) -> float:
    if plan.break_even_pieces:
        return plan.fixed * pieces / plan.break_even_pieces
    return plan.contribution * pieces / plan.pieces if plan.pieces else 0.0


def describe(values: Month) -> Description:
    """Whether the month pays, by how much, and how far it is from breaking even."""
    plan = values.plan
    planned = number(round(plan.pieces))
    if plan.margin_of_safety >= 0:
        safety = f" ({percent(plan.margin_of_safety_share)})" if plan.pieces > 0 else ""
        finding = (
            f"{planned} pieces a month leave {values.show(plan.profit)}; "
            f"{number(round(plan.margin_of_safety))} of them{safety} could be lost before the "
            "month loses money"
        )
    else:
        finding = (
            f"{planned} pieces a month lose {values.show(-plan.profit)}; the month breaks even at "
            f"{number(values.even)}"
        )
    rows = (
        (
            "planned",
            planned,
            values.show(plan.revenue),
            values.show(plan.contribution),
            values.show(plan.profit),
        ),
        (
            "break-even",
            number(values.even),
            values.show(plan.break_even_revenue),
            values.show(plan.fixed),
            values.show(0.0),
        ),
    )
    return Description(finding, ("Month", "Pieces", "Taken", "Contribution", "Profit"), rows)


MONTH = Picture("month", frame, marks, describe)
