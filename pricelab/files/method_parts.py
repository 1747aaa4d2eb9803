"""The tables whose rows hang on a method: machines, rolls, promotions, operations and costs."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from pricelab.files.cells import (
    OneOf,
    amount,
    amount_or_share,
    count,
    day,
    distance_in,
    known,
    length_in,
    more_than_nothing,
    yes_or_no,
)
from pricelab.files.faults import Report
from pricelab.files.tables import MONEY, REQUIRED, Column, Record, distinct, read_file
from pricelab.shop.charges import Charge, Element, Level
from pricelab.shop.method import Promotion, Stitching
from pricelab.shop.nesting import Roll
from pricelab.shop.work import Operation

SHOP_WIDE = ""
"""The method of rows that belong to the shop as a whole."""

_WORKED = (Level.PIECE, Level.BATCH, Level.ORDER, Level.DESIGN)


def _said(values: Iterable[Element | Level]) -> OneOf:
    """A reader of the words for some elements or levels."""
    return OneOf({value.value: value for value in values})


@dataclass(frozen=True)
class Table:
    """A table whose rows hang on a method: its columns beside `method`, and what a row makes."""

    stem: str
    columns: tuple[Column, ...]
    make: Callable[[Record, Report], object]
    once: bool = False
    shop_wide: bool = False
    required: bool = False

    def columns_with(self, keys: Sequence[str] | None) -> tuple[Column, ...]:
        """All its columns, where the methods have these keys (None: any)."""
        default = SHOP_WIDE if self.shop_wide else REQUIRED
        method = Column("method", known(keys, "a method", "methods.csv"), default)
        return (method, *self.columns)

    def read(
        self, files: Mapping[str, bytes], keys: Sequence[str] | None, report: Report
    ) -> dict[str, list] | None:
        """What the rows make, by method; None for a faulty row, or for the whole table."""
        columns = self.columns_with(keys)
        records = read_file(files, self.stem, columns, report, required=self.required)
        if records is None:
            return None
        if self.once:
            records = distinct(records, ["method"], report)
        made: dict[str, list] = {}
        for record in records:
            value = self.make(record, report) if record.sound else None
            made.setdefault(record.get("method"), []).append(value)
        return made


def tables(unit: str) -> tuple[Table, ...]:
    """The tables whose rows hang on a method."""
    stitching = (
        Column("speed", more_than_nothing, unit="stitches a minute"),
        Column("heads", count),
        Column("thread price", amount, unit=f"{MONEY} a thousand"),
        Column("change minutes", amount, 0.0),
        Column("attended", yes_or_no, Stitching.attended),
        Column("station", default=Stitching.station),
    )
    roll = (
        Column("roll width", length_in(unit), unit=unit),
        Column("edge", distance_in(unit), 0.0, unit),
        Column("gap", distance_in(unit), 0.0, unit),
        Column("price", amount, unit=f"{MONEY} for 1 {unit}"),
    )
    promotion = (Column("starts", day), Column("ends", day), Column("set-up", amount, unit=MONEY))
    operation = (
        Column("operation"),
        Column("minutes", amount),
        Column("per", _said(_WORKED)),
        Column("batch", count, None, "pieces"),
        Column("time", OneOf({"attended": True, "dwell": False}), True),
        Column("station", default=None),
    )
    cost = (
        Column("cost"),
        Column("element", _said(Element)),
        Column("level", _said(Level)),
        Column("amount", amount_or_share, unit=f"{MONEY} or %"),
        Column("batch", count, None, "pieces"),
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
        record.place(),
        Stitching,
        record["speed"],
        record["heads"],
        record["thread price"],
        record["change minutes"],
        record["attended"],
        record["station"],
        record.place(),
    )


def _roll(record: Record, unit: str, report: Report) -> Roll | None:
    return report.make(
        record.place(),
        Roll,
        record["roll width"],
        record["edge"],
        record["gap"],
        record["price"],
        unit,
        record.place("price"),
    )


def _promotion(record: Record, report: Report) -> Promotion | None:
    return report.make(
        record.place("ends"),
        Promotion,
        record["starts"],
        record["ends"],
        record["set-up"],
        record.place("set-up"),
        mend="Correct one of the two days.",
    )


def _batch(record: Record, level: Level, report: Report) -> int:
    """The pieces of a batch, which a row on batch level must tell."""
    if record["batch"] is None and level is Level.BATCH:
        place = record.place("batch")
        report.fault(place, "an empty cell", "the pieces of a batch, such as 48", "Fill it in.")
    return record["batch"] or 1


def _operation(record: Record, report: Report) -> Operation | None:
    batch = _batch(record, record["per"], report)
    return report.make(
        record.place("station"),
        Operation,
        record["operation"],
        record["minutes"],
        record["per"],
        batch,
        record["time"],
        record["station"],
        record.place("minutes"),
    )


def _charge(record: Record, report: Report) -> Charge | None:
    money, part = record["amount"]
    batch = _batch(record, record["level"], report)
    return report.make(
        record.place("amount"),
        Charge,
        record["cost"],
        record["element"],
        record["level"],
        money,
        part,
        batch,
        record.place("amount"),
        mend="Write an amount of money." if part else "",
    )
