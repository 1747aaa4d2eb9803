"""Controls with plain words, a unit and bounds, which answer a wrong entry beside themselves.

Each control has a `value` (what it stands at, or a `PricelabError` that says what will not
do), `set` for whoever drives it without a mouse or a browser, and a `box` to be shown.
Labels are tied to what they label, so that a keyboard and a screen reader find them.
"""

import os
from collections.abc import Callable, Mapping

import ipywidgets as widgets

from pricelab.screens.html import answer, text
from pricelab.screens.reading import figure, pieces
from pricelab.shop.errors import PricelabError


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

    @property
    def ends(self) -> list[tuple[str, object]]:
        """The first and last that it can stand at, in words and as values; none if it is typed."""
        options = getattr(self.widget, "options", ())
        return [options[0], options[-1]] if options else []

    def set(self, value) -> None:
        """Put the control to `value`, as a reader does by hand."""
        self.widget.value = value

    def on_change(self, do: Callable[[], None]) -> None:
        """Call `do` after every change."""
        self.widget.observe(lambda _: do(), "value")

    def show(self, wanted: bool = True) -> None:
        """Show the control, or take it out of sight where it has no say."""
        self.box.layout.display = None if wanted else "none"

    def say(self, sentence: str = "") -> None:
        """Answer beside the control, or take the answer back."""
        self.words = sentence
        self.answer.value = answer(sentence) if sentence else ""
        (self.box.add_class if sentence else self.box.remove_class)("pl-wrong")


class Choice(Control):
    """One of several; `options` maps the words shown to the values meant."""

    _kind = widgets.Dropdown

    def __init__(self, label: str, options: dict[str, object], start=None, *, width="230px"):
        pairs = list(options.items())
        chosen = pairs[0][1] if start is None else start
        super().__init__(self._kind(options=pairs, value=chosen, description=label), width)

    @classmethod
    def of(cls, label: str, things: Mapping[str, object], start: str | None = None, **how):
        """One of a shop's `things` by its name; the value is its key."""
        return cls(label, {thing.name: key for key, thing in things.items()}, start, **how)

    @property
    def value(self):
        """The value of the words chosen; raises `PricelabError` where none are."""
        if self.widget.index is None:
            raise PricelabError("Nothing is chosen. Choose one of the list.")
        return self.widget.value

    def offer(self, options: dict[str, object]) -> None:
        """Offer others instead; the choice stays where it is still among them."""
        pairs, kept = tuple(options.items()), self.widget.value
        if pairs != self.widget.options:
            self.widget.options = pairs
            self.widget.value = kept if kept in options.values() else pairs[0][1]


class SideBox(Choice):
    """One of two or three, all in sight."""

    _kind = widgets.ToggleButtons

    def __init__(self, label: str, options: dict[str, object], start=None):
        super().__init__(label, options, start, width="auto")


class Pick(Control):
    """One of a list of sentences, or none of them; arrow keys go through it."""

    def __init__(self, label: str, *, rows: int = 5):
        super().__init__(
            widgets.Select(options=[], value=None, description=label, rows=rows), "min(620px, 90vw)"
        )

    def offer(self, options: dict[str, object]) -> None:
        """Offer these instead of those before; nothing is picked."""
        pairs = tuple(options.items())
        if pairs != self.widget.options:
            self.widget.options = pairs
            self.widget.value = None


class Words(Control):
    """A line of words, taken when the reader presses Enter or goes on to the next."""

    def __init__(self, label: str, start: str = "", *, width="180px"):
        super().__init__(
            widgets.Text(value=start, description=label, continuous_update=False), width
        )

    @property
    def value(self):
        """The words, on one line; halves of letters, which no file can hold, as ?."""
        whole = self.widget.value.encode("utf-8", "replace").decode()
        return " ".join(whole.split())


class Typed(Words):
    """A typed entry, read by `parse`."""

    def __init__(self, label: str, parse: Callable[[str], object], start: str, *, width="120px"):
        self._parse = parse
        super().__init__(label, start, width=width)

    @property
    def value(self):
        """The entry as read; raises `PricelabError` where it will not do."""
        said = self.widget.value
        if len(said) > _MOST_LETTERS:
            raise PricelabError(
                f"Enter no more than {_MOST_LETTERS:,} letters. This is {len(said):,} long."
            )
        return self._parse(said)


class Pieces(Typed):
    """A whole number of pieces, typed, up to `most`."""

    def __init__(self, label: str, start: str, most: int = 5_000, *, width="100px"):
        super().__init__(label, pieces(most=most), start, width=width)


class Slide(Typed):
    """A figure of `unit` typed, or slid from low to high by `step`; arrow keys step it as well.

    What is typed counts, however long or wrong it is: nothing of it is dropped on the way. The
    slider beside it follows as far as it goes: `span` is low and high, or low, the slider's end
    and high.
    """

    def __init__(self, label: str, start, span: tuple, unit="", width="180px", *, step=1):
        self.low, self.high, self.whole = span[0], span[-1], isinstance(step, int)
        words = f"{label}, {unit}" if unit else label
        read = figure(self.low, self.high, unit, start, whole=self.whole)
        super().__init__(words, read, self._shown(start), width=width)
        slider = widgets.IntSlider if self.whole else widgets.FloatSlider
        self.slider = slider(value=start, min=self.low, max=span[1], step=step, readout=False)
        self.slider.layout.width = width
        self.box.children = [self.widget, self.slider, self.answer]
        self.box.add_class("pl-slide").add_class(f"pl-by-{step}")  # boxes.js steps by it
        self.slider.observe(self._slid, "value")
        self.widget.observe(self._follow, "value")

    @property
    def ends(self) -> list[tuple[str, object]]:
        """The lowest and the highest figure."""
        return [(f"{end:g}", end) for end in (self.low, self.high)]

    def set(self, value: float | str) -> None:
        """Put it to a figure, or to what somebody typed."""
        self.widget.value = value if isinstance(value, str) else self._shown(value)

    def _shown(self, figure: float) -> str:
        return f"{int(figure) if self.whole else figure:.12g}"

    def _on_slider(self) -> float | None:
        """Where the slider stands for what is typed; None where that cannot be read."""
        try:
            return min(max(self.value, self.slider.min), self.slider.max)
        except PricelabError:
            return None

    def _slid(self, change) -> None:
        if change.new != self._on_slider():
            self.set(change.new)

    def _follow(self, _) -> None:
        at = self._on_slider()
        if at is not None:
            self.slider.value = at


class Tick(Control):
    """Yes or no."""

    def __init__(self, label: str, start: bool = False):
        super().__init__(widgets.Checkbox(value=start, description=label, indent=False), "auto")

    @property
    def ends(self) -> list[tuple[str, object]]:
        """No and yes."""
        return [("no", False), ("yes", True)]


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
        return came(do())
    except PricelabError as error:
        return came(str(error))
    except Exception as error:  # a screen shows a sentence, never a traceback
        return came(unforeseen(error))


def came(sentence: str) -> str:
    """What came of a press, as a line that a screen reader tells, too."""
    return f'<span role="status">{text(sentence)}</span>'


class Press:
    """A button, and a line beside it that says what came of it."""

    held_by: Callable[[], bool] | None = None
    """What the panel has to do before, if anything; then nothing is done."""

    def __init__(self, label: str, do: Callable[[], str]):
        self.label, self._do = label, do
        self.button = widgets.Button(description=label).add_class("pl-button")
        self.said = widgets.HTML()
        self.button.on_click(lambda _: self.press())
        self.box = widgets.HBox([self.button, self.said]).add_class("pl-press")

    def show(self, wanted: bool = True) -> None:
        """Show the button, or take it out of sight."""
        self.box.layout.display = None if wanted else "none"

    def press(self) -> str:
        """Do it, and say what came of it or why it could not be; or first show what changed."""
        if self.held_by is None or not self.held_by():
            self.said.value = outcome(self._do)
        return self.said.value
