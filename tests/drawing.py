"""Pictures as the tests look at them: drawn on axes of their own, read, and drawn again."""

from itertools import combinations

from pricelab.pictures import look
from pricelab.pictures.axes import new_axes
from pricelab.pictures.picture import Live


def drawn(picture, values):
    """The axes of a picture."""
    with look.style():
        return picture.draw(values, new_axes(picture.frame(values)))


def misplaced(ax) -> list[str]:
    """Words that are cut off by the sheet or stand over other words; ticks of equal words."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg

    canvas = FigureCanvasAgg(ax.figure)
    canvas.draw()
    sheet = ax.figure.bbox.padded(1)
    ticks = [ax.get_xticklabels(), ax.get_yticklabels()]
    texts = [text for text in [*ax.texts, ax.xaxis.label, *ticks[0], *ticks[1]] if text.get_text()]
    boxes = [text.get_window_extent(canvas.get_renderer()) for text in texts]
    named = [(text.get_text(), box) for text, box in zip(texts, boxes, strict=True)]
    found = [f"cut: {words}" for words, box in named if not _inside(box, sheet)]
    found += [
        f"over one another: {one}, {other}"
        for (one, box), (other, second) in combinations(named, 2)
        if box.padded(-1.5).overlaps(second.padded(-1.5))
    ]
    for labels in ticks:
        words = [label.get_text() for label in labels]
        found += [f"alike: {words}"] if len(set(words)) < len(words) else []
    return found


def _inside(box, sheet) -> bool:
    return sheet.x0 <= box.x0 and box.x1 <= sheet.x1 and sheet.y0 <= box.y0 and box.y1 <= sheet.y1


def said(ax) -> list[str]:
    """All words on axes but those of its ticks."""
    return [text.get_text() for text in ax.texts]


def check_drawn_again(picture, one, *others):
    """After others it is the same to the letter, with its title in it; and they are others.

    In each every word has a place of its own on the sheet.
    """
    for values in (one, *others):
        assert misplaced(drawn(picture, values)) == []
    live = Live(picture, "again")
    first = live.svg(one)
    for other in others:
        assert live.svg(other) != first
    assert live.svg(one) == first == Live(picture, "again").svg(one)
    assert picture.describe(one).finding.replace("'", "&#x27;") in first
