"""The owner's panel on a supplier's new prices: every cell of today's lists that they touch."""

from pathlib import Path

from pricelab.files.clock import today
from pricelab.files.grid_file import read_grid
from pricelab.files.records.book import Records
from pricelab.files.shop_folder import ShopFolder
from pricelab.files.source import inner_file
from pricelab.jobs.quotes import touched_quotes
from pricelab.lists.supplier_change import (
    SupplierChange,
    change_between,
    check_grid,
    raised,
    with_blank_prices,
    with_grid,
)
from pricelab.lists.typical_quantity import weights_of
from pricelab.pictures.picture import Description
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
        goods = {
            m.name: (METHOD, key)
            for key, m in shop.methods.items()
            if m.grid is not None and key in listed
        } | {b.name: (BLANK, key) for key, b in shop.blanks.items() if key in worn}
        if not goods:
            raise PricelabError(
                "There is no price list yet that a supplier's new prices could touch. Save one in "
                "1 Price list first."
            )
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
            check_grid(shop.methods[key], grid)
            return with_grid(shop, key, grid), "at the new file's prices"
        share = self.share.value / 100
        words = f"with all its prices {percent(abs(share))} {'up' if share >= 0 else 'down'}"
        if kind == BLANK:
            prices = raised(shop.blanks[key].prices, share, shop.decimals)
            return with_blank_prices(shop, key, prices), words
        prices = raised(shop.methods[key].grid, share, shop.decimals)
        return with_grid(shop, key, prices), words

    def update(self) -> None:
        """Judge every list that the change touches; show one of them cell by cell."""
        by_file = self.how.value == FILE
        self.file.show(by_file)
        self.share.show(not by_file)
        with self.answering(self.file if by_file else self.share):
            changed, words = self._changed()
        shop, (kind, key) = self._folder.shop, self.goods.value
        touched = [
            one
            for one in self._folder.price_lists
            if (one.method if kind == METHOD else one.blank) == key
        ]
        judged = [(one, *self._judge(changed, one)) for one in touched]
        self._sum_up(judged, words)
        self.list.offer({name_of(shop, one): at for at, one in enumerate(touched)})
        self._show_list(changed, *judged[self.list.value])
        self._tell_quotes(changed)

    def _judge(self, changed: Shop, one: PriceList) -> tuple[SupplierChange | None, str]:
        weights = weights_of(self._folder, one)
        try:
            return change_between(self._folder.shop, changed, one, weights), ""
        except NotPossible as error:
            return None, str(error)

    def _sum_up(self, judged, words: str) -> None:
        shop, goods = self._folder.shop, dict(map(reversed, self.goods.widget.options))
        name = goods[self.goods.value]
        rows, broken, holding = [], 0, 0
        for one, change, why in judged:
            if change is None:
                rows.append((name_of(shop, one), "none can be bought", sentence(why), ""))
                continue
            stops, moved = int(change.stops_holding.sum()), change.margin_change
            held = int(change.before.holding.sum())
            broken, holding = broken + stops, holding + held
            rows.append(
                (
                    name_of(shop, one),
                    f"{held - stops} of {held} still hold",
                    f"{stops}",
                    f"{points(moved.min())} to {points(moved.max())}",
                )
            )
        finding = f"{name} {words}: {broken} of the {holding} prices that held stop holding"
        if not broken:
            finding = f"{name} {words}: every price that held still holds"
        columns = ("List", "Prices that held", "Stop holding", "Margins move by")
        self.summary.tabulate(Description(finding, columns, tuple(rows)), title="finding")

    def _show_list(self, changed: Shop, one: PriceList, change, why: str) -> None:
        if change is None:
            self.table.say(sentence(why))
            self.said.write("")
            return
        after, instead = change.after, change.instead
        show_prices(self.table, after, changed, beside=instead, named="the mended list")
        said = [sentence(words) for words in say_change(change, changed)[1:]]
        said = said or ["No price of this list that held stops holding."]
        if len(said) > _CELLS_TOLD:
            left = len(said) - _CELLS_TOLD
            said = [*said[:_CELLS_TOLD], f"And {left} more, with their prices in the table above."]
        self.said.say_each(said)

    def _tell_quotes(self, changed: Shop) -> None:
        """The open quotes that the change touches: their prices stand until they end."""
        shop, records = self._folder.shop, Records(self._folder.folder)
        kept = records.quotes()
        numbers = kept.loc[kept["status"] == "open", "number"]
        quotes = [records.quote(number) for number in numbers]
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
        told = Description.of(f"{said} of {percent(floor)}", rows)
        self.open_quotes.tabulate(told, title="finding")
