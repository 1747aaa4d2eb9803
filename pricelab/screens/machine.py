"""The owner's panel on a machine that could be bought: payback, worth, and the volume it needs."""

from math import ceil

from pricelab.analysis.machine import PressCase, irrs, payback, saved_a_piece
from pricelab.analysis.month import pieces_a_year
from pricelab.analysis.one_operator import saved_by_second, station_with_dwell
from pricelab.cost.orders import Order
from pricelab.files.shop_folder import ShopFolder
from pricelab.pictures.machine import PAYBACK, PRESS_MAP, Payback, PressMap
from pricelab.screens.controls import Choice, Pieces, SideBox, Slide
from pricelab.screens.html import or_why
from pricelab.screens.panel import Panel, Shown, View
from pricelab.screens.sides import Sides
from pricelab.shop.errors import NoBreakEven
from pricelab.shop.figures import number, percent, pieces
from pricelab.shop.shop import Shop
from pricelab.words.cautions import HEADING, MACHINES

AGAINST_OUT, SECOND, TYPED = "out", "second", "typed"


class PressPanel(Panel):
    """Whether a machine pays: against contracting out, as a second one, or by a typed saving."""

    def __init__(self, folder: ShopFolder):
        shop = self._shop = folder.shop
        methods, (own, out) = shop.methods, _pair(shop)
        tended = {key: m for key, m in methods.items() if station_with_dwell(m)}
        saves = {"the operator's waiting": SECOND, "as typed": TYPED}
        if own != out:  # one method alone has nothing to be set against
            saves = {"contracting out": AGAINST_OUT} | saves
        self.saves = SideBox("The machine saves", saves)
        self.own = Choice.of("Made here by", methods, own, width="240px")
        self.out = Choice.of("Instead of", methods, out, width="240px")
        self.tended = Choice.of("A second machine for", tended or methods, width="240px")
        self.blank = Choice.of("Blank", shop.blanks, width="180px")
        self.sides = Sides(shop.unit)
        self.order = Pieces("Pieces an order", "48", shop.largest_order)
        money, made = shop.currency, pieces_a_year(folder.jobs, (own, out))
        self.saved = Slide("Saved a piece", 2.0, (-1_000.0, 20, 100_000.0), money, step=0.05)
        self.volume = Slide("Pieces a year", made, (0, 10_000, 1_000_000), width="110px")
        self.price = Slide("Price of the machine", 14_000, (1, 40_000, 10**7), money, "160px")
        self.years = Slide("Years in use", 7, (1, 15), width="104px")
        self.rate = Slide("Interest a year", 8, (0, 60), "%", "104px")
        self.upkeep = Slide("Upkeep a year", 200, (0, 5_000, 1_000_000), money, "130px")
        self.resale = Slide("Brings at the end", 1_000, (-50_000, 50_000, 10**6), money, "150px")
        self.payback, self.map = View(PAYBACK, "press-payback"), View(PRESS_MAP, "press-map")
        self.said, self.cautions = Shown(), Shown()
        self.cautions.say_each([*map(str, MACHINES)], head=HEADING)
        self.steady = (self.cautions,)
        self.lay_out(
            [self.saves, self.tended, self.saved, *self.sides.controls, self.order],
            [self.own, self.out, self.blank],
            [self.price, self.volume, self.years, self.rate, self.upkeep, self.resale],
            self.payback,
            self.said,
            self.map,
            self.cautions,
        )

    def update(self) -> None:
        """Reckon what a piece saves, and what becomes of the machine's price."""
        saves, currency = self.saves.value, self._shop.currency
        for control in (self.own, self.out, self.blank, *self.sides.controls, self.order):
            control.show(saves == AGAINST_OUT)
        self.tended.show(saves == SECOND)
        self.saved.show(saves == TYPED)
        with self.answering(self.out if saves == AGAINST_OUT else self.tended):
            saved, words = self._saving()
        price, volume, upkeep, resale = (
            float(control.value) for control in (self.price, self.volume, self.upkeep, self.resale)
        )
        rate = self.rate.value / 100
        case = PressCase(price, saved, volume, self.years.value, rate, upkeep, resale)
        self.payback.draw(Payback(case, currency))
        self._say(case, words)
        self.map.draw(PressMap.of(case, currency))

    def _saving(self) -> tuple[float, str]:
        """What a piece saves, and how that is known."""
        shop, money, saves = self._shop, self._shop.money, self.saves.value
        if saves == TYPED:
            saved = float(self.saved.value)
            return saved, f"{money(saved)} saved a piece, as typed."
        if saves == SECOND:
            method = shop.methods[self.tended.value]
            saved = saved_by_second(method, shop.rates)
            return saved, (
                f"With a second {station_with_dwell(method)} the operator's pay for a piece falls "
                f"by {money(saved)}; machines' own costs are not in it."
            )
        blank, quantity, artwork = self.blank.value, self.order.value, self.sides.artwork
        methods = [shop.methods[control.value] for control in (self.own, self.out)]
        saved = saved_a_piece(
            shop, *(Order.of(shop.blanks[blank], quantity, m, artwork) for m in methods)
        )
        change = f"saves {money(saved)}" if saved >= 0 else f"costs {money(-saved)} more"
        return saved, (
            f"Made here, a piece of {pieces(quantity)} of {self.sides.words} {change} against "
            f"{methods[1].name} (what moves with the order; overhead is there either way)."
        )

    def _say(self, case: PressCase, saving: str) -> None:
        said = [saving]
        for words, rate in (("Plain payback", 0.0), (f"At {percent(case.rate)} a year", case.rate)):
            try:
                paid = payback(case.flows, rate)
                made = number(round(paid * case.pieces))
                said.append(f"{words}: {number(round(paid * 12, 1))} months, or {made} pieces.")
            except NoBreakEven as error:
                said.append(f"{words}: {error}".replace("periods", "years"))

        def enough() -> str:
            needed = ceil(round(case.pieces_to_pay, 6))
            return f"It is worth its price from {pieces(needed)} a year on."

        worth = f"Net present value: {self._shop.money(case.npv)}."
        said += [worth, _rates_words(case), or_why(enough)]
        side = (
            "Convention: the price is paid today, and what a year brings counts at its end; within "
            "a year payback spreads it evenly. Before income tax."
        )
        self.said.say_each(said, side=side)


def _rates_words(case: PressCase) -> str:
    rates = irrs(case.flows)
    if not rates:
        return (
            "Rate of return: there is none, since at no rate do the savings come to the price. "
            "Go by the net present value."
        )
    shown = ", ".join(map(percent, rates))
    if len(rates) > 1:
        return (
            f"Rate of return: there are {len(rates)} ({shown}), since money goes out again at the "
            "end. None of them ranks the machine; go by the net present value."
        )
    return f"Rate of return: {shown} a year."


def _pair(shop: Shop) -> tuple[str, str]:
    """A method of one's own machine and one by the stitch that is contracted out, if any.

    The same twice where the shop has but one.
    """
    keys = list(shop.methods)
    own = next((k for k, m in shop.methods.items() if m.stitching is not None), keys[0])
    others = [k for k in keys if k != own] or [own]
    grids = {k: shop.methods[k].grid for k in others}
    return own, next((k for k, grid in grids.items() if grid and grid.by_stitches), others[0])
