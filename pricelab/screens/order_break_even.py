"""The owner's panel on one order: from how many pieces it pays, at what price, and how sure."""

from dataclasses import replace
from functools import cache, lru_cache

from pricelab.analysis.break_even import (
    HOURLY,
    MARGIN,
    PROFIT,
    OrderCase,
    at_one_price,
)
from pricelab.files.shop_folder import ShopFolder
from pricelab.lists.selling_list import selling_list
from pricelab.pictures.earning import EARNING, Earning
from pricelab.screens.controls import Choice, Pieces, SideBox, Slide, Tick
from pricelab.screens.html import or_why, table
from pricelab.screens.panel import Panel, Shown, View
from pricelab.screens.risk import Sureness
from pricelab.screens.sides import Sides
from pricelab.shop.figures import number, percent, pieces
from pricelab.shop.price_list import PriceList
from pricelab.words.findings import short_methods

LISTED, OWN = "listed", "own"


class BreakEvenPanel(Panel):
    """One artwork on one blank, sold off its list or at a price of one's own."""

    def __init__(self, folder: ShopFolder):
        shop, money = folder.shop, folder.shop.currency
        self._shop, self._short = shop, short_methods(shop)
        self._selling = cache(
            lambda method, blank: selling_list(folder, shop.methods[method], shop.blanks[blank])
        )
        # the last ones are kept while only the goal changes
        self._list, self._case = (lru_cache(maxsize=1)(of) for of in (self._list, self._case))
        self.method = Choice.of("Method", shop.methods)
        self.blank = Choice.of("Blank", shop.blanks)
        self.sides = Sides(shop.unit)
        self.pieces = Pieces("Pieces", "48", shop.largest_order, width="90px")
        self.order = SideBox("Order", {"first": True, "repeat": False})
        self.sold = SideBox("Sold at", {"the list": LISTED, "my own price": OWN})
        self.price = Slide("Price a piece", 10.0, (0.01, 60, 1e6), money, "150px", step=0.05)
        self.free = Tick("set-up given free")
        by = {"profit": PROFIT, "margin": MARGIN, "profit an hour": HOURLY}
        self.by = SideBox("Goal", by, MARGIN)
        target = shop.pricing.target * 100
        self.goals = {
            PROFIT: Slide("Profit of at least", 0, (0, 1_000, 1_000_000), money),
            MARGIN: Slide("Margin of at least", target, (0, 90), "%", step=0.5),
            HOURLY: Slide("Profit an hour of at least", 60, (0, 400, 100_000), money),
        }
        self.earning = View(EARNING, "order-earning")
        self.ranges, self.said, self.sure = Shown(), Shown(), Sureness()
        self.lay_out(
            [self.method, self.blank, *self.sides.controls, self.pieces],
            [self.order, self.sold, self.by, *self.goals.values()],
            [self.price, self.free],
            self.earning,
            self.said,
            self.ranges,
            *self.sure.rows,
        )

    def _list(self, method: str, blank: str, own: float | None, free: bool) -> PriceList:
        """The list that an order is sold by, or one price of the reader's own."""
        listed = self._selling(method, blank)
        listed = listed if own is None else at_one_price(listed, own)
        return replace(listed, setup=0.0) if free else listed

    def _case(self, listed: PriceList, sides: tuple[float, float], first: bool) -> OrderCase:
        return OrderCase.of(self._shop, listed, self.sides.artwork, first=first)

    @property
    def goal(self) -> float:
        """The goal, a margin as a fraction."""
        typed = float(self.goals[self.by.value].value)
        return typed / 100 if self.by.value == MARGIN else typed

    def update(self) -> None:
        """Sell the order in every quantity, and say which ones earn the goal."""
        by, own = self.by.value, self.price.value if self.sold.value == OWN else None
        self.price.show(own is not None)
        for goal, control in self.goals.items():
            control.show(goal == by)
        with self.answering(self.blank):
            listed = self._list(self.method.value, self.blank.value, own, self.free.value)
        with self.answering(self.sides.width):
            case = self._case(listed, self.sides.figures, self.order.value)
        quantity, found = self.pieces.value, case.break_even(by, self.goal)
        with self.answering(self.pieces):
            case.at(quantity)
        name = f"{self._short[self.method.value]}, {self.sides.words}"
        earned = case.quantities, case.earned(by), self.goal
        shown = self.earning.draw(Earning(name, by, self._shop.currency, *earned, found, quantity))
        self.ranges.write(
            table(shown.columns, shown.rows, caption="Every quantity, once", left=(0, 1))
        )
        words = self._price_words, self._stepless_words, self._repeat_words
        self.said.say_each([or_why(lambda say=say: say(case, quantity)) for say in words])
        self.sure.show(case, quantity, f"{pieces(quantity)}, {name}")

    def _price_words(self, case: OrderCase, quantity: int) -> str:
        money, price = self._shop.money, case.price_for(quantity, self.by.value, self.goal)
        rounded, asked = (
            self._shop.pricing.rounding.up(price),
            float(case.at(quantity).charged.each),
        )
        return (
            f"{pieces(quantity)} just earn the goal at {money(price)} a piece; rounded up "
            f"as your list is, {money(rounded)}. They are sold at {money(asked)}."
        )

    def _stepless_words(self, case: OrderCase, quantity: int) -> str:
        money, by = self._shop.money, self.by.value
        if by == HOURLY:
            return "The textbook has no point for profit an hour: hours move with the quantity too."
        margin, profit = (self.goal if by == what else 0.0 for what in (MARGIN, PROFIT))
        one = case.stepless(quantity, margin, profit)
        what = f"with a margin of {percent(margin)} taken out" if margin else "for comparison"
        return (
            f"The textbook, {what}: with the price and costs of {pieces(quantity)} "
            f"throughout, {money(one.fixed)} an order over {money(one.price)} less "
            f"{money(one.variable)} a piece are {number(round(one.point, 2))} pieces."
        )

    def _repeat_words(self, case: OrderCase, quantity: int) -> str:
        given = case.set_up_cost(quantity)
        if not given:
            return "A first order of this artwork costs you no set-up."
        repeats = case.repeats_to_repay(quantity)
        orders = "one repeat order" if repeats == 1 else f"{number(repeats)} repeat orders"
        return (
            f"Set-up costs you {self._shop.money(given)}: given free, {orders} of "
            f"{pieces(quantity)} {'pays' if repeats == 1 else 'pay'} it off (by contribution)."
        )
