"""From how many pieces does it pay: break-even as a set of quantities, exactly.

List prices and costs both step, so profit can cross the goal many times. Over whole
quantities the answer is a set: the stretches that earn at least the goal, and the loss
pockets between them. Without steps it is the textbook's point F / (p − v).
"""

from dataclasses import dataclass, replace

import numpy as np

from pricelab.analysis.comparison import FIGURES, Sold, sell
from pricelab.analysis.stretches import Stretch, stretches
from pricelab.cost.fees import Fees
from pricelab.cost.orders import Order
from pricelab.cost.price import price_for_margin
from pricelab.shop.charges import Level
from pricelab.shop.errors import NoBreakEven, NotPossible, PricelabError
from pricelab.shop.figures import amount
from pricelab.shop.price_list import PriceList
from pricelab.shop.shop import Shop
from pricelab.shop.sizes import Artwork
from pricelab.shop.tolerance import TOLERANCE

PROFIT, MARGIN, HOURLY = "profit", "margin", "profit an hour"
"""What a goal can be set for: money an order, a fraction, money an hour of the bottleneck."""


@dataclass(frozen=True)
class BreakEven:
    """Which quantities earn at least the goal: stretches of value True; the others do not.

    Together they cover the quantities once, in order.
    """

    stretches: tuple[Stretch, ...]

    @property
    def earning(self) -> tuple[Stretch, ...]:
        """The stretches that earn the goal."""
        return tuple(one for one in self.stretches if one.value)

    @property
    def missing(self) -> tuple[Stretch, ...]:
        """The stretches that do not."""
        return tuple(one for one in self.stretches if not one.value)

    @property
    def first(self) -> int | None:
        """The first quantity that earns the goal; None if none does."""
        return next((one.first for one in self.earning), None)

    @property
    def sure_from(self) -> int | None:
        """From which quantity on every one looked at earns the goal; None if there is none."""
        return self.stretches[-1].first if self.stretches[-1].value else None


def break_even(earned, quantities, goal=0.0) -> BreakEven:
    """The quantities at which `earned` (profit, margin, profit an hour …) is at least `goal`.

    `earned` and `quantities` have shape (n,), quantities rise by one.

    >>> found = break_even([-5, 1, -2, 3], [1, 2, 3, 4])
    >>> [(one.value, one.first) for one in found.stretches]
    [(False, 1), (True, 2), (False, 3), (True, 4)]
    """
    earned, quantities = np.asarray(earned, float), np.asarray(quantities)
    if earned.shape != quantities.shape or earned.ndim != 1 or not earned.size:
        raise PricelabError("expected what is earned at each quantity, in one row.")
    if not (np.diff(quantities) == 1).all():
        raise PricelabError("expected quantities that rise by one.")
    return BreakEven(stretches(earned >= goal - TOLERANCE, quantities))


def break_even_point(fixed: float, price: float, variable: float, profit: float = 0.0) -> float:
    """The stepless break-even quantity (F + profit) / (p − v), not rounded to whole pieces.

    Cost-volume-profit analysis, as in any managerial accounting text (Horngren, *Cost
    Accounting*, ch. 3). Raises `NoBreakEven` when the price does not cover the variable cost.

    >>> break_even_point(50_000, 250, 150), break_even_point(50_000, 250, 150, 30_000)
    (500.0, 800.0)
    """
    if price <= variable:
        covers, leaves = ("does not cover", "adds to the loss")
        if price == variable:
            covers, leaves = ("only covers", "leaves nothing")
        raise NoBreakEven(
            f"a price of {amount(price)} {covers} the variable cost of {amount(variable)}: "
            f"every piece {leaves}, so no quantity breaks even. Raise the price or cut the cost."
        )
    return (fixed + profit) / (price - variable)


def before_tax(profit: float, tax_rate: float) -> float:
    """The profit before income tax that leaves `profit` after it."""
    if not 0 <= tax_rate < 1:
        raise PricelabError(f"found an income tax rate of {tax_rate:g}, expected 0 to under 1.")
    return profit / (1 - tax_rate)


def orders_to_repay(given: float, contribution: float) -> int:
    """How many repeat orders, each leaving `contribution`, pay back what was `given` free.

    >>> orders_to_repay(45, 20)
    3
    """
    if given <= 0:
        return 0
    if contribution <= 0:
        raise NoBreakEven(
            f"a repeat order that leaves {amount(contribution)} never pays back {amount(given)}."
        )
    return int(np.ceil(np.round(given / contribution, 9)))


# ---- an order sold off a list ---------------------------------------------------------


@dataclass(frozen=True)
class Stepless:
    """An order as the textbook sees it, with the prices and costs of one quantity throughout.

    `fixed` money an order, less what is charged for set-up; `price` and `variable` money a
    piece; `point` the quantity, not whole, at which the goal is met (0: from the first piece).
    """

    fixed: float
    price: float
    variable: float
    point: float


@dataclass(frozen=True, eq=False)
class OrderCase:
    """One artwork sold off `price_list` in every quantity that the list covers."""

    shop: Shop
    price_list: PriceList
    artwork: Artwork
    first: bool
    sold: Sold

    @classmethod
    def of(cls, shop: Shop, price_list: PriceList, artwork: Artwork, *, first: bool = True):
        """Sell it; raises `NotPossible` with the reason where it cannot be made or is not listed.

        Under the list's first quantity nothing is sold, so nothing is looked at.
        """
        sale = sell(shop, price_list, artwork, price_list.quantities, first=first)
        if sale.sold is None:
            raise NotPossible(sale.reasons[0])
        return cls(shop, price_list, artwork, first, sale.sold)

    @property
    def quantities(self) -> np.ndarray:
        """Every quantity that is sold."""
        return self.price_list.quantities

    @property
    def fees(self) -> Fees:
        """The fees on the money taken."""
        return Fees.due(self.shop, self.shop.methods[self.price_list.method])

    def earned(self, by: str) -> np.ndarray:
        """What every quantity earns, by profit, margin or profit an hour."""
        return FIGURES[by](self.sold)[0]

    def break_even(self, by: str = PROFIT, goal: float = 0.0) -> BreakEven:
        """The quantities that earn at least the goal."""
        return break_even(self.earned(by), self.quantities, goal)

    def order(self, quantity) -> Order:
        """The order of so many pieces."""
        shop, listed = self.shop, self.price_list
        blank, method = shop.blanks[listed.blank], shop.methods[listed.method]
        return Order.of(blank, quantity, method, self.artwork, first=self.first)

    def at(self, quantity: int) -> Sold:
        """So many pieces sold: plain numbers."""
        first, last = int(self.quantities[0]), int(self.quantities[-1])
        if not first <= quantity <= last:
            raise PricelabError(
                f"this list goes from {first} to {last} pieces, and {quantity} "
                f"{'is' if quantity == 1 else 'are'} outside it. Ask for a quantity inside it."
            )
        return self.sold.at(0, quantity - first)

    def stepless(self, quantity: int, margin: float = 0.0, profit: float = 0.0) -> Stepless:
        """The textbook's point with the price and costs a piece of `quantity` (F / (p − v)).

        A margin to be earned takes its share of the money as a fee does. Raises
        `NoBreakEven` where the price does not cover what a piece adds.
        """
        sold = self.at(quantity)
        levels = sold.sheet.by_level()
        once = float(sum(levels.get(level, 0.0) for level in (Level.ORDER, Level.DESIGN)))
        taken = self.fees.share + margin
        account = sold.account
        fixed = once + self.fees.fixed - account.setup * (1 - taken)
        variable = (account.cost - once) / quantity + taken * account.each
        point = break_even_point(fixed, account.each, variable, profit)
        return Stepless(fixed, account.each, variable, max(0.0, point))

    def price_for(self, quantity: int, by: str = PROFIT, goal: float = 0.0) -> float:
        """The price a piece, as shown, at which `quantity` pieces just earn the goal.

        Not rounded; beside it the set-up is charged as it is. Never below 0.
        """
        sold = self.at(quantity)
        account, minutes = sold.account, float(sold.earnings.bottleneck)
        margin = goal if by == MARGIN else 0.0
        profit = {PROFIT: goal, MARGIN: 0.0, HOURLY: goal * minutes / 60}[by]
        revenue = price_for_margin(account.cost + profit, margin, self.fees)
        shown = self.price_list.tax.shown((revenue - account.setup) / quantity)
        return max(0.0, float(shown))

    def repeats_to_repay(self, quantity: int) -> int:
        """How many repeat orders of `quantity` pay what a set-up given free costs the shop."""
        repeat = sell(self.shop, self.price_list, self.artwork, quantity, first=False)
        left = float(repeat.sold.earnings.contribution[0, 0])
        return orders_to_repay(self.set_up_cost(quantity), left)

    def set_up_cost(self, quantity: int) -> float:
        """What the first order of the artwork costs once: fees to suppliers and own work."""
        case = self if self.first else OrderCase.of(self.shop, self.price_list, self.artwork)
        return float(case.at(quantity).sheet.once)


def at_one_price(price_list: PriceList, each: float, first: int = 1) -> PriceList:
    """The list with one price for every size and quantity from `first` on."""
    prices = np.full((price_list.sizes.size, 1), float(each))
    return replace(price_list, starts=np.array([first]), prices=prices, sheet=None)
