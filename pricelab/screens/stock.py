"""The owner's panel on stock: how many of an evergreen design to order at a time."""

import numpy as np

from pricelab.analysis.month import pieces_a_year
from pricelab.analysis.stock import Stock, Stocking
from pricelab.files.shop_folder import ShopFolder
from pricelab.pictures.stock_cost import STOCK_COST, StockCost
from pricelab.screens.controls import Choice, SideBox, Slide
from pricelab.screens.html import table
from pricelab.screens.panel import Panel, Shown, View
from pricelab.screens.sides import Sides
from pricelab.shop.errors import PricelabError
from pricelab.shop.figures import number
from pricelab.shop.grids import Grid
from pricelab.shop.sizes import size_of


class StockPanel(Panel):
    """A bought decoration or a blank, ordered for stock off its supplier's real prices."""

    def __init__(self, folder: ShopFolder):
        shop = self._shop = folder.shop
        self._goods = _goods(shop)
        if not self._goods:
            raise PricelabError("Nothing in this shop is bought by the piece.")
        self.goods = Choice("Ordered for stock", {k: k for k in self._goods}, width="220px")
        self.sides = Sides(shop.unit)
        money = shop.currency
        a_year = pieces_a_year(folder.jobs, list(shop.methods)[:1]) or 1_000
        self.demand = Slide("Pieces a year", a_year, (0, 10_000, 1_000_000))
        self.order_cost = Slide("An order costs", 25.0, (0.5, 200, 1e5), money, step=0.5)
        self.holding = Slide("Stock costs, of its price a year", 30, (1, 100, 200), "%")
        schemes = {"all pieces of the order": False, "only those beyond it": True}
        self.scheme = SideBox("A break's price holds for", schemes)
        self.picture, self.said, self.table = View(STOCK_COST, "stock-cost"), Shown(), Shown()
        self.lay_out(
            [self.goods, *self.sides.controls, self.scheme],
            [self.demand, self.order_cost, self.holding],
            self.picture,
            self.said,
            self.table,
        )

    def update(self) -> None:
        """Find the order that a year costs least with, and show the curve."""
        grid, band = self._row()
        breaks, demand = grid.breaks, float(self.demand.value)
        how = float(self.order_cost.value), self.holding.value / 100
        with self.answering(self.demand):
            prices, by_step = grid.prices[band], self.scheme.value
            stock = Stock(breaks, prices, demand, *how, by_increments=by_step)
        best = stock.best_packs(grid.pack)
        last = int(max(breaks[-1] * 1.2, best.quantity * 2, breaks[0] * 4))
        quantities = _curve(int(breaks[0]), last, breaks)
        curve, marks = stock.year(quantities).cost, stock.year(breaks).cost
        name, money = self.goods.value.partition(",")[0], self._shop.currency
        values = StockCost(name, money, quantities, curve, breaks, marks, best, demand)
        shown = self.picture.draw(values)
        self._say(best, stock.best(), grid)
        caption = "Orders of the supplier's breaks, and the best"
        self.table.write(table(shown.columns, shown.rows, caption=caption))

    def _row(self) -> tuple[Grid, int]:
        """The supplier's prices and the row of them that the size takes."""
        grid = self._goods[self.goods.value]
        for control in self.sides.controls:
            control.show(grid.measure.has_unit)
        if not grid.measure.has_unit:
            return grid, 0
        with self.answering(self.sides.width):
            size = size_of(self.sides.artwork, grid.measure, grid.unit)
            return grid, int(grid.band_of(size))

    def _say(self, best: Stocking, rule: Stocking, grid: Grid) -> None:
        money = self._shop.money
        pack = f" in packs of {number(grid.pack)}" if grid.pack > 1 else ""
        said = [
            f"A year costs {money(best.purchases)} for the pieces, {money(best.orders)} for "
            f"ordering and {money(best.holding)} for holding them.",
            f"Looked for among whole pieces{pack}, from the supplier's minimum of "
            f"{number(int(grid.breaks[0]))} on. The textbook's formula, which knows neither, says "
            f"{number(round(rule.quantity, 1))} pieces and {money(rule.cost)}.",
            "Holding is money tied up, room, and the risk that the design goes out of fashion: it "
            "is yours to judge.",
        ]
        self.said.say_each(said)


def _goods(shop) -> dict[str, Grid]:
    """What is bought by the piece, by name: decorations by the size, then blanks."""
    bought = [m for m in shop.methods.values() if m.grid is not None and not m.grid.by_stitches]
    goods = {method.name: method.grid for method in bought}
    return goods | {blank.name: blank.prices for blank in shop.blanks.values()}


def _curve(first: int, last: int, breaks) -> np.ndarray:
    """Quantities fine enough for a curve by ratio, the breaks and their last pieces among them."""
    spread = np.geomspace(max(first, 1), last, 240)
    edges = np.concatenate([breaks, breaks[1:] - 1])
    return np.unique(np.concatenate([spread.round(), edges[(edges >= first) & (edges <= last)]]))
