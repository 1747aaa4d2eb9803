"""The shop: what it buys, how it works, what it charges. Values only; no arithmetic.

Every value is checked when it is made, so an impossible shop cannot exist. Money is in
the shop's currency, minutes are minutes, shares are fractions (0.03, not 3 %).
"""

from dataclasses import dataclass

from pricelab.shop.blank import Blank
from pricelab.shop.charges import Charge
from pricelab.shop.checks import check_service_level
from pricelab.shop.errors import PricelabError
from pricelab.shop.method import Method
from pricelab.shop.money import minor_unit, show_money
from pricelab.shop.pricing_rules import PricingRules
from pricelab.shop.units import check_unit
from pricelab.shop.work import Operation, Rates


@dataclass(frozen=True)
class Shop:
    """A whole shop as read from its folder.

    A printed list holds for `valid_days` and carries the `conditions`; lists are judged up
    to an order of `largest_order` pieces.
    """

    name: str
    currency: str
    unit: str
    rates: Rates
    pricing: PricingRules
    methods: dict[str, Method]
    blanks: dict[str, Blank]
    charges: tuple[Charge, ...] = ()
    operations: tuple[Operation, ...] = ()
    heat_unit: str = "°F"
    service_level: float = 0.95
    surplus_worth: float = 0.0
    order_up: bool = False
    notice: str = ""
    valid_days: int = 60
    conditions: str = ""
    largest_order: int = 1000

    def __post_init__(self):
        minor_unit(self.currency)
        check_unit(self.unit)
        check_service_level(self.service_level)
        if not 0 <= self.surplus_worth <= 1:
            raise PricelabError(
                f"found a surplus worth of {self.surplus_worth:g}, expected a share from 0 to 1."
            )

    def method(self, key: str) -> Method:
        """The method of that key, or an error that lists them."""
        return _named(self.methods, key, "method")

    def blank(self, key: str) -> Blank:
        """The blank of that key, or an error that lists them."""
        return _named(self.blanks, key, "blank")

    @property
    def decimals(self) -> int:
        """Decimals of the shop's currency."""
        return minor_unit(self.currency)

    def money(self, amount: float) -> str:
        """An amount in the shop's currency, as people read it."""
        return show_money(amount, self.currency)


def _named(known: dict, key: str, kind: str):
    if key not in known:
        raise PricelabError(f'There is no {kind} "{key}". Name one of: {", ".join(known)}.')
    return known[key]
