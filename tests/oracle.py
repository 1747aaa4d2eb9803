"""A second clerk, who works the costing rules out with pencil and paper.

Everything here is done one quantity and one size at a time, in exact fractions, from the
written rules alone: no arrays, no tables made in advance, no tolerance. Floats are read as the
decimals they print (0.1 is one tenth). It is slow and it is meant to be easy to check by eye;
the tests hold the package's fast arithmetic against it.

It takes the package's values (a shop, an order's parts) but none of its arithmetic.
"""

from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cache
from itertools import combinations
from math import comb, isinf, isqrt

from pricelab.shop.charges import Element, Level
from pricelab.shop.grids import PER_THOUSAND_STITCHES
from pricelab.shop.sizes import Measure

OPERATOR = "operator"
MM_TO_THE_INCH = Fraction("25.4")


class CannotBeMade(Exception):
    """There is no price: the artwork does not fit, or a supplier does not sell it."""


def exact(number) -> Fraction:
    """A number as the decimal it prints."""
    return _read(str(number))


@cache
def _read(printed: str) -> Fraction:
    return Fraction(printed)


def whole_up(number: Fraction) -> int:
    """The next whole number not below."""
    return -(-number.numerator // number.denominator)


def whole_down(number: Fraction) -> int:
    """The whole number not above."""
    return number.numerator // number.denominator


# ---- money ----------------------------------------------------------------------------


def settled(amount: Fraction, unit: Fraction) -> Fraction:
    """How many of `unit` an amount is, to a millionth: finer than any money is read."""
    return round(amount / unit, 6)


def half_up(amount: Fraction, decimals: int) -> Fraction:
    """To the currency's smallest coin, halves away from nought."""
    coin = Fraction(1, 10**decimals)
    coins = settled(abs(amount), coin)
    rounded = whole_down(coins + Fraction(1, 2)) * coin
    return rounded if amount >= 0 else -rounded


def rounded_up(amount: Fraction, rounding) -> Fraction:
    """The lowest price not below `amount` that the shop would print."""
    step, ending = exact(rounding.step), exact(rounding.ending or 0)
    steps = whole_up(settled(amount - ending, step))
    if ending and steps < 0:
        steps = 0
    return steps * step + ending


# ---- sizes ----------------------------------------------------------------------------


def in_unit(length: Fraction, unit: str, wanted: str) -> Fraction:
    """A length counted in another unit."""
    if unit == wanted:
        return length
    return length * MM_TO_THE_INCH if wanted == "mm" else length / MM_TO_THE_INCH


@dataclass(frozen=True)
class Art:
    """One artwork, in exact figures."""

    width: Fraction
    height: Fraction
    unit: str
    stitches: Fraction | None = None
    colours: int = 1

    @classmethod
    def of(cls, artwork) -> "Art":
        """From the package's own value, of a single artwork."""
        stitches = None if artwork.stitches is None else exact(artwork.stitches)
        return cls(
            exact(artwork.width), exact(artwork.height), artwork.unit, stitches,
            int(artwork.colours),
        )  # fmt: skip

    def sides(self, unit: str) -> tuple[Fraction, Fraction]:
        """Width and height in another unit."""
        return in_unit(self.width, self.unit, unit), in_unit(self.height, self.unit, unit)


def stitches_of(method, art: Art) -> Fraction | None:
    """The artwork's stitches: as given, else filled share × width × height × density."""
    if art.stitches is not None:
        return art.stitches
    if method.density is None:
        return None
    width, height = art.sides(method.density.unit)
    return exact(method.density.filled) * width * height * exact(method.density.stitches)


def size_by(measure: Measure, unit: str | None, method, art: Art) -> Fraction:
    """The one size a supplier makes of an artwork."""
    if measure is Measure.ANY_SIZE:
        return Fraction(0)
    if measure is Measure.THOUSAND_STITCHES:
        return stitches_of(method, art) / 1000
    width, height = art.sides(unit)
    if measure is Measure.MEAN_OF_SIDES:
        return (width + height) / 2
    if measure is Measure.AREA:
        return width * height
    return max(width, height)


def band_row(grid, size: Fraction) -> int:
    """The first band whose upper end is not below the size."""
    for row, end in enumerate(grid.bands):
        if isinf(end) or size <= exact(end):
            return row
    raise CannotBeMade("over the last band")


# ---- buying ---------------------------------------------------------------------------


@dataclass(frozen=True)
class Bought:
    """Pieces paid for, and the price of one."""

    pieces: int
    each: Fraction

    @property
    def bill(self) -> Fraction:
        """What the supplier is paid."""
        return self.pieces * self.each


def in_packs(grid, pieces: int) -> int:
    """Whole packs that hold so many pieces."""
    packs = whole_up(Fraction(pieces, grid.pack))
    return packs * grid.pack


def unit_price(grid, row: int, pieces: int) -> Fraction:
    """The price at the greatest break not above the pieces paid for."""
    column = 0
    for at, start in enumerate(grid.breaks):
        if start <= pieces:
            column = at
    return exact(grid.prices[row][column])


def own_bill(grid, row: int, wanted: int) -> Bought:
    """The minimum at least, in whole packs, at the price of what is paid for."""
    pieces = in_packs(grid, max(wanted, int(grid.breaks[0])))
    return Bought(pieces, unit_price(grid, row, pieces))


def cheaper_later(grid, row: int, wanted: int) -> Bought | None:
    """The later break whose whole bill is least, if that is less than the own bill."""
    own = own_bill(grid, row, wanted)
    best = None
    for start in grid.breaks:
        if start <= own.pieces:
            continue
        pieces = in_packs(grid, int(start))
        later = Bought(pieces, unit_price(grid, row, pieces))
        if later.bill < own.bill and (best is None or later.bill < best.bill):
            best = later
    return best


def buy(grid, size: Fraction, wanted: int, up: bool) -> Bought:
    """What is bought when so many are wanted, buying up if the owner does."""
    row = band_row(grid, size)
    later = cheaper_later(grid, row, wanted) if up else None
    return later or own_bill(grid, row, wanted)


def chance_of_enough(started: int, good: int, spoilage: Fraction) -> Fraction:
    """P(Binomial(started, 1 − spoilage) ≥ good), counted case by case."""
    kept = 1 - spoilage
    return sum(
        (
            comb(started, pieces) * kept**pieces * spoilage ** (started - pieces)
            for pieces in range(good, started + 1)
        ),
        Fraction(0),
    )


def whole_pieces_to_start(good: int, spoilage, service_level) -> int:
    """Start one more, and one more, until the chance is high enough."""
    started = good
    while chance_of_enough(started, good, exact(spoilage)) < exact(service_level):
        started += 1
    return started


# ---- the order ------------------------------------------------------------------------


def check_possible(blank, method, art: Art) -> None:
    """Every limit of the method, the blank, the roll and the supplier."""
    width, height = art.sides(method.unit)
    for side, most in ((width, method.max_width), (height, method.max_height)):
        if not isinf(most) and side > exact(most):
            raise CannotBeMade("the method's greatest side")
    if min(width, height) < exact(method.min_side):
        raise CannotBeMade("the method's smallest side")
    width, height = art.sides(blank.unit)
    if width > exact(blank.panel_width) or height > exact(blank.panel_height):
        raise CannotBeMade("the panel")
    heats = (method.heat, blank.heat_limit)
    if None not in heats and exact(method.heat) > exact(blank.heat_limit):
        raise CannotBeMade("the heat")
    if method.roll is not None:
        width, height = art.sides(method.roll.unit)
        if pieces_across(method.roll, width) < 1 and pieces_across(method.roll, height) < 1:
            raise CannotBeMade("the roll")
    if method.grid is not None:
        band_row(method.grid, size_by(method.grid.measure, method.grid.unit, method, art))


def pieces_across(roll, side: Fraction) -> int:
    """Laid side by side from one edge to the other, a gap between each two."""
    free, gap = exact(roll.width) - 2 * exact(roll.edge), exact(roll.gap)
    return max(0, whole_down((free + gap) / (side + gap)))


@cache
def ways_round(roll, art: Art) -> list[tuple[int, Fraction]]:
    """Pieces in a row and the length of a row, upright and lying, where a row holds any."""
    width, height = art.sides(roll.unit)
    upright = pieces_across(roll, width), height + exact(roll.gap)
    lying = pieces_across(roll, height), width + exact(roll.gap)
    return [way for way in (upright, lying) if way[0]]


def rows_of_roll(roll, art: Art, quantity: int) -> tuple[int, int, Fraction] | None:
    """Rows, pieces in a row and length of a row, the way round that feeds less."""
    ways = [(-(-quantity // across), across, length) for across, length in ways_round(roll, art)]
    return min(ways, key=lambda way: way[0] * way[2], default=None)


def roll_taken(roll, art: Art, good: int, extra: Fraction) -> tuple[Fraction, Fraction]:
    """Money for the rows that the good pieces take, and for the spoiled ones' share of a row."""
    rows, across, row_length = rows_of_roll(roll, art, good)
    row = row_length * exact(roll.price) * art.colours
    return rows * row, good * extra / across * row


@dataclass
class Paper:
    """The clerk's paper: lines of money by level and element, and minutes by who is busy."""

    lines: list[tuple[Level, Element, Fraction]] = field(default_factory=list)
    minutes: dict[str, Fraction] = field(default_factory=lambda: {OPERATOR: Fraction(0)})

    def write(self, level: Level, element: Element, amount: Fraction) -> None:
        """One more line, if it is worth writing."""
        if amount:
            self.lines.append((level, element, amount))

    def busy(self, who: str, minutes: Fraction) -> None:
        """More minutes of somebody or some machine."""
        self.minutes[who] = self.minutes.get(who, Fraction(0)) + minutes

    def of(self, kind: Level | Element) -> Fraction:
        """The lines of a level or of an element."""
        return sum((amount for *kinds, amount in self.lines if kind in kinds), Fraction(0))

    @property
    def full(self) -> Fraction:
        """Every line."""
        return sum((amount for *_, amount in self.lines), Fraction(0))

    @property
    def variable(self) -> Fraction:
        """Every line but overhead, which is spent whether the order comes or not."""
        return self.full - self.of(Element.OVERHEAD)

    @property
    def bottleneck(self) -> Fraction:
        """Minutes of the busiest."""
        return max(self.minutes.values())


def extra_of(spoilages) -> Fraction:
    """Pieces to start beyond each good one, when these losses follow one another."""
    started = Fraction(1)
    for spoilage in spoilages:
        started /= 1 - exact(spoilage)
    return started - 1


def setup_fee(method, first: bool, on) -> Fraction:
    """The fee of the day."""
    if not first:
        return exact(method.repeat_setup)
    fee = exact(method.setup)
    for promotion in method.promotions:
        if on is not None and promotion.starts <= on <= promotion.ends:
            fee = min(fee, exact(promotion.setup))
    return fee


def work(shop, paper: Paper, level: Level, minutes: Fraction, attended: bool, station) -> None:
    """Minutes spent: who is busy, the labour, and the overhead that follows the minutes."""
    if not minutes:
        return
    hours = minutes / 60
    if attended:
        paper.busy(OPERATOR, minutes)
        paper.write(level, Element.LABOUR, hours * exact(shop.rates.labour))
        if shop.rates.overhead_on == "attended":
            paper.write(level, Element.OVERHEAD, hours * exact(shop.rates.overhead))
    if station is not None:
        paper.busy(station, minutes)
        if shop.rates.overhead_on == "machine":
            paper.write(level, Element.OVERHEAD, hours * exact(shop.rates.overhead))


def times(level: Level, batch: int, good: int, started: Fraction, first: bool):
    """How often something happens in an order."""
    if level is Level.PIECE:
        return started
    if level is Level.BATCH:
        return -(-good // batch)
    if level is Level.ORDER or (level is Level.DESIGN and first):
        return 1
    return 0


def write_work(shop, paper, operations, good: int, extra: Fraction, first: bool) -> None:
    """All operations of a list."""
    started = good * (1 + extra)
    for operation in operations:
        often = times(operation.per, operation.batch, good, started, first)
        minutes = often * exact(operation.minutes)
        work(shop, paper, operation.per, minutes, operation.attended, operation.station)


def write_charges(paper, charges, good: int, extra: Fraction, first: bool, bought=False) -> None:
    """All charges of a list but those on the money taken and the month's.

    What is due once an order is left out where it was `bought` for this order already.
    """
    started = good * (1 + extra)
    for charge in charges:
        if charge.level is Level.ORDER and bought:
            continue
        often = times(charge.level, charge.batch, good, started, first)
        paper.write(charge.level, charge.element, often * exact(charge.amount))


def write_purchase(shop, paper, bought, element, wanted, extra, each_takes) -> None:
    """What is billed; what spoils beyond a surplus; what the rest of a surplus is worth."""
    each = bought.each * each_takes
    paper.write(Level.PIECE, element, bought.pieces * each)
    spoiled, surplus = wanted * extra, bought.pieces - wanted
    replaced = min(spoiled, surplus)
    paper.write(Level.PIECE, element, (spoiled - replaced) * each)
    left = surplus - replaced
    paper.write(Level.PIECE, element, -exact(shop.surplus_worth) * left * each)


def cost(shop, pieces, decorations, *, first=True, on=None, order_up=None) -> Paper:
    """The paper of one order: `pieces` pairs (blank, quantity), `decorations` (method, art)."""
    up = shop.order_up if order_up is None else order_up
    paper = Paper()
    by_blank = {}
    for blank, quantity in pieces:
        _, sofar = by_blank.get(blank.key, (blank, 0))
        by_blank[blank.key] = (blank, sofar + quantity)
    for blank, _ in by_blank.values():
        for method, art in decorations:
            check_possible(blank, method, art)
    good = sum(quantity for _, quantity in by_blank.values())
    lost_in_all = extra_of(method.spoilage for method, _ in decorations)

    for blank, quantity in by_blank.values():
        bought = buy(blank.prices, Fraction(0), quantity, up)
        write_purchase(shop, paper, bought, Element.BLANK, quantity, lost_in_all, 1)
    for at, (method, art) in enumerate(decorations):
        extra = extra_of(later.spoilage for later, _ in decorations[at:])
        write_decoration(shop, paper, method, art, good, extra, up)
        fee = setup_fee(method, first, on)
        paper.write(Level.DESIGN, Element.SET_UP, fee)
        write_work(shop, paper, method.operations, good, extra, first)
        bought = method.key in [earlier.key for earlier, _ in decorations[:at]]
        write_charges(paper, method.charges, good, extra, first, bought)
    write_work(shop, paper, shop.operations, good, lost_in_all, first)
    write_charges(paper, shop.charges, good, Fraction(0), first)
    return paper


def write_decoration(shop, paper, method, art: Art, good: int, extra: Fraction, up: bool) -> None:
    """What the method takes of a supplier, of thread and machine time, of a roll."""
    write_bought_and_stitched(shop, paper, method, art, good, extra, up)
    if method.roll is not None:
        rows, spoiled = roll_taken(method.roll, art, good, extra)
        paper.write(Level.BATCH, Element.DECORATION, rows)
        paper.write(Level.PIECE, Element.DECORATION, spoiled)


def write_bought_and_stitched(shop, paper, method, art: Art, good, extra, up: bool) -> None:
    """What the method takes of a supplier, of thread and machine time."""
    stitches = stitches_of(method, art)
    if method.grid is not None:
        grid = method.grid
        bought = buy(grid, size_by(grid.measure, grid.unit, method, art), good, up)
        each_takes = stitches / 1000 if grid.per == PER_THOUSAND_STITCHES else 1
        write_purchase(shop, paper, bought, Element.DECORATION, good, extra, each_takes)
    if method.stitching is not None:
        own = method.stitching
        started = good * (1 + extra)
        run = stitches / exact(own.speed) / own.heads
        work(shop, paper, Level.PIECE, started * run, own.attended, own.station)
        thread = exact(own.thread) * stitches / 1000
        paper.write(Level.PIECE, Element.DECORATION, started * thread)
        loads = whole_up(Fraction(good, own.heads))
        changing = (art.colours - 1) * exact(own.change) * loads
        work(shop, paper, Level.BATCH, changing, True, own.station)


# ---- pricing --------------------------------------------------------------------------


@dataclass(frozen=True)
class Taken:
    """Fees on the money taken: a share of the price before tax, and a fixed sum an order."""

    share: Fraction
    fixed: Fraction

    @classmethod
    def of(cls, shop, *methods) -> "Taken":
        """What a shop and the methods of an order take; a share of the total is one of its tax too.

        A method's own are due once, however many decorations are by it.
        """
        lists = [shop.charges, *{method.key: method.charges for method in methods}.values()]
        due = [c for charges in lists for c in charges if c.level is Level.REVENUE]
        with_tax = 1 + exact(shop.pricing.tax.rate)
        shares = [exact(c.share) * (1 if c.of == "price" else with_tax) for c in due]
        return cls(sum(shares, Fraction(0)), sum((exact(c.amount) for c in due), Fraction(0)))


def price_for(cost_of_order: Fraction, margin: Fraction, taken: Taken, quantity=1) -> Fraction:
    """The price a piece, before tax: what is left of it after fees and margin pays the cost."""
    left = 1 - taken.share - margin
    if left <= 0:
        raise CannotBeMade("fees and margin take the whole price")
    return (cost_of_order + taken.fixed) / quantity / left


def margin_of(revenue: Fraction, cost_of_order: Fraction, taken: Taken) -> Fraction:
    """What is left of the money, as a share of it."""
    return (revenue - cost_of_order - taken.share * revenue - taken.fixed) / revenue


def shown(net: Fraction, tax) -> Fraction:
    """A price as printed."""
    return net * (1 + exact(tax.rate)) if tax.included else net


def net_of(price: Fraction, tax) -> Fraction:
    """A printed price without its tax."""
    return price / (1 + exact(tax.rate)) if tax.included else price


def charged(quantity: int, each: Fraction, setup: Fraction, tax, decimals: int, apart: bool):
    """An order's money, every figure rounded as it is written down."""
    each, setup = half_up(each, decimals), half_up(setup, decimals)
    pieces = half_up(quantity * each, decimals)
    total = pieces + setup
    if not apart:
        each, pieces, setup = half_up(total / quantity, decimals), total, Fraction(0)
    rate = exact(tax.rate)
    if tax.included:
        due = half_up(total - total / (1 + rate), decimals)
        payable = total
    else:
        due = half_up(total * rate, decimals)
        payable = total + due
    return {
        "each": each, "pieces": pieces, "setup": setup,
        "total": total, "tax_due": due, "payable": payable,
    }  # fmt: skip


# ---- a price list ---------------------------------------------------------------------


def root_below(number: Fraction) -> Fraction:
    """The square root, exact if there is one, else the fraction just below it (30 digits)."""
    if number == Fraction(isqrt(number.numerator) ** 2, isqrt(number.denominator) ** 2):
        return Fraction(isqrt(number.numerator), isqrt(number.denominator))
    scale = 10**30
    return Fraction(isqrt(number.numerator * scale**2 // number.denominator), scale)


def list_measure(method) -> tuple[Measure, str | None]:
    """What a list goes by: the supplier's measure, else the mean of the sides."""
    if method.grid is None or method.grid.measure is Measure.ANY_SIZE:
        return Measure.MEAN_OF_SIDES, method.unit
    return method.grid.measure, method.grid.unit


def list_shapes(method, blank, size: Fraction) -> list[Art]:
    """The artworks that a list size can stand for, of those that can be made; else `CannotBeMade`.

    The squarest; and where rows on a roll decide, every width in sixteenths of an inch or whole
    millimetres.
    """
    measure, unit = list_measure(method)
    stitches = None
    if measure is Measure.THOUSAND_STITCHES:  # so many stitches fill an area
        density, stitches = method.density, size * 1000
        measure, unit = Measure.AREA, density.unit
        size = stitches / exact(density.stitches) / exact(density.filled)
    shapes = [squarest(method, blank, size, measure, unit)]
    if method.roll is not None:
        step = Fraction(1, 16) if unit == "in" else Fraction(1)
        most = min(in_unit(exact(x), of, unit) for x, of in limits(method, blank, "width"))
        widths = (step * at for at in range(1, whole_down(most / step) + 1))
        shapes += [(wide, height_of(wide, size, measure)) for wide in widths]
    found = {}
    for wide, high in shapes:
        if high > 0:
            art = Art(wide, high, unit, stitches)
            try:
                check_possible(blank, method, art)
            except CannotBeMade:
                continue
            found.setdefault((min(wide, high), max(wide, high)), art)  # a roll takes it both ways
    if not found:
        raise CannotBeMade("no artwork of the size fits")
    return list(found.values())


def limits(method, blank, side: str) -> list[tuple]:
    """The greatest width or height that the method and the panel take, each with its unit."""
    both = (
        (getattr(method, f"max_{side}"), method.unit),
        (getattr(blank, f"panel_{side}"), blank.unit),
    )
    return [(most, unit) for most, unit in both if not isinf(most)]


def height_of(width: Fraction, size: Fraction, measure: Measure) -> Fraction:
    """How high an artwork of a size and a width is."""
    if measure is Measure.AREA:
        return size / width
    if measure is Measure.MEAN_OF_SIDES:
        return 2 * size - width
    return size if width <= size else Fraction(0)  # the longest side: none is that wide


def squarest(method, blank, size: Fraction, measure, unit) -> tuple[Fraction, Fraction]:
    """Width and height of the squarest artwork of a size inside panel and method."""
    wide, high = (
        min(in_unit(exact(x), of, unit) for x, of in limits(method, blank, side))
        for side in ("width", "height")
    )
    square = root_below(size) if measure is Measure.AREA else size
    if square <= wide and square <= high:
        return square, square
    short = min(square, wide, high)  # the side that the limits hold back
    long = size if measure is Measure.LONGEST_SIDE else height_of(short, size, measure)
    return (long, short) if high < wide else (short, long)


def dearest(shop, method, shapes: list[Art], quantity: int) -> Art:
    """The shape that costs most to decorate in a quantity: only stitches and rows differ."""
    extra, grid = extra_of([method.spoilage]), method.grid

    def decorating(stitches: int) -> Fraction:
        paper, art = Paper(), replace(shapes[0], stitches=Fraction(stitches))
        write_bought_and_stitched(shop, paper, method, art, quantity, extra, shop.order_up)
        return paper.full

    stitched = method.stitching is not None or (grid and grid.per == PER_THOUSAND_STITCHES)
    by_area = stitched and shapes[0].stitches is None
    stitch = (decorating(2000) - decorating(1000)) / 1000 if by_area else 0

    def costs(art: Art) -> Fraction:
        rows = sum(roll_taken(method.roll, art, quantity, extra))
        return rows + stitch * stitches_of(method, art) if by_area else rows

    return max(shapes, key=costs) if len(shapes) > 1 else shapes[0]


def typical(starts, last: int, weights) -> list[int]:
    """Half of a tier's orders, by weight, are of this quantity or less."""
    found = []
    for start, end in tiers(starts, last):
        inside = {q: exact(weights[q - int(starts[0])]) if weights is not None else Fraction(0)
                  for q in range(start, end + 1)}  # fmt: skip
        half = sum(inside.values()) / 2
        at, counted = start, inside[start]
        while half and counted < half:
            at += 1
            counted += inside[at]
        found.append(at)
    return found


def tiers(starts, last: int) -> list[tuple[int, int]]:
    """First and last quantity of every tier."""
    ends = [int(start) - 1 for start in starts[1:]] + [int(last)]
    return [(int(start), end) for start, end in zip(starts, ends, strict=True)]


@dataclass(frozen=True)
class ListCosts:
    """The cost under every cell: of whole orders by (row, quantity), and of the design."""

    whole: dict[tuple[int, int], Fraction]
    design: Fraction
    taken: Taken


def list_costs(shop, method, blank, sizes, quantities) -> ListCosts:
    """A first order of every size and quantity; the design's costs kept out if set-up is apart."""
    whole, design = {}, Fraction(0)
    for row, size in enumerate(sizes):
        shapes = list_shapes(method, blank, exact(size))
        for quantity in quantities:
            art = dearest(shop, method, shapes, quantity)
            paper = cost(shop, [(blank, quantity)], [(method, art)])
            design = paper.of(Level.DESIGN)
            apart = design if shop.pricing.setup_apart else 0
            whole[row, quantity] = paper.full - apart
    return ListCosts(whole, design, Taken.of(shop, method))


def holding_price(shop, costs: ListCosts, row: int, first: int, last: int, usual: int) -> Fraction:
    """Try every quantity of the tier; the dearest need decides, then round up."""
    rules = shop.pricing
    need = price_for(costs.whole[row, usual], exact(rules.target), costs.taken, usual)
    for quantity in range(first, last + 1):
        floor = price_for(costs.whole[row, quantity], exact(rules.floor), costs.taken, quantity)
        need = max(need, floor)
    return rounded_up(shown(need, rules.tax), rules.rounding)


def setup_line(shop, costs: ListCosts) -> Fraction | None:
    """The printed set-up of a first order, at the target margin."""
    rules = shop.pricing
    if not rules.setup_apart:
        return None
    if not costs.design:
        return Fraction(0)  # nothing is due, so nothing is charged
    need = costs.design / (1 - costs.taken.share - exact(rules.target))
    return rounded_up(shown(need, rules.tax), rules.rounding)


def cell_margins(costs: ListCosts, tax, row: int, first: int, last: int, price: Fraction):
    """The margin at every quantity of a tier."""
    net = net_of(price, tax)
    return {
        quantity: margin_of(net * quantity, costs.whole[row, quantity], costs.taken)
        for quantity in range(first, last + 1)
    }


def better_off(prices, starts, last: int) -> dict[int, tuple[int, int, int]]:
    """By tier: the first and last quantity at which buying more costs no more, and what to buy."""
    found = {}
    spans = tiers(starts, last)
    for at, (first, end) in enumerate(spans[:-1]):
        later = min(spans[at + 1 :], key=lambda span: (span[0] * prices[spans.index(span)], span))
        bill = later[0] * prices[spans.index(later)]
        inside = [q for q in range(first, end + 1) if q * prices[at] >= bill]
        if inside:
            found[at] = (inside[0], inside[-1], later[0])
    return found


def overcharge(prices, quantities, weights, starts) -> Fraction:
    """Mean overcharge a piece: each tier at its dearest price, over the weights and the sizes."""
    total = Fraction(0)
    for row in prices:
        for first, end in tiers(starts, quantities[-1]):
            inside = [i for i, q in enumerate(quantities) if first <= q <= end]
            dearest = max(exact(row[i]) for i in inside)
            total += sum(exact(weights[i]) * (dearest - exact(row[i])) for i in inside)
    return total / sum(exact(w) for w in weights) / len(prices)


def all_breaks(prices, quantities, weights, tiers_wanted: int, friendly=None):
    """Every choice of so many tiers with its overcharge."""
    places = [q for q in quantities[1:] if friendly is None or q in friendly]
    for chosen in combinations(places, tiers_wanted - 1):
        starts = (quantities[0], *chosen)
        yield overcharge(prices, quantities, weights, starts), starts
