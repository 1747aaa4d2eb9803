"""The price book by a plain Python loop over its cells: what the arrays are measured against.

Written as one would without arrays: a function for one cost, called for every size and
quantity. It gives the same prices and margins as the arrays do (the benchmark checks).
"""

from bisect import bisect_left, bisect_right
from math import ceil, floor

from pricelab.lists.basis import list_artwork
from pricelab.shop.charges import Element, Level


def cost_of_order(shop, method, blank, artwork, quantity):
    """Full cost of one order of one blank with one decoration, set-up left out."""
    width, height, stitches = artwork
    extra = method.spoilage / (1 - method.spoilage)
    cost = bought(blank.prices, 0.0, quantity, extra)
    minutes = []
    if method.grid is not None:
        measure = method.grid.measure.value
        size = {
            "mean of sides": (width + height) / 2,
            "area": width * height,
            "longest side": max(width, height),
            "thousand stitches": (stitches or 0) / 1000,
            "any size": 0.0,
        }[measure]
        times = stitches / 1000 if method.grid.per == "thousand stitches" else 1.0
        cost += bought(method.grid, size, quantity, extra) * times
    if method.stitching is not None:
        machine = method.stitching
        cost += quantity * (1 + extra) * machine.thread * stitches / 1000
        run = stitches / machine.speed / machine.heads * quantity * (1 + extra)
        minutes.append((run, machine.attended, machine.station))
    if method.roll is not None:
        roll, best = method.roll, None
        for across_side, along_side in ((width, height), (height, width)):
            across = floor(
                (roll.width - 2 * roll.edge + roll.gap) / (across_side + roll.gap) + 1e-9
            )
            if across < 1:
                continue
            row = along_side + roll.gap
            fed = ceil(quantity / across) * row
            if best is None or fed < best[0] - 1e-9:
                best = fed, quantity * extra * row / across
        cost += sum(best) * roll.price
    for operation in (*method.operations, *shop.operations):
        times = {
            Level.PIECE: quantity * (1 + extra),
            Level.BATCH: ceil(quantity / operation.batch),
            Level.ORDER: 1,
        }.get(operation.per, 0)
        minutes.append((operation.minutes * times, operation.attended, operation.station))
    for charge in (*method.charges, *shop.charges):
        times = {
            Level.PIECE: quantity,
            Level.BATCH: ceil(quantity / charge.batch),
            Level.ORDER: 1,
        }.get(charge.level, 0)
        if charge.level is Level.PIECE and charge in method.charges:
            times *= 1 + extra
        cost += charge.amount * times
    for spent, attended, station in minutes:
        if attended:
            cost += spent * shop.rates.labour / 60
        if attended if shop.rates.overhead_on == "attended" else station:
            cost += spent * shop.rates.overhead / 60
    return cost


def bought(grid, size, quantity, extra):
    """A purchase off a grid, spoiled pieces with it."""
    billed = max(quantity, int(grid.breaks[0]))
    billed = ceil(billed / grid.pack) * grid.pack
    row = bisect_left(grid.edges, size - 1e-9)
    column = bisect_right(grid.starts, billed) - 1
    return grid.cells[row][column] * (billed + quantity * extra)


class PlainGrid:
    """A grid as plain lists, so that the loop pays for no numpy scalars."""

    def __init__(self, grid):
        self.measure, self.per, self.pack = grid.measure, grid.per, grid.pack
        self.breaks = self.starts = grid.breaks.tolist()
        self.edges, self.cells = grid.bands.tolist(), grid.prices.tolist()


class Plain:
    """A method or blank whose grid is a `PlainGrid`."""

    def __init__(self, value, **grids):
        self.__dict__.update(value.__dict__)
        self.__dict__.update(grids)


def price_book_by_loop(shop, pages, starts, last):
    """Prices, worst margins and better-off ranges of every page, cell by cell."""
    share = sum(c.share for c in shop.charges if c.element is Element.FEES)
    fixed = sum(c.amount for c in shop.charges if c.element is Element.FEES)
    target, floor_, step = shop.pricing.target, shop.pricing.floor, shop.pricing.rounding.step
    ends = [start - 1 for start in starts[1:]] + [last]
    book = []
    for page in pages:
        method, blank = page.basis.method, page.basis.blank
        artworks = list_artwork(method, blank, page.price_list.sizes)
        made = Plain(method, grid=method.grid and PlainGrid(method.grid))
        piece = Plain(blank, prices=PlainGrid(blank.prices))
        prices, margins = [], []
        for at in range(artworks.width.size):
            width, height = float(artworks.width[at]), float(artworks.height[at])
            stitches = artworks.stitches
            if stitches is not None:
                stitches = float(stitches[at])
            elif method.density is not None:
                stitches = width * height * method.density.filled * method.density.stitches
            for start, end in zip(starts, ends, strict=True):
                costs = [
                    cost_of_order(shop, made, piece, (width, height, stitches), quantity)
                    for quantity in range(start, end + 1)
                ]
                need = (costs[0] + fixed) / start / (1 - share - target)
                for quantity, cost in enumerate(costs, start):
                    need = max(need, (cost + fixed) / quantity / (1 - share - floor_))
                price = ceil(round(need / step, 6)) * step
                worst = min(
                    1 - (cost + fixed) / (price * quantity) - share
                    for quantity, cost in enumerate(costs, start)
                )
                prices.append(price)
                margins.append(worst)
        book.append((prices, margins, better_off(prices, starts, ends)))
    return book


def better_off(prices, starts, ends):
    """The first quantity of every cell from which buying a later tier costs no more."""
    found, tiers = [], len(starts)
    for at in range(0, len(prices), tiers):
        row = prices[at : at + tiers]
        for tier in range(tiers - 1):
            bill = min(starts[later] * row[later] for later in range(tier + 1, tiers))
            from_ = max(ceil(round(bill / row[tier], 9)), starts[tier])
            found.append(from_ if from_ <= ends[tier] else None)
    return found
