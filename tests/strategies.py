"""Random shops for the property tests: realistic, and as nasty as real price sheets are.

A shop is made from two drawn numbers: a *seed*, and a *mask* that says which complications it
has. Each complication throws its own dice, so Hypothesis shrinks a failing case by leaving
complications out one after another, and what remains is what the failure needs. (Drawing every
figure of a shop from Hypothesis would shrink further, but cost ten times the time.)
"""

from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from random import Random

import numpy as np
from hypothesis import strategies as st
from oracle import Art, exact, in_unit, limits, size_by

from pricelab.cost.orders import Decoration, Order
from pricelab.shop.blank import Blank
from pricelab.shop.charges import Charge, Element, Level
from pricelab.shop.grids import PER_PIECE, PER_THOUSAND_STITCHES, Grid
from pricelab.shop.method import Density, Method, Promotion, Stitching
from pricelab.shop.nesting import Roll
from pricelab.shop.pricing_rules import PricingRules, Tax
from pricelab.shop.rounding import Rounding
from pricelab.shop.shop import Shop
from pricelab.shop.sizes import Artwork, Measure
from pricelab.shop.work import Operation, Rates

COMPLICATIONS = (
    "several breaks",
    "several bands",
    "uneven prices",
    "minimum",
    "packs",
    "other unit",
    "spoilage",
    "operations",
    "dwell",
    "overhead",
    "charges",
    "batches",
    "design work",
    "set-up",
    "promotions",
    "repeat order",
    "order up",
    "surplus worth",
    "stitching",
    "roll",
    "stitch prices",
    "given stitches",
    "colours",
    "second decoration",
    "second blank",
    "limits",
    "fees",
    "tax",
    "rounding",
    "set-up spread",
    "commission",
    "one method twice",
)
TODAY = date(2026, 3, 15)


class Dice:
    """Dice by complication: whether a shop has it, and its own throws."""

    def __init__(self, seed: int, mask: int):
        self.seed = seed
        self.had = frozenset(c for i, c in enumerate(COMPLICATIONS) if mask >> i & 1)
        self._thrown: dict[str, Random] = {}

    def has(self, complication: str) -> bool:
        """Whether the shop has a complication."""
        return complication in self.had

    def __call__(self, about: str) -> Random:
        """The dice for one thing, the same whatever else is thrown."""
        if about not in self._thrown:
            self._thrown[about] = Random(f"{self.seed} {about}")
        return self._thrown[about]


def money(dice: Random, low: float, high: float) -> float:
    """An amount with two to four decimals, as price sheets print them."""
    decimals = dice.choice((2, 2, 2, 3, 4))
    return round(dice.uniform(low, high), decimals)


def length(dice: Random, unit: str, low: float, high: float) -> float:
    """A length in inches: quarters or two decimals, or whole or half millimetres."""
    inches = dice.uniform(low, high)
    if unit == "mm":
        return round(inches * 25.4 * 2) / 2
    return max(0.25, round(inches * 4) / 4) if dice.random() < 0.6 else round(inches, 2)


@dataclass(frozen=True, repr=False)
class Case:
    """A shop, and orders of one kind in it: a few artworks (columns) at a few quantities."""

    shop: Shop
    pieces: tuple[tuple[Blank, tuple[int, ...]], ...]
    decorations: tuple[tuple[Method, tuple[Artwork, ...]], ...]
    first: bool
    on: date | None
    order_up: bool | None
    has: frozenset[str]

    def parts(self, art: int, quantity: int):
        """Blanks with quantities and methods with artworks at one place, for the oracle."""
        pieces = [(blank, counts[quantity]) for blank, counts in self.pieces]
        decorations = [(m, Art.of(arts[art % len(arts)])) for m, arts in self.decorations]
        return pieces, decorations

    def order(self, art: int, quantity: int) -> Order:
        """The single order at one place."""
        pieces = [(blank, counts[quantity]) for blank, counts in self.pieces]
        decorations = [Decoration(m, arts[art % len(arts)]) for m, arts in self.decorations]
        return Order(pieces, decorations, self.first, self.on, self.order_up)

    def orders(self, arts: list[int]) -> Order:
        """All quantities of some of the artworks at once: a mesh."""
        pieces = [(blank, np.array(counts)) for blank, counts in self.pieces]
        decorations = [
            Decoration(m, together([a[i] for i in arts]) if len(a) > 1 else a[0])
            for m, a in self.decorations
        ]
        return Order(pieces, decorations, self.first, self.on, self.order_up)


def together(artworks: list[Artwork]) -> Artwork:
    """Several artworks down the first axis."""
    stitches = None
    if artworks[0].stitches is not None:
        stitches = np.array([a.stitches for a in artworks])
    return Artwork(
        np.array([a.width for a in artworks]),
        np.array([a.height for a in artworks]),
        artworks[0].unit,
        stitches,
        np.array([a.colours for a in artworks]),
    )


def grid_of(dice: Dice, about: str, edges: list[Fraction], measure: Measure, unit, per) -> Grid:
    """A supplier's grid whose bands end on, just under and just over the sizes to come."""
    throw = dice(about)
    bands = {5000.0 if measure is Measure.AREA and unit == "mm" else 400.0}
    if dice.has("limits"):
        bands = {float(max(edges)) * throw.choice((1, 1, 1.5)) + throw.choice((0, 0, -0.01, 0.01))}
        bands = {round(max(band, 0.5), 4) for band in bands}
    if dice.has("several bands"):
        for _ in range(throw.randint(1, 4)):
            edge = round(float(throw.choice(edges)), 6)
            shift = throw.choice((0, 0, 0, 0.01, -0.01, 0.004, -0.004, 0.5))
            bands.add(max(round(edge + shift, 6), 0.1))
    rows = sorted(bands)
    if measure is Measure.ANY_SIZE:
        rows = [np.inf]
    breaks = breaks_of(dice, about)
    prices = [prices_of(dice, about, breaks, 1 + 0.4 * row) for row in range(len(rows))]
    pack = throw.choice((1, 5, 6, 10, 12, 24)) if dice.has("packs") else 1
    return Grid(f"the {about} grid", measure, unit, rows, breaks, prices, per, pack)


def breaks_of(dice: Dice, about: str) -> list[int]:
    """Quantity breaks; the first above 1 is the supplier's minimum."""
    throw = dice(f"{about} breaks")
    breaks = [throw.choice((1, 2, 6, 12, 24, 25)) if dice.has("minimum") else 1]
    for _ in range(throw.randint(1, 5) if dice.has("several breaks") else 0):
        breaks.append(breaks[-1] + throw.choice((1, 3, 5, 11, 12, 23, 24, 48, 76)))
    return breaks


def prices_of(dice: Dice, about: str, breaks: list[int], scale: float) -> list[float]:
    """Prices along the breaks: falling, or as uneven as some sheets are."""
    throw = dice(f"{about} prices")
    price = money(throw, 0.5, 9) * scale
    prices = []
    for at, start in enumerate(breaks):
        if at:
            price *= throw.uniform(0.5, 0.99)
            if throw.random() < 0.15:  # a bill that is the same as at the break before
                price = prices[-1] * breaks[at - 1] / start
            if dice.has("uneven prices"):
                price *= throw.choice((1, 1, 1.6, 0.6))
        prices.append(round(max(price, 0), throw.choice((2, 2, 3, 4))))
    if dice.has("uneven prices") and throw.random() < 0.05:
        prices[-1] = 0.0
    return prices


def operations_of(dice: Dice, about: str) -> tuple[Operation, ...]:
    """Work on every level: attended or dwell, at the bench or on a machine."""
    throw = dice(f"{about} operations")
    found = []
    levels = [Level.PIECE, Level.ORDER]
    if dice.has("batches"):
        levels += [Level.BATCH, Level.BATCH]
    if dice.has("design work"):
        levels.append(Level.DESIGN)
    if dice.has("operations"):
        found += [
            Operation(
                f"{about} work {at}", money(throw, 0, 6), level,
                throw.choice((2, 5, 7, 12)) if level is Level.BATCH else 1,
                station=throw.choice((None, None, "press", "laser")),
            )
            for at, level in enumerate(throw.sample(levels, throw.randint(1, len(levels))))
        ]  # fmt: skip
    if dice.has("dwell"):
        level = throw.choice(levels)
        batch = throw.choice((2, 4)) if level is Level.BATCH else 1
        minutes, station = money(throw, 0.1, 3), throw.choice(("press", "oven"))
        found.append(Operation(f"{about} dwell", minutes, level, batch, False, station))
    return tuple(found)


def charges_of(dice: Dice, about: str) -> tuple[Charge, ...]:
    """Bags, freight, design fees, rent."""
    throw = dice(f"{about} charges")
    found = []
    if dice.has("charges"):
        found += [
            Charge(f"{about} bag", Element.PACKING, Level.PIECE, money(throw, 0, 0.9)),
            Charge(f"{about} freight", Element.FREIGHT, Level.ORDER, money(throw, 0, 30)),
            Charge(f"{about} rent", Element.RENT, Level.PERIOD, money(throw, 100, 900)),
        ]
    if dice.has("batches"):
        batch = throw.choice((3, 10, 12, 24))
        found.append(
            Charge(f"{about} box", Element.PACKING, Level.BATCH, money(throw, 0, 4), batch=batch)
        )
    if dice.has("design work"):
        found.append(Charge(f"{about} proof", Element.OTHER, Level.DESIGN, money(throw, 0, 40)))
    if dice.has("fees") and (about == "shop" or throw.random() < 0.4):
        share, fixed = throw.choice((0.015, 0.029, 0.05)), throw.choice((0.0, 0.3, 0.25))
        found += [
            Charge(f"{about} card", Element.FEES, Level.REVENUE, share=share),
            Charge(f"{about} card, an order", Element.FEES, Level.REVENUE, fixed),
        ]
    if dice.has("commission"):
        share = throw.choice((0.02, 0.1, 0.125))
        found.append(
            Charge(f"{about} commission", Element.FEES, Level.REVENUE, share=share, of="price")
        )
    return tuple(found)


def artworks_of(dice: Dice, about: str, count: int) -> tuple[Artwork, ...]:
    """A few artworks in one unit."""
    throw = dice(f"{about} artworks")
    unit = throw.choice(("in", "mm"))
    stitched = dice.has("given stitches")
    return tuple(
        Artwork(
            length(throw, unit, 0.5, 5),
            length(throw, unit, 0.5, 4),
            unit,
            throw.randrange(500, 20_000, 125) if stitched else None,
            throw.randint(1, 6) if dice.has("colours") else 1,
        )
        for _ in range(count)
    )


def method_of(dice: Dice, key: str, artworks: tuple[Artwork, ...]) -> Method:
    """A method that takes any of a grid, stitching and a roll."""
    throw = dice(key)
    unit = throw.choice(("in", "mm")) if dice.has("other unit") else "in"
    density_unit = throw.choice(("in", "mm"))
    density = Density(
        throw.randint(900, 2000) if density_unit == "in" else money(throw, 1.4, 3.1),
        density_unit,
        throw.choice((1.0, 0.5, 0.35)),
    )
    kinds = [k for k in ("stitching", "roll") if dice.has(k)]
    # a grid, unless the method stitches or cuts and needs none
    bought = not kinds or throw.random() < 0.5
    grid = stitching = roll = None
    arts = [Art.of(a) for a in artworks]
    if bought:
        measures = [Measure.MEAN_OF_SIDES, Measure.AREA, Measure.LONGEST_SIDE]
        per = PER_PIECE
        if dice.has("stitch prices"):
            per = throw.choice((PER_PIECE, PER_THOUSAND_STITCHES))
            measures = [Measure.THOUSAND_STITCHES, Measure.ANY_SIZE]
        measure = throw.choice(measures)
        bare = Method(key, key, unit, density=density, roll=Roll(99, 0, 0, 1, "in"))
        edges = [size_by(measure, unit, bare, art) for art in arts]
        grid = grid_of(dice, key, edges, measure, unit if measure.has_unit else None, per)
    if "stitching" in kinds:
        stitching = Stitching(
            throw.choice((600, 750, 850)), throw.choice((1, 2, 4, 6)), money(throw, 0.01, 0.3),
            money(throw, 0, 2), throw.random() < 0.3,
        )  # fmt: skip
    if "roll" in kinds:
        of = throw.choice(("in", "mm"))
        times = 25.4 if of == "mm" else 1
        low = 1.5 if dice.has("limits") else 6
        roll = Roll(
            round(throw.uniform(low, 20) * times, 1),
            round(throw.choice((0, 0.25, 0.5)) * times, 1),
            round(throw.choice((0, 0.1, 0.25)) * times, 1),
            round(throw.uniform(0.01, 0.4), 4),
            of,
        )
    setups = {}
    if dice.has("set-up"):
        setups = {"setup": money(throw, 0, 90), "repeat_setup": throw.choice((0, 12.5))}
    if dice.has("promotions"):
        setups["promotions"] = tuple(promotion(throw) for _ in range(throw.randint(1, 3)))
    limits = {}
    if dice.has("limits"):
        limits = {
            "max_width": length(throw, unit, 4, 7),
            "max_height": length(throw, unit, 3, 6),
            "min_side": throw.choice((0.0, 0.75 if unit == "in" else 20.0)),
            "heat": throw.choice((None, 150.0, 160.0, 160.0, 160.5)),
        }
    return Method(
        key, f"the {key} method", unit, grid, stitching, roll, density,
        operations=operations_of(dice, key), charges=charges_of(dice, key),
        spoilage=throw.choice((0.01, 0.02, 0.03, 0.05, 0.125, 0.3)) if dice.has("spoilage") else 0,
        **setups, **limits,
    )  # fmt: skip


def promotion(throw: Random) -> Promotion:
    """An offer near today: it may start or end on the very day, the day before or after."""
    starts = TODAY + timedelta(throw.choice((-9, -1, 0, 1)))
    ends = TODAY + timedelta(throw.choice((-1, 0, 1, 9)))
    return Promotion(min(starts, ends), ends, money(throw, 0, 60))


def blank_of(dice: Dice, key: str) -> Blank:
    """A blank; with limits its panel is that of a cap, else it takes anything."""
    throw = dice(key)
    breaks = breaks_of(dice, key)
    pack = throw.choice((1, 2, 6, 12)) if dice.has("packs") else 1
    prices = Grid.by_quantity(
        f"the {key} prices", breaks, prices_of(dice, key, breaks, 1), pack=pack
    )
    panel = (10.0, 10.0, "in")
    if dice.has("limits"):
        unit = throw.choice(("in", "mm"))
        panel = (length(throw, unit, 4, 7), length(throw, unit, 3, 6), unit)
    heat = throw.choice((None, 160.0)) if dice.has("limits") else None
    return Blank(key, f"the {key}", prices, *panel, heat_limit=heat)


def pricing_of(dice: Dice) -> PricingRules:
    """Target, floor, rounding, set-up apart or spread, tax in the prices or on top."""
    throw = dice("pricing")
    target = throw.choice((0.25, 0.333, 0.4, 0.45, 0.6))
    floor = round(target * throw.choice((0, 0.5, 0.75, 1)), 3)
    rounding = Rounding()
    if dice.has("rounding"):
        rounding = throw.choice((
            Rounding(0.05), Rounding(0.25), Rounding(1.0), Rounding(1.0, 0.95), Rounding(1.0, 0.5),
            Rounding(0.1, 0.09), Rounding(0.5, 0.49),
        ))  # fmt: skip
    tax = Tax()
    if dice.has("tax"):
        tax = Tax(throw.choice((0.0825, 0.19, 0.2, 0.25, 0.07)), throw.random() < 0.7)
    return PricingRules(target, floor, rounding, not dice.has("set-up spread"), tax)


def case_of(seed: int, mask: int) -> Case:
    """The case of two numbers."""
    dice = Dice(seed, mask)
    throw = dice("order")
    arts = artworks_of(dice, "front", throw.randint(2, 4))
    methods = [method_of(dice, "front", arts)]
    decorations = [(methods[0], arts)]
    if dice.has("second decoration"):
        side = artworks_of(dice, "side", 1)
        if not dice.has("one method twice"):
            methods.append(method_of(dice, "side", side))
        decorations.append((methods[-1], side))
    blanks = [blank_of(dice, "trucker")]
    if dice.has("second blank"):
        blanks.append(blank_of(dice, "beanie"))
    pieces = [(blank, quantities_of(dice, blank, methods)) for blank in blanks]
    if dice.has("second blank") and throw.random() < 0.3:  # one blank on two lines
        pieces.append((blanks[0], quantities_of(dice, blanks[0], methods)))
    overhead = dice("overhead")
    shop = Shop(
        "Random shop", "USD", throw.choice(("in", "mm")),
        Rates(
            money(overhead, 12, 40),
            money(overhead, 1, 30) if dice.has("overhead") else 0,
            overhead.choice(("attended", "machine")),
        ),
        pricing_of(dice),
        {method.key: method for method in methods},
        {blank.key: blank for blank in blanks},
        charges_of(dice, "shop"), operations_of(dice, "shop"),
        surplus_worth=throw.choice((0.5, 1.0, 0.35)) if dice.has("surplus worth") else 0.0,
        order_up=dice.has("order up"),
    )  # fmt: skip
    return Case(
        shop, tuple(pieces), tuple(decorations), not dice.has("repeat order"),
        TODAY if dice.has("promotions") else None,
        throw.choice((None, None, True, False)), dice.had,
    )  # fmt: skip


def quantities_of(dice: Dice, blank: Blank, methods: list[Method]) -> tuple[int, ...]:
    """Four quantities: on, just under and just over a break, and any."""
    throw = dice(f"{blank.key} quantities")
    starts = [int(start) for start in blank.prices.breaks]
    for method in methods:
        starts += [int(start) for start in method.grid.breaks] if method.grid else [1]
    at = [throw.choice(starts) + throw.choice((-1, 0, 0, 1, 3)) for _ in range(3)]
    return tuple(max(1, quantity) for quantity in (*at, throw.randint(1, 150)))


_SEEDS = st.integers(0, 2**22)
# Hypothesis draws wide integers mostly small: narrow ones reach every complication evenly.
_PART = 6
_MASKS = st.tuples(*[st.integers(0, 2**_PART - 1)] * -(-len(COMPLICATIONS) // _PART)).map(
    lambda parts: sum(part << _PART * at for at, part in enumerate(parts))
)


def cases() -> st.SearchStrategy[Case]:
    """Shops with a few orders in them."""
    return st.builds(case_of, _SEEDS, _MASKS)


@dataclass(frozen=True, repr=False)
class ListCase:
    """A price list to make: of one method on one blank."""

    shop: Shop
    method: Method
    blank: Blank
    sizes: tuple[float, ...]
    starts: tuple[int, ...]
    last: int
    weights: tuple[int, ...] | None
    has: frozenset[str]

    @property
    def quantities(self) -> range:
        """All quantities of the list."""
        return range(self.starts[0], self.last + 1)


def list_of(seed: int, mask: int) -> ListCase:
    """The list of two numbers; its sizes may be too large to make."""
    case = case_of(seed, mask)
    dice = Dice(seed, mask)
    throw = dice("list")
    method, arts = case.decorations[0]
    blank = case.pieces[0][0]
    starts = [throw.choice((1, 1, 6, 12))]
    for _ in range(throw.randint(0, 3)):
        starts.append(starts[-1] + throw.choice((2, 5, 11, 12, 24)))
    last = starts[-1] + throw.choice((0, 7, 20))
    measure = method.grid.measure if method.grid else Measure.MEAN_OF_SIDES
    unit = method.grid.unit if method.grid else method.unit
    sizes = {float(exact(size_by(measure, unit, method, Art.of(a)))) for a in arts[:1]}
    if method.grid is not None:
        sizes |= {float(end) for end in method.grid.bands[:2] if end < 300}
    sizes = {round(size, 3) for size in sizes if round(size, 3) > 0} or {1.5}
    if method.roll is not None:  # the second clerk tries every width in every quantity
        starts, last = starts[:2], starts[:2][-1] + 7
        sizes = {size for size in sizes if size < (3 if unit == "in" else 70)} or {1.5}
    elif dice.has("limits") and measure.has_unit:
        sizes |= own_size(method, blank, measure, unit)
    weights = None
    if throw.random() < 0.7:
        weights = tuple(throw.choice((0, 0, 0, 1, 2, 5)) for _ in range(starts[0], last + 1))
    return ListCase(
        case.shop, method, blank, tuple(sorted(sizes)), tuple(starts), last, weights, case.has
    )


def own_size(method: Method, blank: Blank, measure: Measure, unit: str) -> set[float]:
    """The size that the panel or the press just takes; none where no float prints it."""
    wide, high = (
        min(in_unit(exact(most), of, unit) for most, of in limits(method, blank, side))
        for side in ("width", "height")
    )
    size = size_by(measure, unit, method, Art(wide, high, unit))
    return {float(size)} if exact(float(size)) == size else set()


def lists() -> st.SearchStrategy[ListCase]:
    """Shops with a list to plan."""
    return st.builds(list_of, _SEEDS, _MASKS)
