"""Fees on the money taken: a card company's, a market place's commission."""

from collections.abc import Iterable
from dataclasses import dataclass

from pricelab.shop.charges import Charge, Level
from pricelab.shop.checks import check_not_negative, check_share
from pricelab.shop.method import Method
from pricelab.shop.shop import Shop


@dataclass(frozen=True)
class Fees:
    """Revenue-level costs: a `share` of the money taken, and a `fixed` sum an order."""

    share: float = 0.0
    fixed: float = 0.0

    def __post_init__(self):
        check_share(self.share, "fees")
        check_not_negative(self.fixed, "a fixed fee")

    @classmethod
    def of(cls, charges: Iterable[Charge]) -> "Fees":
        """The revenue-level charges of a list, added up."""
        taken = [charge for charge in charges if charge.level is Level.REVENUE]
        return cls(sum(c.share for c in taken), sum(c.amount for c in taken))

    @classmethod
    def due(cls, shop: Shop, *methods: Method) -> "Fees":
        """The fees on an order: the shop's own and, each once, those of the methods in it."""
        own = {method.key: method.charges for method in methods}.values()
        return cls.of([*shop.charges, *(charge for charges in own for charge in charges)])

    def on(self, revenue, orders=1):
        """Fees due on money taken in so many orders (1, or 1 / quantity for a piece's share)."""
        return self.share * revenue + self.fixed * orders


NO_FEES = Fees()
