"""methods.csv and the tables that hang on it: how the shop decorates, and what that takes.

Rows of operations.csv and costs.csv without a method are the shop's own.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import PurePosixPath

from pricelab.files.cells import (
    amount,
    distance_in,
    length_in,
    more_than_nothing,
    share,
    some_share,
)
from pricelab.files.faults import Report, one_line, quoted
from pricelab.files.grid_file import grid_in
from pricelab.files.method_parts import SHOP_WIDE, tables
from pricelab.files.raw_table import find_file
from pricelab.files.source import GRIDS, SUFFIXES
from pricelab.files.tables import HEAT, MONEY, Column, Record, distinct_names, keys_of, read_file
from pricelab.shop.charges import Charge
from pricelab.shop.grids import Grid
from pricelab.shop.method import Density, Method
from pricelab.shop.work import Operation

_NO_LIMIT = float("inf")


def method_columns(unit: str) -> tuple[Column, ...]:
    """The columns of methods.csv; lengths are in `unit` unless a cell says otherwise."""
    return (
        Column("method"),
        Column("name", default=None),
        Column("grid", default=None),
        Column("set-up", amount, 0.0, MONEY),
        Column("repeat set-up", amount, 0.0, MONEY),
        Column("spoilage", share, 0.0),
        Column("max width", length_in(unit), _NO_LIMIT, unit),
        Column("max height", length_in(unit), _NO_LIMIT, unit),
        Column("smallest side", distance_in(unit), 0.0, unit),
        Column("heat", amount, None, HEAT),
        Column("stitches per square", more_than_nothing, None, f"square {unit}"),
        Column("filled share", some_share, 1.0),
        Column("care", default=""),
    )


@dataclass(frozen=True)
class MethodFiles:
    """Methods by key, every key that stands in methods.csv (None if unreadable), shop-wide rows."""

    methods: dict[str, Method]
    keys: tuple[str, ...] | None
    operations: tuple[Operation, ...]
    charges: tuple[Charge, ...]


def read_methods(files: Mapping[str, bytes], unit: str, report: Report) -> MethodFiles:
    """methods.csv with its grids, and the tables that hang on it."""
    records = read_file(files, "methods", method_columns(unit), report, rows=True)
    keys = keys_of(records, "method")
    parts = {table.stem: table.read(files, keys, report) for table in tables(unit)}
    grids: dict[str, Grid | None] = {}
    methods = {}
    for record in distinct_names(records or (), "method", report):
        stem = record.get("grid")
        if stem and stem not in grids:
            grids[stem] = _grid(files, record, report)
        own = {
            name: [None] if rows is None else rows.get(record.get("method"), [])
            for name, rows in parts.items()
        }
        faulty = any(None in rows for rows in own.values()) or (stem and grids[stem] is None)
        if record.sound and not faulty:
            method = _method(record, unit, grids.get(stem), own, report)
            if method is not None:
                methods[method.key] = method
    shop_wide = {
        name: tuple(row for row in (rows or {}).get(SHOP_WIDE, ()) if row is not None)
        for name, rows in parts.items()
    }
    return MethodFiles(methods, keys, shop_wide["operations"], shop_wide["costs"])


def grid_names(files: Mapping[str, bytes]) -> list[str]:
    """What the grids of a shop are called, without their endings."""
    paths = (PurePosixPath(name) for name in files if name.startswith(f"{GRIDS}/"))
    return sorted({path.stem for path in paths if path.suffix in SUFFIXES})


def _grid(files: Mapping[str, bytes], record: Record, report: Report) -> Grid | None:
    """The grid a method names, out of the folder of grids and from nowhere else."""
    stem, place = record["grid"], record.place("grid")
    if not re.fullmatch(r"[^\s./\\:][^/\\:\0]{0,59}", stem):
        report.fault(
            place, quoted(stem), "the name of a file in grids", "Write it without a folder."
        )
        return None
    file = find_file(files, f"{GRIDS}/{stem}", report)
    if file is not None:
        return grid_in(files, file, report)
    there = grid_names(files)
    report.fault(
        place,
        quoted(stem),
        f"a file {one_line(GRIDS + '/' + stem)}.csv or .xlsx",
        f"Put it there, or write one of: {', '.join(there)}." if there else "Put it there.",
    )
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
