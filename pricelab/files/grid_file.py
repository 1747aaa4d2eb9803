"""A supplier's grid as its file has it: size bands down, quantity breaks across.

The top-left cell names the measure and its unit, as in ``mean of sides (in)``, and may
go on with ``price per thousand stitches`` and ``packs of 12`` after commas.
"""

import re
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from pathlib import Path

import numpy as np

from pricelab.files.cells import BadCell, Reader, amount, nearest
from pricelab.files.faults import Fault, Report, in_order, quoted
from pricelab.files.printed import (
    Misfit,
    misfits_of_bands,
    misfits_of_breaks,
    parse_band,
    parse_break,
)
from pricelab.files.raw_table import RawTable, read_raw
from pricelab.files.source import Folder
from pricelab.files.tables import read_cell
from pricelab.shop.grids import PER_PIECE, PER_THOUSAND_STITCHES, Grid
from pricelab.shop.place import Place, Sheet
from pricelab.shop.sizes import Measure
from pricelab.shop.units import UNITS

ANY = "any"
"""The label of the one row of a grid whose price hangs on the quantity alone."""

_HEADINGS: dict[str, tuple[Measure, str | None]] = {
    f"{measure.value} ({unit})" if unit else measure.value: (measure, unit)
    for measure in Measure
    for unit in (UNITS if measure.has_unit else (None,))
}
_PRICE_PER = f"price per {PER_THOUSAND_STITCHES}"
_PACKS = re.compile(r"packs of ([1-9][0-9]{0,5})")


def read_grid(path: Path | str) -> tuple[Grid, tuple[Fault, ...]]:
    """The grid in a file of its own and what is worth a look in it; raises `ShopFaults`."""
    path, report = Path(path), Report()
    grid = grid_in(Folder(path.parent), path.name, report)
    report.raise_faults()
    return grid, in_order(report.warnings)


def grid_in(files: Mapping[str, bytes], file: str, report: Report) -> Grid | None:
    """The grid in `file`, named from a shop's `files`; None, with all its faults, if faulty."""
    table = read_raw(files, file, report)
    return None if table is None else grid_of(table, report)


def grid_of(table: RawTable, report: Report) -> Grid | None:
    """The grid that a table is; None, with all its faults, if faulty."""
    before, header = len(report.faults), Place(table.file, table.header.number)
    heading = read_cell(table.header.cell(0), table.mark, _heading, header, report)
    breaks = _read_breaks(table, report)
    any_size = heading is not None and heading["measure"] is Measure.ANY_SIZE
    bands = _read_any(table, report) if any_size else _read_bands(table, report)
    wide = table.wide_rows(report) if breaks else frozenset()
    prices = [
        [
            read_cell(row.cell(at), table.mark, amount, table.place(row, at), report)
            for at in range(1, len(table.header.cells))
        ]
        for row in table.rows
        if row.number not in wide
    ]
    if len(report.faults) > before:
        return None
    sheet = Sheet(table.file, tuple(row.number for row in table.rows), table.header.cells[1:])
    name = unicodedata.normalize("NFC", Path(table.file).stem)
    figures = {"bands": bands, "breaks": breaks, "prices": prices}
    grid = report.make(Place(table.file), Grid, name, sheet=sheet, **figures, **heading)
    if grid is not None:
        warn_of_prices(grid, report)
    return grid


def _heading(text: str, mark: str) -> dict[str, object]:
    """What the top-left cell says: measure, unit, per and pack."""
    said, *options = (part.strip() for part in text.split(","))
    if said not in _HEADINGS:
        mend = nearest(said, _HEADINGS) or f"Write one of: {', '.join(_HEADINGS)}."
        raise BadCell('a measure such as "mean of sides (in)" or "area (mm)"', mend)
    measure, unit = _HEADINGS[said]
    per, pack = PER_PIECE, 1
    for option in options:
        packs = _PACKS.fullmatch(option)
        if packs:
            pack = int(packs[1])
        elif option == _PRICE_PER:
            per = PER_THOUSAND_STITCHES
        else:
            raise BadCell(
                f'"{_PRICE_PER}" or "packs of 12" after the measure', f"Correct {quoted(option)}."
            )
    return {"measure": measure, "unit": unit, "per": per, "pack": pack}


def heading_of(measure: Measure, unit: str | None, per: str = PER_PIECE, pack: int = 1) -> str:
    """The top-left cell of a grid, as `read_grid` reads it.

    >>> heading_of(Measure.AREA, "mm", pack=12)
    'area (mm), packs of 12'
    """
    said = [f"{measure.value} ({unit})" if measure.has_unit else measure.value]
    said += [_PRICE_PER] if per == PER_THOUSAND_STITCHES else []
    return ", ".join([*said, f"packs of {pack}"] if pack > 1 else said)


def _read_breaks(table: RawTable, report: Report) -> list[int]:
    """The quantities across the top, with a fault for each that is unfit."""
    header = table.header
    labels = [(text, table.place(header, at)) for at, text in enumerate(header.cells[1:], 1)]
    if not labels:
        report.fault(
            Place(table.file, header.number),
            "no quantity breaks",
            "quantities such as 12, 24, 48 across the first row",
            "Write them to the right of the measure.",
        )
    breaks = read_labels(labels, table.mark, parse_break, misfits_of_breaks, report)
    return [break_.start for break_ in breaks if break_ is not None]


def _read_bands(table: RawTable, report: Report) -> list[float]:
    """The upper ends of the bands down the first column, with a fault for each that is unfit."""
    _check_rows(table, "size bands such as 2.50 down the first column", report)
    labels = [(row.cell(0), table.place(row, 0)) for row in table.rows]
    bands = read_labels(labels, table.mark, parse_band, misfits_of_bands, report)
    return [float(band.upper) for band in bands if band is not None]


def _read_any(table: RawTable, report: Report) -> list[float]:
    """The one band without an end, of a grid by any size."""
    expected = f'one row labelled "{ANY}" in a grid by any size'
    _check_rows(table, expected, report)
    for at, row in enumerate(table.rows):
        if at or row.cell(0) != ANY:
            mend = f'Remove the row, or label it "{ANY}" if it is the only one.'
            report.fault(table.place(row, 0), quoted(row.cell(0)), expected, mend)
    return [np.inf]


def _check_rows(table: RawTable, expected: str, report: Report) -> None:
    if not table.rows:
        found, mend = "a first row and no others", "Add the supplier's rows."
        report.fault(Place(table.file), found, expected, mend)


def read_labels(
    labels: Sequence[tuple[str, Place]],
    mark: str,
    read: Reader,
    misfits_of: Callable[[Sequence], Iterator[Misfit]],
    report: Report,
) -> list:
    """What labels at their places mean, None where one cannot be read; misfits are faults too."""
    values = [read_cell(text, mark, read, place, report) for text, place in labels]
    sound = [at for at, value in enumerate(values) if value is not None]
    places = [labels[at][1] for at in sound]
    tell_misfits(misfits_of([values[at] for at in sound]), places, report)
    return values


def tell_misfits(misfits: Iterable[Misfit], places: Sequence[Place], report: Report) -> None:
    """A fault for each of the values at the places that does not go with the others."""
    for misfit in misfits:
        report.fault(places[misfit.at], misfit.found, misfit.expected, misfit.mend)


def warn_of_prices(grid: Grid, report: Report) -> None:
    """Warn of every price above that of a smaller quantity or of a larger size beside it."""
    prices, breaks, bands = grid.prices, grid.breaks, grid.bands
    check = "Compare it with the supplier's own sheet."
    for band, at in np.argwhere(np.diff(prices, axis=1) > 0):
        report.warn(
            grid.place(band, at + 1),
            f"a price of {prices[band, at + 1]:g} from {breaks[at + 1]} pieces "
            f"after {prices[band, at]:g} from {breaks[at]}",
            "no price that rises with quantity",
            check,
        )
    for at, break_ in np.argwhere(np.diff(prices, axis=0) < 0):
        report.warn(
            grid.place(at + 1, break_),
            f"a price of {prices[at + 1, break_]:g} for sizes up to {bands[at + 1]:g} "
            f"under {prices[at, break_]:g} for sizes up to {bands[at]:g}",
            "no larger size that costs less",
            check,
        )
