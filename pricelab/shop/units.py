"""Lengths in inches and millimetres, kept with their unit until they are compared."""

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from unicodedata import normalize

from pricelab.shop.errors import PricelabError

MM_PER_INCH = Fraction("25.4")
"""Exact by definition (NIST SP 811, appendix B.8: 1 in = 2.54 E-02 m)."""

UNITS = ("in", "mm")

_WORDS = {
    "in": ("in", "in.", "inch", "inches", '"', "”", "″"),
    "mm": ("mm", "mm.", "millimetre", "millimetres", "millimeter", "millimeters"),
}
_UNIT_OF = {word: unit for unit, words in _WORDS.items() for word in words}
_NUMBER = re.compile(
    r"(?:(?P<whole>\d{1,12})(?:\s+|\s*-\s*))?(?P<top>\d{1,12})\s*/\s*(?P<bottom>\d{1,12})"
    r"|(?P<decimal>\d{1,12}(?:\.\d{1,20})?|\.\d{1,20})"
)


def check_unit(unit: str) -> None:
    """Refuse any unit of length but those of `UNITS`."""
    if unit not in UNITS:
        raise PricelabError(f'found the unit "{unit}", expected "in" or "mm".')


@dataclass(frozen=True)
class Length:
    """A length above zero, in its own unit.

    >>> Length(Fraction(9, 4), "in").to("mm")
    Fraction(1143, 20)
    """

    value: Fraction
    unit: str

    def __post_init__(self):
        check_unit(self.unit)
        object.__setattr__(self, "value", Fraction(self.value))
        if self.value <= 0:
            raise PricelabError(f"found the length {float(self.value):g}, expected more than 0.")

    def to(self, unit: str) -> Fraction:
        """The same length counted in `unit`, exactly."""
        if unit == self.unit:
            return self.value
        return self.value * MM_PER_INCH if unit == "mm" else self.value / MM_PER_INCH

    def __str__(self):
        return f"{float(self.value):g} {self.unit}"


@lru_cache(maxsize=4096)  # long tables hold the same lengths over and over
def parse_length(text: str, unit: str) -> Length:
    """Read a length as people write it; `unit` is meant where the text names none.

    >>> parse_length("2 1/4", "in"), parse_length("57 mm", "in")
    (Length(value=Fraction(9, 4), unit='in'), Length(value=Fraction(57, 1), unit='mm'))
    """
    said = str(text).strip()
    plain = spell_fractions(said.lower())
    match = _NUMBER.match(plain)
    word = plain[match.end() :].strip() if match else None
    if match is None or (word and word not in _UNIT_OF) or not int(match["bottom"] or 1):
        raise PricelabError(
            f'found "{said}", expected a length such as 2.25, 2 1/4 or 57 mm. '
            "Write the number first and the unit, in or mm, after it."
        )
    if match["decimal"]:
        value = Fraction(match["decimal"])
    else:
        value = int(match["whole"] or 0) + Fraction(int(match["top"]), int(match["bottom"]))
    return Length(value, _UNIT_OF[word] if word else unit)


def spell_fractions(text: str) -> str:
    """`text` with fractions of one letter spelled out.

    >>> spell_fractions("2½")
    '2 1/2'
    """
    return re.sub("[¼½¾⅛⅜⅝⅞]", lambda sign: f" {_spelled(sign[0])}", text).strip()


def _spelled(sign: str) -> str:
    return normalize("NFKC", sign).replace("\N{FRACTION SLASH}", "/")


def convert(values, from_unit: str, to_unit: str):
    """Numbers counted in `from_unit`, counted in `to_unit` instead; any shape.

    >>> convert(57.15, "mm", "in")
    2.25
    """
    if from_unit == to_unit:
        return values
    factor = float(MM_PER_INCH)
    return values * factor if to_unit == "mm" else values / factor
