"""A piece to decorate."""

from dataclasses import dataclass, field

from pricelab.shop.errors import PricelabError
from pricelab.shop.grids import Grid
from pricelab.shop.place import Place
from pricelab.shop.units import check_unit


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
