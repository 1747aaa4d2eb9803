"""What an order of q good pieces costs: a cost sheet, line by line, at any quantities and sizes.

A sheet is a set of lines, each a rate times a driver quantity on one level of the cost
hierarchy (piece, batch, order, design). Lines keep the smallest shape that holds them
(a freight charge is one number, a blank's cost hangs on quantity alone), so a sheet over
millions of (size, quantity) pairs is added up in a few passes over memory.

Where the rules leave a choice, this module takes it as follows:

* *Spoilage.* Of pieces started a share p is lost; each good piece needs p / (1 − p) more.
  Those extra pieces are charged for the blank, the decoration, the methods' consumables
  and the minutes a piece, at the unit prices of the order's own quantity. Of what is bought,
  a surplus (a supplier's minimum, a pack, buying up) replaces them first: only what it does
  not cover is charged on top of the quantity billed, and only what is then left is worth the
  owner's share of its price. With several
  decorations the pieces pass them in the order given: each must start what the later
  ones will lose too, and the blanks what all of them will lose.
* *Batches* and roll rows count good pieces; an extra piece of vinyl takes its share of a row.
* *Two decorations by one method* are two settings of one order: what the method charges by the
  order (its supplier's freight) is due once, its operations by the order for each.
* *Shop-wide* charges a piece (a bag, a label) are for good pieces; a method's are for all started.
* *Overhead* is recovered on attended minutes, or on the minutes that machines are occupied,
  and stands on the level of the work it follows.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

import numpy as np

from pricelab.cost.cost_sheet import CostSheet, Line, Work
from pricelab.cost.orders import Decoration, Order, check_possible
from pricelab.cost.spoilage import extra_share
from pricelab.shop.charges import Charge, Element, Level
from pricelab.shop.grids import PER_THOUSAND_STITCHES, Grid
from pricelab.shop.method import Method, Stitching
from pricelab.shop.money import show_money
from pricelab.shop.nesting import Roll, feed
from pricelab.shop.shop import Shop
from pricelab.shop.sizes import Artwork, Measure, size_of
from pricelab.shop.work import Operation, Rates


def cost_sheet(shop: Shop, order: Order) -> CostSheet:
    """The cost sheet of `order` in `shop`.

    Its figures are of `order.shape`: artworks down, quantities across. Raises `NotPossible`
    if any size cannot be made or bought; ask `obstacles` first to leave those out.
    """
    check_possible(order)
    return blanks_sheet(shop, order) + decorating_sheet(shop, order)


def blanks_sheet(shop: Shop, order: Order) -> CostSheet:
    """The blanks' part of a cost sheet: it hangs on the quantities and on the spoilage."""
    run, lines, notes = _Run.of(shop, order), [], []
    for blank, quantity in order.pieces:
        own = replace(run, quantity=quantity)
        lines += _bought(shop, blank.prices, 0.0, own, Element.BLANK, blank.name, notes)
    return _sheet(lines, [], notes, order, np.shape(order.quantity))


def decorating_sheet(shop: Shop, order: Order) -> CostSheet:
    """All the rest of a cost sheet: it is the same on whatever blanks the pieces are."""
    whole = _Run.of(shop, order)
    lines, notes, work = [], [], work_in(shop, order)
    ordered = set()
    for decoration, run in _runs(order, whole):
        method = decoration.method
        lines += _decoration(shop, decoration, run, notes)
        lines.append(_set_up(method, order))
        due = (x for x in method.charges if x.level is not Level.ORDER or method.key not in ordered)
        lines += _charges(due, method.name, run)
        ordered.add(method.key)
    lines += _charges(shop.charges, None, replace(whole, extra=0.0))
    lines += _labour(work, shop.rates)
    lines += _overhead(work, shop.rates)
    return _sheet(lines, work, notes, order, order.shape)


def shop_sheet(shop: Shop, order: Order) -> CostSheet:
    """The part of the rest that is the shop's own, whatever decorates the pieces."""
    whole = _Run.of(shop, order)
    work = list(_work(shop.operations, None, whole))
    lines = [*_charges(shop.charges, None, replace(whole, extra=0.0)), *_labour(work, shop.rates)]
    lines += _overhead(work, shop.rates)
    return _sheet(lines, work, [], order, np.shape(order.quantity))


def work_in(shop: Shop, order: Order) -> list[Work]:
    """The work in an order, by the shop's own times: its methods' first, then the shop's."""
    whole = _Run.of(shop, order)
    work = [w for decoration, run in _runs(order, whole) for w in _decorating(decoration, run)]
    return [*work, *_work(shop.operations, None, whole)]


def _runs(order: Order, whole: "_Run") -> Iterator[tuple[Decoration, "_Run"]]:
    """Each decoration with the pieces it is put on: what it and the later ones spoil too."""
    spoilage = [decoration.method.spoilage for decoration in order.decorations]
    for at, decoration in enumerate(order.laid_out):
        yield decoration, replace(whole, extra=extra_share(*spoilage[at:]))


def _sheet(lines, work, notes, order: Order, shape) -> CostSheet:
    """A sheet of the lines that cost anything; an array is taken to."""
    costly = tuple(line for line in lines if _counts(line.rate) and _counts(line.each))
    return CostSheet(costly, tuple(work), order.quantity, shape, tuple(dict.fromkeys(notes)))


def _counts(factor) -> bool:
    return bool(getattr(factor, "ndim", 0) or factor)


@dataclass(frozen=True, eq=False)
class _Run:
    """Good pieces wanted and the share started beyond them; how the order is bought."""

    quantity: np.ndarray
    extra: float
    first: bool
    order_up: bool
    paired: bool

    @classmethod
    def of(cls, shop: Shop, order: Order) -> "_Run":
        extra = extra_share(*(decoration.method.spoilage for decoration in order.decorations))
        order_up = shop.order_up if order.order_up is None else order.order_up
        return cls(order.quantity, extra, order.first, order_up, order.paired)

    def times(self, level: Level, batch: int):
        """How often something of a level happens in the order; None if it is not the order's."""
        if level is Level.PIECE:
            return self.quantity
        if level is Level.BATCH:
            return -(-self.quantity // batch)
        if level is Level.ORDER or (level is Level.DESIGN and self.first):
            return 1
        return None


_SPOILED = ", expected spoiled pieces"


def _with_spoiled(run: _Run, line: Line | Work) -> Iterator[Line | Work]:
    """A line and, on piece level, one more of its kind for the pieces expected to be spoiled."""
    yield line
    if line.level is Level.PIECE and run.extra:
        label, each = f"{line.label}{_SPOILED}", line.each * run.extra
        yield replace(line, label=label, each=each, spoiled=True)


# ---- what is bought and made ----------------------------------------------------------


def _decoration(shop: Shop, decoration: Decoration, run: _Run, notes: list) -> Iterator[Line]:
    method, artwork = decoration.method, decoration.counted
    if decoration.estimated:
        notes.append(f"{method.name}: stitches are estimated from the filled area.")
    if method.grid is not None:
        grid = method.grid
        size = size_of(artwork, grid.measure, grid.unit)
        each, unit = 1.0, "pieces"
        if grid.by_thousand:
            each, unit = size_of(artwork, Measure.THOUSAND_STITCHES, None), grid.per
        yield from _bought(
            shop, grid, size, run, Element.DECORATION, method.name, notes, each, unit
        )
    if method.stitching is not None:
        yield from _thread(method.stitching, method.name, artwork, run)
    if method.roll is not None:
        yield from _cut(method.roll, method.name, artwork, run)


def _bought(
    shop, grid: Grid, size, run: _Run, element: Element, name: str, notes, each=1.0, unit="pieces"
) -> Iterator[Line]:
    """A purchase off a grid: pieces billed, spoiled pieces on top, and what is left over."""
    bought = grid.buy(size, run.quantity, order_up=run.order_up, paired=run.paired)
    bought = replace(bought, spoiled=run.quantity * run.extra)
    line = Line(
        *(Level.PIECE, element, name),
        *(bought.billed, each, unit, bought.unit_price),
        bought=bought,
    )
    yield line
    if run.extra:
        label = f"{name}{_SPOILED}"
        yield replace(line, label=label, times=bought.on_top, spoiled=True)
    if shop.surplus_worth:
        label, worth = f"{name}, worth of the surplus", -shop.surplus_worth * each
        yield replace(line, label=label, times=bought.left_over, each=worth)
    if not run.order_up and not np.ndim(size) and not np.ndim(run.quantity):
        better, saving = grid.order_up(size, run.quantity)
        if saving:
            notes.append(
                f"{name}: buying {better} instead of {run.quantity} would cost "
                f"{show_money(saving * each, shop.currency)} less."
            )


def _thread(machine: Stitching, name: str, artwork: Artwork, run: _Run) -> Iterator[Line]:
    thousands = size_of(artwork, Measure.THOUSAND_STITCHES, None)
    drawn = run.quantity, thousands, PER_THOUSAND_STITCHES, machine.thread
    kind = Level.PIECE, Element.DECORATION, f"{name}: thread"
    return _with_spoiled(run, Line(*kind, *drawn, place=machine.place))


def _cut(roll: Roll, name: str, artwork: Artwork, run: _Run) -> Iterator[Line]:
    fed = feed(roll, *artwork.in_unit(roll.unit), run.quantity, paired=run.paired)
    row, drawn = fed.row_length * artwork.colours, (f"{roll.unit} of roll", roll.price)
    label, kind = f"{name}: roll", Element.DECORATION
    yield Line(Level.BATCH, kind, label, fed.rows, row, *drawn, place=roll.place)
    lost, label = row * run.extra / fed.across, f"{label}{_SPOILED}"
    yield Line(Level.PIECE, kind, label, run.quantity, lost, *drawn, True, roll.place)


def _set_up(method: Method, order: Order) -> Line:
    due, label = method.setup_due(order.first, order.on), f"{method.name}: set-up"
    kind = Level.DESIGN, Element.SET_UP, label
    return Line(*kind, 1, 1.0, _UNITS[Level.DESIGN], due, place=method.place)


def _charges(charges: Iterable[Charge], of: str | None, run: _Run) -> Iterator[Line]:
    for charge in charges:
        times = run.times(charge.level, charge.batch)
        if times is not None:
            kind = charge.level, charge.element, _named(of, charge.name)
            spent = times, 1.0, _UNITS[charge.level], charge.amount
            yield from _with_spoiled(run, Line(*kind, *spent, place=charge.place))


_UNITS = {
    Level.PIECE: "pieces",
    Level.BATCH: "batches",
    Level.ORDER: "order",
    Level.DESIGN: "artwork",
}


# ---- work -----------------------------------------------------------------------------


def _decorating(decoration: Decoration, run: _Run) -> Iterator[Work]:
    """The minutes of one decoration: its machine's own, then the method's operations."""
    method, artwork = decoration.method, decoration.counted
    machine = method.stitching
    if machine is not None:
        at = {"station": machine.station, "place": machine.place}
        stitching = Operation("stitching", 0.0, attended=machine.attended, **at)
        changing = Operation("thread changes", 0.0, Level.BATCH, machine.heads, **at)
        stitches = size_of(artwork, Measure.THOUSAND_STITCHES, None) * 1000
        yield from _worked(stitching, stitches / machine.speed / machine.heads, method.name, run)
        changes = np.asarray(artwork.colours) - 1
        if np.any(changes):
            yield from _worked(changing, changes * machine.change, method.name, run)
    yield from _work(method.operations, method.name, run)


def _work(operations: Iterable[Operation], of: str | None, run: _Run) -> Iterator[Work]:
    for operation in operations:
        yield from _worked(operation, operation.minutes, of, run)


def _worked(operation: Operation, minutes, of: str | None, run: _Run) -> Iterator[Work]:
    times = run.times(operation.per, operation.batch)
    if times is not None:
        spent = operation.per, _named(of, operation.name), times, minutes
        how = operation.attended, operation.station
        yield from _with_spoiled(run, Work(*spent, *how, place=operation.place))


def _labour(work: Iterable[Work], rates: Rates) -> Iterator[Line]:
    """Attended minutes at the loaded hourly rate."""
    for done in work:
        if done.attended:
            spent = done.times, done.each, "minutes", rates.labour / 60
            kind = done.level, Element.LABOUR, done.label
            yield Line(*kind, *spent, done.spoiled, done.place)


def _overhead(work: Iterable[Work], rates: Rates) -> Iterator[Line]:
    """Overhead on attended or machine minutes, one line for each thing that minutes grow with."""
    spent: dict[tuple, list] = {}
    for done in work:
        if done.station if rates.overhead_on == "machine" else done.attended:
            key = (done.level, done.spoiled, id(done.times))
            held = spent.setdefault(key, [done.times, 0.0])
            held[1] = held[1] + done.each
    for (level, spoiled, _), (times, minutes) in spent.items():
        label = f"overhead on {rates.overhead_on} minutes{_SPOILED if spoiled else ''}"
        spent = times, minutes, "minutes", rates.overhead / 60
        yield Line(level, Element.OVERHEAD, label, *spent, spoiled)


def _named(of: str | None, name: str) -> str:
    return name if of is None else f"{of}: {name}"
