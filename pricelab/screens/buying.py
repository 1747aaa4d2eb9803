"""The owner's panel on buying for an order: whole pieces, packs, minimums and ordering up."""

from dataclasses import replace

from pricelab.analysis.buying import ToBuy, buying_list
from pricelab.cost.orders import Order
from pricelab.files.shop_folder import ShopFolder
from pricelab.screens.controls import Choice, Pieces, SideBox, Slide
from pricelab.screens.panel import Panel, Shown
from pricelab.screens.sides import Sides
from pricelab.shop.figures import number, percent, pieces


class BuyingPanel(Panel):
    """What to buy for one order, and whether a later break would cost less."""

    def __init__(self, folder: ShopFolder):
        shop = self._shop = folder.shop
        self.method = Choice.of("Method", shop.methods)
        self.blank = Choice.of("Blank", shop.blanks)
        self.sides = Sides(shop.unit)
        self.pieces = Pieces("Good pieces", "45", shop.largest_order)
        sure = shop.service_level * 100
        self.sure = Slide("How sure to have enough", sure, (50.0, 99.9), "%", step=0.1)
        ups = {"buy it": True, "only tell me": False}
        self.up = SideBox("A later break that costs less", ups, shop.order_up)
        parts = self.finding, self.table, self.said = Shown(), Shown(), Shown()
        ordered = [self.method, self.blank, *self.sides.controls]
        self.lay_out(ordered, [self.pieces, self.sure, self.up], *parts)

    def update(self) -> None:
        """Make the buying list of the order, at the service level."""
        shop = replace(self._shop, service_level=self.sure.value / 100, order_up=self.up.value)
        blank, method = shop.blanks[self.blank.value], shop.methods[self.method.value]
        good, artwork, money = self.pieces.value, self.sides.artwork, shop.money
        with self.answering(self.sides.width):
            bought = buying_list(shop, Order.of(blank, good, method, artwork))
        names = " and ".join(f"{number(one.billed)} × {one.name}" for one in bought)
        cost = money(sum(one.amount for one in bought))
        finding = f"For {pieces(good)} of {self.sides.words}, buy {names}: {cost}"
        self.finding.say(finding, "finding")
        rows = [
            {
                "Buy": one.name,
                "Good wanted": number(one.good),
                "To be sure": number(one.pieces),
                "Paid for": number(one.billed),
                "A piece": money(one.unit_price),
                "Comes to": money(one.amount),
            }
            for one in bought
        ]
        caption = f"Sure to {percent(shop.service_level)} that enough of each come out good"
        self.table.tabulate(caption, rows, title="caption")
        said = [words for one in bought for words in self._notes(one)]
        if method.roll is not None:
            said.append("Vinyl is cut off the roll: the length fed is on the order's cost sheet.")
        self.said.say_each(said or ["Nothing is paid for that the order does not need."])

    def _notes(self, one: ToBuy) -> list[str]:
        said, money = [], self._shop.money
        if one.spare:
            said.append(
                f"{one.name}: {pieces(one.spare)} more than needed "
                f"{'is' if one.spare == 1 else 'are'} paid for, by the supplier's minimum, packs "
                "or break; keep them for a repeat."
            )
        if one.up_to:
            said.append(
                f"{one.name}: {number(one.up_to)} would cost {money(one.saving)} less than "
                f"{number(one.billed)}. Order up."
            )
        if one.saved:
            said.append(f"{one.name}: ordering up saves {money(one.saved)}.")
        return said
