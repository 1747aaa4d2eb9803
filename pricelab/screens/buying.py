"""The owner's panel on buying for an order: whole pieces, packs, minimums and ordering up."""

from dataclasses import replace

from pricelab.analysis.buying import ToBuy, buying_list
from pricelab.cost.orders import Order
from pricelab.files.shop_folder import ShopFolder
from pricelab.pictures.picture import Description
from pricelab.screens.controls import Choice, SideBox, Slide, Typed
from pricelab.screens.panel import Panel, Shown
from pricelab.screens.reading import pieces
from pricelab.screens.sides import Sides
from pricelab.shop.figures import number, percent
from pricelab.shop.figures import pieces as counted


class BuyingPanel(Panel):
    """What to buy for one order, and whether a later break would cost less."""

    def __init__(self, folder: ShopFolder):
        shop = self._shop = folder.shop
        self.method = Choice.of("Method", shop.methods)
        self.blank = Choice.of("Blank", shop.blanks)
        self.sides = Sides(shop.unit)
        self.pieces = Typed("Good pieces", pieces(most=shop.largest_order), "45", width="100px")
        sure = shop.service_level * 100
        self.sure = Slide("How sure to have enough", sure, (50.0, 99.9), "%", step=0.1)
        ups = {"buy it": True, "only tell me": False}
        self.up = SideBox("A later break that costs less", ups, shop.order_up)
        self.finding, self.table, self.said = Shown(), Shown(), Shown()
        self.lay_out(
            [self.method, self.blank, *self.sides.controls],
            [self.pieces, self.sure, self.up],
            self.finding,
            self.table,
            self.said,
        )

    def update(self) -> None:
        """Make the buying list of the order, at the service level."""
        shop = replace(self._shop, service_level=self.sure.value / 100, order_up=self.up.value)
        method = shop.methods[self.method.value]
        order = Order.of(
            shop.blanks[self.blank.value], self.pieces.value, method, self.sides.artwork
        )
        with self.answering(self.sides.width):
            bought = buying_list(shop, order)
        money = self._shop.money
        finding = (
            f"For {counted(self.pieces.value)} of {self.sides.words}, buy "
            f"{' and '.join(f'{number(one.billed)} × {one.name}' for one in bought)}: "
            f"{money(sum(one.amount for one in bought))}"
        )
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
        self.table.tabulate(Description.of(caption, rows), title="caption")
        said = [words for one in bought for words in self._notes(one)]
        if method.roll is not None:
            said.append("Vinyl is cut off the roll: the length fed is on the order's cost sheet.")
        self.said.say_each(said or ["Nothing is paid for that the order does not need."])

    def _notes(self, one: ToBuy) -> list[str]:
        said, money = [], self._shop.money
        if one.spare:
            said.append(
                f"{one.name}: {counted(one.spare)} more than needed "
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
