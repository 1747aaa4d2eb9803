"""What a supplier's sheet says in words, around its figures and over them; all in small letters."""

import re

from pricelab.shop.sizes import Measure

_MEASURES = {
    Measure.MEAN_OF_SIDES: r"(?:mean|average) (?:of|size)"
    r"|\bw(?:idth)? ?\+ ?h(?:eight)?\)? ?[/÷] ?2",  # the sum alone is twice as much
    Measure.LONGEST_SIDE: r"(?:longest|largest|longer|max(?:imum|\.)?) (?:side|dimension|edge)"
    r"|whichever is (?:the )?(?:greater|larger|longer)",
    Measure.THOUSAND_STITCHES: r"\bstitch(?:es)?\b",
    Measure.AREA: r"\barea\b|\bsq\b|square (?:inch|milli|centi)|\b(?:in|mm|cm)²",
}
_UNITS = {
    "in": r"\binch(?:es)?\b|[(,] ?in\.?\)|\bsq(?:uare|\.)? ?in\b",
    "mm": r"\bmm(?![a-z])|millimet",
    "cm": r"\bcm(?![a-z])|centimet",
}
SET_UP = re.compile(r"set[- ]?up|digiti[sz]ing|(?:mou?ld|die|plate|screen)s?\W+(?:fee|charge|cost)")
"""A line about what a new design costs once."""
_OTHERS = (
    r"(?:colou?rs?|days?|weeks?|years?|positions?|locations?|doz(?:en)?s?|gross|pairs?|boxes"
    r"|(?:packs?|sets?)(?! of [0-9]|[- ]?up)|hundreds?|thousands?(?! (?:of )?stitches))\b"
)
_NOT_PIECES = re.compile(rf"(?<!per )(?<!/)(?<!/ )(?<!a )\b{_OTHERS}")
_IN_TITLE = re.compile(rf"(?:^|\b(?:in|by|of) ){_OTHERS}")
LEAST = re.compile(r"\bmin(?:imum|\.)?\b[^0-9$€£]{0,30}([0-9]{1,5})(?![0-9.,])")
PACKS = re.compile(r"packs? of ([1-9][0-9]{0,4})\b")
PER_STITCHES = re.compile(r"(?:per|/) ?(?:1[,.]?000|thousand|k) ?st")
"""Prices for a thousand stitches."""
THOUSANDS = re.compile(r"thousands? (?:of )?stitches|stitches,? \(?(?:in )?(?:thousands|000|k)\b")
"""Stitches counted in thousands."""
_PER_MANY = re.compile(
    r"(?:per|/|\ba) ?(?:doz(?:en)?|dz|gross|hundred|thousand)\b|(?:per|/) ?1(?:00|[,.]?000)\b"
    r"|(?:per|/) ?(?:sq(?:uare|\.)? ?|linear |running )?"
    r"(?:foot|feet|ft|yard|yd|met(?:re|er)|inch|in|cm|m)[²2]?(?![a-z0-9])"
    r"|(?:per|/|for a) ?(?:pair|set(?![- ]?up)|pack|box|roll|sheet|card)\b"
    r"|\b(?:sets?|pairs?) of [0-9]"
    r"|\b(?:in )?(?:cents|pence)\b|¢"
    r"|\btotal prices?\b|\bprices? for (?:all|the (?:lot|order))\b|\blot prices?\b"
)


def measures_named(text: str) -> list[Measure]:
    """The measures that a sheet names.

    >>> measures_named("width or height, whichever is greater")
    [<Measure.LONGEST_SIDE: 'longest side'>]
    """
    return [measure for measure, words in _MEASURES.items() if re.search(words, text)]


def units_named(text: str) -> set[str]:
    """The units in which a sheet says that it measures."""
    return {unit for unit, words in _UNITS.items() if re.search(words, text)}


def other_than_pieces(heads: str, title: str) -> str:
    """What heads count where they do not count pieces, by their words and the title's, or ''.

    >>> other_than_pieces("", "number of colours"), other_than_pieces("", "badges, one colour")
    ('of colours', '')
    """
    if "stitch" in heads:
        heads = re.sub("(?:hundred|thousand)s?", "", heads)  # are of stitches
    found = _NOT_PIECES.search(heads) or _IN_TITLE.search(title)
    return found[0] if found else ""


def number_said(said: re.Pattern, text: str) -> int | None:
    """The `LEAST` pieces that a supplier makes, or those in `PACKS`; None where it is silent.

    >>> number_said(LEAST, "minimum order 24 pieces"), number_said(PACKS, "sold one by one")
    (24, None)
    """
    found = said.search(text)
    return int(found[1]) if found else None


def prices_for_many(text: str, *, by_stitches: bool = False) -> str:
    """What prices are for, where that is neither a piece nor a thousand stitches, or ''.

    Where bands are of stitches, prices for a thousand stitches are as odd as any.

    >>> prices_for_many("price per dozen"), prices_for_many("$ / sq ft"), prices_for_many("each")
    ('per dozen', '/ sq ft', '')
    """
    found = _PER_MANY.search(text if by_stitches else PER_STITCHES.sub("", text))
    return found[0] if found else ""
