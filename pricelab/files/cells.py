"""Reading one cell: a figure, a date, a word; or what was expected and how to mend it.

A reader takes the cell's trimmed text and the decimal mark of its file, and returns a
value or raises `BadCell`. Nothing is guessed: a cell that could be meant two ways is
refused with both.
"""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from difflib import get_close_matches
from functools import lru_cache
from itertools import islice

from pricelab.files.faults import one_line, quoted
from pricelab.files.slips import mend_of_figure, plain_figure, pointed
from pricelab.shop.errors import PricelabError
from pricelab.shop.units import parse_length

Reader = Callable[[str, str], object]

MOST_PIECES = 1_000_000
"""The largest count that is read: more pieces than a small shop decorates in a lifetime."""

_MOST_WORDS = 500

YEARS = range(1900, 2200)
"""Years a day can fall in: another is a slip of the hand."""


_BROAD = "\u00a0\u202f\u2007\u2009"
_UNSEEN = "\ufeff\u200b\u2060"
_SPACES = re.compile(f"[{_BROAD}]")

CONTROLS = bytes(sorted({*range(1, 32), 127} - set(b"\t\n\r"))).decode()
"""Signs by which a terminal is told to do something; NUL is refused where it matters."""

_CONTROLS = re.compile(f"[{re.escape(CONTROLS)}\x80-\x9f]")

ODD_SPACES = _BROAD + _UNSEEN
"""Spaces that are taken for common ones, and signs that are taken for none."""


class BadCell(Exception):
    """A cell that cannot be read: what was expected there, and how to mend it.

    Where it has `one_cause`, as a key that another table lacks, that is told once.
    """

    def __init__(self, expected: str, mend: str, *, one_cause: bool = False):
        super().__init__(f"expected {expected}. {mend}")
        self.expected, self.mend, self.one_cause = expected, mend, one_cause


@lru_cache(maxsize=4096)  # long tables hold the same figures over and over
def _figure(text: str, mark: str, expected: str) -> Decimal:
    plain = plain_figure(text, mark)
    if plain is None:
        raise BadCell(expected, mend_of_figure(text, mark, "Write a plain number."))
    return Decimal(plain)


def trimmed(text: str) -> str:
    """A text without spaces round it, and without those that are not what they look like.

    Nor does it keep signs that are commands to a terminal.

    >>> trimmed("\u00a0Old\u00a0Lantern "), trimmed("\x1b[31mRed\x07")
    ('Old Lantern', '[31mRed')
    """
    if text.isascii() and text.isprintable():  # nearly every cell
        return text.strip()
    if not text.isprintable():
        text = _CONTROLS.sub("", text)
    return _SPACES.sub(" ", text).strip().strip(_UNSEEN).strip()


# ---- readers --------------------------------------------------------------------------


def words(text: str, mark: str) -> str:
    """Any text."""
    return text


def amount(text: str, mark: str) -> float:
    """Money, minutes or another figure of 0 or more.

    >>> amount("3,20", ",")
    3.2
    """
    return float(_figure(text, mark, f"an amount such as 3{mark}20"))


def more_than_nothing(text: str, mark: str) -> float:
    """A figure above 0."""
    expected = f"a figure above 0 such as 3{mark}20"
    figure = float(_figure(text, mark, expected))
    if not figure > 0:
        raise BadCell(expected, "Write a figure above 0.")
    return figure


def from_one(text: str, mark: str) -> float:
    """A figure of 1 or more."""
    expected = f"a figure of 1 or more such as 1{mark}5"
    figure = float(_figure(text, mark, expected))
    if figure < 1:
        raise BadCell(expected, "Write a figure of 1 or more.")
    return figure


@dataclass(frozen=True, eq=False)
class _Whole:
    """A reader of whole numbers of pieces, heads or days."""

    least: int

    def __call__(self, text: str, mark: str) -> int:
        """The number."""
        expected = f"a whole number from {self.least}, such as 24"
        if not re.fullmatch(r"[0-9]{1,9}", text):
            raise BadCell(expected, mend_of_figure(text, mark, "Write a whole number."))
        if not self.least <= int(text) <= MOST_PIECES:
            raise BadCell(expected, f"Write a number from {self.least} to {MOST_PIECES}.")
        return int(text)


count, count_or_none = _Whole(1), _Whole(0)


@dataclass(frozen=True, eq=False)
class _Share:
    """A reader of percentages in some bounds, as fractions."""

    bounds: str
    fits: Callable[[Decimal], bool]

    def __call__(self, text: str, mark: str) -> float:
        """The fraction."""
        expected = f"a percentage {self.bounds}, such as 3 %"
        if not text.endswith("%"):
            slips = "" if plain_figure(text, mark) else mend_of_figure(text, mark, "")
            raise BadCell(expected, f"{slips} Write the sign % after the number.".lstrip())
        part = _figure(text[:-1].rstrip(), mark, expected) / 100
        if not self.fits(part):
            raise BadCell(expected, f"Write a percentage {self.bounds}.")
        return float(part)


share = _Share("from 0 % to under 100 %", lambda part: part < 1)
any_share = _Share("from 0 % to 100 %", lambda part: part <= 1)
some_share = _Share("above 0 % and up to 100 %", lambda part: 0 < part <= 1)
level_of_service = _Share("above 0 % and under 100 %", lambda part: 0 < part < 1)


def amount_or_share(text: str, mark: str) -> tuple[float, float]:
    """An amount, or a percentage as a fraction: the pair of both, the other one 0."""
    return (0.0, share(text, mark)) if text.endswith("%") else (amount(text, mark), 0.0)


def day(text: str, mark: str) -> date:
    """A day in ISO form."""
    expected = "a day such as 2026-11-25"
    if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
        raise BadCell(expected, "Write year-month-day.")
    if int(text[:4]) not in YEARS:
        raise BadCell(expected, "Correct the year.")
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise BadCell(expected, "Correct the month or the day.") from None


# ---- readers to be made ---------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class OneOf:
    """A reader of the words of `meanings`; a near miss is told the word it is near to."""

    meanings: dict[str, object]

    @classmethod
    def words_of(cls, words: Iterable[str]) -> "OneOf":
        """A reader of words that mean themselves."""
        return cls({word: word for word in words})

    def __call__(self, text: str, mark: str) -> object:
        """What the word means."""
        if text in self.meanings:
            return self.meanings[text]
        raise BadCell(self.expected, nearest(text, self.meanings) or "Write one of these words.")

    @property
    def words(self) -> tuple[str, ...]:
        """The words that are read."""
        return tuple(self.meanings)

    @property
    def expected(self) -> str:
        """The words as a sentence names them."""
        *others, last = self.meanings
        if len(others) > 3:
            return f"one of {', '.join(self.meanings)}"
        return f"{', '.join(others)} or {last}"


@dataclass(frozen=True, eq=False)
class KeyOf(OneOf):
    """A reader of the keys of another table, `what` they are and its `file`."""

    what: str
    file: str

    def __call__(self, text: str, mark: str) -> object:
        """The key."""
        if text in self.meanings:
            return text
        mend, file = nearest(text, self.meanings), self.file
        mend = f"{mend[:-1]}, or add {quoted(text)} to {file}." if mend else f"Add it to {file}."
        raise BadCell(f"{self.what} of {file}", mend, one_cause=True)


def known(keys: Iterable[str] | None, what: str, file: str) -> Reader:
    """A reader of the keys of another table; any text where that table could not be read."""
    return words if keys is None else KeyOf({key: key for key in keys}, what, file)


yes_or_no = OneOf({"yes": True, "no": False})


def nearest(text: str, known_words: Iterable[str]) -> str:
    """'Write "…".' with the known word that `text` is nearest to, or nothing.

    A long list of words is not looked through.
    """
    spelled = {word.lower(): word for word in islice(known_words, _MOST_WORDS)}
    near = get_close_matches(one_line(text).lower(), spelled, n=1)
    return f"Write {quoted(spelled[near[0]])}." if near else ""


def length_in(unit: str) -> Reader:
    """A reader of lengths above 0, counted in `unit`."""

    def read(text: str, mark: str) -> float:
        expected = f"a length such as 2{mark}25, 2 1/4 or 57 mm"
        if re.search(r"\d{8}", text):
            raise BadCell(expected, "Write a length that fits on a piece.")
        try:
            return float(parse_length(pointed(text, mark), unit).to(unit))
        except PricelabError:
            otherwise = "Write the number first and the unit, in or mm, after it."
            if plain_figure(text, mark):
                otherwise = "Write a length above 0."
            raise BadCell(expected, mend_of_figure(text, mark, otherwise)) from None

    return read


def distance_in(unit: str) -> Reader:
    """A reader of lengths of 0 or more, counted in `unit`."""
    length = length_in(unit)

    def read(text: str, mark: str) -> float:
        return 0.0 if re.fullmatch(r"0+([.,]0+)?", text) else length(text, mark)

    return read
