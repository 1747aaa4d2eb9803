"""The price staircase of a list over the cost a piece, and what is left between them."""

from dataclasses import dataclass

import numpy as np

from pricelab.lists.audit import Audit
from pricelab.lists.trouble import LOSING
from pricelab.pictures import look
from pricelab.pictures.axes import Frame, money_axis, quantity_axis, stairs
from pricelab.pictures.labels import in_points, label_ends, write
from pricelab.pictures.picture import Description, InMoney, Picture
from pricelab.shop.figures import percent, pieces
from pricelab.shop.pricing_rules import NO_TAX, Tax


@dataclass(frozen=True, eq=False)
class Staircase(InMoney):
    """One size band of a list: net `price` and `cost` a piece at each of `quantities`.

    `cost` takes in the fees on the money taken, so that price less cost is what is left;
    `floor` is the lowest price that earns the floor margin. `holds` tells of each tier
    whether it does; `starts` are the tiers' first quantities; `size` is the band in words.
    """

    size: str
    currency: str
    floor_margin: float
    quantities: np.ndarray
    starts: np.ndarray
    price: np.ndarray
    cost: np.ndarray
    floor: np.ndarray
    holds: np.ndarray
    tax: Tax = NO_TAX

    @classmethod
    def of(cls, judged: Audit, band: int, size: str) -> "Staircase":
        """The staircase of one band of a list that was judged."""
        listed, basis, shop = judged.price_list, judged.basis, judged.basis.shop
        floor = shop.pricing.floor
        price = listed.net[band, listed.tier_of_quantity]
        cost = basis.unit_cost[band] + basis.fees.share * price
        holds = np.ones(listed.starts.size, bool)
        for finding in judged.findings:
            if finding.band == band and finding.trouble in LOSING:
                holds[finding.tier] = False
        lowest, tax = basis.price_for(floor)[band], shop.pricing.tax
        curves = (listed.quantities, listed.starts, price, cost, lowest)
        return cls(size, shop.currency, floor, *curves, holds, tax)

    @property
    def margin(self) -> np.ndarray:
        """What is left of the price, as a share of it."""
        return 1 - self.cost / self.price

    @property
    def tier_ends(self) -> np.ndarray:
        """The last quantity of each tier."""
        return np.append(self.starts[1:] - 1, self.quantities[-1])

    def inside(self, tier: int) -> slice:
        """Where the quantities of a tier stand."""
        first = self.quantities[0]
        return slice(self.starts[tier] - first, self.tier_ends[tier] - first + 1)


def frame(values: Staircase) -> Frame:
    """Quantities by ratio with a tick at every break; money from nothing."""
    # Dear first pieces may run off the top: the steps are what is looked at.
    top = max(values.price.max() * 1.08, np.median(values.cost))
    x = quantity_axis(values.quantities, values.starts)
    before_tax = f", before {values.tax.name}" if values.tax.included else ""
    title = f"{values.currency} a piece{before_tax}"
    return Frame(x, money_axis(title, 0, float(top), values.currency), right=138)


def marks(values: Staircase, ax) -> None:
    """Steps, cost curve, what is left between them, and a price over every step."""
    _fill_between(values, ax)
    x, floor, cost = stairs(ax, values.quantities, values.floor, values.cost)
    ax.plot(x, floor, color=look.SOFT_INK, linewidth=1.1, linestyle=(0, (2, 2.5)))
    ax.plot(x, cost, color=look.COPPER, linewidth=2)
    x, price = stairs(ax, values.quantities, values.price)
    ax.plot(x, price, color=look.NAVY, linewidth=1, alpha=0.5)
    flat = np.column_stack([price[::2], price[1::2], np.full(price.size // 2, np.nan)])
    along = np.column_stack([x[::2], x[1::2], x[1::2]])
    ax.plot(along.reshape(-1), flat.reshape(-1), color=look.NAVY, linewidth=3)
    _say_prices(values, ax)
    needed = f"needed for {percent(values.floor_margin)}"
    ends = (
        (values.price[-1], "price", look.NAVY),
        (values.floor[-1], needed, look.SOFT_INK),
        (values.cost[-1], "cost with fees", look.COPPER),
    )
    label_ends(ax, ends)


def _fill_between(values: Staircase, ax) -> None:
    """What is left: tinted where a tier holds, hatched where it does not."""
    holds = np.repeat(values.holds, values.tier_ends - values.starts + 1)
    x, low, high, held = stairs(ax, values.quantities, values.cost, values.price, holds)
    ax.fill_between(x, low, high, where=held, **look.GAIN)
    if not held.all():
        ax.fill_between(x, low, high, where=~held, **{**look.LOSS, "hatch": "////"})


def _say_prices(values: Staircase, ax) -> None:
    """The price over every step and the least margin under it, where there is room for them.

    Over a short step the price begins where the step does: below it to the right is air.
    """
    taken: list[tuple[float, float, float]] = []  # left, right and height of prices, in points
    steps = np.array([values.price[values.inside(t)][0] for t in range(values.starts.size)])
    ends = np.append(values.starts[1:], values.quantities[-1])
    begins, stops = in_points(ax, values.starts, steps), in_points(ax, ends, steps)
    for tier, (start, end, step) in enumerate(zip(values.starts, ends, steps, strict=True)):
        (left, up), (right, _) = begins[tier], stops[tier]
        words = values.show(step)
        wide = look.text_width(words, look.LABEL, bold=True) + 4
        middle = right - left >= wide
        begin = (left + right - wide) / 2 if middle else left + 2
        if any(begin < r and begin + wide > l_ and abs(up - h) < 14 for l_, r, h in taken):
            continue
        taken.append((begin, begin + wide, up))
        over = (np.sqrt(start * end), step)
        at, across, align = (over, 0, "center") if middle else ((start, step), 2, "left")
        bold = {"color": look.NAVY, "weight": "bold"}
        write(ax, words, at, (across, 7), f"{align} bottom", **bold)
        if right - left > 34:
            _say_margin(values, ax, tier, over)


def _say_margin(values: Staircase, ax, tier: int, at: tuple[float, float]) -> None:
    words, ground = percent(values.margin[values.inside(tier)].min(), 0), None
    if not values.holds[tier]:  # on a hatched ground words need a piece of paper of their own
        words, ground = f"▼ {words}", look.ground(2)
    write(ax, words, at, (0, -9), "center top", size=look.SMALL, bbox=ground, zorder=4)


_JUDGED = {True: "holds", False: "does not hold"}


def describe(values: Staircase) -> Description:
    """The least margin and where it is; by tier its price, worst quantity and what is left."""
    rows = []
    for tier, (start, end) in enumerate(zip(values.starts, values.tier_ends, strict=True)):
        here = values.inside(tier)
        worst = here.start + int(np.argmin(values.margin[here]))
        tier_of = f"{start}–{end}" if end > start else f"{start}"
        price, cost = values.show(values.price[worst]), values.show(values.cost[worst])
        margin, judged = percent(values.margin[worst]), _JUDGED[bool(values.holds[tier])]
        rows.append((tier_of, price, str(values.quantities[worst]), cost, margin, judged))
    at = int(np.argmin(values.margin))
    least = f"{percent(values.margin[at], 0)} at {pieces(values.quantities[at])}"
    losing = int((~values.holds).sum())
    if values.margin[at] < 0:
        finding = f"{values.size}: money is lost, most of it {least}"
    elif losing:
        do = "does" if losing == 1 else "do"
        finding = (
            f"{values.size}: {losing} of {len(rows)} steps {do} not hold; least margin {least}"
        )
    else:
        finding = f"{values.size}: every step holds; the least margin is {least}"
    columns = ("Pieces", "Price", "Worst at", "Cost with fees", "Margin", "Judgement")
    return Description(finding, columns, tuple(rows))


STAIRCASE = Picture("staircase", frame, marks, describe)
