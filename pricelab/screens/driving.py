"""Driving a panel through its ends, as the checks at the end of a notebook do."""

from pricelab.screens.controls import Choice, Control, Pick, Side, Slide, Tick, Typed
from pricelab.screens.panel import Panel

NOT_A_FIGURE = "x"
"""What nobody means by a length, a quantity or a size."""


def drive_to_ends(panel: Panel) -> str:
    """Put every control to each of its ends and back; what the panel then says, a line each.

    An `AssertionError` if a panel shows nothing, or takes a wrong entry without an answer.
    """
    said = []
    for control in panel.controls:
        kept = control.widget.value
        for end in ends(control):
            control.widget.value = end
            said.append(f"{control.label} at {_told(control, end)}: {_first_line(panel)}")
        if isinstance(control, Typed):
            before = [part.box.value for part in panel.parts]
            control.widget.value = NOT_A_FIGURE
            assert 'role="alert"' in control.answer.value, f"{control.label} took {NOT_A_FIGURE}"
            assert before == [part.box.value for part in panel.parts], "the last good result went"
        control.widget.value = kept
        assert not control.answer.value, f"{control.label} still answers"
    return "\n".join(said)


def ends(control: Control) -> list:
    """The first and last value that a control can take; none for what is typed or picked."""
    widget = control.widget
    if isinstance(control, Slide):
        return [widget.min, widget.max]
    if isinstance(control, Tick):
        return [False, True]
    if isinstance(control, Choice | Side | Pick) and widget.options:
        values = [value for _, value in widget.options]
        return [values[0], values[-1]]
    return []


def _told(control: Control, end) -> str:
    if isinstance(control, Choice | Side | Pick):
        return next(words for words, value in control.widget.options if value == end)
    if isinstance(control, Tick):
        return "yes" if end else "no"
    return f"{end:g}"


def _first_line(panel: Panel) -> str:
    """What the panel says first: an answer beside a control, or its finding."""
    answers = [control.words for control in panel.controls if control.words]
    words = answers or [part.words for part in panel.parts if part.words]
    assert words, "the panel shows nothing"
    return words[0].partition("\n")[0]
