"""Driving a panel through its ends, as the checks at the end of a notebook do."""

from pricelab.screens.controls import Slide, Typed
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
        for words, end in control.ends:
            before = [part.words for part in panel.parts]
            control.set(end)
            said.append(f"{control.label}, {words}: {_news(panel, before)}")
        if isinstance(control, Typed):
            before = [part.box.value for part in panel.parts]
            wrong = f"{control.high:.12g}1" if isinstance(control, Slide) else NOT_A_FIGURE
            control.set(wrong)
            assert 'role="alert"' in control.answer.value, f"{control.label} took {wrong}"
            assert before == [part.box.value for part in panel.parts], "the last good result went"
            wrong_parts = [part for part in panel.parts if part not in panel.steady]
            bare = [part.words for part in wrong_parts if part.words and not part.old]
            assert not bare, f"{control.label} will not do, but these stand unmarked: {bare}"
        control.widget.value = kept
        assert not control.answer.value, f"{control.label} still answers"
    assert panel.mistake is None, f"the program made a mistake: {panel.mistake!r}"
    return "\n".join(said)


def _news(panel: Panel, before: list[str]) -> str:
    """What the panel says now: an answer beside a control, or the findings that changed."""
    answers = [control.words for control in panel.controls if control.words]
    assert any(part.words for part in panel.parts), "the panel shows nothing"
    changed = [p.words for p, was in zip(panel.parts, before, strict=True) if p.words != was]
    firsts = [words.partition("\n")[0] for words in answers or changed]
    return " / ".join(filter(None, firsts)) or "as before"
