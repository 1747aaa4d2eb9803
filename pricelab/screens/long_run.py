"""Long work beside a panel: a button that starts it, a bar, and a button that stops it."""

from collections.abc import Callable
from threading import Event, Thread

import ipywidgets as widgets

from pricelab.screens.controls import outcome


class LongRun:
    """Runs `work(watch)` beside the screen, which stays alive, and says the sentence it gives.

    `watch(done)` moves the bar to `done` of `total` and answers whether to go on; work that
    is told to stop hands in what it has.
    """

    def __init__(self, label: str, total: int, work: Callable[[Callable[[int], bool]], str]):
        self.label, self.total, self._work = label, total, work
        self._halt, self._thread = Event(), None
        self.button = widgets.Button(description=label).add_class("pl-button")
        self.stopper = widgets.Button(description="Stop", disabled=True).add_class("pl-button")
        self.bar = widgets.IntProgress(min=0, max=total, value=0)
        self.bar.layout.width = "200px"
        self.said = widgets.HTML()
        self.button.on_click(lambda _: self.press())
        self.stopper.on_click(lambda _: self.stop())
        parts = [self.button, self.bar, self.stopper, self.said]
        self.box = widgets.HBox(parts).add_class("pl-press")

    def press(self) -> None:
        """Start, unless it is under way."""
        if self._thread is not None and self._thread.is_alive():
            return
        self._halt.clear()
        self.bar.value, self.said.value = 0, ""
        self.button.disabled, self.stopper.disabled = True, False
        self._thread = Thread(target=self._run, daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """Ask it to stop at the next part."""
        self._halt.set()

    def wait(self) -> None:
        """Until it has ended, for whoever drives it without a browser."""
        if self._thread is not None:
            self._thread.join()

    def _watch(self, done: int) -> bool:
        self.bar.value = done
        return not self._halt.is_set()

    def _run(self) -> None:
        said = outcome(lambda: self._work(self._watch))
        self.button.disabled, self.stopper.disabled = False, True
        self.said.value = said
