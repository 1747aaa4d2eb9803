"""Putting a new grid into the shop's folder, whole, and keeping the one that it replaces."""

import csv
import io
import re
import tempfile
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path

from pricelab.errors import PricelabError
from pricelab.files.faults import Fault, quoted
from pricelab.files.gridfile import heading_of, read_grid
from pricelab.files.rawtable import SUFFIXES
from pricelab.grids import PER_PIECE, Grid
from pricelab.paper.saving import save_whole
from pricelab.sizes import Measure

GRIDS, OLD = "grids", "old"

_NAME = re.compile(r"(?!(?:con|prn|aux|nul|com[0-9]|lpt[0-9])$)[^\W_][\w -]{0,38}\w", re.IGNORECASE)


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
        """The grid as a file of its own.

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
        return out.getvalue()

    def check(self, name: str = "grid") -> tuple[Grid, tuple[Fault, ...]]:
        """The grid as it would be read, and what is worth a look; raises `ShopFaults`."""
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / f"{name}.csv"
            path.write_text(self.csv(), "utf-8")
            return read_grid(path)

    def _each(self, price: str) -> str:
        """A price for one piece, to a hundredth of a cent; what is no price stays as it is."""
        if self.pieces == 1 or not re.fullmatch(r"[0-9]{1,9}(\.[0-9]{1,6})?", price):
            return price
        each = (Decimal(price) / self.pieces).quantize(Decimal("0.0001"))
        return f"{each:f}".removesuffix("00")


def save_grid(
    folder: Path, name: str, grid: NewGrid, holds_from: date, today: date
) -> tuple[Path, Path | None]:
    """Save the grid as grids/NAME.csv; its path, and that of the one it replaced.

    It is read back before it is taken. One that holds only from a later day is saved under
    the name with that day, beside today's, which no method uses until it is saved again.
    """
    if not _NAME.fullmatch(name):
        raise PricelabError(
            f"Found the name {quoted(name)}, expected up to 40 letters, figures and hyphens. "
            "Write one such as leather-patches."
        )
    if holds_from > today:
        name = f"{name}-from-{holds_from}"
    grids = Path(folder) / GRIDS
    if not grids.resolve().is_relative_to(Path(folder).resolve()):
        raise PricelabError(
            "Found that grids leads out of the shop's folder, expected a folder inside it. "
            "Make it one."
        )
    grid.check(name)
    content = f"# Prices hold from {holds_from}\n{grid.csv()}".encode()
    replaced = None
    there = [path for suffix in SUFFIXES if (path := grids / f"{name}{suffix}").exists()]
    for path in there:
        replaced = _keep(path, grids / OLD, f"{name}.until-{holds_from}")
    saved = save_whole(grids / f"{name}.csv", content)
    for path in there:
        if path != saved:
            _remove(path)
    return saved, replaced


def _keep(path: Path, folder: Path, stem: str) -> Path:
    """A copy of a file in `folder`, under a name that no other content has."""
    try:
        content = path.read_bytes()
        for count in range(1, 100):
            kept = folder / f"{stem}{'' if count == 1 else f'-{count}'}{path.suffix}"
            if not kept.exists():
                return save_whole(kept, content)
            if kept.read_bytes() == content:
                return kept
    except OSError as error:
        raise PricelabError(
            f'Could not read "{path.name}" ({error.strerror or error}), so the grid it holds '
            "could not be kept. Close it in other programs and try again."
        ) from None
    raise PricelabError(f"Found 99 older grids {stem}. Remove some from the folder {OLD}.")


def _remove(path: Path) -> None:
    try:
        path.unlink()
    except OSError as error:
        raise PricelabError(
            f'The new grid is saved, but "{path.name}" could not be removed '
            f"({error.strerror or error}). Remove it: a copy is kept in {GRIDS}/{OLD}."
        ) from None
