"""A price list as a client may read it: prices and words, without any cost behind them."""

from dataclasses import dataclass
from datetime import date, timedelta

from pricelab.shop import figures
from pricelab.shop.money import show_money
from pricelab.shop.price_list import PriceList
from pricelab.shop.shop import Shop
from pricelab.words import findings as wording
from pricelab.words.cautions import OTHER_RULES

SIZE_HEADING, TIER_HEADING = "Size of the artwork", "Number of pieces"
"""What stands over the sizes and the quantities of a list."""


@dataclass(frozen=True)
class Letterhead:
    """What every paper of a shop says beside its prices."""

    shop: str
    notice: str
    currency: str
    decimals: int
    on: date
    until: date
    tax_note: str
    conditions: str
    paper: str

    @classmethod
    def of(cls, shop: Shop, on: date) -> "Letterhead":
        """The shop's words on the day `on`; an inch shop prints on letter, others on A4."""
        said = (shop.name, shop.notice, shop.currency, shop.decimals)
        until, tax_note = on + timedelta(days=shop.valid_days), wording.tax_note(shop.pricing.tax)
        paper = "us-letter" if shop.unit == "in" else "a4"
        return cls(*said, on, until, tax_note, shop.conditions, paper)

    @property
    def validity(self) -> str:
        """From when until when the prices hold."""
        return f"Prices of {wording.day(self.on)}, valid until {wording.day(self.until)}."

    def money(self, amount: float) -> str:
        """An amount with its currency."""
        return show_money(amount, self.currency)

    def figure(self, amount: float) -> str:
        """An amount in digits alone, for a table that names its currency once."""
        return f"{amount:,.{self.decimals}f}"


@dataclass(frozen=True, eq=False)
class ClientCopy:
    """A price list ready for any paper; every word that all its forms share is said here."""

    head: Letterhead
    method: str
    blank: str
    price_list: PriceList
    setup_apart: bool
    reorders_free: bool
    care: tuple[str, ...]

    @classmethod
    def of(cls, shop: Shop, price_list: PriceList, on: date) -> "ClientCopy":
        """The list as it is handed out on the day `on`."""
        method, blank = shop.methods[price_list.method], shop.blanks[price_list.blank]
        head, free = Letterhead.of(shop, on), not method.repeat_setup
        setup_apart, care = shop.pricing.setup_apart, care_words(method, blank)
        return cls(head, method.name, blank.name, price_list, setup_apart, free, care)

    @property
    def title(self) -> str:
        """The method and the blank."""
        return f"{self.method} ({self.blank})"

    @property
    def sizes(self) -> list[str]:
        """The label of every size band."""
        return [wording.size_label(self.price_list, b) for b in range(len(self.price_list.sizes))]

    @property
    def tiers(self) -> list[str]:
        """The label of every quantity tier."""
        return [wording.tier_label(self.price_list, t) for t in range(len(self.price_list.starts))]

    @property
    def priced_in(self) -> str:
        """What the figures of the table are."""
        return f"Price of one piece in {currency_name(self.head.currency)}, blank and decoration."

    @property
    def measure_note(self) -> str:
        """How the size of an artwork is found."""
        return wording.measure_note(self.price_list.measure, self.price_list.unit)

    @property
    def setup_note(self) -> str:
        """What the set-up costs and when it is due."""
        setup = self.price_list.setup
        if not self.setup_apart:
            return "Setting up is included in the prices."
        if setup is None:
            return "Set-up is charged the first time an artwork is made: ask us."
        if not setup:
            return "There is no set-up charge."
        reorders = "none on reorders" if self.reorders_free else "ask us about reorders"
        return f"Set-up {self.head.money(setup)} the first time an artwork is made, {reorders}."

    @property
    def range_note(self) -> str:
        """The orders the list is for."""
        first, last = int(self.price_list.starts[0]), figures.number(self.price_list.last)
        least = f"Orders from {figures.pieces(first)}. " if first > 1 else ""
        return f"{least}More than {last} pieces: ask us."

    @property
    def hints(self) -> list[str]:
        """Quantities for which a later step costs no more, a sentence for each step."""
        return wording.better_off_notes(self.price_list)

    @property
    def cautions(self) -> list[str]:
        """How the goods are looked after, and what to ask about before ordering."""
        return [*self.care, OTHER_RULES]

    @property
    def notes(self) -> list[str]:
        """Every line under the table but the hints and cautions, in their order."""
        head, conditions = self.head, [self.head.conditions] if self.head.conditions else []
        of_list = [self.setup_note, head.tax_note, self.measure_note, self.range_note]
        return [*of_list, head.validity, *conditions]


def care_words(method, blank) -> tuple[str, ...]:
    """What the shop says of care, of the decoration first and then of the blank."""
    said = ((part.name, part.care.strip().rstrip(".")) for part in (method, blank))
    return tuple(f"{name}: {care}." for name, care in said if care)


def currency_name(currency: str) -> str:
    """A currency by its name and its code.

    >>> currency_name("USD")
    'US dollars (USD)'
    """
    from babel.numbers import get_currency_name

    name = get_currency_name(currency, count=2, locale="en")
    return f"{name} ({currency})" if name != currency else currency
