"""One grid of a supplier's sheet, read cell by cell, with every doubt marked."""

import re
from collections import Counter
from dataclasses import dataclass
from itertools import pairwise

from pricelab.files.faults import quoted
from pricelab.files.grid_file import ANY
from pricelab.files.intake.find_grid import Found, cell_at, head_text
from pricelab.files.intake.pasted import (
    currency_in,
    read_band,
    read_break,
    read_price,
    votes_for_mark,
)
from pricelab.files.intake.pasted_cells import Cell, check_labels, check_prices, risen
from pricelab.files.intake.pasted_text import Rows
from pricelab.files.intake.sheet_words import (
    PER_STITCHES,
    SET_UP,
    THOUSANDS,
    least_ordered,
    measures_named,
    other_than_pieces,
    pack_of,
    prices_for_many,
    units_named,
)
from pricelab.shop.grids import PER_PIECE, PER_THOUSAND_STITCHES
from pricelab.shop.place import Place
from pricelab.shop.sizes import Measure

_GROUPED = re.compile(r"[0-9][.,'’][0-9]{3}")


@dataclass(frozen=True)
class Doubt:
    """A cell to look at: where it was pasted, its row and column in the grid as read, and why."""

    place: Place
    cell: tuple[int, int]
    pasted: str
    read: str
    why: str

    def __str__(self):
        read = f"read as {self.read}" if self.read else "not read"
        return f"{self.place}: {quoted(self.pasted)}, {read}. {self.why}"


@dataclass(frozen=True)
class Reading:
    """A grid as read off a sheet.

    `cells` has the quantities in its first row and the sizes in its first column, all as
    text in the form of our own files; what could not be read is empty. `measure` and `unit`
    are None where the sheet does not say. `said` are sentences on what else the sheet says.
    """

    cells: tuple[tuple[str, ...], ...]
    doubts: tuple[Doubt, ...] = ()
    said: tuple[str, ...] = ()
    measure: Measure | None = None
    unit: str | None = None
    per: str = PER_PIECE
    pack: int = 1
    currency: str = ""

    def doubtful(self) -> set[tuple[int, int]]:
        """The cells with a doubt."""
        return {doubt.cell for doubt in self.doubts}


def _each(grid):
    """Every cell with its row and column in the grid."""
    return (((r, c), cell) for r, row in enumerate(grid) for c, cell in enumerate(row))


class Reader:
    """Reads the grid at a place in the rows; its lines are those of `span`.

    Lines under it may be the title of a grid that follows, unless it is the `last`.
    """

    def __init__(self, rows: Rows, found: Found, span: range, *, last: bool, sure: bool):
        self.rows, self.found, self.sure = rows, found, sure
        table = {found.head, *found.body}
        lines = {at: " ".join(rows[at]).strip() for at in span if at not in table}
        self.notes = [text for text in lines.values() if text]
        header = rows[found.head] if found.head >= 0 else []
        titles = [text for at, text in lines.items() if last or at < found.body[0]]
        titles = [text for text in map(str.lower, titles) if not SET_UP.search(text)]
        self.about = "; ".join([*titles, *map(str.lower, header)])
        self.said: list[str] = []

    def read(self) -> Reading:
        """The grid, its doubts and what else the sheet says."""
        found, rows = self.found, self.rows
        corner = Cell((max(found.head, 0), max(found.label, 0)), "")
        top = [
            Cell((found.head, at - found.shifted), head_text(rows, found, at)) for at in found.heads
        ]
        side = [
            Cell((at, max(found.label, 0)), cell_at(rows, at, found.label)) for at in found.body
        ]
        inner = [[Cell((r, c), cell_at(rows, r, c)) for c in found.heads] for r in found.body]
        grid = [[corner, *top], *([name, *cells] for name, cells in zip(side, inner, strict=True))]
        if found.turned:
            grid = [list(column) for column in zip(*grid, strict=True)]
        self.mark = self._mark(grid)
        measure, unit = self._read_labels(grid)
        self._read_prices(grid)
        self._doubt_rows(grid)
        grid = risen(grid)
        breaks = grid[0][1:]
        for cell in breaks if _GROUPED.search(breaks[0].pasted) else ():  # no smaller one to tell
            cell.doubt("It can be read as thousands or as decimals. Write which is meant.")
        check_labels(grid)
        check_prices(grid)
        self._hear_notes(grid, measure)
        doubts = tuple(
            Doubt(cell.place, at, cell.pasted, cell.read, " ".join(cell.whys))
            for at, cell in _each(grid)
            if cell.whys
        )
        stitched = PER_STITCHES.search(self.about) and measure is not Measure.THOUSAND_STITCHES
        per = PER_THOUSAND_STITCHES if stitched else PER_PIECE
        cells, pack = tuple(tuple(cell.read for cell in row) for row in grid), pack_of(self.about)
        return Reading(cells, doubts, tuple(self.said), measure, unit, per, pack, self.currency)

    def _mark(self, grid) -> str:
        """The sheet's decimal mark, '' where nothing settles it."""
        inside = [cell.pasted for (row, _), cell in _each(grid) if row]
        votes = Counter(vote for text in inside for vote in votes_for_mark(text))
        (mark, most), (_, fewer) = (*votes.most_common(2), ("", 0), ("", 0))[:2]
        return mark if most > fewer else ""

    def _read_labels(self, grid) -> tuple[Measure | None, str | None]:
        """Read quantities and sizes; the measure and unit, as far as the sheet says them."""
        breaks, bands = grid[0][1:], [row[0] for row in grid[1:]]
        for cell in breaks:
            cell.value, why = read_break(cell.pasted)
            cell.read = cell.value.text if cell.value else ""
            cell.doubt(why)
        others = self._counted()
        for cell in breaks if others else ():
            cell.doubt(f"The head speaks of {others}. Write quantities of pieces.")
        if all(re.fullmatch("(?:19|20)[0-9]{2}", cell.pasted) for cell in breaks):
            for cell in breaks:
                cell.doubt("It could be a year. Write a quantity of pieces.")
        named = measures_named("; ".join([self.about, *(cell.pasted.lower() for cell in bands)]))
        if self.found.any_size:
            bands[0].read = ANY
            return Measure.ANY_SIZE, None
        stitches = named == [Measure.THOUSAND_STITCHES] and not PER_STITCHES.search(self.about)
        thousands = bool(THOUSANDS.search(self.about))
        said, tail = units_named(self.about), " cm²" if Measure.AREA in named else " cm"
        reads = []
        for cell in bands:
            ways = {"stitches": stitches, "in_thousands": thousands}
            read = read_band(cell.pasted, self.mark, **ways)
            if said == {"cm"} and not read.unit:
                read = read_band(cell.pasted + tail, self.mark, **ways)
            reads.append(read)
        for cell, read in zip(bands, reads, strict=True):
            cell.value, cell.read = read.band, read.label
            cell.doubt(read.why)
        units = {read.unit for read in reads if read.unit}
        said -= {"cm"}  # read as millimetres
        units = units or (said if len(said) == 1 else set())
        if "radius" in self.about:
            for cell in bands:
                cell.doubt(
                    "The sheet speaks of a radius. Write the size by the measure you choose."
                )
        if len(units) > 1:
            for cell in bands:
                cell.doubt("The sheet names sizes in more than one unit. Write all in one.")
        if any(read.stitches for read in reads):
            return Measure.THOUSAND_STITCHES, None
        if any(read.area for read in reads):
            named = [Measure.AREA]
        named = [m for m in named if m is not Measure.THOUSAND_STITCHES]
        return (named[0] if len(named) == 1 else None), (units.pop() if len(units) == 1 else None)

    def _counted(self) -> str:
        """What other than pieces the heads count, by what stands over them and in the corner."""
        found, rows = self.found, self.rows
        title, *over = rows[found.head - 1] if found.head > 0 and rows[found.head - 1] else [""]
        corner = cell_at(rows, found.head, found.label - found.shifted)
        return other_than_pieces(" ".join([*over, corner]).lower(), title.lower())

    def _read_prices(self, grid) -> None:
        """Read every price; doubt a currency or a number of decimals that others have not."""
        cells = [cell for row in grid[1:] for cell in row[1:]]
        for cell in cells:
            cell.read, why = read_price(cell.pasted, self.mark)
            cell.doubt(why)
        signs = Counter(filter(None, (currency_in(cell.pasted) for cell in cells)))
        self.currency = signs.most_common(1)[0][0] if signs else ""
        places = Counter(len(cell.read.partition(".")[2]) for cell in cells if cell.read)
        usual, many = places.most_common(1)[0] if places else (0, 0)
        for cell in cells:
            if currency_in(cell.pasted) not in ("", self.currency):
                cell.doubt(f"Other prices are in {self.currency}.")
            odd = cell.read and len(cell.read.partition(".")[2]) != usual
            if odd and not self.sure and usual >= 2 and 4 * many >= 3 * places.total():
                cell.doubt(f"Other prices have {usual} decimals.")

    def _doubt_rows(self, grid) -> None:
        """Doubt whole rows whose cells may stand in wrong columns, and all that is unsettled."""
        found = self.found
        wide = len(self.rows[found.head]) + found.shifted if found.head >= 0 else found.heads[0] + 1
        by_row = grid if not found.turned else [list(column) for column in zip(*grid, strict=True)]
        unlike = 0
        for row in by_row[1:]:
            cells = self.rows[row[1].at[0]]
            if not row[0].read:
                why = "Its row has no size or quantity that can be read."
            elif not self.sure and len(cells) != wide and any(cells[wide:] or [len(cells) < wide]):
                why = f"Its row has {len(cells)} cells under a header of {wide}: which is which?"
                unlike += 1
            else:
                continue
            for cell in row if found.label else row[1:]:
                cell.doubt(why)
        for above, row in pairwise(by_row[1:]):
            if found.label >= 0 and not row[0].pasted and above[0].pasted:
                above[0].doubt("The row under it has none: is it for both?")
        for cell in by_row[0][1:] if 3 * unlike >= len(by_row) else ():
            cell.doubt(f"The header has {wide} cells, unlike the rows under it: which is which?")
        for cell in [*grid[0][1:], *(row[0] for row in grid[1:])]:
            cell.doubt(found.unsure)

    def _hear_notes(self, grid, measure: Measure | None) -> None:
        """What the sheet says beside the grid: set-up, minimum, dozens, columns left out."""
        found, rows = self.found, self.rows
        used = {found.label, *found.heads}
        left_out = [
            f"column {quoted(text)}"
            for at, text in enumerate(rows[found.head] if found.head >= 0 else [])
            if text and at + found.shifted not in used
        ]
        for text in self.notes:
            low = text.lower()
            least = least_ordered(low)
            for cell in grid[0][1:] if least else ():
                if cell.value and cell.value.start < least:
                    cell.doubt(f"The sheet's minimum is {least}.")
            if SET_UP.search(low):
                self.said.append(
                    f"The sheet says {quoted(text)}. A set-up is no part of a grid: "
                    'write it into methods.csv, column "set-up".'
                )
            elif least:
                self.said.append(f"The sheet says {quoted(text)}.")
            else:
                left_out.append(quoted(text))
        if left_out:
            self.said.append(f"Not part of the grid: {'; '.join(left_out[:8])}.")
        notes = [text for text in map(str.lower, self.notes) if not SET_UP.search(text)]
        spoken = "; ".join([self.about, *notes])
        if many := prices_for_many(spoken, by_stitches=measure is Measure.THOUSAND_STITCHES):
            packed = re.search("pair|set|pack|box|roll|sheet|card", many)
            for cell in (cell for row in grid[0 if packed else 1 :] for cell in row[1:]):
                cell.doubt(f"The sheet speaks of prices {many}. Say what they are for.")
