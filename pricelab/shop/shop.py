"""The shop: what it buys, how it works, what it charges. Values only; no arithmetic.

Every value is checked when it is made, so an impossible shop cannot exist. Money is in
the shop's currency, minutes are minutes, shares are fractions (0.03, not 3 %).
"""

from dataclasses import dataclass, field
from datetime import date
from enum import Enum

from pricelab.shop.errors import PricelabError
from pricelab.shop.figures import percent
from pricelab.shop.grids import Grid, Place
from pricelab.shop.money import TO_THE_CENT, Rounding, minor_unit, show_money
from pricelab.shop.nesting import Roll
from pricelab.shop.spoilage import check_share
from pricelab.shop.units import check_unit


def _not_negative(value: float, what: str):
    if not 0 <= value < float("inf"):
        raise PricelabError(f"found {what} of {value:g}, expected 0 or more.")


def _batch(batch: int, name: str):
    if batch < 1 or batch != int(batch):
        raise PricelabError(
            f'found a batch of {batch:g} for "{name}", expected a whole number of pieces from 1.'
        )


class Level(Enum):
    """What a cost grows with (the cost hierarchy of activity-based costing)."""

    PIECE = "piece"
    BATCH = "batch"
    ORDER = "order"
    DESIGN = "design"
    PERIOD = "period"
    REVENUE = "revenue"


class Element(Enum):
    """What a cost is spent on."""

    BLANK = "blank"
    DECORATION = "decoration"
    CONSUMABLES = "consumables"
    SET_UP = "set-up"
    FREIGHT = "freight"
    PACKING = "packing"
    DELIVERY = "delivery"
    LABOUR = "labour"
    OVERHEAD = "overhead"
    FEES = "fees"
    RENT = "rent"
    OTHER = "other"


@dataclass(frozen=True)
class Charge:
    """Money for something on one level; `batch` pieces share a batch-level charge.

    Revenue-level charges come as a share of the money taken (`share`) or as a fixed sum
    an order (`amount`).
    """

    name: str
    element: Element
    level: Level
    amount: float = 0.0
    share: float = 0.0
    batch: int = 1
    place: Place | None = field(default=None, repr=False)

    def __post_init__(self):
        _not_negative(self.amount, f'an amount for "{self.name}"')
        check_share(self.share, f'a share for "{self.name}"')
        if self.share and self.level is not Level.REVENUE:
            raise PricelabError(
                f'"{self.name}" is a share at {self.level.value} level; '
                "only a revenue-level cost is a share of the money taken."
            )
        _batch(self.batch, self.name)


@dataclass(frozen=True)
class Operation:
    """Minutes of work a piece, a batch or an order.

    `attended` minutes keep the operator busy; others are dwell, during which the operator
    is free. `station` names the machine that is occupied, if any. Work per design is done
    on the first order of an artwork only.
    """

    name: str
    minutes: float
    per: Level = Level.PIECE
    batch: int = 1
    attended: bool = True
    station: str | None = None
    place: Place | None = field(default=None, repr=False)

    def __post_init__(self):
        _not_negative(self.minutes, f'minutes for "{self.name}"')
        if self.per not in (Level.PIECE, Level.BATCH, Level.ORDER, Level.DESIGN):
            raise PricelabError(
                f'"{self.name}" counts minutes per {self.per.value}, '
                "expected piece, batch, order or design."
            )
        if not self.attended and self.station is None:
            raise PricelabError(
                f'"{self.name}" is dwell without a station; name the machine it occupies.'
            )
        _batch(self.batch, self.name)


@dataclass(frozen=True)
class Promotion:
    """A supplier's dated offer: first set-up at `setup` from `starts` to `ends`, both included."""

    starts: date
    ends: date
    setup: float
    place: Place | None = field(default=None, repr=False)

    def __post_init__(self):
        _not_negative(self.setup, "a promotional set-up fee")
        if self.ends < self.starts:
            raise PricelabError(
                f"the promotion ends on {self.ends}, before it starts on {self.starts}."
            )

    def holds(self, on: date) -> bool:
        """Whether the offer holds on a day."""
        return self.starts <= on <= self.ends


@dataclass(frozen=True)
class Stitching:
    """An embroidery machine of one's own: run minutes a piece = stitches ÷ speed ÷ heads.

    `speed` in stitches a minute; `thread` money a thousand stitches; `change` minutes for
    each change of thread colour, once a machine load of `heads` pieces.
    """

    speed: float
    heads: int
    thread: float
    change: float = 0.0
    attended: bool = False
    station: str = "embroidery machine"
    place: Place | None = field(default=None, repr=False)

    def __post_init__(self):
        if not (self.speed > 0 and self.heads >= 1 and self.heads == int(self.heads)):
            raise PricelabError(
                f"found a stitching speed of {self.speed:g} with {self.heads:g} heads, "
                "expected a speed above 0 and a whole number of heads from 1."
            )
        _not_negative(self.thread, "a thread price")
        _not_negative(self.change, "thread-change minutes")


@dataclass(frozen=True)
class Density:
    """Stitches estimated from an artwork: `stitches` a square `unit` of its `filled` share."""

    stitches: float
    unit: str
    filled: float = 1.0

    def __post_init__(self):
        check_unit(self.unit)
        if not (self.stitches > 0 and 0 < self.filled <= 1):
            raise PricelabError(
                f"found {self.stitches:g} stitches a square {self.unit} on a filled share of "
                f"{self.filled:g}, expected stitches above 0 and a filled share up to 1."
            )


@dataclass(frozen=True)
class Method:
    """One way to decorate. What it takes is any of a bought `grid`, `stitching` and a `roll`.

    `setup` is due on the first order of an artwork, `repeat_setup` on later ones. Limits
    are in `unit`; `heat` is the temperature the blank must bear, in °F or °C by the shop.
    """

    key: str
    name: str
    unit: str
    grid: Grid | None = None
    stitching: Stitching | None = None
    roll: Roll | None = None
    density: Density | None = None
    setup: float = 0.0
    repeat_setup: float = 0.0
    promotions: tuple[Promotion, ...] = ()
    operations: tuple[Operation, ...] = ()
    charges: tuple[Charge, ...] = ()
    spoilage: float = 0.0
    max_width: float = float("inf")
    max_height: float = float("inf")
    min_side: float = 0.0
    heat: float | None = None
    care: str = ""
    place: Place | None = field(default=None, repr=False)

    def __post_init__(self):
        check_unit(self.unit)
        if self.grid is None and self.stitching is None and self.roll is None:
            raise PricelabError(
                f'the method "{self.key}" takes nothing: give it a grid, a stitching row or a roll.'
            )
        _not_negative(self.setup, "a set-up fee")
        _not_negative(self.repeat_setup, "a repeat set-up fee")
        check_share(self.spoilage, f'a spoilage for "{self.key}"')
        if not (self.max_width > 0 and self.max_height > 0):
            raise PricelabError(
                f'the method "{self.key}" has a size limit of {self.max_width:g} × '
                f"{self.max_height:g} {self.unit}, expected both above 0."
            )

    @property
    def by_stitches(self) -> bool:
        """Whether its cost goes by stitches, on a machine of one's own or contracted out."""
        return self.stitching is not None or (self.grid is not None and self.grid.by_stitches)

    def setup_due(self, first: bool, on: date | None) -> float:
        """The set-up fee of an order: first or repeat, with the best promotion of the day."""
        if not first:
            return self.repeat_setup
        offers = [p.setup for p in self.promotions if on is not None and p.holds(on)]
        return min([self.setup, *offers])


@dataclass(frozen=True)
class Blank:
    """A piece to decorate: prices by quantity, packs, the decorable panel and what it bears."""

    key: str
    name: str
    prices: Grid
    panel_width: float
    panel_height: float
    unit: str
    make_up: str = ""
    heat_limit: float | None = None
    care: str = ""
    place: Place | None = field(default=None, repr=False)

    def __post_init__(self):
        check_unit(self.unit)
        if not (self.panel_width > 0 and self.panel_height > 0):
            raise PricelabError(
                f'the blank "{self.key}" has a panel of {self.panel_width:g} × '
                f"{self.panel_height:g} {self.unit}, expected both above 0."
            )


@dataclass(frozen=True)
class Rates:
    """Hourly rates: loaded labour on attended minutes; overhead on attended or machine minutes."""

    labour: float
    overhead: float = 0.0
    overhead_on: str = "attended"

    def __post_init__(self):
        _not_negative(self.labour, "a labour rate")
        _not_negative(self.overhead, "an overhead rate")
        if self.overhead_on not in ("attended", "machine"):
            raise PricelabError(
                f'overhead is recovered on "{self.overhead_on}" minutes, '
                "expected attended or machine."
            )


@dataclass(frozen=True)
class Tax:
    """Sales tax: its rate, and whether the shop's printed prices include it."""

    rate: float = 0.0
    included: bool = False
    name: str = "sales tax"

    def __post_init__(self):
        _not_negative(self.rate, "a tax rate")

    def shown(self, net):
        """A price before tax as printed, any shape: with the tax where prices include it."""
        return net * (1 + self.rate) if self.included else net

    def net(self, shown):
        """A printed price before tax, any shape."""
        return shown / (1 + self.rate) if self.included else shown


NO_TAX = Tax()


@dataclass(frozen=True)
class PricingRules:
    """How the shop prices: target and floor margin, rounding, set-up apart or spread, tax."""

    target: float
    floor: float
    rounding: Rounding = TO_THE_CENT
    setup_apart: bool = True
    tax: Tax = NO_TAX

    def __post_init__(self):
        check_share(self.target, "a target margin")
        check_share(self.floor, "a floor margin")
        if self.floor > self.target:
            raise PricelabError(
                f"found a floor margin of {percent(self.floor)} above the target margin of "
                f"{percent(self.target)}; lower the floor or raise the target."
            )


@dataclass(frozen=True)
class Shop:
    """A whole shop as read from its folder.

    A printed list holds for `valid_days` and carries the `conditions`; lists are judged up
    to an order of `largest_order` pieces.
    """

    name: str
    currency: str
    unit: str
    rates: Rates
    pricing: PricingRules
    methods: dict[str, Method]
    blanks: dict[str, Blank]
    charges: tuple[Charge, ...] = ()
    operations: tuple[Operation, ...] = ()
    heat_unit: str = "°F"
    service_level: float = 0.95
    surplus_worth: float = 0.0
    order_up: bool = False
    notice: str = ""
    valid_days: int = 60
    conditions: str = ""
    largest_order: int = 1000

    def __post_init__(self):
        minor_unit(self.currency)
        check_unit(self.unit)
        if not 0 < self.service_level < 1:
            raise PricelabError(
                f"found a service level of {self.service_level:g}, "
                "expected a share between 0 and 1."
            )
        if not 0 <= self.surplus_worth <= 1:
            raise PricelabError(
                f"found a surplus worth of {self.surplus_worth:g}, expected a share from 0 to 1."
            )

    @property
    def decimals(self) -> int:
        """Decimals of the shop's currency."""
        return minor_unit(self.currency)

    def money(self, amount: float) -> str:
        """An amount in the shop's currency, as people read it."""
        return show_money(amount, self.currency)
