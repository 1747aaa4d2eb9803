"""methods.csv and the tables that hang on it: how the shop decorates, and what that takes.

Rows of operations.csv and costs.csv without a method are the shop's own.
"""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import PurePosixPath

from pricelab.files.faults import Report, one_line, quoted
from pricelab.files.grid_file import grid_in
from pricelab.files.raw_table import find_file
from pricelab.files.schema import SHOP_WIDE, Keys
from pricelab.files.source import GRIDS, SUFFIXES
from pricelab.files.tables import Record, distinct, distinct_names, keys_of, read_file
from pricelab.shop.charges import Charge, Level
from pricelab.shop.grids import Grid
from pricelab.shop.method import Density, Method, Promotion, Stitching
from pricelab.shop.nesting import Roll
from pricelab.shop.work import Operation


@dataclass(frozen=True)
class MethodFiles:
    """Methods by key, every key that stands in methods.csv (None if unreadable), shop-wide rows."""

    methods: dict[str, Method]
    keys: tuple[str, ...] | None
    operations: tuple[Operation, ...]
    charges: tuple[Charge, ...]


@dataclass(frozen=True)
class _Part:
    """A table whose rows hang on a method, and what is made of the cells of a row after that.

    Its figure stands in the column `figure`; what its own check refuses is told at `at`, with
    the `mend`.
    """

    make: Callable[..., object]
    figure: str | None = None
    at: str | None = None
    mend: str = ""
    once: bool = False
    required: bool = False
    in_unit: bool = False


def _operation(name, minutes, per, batch, attended, station, place) -> Operation:
    return Operation(name, minutes, per, batch or 1, attended, station, place)


def _charge(name, element, level, amount, batch, of, place) -> Charge:
    return Charge(name, element, level, *amount, batch or 1, of, place)


_PARTS = {
    "stitching": _Part(Stitching, once=True),
    "rolls": _Part(Roll, "price", once=True, in_unit=True),
    "promotions": _Part(Promotion, "set-up", "ends", "Correct one of the two days."),
    "operations": _Part(_operation, "minutes", "station", required=True),
    "costs": _Part(_charge, "amount", "amount", "Write an amount of money.", required=True),
}


def read_methods(files: Mapping[str, bytes], unit: str, report: Report) -> MethodFiles:
    """methods.csv with its grids, and the tables that hang on it."""
    records = read_file(files, "methods", Keys(unit), report, rows=True)
    keys = Keys(unit, keys_of(records, "method"))
    records = distinct_names(records or (), "method", report)
    parts = {table: _read_part(files, table, keys, report) for table in _PARTS}
    grids: dict[str | None, Grid | None] = {}
    methods = {}
    for record in records:
        stem = record.get("grid")
        if stem and stem not in grids:
            grids[stem] = _grid(files, record, report)
        own = {
            table: [None] if rows is None else rows.get(record.get("method"), [])
            for table, rows in parts.items()
        }
        faulty = any(None in rows for rows in own.values()) or (stem and grids[stem] is None)
        if record.sound and not faulty:
            method = _method(record, unit, grids.get(stem), own, report)
            if method is not None:
                methods[method.key] = method
    shop_wide = (
        tuple(row for row in (parts[table] or {}).get(SHOP_WIDE, ()) if row is not None)
        for table in ("operations", "costs")
    )
    return MethodFiles(methods, keys.methods, *shop_wide)


def _read_part(
    files: Mapping[str, bytes], table: str, keys: Keys, report: Report
) -> dict[str, list] | None:
    """What the rows make, by method; None for a faulty row, or for the whole table."""
    part = _PARTS[table]
    records = read_file(files, table, keys, report, required=part.required)
    if records is None:
        return None
    made: dict[str, list] = {}
    for record in distinct(records, ["method"], report) if part.once else records:
        value = None
        if record.sound:
            _, *cells = record.values.values()
            if Level.BATCH in cells and record["batch"] is None:
                wanted = "the pieces of a batch, such as 48"
                report.fault(record.place("batch"), "an empty cell", wanted, "Fill it in.")
            cells += [keys.unit] * part.in_unit + [record.place(part.figure)]
            value = report.make(record.place(part.at), part.make, *cells, mend=part.mend)
        made.setdefault(record.get("method"), []).append(value)
    return made


def grid_names(files: Iterable[str]) -> list[str]:
    """What the grids of a shop are called, without their endings."""
    paths = (PurePosixPath(name) for name in files if name.startswith(f"{GRIDS}/"))
    return sorted({path.stem for path in paths if path.suffix in SUFFIXES})


def _grid(files: Mapping[str, bytes], record: Record, report: Report) -> Grid | None:
    """The grid a method names, out of the folder of grids and from nowhere else."""
    stem, place = record["grid"], record.place("grid")
    if not re.fullmatch(r"[^\s./\\:][^/\\:\0]{0,59}", stem):
        wanted = "the name of a file in grids"
        report.fault(place, quoted(stem), wanted, "Write it without a folder.")
        return None
    file = find_file(files, f"{GRIDS}/{stem}", report)
    if file is not None:
        return grid_in(files, file, report)
    there = grid_names(files)
    wanted = f"a file {one_line(f'{GRIDS}/{stem}')}.csv or .xlsx"
    mend = f"Put it there, or write one of: {', '.join(there)}." if there else "Put it there."
    report.fault(place, quoted(stem), wanted, mend)
    return None


def _method(
    record: Record, unit: str, grid: Grid | None, own: dict[str, list], report: Report
) -> Method | None:
    stitches = record["stitches per square"]
    return report.make(
        record.place("grid"),
        Method,
        record["method"],
        record["name"] or record["method"],
        unit,
        grid=grid,
        stitching=next(iter(own["stitching"]), None),
        roll=next(iter(own["rolls"]), None),
        density=Density(stitches, unit, record["filled share"]) if stitches else None,
        setup=record["set-up"],
        repeat_setup=record["repeat set-up"],
        promotions=tuple(own["promotions"]),
        operations=tuple(own["operations"]),
        charges=tuple(own["costs"]),
        spoilage=record["spoilage"],
        max_width=record["max width"],
        max_height=record["max height"],
        min_side=record["smallest side"],
        heat=record["heat"],
        care=record["care"],
        place=record.place(),
    )
