"""Text as HTML: everything that comes from a shop's files is shown as it is written."""

from collections.abc import Callable, Iterable, Sequence
from functools import cache
from html import escape
from importlib.resources import files

from pricelab.pictures.picture import Description
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


def table(
    columns: Sequence[object],
    rows: Iterable[Sequence[object]],
    *,
    caption: object = "",
    left: Iterable[int] = (0,),
    sums: Iterable[int] = (),
) -> str:
    """A table of text: the first column names its row, figures stand to the right.

    `left` are the columns of words; `sums` the rows (by index) that add up others.
    """
    left, sums = set(left), set(sums)
    head = "".join(
        f'<th scope="col"{_left(at in left)}>{text(name)}</th>' for at, name in enumerate(columns)
    )
    body = []
    for number, row in enumerate(rows):
        cells = [
            f'<th scope="row"{_left(True)}>{text(cell)}</th>'
            if not at
            else f"<td{_left(at in left)}>{text(cell)}</td>"
            for at, cell in enumerate(row)
        ]
        kind = ' class="pl-sum"' if number in sums else ""
        body.append(f"<tr{kind}>{''.join(cells)}</tr>")
    said = f"<caption>{text(caption)}</caption>" if caption else ""
    return (
        f'<div class="pl-wide"><table class="pl-table">{said}<thead><tr>{head}</tr></thead>'
        f"<tbody>{''.join(body)}</tbody></table></div>"
    )


def _left(words: bool) -> str:
    return ' class="pl-left"' if words else ""


def described(description: Description, *, caption: object = "") -> str:
    """The table behind a picture."""
    return table(description.columns, description.rows, caption=caption)
