"""Fees on the money taken: a card company's on the total, a market place's on the price."""

from collections.abc import Iterable
from dataclasses import dataclass

from pricelab.shop.charges import TOTAL, Charge, Level
from pricelab.shop.checks import check_not_negative, check_share
from pricelab.shop.method import Method
from pricelab.shop.pricing_rules import NO_TAX, Tax
from pricelab.shop.shop import Shop


@dataclass(frozen=True)
class Fees:
    """Revenue-level costs: shares of the money taken, and a `fixed` sum an order.

    `of_price` is the share of prices before sales tax, `of_total` that of what the client pays
    in all, with sales tax at `tax_rate`.
    """

    of_price: float = 0.0
    fixed: float = 0.0
    of_total: float = 0.0
    tax_rate: float = 0.0

    def __post_init__(self):
        check_share(self.share, "fees")
        check_not_negative(self.fixed, "a fixed fee")

    @property
    def share(self) -> float:
        """The share of the price before tax that all of them take; the tax is not rounded."""
        return self.of_price + self.of_total * (1 + self.tax_rate)

    @classmethod
    def of(cls, charges: Iterable[Charge], tax: Tax = NO_TAX) -> "Fees":
        """The revenue-level charges of a list, added up."""
        taken = [charge for charge in charges if charge.level is Level.REVENUE]
        of_total = sum(charge.share for charge in taken if charge.of == TOTAL)
        of_price = sum(charge.share for charge in taken if charge.of != TOTAL)
        return cls(of_price, sum(charge.amount for charge in taken), of_total, tax.rate)

    @classmethod
    def due(cls, shop: Shop, *methods: Method) -> "Fees":
        """The fees on an order: the shop's own and those of the methods in it, each once."""
        own = {method.key: method.charges for method in methods}
        charges = [*shop.charges, *(charge for these in own.values() for charge in these)]
        return cls.of(charges, shop.pricing.tax)

    def on(self, revenue, orders=1):
        """Fees due on money taken before tax in so many orders (or 1 / quantity for a piece's).

        >>> round(float(Fees(of_total=0.015, fixed=0.25, tax_rate=0.19).on(3363.50 / 1.19)), 4)
        50.7025
        """
        return self.share * revenue + self.fixed * orders


NO_FEES = Fees()
