"""Speed of the rules, as ratios within one run: ``python tests/benchmarks/engine.py``.

Each row gives the figure, the aim and whether it was met; the exit code is 1 if any was not.
Nothing here runs with the tests: a loaded machine must not fail a correct program.
"""

import sys
from statistics import median
from time import process_time

import numpy as np
import pandas as pd
from plain_loop import price_book_by_loop

from pricelab.cost.costing import cost_sheet
from pricelab.cost.orders import Order
from pricelab.lists.audit import audit_on
from pricelab.lists.basis import basis_of, possible_sizes
from pricelab.lists.breaks import choose_breaks
from pricelab.lists.plan import Tiers, plan_on
from pricelab.shop.blank import Blank
from pricelab.shop.charges import Charge, Element, Level
from pricelab.shop.grids import Grid
from pricelab.shop.method import Density, Method, Stitching
from pricelab.shop.nesting import Roll
from pricelab.shop.pricing_rules import PricingRules
from pricelab.shop.rounding import Rounding
from pricelab.shop.shop import Shop
from pricelab.shop.sizes import Artwork, Measure
from pricelab.shop.work import Operation, Rates

STARTS, LAST = [1, 12, 24, 48, 96, 144, 288, 500], 1000
PAIRS = 6_000_000


def seconds(run, times=7):
    """The median processor time of a few runs, after one to warm up."""
    run()
    spent = []
    for _ in range(times):
        start = process_time()
        run()
        spent.append(process_time() - start)
    return median(spent)


def grid(bands=12, seed=0):
    """An invented grid whose prices fall with quantity and rise with size."""
    ends = np.arange(1, bands + 1) * 0.5
    breaks = np.array([1, 12, 25, 50, 100, 250, 500, 1000, 2500])
    prices = np.outer(np.linspace(2, 9, bands) + seed / 10, np.linspace(1, 0.3, breaks.size))
    return Grid(f"grid {seed}", Measure.MEAN_OF_SIDES, "in", ends, breaks, np.round(prices, 2))


def shop(methods=6, blanks=10, bands=10):
    """An invented shop: three bought methods, two stitched, one cut; as many blanks as asked."""
    work = (
        Operation("place and press", 0.9, station="press"),
        Operation("dwell", 0.5, attended=False, station="press"),
        Operation("hoop", 2.0, Level.BATCH, 4),
        Operation("set the press", 6.0, Level.ORDER),
    )
    sheet = (Charge("cover sheet", Element.CONSUMABLES, Level.PIECE, 0.04),)
    common = {"unit": "in", "operations": work, "charges": sheet, "setup": 40.0, "spoilage": 0.02}
    stitched = {"stitching": Stitching(750, 4, 0.12), "density": Density(1900, "in", 0.5)}
    kinds = [
        *({"grid": grid(bands, seed)} for seed in range(methods - 3)),
        stitched, stitched, {"roll": Roll(15, 0.5, 0.25, 0.09, "in")},
    ]  # fmt: skip
    made = {f"m{n}": Method(f"m{n}", f"method {n}", **common, **k) for n, k in enumerate(kinds)}
    pieces = {
        f"b{n}": Blank(
            f"b{n}",
            f"blank {n}",
            Grid.by_quantity(f"blank {n}", [1, 12, 48, 144], np.array([8, 7, 6.5, 6]) + n),
            9, 9, "in",
        )
        for n in range(blanks)
    }  # fmt: skip
    charges = (
        Charge("inbound freight", Element.FREIGHT, Level.ORDER, 14.0),
        Charge("bag", Element.PACKING, Level.PIECE, 0.08),
        Charge("card", Element.FEES, Level.REVENUE, share=0.029),
        Charge("card", Element.FEES, Level.REVENUE, amount=0.30),
    )
    rules = PricingRules(0.42, 0.3, Rounding(0.25))
    return Shop("Bench", "USD", "in", Rates(26, 11), rules, made, pieces, charges)


def pairs():
    """Six million (size, quantity) pairs against other ways to look them up."""
    table = grid()
    rng = np.random.default_rng(0)
    sizes = np.round(rng.uniform(0.1, 6.0, PAIRS), 2)
    quantities = rng.integers(1, 5_000, PAIRS)

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

    assert (table.price(sizes, quantities, paired=True) == searchsorted()).all()
    assert (table.price(sizes, quantities, paired=True) == interval_index()).all()
    assert np.isclose(merge_asof().sum(), interval_index().sum())
    ours = seconds(lambda: table.price(sizes, quantities, paired=True), 5)
    yield "6 million pairs, share of searchsorted", ours / seconds(searchsorted, 5), 0.5
    yield "… times quicker than merge_asof", seconds(merge_asof, 1) / ours, -30
    yield "… times quicker than IntervalIndex", seconds(interval_index, 1) / ours, -4


def mesh():
    """The whole cost sheet of 12 bands × 500,000 quantities beside the look-up alone."""
    small = shop(bands=12)
    method, blank = small.methods["m0"], small.blanks["b0"]
    table, quantities = method.grid, np.arange(1, 500_001)
    artwork = Artwork(table.bands, table.bands, "in")

    def bare():
        row = np.searchsorted(table.bands, table.bands)
        column = np.searchsorted(table.breaks, quantities, "right") - 1
        return np.take(table.prices[row], column, axis=1)

    def sheet():
        return cost_sheet(small, Order.of(blank, quantities, method, artwork)).full

    assert sheet().shape == bare().shape == (12, 500_000)
    yield "cost sheet over a mesh, × the bare look-up", seconds(sheet) / seconds(bare), 8


def price_book(shop):
    """Every method on every blank, planned and judged: each cell is costed once."""
    quantities, starts = np.arange(STARTS[0], LAST + 1), np.array(STARTS)
    for method in shop.methods.values():
        for blank in shop.blanks.values():
            sizes = possible_sizes(method, blank)
            basis = basis_of(shop, method, blank, sizes, quantities)
            tiers = Tiers.of(basis, starts)
            yield audit_on(basis, tiers, plan_on(basis, tiers))


def book():
    """Six methods × ten blanks × ten bands × 1…1,000, planned and judged."""
    whole = shop()
    pages = list(price_book(whole))
    assert len(pages) == 60
    start = process_time()
    looped = price_book_by_loop(whole, pages, STARTS, LAST)
    plain = process_time() - start
    for page, (prices, margins, better) in zip(pages, looped, strict=True):
        from_ = page.better_from[:, :-1]
        inside = from_ <= page.price_list.ends[:-1]
        assert [b is not None for b in better] == inside.ravel().tolist()
        assert [b for b in better if b is not None] == from_[inside].tolist()
        assert np.allclose(page.price_list.prices.ravel(), prices, atol=1e-9)
        assert np.allclose(page.worst_margin.ravel(), margins, atol=1e-9)
    ours = seconds(lambda: list(price_book(whole)))
    yield "price book, seconds", ours, 1
    yield "… times quicker than a plain loop", plain / ours, -100


def breaks():
    """Up to ten breaks out of a thousand quantities, a break allowed anywhere."""
    price = 5 + 40 / np.arange(1, 1001) + np.random.default_rng(0).uniform(0, 1, 1000)
    weights = np.random.default_rng(1).integers(0, 5, 1000)
    spent = seconds(lambda: choose_breaks(price, np.arange(1, 1001), weights, 10))
    yield "break chooser, seconds", spent, 0.1


def report(*parts):
    """Print every figure beside its aim (a negative aim is one to exceed); 1 if any was missed."""
    missed = 0
    for part in parts:
        for what, figure, aim in part():
            met = figure >= -aim if aim < 0 else figure <= aim
            missed += not met
            bound = f"≥ {-aim:g}" if aim < 0 else f"≤ {aim:g}"
            print(f"{what:<45} {figure:>9.3g}   aim {bound:<7} {'met' if met else 'MISSED'}")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(report(pairs, mesh, book, breaks))
