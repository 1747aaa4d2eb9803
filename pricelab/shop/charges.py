"""What a cost grows with, what it is spent on, and the charges of a shop or a method."""

from dataclasses import dataclass, field
from enum import Enum

from pricelab.shop.checks import check_batch, check_not_negative, check_share
from pricelab.shop.errors import PricelabError
from pricelab.shop.place import Place


class Level(Enum):
    """What a cost grows with (the cost hierarchy of activity-based costing)."""

    PIECE = "piece"
    BATCH = "batch"
    ORDER = "order"
    DESIGN = "design"
    PERIOD = "period"
    REVENUE = "revenue"


class Element(Enum):
    """What a cost is spent on."""

    BLANK = "blank"
    DECORATION = "decoration"
    CONSUMABLES = "consumables"
    SET_UP = "set-up"
    FREIGHT = "freight"
    PACKING = "packing"
    DELIVERY = "delivery"
    LABOUR = "labour"
    OVERHEAD = "overhead"
    FEES = "fees"
    RENT = "rent"
    OTHER = "other"


TOTAL, PRICE = "total", "price"
"""What a share of the money taken is of: all that the client pays, or the price before tax."""


@dataclass(frozen=True)
class Charge:
    """Money for something on one level; `batch` pieces share a batch-level charge.

    Revenue-level charges come as a share of the money taken (`share`) or as a fixed sum
    an order (`amount`). A share is `of` the total, with sales tax, as card companies take it,
    or of the price before tax, as commissions are.
    """

    name: str
    element: Element
    level: Level
    amount: float = 0.0
    share: float = 0.0
    batch: int = 1
    of: str = TOTAL
    place: Place | None = field(default=None, repr=False)

    def __post_init__(self):
        check_not_negative(self.amount, f'an amount for "{self.name}"')
        check_share(self.share, f'a share for "{self.name}"')
        if self.share and self.level is not Level.REVENUE:
            raise PricelabError(
                f'"{self.name}" is a share at {self.level.value} level; '
                "only a revenue-level cost is a share of the money taken."
            )
        check_batch(self.batch, self.name)
        if self.of not in (TOTAL, PRICE):
            raise PricelabError(
                f'"{self.name}" is a share of "{self.of}", expected {TOTAL} or {PRICE}.'
            )
