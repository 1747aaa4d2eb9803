"""The owner's panel on one order: from how many pieces it pays, at what price, and how sure."""

from dataclasses import replace

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
from pricelab.screens.controls import Choice, SideBox, Slide, Tick, Typed
from pricelab.screens.html import or_why, table
from pricelab.screens.panel import Panel, Shown, View
from pricelab.screens.reading import pieces
from pricelab.screens.risk import Sureness
from pricelab.screens.sides import Sides
from pricelab.shop.figures import number, percent
from pricelab.shop.figures import pieces as counted
from pricelab.shop.price_list import PriceList
from pricelab.words.findings import short_methods

LISTED, OWN = "listed", "own"


class BreakEvenPanel(Panel):
    """One artwork on one blank, sold off its list or at a price of one's own."""

    def __init__(self, folder: ShopFolder):
        shop = self._shop = folder.shop
        self._folder = folder
        self._lists: dict[tuple[str, str], PriceList] = {}
        self._known: tuple[object, OrderCase | None] = (None, None)
        self._short = short_methods(shop)
        self.method = Choice.of("Method", shop.methods)
        self.blank = Choice.of("Blank", shop.blanks)
        self.sides = Sides(shop.unit)
        self.pieces = Typed("Pieces", pieces(most=shop.largest_order), "48", width="90px")
        self.order = SideBox("Order", {"first": True, "repeat": False})
        self.sold = SideBox("Sold at", {"the list": LISTED, "my own price": OWN})
        money = shop.currency
        self.price = Slide("Price a piece", 10.0, (0.01, 60, 1e6), money, "150px", step=0.05)
        self.free = Tick("set-up given free")
        self.by = SideBox(
            "Goal", {"profit": PROFIT, "margin": MARGIN, "profit an hour": HOURLY}, MARGIN
        )
        target = shop.pricing.target * 100
        self.goals = {
            PROFIT: Slide("Profit of at least", 0, (0, 1_000, 1_000_000), money),
            MARGIN: Slide("Margin of at least", target, (0, 90), "%", step=0.5),
            HOURLY: Slide("Profit an hour of at least", 60, (0, 400, 100_000), money),
        }
        self.earning = View(EARNING, "order-earning")
        self.ranges, self.said = Shown(), Shown()
        self.sure = Sureness()
        self.lay_out(
            [self.method, self.blank, *self.sides.controls, self.pieces],
            [self.order, self.sold, self.by, *self.goals.values()],
            [self.price, self.free],
            self.earning,
            self.said,
            self.ranges,
            *self.sure.rows,
        )

    def _list(self) -> PriceList:
        """The list the order is sold by."""
        pair = self.method.value, self.blank.value
        if pair not in self._lists:
            method, blank = self._shop.methods[pair[0]], self._shop.blanks[pair[1]]
            self._lists[pair] = selling_list(self._folder, method, blank)
        listed = self._lists[pair]
        if self.sold.value == OWN:
            listed = at_one_price(listed, self.price.value)
        return replace(listed, setup=0.0) if self.free.value else listed

    def _case(self) -> OrderCase:
        """The order that is asked for; the last one is kept while only the goal changes."""
        own = self.price.value if self.sold.value == OWN else None
        pair = self.method.value, self.blank.value
        asked = (pair, self.sides.figures, self.order.value, own, self.free.value)
        if self._known[0] != asked:
            with self.answering(self.blank):
                listed = self._list()
            with self.answering(self.sides.width):
                case = OrderCase.of(self._shop, listed, self.sides.artwork, first=self.order.value)
            self._known = (asked, case)
        return self._known[1]

    @property
    def goal(self) -> float:
        """The goal, a margin as a fraction."""
        typed = float(self.goals[self.by.value].value)
        return typed / 100 if self.by.value == MARGIN else typed

    def update(self) -> None:
        """Sell the order in every quantity, and say which ones earn the goal."""
        self.price.show(self.sold.value == OWN)
        for by, control in self.goals.items():
            control.show(by == self.by.value)
        case = self._case()
        with self.answering(self.pieces):
            case.at(self.pieces.value)
        name = f"{self._short[self.method.value]}, {self.sides.words}"
        shown = self._draw(case, name)
        self.ranges.write(
            table(shown.columns, shown.rows, caption="Every quantity, once", left=(0, 1))
        )
        self._say(case)
        self.sure.show(case, self.pieces.value, f"{counted(self.pieces.value)}, {name}")

    def _draw(self, case: OrderCase, name: str):
        by, currency = self.by.value, self._shop.currency
        found, at = case.break_even(by, self.goal), self.pieces.value
        earned = case.quantities, case.earned(by), self.goal
        return self.earning.draw(Earning(name, by, currency, *earned, found, at))

    def _say(self, case: OrderCase) -> None:
        self.said.say_each(
            [
                self._price_words(case),
                or_why(lambda: self._stepless_words(case)),
                or_why(lambda: self._repeat_words(case)),
            ]
        )

    def _price_words(self, case: OrderCase) -> str:
        quantity, money = self.pieces.value, self._shop.money
        asked = float(case.at(quantity).charged.each)
        price = case.price_for(quantity, self.by.value, self.goal)
        rounded = self._shop.pricing.rounding.up(price)
        return (
            f"{counted(quantity)} just earn the goal at {money(price)} a piece; rounded up "
            f"as your list is, {money(rounded)}. They are sold at {money(asked)}."
        )

    def _stepless_words(self, case: OrderCase) -> str:
        if self.by.value == HOURLY:
            return "The textbook has no point for profit an hour: hours move with the quantity too."
        money = self._shop.money
        margin = self.goal if self.by.value == MARGIN else 0.0
        profit = self.goal if self.by.value == PROFIT else 0.0
        one = case.stepless(self.pieces.value, margin, profit)
        what = f"with a margin of {percent(margin)} taken out" if margin else "for comparison"
        return (
            f"The textbook, {what}: with the price and costs of {counted(self.pieces.value)} "
            f"throughout, {money(one.fixed)} an order over {money(one.price)} less "
            f"{money(one.variable)} a piece are {number(round(one.point, 2))} pieces."
        )

    def _repeat_words(self, case: OrderCase) -> str:
        quantity = self.pieces.value
        given = case.set_up_cost(quantity)
        if not given:
            return "A first order of this artwork costs you no set-up."
        repeats = case.repeats_to_repay(quantity)
        orders = "one repeat order" if repeats == 1 else f"{number(repeats)} repeat orders"
        return (
            f"Set-up costs you {self._shop.money(given)}: given free, {orders} of "
            f"{counted(quantity)} {'pays' if repeats == 1 else 'pay'} it off (by contribution)."
        )
