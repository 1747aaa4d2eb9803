"""Size bands and quantity breaks as suppliers print them, and whether a run of them is whole.

A band is known by its upper end, a break by the quantity from which it holds. The other
ends are printed for the eye: they are read to find gaps and overlaps, then dropped.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise

from pricelab.files.cells import MOST_PIECES, BadCell
from pricelab.files.faults import quoted
from pricelab.files.slips import mend_of_figure, pointed
from pricelab.shop.units import spell_fractions

_SIZE = (
    r"(?:[0-9]{1,9}(?:\.[0-9]{1,9})?|\.[0-9]{1,9}|(?:[0-9]{1,9}(?:\s+|-))?[0-9]{1,4}/[0-9]{1,4})"
)
_DASH = r"\s*(?:–|—|-|\bto\b)\s*"
_UP_TO = re.compile(rf"(?:up to|≤|<=)?\s*({_SIZE})")
_BAND = re.compile(rf"({_SIZE}){_DASH}({_SIZE})")
_BREAK = re.compile(rf"([0-9]{{1,9}})(?:(\s*\+|\s+or more)|{_DASH}([0-9]{{1,9}}))?")

_DAY = re.compile(r"\d{4}-\d\d-\d\d|\d{1,2}[-. ][A-Za-z]{3,4}|[A-Za-z]{3,4}[-. ]\d{1,2}")


@dataclass(frozen=True)
class Band:
    """A size band as printed: its ends, exactly, and one step of each one's print (2.00: 0.01)."""

    text: str
    lower: Fraction | None
    upper: Fraction
    steps: tuple[Fraction, Fraction]


@dataclass(frozen=True)
class Break:
    """A quantity break as printed; `last` is None where only its start is, `more` for `25+`."""

    text: str
    start: int
    last: int | None = None
    more: bool = False


@dataclass(frozen=True)
class Misfit:
    """What does not fit in a run of bands or breaks: which, and the words of the fault."""

    at: int
    found: str
    expected: str
    mend: str


@lru_cache(maxsize=4096)  # the sizes of a list stand in it for every method on every blank
def parse_band(text: str, mark: str) -> Band:
    """Read a size band.

    >>> parse_band("1.51–2.00", ".").upper, parse_band("up to 2 1/4", ".").upper
    (Fraction(2, 1), Fraction(9, 4))
    """
    plain = spell_fractions(pointed(text, mark).lower())
    single, ranged = _UP_TO.fullmatch(plain), _BAND.fullmatch(plain)
    expected = (
        f"the upper end of a size band, such as 2{mark}50, 2{mark}01–2{mark}50 or up to 2 1/2"
    )
    try:
        if single:
            upper, step = _exact(single[1])
            lower, steps = None, (step, step)
        elif ranged:
            (lower, step), (upper, upper_step) = _exact(ranged[1]), _exact(ranged[2])
            steps = step, upper_step
        else:
            raise BadCell(expected, _mend(text, mark, "Write the number alone."))
    except ZeroDivisionError:
        raise BadCell(expected, "Correct the fraction.") from None
    if not upper > 0:
        raise BadCell("a size above 0", "Write the upper end of the band.")
    if lower is not None and lower > upper:
        raise BadCell("a lower end before the upper end", "Swap the two ends.")
    return Band(text, lower, upper, steps)


def _exact(size: str) -> tuple[Fraction, Fraction]:
    """A printed size and one step of its print.

    >>> _exact("1.50"), _exact("2 1/4")
    ((Fraction(3, 2), Fraction(1, 100)), (Fraction(9, 4), Fraction(1, 4)))
    """
    if "/" not in size:
        return Fraction(size), Fraction(1, 10 ** len(size.partition(".")[2]))
    *whole, part = re.split(r"[\s-]+", size)
    top, bottom = part.split("/")
    return int(whole[0] if whole else 0) + Fraction(int(top), int(bottom)), Fraction(1, int(bottom))


def parse_break(text: str, mark: str) -> Break:
    """Read a quantity break.

    >>> parse_break("25–49", "."), parse_break("144 or more", ".").start
    (Break(text='25–49', start=25, last=49, more=False), 144)
    """
    match = _BREAK.fullmatch(text.lower())
    if match is None:
        raise BadCell(
            "a quantity such as 25, 25–49, 25+ or 144 or more",
            _mend(text, mark, "Write a whole number of pieces."),
        )
    start, last = int(match[1]), int(match[3]) if match[3] else None
    if not 1 <= start <= MOST_PIECES:
        raise BadCell("a quantity from 1", f"Write a number from 1 to {MOST_PIECES}.")
    if last is not None and not start <= last <= MOST_PIECES:
        raise BadCell("a first quantity up to the last", "Correct the two quantities.")
    return Break(text, start, last, bool(match[2]))


def _mend(text: str, mark: str, otherwise: str) -> str:
    """How to mend a band or break; spreadsheets take some printed ranges for days."""
    if _DAY.fullmatch(text):
        return "The spreadsheet took a range for a day. Write one number alone."
    return mend_of_figure(text, mark, otherwise)


def misfits_of_bands(bands: Sequence[Band]) -> Iterator[Misfit]:
    """Bands that are doubled, unsorted, overlap the one before or leave a gap after it.

    A lower end one step of its print above the end before is no gap: lower ends are for the
    eye, and what falls between belongs to the upper band. A whole number may be one without
    its decimals, so its step is as fine as a neighbour's print too: 51–57.5 follows 43–50,
    and 2–2.50 does not follow 1–1.50.
    """
    for at, (before, band) in enumerate(pairwise(bands), 1):
        begins = f"a band that begins where {quoted(before.text)} ends"
        lower, upper = band.steps
        step = lower if lower < 1 else min(lower, max(upper, before.steps[1]))
        if band.upper == before.upper:
            said = "every size band once", "Remove one of the two rows."
        elif band.upper < before.upper:
            said = "size bands that rise downward", "Sort the rows by size."
        elif band.lower is not None and band.lower < before.upper:
            said = begins, "Correct the ends: the two bands overlap."
        elif band.lower is not None and band.lower - before.upper > step:
            said = begins, "Add the band between them, or correct the ends."
        else:
            continue
        yield Misfit(at, f"{quoted(band.text)} after {quoted(before.text)}", *said)


def misfits_of_breaks(breaks: Sequence[Break]) -> Iterator[Misfit]:
    """Breaks that are doubled, unsorted, overlap the one before or leave a gap after it."""
    for at, (before, break_) in enumerate(pairwise(breaks), 1):
        after = (before.last or break_.start - 1) + 1
        if break_.start == before.start:
            said = "every quantity once", "Remove one of the two columns."
        elif break_.start < before.start:
            said = "quantities that rise to the right", "Sort the columns by quantity."
        elif break_.start < after:
            said = f"a break from {after}", "Correct the quantities: the two breaks overlap."
        elif break_.start > after:
            mend = "Add the break between them, or correct the quantities."
            said = f"a break from {after}", mend
        else:
            continue
        yield Misfit(at, f"{quoted(break_.text)} after {quoted(before.text)}", *said)
