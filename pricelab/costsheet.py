"""The cost sheet: lines by level and element, their totals, and the why of every figure."""

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np

from pricelab.grids import Grid, Place
from pricelab.shop import Element, Level

OPERATOR = "operator"
"""The name under which attended minutes are counted, beside the stations' own."""


@dataclass(frozen=True, eq=False)
class Line:
    """One line of a cost sheet: `quantity` of `unit` at `rate` money each."""

    level: Level
    element: Element
    label: str
    quantity: np.ndarray
    unit: str
    rate: np.ndarray
    spoiled: bool = False
    place: Place | None = None
    cell: "Cell | None" = field(default=None, repr=False)

    @property
    def amount(self):
        """Money, broadcast over sizes and quantities."""
        return self.rate * self.quantity

    def why(self, at: tuple[int, ...], shape: tuple[int, ...]) -> "Why":
        """The line at one index of a sheet's `shape`."""

        def here(values):
            return np.broadcast_to(values, shape)[at].item()

        place = self.place
        if self.cell is not None:
            place = self.cell.grid.place(here(self.cell.band), here(self.cell.tier))
        quantity, rate = float(here(self.quantity)), float(here(self.rate))
        return Why(
            self.level, self.element, self.label, quantity, self.unit, rate, quantity * rate,
            self.spoiled, place,
        )  # fmt: skip


@dataclass(frozen=True)
class Why:
    """One line of the answer to *why*: `quantity` × `rate` = `amount`, and where it is from."""

    level: Level
    element: Element
    label: str
    quantity: float
    unit: str
    rate: float
    amount: float
    spoiled: bool
    place: Place | None


@dataclass(frozen=True, eq=False)
class Cell:
    """The grid cell behind a line, for every size and quantity of the sheet."""

    grid: Grid
    band: np.ndarray
    tier: np.ndarray


@dataclass(frozen=True, eq=False)
class CostSheet:
    """The lines of an order, its minutes by who or what is busy, and what was estimated.

    Totals are money for the whole order, of the broadcast shape of sizes and quantities.
    Fees on the money taken are not in a sheet: they hang on the price (see `pricing`).
    """

    lines: tuple[Line, ...]
    minutes: dict[str, np.ndarray]
    quantity: np.ndarray
    shape: tuple[int, ...]
    notes: tuple[str, ...] = ()

    def total(self, lines: Iterable[Line] | None = None):
        """The sum of some lines (all, if not told), as an array of `shape`."""
        return _added(self.lines if lines is None else lines, self.shape)

    @property
    def full(self):
        """Full cost: all but period costs, and before fees on the money taken."""
        return self.total()

    @property
    def out_of_pocket(self):
        """Everything but overhead and own labour."""
        own = (Element.OVERHEAD, Element.LABOUR)
        return self.total(line for line in self.lines if line.element not in own)

    @property
    def moving(self):
        """Costs that move with the order: full cost without the overhead it recovers."""
        return self.total(line for line in self.lines if line.element is not Element.OVERHEAD)

    def by_level(self) -> dict[Level, np.ndarray]:
        """Totals by level, only levels that cost something; they add up to `full`."""
        return self._by(lambda line: line.level)

    def by_element(self) -> dict[Element, np.ndarray]:
        """Totals by element, only elements that cost something; they add up to `full`."""
        return self._by(lambda line: line.element)

    def _by(self, key):
        kinds = dict.fromkeys(key(line) for line in self.lines)
        return {kind: self.total(x for x in self.lines if key(x) is kind) for kind in kinds}

    def why(self, at: tuple[int, ...] = ()) -> tuple["Why", ...]:
        """Every line at one size and quantity of the sheet, as plain numbers with their place."""
        return tuple(line.why(at, self.shape) for line in self.lines)

    @property
    def bottleneck(self):
        """Minutes of whoever or whatever is busy longest: what limits output."""
        busy = [np.broadcast_to(np.asarray(m, float), self.shape) for m in self.minutes.values()]
        return np.maximum.reduce(busy)[()]


def _added(lines: Iterable[Line], shape: tuple[int, ...]):
    """The sum of `lines` over `shape`, in as few passes over the full shape as there can be.

    Quantities of a shared rate are added before they are multiplied; what is smaller than
    the full shape is added up in its own shape and joined at the end.
    """
    by_rate: dict[int, tuple] = {}
    for line in lines:
        rate, quantity = by_rate.get(id(line.rate), (line.rate, 0))
        by_rate[id(line.rate)] = (rate, quantity + line.quantity)
    smaller: dict[tuple[int, ...], np.ndarray] = {}
    total = None
    for rate, quantity in by_rate.values():
        amount = np.multiply(rate, quantity, dtype=float)
        if amount.shape != shape:
            smaller[amount.shape] = smaller.get(amount.shape, 0.0) + amount
        elif total is None:
            total = amount
        else:
            total += amount
    if total is None:
        return np.array(np.broadcast_to(sum(smaller.values(), np.zeros(())), shape), float)[()]
    for amount in sorted(smaller.values(), key=np.size):
        total = np.add(total, amount, out=total) if shape else total + amount
    return total
