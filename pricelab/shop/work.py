"""Minutes of work, and what an hour costs."""

from dataclasses import dataclass, field

from pricelab.shop.charges import Level
from pricelab.shop.checks import check_batch, check_not_negative
from pricelab.shop.errors import PricelabError
from pricelab.shop.place import Place


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
        check_not_negative(self.minutes, f'minutes for "{self.name}"')
        if self.per not in (Level.PIECE, Level.BATCH, Level.ORDER, Level.DESIGN):
            raise PricelabError(
                f'"{self.name}" counts minutes per {self.per.value}, '
                "expected piece, batch, order or design."
            )
        if not self.attended and self.station is None:
            raise PricelabError(
                f'"{self.name}" is dwell without a station; name the machine it occupies.'
            )
        check_batch(self.batch, self.name)


@dataclass(frozen=True)
class Rates:
    """Hourly rates: loaded labour on attended minutes; overhead on attended or machine minutes."""

    labour: float
    overhead: float = 0.0
    overhead_on: str = "attended"

    def __post_init__(self):
        check_not_negative(self.labour, "a labour rate")
        check_not_negative(self.overhead, "an overhead rate")
        if self.overhead_on not in ("attended", "machine"):
            raise PricelabError(
                f'overhead is recovered on "{self.overhead_on}" minutes, '
                "expected attended or machine."
            )
