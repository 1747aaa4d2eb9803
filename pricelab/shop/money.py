"""Money is rounded as its decimal digits read, never as binary floats happen to fall.

An amount that reads 2.675 is held by a float as 2.67499…; rounding it half-up must
give 2.68. So every amount is first *settled*: a float that is nearer to a
six-decimal count of the rounding unit than floats can tell apart is taken to be it.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from pricelab.shop.errors import PricelabError

_SETTLED_DECIMALS = 6  # of the rounding unit: far finer than money, far coarser than float noise

_MONEY_DECIMALS = 6  # more than any currency has, and few enough that millions stay exact


def _counted_in(amount, unit):
    """`amount` as a settled count of `unit` (a step, or the currency's smallest coin)."""
    return np.round(np.asarray(amount) / unit, _SETTLED_DECIMALS)


def _in_money(count, unit):
    """A whole count of `unit` as money, free of the noise of multiplying by 0.05."""
    return np.round(count * unit, _MONEY_DECIMALS)


def minor_unit(currency: str) -> int:
    """Decimals of a currency: 2 for USD and EUR, 0 for JPY, 3 for KWD (ISO 4217, by babel)."""
    from babel.numbers import get_currency_precision, is_currency

    if not is_currency(currency):
        raise PricelabError(
            f'found the currency "{currency}", expected a three-letter code in capitals, '
            "such as USD or EUR."
        )
    return get_currency_precision(currency)


def round_half_up(amount, decimals: int = 2):
    """`amount` to `decimals` places, halves away from zero; scalar or array, same shape.

    >>> float(round_half_up(2.675)), float(round_half_up(-2.675))
    (2.68, -2.68)
    """
    coin = 10.0**-decimals
    count = _counted_in(amount, coin)
    return _in_money(np.copysign(np.floor(np.abs(count) + 0.5), count), coin)


def show_money(amount: float, currency: str) -> str:
    """An amount as people read it, rounded half-up: ``$1,234.50``, ``−$0.25``."""
    return _shown(float(amount), currency)


@lru_cache(maxsize=4096)  # a screen writes the same prices after every change
def _shown(amount: float, currency: str) -> str:
    from babel.numbers import format_currency

    rounded = round_half_up(amount, minor_unit(currency))
    return format_currency(float(rounded), currency, locale="en").replace("-", "−")


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
        steps = np.ceil(_counted_in(np.asarray(amount) - offset, self.step))
        if offset:
            steps = np.maximum(steps, 0)  # the lowest ending price is the ending itself
        return np.round(steps * self.step + offset, _MONEY_DECIMALS)


TO_THE_CENT = Rounding()
