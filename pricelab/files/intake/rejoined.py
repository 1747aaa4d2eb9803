"""Rows of a sheet whose cells came apart in copying, or whose tables stood beside one another."""

import re
from collections.abc import Iterator
from itertools import pairwise

from pricelab.files.intake.pasted import is_price

Rows = list[list[str]]

_PRICE = r"(?:[A-Z]{0,3}[$€£¥]\s?|[A-Z]{3}\s)?[0-9][0-9.,'’OoIl]*(?:\s?[$€£]|\s[A-Z]{3}\b)?[*†‡]?"
LAST_PRICE = re.compile(rf"(?:^|\s)({_PRICE}|call|ask|poa|n/?a|[-–—])$", re.IGNORECASE)
_NO_PRICE = re.compile(r"call|ask|poa|n/?a|tbd|[-–—]", re.IGNORECASE)
_MONEY = re.compile(r"[$€£¥]|[0-9][.,][0-9]{2}|[A-Z]{3}")
_DIGIT = re.compile("[0-9]")
_MOST_COLUMNS, LONGEST_LINE = 40, 400


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
        rows, row, count = [], "", 0
        for line, more in zip(lines[:end], tabs[:end], strict=True):
            if count == wanted and (more or _DIGIT.search(line)):
                rows.append(row.split("\t"))
                row, count = "", 0
            row, count = f"{row} {line}".strip(" "), count + more
        rows.append(row.split("\t"))
        if all(len(cells) == wanted + 1 for cells in rows) and len(rows) > 1:
            rows = [[" ".join(cell.split()) for cell in cells] for cells in rows]
            yield [*rows, *([line] for line in lines[end:])]


def side_by_side(rows: Rows) -> Iterator[Rows]:
    """Tables with an empty column between them put one under the other, if there are any."""
    width = max(map(len, rows), default=0)
    if width > _MOST_COLUMNS:
        return
    empty = [at for at in range(width) if not any(row[at] for row in rows if len(row) > at)]
    blocks = [(a + 1, b) for a, b in pairwise([-1, *empty, width]) if b - a > 3]
    if len(blocks) > 1:
        yield [row[a:b] for a, b in blocks for row in rows]


def unwrapped(rows: Rows) -> Iterator[Rows]:
    """Rows whose names run on above or below the line of their prices, each put together again.

    Only where each has as many lines of its own above and below.
    """
    rows = [row[1:] if row[0] == "" and len(row) == 2 else row for row in rows if any(row)]
    if any(len(" ".join(row)) > LONGEST_LINE for row in rows):
        return
    parts = [peeled(" ".join(row).strip(), LAST_PRICE) for row in rows]
    priced = [
        at for at, (_, prices) in enumerate(parts) if 2 * sum(map(_is_money, prices)) > len(prices)
    ]
    gaps = {after - before - 1 for before, after in pairwise(priced)}
    if len(gaps) != 1 or gaps == {0}:
        return
    above = next((n for n in range(priced[0]) if len(rows[priced[0] - n - 1]) > 1), priced[0])
    lines = [range(at - above, at + max(gaps) - above + 1) for at in priced]
    around = [at for of_one in lines for at in of_one if at not in priced]
    if above > max(gaps) or lines[-1].stop > len(rows) or any(len(rows[at]) > 1 for at in around):
        return
    after = rows[lines[-1].stop : lines[-1].stop + 1]
    if above == max(gaps) and after and len(after[0]) == 1 and _DIGIT.search(after[0][0]):
        return  # the names may as well stand below
    joined = []
    for at, of_one in zip(priced, lines, strict=True):
        name = " ".join(parts[n][0] if n == at else rows[n][0] for n in of_one)
        joined.append([" ".join(name.split()), *parts[at][1]])
    wide = max(map(len, joined))
    head = [row[1:] if row[0] == "" and len(row) > wide else row for row in rows[: lines[0].start]]
    yield [*head, *joined, *rows[lines[-1].stop :]]


def _is_money(cell: str) -> bool:
    """Whether a cell is a price by its sign or its decimals."""
    return bool(_MONEY.search(cell)) and len(cell) < 30 and is_price(cell)


def one_cell_a_line(cells: list[str]) -> Iterator[Rows]:
    """Cells that came each on a line of its own: the first row tells how many prices a row has.

    Nothing where a price would be left over, for then a cell is missing.
    """
    money = list(map(_is_money, cells))
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


def peeled(line: str, last: re.Pattern, most: int = 99) -> tuple[str, list[str]]:
    """What is left of `line` when up to `most` parts are taken off its end, and the parts."""
    parts: list[str] = []
    while len(parts) < most and (found := last.search(line)):
        parts.insert(0, found[1])
        line = line[: found.start()].rstrip()
    return line, parts
