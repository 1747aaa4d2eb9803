"""What the benchmarks share: how time is taken and told, and an invented shop to take it on."""

from collections.abc import Callable, Iterable
from statistics import median
from time import process_time

import numpy as np

from pricelab.shop.blank import Blank
from pricelab.shop.charges import Charge, Element, Level
from pricelab.shop.grids import Grid
from pricelab.shop.method import Density, Method, Stitching
from pricelab.shop.nesting import Roll
from pricelab.shop.pricing_rules import PricingRules
from pricelab.shop.rounding import Rounding
from pricelab.shop.shop import Shop
from pricelab.shop.sizes import Measure
from pricelab.shop.work import Operation, Rates

Figure = tuple[str, float, float | None]
"""What was measured, the figure, and the aim: at most so much, or at least where it is negative."""


def seconds(run: Callable[[], object], times: int = 7) -> float:
    """The median processor time of a few runs, after one to warm up."""
    run()
    spent = []
    for _ in range(times):
        start = process_time()
        run()
        spent.append(process_time() - start)
    return median(spent)


def report(figures: Iterable[Figure]) -> int:
    """Print every figure beside its aim as it comes; 1 if any was missed."""
    missed = 0
    for what, figure, aim in figures:
        said = ""
        if aim is not None:
            met = figure >= -aim if aim < 0 else figure <= aim
            missed += not met
            bound = f"{'≥' if aim < 0 else '≤'} {abs(aim):g}"
            said = f"   aim {bound:<7} {'met' if met else 'MISSED'}"
        print(f"{what:<52} {figure:>9.3g}{said}", flush=True)
    return 1 if missed else 0


def grid(bands: int = 12, seed: int = 0) -> Grid:
    """An invented grid whose prices fall with quantity and rise with size."""
    ends, breaks = np.arange(1, bands + 1) * 0.5, [1, 12, 25, 50, 100, 250, 500, 1000, 2500]
    prices = np.outer(np.linspace(2, 9, bands) + seed / 10, np.linspace(1, 0.3, len(breaks)))
    name = f"grid {seed}"
    return Grid(name, Measure.MEAN_OF_SIDES, "in", ends, np.array(breaks), np.round(prices, 2))


def shop(bands: int = 10) -> Shop:
    """An invented shop of one blank and six methods: three bought, two stitched, one cut."""
    work = (
        Operation("place and press", 0.9, station="press"),
        Operation("dwell", 0.5, attended=False, station="press"),
        Operation("hoop", 2.0, Level.BATCH, 4),
        Operation("set the press", 6.0, Level.ORDER),
    )
    sheet = (Charge("cover sheet", Element.CONSUMABLES, Level.PIECE, 0.04),)
    common = {"unit": "in", "operations": work, "charges": sheet, "setup": 40.0, "spoilage": 0.02}
    stitched = {"stitching": Stitching(750, 4, 0.12), "density": Density(1900, "in", 0.5)}
    bought = [{"grid": grid(bands, seed)} for seed in range(3)]
    kinds = [*bought, stitched, stitched, {"roll": Roll(15, 0.5, 0.25, 0.09, "in")}]
    methods = [Method(f"m{n}", f"method {n}", **common, **kind) for n, kind in enumerate(kinds)]
    prices = Grid.by_quantity("blank 0", [1, 12, 48, 144], np.array([8, 7, 6.5, 6]))
    charges = (
        Charge("inbound freight", Element.FREIGHT, Level.ORDER, 14.0),
        Charge("bag", Element.PACKING, Level.PIECE, 0.08),
        Charge("card", Element.FEES, Level.REVENUE, share=0.029),
        Charge("card", Element.FEES, Level.REVENUE, amount=0.30),
    )
    return Shop(
        *("Bench", "USD", "in", Rates(26, 11), PricingRules(0.42, 0.3, Rounding(0.25))),
        {method.key: method for method in methods},
        {"b0": Blank("b0", "blank 0", prices, 9, 9, "in")},
        charges,
    )
