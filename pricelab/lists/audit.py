"""Judging a price list: does every cell earn its margin at every quantity of its tier?"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pricelab.lists.basis import Basis, basis_of
from pricelab.lists.better_off import better_off
from pricelab.lists.plan import Tiers
from pricelab.lists.trouble import Finding, Trouble, findings
from pricelab.shop.price_list import PriceList
from pricelab.shop.shop import Shop
from pricelab.shop.tolerance import TOLERANCE


@dataclass(frozen=True, eq=False)
class Audit:
    """The figures a list is judged by, by cell, shape (bands, tiers); and its findings."""

    price_list: PriceList
    basis: Basis
    worst_quantity: np.ndarray
    worst_margin: np.ndarray
    typical_quantity: np.ndarray
    typical_margin: np.ndarray
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
        listed, worst_first = self.price_list, list(Trouble)
        found = [*_below(self), *_out_of_order(listed), *better_off(listed)]
        return tuple(sorted(found, key=lambda x: (worst_first.index(x.trouble), x.band, x.tier)))


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
    return Audit(
        price_list,
        basis,
        worst_quantity=tiers.worst,
        worst_margin=basis.margin(price_list.net, tiers.worst_cost),
        typical_quantity=tiers.typical,
        typical_margin=basis.margin(price_list.net, tiers.typical_cost),
        instead=tiers.holding_prices,
    )


def _below(judged: Audit) -> Iterator[Finding]:
    """Cells that lose money, miss the floor, or miss the target at the typical quantity."""
    losing = judged.worst_margin < -TOLERANCE
    low = ~judged.floor_met
    worst = judged.worst_quantity, judged.worst_margin
    for trouble, where, quantity, margin in (
        (Trouble.BELOW_COST, low & losing, *worst),
        (Trouble.BELOW_FLOOR, low & ~losing, *worst),
        (
            Trouble.UNDER_TARGET,
            ~low & ~judged.holding,
            judged.typical_quantity,
            judged.typical_margin,
        ),
    ):
        instead = judged.instead
        yield from findings(
            trouble, judged.price_list, where, quantity, margin=margin, instead=instead
        )


def _out_of_order(price_list: PriceList) -> Iterator[Finding]:
    """Prices that rise with quantity, and larger sizes that cost less than smaller ones."""
    prices, starts = price_list.prices, price_list.starts
    before = np.hstack([prices[:, :1], prices[:, :-1]])  # of the tier before; the first, its own
    smaller = np.vstack([prices[:1], prices[:-1]])
    rises, cheaper = prices > before + TOLERANCE, prices < smaller - TOLERANCE
    yield from findings(Trouble.RISES, price_list, rises, starts, instead=before)
    yield from findings(Trouble.SMALLER_DEARER, price_list, cheaper, starts, instead=smaller)
