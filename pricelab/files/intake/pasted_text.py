"""Pasted text as rows of cells, in every way that it could be split.

Some ways put together again what came apart in copying: cells with line ends in them, cells
each on a line of its own, names that run on above or below their prices, tables that stood
beside one another.
"""

import csv
import html
import io
import re
from collections.abc import Iterator
from itertools import pairwise

from pricelab.files.intake.pasted import is_price, read_band, read_break

Rows = list[list[str]]

_LAST_BREAK = re.compile(
    r"(?:^|\s)((?:from |min\.? )?[0-9][0-9,]*(?:\s?(?:[-–—]|to)\s?[0-9][0-9,]*)?"
    r"(?:\s?\+|(?: or| and|\s?&) (?:more|up|over))?(?:\s(?:pcs?|pieces|doz(?:en)?|gross)\b\.?)?)$",
    re.IGNORECASE,
)
_SIZE = r"[0-9]+(?:[.,][0-9]+|(?: [0-9]+)?/[0-9]+)?\s?(?:in\b|mm\b|[\"”]|k\b)?"
_LAST_BAND = re.compile(
    rf"(?:^|\s)((?:up to |max\.? |≤ ?)?{_SIZE}(?:\s?(?:[-–—]|to)\s?{_SIZE})?)$", re.IGNORECASE
)
_PRICE = r"(?:[A-Z]{0,3}[$€£¥]\s?|[A-Z]{3}\s)?[0-9][0-9.,'’OoIl]*(?:\s?[$€£]|\s[A-Z]{3}\b)?[*†‡]?"
_LAST_PRICE = re.compile(rf"(?:^|\s)({_PRICE}|call|ask|poa|n/?a|[-–—])$", re.IGNORECASE)
_NO_PRICE = re.compile(r"call|ask|poa|n/?a|tbd|[-–—]", re.IGNORECASE)
_MONEY = re.compile(r"[$€£¥]|[0-9][.,][0-9]{2}|[A-Z]{3}")
_DIGIT = re.compile("[0-9]")
_MOST_COLUMNS, _LONGEST_LINE = 40, 400

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
    lines = text.splitlines()
    filled = [line for line in lines if line.strip()]
    for separator in "\t|;,":
        if separator in text:
            rows = [_unruled(row) for row in _delimited(text, separator)]
            yield rows
            yield from _side_by_side(rows)
    yield from by_tabs(filled)
    if any(re.search(r"\S\s{2,}\S", line) for line in filled):
        least = min(len(line) - len(line.lstrip()) for line in filled)
        indent = re.compile(rf"^ {{,{least + 3}}}(?! )")
        rows = [re.split(r"\s{2,}", indent.sub("", line.rstrip())) for line in lines]
        yield rows
        yield from _unwrapped(rows)
    yield from _one_cell_a_line([" ".join(line.split()) for line in filled])
    yield _by_atoms([" ".join(line.split()) for line in lines])


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


def _side_by_side(rows: Rows) -> Iterator[Rows]:
    """Tables with an empty column between them put one under the other, if there are any."""
    width = max(map(len, rows), default=0)
    if width > _MOST_COLUMNS:
        return
    empty = [at for at in range(width) if not any(row[at] for row in rows if len(row) > at)]
    blocks = [(a + 1, b) for a, b in pairwise([-1, *empty, width]) if b - a > 3]
    if len(blocks) > 1:
        yield [row[a:b] for a, b in blocks for row in rows]


def by_tabs(lines: list[str]) -> Iterator[Rows]:
    """Rows of cells with line ends in them, as copied from a page: each has as many tabs.

    A line without tabs or figures belongs to the row before it.

    >>> list(by_tabs(["Size\\t12-23", "pcs\\t24+", "pcs", "2 in\\t4.10\\t3.20"]))
    [[['Size', '12-23 pcs', '24+ pcs'], ['2 in', '4.10', '3.20']]]
    """
    tabs = [line.count("\t") for line in lines]
    most = max(tabs, default=0)
    if not most or (most > 1 and {0, most} >= set(tabs)):  # every row is whole
        return
    end = max(at for at, more in enumerate(tabs) if more) + 1
    end += next((at for at, line in enumerate(lines[end:]) if _DIGIT.search(line)), len(lines))
    for wanted in range(most, min(_MOST_COLUMNS, sum(tabs) // 2 + 1)):
        joined = [""]
        for line in lines[:end]:
            if joined[-1].count("\t") == wanted and re.search("[\t0-9]", line):
                joined.append("")
            joined[-1] = f"{joined[-1]} {line}".strip(" ")
        rows = [[" ".join(cell.split()) for cell in row.split("\t")] for row in joined]
        if len(rows) > 1 and all(len(row) == wanted + 1 for row in rows):
            yield [*rows, *([line] for line in lines[end:])]


def _unwrapped(rows: Rows) -> Iterator[Rows]:
    """Rows whose names run on above or below the line of their prices, each put together again.

    Only where each has as many lines of its own above and below.
    """
    rows = [row[1:] if row[0] == "" and len(row) == 2 else row for row in rows if any(row)]
    if any(len(" ".join(row)) > _LONGEST_LINE for row in rows):
        return
    parts = [_peeled(" ".join(row).strip(), _LAST_PRICE) for row in rows]
    priced = [
        at for at, (_, prices) in enumerate(parts) if 2 * sum(map(_is_money, prices)) > len(prices)
    ]
    steps = {after - before for before, after in pairwise(priced)}
    if len(steps) != 1 or steps == {1}:
        return
    step = steps.pop()
    above = next((n for n in range(priced[0]) if len(rows[priced[0] - n - 1]) > 1), priced[0])
    first, end = priced[0] - above, priced[-1] - above + step
    around = [row for at, row in enumerate(rows[first:end], first) if at not in priced]
    if above >= step or end > len(rows) or any(len(row) > 1 for row in around):
        return
    after = rows[end : end + 1]
    if above == step - 1 and after and len(after[0]) == 1 and _DIGIT.search(after[0][0]):
        return  # the names may as well stand below
    joined = []
    for at in priced:
        named = range(at - above, at - above + step)
        name = " ".join(parts[n][0] if n == at else rows[n][0] for n in named)
        joined.append([" ".join(name.split()), *parts[at][1]])
    wide = max(map(len, joined))
    head = [row[1:] if row[0] == "" and len(row) > wide else row for row in rows[:first]]
    yield [*head, *joined, *rows[end:]]


def _is_money(cell: str) -> bool:
    """Whether a cell is a price by its sign or its decimals."""
    return bool(_MONEY.search(cell)) and len(cell) < 30 and is_price(cell)


def _one_cell_a_line(cells: list[str]) -> Iterator[Rows]:
    """Cells that came each on a line of its own: the first row tells how many prices a row has.

    Nothing where a price would be left over, for then a cell is missing.
    """
    money = [*map(_is_money, cells), False]
    if True not in money:
        return
    first = money.index(True) - 1  # the name before it
    wide = money.index(False, first + 1) - first
    if first < wide - 1 or wide < 3:
        return
    rows = [["", *cells[max(first - wide, 0) : first]][-wide:]]
    priced = [money[at] or _NO_PRICE.fullmatch(cell) for at, cell in enumerate(cells)]
    at = first
    while at + wide <= len(cells) and not money[at] and all(priced[at + 1 : at + wide]):
        rows.append(cells[at : at + wide])
        at += wide
    if True not in money[at:]:
        before, after = cells[: max(first - wide, 0)], cells[at:]
        yield [*([cell] for cell in before), *rows, *([cell] for cell in after)]


def _by_atoms(lines: list[str]) -> Rows:
    """By single spaces: as many quantities or prices at the end of a line as the header has.

    A line with fewer or more is left as it falls, and will be doubted.
    """
    rows, wanted = [], 0
    for line in lines:
        row = [line]
        if len(line) <= _LONGEST_LINE:
            heads = _headed(line, _LAST_BREAK) or ([] if wanted else _headed(line, _LAST_BAND))
            label, prices = _peeled(line, _LAST_PRICE, wanted or 99)
            if heads:
                row, wanted = heads, len(heads) - 1
            elif prices and (wanted or label):
                row = [label, *prices]
        rows.append(row)
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
