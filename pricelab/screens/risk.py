"""How sure is an order's profit: the part of a panel that draws it many times over."""

from collections.abc import Callable
from functools import lru_cache
from threading import Event, Thread

import ipywidgets as widgets
import numpy as np

from pricelab.analysis.break_even import OrderCase
from pricelab.analysis.risk import (
    Spread,
    Uncertainty,
    break_even_range,
    chance_of_loss,
    drivers_of,
    simulate,
    tornado,
)
from pricelab.pictures.risk import PROFITS, TORNADO, Profits, Tornado
from pricelab.screens.controls import Slide, Tick, outcome
from pricelab.screens.panel import Shown, View
from pricelab.shop.figures import number, percent, pieces

DRAWS, RANGE_DRAWS, LONG = 20_000, 500, 5_000_000
"""Draws of an order after every change, of all its quantities, and when they are asked for."""

SEED = 1


class LongRun:
    """Runs `work(watch)` beside the screen, which stays alive, and says the sentence it gives.

    `watch(done)` moves the bar to `done` of `total` and answers whether to go on; work that
    is told to stop hands in what it has.
    """

    def __init__(self, label: str, total: int, work: Callable[[Callable[[int], bool]], str]):
        self._work, self._halt, self._thread = work, Event(), Thread()
        self.button = widgets.Button(description=label).add_class("pl-button")
        self.stopper = widgets.Button(description="Stop", disabled=True).add_class("pl-button")
        self.bar = widgets.IntProgress(min=0, max=total, layout={"width": "200px"})
        self.said = widgets.HTML()
        self.button.on_click(lambda _: self.press())
        self.stopper.on_click(lambda _: self.stop())
        parts = [self.button, self.bar, self.stopper, self.said]
        self.box = widgets.HBox(parts).add_class("pl-press")

    def press(self) -> None:
        """Start, unless it is under way."""
        if self._thread.is_alive():
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
        """Until what was started has ended, for whoever drives it without a browser."""
        self._thread.join()

    def _watch(self, done: int) -> bool:
        self.bar.value = done
        return not self._halt.is_set()

    def _run(self) -> None:
        said = outcome(lambda: self._work(self._watch))
        self.button.disabled, self.stopper.disabled = False, True
        self.said.value = said


class Sureness:
    """Controls for what is in doubt, and what comes of it; `show` it an order's case."""

    def __init__(self):
        self.minutes = Slide("Minutes may be off by ±", 20, (0, 60), "%", "170px")
        self.prices = Slide("Suppliers' prices by ±", 5, (0, 60), "%", "170px")
        self.spoilage = Tick("spoiled pieces vary by chance", True)
        self.profits, self.said = View(PROFITS, "order-profits"), Shown()
        self.tornado = View(TORNADO, "order-tornado")
        self.long = LongRun(f"Draw {number(LONG)} times", LONG, self._draw_long)
        self._shown: tuple = ()
        self.rows = [
            [self.minutes, self.prices, self.spoilage],
            self.profits,
            self.tornado,
            self.said,
            [self.long],
        ]

    @property
    def doubt(self) -> Uncertainty:
        """What is in doubt, likeliest at the estimate."""
        off = [control.value / 100 for control in (self.minutes, self.prices)]
        return Uncertainty(*(Spread(1 - x, 1, 1 + x) for x in off), spoilage=self.spoilage.value)

    def show(self, case: OrderCase, quantity: int, name: str) -> None:
        """Draw an order of `quantity` and say what comes of it."""
        doubt = self.doubt
        asked = (case, quantity, doubt)
        if self._shown == asked:
            return  # the goal alone has changed
        self._shown = asked
        self.long.stop()
        revenue = float(case.at(quantity).earnings.revenue)
        self._drivers = drivers_of(case.shop, case.order(quantity), revenue)
        self._order = name, case.shop.currency
        self._show_profits(simulate(self._drivers, doubt, DRAWS, SEED))
        swings, expected = tornado(self._drivers, doubt), float(self._drivers.profit())
        self.tornado.draw(Tornado(*self._order, swings, expected))
        self._say(case, *_range(case, doubt))

    def _show_profits(self, profits: np.ndarray) -> None:
        self.profits.draw(Profits(*self._order, profits, float(self._drivers.profit())))

    def _say(self, case: OrderCase, points: tuple[int, int, int] | None, never: float) -> None:
        said = [f"{number(DRAWS)} draws of this order, always the same ones (seed {SEED})."]
        draws, (low, middle, high) = f"{number(RANGE_DRAWS)} draws", points or (None,) * 3
        if points is None:
            said.append(f"In none of {draws} did any quantity reach {case.shop.money(0)}.")
        elif low == high:
            smallest = low == case.quantities[0]
            said.append(
                f"Profit begins at {pieces(low)}, "
                f"{'the smallest that is sold' if smallest else 'whatever comes'}, in at least "
                f"nine of ten of {draws} of every quantity."
            )
        else:
            said.append(
                f"Profit begins somewhere from {pieces(low, high)}, in the middle at "
                f"{number(middle)} (the 5–95 % range of {draws} of every quantity)."
            )
        if points and never:
            said.append(f"In {percent(never)} of them no quantity paid.")
        self.said.say_each(said)

    def _draw_long(self, watch: Callable[[int], bool]) -> str:
        drivers = self._drivers
        profits = simulate(drivers, self.doubt, LONG, SEED, watch)
        if drivers is not self._drivers:
            return "Stopped, since the order has changed."
        self._show_profits(profits)
        loss = percent(chance_of_loss(profits), 3)
        return f"{number(profits.size)} draws: the chance of a loss is {loss}."


@lru_cache(maxsize=1)
def _range(case: OrderCase, doubt: Uncertainty) -> tuple[tuple[int, int, int] | None, float]:
    """Where profit begins; kept while only the quantity asked about changes."""
    revenue = case.sold.earnings.revenue[0]
    drivers = drivers_of(case.shop, case.order(case.quantities), revenue)
    return break_even_range(drivers, doubt, RANGE_DRAWS, SEED)
