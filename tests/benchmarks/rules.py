"""Speed of the rules, mostly as ratios within one run: ``python tests/benchmarks/rules.py``.

Each row gives the figure, the aim and whether it was met; the exit code is 1 if any was not.
Nothing here runs with the tests: a loaded machine must not fail a correct program.
"""

import sys
from itertools import chain

import numpy as np
import pandas as pd
from harness import grid, report, seconds, shop

from pricelab.analysis.break_even import break_even
from pricelab.analysis.comparison import Comparison
from pricelab.analysis.lead_map import borders, leaders
from pricelab.analysis.risk import Spread, Uncertainty, drivers_of, simulate
from pricelab.cost.costing import cost_sheet
from pricelab.cost.orders import Order
from pricelab.files.folders import DEMO_SHOP
from pricelab.files.shop_folder import read_shop
from pricelab.lists.breaks import choose_breaks
from pricelab.lists.plan import plan
from pricelab.screens.methods import MethodsPanel
from pricelab.shop.price_list import PriceList
from pricelab.shop.sizes import Artwork, Measure

PAIRS = 6_000_000
LAST, SIZES = 5_000, np.linspace(0.5, 5, 40)
STARTS = np.array([1, 12, 24, 48, 96, 144, 288, 500])
ORDERS = 1_000_000
TIERS = [1, 12, 24, 48, 96, 144]


def pairs():
    """Six million (size, quantity) pairs against other ways to look them up."""
    table, random = grid(), np.random.default_rng(0)
    sizes = np.round(random.uniform(0.1, 6.0, PAIRS), 2)
    quantities = random.integers(1, 5_000, PAIRS)

    def ours():
        return table.price(sizes, quantities, paired=True)

    def searchsorted():
        row = np.searchsorted(table.bands, sizes)
        return table.prices[row, np.searchsorted(table.breaks, quantities, "right") - 1]

    def merge_asof():
        left = pd.DataFrame({"size": sizes, "quantity": quantities})
        bands = pd.DataFrame({"size": table.bands, "band": np.arange(table.bands.size)})
        tiers = pd.DataFrame({"quantity": table.breaks, "tier": np.arange(table.breaks.size)})
        left = pd.merge_asof(left.sort_values("size"), bands, on="size", direction="forward")
        left = pd.merge_asof(left.sort_values("quantity"), tiers, on="quantity")
        return table.prices[left["band"], left["tier"]]

    def interval_index():
        bands = pd.IntervalIndex.from_breaks(np.append(0.0, table.bands), closed="right")
        tiers = pd.IntervalIndex.from_breaks(np.append(table.breaks, 10**9), closed="left")
        return table.prices[bands.get_indexer(sizes), tiers.get_indexer(quantities)]

    assert (ours() == searchsorted()).all()
    assert (ours() == interval_index()).all()
    assert np.isclose(merge_asof().sum(), interval_index().sum())
    spent = seconds(ours, 5)
    yield "6 million pairs, share of searchsorted", spent / seconds(searchsorted, 5), 0.5
    yield "… times quicker than merge_asof", seconds(merge_asof, 1) / spent, -30
    yield "… times quicker than IntervalIndex", seconds(interval_index, 1) / spent, -4


def mesh():
    """The whole cost sheet of 12 bands × 500,000 quantities beside the look-up alone."""
    small, quantities = shop(bands=12), np.arange(1, 500_001)
    table = small.methods["m0"].grid
    artwork = Artwork(table.bands, table.bands, "in")

    def bare():
        row = np.searchsorted(table.bands, table.bands)
        column = np.searchsorted(table.breaks, quantities, "right") - 1
        return np.take(table.prices[row], column, axis=1)

    def sheet():
        order = Order.of(small.blanks["b0"], quantities, small.methods["m0"], artwork)
        return cost_sheet(small, order).full

    assert sheet().shape == bare().shape == (12, 500_000)
    yield "cost sheet over a mesh, × the bare look-up", seconds(sheet) / seconds(bare), 8


def breaks():
    """Up to ten breaks out of a thousand quantities, a break allowed anywhere."""
    quantities = np.arange(1, 1001)
    price = 5 + 40 / quantities + np.random.default_rng(0).uniform(0, 1, 1000)
    weights = np.random.default_rng(1).integers(0, 5, 1000)
    spent = seconds(lambda: choose_breaks(price, quantities, weights, 10))
    yield "break chooser, seconds", spent, 0.1


def break_even_sets():
    """From the lists on: selling, the sets of every size and method, the lead map."""
    whole, artwork = shop(), Artwork(SIZES, SIZES, "in")
    prices = np.outer(np.linspace(9, 14, SIZES.size), np.linspace(1.6, 1, STARTS.size))
    of = Measure.MEAN_OF_SIDES, "in", SIZES, STARTS, LAST, prices
    lists = [PriceList(key, "b0", *of) for key in whole.methods]
    quantities = np.arange(1, LAST + 1)

    def all_sets():
        profit = Comparison.of(whole, lists, artwork, quantities).figures("profit")
        sets = [break_even(row, quantities) for one in profit.data for row in one]
        return sets, leaders(profit)

    sets, lead = all_sets()
    assert (len(sets), lead.shape) == (6 * SIZES.size, (SIZES.size, LAST))
    assert any(found.missing for found in sets)
    yield "sets and lead map, 6 × 40 × 5,000, seconds", seconds(all_sets), 0.150


def simulation():
    """A million orders beside numpy drawing the same random numbers and nothing else."""
    whole = shop()
    order = Order.of(whole.blanks["b0"], 48, whole.methods["m0"], Artwork(2, 2, "in"))
    drivers = drivers_of(whole, order, 900.0)
    unsure = Uncertainty(Spread(0.8, 1, 1.3), Spread(0.95, 1, 1.1))

    def bare():
        random = np.random.default_rng(1)
        random.triangular(0.8, 1, 1.3, ORDERS)
        random.triangular(0.95, 1, 1.1, ORDERS)
        random.negative_binomial(48, 1 - drivers.share, ORDERS)

    assert simulate(drivers, unsure, ORDERS).size == ORDERS
    spent = seconds(lambda: simulate(drivers, unsure, ORDERS), 5)
    yield "a million orders, × numpy's own draws", spent / seconds(bare, 5), 3


def lead_map():
    """The demo shop's methods over 40 sizes and 1…1,000 pieces; and the panel that shows it."""
    folder, sizes, quantities = read_shop(DEMO_SHOP), np.linspace(1.0, 3.0, 40), np.arange(1, 1001)
    demo, artworks = folder.shop, Artwork(sizes, sizes * 0.75, "in")
    blank = demo.blanks["structured-twill"]
    lists = [plan(demo, method, blank, TIERS, 1000) for method in demo.methods.values()]
    panel, entries = MethodsPanel(folder), iter(range(12, 600))

    def lead():
        return leaders(Comparison.of(demo, lists, artworks, quantities).figures("profit"))

    led = lead()
    assert led.shape == (40, 1000)
    yield "lead map, milliseconds", 1000 * seconds(lead), 100
    yield "its borders, milliseconds", 1000 * seconds(lambda: borders(led, quantities)), 20
    key = 1000 * seconds(lambda: panel.pieces.set(str(next(entries))))
    yield "panel after a key, milliseconds", key, 80


if __name__ == "__main__":
    parts = (pairs, mesh, breaks, break_even_sets, simulation, lead_map)
    sys.exit(report(chain.from_iterable(part() for part in parts)))
