"""How much of a roll a run of cut pieces takes: a row count, not an optimal nesting.

Pieces lie in straight rows across the roll, all one way round; the way round that feeds
less is taken (common practice, no source). A cutter that turns single pieces can do
better, never worse.
"""

from dataclasses import dataclass, field

import numpy as np

from pricelab.shop.checks import check_quantity
from pricelab.shop.errors import NotPossible, PricelabError
from pricelab.shop.place import Place
from pricelab.shop.sizes import laid_down
from pricelab.shop.tolerance import TOLERANCE
from pricelab.shop.units import check_unit


@dataclass(frozen=True)
class Roll:
    """A roll of material: usable `width` less an `edge` on both sides, `gap` between pieces.

    Lengths in `unit`; `price` is the money for one `unit` of length fed.
    """

    width: float
    edge: float
    gap: float
    price: float
    unit: str
    place: Place | None = field(default=None, repr=False)

    def __post_init__(self):
        check_unit(self.unit)
        if not (self.width > 2 * self.edge >= 0 and self.gap >= 0 and self.price >= 0):
            raise PricelabError(
                f"found a roll {self.width:g} wide with an edge of {self.edge:g}, a gap of "
                f"{self.gap:g} and a price of {self.price:g}; expected none below 0 and a roll "
                "wider than its two edges."
            )

    def across(self, width):
        """Pieces of `width` side by side: floor((roll width − 2·edge + gap) / (width + gap))."""
        usable = self.width - 2 * self.edge + self.gap
        return np.floor(usable / (width + self.gap) + TOLERANCE).astype(np.int64)


@dataclass(frozen=True, eq=False)
class Feed:
    """Rows fed, the pieces in a full row and the roll each row takes (`row_length`)."""

    rows: np.ndarray
    across: np.ndarray
    row_length: np.ndarray

    @property
    def length(self):
        """Length of roll fed for one layer."""
        return self.rows * self.row_length


def feed(roll: Roll, width, height, quantity, *, paired: bool = False) -> Feed:
    """The roll fed for every piece in every quantity; each case lies the way that feeds less.

    Widths and heights (n,) and quantities (m,) give (n, m); `paired`, (n,).

    >>> roll = Roll(width=15, edge=0.5, gap=0.25, price=0.1, unit="in")
    >>> run = feed(roll, 3, 2, 24)
    >>> int(run.across), int(run.rows), float(run.length)
    (6, 4, 13.0)
    """
    quantity = check_quantity(quantity)
    width, height = (laid_down(side, quantity, paired=paired) for side in (width, height))
    upright, turned = roll.across(width), roll.across(height)
    if (np.maximum(upright, turned) < 1).any():
        raise NotPossible(
            f"the piece is wider than the {roll.width:g} {roll.unit} roll, either way round."
        )
    row_upright = np.where(upright > 0, height + roll.gap, np.inf)
    row_turned = np.where(turned > 0, width + roll.gap, np.inf)
    rows_upright = np.ceil(quantity / np.maximum(upright, 1))
    rows_turned = np.ceil(quantity / np.maximum(turned, 1))
    turn = rows_turned * row_turned < rows_upright * row_upright - TOLERANCE
    return Feed(
        np.where(turn, rows_turned, rows_upright).astype(np.int64)[()],
        np.where(turn, turned, upright)[()],
        np.where(turn, row_turned, row_upright)[()],
    )
