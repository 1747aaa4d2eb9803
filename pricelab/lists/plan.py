"""Planning a price list: the lowest rounded price of every cell that holds.

A cell holds when every quantity of its tier earns at least the floor margin and its
typical quantity earns the target. The worst quantity is not always the first, since the
suppliers' breaks fall inside the tier; so every quantity is costed.
"""

from dataclasses import dataclass

import numpy as np

from pricelab.cost.price import setup_line
from pricelab.lists.basis import Basis, basis_of, list_measure, list_sizes
from pricelab.lists.typical_quantity import typical_quantities
from pricelab.shop.blank import Blank
from pricelab.shop.checks import check_quantity
from pricelab.shop.method import Method
from pricelab.shop.price_list import PriceList, check_tiers
from pricelab.shop.shop import Shop


@dataclass(frozen=True, eq=False)
class Tiers:
    """The quantities a list's tiers are judged by, and their unit costs, `[size, tier]`.

    The worst quantity is the one whose piece costs most; the typical one, the same for all
    sizes, is the one usually ordered. `holding_prices` are the lowest shown prices, rounded
    by the shop's rule, at which the worst earns the floor and the typical one the target.
    """

    starts: np.ndarray
    last: int
    worst: np.ndarray
    worst_cost: np.ndarray
    typical: np.ndarray
    typical_cost: np.ndarray
    holding_prices: np.ndarray

    @classmethod
    def of(cls, basis: Basis, starts, weights=None) -> "Tiers":
        """The tiers from `starts` up to the last quantity of `basis`."""
        starts = np.asarray(starts)
        first, last = int(basis.quantities[0]), int(basis.quantities[-1])
        tiers = np.split(basis.unit_cost, starts[1:] - first, axis=1)
        worst = starts + np.stack([costs.argmax(axis=1) for costs in tiers], axis=1)
        worst_cost = np.stack([costs.max(axis=1) for costs in tiers], axis=1)
        typical = typical_quantities(starts, last, weights)
        typical_cost = basis.unit_cost[:, typical - first]
        rules = basis.shop.pricing
        net = np.maximum(
            basis.net_price(worst_cost, rules.floor), basis.net_price(typical_cost, rules.target)
        )
        return cls(starts, last, worst, worst_cost, typical, typical_cost, rules.asked(net))


def plan(
    shop: Shop, method: Method, blank: Blank, starts, last: int, *, sizes=None, weights=None
) -> PriceList:
    """The list of `method` on `blank` with quantity tiers from `starts` up to `last`.

    `sizes` are the bands' upper ends (the method's usual ones that can be made, if not
    told); `weights` counts past orders by quantity from ``starts[0]`` to `last`.
    """
    starts = check_quantity(np.atleast_1d(starts))
    check_tiers(starts, last)
    sizes = list_sizes(method, blank, sizes)
    basis = basis_of(shop, method, blank, sizes, np.arange(starts[0], last + 1))
    return plan_on(basis, Tiers.of(basis, starts, weights))


def plan_on(basis: Basis, tiers: Tiers) -> PriceList:
    """The list on costs that are known."""
    shop, method = basis.shop, basis.method
    measure, unit = list_measure(method)
    return PriceList(
        method.key,
        basis.blank.key,
        measure,
        unit,
        basis.sizes,
        tiers.starts,
        tiers.last,
        tiers.holding_prices,
        setup=setup_line(shop, method, basis.design_cost),
        tax=shop.pricing.tax,
    )
