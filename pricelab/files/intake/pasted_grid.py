"""One grid of a supplier's sheet, read cell by cell, with every doubt marked."""

import re
from collections import Counter
from dataclasses import dataclass
from itertools import pairwise

from pricelab.files.faults import quoted
from pricelab.files.grid_file import ANY
from pricelab.files.intake.find_grid import Found, cell_at, head_text
from pricelab.files.intake.pasted import (
    THOUSANDS_OR_DECIMALS,
    currency_in,
    read_band,
    read_break,
    read_price,
    votes_for_mark,
)
from pricelab.files.intake.pasted_cells import (
    Cell,
    check_labels,
    check_prices,
    doubt_all,
    risen,
)
from pricelab.files.intake.pasted_text import Rows
from pricelab.files.intake.sheet_words import (
    LEAST,
    PACKS,
    PER_STITCHES,
    SET_UP,
    THOUSANDS,
    measures_named,
    number_said,
    other_than_pieces,
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
        label = max(found.label, 0)
        places = [(found.head, at - found.shifted) for at in found.heads]
        heads = [Cell(place, head_text(rows, *place, found.turned)) for place in places]
        grid = [[Cell((max(found.head, 0), label), ""), *heads]]
        for row in found.body:
            name = Cell((row, label), cell_at(rows, row, found.label))
            grid.append([name, *(Cell((row, at), cell_at(rows, row, at)) for at in found.heads)])
        if found.turned:
            grid = [list(column) for column in zip(*grid, strict=True)]
        votes = Counter(v for row in grid[1:] for c in row for v in votes_for_mark(c.pasted))
        (mark, most), (_, fewer) = (*votes.most_common(2), ("", 0), ("", 0))[:2]
        self.mark = mark if most > fewer else ""  # where nothing settles it
        measure, unit = self._read_labels(grid)
        currency = self._read_prices(grid)
        self._doubt_rows(grid)
        grid = risen(grid)
        if _GROUPED.search(grid[0][1].pasted):  # no smaller one to tell
            doubt_all(grid[0][1:], THOUSANDS_OR_DECIMALS)
        check_labels(grid)
        check_prices(grid)
        self._hear_notes(grid, measure)
        doubts = tuple(
            Doubt(cell.place, (r, c), cell.pasted, cell.read, " ".join(cell.whys))
            for r, row in enumerate(grid)
            for c, cell in enumerate(row)
            if cell.whys
        )
        stitched = PER_STITCHES.search(self.about) and measure is not Measure.THOUSAND_STITCHES
        per = PER_THOUSAND_STITCHES if stitched else PER_PIECE
        cells, pack = (
            tuple(tuple(cell.read for cell in row) for row in grid),
            number_said(PACKS, self.about) or 1,
        )
        return Reading(cells, doubts, tuple(self.said), measure, unit, per, pack, currency)

    def _read_labels(self, grid) -> tuple[Measure | None, str | None]:
        """Read quantities and sizes; the measure and unit, as far as the sheet says them."""
        breaks, bands = grid[0][1:], [row[0] for row in grid[1:]]
        for cell in breaks:
            cell.take(*read_break(cell.pasted))
        if others := self._counted():
            doubt_all(breaks, f"The head speaks of {others}. Write quantities of pieces.")
        if all(re.fullmatch("(?:19|20)[0-9]{2}", cell.pasted) for cell in breaks):
            doubt_all(breaks, "It could be a year. Write a quantity of pieces.")
        named = measures_named("; ".join([self.about, *(cell.pasted.lower() for cell in bands)]))
        if self.found.any_size:
            bands[0].read = ANY
            return Measure.ANY_SIZE, None
        ways = {
            "stitches": named == [Measure.THOUSAND_STITCHES]
            and not PER_STITCHES.search(self.about),
            "in_thousands": bool(THOUSANDS.search(self.about)),
        }
        said, tail = units_named(self.about), " cm²" if Measure.AREA in named else " cm"
        reads = []
        for cell in bands:
            read = read_band(cell.pasted, self.mark, **ways)
            if said == {"cm"} and not read.unit:
                read = read_band(cell.pasted + tail, self.mark, **ways)
            cell.take(read.band, read.why)
            reads.append(read)
        units = {read.unit for read in reads if read.unit}
        said -= {"cm"}  # read as millimetres
        units = units or (said if len(said) == 1 else set())
        if "radius" in self.about:
            why = "The sheet speaks of a radius. Write the size by the measure you choose."
            doubt_all(bands, why)
        if len(units) > 1:
            doubt_all(bands, "The sheet names sizes in more than one unit. Write all in one.")
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

    def _read_prices(self, grid) -> str:
        """Read every price, and doubt a currency or a number of decimals that others have not.

        Returns the currency of most.
        """
        cells = [cell for row in grid[1:] for cell in row[1:]]
        for cell in cells:
            cell.read, why = read_price(cell.pasted, self.mark)
            cell.doubt(why)
        signs = Counter(filter(None, (currency_in(cell.pasted) for cell in cells)))
        currency = signs.most_common(1)[0][0] if signs else ""
        places = Counter(len(cell.read.partition(".")[2]) for cell in cells if cell.read)
        usual, many = places.most_common(1)[0] if places else (0, 0)
        for cell in cells:
            if currency_in(cell.pasted) not in ("", currency):
                cell.doubt(f"Other prices are in {currency}.")
            odd = cell.read and len(cell.read.partition(".")[2]) != usual
            if odd and not self.sure and usual >= 2 and 4 * many >= 3 * places.total():
                cell.doubt(f"Other prices have {usual} decimals.")
        return currency

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
            doubt_all(row if found.label else row[1:], why)
        for above, row in pairwise(by_row[1:]):
            if found.label >= 0 and not row[0].pasted and above[0].pasted:
                above[0].doubt("The row under it has none: is it for both?")
        if 3 * unlike >= len(by_row):
            why = f"The header has {wide} cells, unlike the rows under it: which is which?"
            doubt_all(by_row[0][1:], why)
        doubt_all([*grid[0][1:], *(row[0] for row in grid[1:])], found.unsure)

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
            least = number_said(LEAST, low)
            fewer = [cell for cell in grid[0][1:] if cell.value and cell.value.start < (least or 0)]
            doubt_all(fewer, f"The sheet's minimum is {least}.")
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
            cells = (cell for row in grid[0 if packed else 1 :] for cell in row[1:])
            doubt_all(cells, f"The sheet speaks of prices {many}. Say what they are for.")
