"""Money is rounded as its decimal digits read, never as binary floats happen to fall.

An amount that reads 2.675 is held by a float as 2.67499…; rounding it half-up must
give 2.68. So every amount is first *settled*: a float that is nearer to a
six-decimal count of the rounding unit than floats can tell apart is taken to be it.
"""

from functools import lru_cache

import numpy as np

from pricelab.shop.errors import PricelabError

_SETTLED_DECIMALS = 6  # of the rounding unit: far finer than money, far coarser than float noise

_MONEY_DECIMALS = 6  # more than any currency has, and few enough that millions stay exact


def counted_in(amount, unit):
    """`amount` as a settled count of `unit` (a step, or the currency's smallest coin)."""
    return np.round(np.asarray(amount) / unit, _SETTLED_DECIMALS)


def in_money(amount):
    """`amount` free of the noise of multiplying by a step such as 0.05."""
    return np.round(amount, _MONEY_DECIMALS)


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
    count = counted_in(amount, coin)
    return in_money(np.copysign(np.floor(np.abs(count) + 0.5), count) * coin)


def show_money(amount: float, currency: str) -> str:
    """An amount as people read it, rounded half-up: ``$1,234.50``, ``−$0.25``."""
    return _shown(float(amount), currency)


@lru_cache(maxsize=4096)  # a screen writes the same prices after every change
def _shown(amount: float, currency: str) -> str:
    from babel.numbers import format_currency

    rounded = round_half_up(amount, minor_unit(currency))
    return format_currency(float(rounded), currency, locale="en").replace("-", "−")
