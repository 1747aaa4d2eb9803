"""Controls with plain words, a unit and bounds, which answer a wrong entry beside themselves.

Each control has a `value` (what it stands at, or a `PricelabError` that says what will not
do), `set` for whoever drives it without a mouse or a browser, and a `box` to be shown.
Labels are tied to what they label, so that a keyboard and a screen reader find them.
"""

import os
from collections.abc import Callable, Mapping

import ipywidgets as widgets

from pricelab.screens.html import text
from pricelab.shop.errors import PricelabError
from pricelab.shop.figures import number


class Control:
    """A labelled widget, with room under it for an answer."""

    def __init__(self, widget: widgets.Widget, width: str):
        self.widget = widget
        widget.style.description_width = "initial"
        widget.layout.width = width
        self.answer, self.words = widgets.HTML(), ""
        self.box = widgets.VBox([widget, self.answer]).add_class("pl-control")

    @property
    def label(self) -> str:
        """The words over the control."""
        return self.widget.description

    @property
    def value(self):
        """What the control stands at."""
        return self.widget.value

    def set(self, value) -> None:
        """Put the control to `value`, as a reader does by hand."""
        self.widget.value = value

    def on_change(self, do: Callable[[], None]) -> None:
        """Call `do` after every change."""
        self.widget.observe(lambda _: do(), "value")

    def show(self, wanted: bool = True) -> None:
        """Show the control, or take it out of sight where it has no say."""
        display = None if wanted else "none"
        if self.box.layout.display != display:
            self.box.layout.display = display

    def say(self, sentence: str = "") -> None:
        """Answer beside the control, or take the answer back."""
        shown = f'<div class="pl-answer" role="alert">{text(sentence)}</div>' if sentence else ""
        self.words = sentence
        if self.answer.value != shown:
            self.answer.value = shown
            (self.box.add_class if sentence else self.box.remove_class)("pl-wrong")


class _OneOf(Control):
    """Words to choose one of; `options` maps those shown to the values meant."""

    def __init__(self, kind: type, label: str, options: dict[str, object], start, width: str):
        chosen = next(iter(options.values())) if start is None else start
        super().__init__(
            kind(options=list(options.items()), value=chosen, description=label), width
        )

    @property
    def value(self):
        """The value of the words chosen; raises `PricelabError` where none are."""
        if self.widget.index is None:
            raise PricelabError("Nothing is chosen. Choose one of the list.")
        return self.widget.value


class Choice(_OneOf):
    """One of several."""

    def __init__(self, label: str, options: dict[str, object], start=None, *, width="230px"):
        super().__init__(widgets.Dropdown, label, options, start, width)

    @classmethod
    def of(cls, label: str, things: Mapping[str, object], start: str | None = None, **how):
        """One of a shop's `things` by its name; the value is its key."""
        return cls(label, {thing.name: key for key, thing in things.items()}, start, **how)

    def offer(self, options: dict[str, object]) -> None:
        """Offer others instead; the choice stays where it is still among them."""
        pairs, kept = list(options.items()), self.widget.value
        if tuple(pairs) == tuple(self.widget.options):
            return
        values = [value for _, value in pairs]
        self.widget.options = pairs
        self.widget.value = kept if kept in values else values[0]


class SideBox(_OneOf):
    """One of two or three, all in sight."""

    def __init__(self, label: str, options: dict[str, object], start=None):
        super().__init__(widgets.ToggleButtons, label, options, start, "auto")


class Pick(Control):
    """One of a list of sentences, or none of them; arrow keys go through it."""

    def __init__(self, label: str, *, rows: int = 5):
        super().__init__(
            widgets.Select(options=[], value=None, description=label, rows=rows), "min(620px, 90vw)"
        )

    def offer(self, options: dict[str, object]) -> None:
        """Offer these instead of those before; nothing is picked."""
        pairs = list(options.items())
        if tuple(pairs) != tuple(self.widget.options):
            self.widget.options = pairs
            self.widget.value = None


class Slide(Control):
    """A figure of `unit` typed, stepped by the arrow keys or slid, from low to high by `step`.

    The number is what the label names and what counts; the slider beside it follows it, as
    far as it goes: `span` is low and high, or low, the slider's end and high.
    """

    def __init__(self, label: str, start, span: tuple, unit="", width="180px", *, step=1):
        self.low, self.high, self.unit = span[0], span[-1], unit
        whole = isinstance(step, int)
        typed = widgets.IntText if whole else widgets.FloatText
        slider = widgets.IntSlider if whole else widgets.FloatSlider
        words = f"{label}, {unit}" if unit else label
        super().__init__(typed(value=start, step=step, description=words), width)
        self.slider = slider(value=start, min=self.low, max=span[1], step=step, readout=False)
        self.slider.layout.width = width
        self.box.children = [self.widget, self.slider, self.answer]
        self.box.add_class("pl-slide")
        self.slider.observe(self._slid, "value")
        self.widget.observe(self._follow, "value")

    @property
    def value(self):
        """The figure; raises `PricelabError` outside the bounds."""
        figure = self.widget.value
        if self.low <= figure <= self.high:
            return figure
        raise PricelabError(
            f"Found {number(figure)}, expected from {number(self.low)} to {number(self.high)}"
            f"{' ' + self.unit if self.unit else ''}. Write a figure between the two."
        )

    def _slid(self, change) -> None:
        if change.new != min(max(self.widget.value, self.low), self.slider.max):
            self.widget.value = change.new

    def _follow(self, change) -> None:
        if change.new == change.new:  # not so of what is no number
            self.slider.value = min(max(change.new, self.low), self.slider.max)


class _Line(Control):
    """A line to type, taken when the reader presses Enter or goes on to the next."""

    def __init__(self, label: str, start: str, width: str):
        super().__init__(
            widgets.Text(value=start, description=label, continuous_update=False), width
        )


class Typed(_Line):
    """A typed entry, read by `parse`."""

    def __init__(self, label: str, parse: Callable[[str], object], start: str, *, width="120px"):
        self._parse = parse
        super().__init__(label, start, width)

    @property
    def value(self):
        """The entry as read; raises `PricelabError` where it will not do."""
        said = self.widget.value
        if len(said) > _MOST_LETTERS:
            raise PricelabError(
                f"Found {len(said):,} letters, expected up to {_MOST_LETTERS}. Write it alone."
            )
        return self._parse(said)


class Words(_Line):
    """Words that nothing is read from, such as a name."""

    def __init__(self, label: str, start: str = "", *, width="180px"):
        super().__init__(label, start, width)

    @property
    def value(self) -> str:
        """The words, on one line; halves of letters, which no file can hold, as ?."""
        whole = self.widget.value.encode("utf-8", "replace").decode()
        return " ".join(whole.split())


class Tick(Control):
    """Yes or no."""

    def __init__(self, label: str, start: bool = False):
        super().__init__(widgets.Checkbox(value=start, description=label, indent=False), "auto")


_MOST_LETTERS = 1000
"""Letters of a typed entry: even all headings of a spreadsheet are fewer."""

UNFORESEEN = (
    "This did not work, by a mistake in the program. Nothing that was saved is lost: try another "
    "entry."
)
"""What a screen says to an error that no rule foresaw: nothing of it, for a client may look on."""


def unforeseen(error: Exception) -> str:
    """What a screen says to an error: that of a full or locked disk is no mistake of ours."""
    if isinstance(error, OSError) and error.errno is not None:
        return (
            f"The machine did not do this ({os.strerror(error.errno)}). Make room on its disk, or "
            "allow its folders to be used, and try again. Nothing that was saved is lost."
        )
    return UNFORESEEN


def outcome(do: Callable[[], str]) -> str:
    """What came of doing it, or why it could not be done, as a line to be shown."""
    try:
        sentence = do()
    except PricelabError as error:
        sentence = str(error)
    except Exception as error:  # a screen shows a sentence, never a traceback
        sentence = unforeseen(error)
    return f'<span role="status">{text(sentence)}</span>'


class Press:
    """A button, and a line beside it that says what came of it."""

    def __init__(self, label: str, do: Callable[[], str]):
        self.label, self._do = label, do
        self.button = widgets.Button(description=label).add_class("pl-button")
        self.said = widgets.HTML()
        self.button.on_click(lambda _: self.press())
        self.box = widgets.HBox([self.button, self.said]).add_class("pl-press")

    def show(self, wanted: bool = True) -> None:
        """Show the button, or take it out of sight."""
        self.box.layout.display = None if wanted else "none"

    def press(self) -> None:
        """Do it, and say what came of it or why it could not be."""
        self.said.value = outcome(self._do)
