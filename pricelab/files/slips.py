"""Slips of the hand in a figure, and how each is mended: a letter O, a comma for a point."""

import re

_PLAIN = re.compile(r"[0-9]{1,12}(?:\.[0-9]{1,20})?|\.[0-9]{1,20}")
_LONGEST = 60
"""Letters of a figure with its slips; longer text is none, and would take long to look through."""

_SWAP = str.maketrans(".,", ",.")

_THOUSANDS = "Remove the thousands separator."
_SLIPS = (
    (r"^[-−–]\s*", "", "Remove the minus sign."),
    (r"([$¢£¤¥\u20a0-\u20c0])", "", r"Remove the currency sign \1."),
    (r"^([A-Z]{3})\b\s*|\s*\b([A-Z]{3})$", "", r"Remove the currency \1\2."),
    (r"\s*%$", "", "Remove the sign %."),
    (r"[Oo]", "0", "Replace the letter O by a zero."),
    (r"[lI|]", "1", "Replace the letter l by a one."),
    (r"(?<=\d)[ '’](?=\d{3}(?!\d))", "", _THOUSANDS),
    (r"(?<=\d),(?=\d{3}(,\d{3})*\.)", "", _THOUSANDS),
    (r"^\d{1,3}(,\d{3}){2,}$", lambda figure: figure[0].replace(",", ""), _THOUSANDS),
    (r"(?<=\d)\.(?=\d{3}(\.\d{3})*,)", "", _THOUSANDS),
    (r"^(\d+),(\d{3})$", r"\1.\2", r"Write \1\2 or \1{mark}\2, whichever is meant."),
    (r"^(\d*),(\d+)$", r"\1.\2", "Replace the {comma} by a {point}."),
)
"""As in a file with decimal points: the slip, what it should have been, the mend."""

_NAMES = {
    ".": {"mark": ".", "point": "point", "comma": "comma"},
    ",": {"mark": ",", "point": "comma", "comma": "point"},
}


def pointed(text: str, mark: str) -> str:
    """`text` as it would read in a file with decimal points.

    >>> pointed("1.200,50", ",")
    '1,200.50'
    """
    return text if mark == "." else text.translate(_SWAP)


def plain_figure(text: str, mark: str) -> str | None:
    """A plain figure with its decimal point, or None where `text` is not one.

    >>> plain_figure("3,20", ","), plain_figure("3,20", ".")
    ('3.20', None)
    """
    plain = pointed(text, mark)
    return plain if _PLAIN.fullmatch(plain) else None


def mend_of_figure(text: str, mark: str, otherwise: str) -> str:
    """How to turn `text` into a plain figure, slip by slip; `otherwise` where that fails.

    >>> mend_of_figure("$1,200.5O", ".", "Write a plain number.")
    'Remove the currency sign $. Replace the letter O by a zero. Remove the thousands separator.'
    """
    if len(text) > _LONGEST:
        return otherwise
    left, mends = pointed(text, mark), []
    for pattern, right, mend in _SLIPS:
        slip = re.search(pattern, left)
        if slip:
            mends.append(slip.expand(mend).format(**_NAMES[mark]))
            left = re.sub(pattern, right, left).strip()
    return " ".join(dict.fromkeys(mends)) if mends and _PLAIN.fullmatch(left) else otherwise
