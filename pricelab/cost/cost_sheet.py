"""The cost sheet: lines by level and element, their totals, and the why of every figure."""

from collections.abc import Iterable
from dataclasses import dataclass, field, fields, replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from pricelab.shop.charges import Element, Level
from pricelab.shop.grids import Purchase
from pricelab.shop.place import Place

if TYPE_CHECKING:
    import pandas as pd

OPERATOR = "operator"
"""The name under which attended minutes are counted, beside the stations' own."""


@dataclass(frozen=True, eq=False)
class Line:
    """One line of a cost sheet: `each` of `unit`, so many `times`, at `rate` money a unit.

    `times` is what the cost grows with: pieces, batches, roll rows, or 1 for an order.
    """

    level: Level
    element: Element
    label: str
    times: np.ndarray
    each: np.ndarray
    unit: str
    rate: np.ndarray
    spoiled: bool = False
    place: Place | None = None
    bought: Purchase | None = field(default=None, repr=False)

    @property
    def amount(self):
        """Money, broadcast over sizes and quantities."""
        return self.rate * self.each * self.times

    def why(self) -> "Why":
        """The line of one order in plain numbers, with the place of the price it was bought at."""
        place, bought = self.place, self.bought
        if bought is not None:
            place = bought.grid.place(int(bought.band), int(bought.tier))
        quantity, rate, amount = map(float, (self.times * self.each, self.rate, self.amount))
        return Why(
            self.level,
            self.element,
            self.label,
            quantity,
            self.unit,
            rate,
            amount,
            self.spoiled,
            place,
        )


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


def beside(**lines: Iterable[Why]) -> "pd.DataFrame":
    """Two answers to *why* beside one another, line by line, under the names they are given by.

    Columns: level, element, label, the two names, and the difference of the second to the
    first. A line that one of them lacks costs 0 there.
    """
    import pandas as pd

    said, (first, second) = ["level", "element", "label"], lines
    sums = [
        pd.DataFrame(
            [(line.level.value, line.element.value, line.label, line.amount) for line in each],
            columns=[*said, name],
        )
        .groupby(said, sort=False)[name]
        .sum()
        for name, each in lines.items()
    ]
    both = pd.concat(sums, axis=1).fillna(0.0)
    return both.assign(difference=both[second] - both[first]).reset_index()


@dataclass(frozen=True, eq=False)
class Work:
    """Minutes of one operation: `each`, so many `times`; the operator's if `attended`."""

    level: Level
    label: str
    times: np.ndarray
    each: np.ndarray
    attended: bool
    station: str | None
    spoiled: bool = False
    place: Place | None = None


@dataclass(frozen=True, eq=False)
class CostSheet:
    """The lines of an order, the work in it, and notes on what was estimated or would pay.

    Totals are money for the whole order, of the broadcast shape of sizes and quantities.
    Fees on the money taken are not in a sheet: they hang on the price (see `pricing`).
    """

    lines: tuple[Line, ...]
    work: tuple[Work, ...]
    quantity: np.ndarray
    shape: tuple[int, ...]
    notes: tuple[str, ...] = ()

    def __add__(self, other: "CostSheet") -> "CostSheet":
        """One sheet of two parts of the same order."""
        shape = np.broadcast_shapes(self.shape, other.shape)
        notes = tuple(dict.fromkeys(self.notes + other.notes))
        work = self.work + other.work
        return CostSheet(self.lines + other.lines, work, self.quantity, shape, notes)

    def total(self, lines: Iterable[Line] | None = None):
        """The sum of some lines (all, if not told), as an array of `shape`."""
        lines = self.lines if lines is None else lines
        return _added(((x.times, x.each, x.rate) for x in lines), self.shape)

    @property
    def full(self):
        """Full cost: all but period costs, and before fees on the money taken."""
        return self.total()

    @cached_property
    def recurring(self):
        """What a repeat of the order costs again: everything but what is due once a design."""
        return self.total(line for line in self.lines if line.level is not Level.DESIGN)

    @cached_property
    def once(self):
        """What is due once a design."""
        return self.total(line for line in self.lines if line.level is Level.DESIGN)

    @property
    def variable(self):
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

    def at(self, *index: int) -> "CostSheet":
        """The sheet of one order of a mesh, by its index in `shape`: numbers for arrays."""
        lines = tuple(
            replace(
                numbers_at(line, index, self.shape),
                bought=line.bought and numbers_at(line.bought, index, self.shape),
            )
            for line in self.lines
        )
        work = tuple(numbers_at(done, index, self.shape) for done in self.work)
        quantity = np.broadcast_to(self.quantity, self.shape)[index]
        return CostSheet(lines, work, quantity, (), self.notes)

    def why(self) -> tuple["Why", ...]:
        """Every line of one order's sheet that costs anything, as plain numbers with its place."""
        return tuple(line.why() for line in self.lines if line.amount)

    @cached_property
    def minutes(self) -> dict[str, np.ndarray]:
        """Minutes by who or what is busy: the operator, and every station by its name."""
        busy = {OPERATOR: []}
        for work in self.work:
            if work.attended:
                busy[OPERATOR].append(work)
            if work.station:
                busy.setdefault(work.station, []).append(work)
        return {
            who: _added(((w.times, w.each) for w in done), self.shape) for who, done in busy.items()
        }

    @property
    def bottleneck(self):
        """Minutes of whoever or whatever is busy longest: what limits output."""
        return np.maximum.reduce(list(self.minutes.values()))[()]


def numbers_at(value, index: tuple[int, ...], shape: tuple[int, ...]):
    """A frozen value with, for each of its arrays, the number that it has at one index of `shape`.

    Its arrays broadcast to `shape`: a line of a cost sheet, what orders are charged or earn.
    """
    arrays = {
        field.name: np.broadcast_to(array, shape)[index]
        for field in fields(value)
        if isinstance(array := getattr(value, field.name), np.ndarray)
    }
    return replace(value, **arrays)


def _added(terms: Iterable[tuple], shape: tuple[int, ...]):
    """The sum of products ``times × each [× rate]`` over `shape`, in few passes over it.

    What shares its `times` is added before it is multiplied, and so is what shares a rate
    of full shape; sums of a smaller shape are joined to the full one at the very end.
    """
    products: dict[int, list] = {}
    for times, each, *rate in terms:
        rate = rate[0] if rate else 1.0
        factors = (times, each * rate) if np.shape(rate) != shape else (rate, each * times)
        held = products.setdefault(id(factors[0]), [factors[0], 0.0])
        held[1] = held[1] + factors[1]
    total, smaller = None, 0.0
    for one, other in products.values():
        product = np.multiply(one, other)
        if product.shape != shape or shape == ():
            smaller = smaller + product
        elif total is None:
            total = product
        else:
            total += product
    if total is None:
        return np.array(np.broadcast_to(smaller, shape))[()]
    total += smaller
    return total
