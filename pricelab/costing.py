"""What an order of q good pieces costs: a cost sheet, line by line, at any quantities and sizes.

A sheet is a set of lines, each a rate times a driver quantity on one level of the cost
hierarchy (piece, batch, order, design). Lines keep the smallest shape that holds them
(a freight charge is one number, a blank's cost hangs on quantity alone), so a sheet over
millions of (size, quantity) pairs is added up in a few passes over memory.

Where the rules leave a choice, this module takes it as follows:

* *Spoilage.* Of pieces started a share p is lost; each good piece needs p / (1 − p) more.
  Those extra pieces are charged for the blank, the decoration, the methods' consumables
  and the minutes a piece, at the unit prices of the order's own quantity, on top of the
  quantity billed (a surplus under a supplier's minimum is worth nothing). With several
  decorations the pieces pass them in the order given: each must start what the later
  ones will lose too, and the blanks what all of them will lose.
* *Batches* and roll rows count good pieces; an extra piece of vinyl takes its share of a row.
* *Shop-wide* charges a piece (a bag, a label) are for good pieces; a method's are for all started.
* *Overhead* is recovered on attended minutes, or on the minutes that machines are occupied,
  and stands on the level of the work it follows.
"""

from collections.abc import Iterable

import numpy as np

from pricelab.costsheet import OPERATOR, Cell, CostSheet, Line
from pricelab.errors import NotPossible
from pricelab.grids import PER_THOUSAND_STITCHES, Grid
from pricelab.nesting import feed
from pricelab.orders import Decoration, Order, obstacles
from pricelab.shop import Blank, Charge, Element, Level, Method, Operation, Shop
from pricelab.sizes import Artwork, Measure, size_of
from pricelab.spoilage import extra_share


def cost_sheet(shop: Shop, order: Order) -> CostSheet:
    """The cost sheet of `order` in `shop`.

    Sizes and quantities broadcast: artworks given as a column (n, 1) meet quantities
    (m,) in a mesh (n, m). Raises `NotPossible` if any size cannot be made or bought; ask
    `obstacles` first to leave those out.
    """
    reasons = obstacles(order)
    if (reasons != "").any():
        raise NotPossible(str(reasons[reasons != ""].reshape(-1)[0]))
    clerk = _Clerk(shop, order)
    for blank, quantity in order.pieces:
        clerk.buy_blanks(blank, quantity)
    for at, decoration in enumerate(order.decorations):
        clerk.decorate(decoration, extra_share(*clerk.spoilage[at:]))
    clerk.run(shop.operations, "", clerk.extra)
    clerk.charge(shop.charges, "", 0.0)
    return clerk.sheet()


class _Clerk:
    """Writes the lines of one order; its state is the sheet being written."""

    def __init__(self, shop: Shop, order: Order):
        self.shop, self.order, self.quantity = shop, order, order.quantity
        self.spoilage = [d.method.spoilage for d in order.decorations]
        self.extra = extra_share(*self.spoilage)
        self.order_up = shop.order_up if order.order_up is None else order.order_up
        self.lines: list[Line] = []
        self.minutes: dict[str, np.ndarray] = {OPERATOR: 0.0}
        self.overhead_minutes: dict[Level, np.ndarray] = {}
        self.notes: list[str] = []

    def sheet(self) -> CostSheet:
        for level, spent in self.overhead_minutes.items():
            rates = self.shop.rates
            self._add(
                level, Element.OVERHEAD, f"overhead on {rates.overhead_on} minutes", spent,
                "minutes", rates.overhead / 60,
            )  # fmt: skip
        shape = np.broadcast_shapes(self.order.artwork_shape, np.shape(self.quantity))
        notes = tuple(dict.fromkeys(self.notes))
        return CostSheet(tuple(self.lines), self.minutes, self.quantity, shape, notes)

    # ---- what is bought ---------------------------------------------------------------

    def buy_blanks(self, blank: Blank, quantity):
        self._buy(blank.prices, np.zeros(()), quantity, Element.BLANK, blank.name, self.extra)

    def decorate(self, decoration: Decoration, extra: float):
        method = decoration.method
        artwork = decoration.counted
        if decoration.estimated:
            self.notes.append(f"{method.name}: stitches are estimated from the filled area.")
        if method.grid is not None:
            self._buy_decoration(method, artwork, extra)
        if method.stitching is not None:
            self._stitch(method, artwork, extra)
        if method.roll is not None:
            self._cut(method, artwork, extra)
        setup = method.setup_due(self.order.first, self.order.on)
        self._add(
            Level.DESIGN, Element.SET_UP, f"{method.name}: set-up", 1, "artwork", setup,
            place=method.place,
        )  # fmt: skip
        self.run(method.operations, f"{method.name}: ", extra)
        self.charge(method.charges, f"{method.name}: ", extra)

    def _buy_decoration(self, method: Method, artwork: Artwork, extra: float):
        grid = method.grid
        thousands = None
        if grid.per == PER_THOUSAND_STITCHES:
            thousands = size_of(artwork, Measure.THOUSAND_STITCHES, None)
        size = size_of(artwork, grid.measure, grid.unit)
        self._buy(grid, size, self.quantity, Element.DECORATION, method.name, extra, thousands)

    def _buy(self, grid: Grid, size, quantity, element: Element, name: str, extra, thousands=None):
        """A purchase off a grid: pieces billed, spoiled pieces, and what a surplus is worth."""
        bought = grid.buy(size, quantity, order_up=self.order_up)
        rate = bought.unit_price if thousands is None else bought.unit_price * thousands
        cell = Cell(grid, grid.band_of(size), grid.break_of(bought.billed))
        lines = [
            (name, bought.billed, False),
            (f"{name}: spoiled pieces, expected", quantity * extra, True),
        ]
        if self.shop.surplus_worth:
            worth = -self.shop.surplus_worth * bought.surplus
            lines.append((f"{name}: worth of the surplus", worth, False))
        for label, pieces, spoiled in lines:
            self._add(
                Level.PIECE, element, label, pieces, "pieces", rate, spoiled=spoiled, cell=cell
            )
        if not self.order_up and not np.ndim(size) and not np.ndim(quantity):
            better, saving = grid.order_up(size, quantity)
            if saving:
                self.notes.append(
                    f"{name}: buying {better} instead of {quantity} would cost "
                    f"{saving:.{self.shop.decimals}f} less."
                )

    # ---- what is made -----------------------------------------------------------------

    def _stitch(self, method: Method, artwork: Artwork, extra: float):
        machine, name = method.stitching, method.name
        thousands = size_of(artwork, Measure.THOUSAND_STITCHES, None)
        for label, share, spoiled in (("thread", 1.0, False), ("spoiled thread", extra, True)):
            self._add(
                Level.PIECE, Element.DECORATION, f"{name}: {label}", self.quantity * share,
                "pieces", machine.thread * thousands, spoiled=spoiled, place=machine.place,
            )  # fmt: skip
        stitching = Operation(
            "stitching", 1.0, Level.PIECE, attended=machine.attended, station=machine.station,
            place=machine.place,
        )  # fmt: skip
        self._work(stitching, f"{name}: ", extra, thousands * 1000 / machine.speed / machine.heads)
        changes = np.maximum(np.asarray(artwork.colours) - 1, 0) * machine.change
        if np.any(changes):
            changing = Operation(
                "thread changes", 1.0, Level.BATCH, machine.heads, True, machine.station,
                machine.place,
            )  # fmt: skip
            self._work(changing, f"{name}: ", extra, changes)

    def _cut(self, method: Method, artwork: Artwork, extra: float):
        roll, name = method.roll, method.name
        width, height = artwork.in_unit(roll.unit)
        run = feed(roll, width, height, self.quantity)
        rate = roll.price * run.row_length * artwork.colours
        rows_of_extra = self.quantity * extra / run.across
        for level, label, rows, spoiled in (
            (Level.BATCH, "roll fed", run.rows, False),
            (Level.PIECE, "roll for spoiled pieces, expected", rows_of_extra, True),
        ):
            self._add(
                level, Element.DECORATION, f"{name}: {label}", rows, "rows", rate,
                spoiled=spoiled, place=method.place,
            )  # fmt: skip

    # ---- work and charges -------------------------------------------------------------

    def run(self, operations: Iterable[Operation], prefix: str, extra: float):
        """Minutes of a list of operations, and the labour of the attended ones."""
        for operation in operations:
            self._work(operation, prefix, extra, operation.minutes)

    def _work(self, operation: Operation, prefix: str, extra: float, minutes):
        times = self._times(operation.per, operation.batch)
        if times is None:
            return
        shares = [("", 1.0, False)]
        if operation.per is Level.PIECE:
            shares.append((", spoiled pieces, expected", extra, True))
        for label, share, spoiled in shares:
            spent = minutes * (times * share)
            if operation.station:
                self._busy(operation.station, spent)
            if operation.attended:
                self._busy(OPERATOR, spent)
                self._add(
                    operation.per, Element.LABOUR, f"{prefix}{operation.name}{label}", spent,
                    "minutes", self.shop.rates.labour / 60, spoiled=spoiled,
                    place=operation.place,
                )  # fmt: skip
            on_machine = self.shop.rates.overhead_on == "machine"
            if operation.station if on_machine else operation.attended:
                kept = self.overhead_minutes.get(operation.per, 0.0)
                self.overhead_minutes[operation.per] = kept + spent

    def charge(self, charges: Iterable[Charge], prefix: str, extra: float):
        """Charges of a list on piece, batch, order and design level."""
        for charge in charges:
            times = self._times(charge.level, charge.batch)
            if times is None:
                continue
            self._charge(charge, prefix, times, False)
            if charge.level is Level.PIECE:
                self._charge(charge, prefix, times * extra, True)

    def _charge(self, charge: Charge, prefix: str, times, spoiled: bool):
        label = f"{prefix}{charge.name}" + (", spoiled pieces, expected" if spoiled else "")
        unit = {Level.PIECE: "pieces", Level.BATCH: "batches"}.get(charge.level, charge.level.value)
        self._add(
            charge.level, charge.element, label, times, unit, charge.amount,
            spoiled=spoiled, place=charge.place,
        )  # fmt: skip

    def _times(self, level: Level, batch: int):
        """How often something of a level happens in the order; None if it is not the order's."""
        if level is Level.PIECE:
            return self.quantity
        if level is Level.BATCH:
            return -(-self.quantity // batch)
        if level is Level.ORDER:
            return 1
        return 1 if level is Level.DESIGN and self.order.first else None

    def _busy(self, who: str, minutes):
        self.minutes[who] = self.minutes.get(who, 0.0) + minutes

    def _add(
        self, level, element, label, quantity, unit, rate, *, spoiled=False, place=None, cell=None
    ):
        nothing = [x for x in (quantity, rate) if not np.ndim(x) and not x]
        if not nothing:  # a line that costs nothing is no line
            self.lines.append(
                Line(level, element, label, quantity, unit, rate, spoiled, place, cell)
            )
