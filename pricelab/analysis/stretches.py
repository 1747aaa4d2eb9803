"""Stretches of quantities, from a first to a last one, through which something holds."""

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Stretch:
    """Whole quantities `first` to `last`, both included, and the `value` that holds for them.

    The value is the index of the method that leads, or whether a goal is met; it holds for
    all of them `but` so many.
    """

    value: int
    first: int
    last: int
    but: int = 0

    @property
    def count(self) -> int:
        """How many quantities there are."""
        return self.last - self.first + 1

    @property
    def held(self) -> int:
        """For how many of them the value holds."""
        return self.count - self.but


def stretches(values, quantities) -> tuple[Stretch, ...]:
    """The stretches of equal `values` (n,) over rising `quantities` (n,): each once, in order.

    >>> stretches([0, 0, 1], [10, 11, 12])
    (Stretch(value=0, first=10, last=11, but=0), Stretch(value=1, first=12, last=12, but=0))
    """
    values, quantities = np.asarray(values), np.asarray(quantities)
    starts = np.flatnonzero(np.append(True, values[1:] != values[:-1]))
    ends = np.append(starts[1:], values.size) - 1
    found = values[starts], quantities[starts], quantities[ends]
    return tuple(map(Stretch, *(part.tolist() for part in found)))
