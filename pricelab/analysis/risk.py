"""How sure is a profit: spoiled pieces, minutes and supplier prices drawn many times over.

Draws are seeded, so the same seed gives the same figures, and how many there were is always
said. Pieces spoil one by one: spoiled pieces until the last good one follow the negative
binomial distribution, whose mean is the expectation that costing charges.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from pricelab.cost.costing import cost_sheet
from pricelab.cost.fees import Fees
from pricelab.cost.orders import Order
from pricelab.shop.charges import Element
from pricelab.shop.errors import PricelabError
from pricelab.shop.grids import Purchase
from pricelab.shop.shop import Shop

_AT_ONCE = 50_000
"""Draws made together: few enough to stay near the processor, and to be stopped between."""

_BOUGHT = (Element.BLANK, Element.DECORATION)
_WORKED = (Element.LABOUR, Element.OVERHEAD)


@dataclass(frozen=True)
class Spread:
    """How far something may lie from its estimate: least, likely and most, as shares of it.

    Drawn from the triangular distribution: 0.9, 1, 1.3 is 'a tenth less to a third more'.
    """

    least: float
    likely: float
    most: float

    def __post_init__(self):
        if not 0 <= self.least <= self.likely <= self.most:
            raise PricelabError(
                f"found the spread {self.least:g}, {self.likely:g}, {self.most:g}; "
                "expected a least, a likely and a most that rise from 0."
            )

    def draw(self, random: np.random.Generator, count: int):
        """`count` factors, or the one number where nothing is uncertain."""
        if self.least == self.most:
            return self.most
        return random.triangular(self.least, self.likely, self.most, count)

    def at(self, chance: float) -> float:
        """The factor not exceeded with `chance` (the triangular distribution's quantile)."""
        span = self.most - self.least
        if span == 0:
            return self.most
        low = self.likely - self.least
        if chance * span <= low:
            return self.least + (chance * span * low) ** 0.5
        return self.most - ((1 - chance) * span * (self.most - self.likely)) ** 0.5


SURE = Spread(1, 1, 1)


@dataclass(frozen=True)
class Uncertainty:
    """What of an order is uncertain; spoiled pieces vary by chance unless told not to."""

    minutes: Spread = SURE
    prices: Spread = SURE
    spoilage: bool = True


@dataclass(frozen=True, eq=False)
class Drivers:
    """An order's money by what drives it, each a number, or an array over quantities (n,).

    `bought` moves with supplier prices, `worked` with minutes, `rest` with neither; of each
    there is a part for good pieces and one for the spoiled pieces expected. `purchases` move
    with supplier prices too, each at its money a piece: a surplus replaces spoiled pieces first.
    """

    quantity: np.ndarray
    share: float
    left: np.ndarray
    bought: tuple[np.ndarray, np.ndarray]
    worked: tuple[np.ndarray, np.ndarray]
    rest: tuple[np.ndarray, np.ndarray]
    purchases: tuple[tuple[Purchase, np.ndarray], ...] = ()
    surplus_worth: float = 0.0

    def profit(self, minutes=1.0, prices=1.0, spoiled=1.0):
        """Profit at factors on minutes, on prices and on the spoiled pieces expected, broadcast."""
        bought = self.bought[0] + self.bought[1] * spoiled
        for one, each in self.purchases:
            bought = bought + each * one.paid(one.spoiled * spoiled, self.surplus_worth)
        cost = bought * prices
        cost = cost + (self.worked[0] + self.worked[1] * spoiled) * minutes
        return self.left - (cost + (self.rest[0] + self.rest[1] * spoiled))

    @property
    def expected(self):
        """Spoiled pieces expected, as costing charges them."""
        return self.quantity * self.share / (1 - self.share)

    def draw(self, uncertainty: Uncertainty, random: np.random.Generator, count: int) -> tuple:
        """`count` factors each on minutes, on prices and on the spoiled pieces expected.

        One number of what is certain; of spoiled pieces the shape (count,) + the quantities'.
        """
        minutes, prices = (
            spread.draw(random, count) for spread in (uncertainty.minutes, uncertainty.prices)
        )
        if not (uncertainty.spoilage and self.share):
            return minutes, prices, 1.0
        shape = (count, *np.shape(self.quantity))
        spoiled = random.negative_binomial(self.quantity, 1 - self.share, shape)
        return minutes, prices, spoiled / self.expected


def drivers_of(shop: Shop, order: Order, revenue) -> Drivers:
    """What drives the profit of an order sold for `revenue` before tax.

    Quantities and revenue are numbers or of shape (n,); the artwork is one.
    """
    sheet = cost_sheet(shop, order)
    methods = [decoration.method for decoration in order.decorations]
    good = np.prod([1 - method.spoilage for method in methods])

    others = [line for line in sheet.lines if line.bought is None]
    purchases = {}  # the first line of a purchase is for what is billed
    for line in sheet.lines:
        if line.bought is not None:
            purchases.setdefault(id(line.bought), (line.bought, line.rate * line.each))

    def money(kind):
        return tuple(
            sheet.total(x for x in others if kind(x.element) and x.spoiled is spoiled)
            for spoiled in (False, True)
        )

    return Drivers(
        quantity=order.quantity,
        share=float(1 - good),
        left=revenue - Fees.due(shop, *methods).on(revenue),
        bought=money(lambda element: element in _BOUGHT),
        worked=money(lambda element: element in _WORKED),
        rest=money(lambda element: element not in _BOUGHT + _WORKED),
        purchases=tuple(purchases.values()),
        surplus_worth=shop.surplus_worth,
    )


def simulate(
    drivers: Drivers,
    uncertainty: Uncertainty,
    draws: int,
    seed: int = 1,
    watch: Callable[[int], bool] | None = None,
) -> np.ndarray:
    """One order's profit drawn `draws` times over, shape (draws,).

    `watch(done)` is told after every part how many are done; where it answers False no more
    are drawn, and the profits are those done.
    """
    if draws < 1:
        raise PricelabError(f"found {draws} draws, expected 1 or more.")
    random = np.random.default_rng(seed)
    profits = np.empty(draws)
    done = 0
    while done < draws:
        count = min(_AT_ONCE, draws - done)
        profits[done : done + count] = drivers.profit(*drivers.draw(uncertainty, random, count))
        done += count
        if watch is not None and not watch(done):
            break
    return profits[:done]


def chance_of_loss(profits: np.ndarray) -> float:
    """The share of draws that lost money."""
    return float((profits < 0).mean())


def likely_range(profits: np.ndarray) -> tuple[float, float]:
    """The profits that one draw in twenty fell below, and one in twenty rose above."""
    low, high = np.quantile(profits, [0.05, 0.95])
    return float(low), float(high)


def tornado(drivers: Drivers, uncertainty: Uncertainty) -> dict[str, tuple[float, float]]:
    """The profit at the 5 % and the 95 % point of each driver alone, the widest swing first."""
    ends = {
        name: [spread.at(chance) for chance in (0.05, 0.95)]
        for name, spread in (("minutes", uncertainty.minutes), ("prices", uncertainty.prices))
    }
    if uncertainty.spoilage and drivers.share:
        spoiled = spoiled_at((0.05, 0.95), drivers.quantity, drivers.share)
        ends["spoiled"] = spoiled / drivers.expected
    swings = {
        name: tuple(float(drivers.profit(**{name: end})) for end in both)
        for name, both in ends.items()
    }
    return dict(sorted(swings.items(), key=lambda swing: -abs(swing[1][1] - swing[1][0])))


def spoiled_at(chances, quantity: int, share: float) -> np.ndarray:
    """Spoiled pieces not exceeded with each of `chances`: the negative binomial's quantiles.

    >>> spoiled_at((0.05, 0.95), 48, 0.02).tolist()
    [0, 3]
    """
    from scipy.special import nbdtr  # scipy's statistics take longer to load than a reader waits

    mean = quantity * share / (1 - share)
    most = int(mean + 20 * (mean / (1 - share)) ** 0.5 + 20)
    return np.searchsorted(nbdtr(np.arange(most), quantity, 1 - share), np.asarray(chances))


def break_even_range(
    drivers: Drivers, uncertainty: Uncertainty, draws: int = 2_000, seed: int = 1
) -> tuple[tuple[int, int, int] | None, float]:
    """The first quantity that earns a profit: its 5 %, middle and 95 % points over many draws.

    `drivers` are over quantities (n,). Beside them the share of draws in which none of these
    paid; the points are of the others, and None where there are none.
    """
    random = np.random.default_rng(seed)
    minutes, prices, spoiled = drivers.draw(uncertainty, random, draws)
    minutes, prices = (x[:, None] if np.ndim(x) else x for x in (minutes, prices))
    pays = np.broadcast_to(
        drivers.profit(minutes, prices, spoiled) >= 0, (draws, np.size(drivers.quantity))
    )
    ever = pays.any(axis=1)
    first = np.asarray(drivers.quantity)[pays.argmax(axis=1)][ever]
    if not first.size:
        return None, 1.0
    points = np.quantile(first, [0.05, 0.5, 0.95], method="inverted_cdf")
    return tuple(map(int, points)), float(1 - ever.mean())
