"""Putting a new grid into the shop's folder, whole, and keeping the one that it replaces."""

import csv
import io
import os
import re
import unicodedata
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path

from pricelab.files.faults import Fault, Report, in_order, quoted
from pricelab.files.grid_file import grid_of, heading_of
from pricelab.files.raw_table import folded, raw_table
from pricelab.files.saving import OLD, keep_copy, save_together, told
from pricelab.files.source import GRIDS, SUFFIXES
from pricelab.shop.errors import PricelabError
from pricelab.shop.grids import PER_PIECE, Grid
from pricelab.shop.sizes import Measure

_NAME = re.compile(
    r"(?!(?:con|prn|aux|nul|(?:com|lpt)[0-9¹²³])$)[^\W_][\w -]{0,38}\w", re.IGNORECASE
)


@dataclass(frozen=True)
class NewGrid:
    """A grid to be saved: quantities in the first row of `cells`, sizes in the first column.

    The prices printed are for `pieces` pieces, such as 12 where the sheet prices a dozen. A
    row or column that is wholly empty is left out.
    """

    cells: tuple[tuple[str, ...], ...]
    measure: Measure
    unit: str | None
    per: str = PER_PIECE
    pack: int = 1
    pieces: int = 1

    def csv(self) -> str:
        """The grid as a file of its own; halves of letters, which no file can hold, as ?.

        >>> grid = NewGrid((("", "12+"), ("2", "49.20"), ("", "")), Measure.AREA, "in", pieces=12)
        >>> grid.csv().split()
        ['area', '(in),12+', '2,4.10']
        """
        top, *rows = ([cell.strip() for cell in row] for row in self.cells)
        top = [heading_of(self.measure, self.unit, self.per, self.pack), *top[1:]]
        kept = [row for row in rows if any(row)]
        columns = [at for at in range(len(top)) if top[at] or any(row[at] for row in kept)]
        out = io.StringIO()
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow([top[at] for at in columns])
        for row in kept:
            writer.writerow([row[0], *(self._each(row[at]) for at in columns[1:])])
        return out.getvalue().encode("utf-8", "replace").decode()

    def check(self, name: str = "grid") -> tuple[Grid, tuple[Fault, ...]]:
        """The grid as it would be read, and what is worth a look; raises `ShopFaults`."""
        report = Report()
        table = raw_table(self.csv().encode(), f"{name}.csv", report)
        grid = None if table is None else grid_of(table, report)
        report.raise_faults()
        return grid, in_order(report.warnings)

    def _each(self, price: str) -> str:
        """A price for one piece, to a hundredth of a cent; what is no price stays as it is."""
        if self.pieces == 1 or not re.fullmatch(r"[0-9]{1,9}(\.[0-9]{1,6})?", price):
            return price
        each = (Decimal(price) / self.pieces).quantize(Decimal("0.0001"))
        return f"{each:f}".removesuffix("00")


def save_grid(
    folder: Path, name: str, grid: NewGrid, holds_from: date, now: datetime
) -> tuple[Path, Path | None]:
    """Save the grid as grids/NAME.csv; its path, and that of the copy of the one it replaced.

    It is read back before it is taken. One that holds only from a later day is saved under
    the name with that day, beside today's, which no method uses until it is saved again.
    """
    name = unicodedata.normalize("NFC", name)
    if not _NAME.fullmatch(name):
        raise PricelabError(
            f"Found the name {quoted(name)}, expected up to 40 letters, figures and hyphens. "
            "Write one such as leather-patches."
        )
    if holds_from > now.date():
        name = f"{name}-from-{holds_from}"
    grids, replaced = Path(folder) / GRIDS, []
    path = grids / f"{name}.csv"
    with told(path):
        if not grids.resolve().is_relative_to(Path(folder).resolve()):
            raise PricelabError(
                "Found that grids leads out of the shop's folder, expected a folder inside it. "
                "Make it one."
            )
        others = [old for old in _named(grids, name) if not (path.exists() and path.samefile(old))]
    grid.check(name)
    until = datetime.combine(holds_from, now.time())
    content = f"# Prices hold from {holds_from}\n{grid.csv()}".encode()
    save_together(
        Path(folder),
        {f"{GRIDS}/{path.name}": content} | {f"{GRIDS}/{old.name}": None for old in others},
        keep=lambda old: replaced.append(keep_copy(old, grids / OLD, until)),
    )
    return path, next(iter(replaced), None)


def _named(grids: Path, name: str) -> list[Path]:
    """The files that hold the grid of this name; one named all but alike is refused.

    Many machines know no difference between small and capital letters, nor between two ways
    of storing an ü.
    """
    there = []
    for path in map(grids.joinpath, sorted(os.listdir(grids)) if grids.is_dir() else ()):
        stem = unicodedata.normalize("NFC", path.stem)
        if path.suffix not in SUFFIXES or folded(stem) != folded(name):
            continue
        if stem != name:
            raise PricelabError(
                f"Found the name {quoted(name)}, and there is a grid {quoted(stem)}: on many "
                "machines the two are one file. Write the name as that grid has it to put the "
                "new one in its place, or write another name."
            )
        there.append(path)
    return there
