"""The owner's panel on a supplier's new prices: every cell of today's lists that they touch."""

from pathlib import Path

import numpy as np

from pricelab.files.clock import today
from pricelab.files.grid_file import read_grid
from pricelab.files.records.book import Records
from pricelab.files.shop_folder import ShopFolder
from pricelab.files.source import inner_file
from pricelab.jobs.quotes import touched_quotes
from pricelab.lists.supplier_change import (
    SupplierChange,
    raised,
    supplier_change,
    with_blank_prices,
    with_grid,
)
from pricelab.lists.typical_quantity import weights_of
from pricelab.screens.controls import Choice, SideBox, Slide, Typed
from pricelab.screens.html import sentence
from pricelab.screens.panel import Panel, Shown
from pricelab.screens.price_table import show_prices
from pricelab.shop.errors import NotPossible, PricelabError
from pricelab.shop.figures import percent, points
from pricelab.shop.grids import Grid
from pricelab.shop.price_list import PriceList
from pricelab.shop.shop import Shop
from pricelab.words.findings import day, name_of, say_change

SHARE, FILE = "share", "file"
METHOD, BLANK = "method", "blank"

_CELLS_TOLD = 6
"""More sentences than this nobody reads; the table has every cell."""


class SupplierPanel(Panel):
    """Judges today's lists before and after a supplier's change, with what to charge instead."""

    def __init__(self, folder: ShopFolder):
        self._folder, shop = folder, folder.shop
        listed = {one.method for one in folder.price_lists}
        worn = {one.blank for one in folder.price_lists}
        goods = {m.name: (METHOD, k) for k, m in shop.methods.items() if m.grid and k in listed}
        goods |= {b.name: (BLANK, k) for k, b in shop.blanks.items() if k in worn}
        if not goods:
            raise PricelabError(
                "There is no price list yet that a supplier's new prices could touch. Save one in "
                "1 Price list first."
            )
        self._named = {good: name for name, good in goods.items()}
        self.goods = Choice("Whose prices change", goods, width="280px")
        self.how = SideBox("They change", {"all by a share": SHARE, "to a new price file": FILE})
        self.share = Slide("All prices by", 8.0, (-90.0, 50.0, 300.0), "%", step=0.5)
        self.file = Typed("File in your shop's folder", self._read, "", width="240px")
        self.list = Choice("Look at the list", {"": 0}, width="340px")
        self.summary, self.table, self.said, self.open_quotes = (Shown() for _ in range(4))
        self.lay_out(
            [self.goods, self.how, self.share, self.file],
            self.summary,
            [self.list],
            self.table,
            self.said,
            self.open_quotes,
        )

    def _read(self, said: str) -> Grid | None:
        """The grid in a file of the shop's folder; None while none is named."""
        if not said.strip():
            return None
        path = inner_file(Path(self._folder.folder), said.strip())
        if path is None:
            raise PricelabError(
                f'Found no file "{said.strip()}" in your shop\'s folder. Put the new price file '
                "there and write its name, such as grids/new-prices.csv."
            )
        return read_grid(path)[0]

    def _changed(self) -> tuple[Shop, str]:
        """The shop with the new prices, and the change in words."""
        shop, (kind, key) = self._folder.shop, self.goods.value
        if self.how.value == FILE:
            grid = self.file.value
            if grid is None:
                raise PricelabError("Write the name of the new price file.")
            if kind == BLANK:
                raise PricelabError(
                    "A price file is for a decoration's grid. For a blank, change all prices by a "
                    "share, or write its new prices into blank_prices.csv."
                )
            return with_grid(shop, key, grid), "at the new file's prices"
        share, of_blank = self.share.value / 100, kind == BLANK
        prices = shop.blanks[key].prices if of_blank else shop.methods[key].grid
        prices = raised(prices, share, shop.decimals)
        changed = (with_blank_prices if of_blank else with_grid)(shop, key, prices)
        way = "up" if share >= 0 else "down"
        return changed, f"with all its prices {percent(abs(share))} {way}"

    def update(self) -> None:
        """Judge every list that the change touches; show one of them cell by cell."""
        by_file = self.how.value == FILE
        self.file.show(by_file)
        self.share.show(not by_file)
        with self.answering(self.file if by_file else self.share):
            changed, words = self._changed()
        kind, key = self.goods.value
        touched = [one for one in self._folder.price_lists if getattr(one, kind) == key]
        names = [name_of(changed, one) for one in touched]
        judged = [self._judge(changed, one) for one in touched]
        self._sum_up(names, judged, f"{self._named[kind, key]} {words}")
        self.list.offer({name: at for at, name in enumerate(names)})
        self._show_list(changed, judged[self.list.value])
        self._tell_quotes(changed)

    def _judge(self, changed: Shop, one: PriceList) -> SupplierChange | NotPossible:
        """The list before and after, or why nothing of it can be bought any more."""
        try:
            weights = weights_of(self._folder, one)
            return supplier_change(self._folder.shop, changed, one, weights)
        except NotPossible as error:
            return error

    def _sum_up(self, names, judged, words: str) -> None:
        columns = ("List", "Prices that held", "Stop holding", "Margins move by")
        rows, broken, holding = [], 0, 0
        for name, change in zip(names, judged, strict=True):
            if isinstance(change, NotPossible):
                told = ("none can be bought", sentence(change), "")
            else:
                stops, held = int(change.stops_holding.sum()), int(change.before.holding.sum())
                broken, holding = broken + stops, holding + held
                moved = " to ".join(points(x(change.margin_change)) for x in (np.min, np.max))
                told = (f"{held - stops} of {held} still hold", str(stops), moved)
            rows.append(dict(zip(columns, (name, *told), strict=True)))
        finding = f"{words}: every price that held still holds"
        if broken:
            finding = f"{words}: {broken} of the {holding} prices that held stop holding"
        self.summary.tabulate(finding, rows, title="finding")

    def _show_list(self, changed: Shop, change: SupplierChange | NotPossible) -> None:
        if isinstance(change, NotPossible):
            self.table.say(sentence(change))
            self.said.write("")
            return
        after, instead = change.after, change.instead
        show_prices(self.table, after, changed, beside=instead, named="the mended list")
        said = [sentence(words) for words in say_change(change, changed)[1:]]
        if len(said) > _CELLS_TOLD:
            left = len(said) - _CELLS_TOLD
            said[_CELLS_TOLD:] = [f"And {left} more, with their prices in the table above."]
        self.said.say_each(said or ["No price of this list that held stops holding."])

    def _tell_quotes(self, changed: Shop) -> None:
        """The open quotes that the change touches: their prices stand until they end."""
        shop, records = self._folder.shop, Records(self._folder.folder)
        kept = records.quotes()
        quotes = [records.quote(number) for number in kept.loc[kept["status"] == "open", "number"]]
        touched = touched_quotes(shop, changed, quotes, today())
        if not touched:
            self.open_quotes.say("No open quote in your book of records is touched.", "side")
            return
        floor = shop.pricing.floor
        under = sum(one.falls_under(floor) for one in touched)
        said = f"Of {len(touched)} open quotes touched, {under} fall under the floor"
        rows = [
            {
                "Quote": one.quote.number,
                "For": one.quote.client,
                "Holds until": day(one.quote.valid_until),
                "Leaves today": percent(one.before),
                "Would leave": one.reason or percent(one.after),
            }
            for one in touched
        ]
        self.open_quotes.tabulate(f"{said} of {percent(floor)}", rows, title="finding")
