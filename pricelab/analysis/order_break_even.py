"""Does an order pay: from how many pieces on, at what price, and how sure of it.

An artwork on a blank is sold off a list in every quantity that the list covers; what that
earns is asked for its break-even set, for the stepless comparison of the textbook, and for
the price at which one quantity would earn a goal.
"""

from dataclasses import dataclass, replace

import numpy as np

from pricelab.analysis.break_even import BreakEven, break_even, break_even_point, orders_to_repay
from pricelab.analysis.comparison import FIGURES, Sale, sell
from pricelab.cost.earnings import Earnings
from pricelab.cost.fees import Fees
from pricelab.cost.orders import Order
from pricelab.cost.price import price_for_margin
from pricelab.shop.charges import Level
from pricelab.shop.errors import NotPossible, PricelabError
from pricelab.shop.price_list import PriceList
from pricelab.shop.shop import Shop
from pricelab.shop.sizes import Artwork

PROFIT, MARGIN, HOURLY = "profit", "margin", "profit an hour"
"""What a goal can be set for: money an order, a fraction, money an hour of the bottleneck."""

_ONCE = (Level.ORDER, Level.DESIGN)


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
    sale: Sale

    @classmethod
    def of(cls, shop: Shop, price_list: PriceList, artwork: Artwork, *, first: bool = True):
        """Sell it; raises `NotPossible` with the reason where it cannot be made or is not listed.

        Under the list's first quantity nothing is sold, so nothing is looked at.
        """
        sale = sell(shop, price_list, artwork, price_list.quantities, first=first)
        if sale.sheet is None:
            raise NotPossible(sale.reasons[0])
        return cls(shop, price_list, artwork, first, sale)

    @property
    def quantities(self) -> np.ndarray:
        """Every quantity that is sold."""
        return self.price_list.quantities

    @property
    def earnings(self) -> Earnings:
        """What the orders leave, arrays of shape (1, quantities)."""
        return self.sale.earnings

    @property
    def fees(self) -> Fees:
        """The fees on the money taken."""
        return Fees.due(self.shop, self.shop.methods[self.price_list.method])

    def earned(self, by: str) -> np.ndarray:
        """What every quantity earns, by profit, margin or profit an hour."""
        return FIGURES[by](self.sale)[0]

    def break_even(self, by: str = PROFIT, goal: float = 0.0) -> BreakEven:
        """The quantities that earn at least the goal."""
        return break_even(self.earned(by), self.quantities, goal)

    def order(self, quantity) -> Order:
        """The order of so many pieces."""
        shop, listed = self.shop, self.price_list
        blank, method = shop.blanks[listed.blank], shop.methods[listed.method]
        return Order.of(blank, quantity, method, self.artwork, first=self.first)

    def revenue(self, quantity: int) -> float:
        """What so many pieces are sold for, before tax."""
        return float(self.earnings.revenue[0, self._at(quantity)])

    def each(self, quantity: int) -> float:
        """The shown price of a piece at a quantity."""
        return float(self.sale.charged.each[0, self._at(quantity)])

    def stepless(self, quantity: int, margin: float = 0.0, profit: float = 0.0) -> Stepless:
        """The textbook's point with the price and costs a piece of `quantity` (F / (p − v)).

        A margin to be earned takes its share of the money as a fee does. Raises
        `NoBreakEven` where the price does not cover what a piece adds.
        """
        sheet, _, charged = self.sale.at(0, self._at(quantity))
        levels = {level: float(amount) for level, amount in sheet.by_level().items()}
        once = sum(amount for level, amount in levels.items() if level in _ONCE)
        taken = self.fees.share + margin
        price, setup = map(float, map(self.price_list.tax.net, (charged.each, charged.setup)))
        fixed = once + self.fees.fixed - setup * (1 - taken)
        variable = (sum(levels.values()) - once) / quantity + taken * price
        point = break_even_point(fixed, price, variable, profit)
        return Stepless(fixed, price, variable, max(0.0, point))

    def price_for(self, quantity: int, by: str = PROFIT, goal: float = 0.0) -> float:
        """The price a piece, as shown, at which `quantity` pieces just earn the goal.

        Not rounded; beside it the set-up is charged as it is. Never below 0.
        """
        sheet, _, charged = self.sale.at(0, self._at(quantity))
        cost, fees, tax = float(sheet.full), self.fees, self.price_list.tax
        if by == MARGIN:
            revenue = price_for_margin(cost, goal, fees)
        else:
            hours = float(sheet.bottleneck) / 60
            profit = goal * hours if by == HOURLY else goal
            revenue = price_for_margin(cost + profit, 0.0, fees)
        each = (revenue - tax.net(charged.setup)) / quantity
        return max(0.0, float(tax.shown(each)))

    def repeats_to_repay(self, quantity: int) -> int:
        """How many repeat orders of `quantity` pay what a set-up given free costs the shop."""
        given = self.set_up_cost(quantity)
        repeat = sell(self.shop, self.price_list, self.artwork, quantity, first=False)
        return orders_to_repay(given, float(repeat.earnings.contribution[0, 0]))

    @property
    def first_time(self) -> "OrderCase":
        """The same as a first order."""
        return self if self.first else OrderCase.of(self.shop, self.price_list, self.artwork)

    def set_up_cost(self, quantity: int) -> float:
        """What the first order of the artwork costs once: fees to suppliers and own work."""
        sheet, *_ = self.first_time.sale.at(0, self._at(quantity))
        return float(sheet.once)

    def _at(self, quantity: int) -> int:
        first, last = int(self.quantities[0]), int(self.quantities[-1])
        if not first <= quantity <= last:
            raise PricelabError(
                f"this list goes from {first} to {last} pieces, and {quantity} "
                f"{'is' if quantity == 1 else 'are'} outside it. Ask for a quantity inside it."
            )
        return quantity - first


def at_one_price(price_list: PriceList, each: float, first: int = 1) -> PriceList:
    """The list with one price for every size and quantity from `first` on."""
    prices = np.full((price_list.sizes.size, 1), float(each))
    return replace(price_list, starts=np.array([first]), prices=prices, sheet=None)


def set_up_given(price_list: PriceList) -> PriceList:
    """The list with its set-up line given free."""
    return replace(price_list, setup=0.0)
