"""A comparison of methods in words: what it goes by, who leads where, and who takes over.

Text from values, as `wording`; a lead that is not held throughout is said with its count.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from pricelab.analysis.comparison import FIGURES, Sold
from pricelab.analysis.lead_map import NOBODY, Border, tied_at
from pricelab.analysis.stretches import Stretch
from pricelab.shop.figures import number, percent, pieces
from pricelab.shop.money import show_money


@dataclass(frozen=True)
class Goal:
    """What a comparison goes by: a figure of `comparison.FIGURES`, and how its lead is said."""

    by: str
    name: str
    leads: str
    least: bool = False
    share: bool = False

    def figure(self, value: float, currency: str) -> str:
        """The figure as people read it."""
        return percent(value) if self.share else show_money(value, currency)

    def of(self, one: Sold) -> float:
        """The figure of one order by one method."""
        return float(FIGURES[self.by](one))

    def ranked(self, orders: Sequence[Sold]) -> list[Sold]:
        """The best first; those alike stay in their order, as on the map."""
        sign, digits = (1 if self.least else -1), tied_at(self.by)
        return sorted(orders, key=lambda one: sign * round(self.of(one), digits))


GOALS = {
    goal.by: goal
    for goal in (
        Goal("profit", "profit an order", "earns most an order"),
        Goal("profit an hour", "profit an hour", "earns most an hour of the bottleneck"),
        Goal("margin", "margin", "leaves the highest margin", share=True),
        Goal("total", "price to the client", "is cheapest to the client", least=True),
    )
}


def range_of(first: int, last: int, end: int) -> str:
    """Quantities of a row that ends at `end`.

    >>> range_of(1, 11, 600), range_of(12, 12, 600), range_of(50, 600, 600)
    ('1–11 pieces', '12 pieces', '50 pieces or more')
    """
    return f"{pieces(first)} or more" if first < last == end else pieces(first, last)


def say_phases(phases: Sequence[Stretch], names: Sequence[str]) -> str:
    """Who leads along one size, from the smallest order to the largest."""
    end = max((phase.last for phase in phases if phase.value != NOBODY), default=0)
    said = []
    for phase in phases:
        if phase.value == NOBODY:
            if phase.first < end:
                said.append(f"nobody at {range_of(phase.first, phase.last, end)}")
            continue
        where = range_of(phase.first, phase.last, end)
        some = ""
        if phase.but:
            some = f" ({number(phase.held)} of these {number(phase.count)} quantities)"
        said.append(f"{names[phase.value]} at {where}{some}")
    return "; ".join(said) if said else "nobody"


def say_border(border: Border, names: Sequence[str], sizes: Sequence[str], unit: str) -> str:
    """Where one method takes over from another; `sizes` are the rows' widths in plain figures."""
    top, bottom = sizes[border.top], sizes[border.bottom]
    where = f"At {top}" if top == bottom else f"At {top} to {bottom}"
    at = f"from {pieces(border.least)}"
    if border.most > border.least:
        at = f"from {pieces(border.least, border.most)}, by the size,"
    said = f"{where} {unit} wide, {at} {names[border.after]} leads {names[border.before]}"
    if border.share < 1:
        said += f" (at {percent(border.share, 0)} or more of the quantities up to the next border)"
    return f"{said}."


def ranges(first_last: Sequence[tuple[str, str]]) -> str:
    """Ranges one after another, each as short as it can be; a dash where there are none.

    >>> ranges([("1", "11"), ("48", "48")]), ranges([])
    ('1–11, 48', '–')
    """
    said = (first if first == last else f"{first}–{last}" for first, last in first_last)
    return ", ".join(said) or "–"
