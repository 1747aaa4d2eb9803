"""Text as HTML: everything that comes from a shop's files is shown as it is written."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from html import escape
from importlib.resources import files

from pricelab.shop.errors import PricelabError


@cache
def style() -> str:
    """The look of every panel, as one element."""
    css = files("pricelab.screens").joinpath("panel.css").read_text("utf-8")
    return f"<style>{css}</style>"


def text(words: object) -> str:
    """`words` as text between tags: markup in a name is shown, not obeyed.

    >>> text('<b>48 & more</b>')
    '&lt;b&gt;48 &amp; more&lt;/b&gt;'
    """
    return escape(str(words), quote=True)


def sentence(said: object) -> str:
    """What an error says, with a capital."""
    words = str(said)
    return words[:1].upper() + words[1:]


def or_why(say: Callable[[], str]) -> str:
    """What is said, or why there is nothing to say."""
    try:
        return say()
    except PricelabError as error:
        return sentence(error)


def paragraph(words: object, kind: str = "") -> str:
    """A paragraph; `kind` is `finding` for what matters most, `side` for a side note."""
    return f'<p class="pl-{kind}">{text(words)}</p>' if kind else f"<p>{text(words)}</p>"


def answer(words: object) -> str:
    """What is said to an entry that will not do; it is read out at once."""
    return f'<div class="pl-answer" role="alert">{text(words)}</div>'


def bullets(sentences: Iterable[object]) -> str:
    """Sentences as a list, or nothing where there are none."""
    items = "".join(f"<li>{text(sentence)}</li>" for sentence in sentences)
    return f"<ul>{items}</ul>" if items else ""


@dataclass(frozen=True)
class Cell:
    """A cell of a table that is more than text: its `html`, and its element's `attributes`."""

    html: str
    attributes: str = ""


def table(
    columns: Sequence[object],
    rows: Iterable[Sequence[object]],
    *,
    caption: object = "",
    left: Iterable[int] = (0,),
    sums: Iterable[int] = (),
    chosen: int | None = None,
    kind: str = "",
) -> str:
    """A table of text and `Cell`s: the first column names its row, figures stand to the right.

    `left` are the columns of words; `sums` the rows (by index) that add up others, `chosen` the
    one that is set off; `kind` is the table's class.
    """
    sides = [' class="pl-left"' if at in set(left) else "" for at in range(len(columns))]
    named = zip(sides, columns, strict=True)
    head = "".join(f'<th scope="col"{side}>{text(name)}</th>' for side, name in named)
    set_off = dict.fromkeys(sums, ' class="pl-sum"') | {chosen: ' class="plc-chosen"'}
    body = []
    for number, (first, *others) in enumerate(rows):
        cells = [f'<th scope="row" class="pl-left">{_inside(first)}</th>']
        for side, cell in zip(sides[1:], others, strict=True):
            attributes = cell.attributes if isinstance(cell, Cell) else side
            cells.append(f"<td{attributes}>{_inside(cell)}</td>")
        body.append(f"<tr{set_off.get(number, '')}>{''.join(cells)}</tr>")
    said = f"<caption>{text(caption)}</caption>" if caption else ""
    kinds = f"pl-table {kind}".strip()
    return (
        f'<div class="pl-wide"><table class="{kinds}">{said}<thead><tr>{head}</tr></thead>'
        f"<tbody>{''.join(body)}</tbody></table></div>"
    )


def _inside(cell: object) -> str:
    return cell.html if isinstance(cell, Cell) else text(cell)
