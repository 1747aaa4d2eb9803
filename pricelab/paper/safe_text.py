"""Text from a shop's files on its way into a spreadsheet: never a formula, always one line."""

import csv
import io
import re
from collections.abc import Iterable, Sequence

_NO_TEXT = re.compile("[\x00-\x1f\x7f\ud800-\udfff\ufffe\uffff]")
_STARTS_A_FORMULA = ("=", "+", "-", "@")


def one_line(text: str) -> str:
    """`text` on one line, without control characters and signs that no file can hold.

    >>> one_line("wipe clean;\\n not for laundering")
    'wipe clean; not for laundering'
    """
    return " ".join(_NO_TEXT.sub(" ", text).split())


def defused(text: str) -> str:
    """`text` so that no spreadsheet takes it for a formula: an apostrophe stands before it.

    >>> defused("=1+1"), defused("Harbour Caps")
    ("'=1+1", 'Harbour Caps')
    """
    line = one_line(text)
    return f"'{line}" if line.startswith(_STARTS_A_FORMULA) else line


def csv_file(rows: Iterable[Sequence], separator: str = ",") -> bytes:
    """The bytes of a CSV file as spreadsheets read it: UTF-8 that says so, Windows line ends."""
    text = io.StringIO(newline="")
    csv.writer(text, delimiter=separator, lineterminator="\r\n").writerows(rows)
    return text.getvalue().encode("utf-8-sig")
