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
from html import escape
from typing import Generic, TypeVar

from pricelab.pictures import look
from pricelab.pictures.axes import Frame, new_axes, put_title, set_frame
from pricelab.shop.money import show_money

Values = TypeVar("Values")


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
class Picture(Generic[Values]):
    """A picture by `name`: what stands still, what moves, and its words."""

    name: str
    frame: Callable[[Values], Frame]
    marks: Callable[[Values, object], None]
    describe: Callable[[Values], Description]
    backdrop: Callable[[Frame, object], None] | None = None

    def draw(self, values: Values, ax):
        """Draw on any axes and return them; enter `look.style()` first."""
        frame = self.frame(values)
        self._stand(frame, ax)
        self._move(values, frame, self.describe(values), ax)
        return ax

    def svg(self, values: Values) -> str:
        """The picture alone, as a labelled SVG."""
        return Live(self).svg(values)

    def _stand(self, frame: Frame, ax):
        set_frame(frame, ax)
        if self.backdrop is not None:
            self.backdrop(frame, ax)
        return ax

    def _move(self, values: Values, frame: Frame, words: Description, ax) -> None:
        put_title(ax, words.finding, frame.width, frame.left)
        self.marks(values, ax)


class Live(Generic[Values]):
    """A picture that is drawn again and again; `name` tells its ids apart on a page."""

    _KEPT = 24  # still parts that are kept: as many limits as a control is likely to pass

    def __init__(self, picture: Picture[Values], name: str | None = None):
        self.picture, self.name = picture, name or picture.name
        self._stills: dict[Frame, _Still] = {}

    def svg(self, values: Values) -> str:
        """The picture of `values` as SVG: labelled, without a date, the same ids every time."""
        return self.drawn(values)[0]

    def drawn(self, values: Values) -> tuple[str, Description]:
        """The picture of `values` as SVG, and what it says."""
        picture, frame = self.picture, self.picture.frame(values)
        words = picture.describe(values)
        with look.style(self.name):
            still = self._stills.get(frame)
            if still is None:
                while len(self._stills) >= self._KEPT:
                    del self._stills[next(iter(self._stills))]
                still = self._stills[frame] = _Still(picture, frame)
            picture._move(values, frame, words, still.ax)
            moving = still.take_moving()
        name = escape(self.name, quote=True)
        svg = (
            f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
            f'class="pl-picture" viewBox="0 0 {frame.width:g} {frame.height:g}" role="img" '
            f'aria-labelledby="{name}-title" aria-describedby="{name}-desc" '
            f'font-family="{look.ON_SCREEN}" stroke-linejoin="round">'
            f'<title id="{name}-title">{escape(words.finding)}</title>'
            f'<desc id="{name}-desc">{escape(words.spoken)}</desc>'
            f"{still.svg}{moving}</svg>"
        )
        return svg, words


class _Still:
    """A frame drawn once, with its axes ready for marks."""

    def __init__(self, picture: Picture, frame: Frame):
        self.frame, self.ax = frame, picture._stand(frame, new_axes(frame))
        self.svg = self._rendered(self.ax.figure.draw)
        self._kept = set(self.ax.get_children())

    def take_moving(self) -> str:
        """Draw what was added since the frame was made, and take it off again."""
        added = [artist for artist in self.ax.get_children() if artist not in self._kept]
        added.sort(key=lambda artist: artist.get_zorder())

        def draw(renderer):
            for artist in added:
                artist.draw(renderer)

        svg = self._rendered(draw)
        for artist in added:
            artist.remove()
        return svg

    def _rendered(self, draw) -> str:
        from matplotlib.backends.backend_svg import RendererSVG

        said = io.StringIO()
        renderer = RendererSVG(
            self.frame.width,
            self.frame.height,
            said,
            image_dpi=72,
            metadata=dict.fromkeys(("Date", "Creator", "Format", "Type")),
        )
        draw(renderer)
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
