"""Judging a price list: does every cell earn its margin at every quantity of its tier?"""

from dataclasses import dataclass
from enum import Enum

import numpy as np

from pricelab.planning import Basis, basis_of, holding_prices, typical_quantities
from pricelab.pricelist import PriceList
from pricelab.shop import Shop

_NOISE = 1e-9  # a margin short by less than this is met


class Trouble(Enum):
    """What can be wrong with a cell, worst first."""

    BELOW_COST = "below cost"
    BELOW_FLOOR = "below floor"
    UNDER_TARGET = "under target"
    RISES = "rises with quantity"
    SMALLER_DEARER = "larger size costs less"
    BETTER_OFF = "buying more costs less"


LOSING = (Trouble.BELOW_COST, Trouble.BELOW_FLOOR, Trouble.UNDER_TARGET)
"""Troubles that keep a cell from holding."""


@dataclass(frozen=True)
class Finding:
    """One trouble of one cell.

    `quantity` is the worst quantity (or the first of a better-off range that ends at
    `until`), `margin` the margin there; `price` what the list shows and `instead` the
    price that mends it. For a better-off range `buy` is the quantity that costs no more.
    """

    trouble: Trouble
    band: int
    tier: int
    quantity: int
    price: float
    margin: float | None = None
    until: int | None = None
    buy: int | None = None
    instead: float | None = None


@dataclass(frozen=True, eq=False)
class Audit:
    """The findings on a list, worst first, and the figures behind them by cell."""

    price_list: PriceList
    basis: Basis
    findings: tuple[Finding, ...]
    worst_quantity: np.ndarray
    worst_margin: np.ndarray
    typical_quantity: np.ndarray
    typical_margin: np.ndarray
    instead: np.ndarray

    @property
    def holding(self) -> np.ndarray:
        """Which cells hold, shape (bands, tiers)."""
        holds = np.ones(self.price_list.prices.shape, bool)
        for finding in self.findings:
            if finding.trouble in LOSING:
                holds[finding.band, finding.tier] = False
        return holds


def audit(shop: Shop, price_list: PriceList, weights=None) -> Audit:
    """Judge every cell of a list, as costed by the shop's methods and blanks today.

    Raises `NotPossible` if a size of the list cannot be made or bought any more.
    """
    starts, quantities = price_list.starts, price_list.quantities
    method, blank = shop.methods[price_list.method], shop.blanks[price_list.blank]
    basis = basis_of(shop, method, blank, price_list.sizes, quantities)
    margin = basis.margin(price_list.net[:, price_list.tier_of_quantity])
    worst_margin = np.minimum.reduceat(margin, starts - starts[0], axis=1)
    worst_quantity = np.column_stack(
        [
            first + np.argmin(margin[:, first - starts[0] : end - starts[0] + 1], axis=1)
            for first, end in zip(starts, price_list.ends, strict=True)
        ]
    )
    typical = typical_quantities(starts, price_list.last, weights)
    typical_margin = margin[:, typical - starts[0]]
    instead = holding_prices(shop, basis, starts, typical)
    below = _below(shop, price_list, worst_margin, worst_quantity, typical_margin, typical, instead)
    findings = [*below, *_order(price_list), *_better_off(price_list)]
    findings.sort(key=lambda f: (list(Trouble).index(f.trouble), f.band, f.tier))
    return Audit(
        price_list, basis, tuple(findings), worst_quantity, worst_margin, typical,
        typical_margin, instead,
    )  # fmt: skip


def _below(shop, price_list, worst_margin, worst_quantity, typical_margin, typical, instead):
    """Cells that lose money, miss the floor, or miss the target at the typical quantity."""
    rules = shop.pricing
    for band, tier in np.argwhere(worst_margin < rules.floor - _NOISE):
        trouble = Trouble.BELOW_FLOOR
        if worst_margin[band, tier] < -_NOISE:
            trouble = Trouble.BELOW_COST
        yield _found(
            trouble, price_list, band, tier, worst_quantity[band, tier],
            margin=worst_margin[band, tier], instead=instead[band, tier],
        )  # fmt: skip
    for band, tier in np.argwhere(typical_margin < rules.target - _NOISE):
        if worst_margin[band, tier] >= rules.floor - _NOISE:
            yield _found(
                Trouble.UNDER_TARGET, price_list, band, tier, typical[tier],
                margin=typical_margin[band, tier], instead=instead[band, tier],
            )  # fmt: skip


def _order(price_list: PriceList):
    """Prices that rise with quantity, and larger sizes that cost less than smaller ones."""
    prices = price_list.prices
    for band, tier in np.argwhere(np.diff(prices, axis=1) > _NOISE):
        yield _found(
            Trouble.RISES, price_list, band, tier + 1, price_list.starts[tier + 1],
            instead=prices[band, tier],
        )  # fmt: skip
    for band, tier in np.argwhere(np.diff(prices, axis=0) < -_NOISE):
        yield _found(
            Trouble.SMALLER_DEARER, price_list, band + 1, tier, price_list.starts[tier],
            instead=prices[band, tier],
        )  # fmt: skip


def _better_off(price_list: PriceList):
    """Quantities for which buying a later tier's first quantity costs the client no more.

    In a tier priced p, with a later tier that starts at Q and costs p_Q: the quantities
    from ceil(Q · p_Q / p) up to the tier's end.
    """
    starts, ends = price_list.starts, price_list.ends
    for band, prices in enumerate(price_list.prices):
        for tier in range(len(starts) - 1):
            bills = starts[tier + 1 :] * prices[tier + 1 :]
            cheapest = int(np.argmin(np.round(bills, 9)))
            from_ = int(np.ceil(np.round(bills[cheapest] / prices[tier], 9)))
            from_ = max(from_, int(starts[tier]))
            if from_ <= ends[tier]:
                yield _found(
                    Trouble.BETTER_OFF, price_list, band, tier, from_,
                    until=int(ends[tier]), buy=int(starts[tier + 1 + cheapest]),
                )  # fmt: skip


def _found(trouble, price_list, band, tier, quantity, *, margin=None, instead=None, **more):
    return Finding(
        trouble, int(band), int(tier), int(quantity), float(price_list.prices[band, tier]),
        margin=None if margin is None else float(margin),
        instead=None if instead is None else float(instead), **more,
    )  # fmt: skip
