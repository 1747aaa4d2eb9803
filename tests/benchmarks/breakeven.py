"""Speed of break-even sets, lead maps and simulation: ``python tests/benchmarks/breakeven.py``.

Printed and judged as in `engine`: figures beside their aims, exit code 1 if any was missed.
"""

import sys

import numpy as np
from engine import report, seconds, shop

from pricelab.analysis.break_even import break_even
from pricelab.analysis.comparison import Comparison
from pricelab.analysis.lead_map import leaders
from pricelab.analysis.risk import Spread, Uncertainty, drivers_of, simulate
from pricelab.cost.orders import Order
from pricelab.shop.price_list import PriceList
from pricelab.shop.sizes import Artwork, Measure

LAST, SIZES = 5_000, 40
STARTS = [1, 12, 24, 48, 96, 144, 288, 500]
ORDERS = 1_000_000


def lists(of):
    """A list of every method: eight tiers, forty sizes."""
    sizes = np.linspace(0.5, 5, SIZES)
    prices = np.outer(np.linspace(9, 14, SIZES), np.linspace(1.6, 1, len(STARTS)))
    return [
        PriceList(key, "b0", Measure.MEAN_OF_SIDES, "in", sizes, np.array(STARTS), LAST, prices)
        for key in of.methods
    ]


def sets_and_map():
    """All of it from the lists on: selling, the sets of every size and method, the lead map."""
    whole = shop()
    sold_by, artwork = lists(whole), Artwork(*[np.linspace(0.5, 5, SIZES)] * 2, "in")
    quantities = np.arange(1, LAST + 1)

    def all_sets():
        profit = Comparison.of(whole, sold_by, artwork, quantities).figures("profit")
        sets = [break_even(row, quantities) for one in profit.data for row in one]
        return sets, leaders(profit)

    sets, lead = all_sets()
    assert len(sets) == 6 * SIZES
    assert lead.shape == (SIZES, LAST)
    assert any(found.pockets for found in sets)
    yield "sets and lead map, 6 × 40 × 5,000, seconds", seconds(all_sets), 0.150


def simulation():
    """A million orders beside numpy drawing the same random numbers and nothing else."""
    whole = shop()
    order = Order.of(whole.blanks["b0"], 48, whole.methods["m0"], Artwork(2, 2, "in"))
    drivers = drivers_of(whole, order, 900.0)
    doubt = Uncertainty(Spread(0.8, 1, 1.3), Spread(0.95, 1, 1.1))

    def bare():
        random = np.random.default_rng(1)
        random.triangular(0.8, 1, 1.3, ORDERS)
        random.triangular(0.95, 1, 1.1, ORDERS)
        random.negative_binomial(48, 1 - drivers.share, ORDERS)

    assert simulate(drivers, doubt, ORDERS).draws == ORDERS
    spent = seconds(lambda: simulate(drivers, doubt, ORDERS), 5)
    yield "a million orders, × numpy's own draws", spent / seconds(bare, 5), 3


if __name__ == "__main__":
    sys.exit(report(sets_and_map, simulation))
