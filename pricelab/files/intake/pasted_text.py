"""Pasted text as rows of cells, in every way that it could be split."""

import csv
import html
import io
import re
from collections.abc import Iterator

from pricelab.files.intake.pasted import read_band, read_break
from pricelab.files.intake.rejoined import (
    LAST_PRICE,
    LONGEST_LINE,
    Rows,
    by_tabs,
    one_cell_a_line,
    peeled,
    side_by_side,
    unwrapped,
)

_LAST_BREAK = re.compile(
    r"(?:^|\s)((?:from |min\.? )?[0-9][0-9,]*(?:\s?(?:[-–—]|to)\s?[0-9][0-9,]*)?"
    r"(?:\s?\+|(?: or| and|\s?&) (?:more|up|over))?(?:\s(?:pcs?|pieces|doz(?:en)?|gross)\b\.?)?)$",
    re.IGNORECASE,
)
_SIZE = r"[0-9]+(?:[.,][0-9]+|(?: [0-9]+)?/[0-9]+)?\s?(?:in\b|mm\b|[\"”]|k\b)?"
_LAST_BAND = re.compile(
    rf"(?:^|\s)((?:up to |max\.? |≤ ?)?{_SIZE}(?:\s?(?:[-–—]|to)\s?{_SIZE})?)$", re.IGNORECASE
)
_UNSEEN = re.compile("[^\\S\r\n\t]|[\ufeff\u200b\u2060]")
_ENTITY = re.compile(r"&(?:[A-Za-z]{2,8}[0-9]{0,2}|#[0-9]{1,5});")
_SIGNS = str.maketrans("‐‑‒−⁄", "--––/")  # noqa: RUF001
_LEADER = re.compile(r"\.{4,}|(?:\. ){3,}")


def tidied(text: str) -> str:
    """`text` with one kind of blank and dash, and with the letters that a page's source spells.

    >>> tidied("12&ndash;23, 2&frac12;&nbsp;in")
    '12–23, 2½ in'
    """
    text = _ENTITY.sub(lambda found: html.unescape(found[0]), text)
    return _UNSEEN.sub(" ", text).translate(_SIGNS)


def ways_to_split(text: str) -> Iterator[Rows]:
    """The rows of `text` by tabs, bars, semicolons, commas, wide gaps, lines and single spaces.

    >>> [rows[0] for rows in ways_to_split("Size  12-23  24+\\nup to 2  4.10  3.10")]
    [['Size', '12-23', '24+'], ['Size', '12-23', '24+']]
    """
    text = tidied(text)
    if all(line.startswith(">") for line in text.splitlines() if line.strip()):  # in a reply
        text = re.sub(r"^(?:> ?)+", "", text, flags=re.MULTILINE)
    text = _LEADER.sub("   ", text)
    for separator in "\t|;,":
        if separator in text:
            rows = [_unruled(row) for row in _delimited(text, separator)]
            yield rows
            yield from side_by_side(rows)
    yield from by_tabs([line for line in text.splitlines() if line.strip()])
    lines = text.splitlines()
    if any(re.search(r"\S\s{2,}\S", line) for line in lines):
        least = min(len(line) - len(line.lstrip()) for line in lines if line.strip())
        rows = [
            re.split(r"\s{2,}", re.sub(rf"^ {{,{least + 3}}}(?! )", "", line.rstrip()))
            for line in lines
        ]
        yield rows
        yield from unwrapped(rows)
    lines = [" ".join(line.split()) for line in lines]
    yield from one_cell_a_line([line for line in lines if line])
    yield _by_atoms(lines)


def _delimited(text: str, separator: str) -> Rows:
    """By a separator, with quotation marks round cells that hold it where they are in pairs."""
    try:
        if separator != "|":
            reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
            rows = list(reader)
            # An inch mark alone may be taken for quotation: then rows are inside a cell.
            if not any("\n" in cell and separator in cell for row in rows for cell in row):
                return rows
    except csv.Error:
        pass
    return [line.split(separator) for line in text.splitlines()]


def _unruled(cells: list[str]) -> list[str]:
    """A row's trimmed cells, empty if it is but a ruled line; without bars round it."""
    cells = [" ".join(cell.split()) for cell in cells]
    return [] if all(re.fullmatch(r"[-:=+_]*", cell) for cell in cells) else cells


def _by_atoms(lines: list[str]) -> Rows:
    """By single spaces: as many quantities or prices at the end of a line as the header has.

    A line with fewer or more is left as it falls, and will be doubted.
    """
    rows, wanted = [], 0
    for line in lines:
        if len(line) > LONGEST_LINE:
            rows.append([line])
            continue
        heads = _headed(line, _LAST_BREAK) or ([] if wanted else _headed(line, _LAST_BAND))
        if heads:
            rows.append(heads)
            wanted = len(heads) - 1
            continue
        label, prices = peeled(line, LAST_PRICE, wanted or 99)
        rows.append([label, *prices] if prices and (wanted or label) else [line])
    return rows


def _headed(line: str, last: re.Pattern) -> list[str]:
    """A header's label and its two or more quantities or sizes that rise; or nothing."""
    label, heads = peeled(line, last)
    while heads and label.endswith(("/", "+")):  # (width + height) / 2
        label = f"{label} {heads.pop(0)}"
    if last is _LAST_BREAK:
        ends = [found.start for found in (read_break(head)[0] for head in heads) if found]
    else:
        bands = [read_band(head, "," if "," in head else ".").band for head in heads]
        ends = [band.upper for band in bands if band]
    return [label, *heads] if len(ends) > 1 and ends == sorted(set(ends)) else []
