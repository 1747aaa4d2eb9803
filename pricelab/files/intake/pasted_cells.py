"""The cells of a grid on their way into a reading, and the doubts that they cast on one another."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from itertools import chain, pairwise
from operator import gt, lt

from pricelab.files.printed import Band, Break, misfits_of_bands, misfits_of_breaks
from pricelab.files.raw_table import column_letter
from pricelab.shop.place import Place


@dataclass
class Cell:
    """A cell on its way into a reading: where it was pasted, as what, read as what, and why not."""

    at: tuple[int, int]
    pasted: str
    read: str = ""
    whys: list[str] = field(default_factory=list)
    value: Band | Break | None = None

    @property
    def place(self) -> Place:
        """Where it was pasted, as a spreadsheet counts."""
        return Place("pasted", self.at[0] + 1, column_letter(self.at[1]))

    def take(self, value: Band | Break | None, why: str) -> None:
        """Take a size or a quantity for what it is read as, with why that is doubtful."""
        self.value, self.read = value, value.text if value else ""
        self.doubt(why)

    def doubt(self, why: str) -> None:
        """Add a reason for doubt, once."""
        if why and why not in self.whys:
            self.whys.append(why)


Grid = Sequence[Sequence[Cell]]
"""Rows of cells: quantities in the first, and each row's size before its prices."""


def doubt_all(cells: Iterable[Cell], why: str) -> None:
    """Add one reason for doubt to every one of the cells."""
    for cell in cells:
        cell.doubt(why)


def risen(grid: Grid) -> Grid:
    """The grid with sizes and quantities that fall put the other way round."""

    def order(cells: Sequence[Cell], end: str) -> int:
        if len(cells) < 2 or not all(cell.value and not cell.whys for cell in cells):
            return 1
        ends = [getattr(cell.value, end) for cell in cells]
        return -1 if all(b < a for a, b in pairwise(ends)) else 1

    across, down = order(grid[0][1:], "start"), order([row[0] for row in grid[1:]], "upper")
    rows = [grid[0], *grid[1:][::down]]
    return [[row[0], *row[1:][::across]] for row in rows]


def check_labels(grid: Grid) -> None:
    """Doubt sizes or quantities that do not follow one another, by the rules of our own files."""
    sizes = [row[0] for row in grid[1:]]
    for labels, misfits in ((grid[0][1:], misfits_of_breaks), (sizes, misfits_of_bands)):
        sound = [cell for cell in labels if cell.value]
        for misfit in misfits([cell.value for cell in sound]):
            pair = sound[misfit.at - 1 : misfit.at + 1]
            doubt_all(pair, f"Found {misfit.found}. {misfit.mend}")


def check_prices(grid: Grid) -> None:
    """Doubt prices above those of fewer pieces, or under a smaller size's; where most are, all."""
    rows = [row[1:] for row in grid[1:]]
    for lines, side, whose, wrong in (
        (rows, "above", "of fewer pieces", lt),
        ([*zip(*rows, strict=True)], "under", "of a smaller size", gt),
    ):
        pairs = [
            (cell, before.read, wrong(Decimal(before.read), Decimal(cell.read)))
            for line in lines
            for before, cell in pairwise(cell for cell in line if cell.read and not cell.whys)
        ]
        odd = [(cell, before) for cell, before, is_wrong in pairs if is_wrong]
        for cell, before in odd:
            cell.doubt(f"It is {side} the {Decimal(before)} {whose}.")
        if 2 * len(odd) > len(pairs):
            doubt_all(chain(*lines), f"Most prices are {side} those {whose}: what are they for?")
