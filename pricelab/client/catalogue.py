"""What a client may see of a shop: names, limits, care, printed prices, and nothing else.

A `Counter` is made once from a shop's tables. Everything is put into it by name, so that
whatever a shop may come to hold later stays out until somebody lets it in: no cost, rate,
time, margin, finished job or place in a file. The client's screen is given a `Counter`
only, and what it does not have it cannot show, send or save.
"""

from dataclasses import dataclass, replace

import numpy as np

from pricelab.cost.price import setup_line
from pricelab.lists.selling_list import selling_list
from pricelab.shop.blank import Blank
from pricelab.shop.business import Business
from pricelab.shop.errors import PricelabError
from pricelab.shop.grids import Grid
from pricelab.shop.method import Method, Stitching
from pricelab.shop.nesting import Roll
from pricelab.shop.price_list import PriceList
from pricelab.shop.pricing_rules import PricingRules
from pricelab.shop.shop import Shop
from pricelab.shop.work import Rates


@dataclass(frozen=True, eq=False)
class Counter:
    """A shop without its costs, and what it asks: a printed list by (method, blank).

    Every list has its set-up line; `repeat_setup` is the shown price of setting an artwork
    up again, by method.
    """

    shop: Shop
    lists: dict[tuple[str, str], PriceList]
    repeat_setup: dict[str, float]

    @property
    def blanks(self) -> list[Blank]:
        """The blanks that any method is offered on, in the shop's order."""
        offered = {blank for _, blank in self.lists}
        return [blank for blank in self.shop.blanks.values() if blank.key in offered]

    @property
    def methods(self) -> list[Method]:
        """The methods that are offered on any blank, in the shop's order."""
        offered = {method for method, _ in self.lists}
        return [method for method in self.shop.methods.values() if method.key in offered]

    @property
    def most(self) -> int:
        """The largest order any list has a price for."""
        return max(listed.last for listed in self.lists.values())

    def short_name(self, key: str) -> str:
        """A method's name up to its comma, where that is enough to know it by."""
        names = {k: m.name.partition(",")[0] for k, m in self.shop.methods.items()}
        short = names[key]
        return short if list(names.values()).count(short) == 1 else self.shop.methods[key].name


def counter_of(business: Business) -> Counter:
    """What a client may see of the shop of a business.

    Prices are those of today's list; a method on a blank that it leaves out is priced by
    the list that `python -m pricelab plan` prints for it, or is not offered where none
    can be planned.
    """
    shop = business.shop
    lists = {}
    for method in shop.methods.values():
        for blank in shop.blanks.values():
            try:
                listed = selling_list(business, method, blank)
            except PricelabError:  # no size of it can go on this blank
                continue
            lists[method.key, blank.key] = replace(listed, sheet=None)
    if not lists:
        raise PricelabError(f"{shop.name} has nothing that can be offered: no method fits a blank.")
    again = {m.key: setup_line(shop, m, m.repeat_setup) or 0.0 for m in shop.methods.values()}
    return Counter(without_costs(shop), lists, again)


# ---- a shop without its costs ---------------------------------------------------------


def without_costs(shop: Shop) -> Shop:
    """The shop as a client may know it: what it makes and how it charges, not what it pays."""
    rules = shop.pricing
    return Shop(
        name=shop.name,
        currency=shop.currency,
        unit=shop.unit,
        rates=Rates(0.0),
        pricing=PricingRules(
            0.0, 0.0, rounding=rules.rounding, setup_apart=rules.setup_apart, tax=rules.tax
        ),
        methods={key: _method(method) for key, method in shop.methods.items()},
        blanks={key: _blank(blank) for key, blank in shop.blanks.items()},
        heat_unit=shop.heat_unit,
        notice=shop.notice,
        valid_days=shop.valid_days,
        conditions=shop.conditions,
        largest_order=shop.largest_order,
    )


def _method(method: Method) -> Method:
    """What a method is called, what it can take and how its goods are looked after."""
    return Method(
        key=method.key,
        name=method.name,
        unit=method.unit,
        grid=None if method.grid is None else _sizes_of(method.grid, method.name),
        stitching=None if method.stitching is None else Stitching(1.0, 1, 0.0),
        roll=None if method.roll is None else _roll(method.roll),
        density=method.density,
        max_width=method.max_width,
        max_height=method.max_height,
        min_side=method.min_side,
        heat=method.heat,
        care=method.care,
    )


def _sizes_of(grid: Grid, method: str) -> Grid:
    """The sizes a supplier makes, without its name, its breaks and its prices."""
    return Grid(
        f"what we have for {method}",
        grid.measure,
        grid.unit,
        grid.bands,
        [1],
        np.zeros((grid.bands.size, 1)),
        per=grid.per,
    )


def _roll(roll: Roll) -> Roll:
    return Roll(roll.width, roll.edge, roll.gap, 0.0, roll.unit)


def _blank(blank: Blank) -> Blank:
    return Blank(
        key=blank.key,
        name=blank.name,
        prices=Grid.by_quantity(f"what we have of {blank.name}", [1], [0.0]),
        panel_width=blank.panel_width,
        panel_height=blank.panel_height,
        unit=blank.unit,
        make_up=blank.make_up,
        heat_limit=blank.heat_limit,
        care=blank.care,
    )
