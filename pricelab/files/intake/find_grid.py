"""Where in the rows of a sheet the grids are: header, labels, rows, and which way round."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from pricelab.files.intake.pasted import is_price, read_band, read_break
from pricelab.files.intake.pasted_text import Rows

_LONGEST_CELL = 60
"""Letters of a cell that can hold a figure; a longer one is prose."""

_PER_PIECE = re.compile(r"price|each|\bea\b|unit|per (?:piece|patch|cap)|\bcost\b", re.IGNORECASE)
_QUANTITY = re.compile(r"qty|quantit|pieces|pcs", re.IGNORECASE)
_SIZE = re.compile(r"size|stitch|area|side|inch|\bmm\b|\bsq\b|\bup to\b", re.IGNORECASE)
_UNIT_ALONE = re.compile(r"^(?!.*(?:size|stitch|area|side)).*(?:inch|\bmm\b)", re.IGNORECASE)
"""A head that names a unit, and may be of a thickness or a height."""

_UPPER_END = re.compile(r"\b(?:to|up to|max)\b", re.IGNORECASE)
_EVIDENT_BREAK = re.compile(r"\+|more|up$|over|pcs?\b|piece|doz|gross|qty|units", re.IGNORECASE)
_EVIDENT_BAND = re.compile(
    r"[0-9][.,/][0-9]|[\"”″½¼¾²]|\b(?:in|mm|cm)\b|[0-9](?:in|mm|cm|k)\b|stitch|≤|up to",
    re.IGNORECASE,
)
_LOST = re.compile(r"[0-9≤<]|\b(?:max|up to|under|over|more|in|mm|cm)\b", re.IGNORECASE)
"""In the head of a row or column: it is a size or quantity, even if none can be read."""

_MONEY = re.compile(r"[$€£¥]|[0-9][.,][0-9]{2}(?![0-9])")

_NOT_PIECES = re.compile(
    r"\W*(?:(?:number|no\.?|#) of |lead |delivery |production )?"
    r"(?:colou?rs?|days?|weeks?|years?|positions?|locations?|time)\b",
    re.IGNORECASE,
)
"""At the beginning of a row of figures that are no quantities of pieces."""

_RANGE = re.compile(r"[0-9]\W{0,3}(?:[-–+]|to\b)|[a-z\"]", re.IGNORECASE)


@dataclass(frozen=True)
class Found:
    """A grid's place: its header row, the columns of prices, the column of labels, its rows.

    `turned` has the quantities down and the sizes across; `any_size` has no sizes at all.
    `shifted` is 1 where the header lost its first cell. `unsure` says what was not settled.
    `again` is the row at which the labels begin anew under the same header, 0 where none does.
    """

    head: int
    heads: tuple[int, ...]
    label: int
    body: tuple[int, ...]
    turned: bool
    shifted: int = 0
    unsure: str = ""
    any_size: bool = False
    again: int = 0


def cell_at(rows: Rows, row: int, column: int) -> str:
    """The text of a cell; empty beyond the ends, above the first row, and where it is prose."""
    if not 0 <= row < len(rows) or not 0 <= column < len(rows[row]):
        return ""
    text = rows[row][column]
    return text if len(text) <= _LONGEST_CELL else ""


def head_text(rows: Rows, head: int, column: int, turned: bool) -> str:
    """A cell of the header, with what stands over it where the two make one quantity or size."""
    text, over = cell_at(rows, head, column), cell_at(rows, head - 1, column)
    both = f"{over} {text}"
    return both if text and re.search("[0-9]", over) and _names(both, not turned) else text


def find_grids(rows: Rows) -> list[Found]:
    """The grids in `rows`, first to last."""
    grids, found = [], _find(rows, 0)
    while found:
        grids.append(found)
        if found.again:
            body, again = _body(rows, found.again, found)
            found = replace(found, body=body, again=again)
        else:
            found = _find(rows, found.body[-1] + 1)
    return grids


def _find(rows: Rows, start: int) -> Found | None:
    """Of the grids whose headers begin before the rows of another, that with most prices."""
    best, most = None, (False, 0, 0)
    for head in range(start - 1, len(rows)):
        if best and head > best.body[0]:
            break
        for found in filter(
            None, (_grid_at(rows, head, turned, start) for turned in (False, True))
        ):
            rank = (not found.any_size, len(found.body) * len(found.heads), _evidence(rows, found))
            if rank > most:
                best, most = found, rank
            elif rank == most and best and found.turned != best.turned:
                why = "Nothing says on which side the quantities are. Compare with the sheet."
                best = replace(best, unsure=why)
    return best


def _names(text: str, quantities: bool) -> bool:
    """Whether `text` names one of the quantities, or else one of the sizes."""
    if not re.search(r"[0-9½¼¾]", text):
        return False
    if quantities:
        return read_break(text)[0] is not None
    return any((found := read_band(text, mark)).band or found.size for mark in ".,")


def _ends(texts: Sequence[str], quantities: bool) -> list:
    """What quantities or sizes are sorted by, as far as they can be read."""
    if quantities:
        return [read_break(text)[0].start for text in texts]
    bands = [[read_band(text, mark).band for mark in ".,"] for text in texts]
    return [(point or comma).upper for point, comma in bands if point or comma]


def _run(cells: Sequence[str], quantities: bool) -> bool:
    """Whether heads rise; or fall, and are not to be taken for prices."""
    ends = _ends(cells, quantities)
    if len(ends) < 2 or ends[0] < ends[-1]:
        return all(after >= before for before, after in pairwise(ends))
    falls = all(after < before for before, after in pairwise(ends))
    return falls and any(map(_RANGE.search, cells))


def _grid_at(rows: Rows, head: int, turned: bool, start: int) -> Found | None:
    """The grid whose header is row `head`, if it is one; a list of prices may have none."""
    width = len(rows[head]) if head >= start else 0
    cells = [head_text(rows, head, at, turned) for at in range(width)]
    sound = [at for at, cell in enumerate(cells) if _names(cell, not turned)]
    evident = _EVIDENT_BAND if turned else _EVIDENT_BREAK
    if any(map(_NOT_PIECES.match, cells[: sound[0] if sound else 0])):
        return None
    others = [cell for at, cell in enumerate(cells) if at not in sound]
    alone = sound and evident.search(cells[sound[0]]) and not any(map(_MONEY.search, others))
    if len(sound) < 2 and not alone:
        return _one_column(rows, head, cells) if turned else None
    if not _run([cells[at] for at in sound], not turned):
        return None
    # The corner was lost in pasting if the header is one cell short of the rows.
    shifted = int(sound[0] == 0 and {len(row) - width for row in rows[head + 1 :] if row} >= {1})
    label, unsure = _label_column(rows, head, sound[0] + shifted, turned, shifted)
    if label is None:
        return None if turned else _one_row(rows, head, sound, shifted)
    if _names(cell_at(rows, head, label - shifted), turned):
        return None  # a row of prices

    def lost(at: int) -> bool:
        """Whether a column has a heading that cannot be read, or prices under none."""
        under = (cell_at(rows, row, at) for row in range(head + 1, head + 9))
        return any(map(is_price, under)) if not cells[at] else bool(_LOST.search(cells[at]))

    heads = [at for at in range(label - shifted + 1, width) if at in sound or lost(at)]
    heads = tuple(at + shifted for at in heads)
    found = Found(head, heads, label, (), turned, shifted, unsure)
    body, again = _body(rows, head + 1, found)
    found = replace(found, body=body, again=again)
    # Rows between them that have prices too are cells that came apart.
    between = set(range(body[0], body[-1]) if body else ()) - set(body)
    passed = sum(any(_MONEY.search(cell_at(rows, at, c)) for c in heads) for at in between)
    return found if len(body) > 2 * passed else None


def _label_column(
    rows: Rows, head: int, limit: int, turned: bool, shifted: int
) -> tuple[int | None, str]:
    """The column left of `limit` that names the rows, and what is unsure about it."""
    below = range(head + 1, len(rows))
    named = {
        at: [text for row in below if _names(text := cell_at(rows, row, at), turned)]
        for at in range(limit)
    }
    most = max(map(len, named.values()), default=0)
    able = [at for at, texts in named.items() if most and 2 * len(texts) > most]
    # A column right of another is prices if its head is a figure, or was lost.
    first = next((at for at in range(limit) if any(cell_at(rows, row, at) for row in below)), 0)
    heads = {at: cell_at(rows, head, at - shifted) for at in able}
    able = [at for at in able if at == first or re.search(r"^[^0-9]+$", heads[at])]
    if len(able) < 2:
        return (able[0] if able else None), ""
    if _UPPER_END.search(heads[able[-1]]):
        return able[-1], ""
    evident, said = (_EVIDENT_BREAK, _QUANTITY) if turned else (_EVIDENT_BAND, _SIZE)
    clear = {at: sum(map(bool, map(evident.search, named[at]))) for at in able}
    saying = [at for at in able if said.search(heads[at])]
    saying = [at for at in saying if not _UNIT_ALONE.search(heads[at])] or saying
    if len(saying) == 1 and any(clear.values()):
        return saying[0], ""
    best = max(able, key=lambda at: (clear[at], at))
    alone = list(clear.values()).count(clear[best]) == 1
    return best, "" if alone else "Another column could name the rows as well. Compare the two."


def _body(rows: Rows, start: int, found: Found) -> tuple[tuple[int, ...], int]:
    """The rows of prices from `start` up to the next header, or to where the labels begin anew."""
    body: list[int] = []
    ends: list = []
    named_rows = 0
    for at in range(start, len(rows)):
        name, cells = cell_at(rows, at, found.label), [cell_at(rows, at, c) for c in found.heads]
        named, priced = _names(name, found.turned), sum(map(is_price, cells))
        if not named and body and _begins(rows[at], at - 1 in body):
            break
        wordy = re.search("[a-z]{3}", name, re.IGNORECASE) and not _LOST.search(name)
        filled = [cell for cell in cells if cell and not cell.endswith("%")]
        if (named and (priced or 2 * len(filled) >= len(cells))) or (
            not named and not wordy and priced and 2 * priced >= len(cells)
        ):
            end = _ends([name], found.turned) if named else []
            if at - 1 not in body and end and ends and end[0] <= ends[0] < ends[-1]:
                return tuple(body), at
            body.append(at)
            ends += end
            named_rows += named
    return (tuple(body) if named_rows else ()), 0


def _begins(row: Sequence[str], close: bool) -> bool:
    """Whether another grid's header is this row; `close` under a row of prices."""
    for quantities in (True, False):
        heads = [cell for cell in row if len(cell) <= _LONGEST_CELL and _names(cell, quantities)]
        if len(heads) > 1 and _run(heads, quantities):
            return not close or any(map(_RANGE.search, heads))
    return False


def _one_row(rows: Rows, head: int, sound: Sequence[int], shifted: int) -> Found | None:
    """Quantities over one row of prices for any size."""
    heads, body = tuple(at + shifted for at in sound), []
    for at in range(head + 1, len(rows)):
        cells = [cell_at(rows, at, column) for column in heads]
        if 2 * sum(is_price(x) and bool(_MONEY.search(x)) for x in cells) >= len(heads):
            body.append(at)
    label = cell_at(rows, body[0], heads[0] - 1) if body else ""
    fits = len(body) == 1 and len(heads) > 1 and not re.search("[0-9]", label)
    return Found(head, heads, -1, tuple(body), False, shifted, any_size=True) if fits else None


def _one_column(rows: Rows, head: int, cells: Sequence[str]) -> Found | None:
    """Quantities down, each with one price for any size."""
    label, body = 0, []
    for at in range(head + 1, len(rows)):
        if _names(cell_at(rows, at, label), True):
            body.append(at)
        elif body and any(rows[at]):
            break
    if len(body) < 2 or not _run([cell_at(rows, at, label) for at in body], True):
        return None
    able = [c for c in range(1, 9) if all(is_price(cell_at(rows, at, c)) for at in body)]
    if len(able) > 1:
        able = [c for c in able if c < len(cells) and _PER_PIECE.search(cells[c])]
    return (
        Found(head, (able[0],), label, tuple(body), True, any_size=True) if len(able) == 1 else None
    )


def _evidence(rows: Rows, found: Found) -> int:
    """How much speaks for the way round: signs of quantities and sizes where they should be."""
    heads = [head_text(rows, found.head, at - found.shifted, found.turned) for at in found.heads]
    labels = [cell_at(rows, at, found.label) for at in found.body]
    breaks, bands = (labels, heads) if found.turned else (heads, labels)
    corner = cell_at(rows, found.head, found.label - found.shifted)
    over = " ".join(rows[found.head - 1][1:]) if found.head > 0 else ""  # the first is a title
    down, across = (_QUANTITY, _SIZE) if found.turned else (_SIZE, _QUANTITY)
    return (
        sum(bool(_EVIDENT_BREAK.search(x)) - bool(_EVIDENT_BAND.search(x)) for x in breaks)
        + sum(bool(_EVIDENT_BAND.search(x)) - bool(_EVIDENT_BREAK.search(x)) for x in bands)
        + 3 * (bool(down.search(corner)) - bool(across.search(corner)))
        + (bool(across.search(over)) - bool(down.search(over)))
    )
