"""How prices are rounded: up to a step, or to a price ending."""

from dataclasses import dataclass

import numpy as np

from pricelab.shop.errors import PricelabError
from pricelab.shop.money import counted_in, in_money


@dataclass(frozen=True)
class Rounding:
    """How a price is rounded: *up* to a multiple of `step`, or up to an `ending`.

    With an ending of 0.95 and a step of 1 the prices are 0.95, 1.95, 2.95 …: the next
    one not below the amount. Rounding up never misses a target that was met before.

    >>> float(Rounding(0.25).up(7.01)), float(Rounding(1, ending=0.95).up(7.96))
    (7.25, 8.95)
    """

    step: float = 0.01
    ending: float | None = None

    def __post_init__(self):
        if not self.step > 0:
            raise PricelabError(f"found the rounding step {self.step:g}, expected more than 0.")
        if self.ending is not None and not 0 <= self.ending < self.step:
            raise PricelabError(
                f"found the price ending {self.ending:g}, "
                f"expected one from 0 up to the rounding step {self.step:g}."
            )

    def up(self, amount):
        """The lowest price of this rounding that is not below `amount` (any shape)."""
        offset = self.ending or 0.0
        steps = np.ceil(counted_in(np.asarray(amount) - offset, self.step))
        if offset:
            steps = np.maximum(steps, 0)  # the lowest ending price is the ending itself
        return in_money(steps * self.step + offset)


TO_THE_CENT = Rounding()
