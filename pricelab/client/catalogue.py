"""What a client may see of a shop: names, limits, care, printed prices, and nothing else.

A `Catalogue` is made once from a shop's tables. Everything is put into it by name, so that
whatever a shop may come to hold later stays out until somebody lets it in: no cost, rate,
time, margin, finished job or place in a file. The client's screen is given a `Catalogue`
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
from pricelab.shop.price_list import PriceList
from pricelab.shop.shop import Shop
from pricelab.shop.work import Rates


@dataclass(frozen=True, eq=False)
class Catalogue:
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


def catalogue_of(business: Business) -> Catalogue:
    """What a client may see of the shop of a business.

    Prices are those of today's lists. A list that is only planned is nobody's promise: what has
    none is not offered.
    """
    shop = business.shop
    lists = {}
    for method in shop.methods.values():
        for blank in shop.blanks.values():
            if business.todays_list(method, blank) is not None:
                listed = selling_list(business, method, blank)
                lists[method.key, blank.key] = replace(listed, sheet=None)
    if not lists:
        raise PricelabError(
            f"{shop.name} has no price list that could be shown to a client. Plan one in "
            "notebook 1 and save it."
        )
    again = {m.key: setup_line(shop, m, m.repeat_setup) or 0.0 for m in shop.methods.values()}
    return Catalogue(without_costs(shop), lists, again)


# ---- a shop without its costs ---------------------------------------------------------


def without_costs(shop: Shop) -> Shop:
    """The shop as a client may know it: what it makes and how it charges, not what it pays."""
    return _known(
        shop,
        *("name", "currency", "unit", "heat_unit", "notice", "valid_days", "conditions"),
        "largest_order",
        rates=Rates(0.0),
        pricing=_known(shop.pricing, "rounding", "setup_apart", "tax", target=0.0, floor=0.0),
        methods={key: _method(method) for key, method in shop.methods.items()},
        blanks={key: _blank(blank) for key, blank in shop.blanks.items()},
    )


def _known(value, *names: str, **instead):
    """A value of the same kind with the named figures of `value`, and others `instead`."""
    return type(value)(**{name: getattr(value, name) for name in names}, **instead)


def _method(method: Method) -> Method:
    """What a method is called, what it can take and how its goods are looked after."""
    return _known(
        method,
        *("key", "name", "unit", "density", "max_width", "max_height", "min_side", "heat", "care"),
        grid=None if method.grid is None else _sizes_of(method.grid, method.name),
        stitching=None if method.stitching is None else Stitching(1.0, 1, 0.0),
        roll=method.roll and _known(method.roll, "width", "edge", "gap", "unit", price=0.0),
    )


def _sizes_of(grid: Grid, method: str) -> Grid:
    """The sizes a supplier makes, without its name, its breaks and its prices."""
    free = {"breaks": [1], "prices": np.zeros((grid.bands.size, 1))}
    return _known(
        grid, "measure", "unit", "bands", "per", name=f"what we have for {method}", **free
    )


def _blank(blank: Blank) -> Blank:
    return _known(
        blank,
        *("key", "name", "panel_width", "panel_height", "unit", "make_up", "heat_limit", "care"),
        prices=Grid.by_quantity(f"what we have of {blank.name}", [1], [0.0]),
    )
