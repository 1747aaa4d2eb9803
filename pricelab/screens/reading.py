"""Readers of what was typed into a control: a text in, a value out, or what to enter instead.

The reader sees the box, so the sentence does not repeat what stands in it.
"""

import re
from collections.abc import Callable
from itertools import pairwise

from pricelab.files.cells import BadCell, Reader
from pricelab.files.jobs import TYPES
from pricelab.shop.errors import PricelabError
from pricelab.shop.figures import number
from pricelab.shop.units import UNITS, Length, parse_length

MOST_STITCHES = 1_000_000
"""More than a piece of headwear can hold: a slip of the finger."""

_WHOLE = re.compile(r"-?(?:[0-9]{1,12}|[0-9]{1,3}(?:,[0-9]{3}){1,3})")
_FIGURE = re.compile(r"-?[0-9]{1,12}(?:\.[0-9]{1,12}|,(?![0-9]{3}$)[0-9]{1,12})?")
"""A comma in it stands for a point; before three digits it may mean either, and is refused."""


def _figure(
    fits: Callable[[float], bool], otherwise: str, *, whole: bool = False, optional: bool = False
) -> Callable[[str], float | None]:
    """A reader of a figure that `fits`; where there is none, or may be two, `otherwise` is said.

    Nothing typed is None where the figure is `optional`.
    """

    def parse(said: str) -> float | None:
        plain = said.strip().replace("−", "-")
        if optional and not plain:
            return None
        if (_WHOLE if whole else _FIGURE).fullmatch(plain):
            value = int(plain.replace(",", "")) if whole else float(plain.replace(",", "."))
            if fits(value):
                return value
        raise PricelabError(otherwise)

    return parse


def figure(low, high, unit="", such_as=None, *, whole: bool = False) -> Callable[[str], float]:
    """A reader of figures from `low` to `high` of a unit.

    >>> figure(0, 90, "%")("12,5"), figure(1, 5_000, whole=True)("1,200")
    (12.5, 1200)
    """
    kind = "a whole number" if whole else "a figure"
    span = f"from {number(low)} to {number(high)}{' ' + unit if unit else ''}"
    shown = such_as and low <= such_as <= high
    example = f", such as {number(such_as).replace(',', '')}" if shown else ""
    return _figure(
        lambda value: low <= value <= high, f"Enter {kind} {span}{example}.", whole=whole
    )


def pieces(least: int = 1, most: int = 5_000) -> Callable[[str], int]:
    """A reader of whole numbers of pieces.

    >>> pieces()("1,200")
    1200
    """
    return _figure(
        lambda count: least <= count <= most,
        f"Enter a whole number of pieces from {least:,} to {most:,}, such as "
        f"{min(max(24, least), most)}.",
        whole=True,
    )


def price(decimals: int) -> Callable[[str], float | None]:
    """A reader of a price, to so many decimals; None where nothing is written.

    >>> price(2)("12,5"), price(2)("")
    (12.5, None)
    """
    return _figure(
        lambda amount: 0 < amount < 1e7 and amount == round(amount, decimals),
        f"Enter a price such as {12.5:.{decimals}f}, or nothing to have it planned.",
        optional=True,
    )


stitches = _figure(
    lambda count: 1 <= count <= MOST_STITCHES,
    f"Enter the stitches of one piece, such as 7200 (up to {MOST_STITCHES:,}), or nothing to have "
    "them estimated.",
    whole=True,
    optional=True,
)
"""A reader of a stitch count; None where nothing is written."""


def length(unit: str) -> Callable[[str], Length]:
    """A reader of lengths such as `2 1/4`; a number alone is in `unit`."""
    example = {"in": "2.25, 2 1/4 or 57 mm", "mm": "57, 57.5 or 2 1/4 in"}[unit]

    def parse(said: str) -> Length:
        try:
            return parse_length(said, unit)
        except PricelabError:
            raise PricelabError(f"Enter a length such as {example}.") from None

    return parse


def size(unit: str) -> Callable[[str], float]:
    """A reader of list sizes counted in `unit`: lengths where that is in or mm, else figures.

    >>> size("in")("2 1/4"), size("sq in")("4.5")
    (2.25, 4.5)
    """
    if unit in UNITS:
        return lambda said: float(parse_length(said, unit).to(unit))
    return _figure(lambda area: area > 0, f"Enter a size above 0 in {unit}.")


def rising(what: str, example: str, parse: Callable[[str], object]) -> Callable[[str], tuple]:
    """A reader of several figures that rise; each is read by `parse`.

    A comma parts two of them only before a space: 1,200 is one number.

    >>> rising("quantities", "6, 12, 24", int)("6, 12; 24")
    (6, 12, 24)
    """

    def read(said: str) -> tuple:
        parts = [part for part in map(str.strip, re.split(r";|,(?=\s|$)", said)) if part]
        try:
            figures = tuple(map(parse, parts))
        except (PricelabError, ValueError):
            figures = ()
        if not figures or any(after <= before for before, after in pairwise(figures)):
            raise PricelabError(
                f"Enter {what} that rise, with a comma and a space between, such as {example}."
            )
        return figures

    return read


def headings(said: str) -> dict[str, str]:
    """What headings of another spreadsheet of jobs stand for, typed between semicolons.

    >>> headings("Order no = job; Qty=quantity")
    {'Order no': 'job', 'Qty': 'quantity'}
    """
    found = {}
    for part in filter(None, map(str.strip, said.split(";"))):
        theirs, sign, ours = (word.strip() for word in part.partition("="))
        if not (sign and theirs) or ours not in (*TYPES, "note"):
            raise PricelabError(
                "Enter their headings and ours, such as Order no = job; Qty = quantity. Ours are "
                f"{', '.join(TYPES)} and note."
            )
        found[theirs] = ours
    return found


def cell(read: Reader) -> Callable[[str], object]:
    """A reader of what was typed as a cell of a file is read.

    >>> from pricelab.files.cells import day
    >>> cell(day)("2026-11-25")
    datetime.date(2026, 11, 25)
    """

    def parse(said: str) -> object:
        try:
            return read(said.strip(), ".")
        except BadCell as bad:
            raise PricelabError(f"Enter {bad.expected}.") from None

    return parse


def cell_or_none(read: Reader) -> Callable[[str], object]:
    """The same, where nothing typed means that it was not noted."""
    return lambda said: cell(read)(said) if said.strip() else None
