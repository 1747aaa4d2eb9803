"""Cells as suppliers print them, brought to the plain forms that our own files have.

A reader takes the text of a cell and gives its plain form, empty where there is none to
be sure of, and why it is doubtful, empty where it is not. It never raises.
"""

import re
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from pricelab.files.cells import BadCell
from pricelab.files.printed import Band, Break, parse_band, parse_break
from pricelab.files.slips import mend_of_figure, plain_figure, pointed

_LONGEST = 120
"""Letters of a cell that may be a size, a quantity or a price; longer ones are prose."""

PIECES_IN = {"doz": 12, "dozen": 12, "dz": 12, "gross": 144}

THOUSANDS_OR_DECIMALS = "It can be read as thousands or as decimals. Write which is meant."
_GROUPED = re.compile(r"(?<![0-9.,])[0-9]{1,3}(?:[.,'’][0-9]{3})+(?![0-9.,])")


def _put(steps: tuple, text: str) -> str:
    """`text` with each pattern of `steps` in turn put in other words, and single spaces."""
    for pattern, words in steps:
        text = re.sub(pattern, words, text)
    return " ".join(text.split())


def _ungrouped(text: str) -> str:
    """`text` without the signs between thousands."""
    return _GROUPED.sub(lambda found: re.sub(r"[^0-9]", "", found[0]), text)


def _mend(text: str, bad: BadCell) -> str:
    """Why a cell that holds something is not what was expected."""
    return bad.mend if text else "Nothing stands there. Write it."


# ---- quantities -----------------------------------------------------------------------

_OF_PIECES = (
    (r"\bthr(?:u|ough)\b", "-"),
    (
        r"\b(?:pcs?|pieces?|units?|qty|quantity|caps?|patches|stk|stück|each|ea|buy)\b[.:]?",
        " ",
    ),
)
_AND_MORE = (
    (r"(?<=[0-9]) *\(?min(?:imum|\.)?\)?$", ""),
    (r"\s*(?:\+|(?:(?:&|and|or) *)?(?:up|over|more|above)|plus)$", "+"),
    (r"^(?:from|ab|≥|>=|at least|min\.?|minimum) *([0-9].*?)\+*$", r"\1+"),
)
_MANY = re.compile(r"([0-9]{1,4}|1/2|½)(\+|[-–][0-9]{1,4})? ?(doz|dozen|dz|gross)\.?(\+?)")
_OVER = re.compile(r"(?:over|above|more than|>) *([0-9]{1,7})")


@lru_cache(4096)
def read_break(text: str) -> tuple[Break | None, str]:
    """A quantity break and why it is doubtful.

    >>> read_break("1 doz")[0].start, read_break("144 and up")[0].text
    (12, '144+')
    >>> read_break("12-Jun")
    (None, 'The spreadsheet took a range for a day. Write one number alone.')
    """
    if len(text) > _LONGEST:
        return None, "It is too long for a quantity. Write a whole number of pieces."
    plain = _put(_AND_MORE, _put(_OF_PIECES, text.lower()))
    if many := _MANY.fullmatch(plain):
        each = PIECES_IN[many[3]]
        pieces = int(many[1]) * each if many[1].isdecimal() else each // 2
        plain = f"{pieces}{'+' if many[2] or many[4] else ''}"
    plain, why = _ungrouped(plain), ""
    if over := _OVER.fullmatch(plain):
        plain, why = f"{int(over[1]) + 1}+", f"It may hold from {over[1]} or from the next piece."
    try:
        return parse_break(plain, "."), why
    except BadCell as bad:
        if re.match(r"(?:up to|under|<|≤|to|bis|max)", plain):
            return None, "It has no first quantity. Write the quantity from which it holds."
        return None, _mend(text, bad)


# ---- sizes ----------------------------------------------------------------------------

_INCH = r"inch(?:es)?\b|\bins?\b\.?|(?<=[0-9])ins?\b\.?|[\"”″]|''"
_SQUARE = r"(?:sq(?:uare|\.)? ?)?"
_UNITS = {
    "in": rf"{_SQUARE}(?:{_INCH})[²2]?(?![0-9])",
    "mm": rf"{_SQUARE}(?:(?<=[0-9])|\b)(?:mm(?![a-z])\.?²?|millimet(?:re|er)s?)",
    "cm": rf"{_SQUARE}(?:(?<=[0-9])|\b)(?:cm(?![a-z])\.?²?|centimet(?:re|er)s?)",
}
_AREA = re.compile(r"\bsq\b|square|²|\barea\b")
_STITCH = r"\b(?:stitch(?:es)?|sts?)\b\.?"
_K = r"([0-9]) ?k\b"
_WORDED = re.compile(
    r"(?=[^0-9]*[a-z])[^0-9]*[:,;(–] ?[^0-9]*?"
    rf"((?:up to |over |≤ ?)?[0-9].*(?:{_INCH}|mm|cm)|(?:up to |≤ ?)[0-9].*?)\)?"
)
_ONE_SIDE = re.compile(r"(.*[^a-z]) ?\b(?:wide|high|tall|long|across|(?:in )?dia(?:meter|\.)?)")
_TWO_SIDES = re.compile(r"[0-9]\W{0,3}[x×]\W{0,2}[0-9]")
_OF_SIZES = (
    *((words, " ") for words in (_STITCH, *_UNITS.values())),
    (r"\b(?:sizes?|patch(?:es)?|badges?)\b:?", " "),
    (r"\s+", " "),
    (r" (?:up )?to(?: and including)?(?= |$)", " to"),
    (r"^ ?(?:over|above|more than|from|>) *(?=[0-9].*[0-9\s]to *[0-9])", ""),
)
_OPEN = re.compile(
    r"^(?:over|above|more than|from|>=?|≥)|(?:\+|and (?:up|over)|or (?:more|larger))$"
)
_CLOSED_UP = (
    (r"\s+-\s*|\s*-\s+", "-"),
    (r"(?<![0-9./])([0-9]{1,3}) (?=(?:000|[0-9]{2}1)(?![0-9/]))", r"\1"),
)
_FIGURE = r"(?=[0-9.½¼¾⅛⅜⅝⅞])"
_UP_TO = re.compile(rf"^(?:up to|upto|to|bis|max\.?|maximum|≤|<=)\s*{_FIGURE}")
_UNDER = re.compile(rf"^(?:under|below|less than|<)\s*{_FIGURE}")
_RUN_ON = re.compile(r"(?<![0-9])([1-9][0-9]{1,3})/([0-9]{1,4})")
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


@dataclass(frozen=True)
class PastedBand:
    """A size band: as printed with its ends, in `unit` if it says so, or why it is doubtful.

    `size` tells that it is one, even where no band can be made of it.
    """

    band: Band | None = None
    why: str = ""
    unit: str | None = None
    area: bool = False
    stitches: bool = False
    size: bool = False


@lru_cache(4096)
def read_band(
    text: str, mark: str, *, stitches: bool = False, in_thousands: bool = False
) -> PastedBand:
    """A size band; `stitches` where the table goes by them, or by thousands of them.

    `mark` is the decimal mark, '' where it is unsettled.

    >>> read_band('up to 2 1/4"', ".").band.text, read_band("6000-7000 stitches", ".").band.text
    ('2 1/4', '6–7')
    >>> read_band("4 cm and up", ".").why
    'It has no upper end. Write the largest size that has this price.'
    """
    if len(text) > _LONGEST:
        return PastedBand(why="It is too long for a size. Write the number alone.")
    low = _put(((r"\bthr(?:u|ough)\b", "to"),), text.lower())
    stitches = stitches or bool(re.search(f"{_STITCH}|{_K}", low))
    worded = _WORDED.fullmatch(low) or _ONE_SIDE.fullmatch(low)
    low = worded[1] if worded else low
    unit, *others = [unit for unit, words in _UNITS.items() if re.search(words, low)] or [None]
    area = bool(_AREA.search(low))
    factor = Fraction(1 if unit != "cm" else 100 if area else 10)
    said = PastedBand(unit="mm" if unit == "cm" else unit, area=area, stitches=stitches)
    if others:
        why = "It names two units. Write the size in one of them."
        return replace(said, why=why, size=True)
    if _TWO_SIDES.search(low):
        why = "It gives a width and a height. Write the size by the supplier's measure."
        return replace(said, why=why, size=True)
    plain = _put(_OF_SIZES, low)
    if _OPEN.search(plain):
        return replace(said, why="It has no upper end. Write the largest size that has this price.")
    plain = _put(_CLOSED_UP, plain)
    under = _UNDER.match(plain)
    plain = _UNDER.sub("", _UP_TO.sub("", plain))
    thousands = re.search(_K, plain)
    plain = re.sub(_K, r"\1", plain)
    likely = mark or ("," if "," in plain else ".")
    if stitches and not thousands:
        plain = _ungrouped(plain)
    elif mark:
        other = "," if mark == "." else "."
        plain = re.sub(rf"(?<=[0-9])[{other}'’](?=[0-9]{{3}}(?![0-9]))", "", plain)
    elif re.search(r"[0-9][.,][0-9]{3}(?![0-9])", plain):
        return replace(said, why=THOUSANDS_OR_DECIMALS)
    why = "It does not say whether its end belongs to it or to the next band." if under else ""
    why = "Its words were left out. Compare the size." if worded else why
    if any(int(top) > int(bottom) for top, bottom in _RUN_ON.findall(plain)):
        why = (
            "A whole and a fraction may have run together, as 21/4 for 2 1/4. Write which is meant."
        )
    try:
        band = parse_band(plain, likely)
    except BadCell as bad:
        return replace(said, why=_mend(text, bad), size=bool(_DAY.fullmatch(plain)))
    if stitches and not thousands:
        if band.upper < 500:
            why = "So few stitches are unlikely. Say whether thousands are meant."
            return replace(said, band=band, why="" if in_thousands else why)
        factor = Fraction(1, 1000)
    return replace(said, band=_scaled(band, factor, likely), why=why)


def _scaled(band: Band, factor: Fraction, mark: str) -> Band:
    """The band counted in another unit, with the text that our own file has for it."""
    if factor == 1:
        return replace(band, text=pointed(band.text, mark))
    lower = None if band.lower is None else band.lower * factor
    upper, steps = band.upper * factor, tuple(step * factor for step in band.steps)
    ends = [f"{float(end):.6f}" for end in (lower, upper) if end is not None]
    return Band("–".join(end.rstrip("0").rstrip(".") for end in ends), lower, upper, steps)


# ---- money ----------------------------------------------------------------------------

_SIGN = r"(?:[A-Z]{1,2}\$|[$€£¥]|\b[A-Z]{3}\b|\bkr\b\.?|zł)"
_CURRENCY = rf"^{_SIGN}\s*|\s*{_SIGN}$"
_EACH = r"(?i:\s*(?:/|per|a)?\s*\b(?:ea|each|pc|pcs|piece|unit)\b\.?$)"
_FOOTNOTE = re.compile(r"(.*[0-9])\s*(?:[*†‡§#¹²³⁴⁵]+|\([a-z0-9]\)|\[[a-z0-9]\])", re.IGNORECASE)
_NO_PRICE = re.compile(r"[-–—./?]*|n/?a|[a-z.,\s]*", re.IGNORECASE)
_VOTE = re.compile(r"(?<![0-9.,])(?:0([.,])[0-9]+|[0-9]+([.,])[0-9]{1,2})(?![0-9.,])")


def votes_for_mark(text: str) -> list[str]:
    """The decimal marks that figures in `text` leave no doubt of.

    >>> votes_for_mark("1,51–2,00"), votes_for_mark("1,234")
    ([',', ','], [])
    """
    return [first or second for first, second in _VOTE.findall(text)]


def currency_in(text: str) -> str:
    """The currency sign or code at an end of a price, or ''."""
    if len(text) > _LONGEST or not re.search("[0-9]", text):
        return ""
    found = re.search(_CURRENCY, _FOOTNOTE.sub(r"\1", text.strip()))
    return found[0].strip() if found else ""


@lru_cache(8192)
def read_price(text: str, mark: str) -> tuple[str, str]:
    """A price in plain digits and why it is doubtful; `mark` is '' where it is unsettled.

    >>> read_price("$4.10", "."), read_price("4,10 €", ",")
    (('4.10', ''), ('4.10', ''))
    >>> read_price("call", ".")
    ('', 'No price stands there. Write it, or empty the whole row or column.')
    """
    plain, why = text.strip().removeprefix("@").strip(), ""
    if len(plain) > _LONGEST:
        return "", "It is too long for a price. Write a plain number."
    if _NO_PRICE.fullmatch(plain):
        return "", "No price stands there. Write it, or empty the whole row or column."
    if noted := _FOOTNOTE.fullmatch(plain):
        plain, why = noted[1], "It carries a mark. Read the supplier's note on it."
    for words in (_EACH, _CURRENCY):
        plain = re.sub(words, "", plain).strip()
    if not mark and re.fullmatch(r"[1-9][0-9]{0,2}[.,][0-9]{3}", plain):
        return "", THOUSANDS_OR_DECIMALS
    figure = plain_figure(plain, mark or ".")
    if figure is not None:
        return figure, why
    several = len(re.findall(r"[0-9][0-9.,]*", plain)) > 1
    mend = "Write the one figure that holds." if several else "Write a plain number."
    return "", mend_of_figure(plain, mark or ".", mend)


def is_price(text: str) -> bool:
    """Whether `text` is a price, by whichever decimal mark."""
    return any(read_price(text, mark)[0] for mark in ".,")
