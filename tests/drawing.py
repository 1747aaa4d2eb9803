"""Pictures as the tests look at them: drawn on axes of their own, read, and drawn again."""

from pricelab.pictures import look
from pricelab.pictures.axes import new_axes
from pricelab.pictures.picture import Live


def drawn(picture, values):
    """The axes of a picture."""
    with look.style():
        return picture.draw(values, new_axes(picture.frame(values)))


def said(ax) -> list[str]:
    """All words on axes but those of its ticks."""
    return [text.get_text() for text in ax.texts]


def check_drawn_again(picture, one, *others):
    """After others it is the same to the letter, with its title in it; and they are others."""
    live = Live(picture, "again")
    first = live.svg(one)
    for other in others:
        assert live.svg(other) != first
    assert live.svg(one) == first == Live(picture, "again").svg(one)
    assert picture.describe(one).finding.replace("'", "&#x27;") in first
