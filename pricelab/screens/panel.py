"""A panel: controls above, what they make below, and nothing in between but one function.

A panel reads its controls, calls one public function and shows the result. An entry that
will not do is answered beside its control, and the last good result stays, marked as not up
to date: no figure stands unmarked beside an entry that it is not for. What a panel
shows can be read without a browser: `str(panel)` is its words and figures, and a notebook
that was not run shows the same as a page.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from functools import partial
from typing import TYPE_CHECKING, ClassVar

import ipywidgets as widgets
from traitlets import TraitError

from pricelab.files.clock import now
from pricelab.pictures.picture import Description, Live, Picture
from pricelab.screens.controls import Control, Press, came, unforeseen
from pricelab.screens.html import answer, bullets, paragraph, sentence, style, table, text
from pricelab.shop.errors import PricelabError

if TYPE_CHECKING:
    from pricelab.files.shop_folder import ShopFolder


_TITLES = {"heading": "<h4>{}</h4>", "finding": '<p class="pl-finding">{}</p>', "caption": ""}


class Shown:
    """A part of a panel that is written anew after a change; only real changes are sent."""

    def __init__(self):
        self.box = widgets.HTML()
        self.words = ""
        self.old = False

    def write(self, html: str, words: object = "") -> None:
        """Show `html`; `words` are its twin in plain text."""
        self.words, self.box.value = str(words), html

    def mark_old(self, old: bool) -> None:
        """Grey it while it is of the entries before, or take that back."""
        self.old = old
        (self.box.add_class if old else self.box.remove_class)("pl-old")

    def say(self, words: object, kind: str = "") -> None:
        """Show a paragraph (see `html.paragraph`), or nothing where there are no words."""
        self.write(paragraph(words, kind) if words else "", words)

    def say_each(self, sentences: Sequence[str], *, head: str = "", side: str = "") -> None:
        """Show sentences as a list, under a heading, with a side note after them."""
        html = bullets(sentences) + (paragraph(side, "side") if side else "")
        head = f"<h4>{text(head)}</h4>" if head and html else ""
        self.write(head + html, "\n".join([*sentences, *([side] if side else [])]))

    def tabulate(
        self, finding, rows, *, title="heading", caption="", note="", close=False, none="", **how
    ) -> None:
        """Show a table (`rows`: see `Description.of`, `how`: `html.table`), with a note after it.

        Its finding stands over it as a `title`: a heading, a finding or the table's caption;
        `close` is for many columns. Without a row `none` is said instead.
        """
        told = Description.of(finding, rows)
        if not told.rows:
            self.say(none)
            return
        head, words = _TITLES[title].format(text(told.finding)), [str(told), caption, note]
        caption = told.finding if title == "caption" else caption
        listed = table(told.columns, told.rows, caption=caption, **how)
        listed = f'<div class="pl-close">{listed}</div>' if close else listed
        side = paragraph(note, "side") if note else ""
        self.write(head + listed + side, "\n".join(filter(None, words)))


class View(Shown):
    """A picture in a panel; `name` tells its ids apart from others on the page."""

    def __init__(self, picture: Picture, name: str):
        super().__init__()
        self.live = Live(picture, name)

    def draw(self, values) -> Description:
        """Draw the picture of `values`; returns its description."""
        svg, description = self.live.drawn(values)
        self.write(svg, description)
        return description


NOT_UP_TO_DATE = "Not up to date: what is grey is for the entries before."


class _AnsweredError(Exception):
    """A control has answered; the last good result stays, marked."""


class Panel:
    """The base of every panel.

    A subclass makes its controls and parts, hands them to `lay_out`, and writes `update`,
    which reads the controls and shows what one public function gives for them.
    """

    _busy = True  # until the controls are laid out

    mistake: Exception | None = None
    """The last error that no rule foresaw: for whoever mends it, never for the reader."""

    goes_on = False
    """Whether to update though an entry will not do, as where what hangs on it is but a part."""

    steady: tuple[Shown, ...] = ()
    """Parts that hang on no typed entry, such as a heading: these are never out of date."""

    up_to_date = True
    """Whether what is shown is for the entries as they are."""

    opened_as: tuple | None = None
    """The shop's folder and what made the panel, where `opening.opened` did."""

    _on_screen: ClassVar[dict[tuple, "Panel"]] = {}
    """Panels that are shown, the last one of a kind: these follow what is written in others."""

    controls: list[Control]
    parts: list[Shown]
    saves_what_is_shown = True
    """Whether what its buttons save hangs on the tables, and not on what was typed alone."""

    changed = "Your tables changed; figures are up to date"
    unfit = "Your tables changed and need fixing: notebook 0 says where."
    """What is said where the shop's tables are others than those that are shown."""

    stands_in: "Panel | None" = None
    """The panel that is shown in this one's place since the tables changed."""

    _tables_now: Callable[[], tuple] | None = None

    def lay_out(self, *rows: "Shown | Iterable[object]") -> None:
        """Stack shown parts and rows of controls and buttons; then update for the first time."""
        self.controls, self.parts, self._presses, self._answer = [], [], [], Shown()
        kinds = {Control: self.controls, Shown: self.parts, Press: self._presses}
        stacked = [widgets.HTML(style())]
        for row in rows:
            items = [row] if isinstance(row, Shown) else list(row)
            for kind, known in kinds.items():
                known += [item for item in items if isinstance(item, kind)]
            if not isinstance(row, Shown):
                boxes = widgets.HBox([item.box for item in items])
                stacked.append(boxes.add_class("pl-controls"))
                continue
            if self._answer.box not in stacked:
                stacked.append(self._answer.box)  # under the controls, over what is shown
            stacked.append(row.box)
        self.root = widgets.VBox(stacked).add_class("pl-panel")
        for control in self.controls:
            control.on_change(self.refresh)
        for at, press in enumerate(self._presses if self.saves_what_is_shown else ()):
            press.held_by = partial(self._catch_up, at)
        self.keep_start()
        self._busy = False
        self.refresh()

    def keep_start(self) -> None:
        """Take the entries as they are for those that nobody typed."""
        self._started_at = [control.widget.value for control in self.controls]

    def follow(self, tables: Callable[[], tuple], read: tuple, make: "Callable[[], Panel]") -> None:
        """Look at the `tables` before anything is drawn or saved, `read` being what they were.

        Where they are others by now, one of which `make` gives another takes this panel's place.
        """
        self._tables_now, self._tables_shown, self._make_again = tables, read, make

    def _catch_up(self, pressed: int | None = None) -> bool:
        """Show the tables as they are now, where they changed, keeping what was typed.

        The button that was `pressed`, by its place, says that it did nothing yet.
        """
        if (
            self.stands_in is not None
            or self._tables_now is None
            or self._tables_now() == self._tables_shown
        ):
            return self.stands_in is not None
        panel = self._make_again()
        if not panel.controls and self.controls:
            self.up_to_date = False
            self._say_state(self.unfit)
            if pressed is not None:
                self._presses[pressed].said.value = came(f"Nothing was saved. {self.unfit}")
            return True
        panel.carry(self)
        self.root.children, panel.root = panel.root.children, self.root
        self.stands_in = panel
        if self._on_screen.get(self.opened_as) is self:
            self._on_screen[panel.opened_as] = panel
        said = f"{self.changed} ({now():%H:%M})."
        panel.note(said)
        if pressed is not None:
            again = f"{said} Nothing was saved: look at them, and press again."
            panel._presses[pressed].said.value = came(again)
        return True

    def carry(self, before: "Panel") -> None:
        """Take over what was typed in the panel whose place this one takes."""
        typed = zip(before.controls, before._started_at, self.controls, strict=False)
        for old, begun, new in typed:
            if old.widget.value != begun and old.label == new.label:
                with suppress(TraitError):  # a blank that is no longer there
                    new.widget.value = old.widget.value

    def note(self, words: str) -> None:
        """Say something about all that is shown, until the next change."""
        self._answer.write(self._answer.box.value + paragraph(words, "side"), words)

    def refresh(self, anew: "ShopFolder | None" = None) -> None:
        """Update after a change, unless an update is moving controls itself.

        With `anew`, the shop's folder as it is now is read first.
        """
        if self._busy or (anew is None and self._catch_up()):
            return
        self._busy = True
        if anew is None:
            for press in self._presses:  # what it answered was about the entries before
                press.said.value = ""
        try:
            if anew is not None:
                self.read(anew)
                self._tables_shown = self._tables_now and self._tables_now()
            self.up_to_date = self._readable()
            if self.up_to_date or self.goes_on:
                self.update()
            refused = ""
        except _AnsweredError:
            self.up_to_date, refused = False, ""
        except PricelabError as error:
            self.up_to_date, refused = False, sentence(error)
        except Exception as error:  # a screen shows a sentence, never a traceback
            self.mistake = error
            self.up_to_date, refused = False, unforeseen(error)
        finally:
            self._busy = False
        self._say_state(refused)

    def _say_state(self, refused: str) -> None:
        """Say what no single control is to blame for; mark what is of the entries before."""
        old = [part for part in self.parts if part not in self.steady and not self.up_to_date]
        for part in self.parts:
            part.mark_old(part in old)
        note = NOT_UP_TO_DATE if any(part.words for part in old) else ""
        self._answer.write(
            (answer(refused) if refused else "") + (paragraph(note, "note") if note else ""),
            " ".join(filter(None, (refused, note))),
        )

    def check_up_to_date(self) -> None:
        """Refuse to save what is shown where it is not for the entries as they are."""
        if not self.up_to_date:
            raise PricelabError("Nothing was saved. Fix the entry that is marked first.")

    def update(self) -> None:
        """Read the controls, call one function, show what it gives."""
        raise NotImplementedError

    def read(self, folder: "ShopFolder") -> None:
        """Take the shop, and what happened in it, as they are now; for panels that follow."""

    def tell(self, folder: "ShopFolder") -> None:
        """Let the panels on the same shop that are shown read it anew, this one too."""
        self.refresh(folder)
        for (path, _), panel in list(self._on_screen.items()):
            if panel is not self and path == folder.folder:
                panel.refresh(folder)

    @contextmanager
    def answering(self, control: Control) -> Iterator[None]:
        """A refusal inside is answered beside `control`, and the update ends there."""
        try:
            yield
        except PricelabError as error:
            control.say(sentence(error))
            raise _AnsweredError from None

    @contextmanager
    def quietly(self) -> Iterator[None]:
        """Controls that are moved inside do not each start an update."""
        before, self._busy = self._busy, True
        try:
            yield
        finally:
            self._busy = before

    def _readable(self) -> bool:
        """Answer every entry that will not do beside its control; False if there is one."""
        good = True
        for control in self.controls:
            try:
                _ = control.value
            except PricelabError as error:
                control.say(sentence(error))
                good = False
            else:
                control.say()
        return good

    def __str__(self):
        said = [part.words for part in [self._answer, *self.parts] if part.words]
        return "\n\n".join(said)

    def html(self) -> str:
        """What is shown, as a page that needs no kernel.

        Without the stylesheet: a reader of a stored notebook would not be given it anyway,
        and every change of it would change every notebook.
        """
        shown = "".join(part.box.value for part in [self._answer, *self.parts])
        return f'<div class="pl-panel">{shown}</div>'

    def _repr_mimebundle_(self, **kwargs):
        if self.opened_as is not None:
            self._on_screen[self.opened_as] = self
        bundle = self.root._repr_mimebundle_(**kwargs)
        return bundle | {"text/plain": str(self), "text/html": self.html()}
