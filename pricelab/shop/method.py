"""A way to decorate: what it takes, how large it can be, what setting it up costs."""

from dataclasses import dataclass, field
from datetime import date

from pricelab.shop.charges import Charge
from pricelab.shop.checks import check_not_negative, check_share
from pricelab.shop.errors import PricelabError
from pricelab.shop.grids import Grid
from pricelab.shop.nesting import Roll
from pricelab.shop.place import Place
from pricelab.shop.units import check_unit
from pricelab.shop.work import Operation


@dataclass(frozen=True)
class Promotion:
    """A supplier's dated offer: first set-up at `setup` from `starts` to `ends`, both included."""

    starts: date
    ends: date
    setup: float
    place: Place | None = field(default=None, repr=False)

    def __post_init__(self):
        check_not_negative(self.setup, "a promotional set-up fee")
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
        check_not_negative(self.thread, "a thread price")
        check_not_negative(self.change, "thread-change minutes")


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
        check_not_negative(self.setup, "a set-up fee")
        check_not_negative(self.repeat_setup, "a repeat set-up fee")
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
