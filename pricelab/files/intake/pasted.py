"""Cells as suppliers print them, brought to the plain forms that our own files have.

A reader takes the text of a cell and gives its plain form, empty where there is none to
be sure of, and why it is doubtful, empty where it is not. It never raises.
"""

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from pricelab.files.cells import BadCell
from pricelab.files.printed import Band, Break, parse_band, parse_break
from pricelab.files.slips import mend_of_figure, plain_figure, pointed

_LONGEST = 120
"""Letters of a cell that may be a size, a quantity or a price; longer ones are prose."""

PIECES_IN = {"doz": 12, "dozen": 12, "dz": 12, "gross": 144}

_PIECES = re.compile(
    r"\b(?:pcs?|pieces?|units?|qty|quantity|caps?|patches|stk|stück|each|ea|buy)\b[.:]?"
)
_UP = re.compile(r"\s*(?:\+|(?:(?:&|and|or) *)?(?:up|over|more|above)|plus)$")
_OVER = re.compile(r"(?:over|above|more than|>) *([0-9]{1,7})")
_LEAST = re.compile(r"(?<=[0-9]) *\(?min(?:imum|\.)?\)?$")
_THROUGH = re.compile(r"\bthr(?:u|ough)\b")
_FROM = re.compile(r"(?:from|ab|≥|>=|at least|min\.?|minimum) *([0-9].*)")
_MANY = re.compile(r"([0-9]{1,4}|1/2|½)(\+|[-–][0-9]{1,4})? ?(doz|dozen|dz|gross)\.?(\+?)")
_GROUPED = re.compile(r"(?<![0-9.,])[0-9]{1,3}(?:[.,'’][0-9]{3})+(?![0-9.,])")

_INCH = r"inch(?:es)?\b|\bins?\b\.?|(?<=[0-9])ins?\b\.?|[\"”″]|''"
_UNITS = {
    "in": re.compile(rf"(?:sq(?:uare|\.)? ?)?(?:{_INCH})[²2]?(?![0-9])"),
    "mm": re.compile(
        r"(?:sq(?:uare|\.)? ?)?(?:(?<=[0-9])|\b)(?:mm(?![a-z])\.?²?|millimet(?:re|er)s?)"
    ),
    "cm": re.compile(
        r"(?:sq(?:uare|\.)? ?)?(?:(?<=[0-9])|\b)(?:cm(?![a-z])\.?²?|centimet(?:re|er)s?)"
    ),
}
_AREA = re.compile(r"\bsq\b|square|²|\barea\b")
_STITCH = re.compile(r"\b(?:stitch(?:es)?|sts?)\b\.?")
_UP_TO = re.compile(r"^(?:up to|upto|to|bis|max\.?|maximum|≤|<=)\s*(?=[0-9.½¼¾⅛⅜⅝⅞])")
_UNDER = re.compile(r"^(?:under|below|less than|<)\s*(?=[0-9.½¼¾⅛⅜⅝⅞])")
_BETWEEN = re.compile(r"^(?:over|above|more than|from|>) *(?=[0-9].*[0-9\s]to *[0-9])")
_WORDED = re.compile(
    r"(?=[^0-9]*[a-z])[^0-9]*[:,;(–] ?[^0-9]*?"
    rf"((?:up to |over |≤ ?)?[0-9].*(?:{_INCH}|mm|cm)|(?:up to |≤ ?)[0-9].*?)\)?"
)
_ONE_SIDE = re.compile(r"(.*[^a-z]) ?\b(?:wide|high|tall|long|across|(?:in )?dia(?:meter|\.)?)")
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_PARTED = re.compile(r"(?<![0-9./])([0-9]{1,3}) (?=(?:000|[0-9]{2}1)(?![0-9/]))")
_RUN_ON = re.compile(r"(?<![0-9])([1-9][0-9]{1,3})/([0-9]{1,4})")
_OPEN = re.compile(
    r"^(?:over|above|more than|from|>=?|≥)|(?:\+|and (?:up|over)|or (?:more|larger))$"
)

_SIGN = r"(?:[A-Z]{1,2}\$|[$€£¥]|\b[A-Z]{3}\b|\bkr\b\.?|zł)"
_CURRENCY = re.compile(rf"^{_SIGN}\s*|\s*{_SIGN}$")
_EACH = re.compile(r"\s*(?:/|per|a)?\s*\b(?:ea|each|pc|pcs|piece|unit)\b\.?$", re.IGNORECASE)
_FOOTNOTE = re.compile(r"(.*[0-9])\s*(?:[*†‡§#¹²³⁴⁵]+|\([a-z0-9]\)|\[[a-z0-9]\])", re.IGNORECASE)
_NO_PRICE = re.compile(r"[-–—./?]*|n/?a|[a-z.,\s]*", re.IGNORECASE)
_VOTE = re.compile(r"(?<![0-9.,])(?:0([.,])[0-9]+|[0-9]+([.,])[0-9]{1,2})(?![0-9.,])")


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
    plain = " ".join(_PIECES.sub(" ", _THROUGH.sub("-", text.lower())).split())
    plain = _UP.sub("+", _LEAST.sub("", plain))
    plain = _FROM.sub(lambda found: found[1].rstrip("+") + "+", plain)
    many = _MANY.fullmatch(plain)
    if many:
        half = many[1] in ("1/2", "½")
        each = PIECES_IN[many[3]]
        plain = f"{each // 2 if half else int(many[1]) * each}{'+' if many[2] or many[4] else ''}"
    plain = _GROUPED.sub(lambda found: re.sub(r"[^0-9]", "", found[0]), plain)
    why = ""
    if over := _OVER.fullmatch(plain):
        plain, why = f"{int(over[1]) + 1}+", f"It may hold from {over[1]} or from the next piece."
    try:
        found = parse_break(plain, ".")
    except BadCell as bad:
        if re.match(r"(?:up to|under|<|≤|to|bis|max)", plain):
            return None, "It has no first quantity. Write the quantity from which it holds."
        return None, _mend(text, bad)
    return found, why


def _mend(text: str, bad: BadCell) -> str:
    """Why a cell that holds something is not what was expected."""
    return bad.mend if text else "Nothing stands there. Write it."


@dataclass(frozen=True)
class PastedBand:
    """A size band: as printed with its ends, in `unit` if it says so, or why it is doubtful.

    `size` tells that it is one, even where no band can be made of it.
    """

    band: Band | None
    why: str = ""
    unit: str | None = None
    area: bool = False
    stitches: bool = False
    size: bool = False

    @property
    def label(self) -> str:
        """The band as our own file has it."""
        return self.band.text if self.band else ""


@lru_cache(4096)
def read_band(
    text: str, mark: str, *, stitches: bool = False, in_thousands: bool = False
) -> PastedBand:
    """A size band; `stitches` where the table goes by them, or by thousands of them.

    `mark` is the decimal mark, '' where it is unsettled.

    >>> read_band('up to 2 1/4"', ".").label, read_band("6000-7000 stitches", ".").label
    ('2 1/4', '6–7')
    >>> read_band("4 cm and up", ".").why
    'It has no upper end. Write the largest size that has this price.'
    """
    if len(text) > _LONGEST:
        return PastedBand(None, "It is too long for a size. Write the number alone.")
    low = " ".join(_THROUGH.sub("to", text.lower()).split())
    stitches = stitches or bool(_STITCH.search(low)) or bool(re.search(r"[0-9] ?k\b", low))
    worded = _WORDED.fullmatch(low) or _ONE_SIDE.fullmatch(low)
    low = worded[1] if worded else low
    units = [unit for unit, words in _UNITS.items() if words.search(low)]
    area = bool(_AREA.search(low))
    said = {"unit": units[0] if units else None, "area": area, "stitches": stitches}
    factor = Fraction(1)
    if said["unit"] == "cm":
        said["unit"], factor = "mm", Fraction(100 if area else 10)

    def doubtful(why: str, band: Band | None = None, *, size: bool = False) -> PastedBand:
        return PastedBand(band, why, **said, size=size)

    if len(units) > 1:
        return doubtful("It names two units. Write the size in one of them.", size=True)
    if re.search(r"[0-9]\W{0,3}[x×]\W{0,2}[0-9]", low):
        why = "It gives a width and a height. Write the size by the supplier's measure."
        return doubtful(why, size=True)
    plain = _STITCH.sub(" ", low)
    for words in _UNITS.values():
        plain = words.sub(" ", plain)
    plain = " ".join(re.sub(r"\b(?:sizes?|patch(?:es)?|badges?)\b:?", " ", plain).split())
    plain = re.sub(r" (?:up )?to(?: and including)?(?= |$)", " to", plain)
    plain = _BETWEEN.sub("", plain)
    if _OPEN.search(plain):
        return doubtful("It has no upper end. Write the largest size that has this price.")
    plain = _PARTED.sub(r"\1", re.sub(r"\s+-\s*|\s*-\s+", "-", plain))
    under = bool(_UNDER.match(plain))
    plain = _UNDER.sub("", _UP_TO.sub("", plain))
    thousands = bool(re.search(r"[0-9] ?k\b", plain))
    plain = re.sub(r"([0-9]) ?k\b", r"\1", plain)
    if stitches and not thousands:
        plain = _GROUPED.sub(lambda found: re.sub(r"[^0-9]", "", found[0]), plain)
    elif mark:
        other = "," if mark == "." else "."
        plain = re.sub(rf"(?<=[0-9])[{other}'’](?=[0-9]{{3}}(?![0-9]))", "", plain)
    elif re.search(r"[0-9][.,][0-9]{3}(?![0-9])", plain):
        return doubtful("It can be read as thousands or as decimals. Write which is meant.")
    why = "It does not say whether its end belongs to it or to the next band." if under else ""
    why = "Its words were left out. Compare the size." if worded else why
    if any(int(top) > int(bottom) for top, bottom in _RUN_ON.findall(plain)):
        why = (
            "A whole and a fraction may have run together, as 21/4 for 2 1/4. Write which is meant."
        )
    try:
        band = parse_band(plain, mark or ("," if "," in plain else "."))
    except BadCell as bad:
        return doubtful(_mend(text, bad), size=bool(_DAY.fullmatch(plain)))
    if stitches and not thousands:
        if band.upper < 500:
            why = "So few stitches are unlikely. Say whether thousands are meant."
            return doubtful("" if in_thousands else why, band)
        factor = Fraction(1, 1000)
    return doubtful(why, _scaled(band, plain, factor, mark))


def _scaled(band: Band, plain: str, factor: Fraction, mark: str) -> Band:
    """The band counted in another unit, with the text that our own file has for it."""
    if factor == 1:
        return Band(pointed(plain, mark or ("," if "," in plain else ".")), *_ends(band))
    ends = [end * factor for end in (band.lower, band.upper) if end is not None]
    return Band("–".join(map(decimal, ends)), *_ends(band, factor))


def _ends(band: Band, factor: Fraction = Fraction(1)):
    lower = None if band.lower is None else band.lower * factor
    return lower, band.upper * factor, tuple(step * factor for step in band.steps)


def decimal(figure: Fraction) -> str:
    """A figure in digits, to six places.

    >>> decimal(Fraction(13, 2)), decimal(Fraction(7))
    ('6.5', '7')
    """
    return f"{float(figure):.6f}".rstrip("0").rstrip(".")


# ---- money ----------------------------------------------------------------------------


def votes_for_mark(text: str) -> list[str]:
    """The decimal marks that figures in `text` leave no doubt of.

    >>> votes_for_mark("1,51–2,00"), votes_for_mark("1,234")
    ([',', ','], [])
    """
    return [first or second for first, second in _VOTE.findall(text)]


def currency_in(text: str) -> str:
    """The currency sign or code at an end of a price, or ''."""
    if len(text) > _LONGEST:
        return ""
    found = _CURRENCY.search(_FOOTNOTE.sub(r"\1", text.strip()))
    return found[0].strip() if found and re.search("[0-9]", text) else ""


@lru_cache(8192)
def read_price(text: str, mark: str) -> tuple[str, str]:
    """A price in plain digits and why it is doubtful; `mark` is '' where it is unsettled.

    >>> read_price("$4.10", "."), read_price("4,10 €", ",")
    (('4.10', ''), ('4.10', ''))
    >>> read_price("call", ".")
    ('', 'No price stands there. Write it, or empty the whole row or column.')
    """
    plain = text.strip().removeprefix("@").strip()
    if len(plain) > _LONGEST:
        return "", "It is too long for a price. Write a plain number."
    if _NO_PRICE.fullmatch(plain):
        return "", "No price stands there. Write it, or empty the whole row or column."
    why = ""
    noted = _FOOTNOTE.fullmatch(plain)
    if noted:
        plain, why = noted[1], "It carries a mark. Read the supplier's note on it."
    for words in (_EACH, _CURRENCY):
        plain = words.sub("", plain).strip()
    if not mark and re.fullmatch(r"[1-9][0-9]{0,2}[.,][0-9]{3}", plain):
        return "", "It can be read as thousands or as decimals. Write which is meant."
    figure = plain_figure(plain, mark or ".")
    if figure is None:
        several = len(re.findall(r"[0-9][0-9.,]*", plain)) > 1
        mend = "Write the one figure that holds." if several else "Write a plain number."
        return "", mend_of_figure(plain, mark or ".", mend)
    return figure, why


def is_price(text: str) -> bool:
    """Whether `text` is a price, by whichever decimal mark."""
    return any(read_price(text, mark)[0] for mark in ".,")
