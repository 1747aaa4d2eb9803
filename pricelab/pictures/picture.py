"""A picture: what stands still, what moves, and its twin in words.

It is made of functions of one plain value: ``frame(values)``, the still part (limits, ticks,
axis words); ``marks(values, ax)``, which adds lines, fills and words to axes of that frame;
``describe(values)``, the finding as a sentence and the table behind it. Where lines stand
still too, `frame` hands them over as ``Frame.behind`` and ``backdrop(frame, ax)`` draws them.

``Picture.draw(values, ax)`` puts them all on any axes. `Live` makes an SVG of them again and
again while a reader moves a control: the still part is kept as long as its `Frame` is the
same, so a quick picture and a fresh one are the same to the letter.
"""

import io
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from html import escape

from matplotlib.backends.backend_svg import RendererSVG

from pricelab.pictures import look
from pricelab.pictures.axes import Frame, new_axes, set_frame
from pricelab.pictures.labels import put_title
from pricelab.shop.money import show_money


@dataclass(frozen=True)
class Description:
    """A picture in words: its `finding`, and the table behind it (`columns`, `rows` of text).

    >>> print(Description("48 pieces cost less than 45.", ("Pieces", "Total"),
    ...                   (("45", "$900.00"), ("48", "$880.80"))))
    48 pieces cost less than 45.
    Pieces    Total
        45  $900.00
        48  $880.80
    """

    finding: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    @classmethod
    def of(
        cls, finding: str, table: Sequence[Mapping[str, str]] | Mapping[str, Iterable[str]]
    ) -> "Description":
        """A table of rows that name their cells, all alike, or of columns."""
        if isinstance(table, Mapping):
            return cls(finding, tuple(table), tuple(zip(*table.values(), strict=True)))
        columns = tuple(table[0]) if table else ()
        return cls(finding, columns, tuple(tuple(row.values()) for row in table))

    def __str__(self):
        table = [self.columns, *self.rows]
        widths = [max(map(len, column)) for column in zip(*table, strict=True)]
        lines = [
            "  ".join(cell.rjust(wide) for cell, wide in zip(row, widths, strict=True)).rstrip()
            for row in table
        ]
        return "\n".join([self.finding, *lines])

    @property
    def spoken(self) -> str:
        """The table row by row, as a screen reader says it after the finding."""
        said = (
            ", ".join(f"{name} {cell}" for name, cell in zip(self.columns, row, strict=True))
            for row in self.rows
        )
        return "; ".join(said) + "."


class InMoney:
    """What the values of a picture of money share: their `currency`."""

    currency: str

    def show(self, amount: float) -> str:
        """Money as it is read."""
        return show_money(amount, self.currency)


@dataclass(frozen=True)
class Picture:
    """A picture by `name`: what stands still, what moves, and its words."""

    name: str
    frame: Callable[..., Frame]
    marks: Callable[..., None]
    describe: Callable[..., Description]
    backdrop: Callable[[Frame, object], None] = lambda frame, ax: None

    def draw(self, values, ax):
        """Draw on any axes and return them; enter `look.style()` first."""
        frame = self.frame(values)
        self.stand(frame, ax)
        self.move(values, frame, self.describe(values), ax)
        return ax

    def svg(self, values) -> str:
        """The picture alone, as a labelled SVG."""
        return Live(self).svg(values)

    def stand(self, frame: Frame, ax) -> None:
        """Draw what stands still."""
        set_frame(frame, ax)
        self.backdrop(frame, ax)

    def move(self, values, frame: Frame, words: Description, ax) -> None:
        """Draw what moves, on axes of that frame."""
        put_title(ax, words.finding, frame.width, frame.left)
        self.marks(values, ax)


_KEPT = 24
"""Still parts that are kept: as many limits as a control is likely to pass."""


class Live:
    """A picture that is drawn again and again; `name` tells its ids apart on a page."""

    def __init__(self, picture: Picture, name: str | None = None):
        self.picture, self.name = picture, name or picture.name
        self._still = lru_cache(_KEPT)(self._new_still)

    def svg(self, values) -> str:
        """The picture of `values` as SVG: labelled, without a date, the same ids every time."""
        return self.drawn(values)[0]

    def drawn(self, values) -> tuple[str, Description]:
        """The picture of `values` as SVG, and what it says."""
        picture, frame = self.picture, self.picture.frame(values)
        words = picture.describe(values)
        with look.style(self.name):
            ax, still = self._still(frame)
            stands = set(ax.get_children())
            picture.move(values, frame, words, ax)
            added = [artist for artist in ax.get_children() if artist not in stands]
            moving = _rendered(frame, sorted(added, key=lambda artist: artist.get_zorder()))
            for artist in added:
                artist.remove()
        name = escape(self.name, quote=True)
        svg = (
            f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
            f'class="pl-picture" viewBox="0 0 {frame.width:g} {frame.height:g}" role="img" '
            f'aria-labelledby="{name}-title" aria-describedby="{name}-desc" '
            f'font-family="{look.ON_SCREEN}" stroke-linejoin="round">'
            f'<title id="{name}-title">{escape(words.finding)}</title>'
            f'<desc id="{name}-desc">{escape(words.spoken)}</desc>'
            f"{still}{moving}</svg>"
        )
        return svg, words

    def _new_still(self, frame: Frame) -> tuple:
        """Axes with what stands still, and its SVG."""
        ax = new_axes(frame)
        self.picture.stand(frame, ax)
        return ax, _rendered(frame, [ax.figure])


def _rendered(frame: Frame, artists: Iterable) -> str:
    """Artists on a sheet of that frame, as SVG without its head."""
    said, nothing = io.StringIO(), dict.fromkeys(("Date", "Creator", "Format", "Type"))
    renderer = RendererSVG(frame.width, frame.height, said, image_dpi=72, metadata=nothing)
    for artist in artists:
        artist.draw(renderer)
    renderer.finalize()
    return _lean(said.getvalue())


_HEAD = re.compile(r".*?<style.*?</style>\s*</defs>", re.DOTALL)
_TAG = re.compile(r"<[^>]*>")
_FINER = re.compile(r"(\.\d\d)\d+")  # a hundredth of a point is finer than any screen
_CUTS = (
    (re.compile(r'(<g) id="[^"]*"'), r"\1"),  # counted names: not the same twice on a page
    (re.compile(r" ?font-family: [^;\"]*;?"), ""),  # the reader's own letters, said once
    (re.compile(r' transform="rotate\(-?0 [^)]*\)"'), ""),
    (re.compile(r"\s*\n\s*"), " "),
)


def _lean(svg: str) -> str:
    """What is between the head and the end of matplotlib's file, without what nobody needs."""
    svg = _HEAD.sub("", svg, count=1).rpartition("</svg>")[0]
    for pattern, instead in _CUTS:
        svg = pattern.sub(instead, svg)
    # Inside tags only: a figure in words, such as 1.625 in, keeps all its digits.
    return _TAG.sub(lambda tag: _FINER.sub(r"\1", tag[0]), svg).strip()
