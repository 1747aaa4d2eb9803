"""Readers of what was typed into a control: a text in, a value out, or the reason why not."""

from collections.abc import Callable
from itertools import pairwise

from pricelab.files.cells import BadCell, Reader
from pricelab.files.jobs import TYPES
from pricelab.shop.errors import PricelabError
from pricelab.shop.units import UNITS, Length, parse_length

MOST_STITCHES = 1_000_000
"""More than a piece of headwear can hold: a slip of the finger."""

_MOST_DIGITS = 12


def _whole(said: str) -> int | None:
    """A whole number in digits, thousands apart or not; None where it is none, or without end."""
    plain = said.strip().replace(",", "")
    digits = plain.isascii() and plain.isdigit() and len(plain) <= _MOST_DIGITS
    return int(plain) if digits else None


def pieces(least: int = 1, most: int = 5_000) -> Callable[[str], int]:
    """A reader of whole numbers of pieces.

    >>> pieces()("1,200")
    1200
    """

    def parse(said: str) -> int:
        count = _whole(said)
        if count is not None and least <= count <= most:
            return count
        raise PricelabError(
            f'Found "{said.strip()}", expected a whole number of pieces from {least:,} to '
            f"{most:,}. Write digits alone, such as {max(24, least)}."
        )

    return parse


def price(decimals: int) -> Callable[[str], float | None]:
    """A reader of a price, to so many decimals; None where nothing is written.

    >>> price(2)("12,5"), price(2)("")
    (12.5, None)
    """

    def parse(said: str) -> float | None:
        plain = said.strip().replace(",", ".")
        whole, _, part = plain.partition(".")
        if not plain:
            return None
        digits = (whole + part).isascii() and whole.isdigit() and (part or "0").isdigit()
        if digits and len(whole) <= 7 and len(part) <= decimals and float(plain) > 0:
            return float(plain)
        raise PricelabError(
            f'Found "{said.strip()}", expected a price such as {12.5:.{decimals}f}, or nothing, '
            "to have it planned. Write digits and a point alone."
        )

    return parse


def stitches(said: str) -> int | None:
    """A reader of a stitch count; None where nothing is written.

    >>> stitches("7,200"), stitches(" ")
    (7200, None)
    """
    if not said.replace(",", "").strip():
        return None
    count = _whole(said)
    if count is not None and 1 <= count <= MOST_STITCHES:
        return count
    raise PricelabError(
        f'Found "{said.strip()}", expected the stitches of one piece, a whole number up to '
        f"{MOST_STITCHES:,}, or nothing, to have them estimated. Write digits alone, such as 7200."
    )


def length(unit: str) -> Callable[[str], Length]:
    """A reader of lengths such as `2 1/4`; a number alone is in `unit`."""

    def parse(said: str) -> Length:
        return parse_length(said, unit)

    return parse


def size(unit: str) -> Callable[[str], float]:
    """A reader of list sizes counted in `unit`: lengths where that is in or mm, else figures.

    >>> size("in")("2 1/4"), size("sq in")("4.5")
    (2.25, 4.5)
    """

    def parse(said: str) -> float:
        if unit in UNITS:
            return float(parse_length(said, unit).to(unit))
        figure = float(said)
        if not 0 < figure < float("inf"):
            raise PricelabError(f'found "{said}", expected a size above 0 in {unit}.')
        return figure

    return parse


def rising(what: str, example: str, parse: Callable[[str], object]) -> Callable[[str], tuple]:
    """A reader of several figures that rise, between commas; each is read by `parse`.

    >>> rising("quantities", "6, 12, 24", int)("6, 12,24")
    (6, 12, 24)
    """

    def read(said: str) -> tuple:
        parts = [part.strip() for part in said.replace(";", ",").split(",") if part.strip()]
        if not parts:
            raise PricelabError(f"Found no {what}, expected at least one. Write {example}.")
        try:
            figures = tuple(parse(part) for part in parts)
        except PricelabError:
            raise
        except ValueError:
            raise PricelabError(
                f'Found "{said.strip()}", expected {what} with commas between. Write {example}.'
            ) from None
        if any(after <= before for before, after in pairwise(figures)):
            raise PricelabError(
                f'Found "{said.strip()}", expected {what} that rise. Put the smaller first, as in '
                f"{example}, and each once."
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
                f'Found "{part}", expected its heading = one of {", ".join(TYPES)} or note. '
                "Write Order no = job; Qty = quantity."
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
            raise PricelabError(f'Found "{said.strip()}", {bad}') from None

    return parse


def cell_or_none(read: Reader) -> Callable[[str], object]:
    """The same, where nothing typed means that it was not noted."""
    return lambda said: cell(read)(said) if said.strip() else None
