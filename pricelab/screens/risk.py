"""How sure is an order's profit: the part of a panel that draws it many times over."""

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
from pricelab.screens.controls import Slide, Tick
from pricelab.screens.long_run import LongRun
from pricelab.screens.panel import Shown, View
from pricelab.shop.figures import number, percent, pieces
from pricelab.shop.money import show_money

DRAWS, RANGE_DRAWS, LONG = 20_000, 500, 5_000_000
"""Draws of an order after every change, of all its quantities, and when they are asked for."""

SEED = 1


class Sureness:
    """Controls for what is in doubt, and what comes of it; `show` it an order's case."""

    def __init__(self):
        self.minutes = Slide("Minutes may be off by ±", 20, (0, 60), "%", "170px")
        self.prices = Slide("Suppliers' prices by ±", 5, (0, 60), "%", "170px")
        self.spoilage = Tick("spoiled pieces vary by chance", True)
        self.said = Shown()
        self.profits = View(PROFITS, "order-profits")
        self.tornado = View(TORNADO, "order-tornado")
        self.long = LongRun(f"Draw {number(LONG)} times", LONG, self._draw_long)
        self._shown: tuple = ()
        self._ranged: tuple = ()
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
        return Uncertainty(*map(_spread, (self.minutes, self.prices)), spoilage=self.spoilage.value)

    def show(self, case: OrderCase, quantity: int, name: str) -> None:
        """Draw an order of `quantity` and say what comes of it."""
        doubt = self.doubt
        asked = (case, quantity, doubt)
        if self._shown == asked:
            return  # the goal alone has changed
        self._shown = asked
        self.long.stop()
        self._drivers = drivers_of(
            case.shop, case.order(quantity), float(case.at(quantity).earnings.revenue)
        )
        self._name, self._currency = name, case.shop.currency
        self._show_profits(simulate(self._drivers, doubt, DRAWS, SEED))
        expected = float(self._drivers.profit())
        swings = tornado(self._drivers, doubt)
        self.tornado.draw(Tornado(name, self._currency, swings, expected))
        self._say(case, *self._range(case, doubt))

    def _range(self, case: OrderCase, doubt: Uncertainty) -> tuple:
        """Where profit begins; kept while only the quantity asked about changes."""
        if self._ranged[:2] != (case, doubt):
            drivers = drivers_of(
                case.shop, case.order(case.quantities), case.sold.earnings.revenue[0]
            )
            self._ranged = (case, doubt, break_even_range(drivers, doubt, RANGE_DRAWS, SEED))
        return self._ranged[2]

    def _show_profits(self, profits: np.ndarray) -> None:
        expected = float(self._drivers.profit())
        self.profits.draw(Profits(self._name, self._currency, profits, expected))

    def _say(self, case: OrderCase, points: tuple[int, int, int] | None, never: float) -> None:
        nothing = show_money(0, self._currency)
        said = [f"{number(DRAWS)} draws of this order, always the same ones (seed {SEED})."]
        draws = f"{number(RANGE_DRAWS)} draws"
        if points is None:
            said.append(f"In none of {draws} did any quantity reach {nothing}.")
            self.said.say_each(said)
            return
        low, middle, high = points
        if low == high:
            first = " the smallest that is sold" if low == case.quantities[0] else ""
            said.append(
                f"Profit begins at {pieces(low)},{first or ' whatever comes'}, in at least "
                f"nine of ten of {draws} of every quantity."
            )
        else:
            said.append(
                f"Profit begins somewhere from {pieces(low, high)}, in the middle at "
                f"{number(middle)} (the 5–95 % range of {draws} of every quantity)."
            )
        if never:
            said.append(f"In {percent(never)} of them no quantity paid.")
        self.said.say_each(said)

    def _draw_long(self, watch) -> str:
        drivers = self._drivers
        profits = simulate(drivers, self.doubt, LONG, SEED, watch)
        if drivers is not self._drivers:
            return "Stopped, since the order has changed."
        self._show_profits(profits)
        loss = percent(chance_of_loss(profits), 3)
        return f"{number(profits.size)} draws: the chance of a loss is {loss}."


def _spread(control: Slide) -> Spread:
    off = control.value / 100
    return Spread(1 - off, 1, 1 + off)
