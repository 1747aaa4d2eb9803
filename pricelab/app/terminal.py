"""What the command line prints: readable on any terminal, in any file, or told why not.

And what it ends with, for whoever runs it from another program.
"""

import codecs
import io
import os
import sys
import unicodedata
from collections.abc import Callable, Sequence

DONE = 0
BAD_NEWS = 1  # done, and the answer is bad news: a list that does not hold, a failed test
NOT_USABLE = 2  # the input cannot be used: the sentence says what to mend

_SIGNS = """
− - – - — - × x ÷ / ≤ <= ≥ >= ≈ ~ → -> ▲ ^ ▼ v · - • - … ...
’ ' ‘ ' “ " ” " „ " € EUR £ GBP ¥ JPY ß ss ø o Ø O ł l Ł L
"""
_PAIRS = zip(_SIGNS.split()[::2], _SIGNS.split()[1::2], strict=True)
_PLAIN = {**dict(_PAIRS), "\u2044": "/"}
"""Signs that not every terminal has, in signs that all have. No minus is ever lost."""


def plain(text: str) -> str:
    """`text` in the signs that every terminal has; a letter that has no likeness is "?".

    >>> plain("3 × −0.25 € für Mützen, 2½ in")
    '3 x -0.25 EUR fur Mutzen, 2 1/2 in'
    """
    return "".join(map(_plain, text))


def _plain(sign: str) -> str:
    if sign.isascii():
        return sign
    if unicodedata.name(sign, "").startswith("VULGAR FRACTION"):
        sign = f" {unicodedata.normalize('NFKD', sign)}"
    apart = _PLAIN.get(sign) or unicodedata.normalize("NFKD", sign)
    kept = (_PLAIN.get(part, part) for part in apart if not unicodedata.combining(part))
    return "".join(part if part.isascii() else "?" for part in kept)


def _spelled(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return plain(error.object[error.start : error.end]), error.end


def text_table(rows: Sequence[Sequence[str]]) -> list[str]:
    """`rows` as aligned lines, the first column to the left, the others to the right.

    Two spaces stand between columns; the first row is the heading.

    >>> text_table([("size", "12", "24"), ("up to 2 in", "31.25", "9.00")])
    ['size           12    24', 'up to 2 in  31.25  9.00']
    """
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return [
        "  ".join(
            cell.rjust(width) if at else cell.ljust(width)
            for at, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    ]


def printed(run: Callable[[], int]) -> int:
    """Do `run`, which prints and returns an exit code; what stops the printing is a sentence."""
    codecs.register_error("pricelab.plain", _spelled)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="pricelab.plain")
    try:
        code = run()
        sys.stdout.flush()
        return code
    except BrokenPipeError:  # the reader has seen enough, as in `… | head`
        _print_no_more()
        return DONE
    except OSError as error:
        what = "This could not be done, or not be printed"
        if error.filename is not None:
            what = f'Could not use "{error.filename}"'
        try:
            sys.stdout.flush()
        except OSError:
            _print_no_more()
        said = f"{what} ({error.strerror or error}). Make room or allow it, and try again."
        print(said, file=sys.stderr)
        return NOT_USABLE
    except KeyboardInterrupt:
        print("\nStopped.", file=sys.stderr)
        return NOT_USABLE


def _print_no_more() -> None:
    """Whatever is still to be printed goes nowhere, so that leaving is not stopped by it."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    os.close(nowhere)
