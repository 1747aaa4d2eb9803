"""Pasted text as rows of cells, in every way that it could be split."""

import csv
import html
import io
import re
from collections.abc import Iterator
from itertools import pairwise

from pricelab.files.pasted import is_price, read_band, read_break

Rows = list[list[str]]

_PRICE = r"(?:[A-Z]{0,3}[$€£¥]\s?|[A-Z]{3}\s)?[0-9][0-9.,'’OoIl]*(?:\s?[$€£]|\s[A-Z]{3}\b)?[*†‡]?"
_LAST_PRICE = re.compile(rf"(?:^|\s)({_PRICE}|call|ask|poa|n/?a|[-–—])$", re.IGNORECASE)
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
_NO_PRICE = re.compile(r"call|ask|poa|n/?a|tbd|[-–—]", re.IGNORECASE)
_MONEY = re.compile(r"[$€£¥]|[0-9][.,][0-9]{2}|[A-Z]{3}")
_ENTITY = re.compile(r"&(?:[A-Za-z]{2,8}[0-9]{0,2}|#[0-9]{1,5});")
_SIGNS = str.maketrans("‐‑‒−⁄", "--––/")  # noqa: RUF001
_LEADER = re.compile(r"\.{4,}|(?:\. ){3,}")
_LONGEST_LINE, _MOST_COLUMNS = 400, 40


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
    lines = text.splitlines()
    if any(re.search(r"\S\s{2,}\S", line) for line in lines):
        yield [re.split(r"\s{2,}", line.rstrip()) for line in lines]
    lines = [" ".join(line.split()) for line in lines]
    yield from _one_cell_a_line([line for line in lines if line])
    yield _by_atoms(lines)


def side_by_side(rows: Rows) -> Iterator[Rows]:
    """Tables with an empty column between them put one under the other, if there are any."""
    width = max(map(len, rows), default=0)
    if width > _MOST_COLUMNS:
        return
    empty = [at for at in range(width) if not any(row[at] for row in rows if len(row) > at)]
    blocks = [(a + 1, b) for a, b in pairwise([-1, *empty, width]) if b - a > 3]
    if len(blocks) > 1:
        yield [row[a:b] for a, b in blocks for row in rows]


def _one_cell_a_line(cells: list[str]) -> Iterator[Rows]:
    """Cells that came each on a line of its own: the first row tells how many prices a row has.

    Nothing where a price would be left over, for then a cell is missing.
    """
    money = [bool(_MONEY.search(cell)) and len(cell) < 30 and is_price(cell) for cell in cells]
    first = money.index(True) - 1 if True in money else 0
    wide = (
        1 + money[first + 1 :].index(False) if False in money[first + 1 :] else len(cells) - first
    )
    if first < wide - 1 or wide < 3:
        return
    rows = [["", *cells[max(first - wide, 0) : first]][-wide:]]
    at = first
    while at + wide <= len(cells) and not money[at]:
        row = cells[at : at + wide]
        if not all(
            money[at + 1 + n] or _NO_PRICE.fullmatch(cell) for n, cell in enumerate(row[1:])
        ):
            break
        rows.append(row)
        at += wide
    if True not in money[at:]:
        before, after = cells[: max(first - wide, 0)], cells[at:]
        yield [*([cell] for cell in before), *rows, *([cell] for cell in after)]


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
        if len(line) > _LONGEST_LINE:
            rows.append([line])
            continue
        heads = _headed(line, _LAST_BREAK) or ([] if wanted else _headed(line, _LAST_BAND))
        if heads:
            rows.append(heads)
            wanted = len(heads) - 1
            continue
        label, prices = _peeled(line, _LAST_PRICE, wanted or 99)
        rows.append([label, *prices] if prices and (wanted or label) else [line])
    return rows


def _headed(line: str, last: re.Pattern) -> list[str]:
    """A header's label and its two or more quantities or sizes that rise; or nothing."""
    label, heads = _peeled(line, last)
    while heads and label.endswith(("/", "+")):  # (width + height) / 2
        label = f"{label} {heads.pop(0)}"
    if last is _LAST_BREAK:
        ends = [found.start for found in (read_break(head)[0] for head in heads) if found]
    else:
        bands = [read_band(head, "," if "," in head else ".").band for head in heads]
        ends = [band.upper for band in bands if band]
    return [label, *heads] if len(ends) > 1 and ends == sorted(set(ends)) else []


def _peeled(line: str, last: re.Pattern, most: int = 99) -> tuple[str, list[str]]:
    """What is left of `line` when up to `most` parts are taken off its end, and the parts."""
    parts: list[str] = []
    while len(parts) < most and (found := last.search(line)):
        parts.insert(0, found[1])
        line = line[: found.start()].rstrip()
    return line, parts
