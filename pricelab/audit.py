"""Judging a price list: does every cell earn its margin at every quantity of its tier?"""

from dataclasses import dataclass, replace
from enum import Enum

import numpy as np

from pricelab.grids import cheapest_later
from pricelab.planning import Basis, basis_of, typical_quantities
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

    `weights` counts past orders by each of the list's quantities. Raises `NotPossible` if a
    size of the list cannot be made or bought any more.
    """
    method, blank = shop.methods[price_list.method], shop.blanks[price_list.blank]
    basis = basis_of(shop, method, blank, price_list.sizes, price_list.quantities)
    return audit_on(basis, price_list, weights)


def audit_on(basis: Basis, price_list: PriceList, weights=None) -> Audit:
    """Judge a list on costs that are known, of the list's own sizes and quantities."""
    starts, ends = price_list.starts, price_list.ends
    margin = basis.margin(price_list.net[:, price_list.tier_of_quantity])
    tiers = [slice(a, b + 1) for a, b in zip(starts - starts[0], ends - starts[0], strict=True)]
    worst = np.column_stack([np.argmin(margin[:, tier], axis=1) for tier in tiers])
    worst_quantity = worst + starts
    worst_margin = np.take_along_axis(margin, worst_quantity - starts[0], axis=1)
    typical = typical_quantities(starts, price_list.last, weights)
    typical_margin = margin[:, typical - starts[0]]
    judged = Audit(
        price_list, basis, (), worst_quantity, worst_margin, typical, typical_margin,
        basis.holding_prices(starts, typical),
    )  # fmt: skip
    findings = [*_below(judged), *_out_of_order(price_list), *better_off(price_list)]
    findings.sort(key=lambda found: (_WORST_FIRST[found.trouble], found.band, found.tier))
    return replace(judged, findings=tuple(findings))


_WORST_FIRST = {trouble: place for place, trouble in enumerate(Trouble)}


def _below(judged: Audit):
    """Cells that lose money, miss the floor, or miss the target at the typical quantity."""
    rules, price_list = judged.basis.shop.pricing, judged.price_list
    low = judged.worst_margin < rules.floor - _NOISE
    for band, tier in np.argwhere(low):
        margin = judged.worst_margin[band, tier]
        trouble = Trouble.BELOW_COST if margin < -_NOISE else Trouble.BELOW_FLOOR
        quantity = judged.worst_quantity[band, tier]
        instead = judged.instead[band, tier]
        yield _found(trouble, price_list, band, tier, quantity, margin=margin, instead=instead)
    for band, tier in np.argwhere(~low & (judged.typical_margin < rules.target - _NOISE)):
        yield _found(
            Trouble.UNDER_TARGET, price_list, band, tier, judged.typical_quantity[tier],
            margin=judged.typical_margin[band, tier], instead=judged.instead[band, tier],
        )  # fmt: skip


def _out_of_order(price_list: PriceList):
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


def better_off(price_list: PriceList):
    """Quantities for which buying a later tier's first quantity costs the client no more.

    In a tier priced p, with a later tier that starts at Q and costs p_Q: the quantities
    from ceil(Q · p_Q / p) up to the tier's end.
    """
    starts, ends, prices = price_list.starts, price_list.ends, price_list.prices
    buy, bill = cheapest_later(starts, prices * starts)
    from_ = np.maximum(np.ceil(np.round(bill / prices, 9)), starts)
    for band, tier in np.argwhere(from_ <= ends):
        yield _found(
            Trouble.BETTER_OFF, price_list, band, tier, int(from_[band, tier]),
            until=int(ends[tier]), buy=int(buy[band, tier]),
        )  # fmt: skip


def _found(trouble, price_list, band, tier, quantity, *, margin=None, instead=None, **more):
    return Finding(
        trouble, int(band), int(tier), int(quantity), float(price_list.prices[band, tier]),
        margin=None if margin is None else float(margin),
        instead=None if instead is None else float(instead), **more,
    )  # fmt: skip
