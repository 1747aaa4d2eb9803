"""Lists of words in a sentence."""

from collections.abc import Iterable


def listed(words: Iterable[str]) -> str:
    """Words as a sentence lists them.

    >>> listed(["leather"]), listed(["leather", "vinyl", "foam"])
    ('leather', 'leather, vinyl and foam')
    """
    *first, last = words
    return f"{', '.join(first)} and {last}" if first else last
