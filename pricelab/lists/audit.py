"""Judging a price list: does every cell earn its margin at every quantity of its tier?"""

from dataclasses import dataclass
from enum import Enum
from functools import cached_property

import numpy as np

from pricelab.lists.planning import Basis, Tiers, basis_of
from pricelab.shop.grids import cheapest_later
from pricelab.shop.price_list import PriceList
from pricelab.shop.shop import Shop
from pricelab.shop.tolerance import TOLERANCE


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
    """The figures a list is judged by, by cell, shape (bands, tiers); and the findings in words.

    `better_from` is the first quantity of a tier for which buying `better_buy` pieces costs
    no more; where there is none it lies beyond the tier.
    """

    price_list: PriceList
    basis: Basis
    worst_quantity: np.ndarray
    worst_margin: np.ndarray
    typical_quantity: np.ndarray
    typical_margin: np.ndarray
    better_from: np.ndarray
    better_buy: np.ndarray
    instead: np.ndarray

    @property
    def floor_met(self) -> np.ndarray:
        """Which cells earn the floor at their worst quantity."""
        return self.worst_margin >= self.basis.shop.pricing.floor - TOLERANCE

    @property
    def holding(self) -> np.ndarray:
        """Which cells hold: they earn the floor, and the target at their typical quantity."""
        return self.floor_met & (self.typical_margin >= self.basis.shop.pricing.target - TOLERANCE)

    @cached_property
    def findings(self) -> tuple[Finding, ...]:
        """Every trouble of every cell, worst first."""
        found = [*_below(self), *_out_of_order(self.price_list), *better_off(self.price_list)]
        return tuple(sorted(found, key=lambda x: (_WORST_FIRST[x.trouble], x.band, x.tier)))


_WORST_FIRST = {trouble: place for place, trouble in enumerate(Trouble)}


def audit(shop: Shop, price_list: PriceList, weights=None) -> Audit:
    """Judge every cell of a list, as costed by the shop's methods and blanks today.

    `weights` counts past orders by each of the list's quantities. Raises `NotPossible` if a
    size of the list cannot be made or bought any more.
    """
    method, blank = shop.methods[price_list.method], shop.blanks[price_list.blank]
    by = price_list.measure, price_list.unit  # the method's grid may go by another by now
    basis = basis_of(shop, method, blank, price_list.sizes, price_list.quantities, by)
    return audit_on(basis, Tiers.of(basis, price_list.starts, weights), price_list)


def audit_on(basis: Basis, tiers: Tiers, price_list: PriceList) -> Audit:
    """Judge a list on costs that are known, of the list's own sizes and tiers."""
    better_from, better_buy = better_ranges(price_list)
    return Audit(
        price_list,
        basis,
        worst_quantity=tiers.worst,
        worst_margin=basis.margin(price_list.net, tiers.worst_cost),
        typical_quantity=tiers.typical,
        typical_margin=basis.margin(price_list.net, tiers.typical_cost),
        better_from=better_from,
        better_buy=better_buy,
        instead=tiers.holding_prices,
    )


def _below(judged: Audit):
    """Cells that lose money, miss the floor, or miss the target at the typical quantity."""
    price_list = judged.price_list
    low = ~judged.floor_met
    for band, tier in np.argwhere(low):
        margin = judged.worst_margin[band, tier]
        trouble = Trouble.BELOW_COST if margin < -TOLERANCE else Trouble.BELOW_FLOOR
        quantity = judged.worst_quantity[band, tier]
        instead = judged.instead[band, tier]
        yield _found(trouble, price_list, band, tier, quantity, margin=margin, instead=instead)
    for band, tier in np.argwhere(~low & ~judged.holding):
        yield _found(
            Trouble.UNDER_TARGET,
            price_list,
            band,
            tier,
            judged.typical_quantity[tier],
            margin=judged.typical_margin[band, tier],
            instead=judged.instead[band, tier],
        )


def _out_of_order(price_list: PriceList):
    """Prices that rise with quantity, and larger sizes that cost less than smaller ones."""
    prices = price_list.prices
    for band, tier in np.argwhere(np.diff(prices, axis=1) > TOLERANCE):
        yield _found(
            Trouble.RISES,
            price_list,
            band,
            tier + 1,
            price_list.starts[tier + 1],
            instead=prices[band, tier],
        )
    for band, tier in np.argwhere(np.diff(prices, axis=0) < -TOLERANCE):
        yield _found(
            Trouble.SMALLER_DEARER,
            price_list,
            band + 1,
            tier,
            price_list.starts[tier],
            instead=prices[band, tier],
        )


def better_ranges(price_list: PriceList) -> tuple[np.ndarray, np.ndarray]:
    """From which quantity of each tier buying more costs no more, and how many to buy.

    In a tier priced p, with a later tier that starts at Q and costs p_Q, that is from
    ceil(Q · p_Q / p) up to the tier's end; beyond its end means nowhere.
    """
    starts, prices = price_list.starts, price_list.prices
    buy, bill = cheapest_later(starts, prices * starts)
    return np.maximum(np.ceil(np.round(bill / prices, 9)), starts), buy


def better_off(price_list: PriceList):
    """The better-off ranges of a list as findings; they hang on its prices alone."""
    from_, buy = better_ranges(price_list)
    for band, tier in np.argwhere(from_ <= price_list.ends):
        yield _found(
            Trouble.BETTER_OFF,
            price_list,
            band,
            tier,
            from_[band, tier],
            until=int(price_list.ends[tier]),
            buy=int(buy[band, tier]),
        )


def _found(trouble, price_list, band, tier, quantity, *, margin=None, instead=None, **more):
    return Finding(
        trouble,
        int(band),
        int(tier),
        int(quantity),
        float(price_list.prices[band, tier]),
        margin=None if margin is None else float(margin),
        instead=None if instead is None else float(instead),
        **more,
    )
