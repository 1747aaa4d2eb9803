"""The two sides of an artwork, typed as people write them."""

from pricelab.screens.controls import Typed
from pricelab.screens.reading import length
from pricelab.shop.figures import number
from pricelab.shop.sizes import Artwork

STARTS = {"in": ("2 1/2", "2"), "mm": ("60", "40")}
"""Width and height that the controls open at, by unit."""


class Sides:
    """Width and height in the shop's unit, as controls and as an artwork."""

    def __init__(self, unit: str, starts: dict[str, tuple[str, str]] = STARTS):
        self.unit = unit
        wide, high = starts[unit]
        self.width = Typed(f"Width ({unit})", length(unit), wide, width="100px")
        self.height = Typed(f"Height ({unit})", length(unit), high, width="100px")

    @property
    def controls(self) -> list[Typed]:
        """Both, to be laid out."""
        return [self.width, self.height]

    @property
    def artwork(self) -> Artwork:
        """The artwork that was typed."""
        return Artwork(*self.figures, self.unit)

    @property
    def words(self) -> str:
        """Its size as it is read."""
        return f"{' × '.join(map(number, self.figures))} {self.unit}"

    @property
    def figures(self) -> tuple[float, float]:
        """Both, counted in the unit."""
        return tuple(float(control.value.to(self.unit)) for control in self.controls)
