"""Figures as people read them: counts, shares and ranges of pieces (money: `money.show_money`).

And words, where a sentence lists them.
"""

from collections.abc import Iterable

import numpy as np

_MINUS = "−"


def number(value: float) -> str:
    """A count or a size in plain digits, thousands apart.

    >>> number(2.50), number(1400.0), number(12)
    ('2.5', '1,400', '12')
    """
    text = f"{float(value):,.4f}".rstrip("0").rstrip(".")
    return text.replace("-", _MINUS)


def amount(money: float) -> str:
    """Money where its currency is not known, to the hundredth.

    >>> amount(-1234.5)
    '−1,234.50'
    """
    return f"{money:,.2f}".replace("-", _MINUS)


def percent(share: float, decimals: int = 1) -> str:
    """A fraction as a percentage, without decimals that say nothing.

    >>> percent(0.1823), percent(0.25), percent(-0.031)
    ('18.2 %', '25 %', '−3.1 %')
    """
    text = f"{round(abs(share) * 100, decimals):.{decimals}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return f"{_MINUS if share < 0 and text != '0' else ''}{text} %"


def pieces(first: int, until: int | None = None) -> str:
    """A number of pieces, or a range of them.

    >>> pieces(1), pieces(24, 47), pieces(47, 47)
    ('1 piece', '24–47 pieces', '47 pieces')
    """
    if until is not None and until != first:
        return f"{number(first)}–{number(until)} pieces"
    return "1 piece" if first == 1 else f"{number(first)} pieces"


def count(many: int, noun: str) -> str:
    """A count of things.

    >>> count(1, "method"), count(12, "blank")
    ('1 method', '12 blanks')
    """
    return f"{number(many)} {noun}{'' if many == 1 else 's'}"


def points(change: float) -> str:
    """A change of a margin, in percentage points.

    >>> points(-0.0312), points(0.004), points(0)
    ('−3.1 points', '+0.4 points', '0 points')
    """
    rounded = np.round(change * 100, 1)
    sign = _MINUS if rounded < 0 else "+" if rounded > 0 else ""
    return f"{sign}{abs(rounded):g} points"


def listed(words: Iterable[str]) -> str:
    """Words as a sentence lists them.

    >>> listed(["leather"]), listed(["leather", "foam"]), listed(["leather", "vinyl", "foam"])
    ('leather', 'leather and foam', 'leather, vinyl and foam')
    """
    *first, last = words
    return f"{', '.join(first)} and {last}" if first else last
