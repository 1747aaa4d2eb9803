"""methods.csv and the tables that hang on it: how the shop decorates, and what that takes.

Rows of operations.csv and costs.csv without a method are the shop's own.
"""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from pricelab.files.cells import (
    amount,
    amount_or_share,
    count,
    day,
    distance_in,
    known,
    length_in,
    more_than_nothing,
    one_of,
    share,
    some_share,
    yes_or_no,
)
from pricelab.files.faults import Report, quoted
from pricelab.files.gridfile import grid_in
from pricelab.files.rawtable import SUFFIXES, find_file
from pricelab.files.tables import Column, Record, keys_of, read_file, refuse_repeats
from pricelab.grids import Grid
from pricelab.nesting import Roll
from pricelab.shop import (
    Charge,
    Density,
    Element,
    Level,
    Method,
    Operation,
    Promotion,
    Stitching,
)

GRIDS = "grids"
SHOP_WIDE = ""
"""The method of rows that belong to the shop as a whole."""

_NO_LIMIT = float("inf")
_WORKED = (Level.PIECE, Level.BATCH, Level.ORDER, Level.DESIGN)


def _words_of(values, expected: str):
    return one_of({value.value: value for value in values}, expected)


def method_columns(unit: str) -> tuple[Column, ...]:
    """The columns of methods.csv; lengths are in `unit` unless a cell says otherwise."""
    return (
        Column("method"),
        Column("name", default=None),
        Column("grid", default=None),
        Column("set-up", amount, 0.0),
        Column("repeat set-up", amount, 0.0),
        Column("spoilage", share, 0.0),
        Column("max width", length_in(unit), _NO_LIMIT),
        Column("max height", length_in(unit), _NO_LIMIT),
        Column("smallest side", distance_in(unit), 0.0),
        Column("heat", amount, None),
        Column("stitches per square", more_than_nothing, None),
        Column("filled share", some_share, 1.0),
        Column("care", default=""),
    )


@dataclass(frozen=True)
class Table:
    """A table whose rows hang on a method: its columns beside `method`, and what a row makes."""

    stem: str
    columns: tuple[Column, ...]
    make: Callable[[Record, Report], object]
    once: bool = False
    shop_wide: bool = False
    required: bool = False

    def read(
        self, folder: Path, keys: Sequence[str] | None, report: Report
    ) -> dict[str, list] | None:
        """What the rows make, by method; None for a faulty row, or for the whole table."""
        method = Column("method", known(keys, "a method", "methods.csv"))
        if self.shop_wide:
            method = Column(method.name, method.read, SHOP_WIDE)
        columns = (method, *self.columns)
        records = read_file(folder, self.stem, columns, report, required=self.required)
        if records is None:
            return None
        if self.once:
            refuse_repeats(records, ["method"], report)
        made: dict[str, list] = {}
        for record in records:
            value = self.make(record, report) if record.sound else None
            made.setdefault(record.get("method"), []).append(value)
        return made


def tables(unit: str) -> tuple[Table, ...]:
    """The tables whose rows hang on a method."""
    stitching = (
        Column("speed", more_than_nothing),
        Column("heads", count),
        Column("thread price", amount),
        Column("change minutes", amount, 0.0),
        Column("attended", yes_or_no, Stitching.attended),
        Column("station", default=Stitching.station),
    )
    roll = (
        Column("roll width", length_in(unit)),
        Column("edge", distance_in(unit), 0.0),
        Column("gap", distance_in(unit), 0.0),
        Column("price", amount),
    )
    promotion = (Column("starts", day), Column("ends", day), Column("set-up", amount))
    operation = (
        Column("operation"),
        Column("minutes", amount),
        Column("per", _words_of(_WORKED, "piece, batch, order or design")),
        Column("batch", count, 1),
        Column("time", one_of({"attended": True, "dwell": False}, "attended or dwell"), True),
        Column("station", default=None),
    )
    cost = (
        Column("cost"),
        Column("element", _words_of(Element, f"one of {', '.join(e.value for e in Element)}")),
        Column("level", _words_of(Level, f"one of {', '.join(e.value for e in Level)}")),
        Column("amount", amount_or_share),
        Column("batch", count, 1),
    )
    return (
        Table("stitching", stitching, _stitching, once=True),
        Table("rolls", roll, lambda record, report: _roll(record, unit, report), once=True),
        Table("promotions", promotion, _promotion),
        Table("operations", operation, _operation, shop_wide=True, required=True),
        Table("costs", cost, _charge, shop_wide=True, required=True),
    )


def _stitching(record: Record, report: Report) -> Stitching | None:
    return report.make(
        record.place(), Stitching, record["speed"], record["heads"], record["thread price"],
        record["change minutes"], record["attended"], record["station"], record.place(),
    )  # fmt: skip


def _roll(record: Record, unit: str, report: Report) -> Roll | None:
    return report.make(
        record.place("roll width"), Roll, record["roll width"], record["edge"], record["gap"],
        record["price"], unit, record.place("price"),
    )  # fmt: skip


def _promotion(record: Record, report: Report) -> Promotion | None:
    return report.make(
        record.place("ends"), Promotion, record["starts"], record["ends"], record["set-up"],
        record.place("set-up"), mend="Correct one of the two days.",
    )  # fmt: skip


def _operation(record: Record, report: Report) -> Operation | None:
    return report.make(
        record.place("station"), Operation, record["operation"], record["minutes"], record["per"],
        record["batch"], record["time"], record["station"], record.place("minutes"),
    )  # fmt: skip


def _charge(record: Record, report: Report) -> Charge | None:
    money, part = record["amount"]
    return report.make(
        record.place("amount"), Charge, record["cost"], record["element"], record["level"],
        money, part, record["batch"], record.place("amount"),
        mend="Write an amount of money." if part else "",
    )  # fmt: skip


@dataclass(frozen=True)
class MethodFiles:
    """Methods by key, every key that stands in methods.csv (None if unreadable), shop-wide rows."""

    methods: dict[str, Method]
    keys: tuple[str, ...] | None
    operations: tuple[Operation, ...]
    charges: tuple[Charge, ...]


def read_methods(folder: Path, unit: str, report: Report) -> MethodFiles:
    """methods.csv with its grids, and the tables that hang on it."""
    records = read_file(folder, "methods", method_columns(unit), report, rows=True)
    keys = keys_of(records, "method")
    refuse_repeats(records or (), ["method"], report)
    parts = {table.stem: table.read(folder, keys, report) for table in tables(unit)}
    grids: dict[str, Grid | None] = {}
    methods = {}
    for record in records or ():
        stem = record.get("grid")
        if stem and stem not in grids:
            grids[stem] = _grid(folder, record, report)
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


def _grid(folder: Path, record: Record, report: Report) -> Grid | None:
    """The grid a method names, out of the folder of grids and from nowhere else."""
    stem, place = record["grid"], record.place("grid")
    if not re.fullmatch(r"[^\s./\\:][^/\\:\0]{0,59}", stem):
        report.fault(
            place, quoted(stem), "the name of a file in grids", "Write it without a folder."
        )
        return None
    inside = folder / GRIDS
    file = find_file(folder, f"{GRIDS}/{stem}", report) if inside.is_dir() else None
    if file is not None:
        return grid_in(folder, file, report)
    there = sorted({path.stem for path in inside.glob("*") if path.suffix in SUFFIXES})
    report.fault(
        place,
        quoted(stem),
        f"a file {GRIDS}/{stem[:40]}.csv or .xlsx",
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
