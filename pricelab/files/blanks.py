"""blanks.csv and blank_prices.csv: the pieces to decorate and what they cost by quantity."""

from collections.abc import Mapping, Sequence
from itertools import pairwise

from pricelab.files.faults import Report, one_line, quoted
from pricelab.files.grid_file import warn_of_prices
from pricelab.files.schema import Keys
from pricelab.files.tables import Record, distinct_names, keys_of, read_file
from pricelab.shop.blank import Blank
from pricelab.shop.grids import Grid
from pricelab.shop.place import Sheet


def read_blanks(
    files: Mapping[str, bytes], unit: str, report: Report
) -> tuple[dict[str, Blank], tuple[str, ...] | None]:
    """The blanks by key, and every key that stands in the file (None if it could not be read)."""
    records = read_file(files, "blanks", Keys(unit), report, rows=True)
    keys = keys_of(records, "blank")
    records = distinct_names(records or (), "blank", report)
    rows = read_file(files, "blank_prices", Keys(unit, blanks=keys), report, rows=True)
    of_blank: dict[str | None, list[Record]] = {}
    for row in rows or ():
        of_blank.setdefault(row.get("blank"), []).append(row)
    misspelt = rows is None or None in of_blank
    blanks = {}
    for record in records:
        key, before = record.get("blank"), len(report.faults)
        own = of_blank.get(key, []) if key else []
        if key and not own and not misspelt:
            report.fault(
                record.place("blank"),
                f"{quoted(key)} without a price",
                "its prices in blank_prices.csv",
                "Add a row there with the quantity the price holds from.",
            )
        _check_rising(own, report)
        sound = record.sound and own and all(row.sound for row in own)
        if sound and len(report.faults) == before:
            blanks[key] = _blank(record, own, unit, report)
    return blanks, keys


def _check_rising(rows: Sequence[Record], report: Report) -> None:
    for before, row in pairwise(row for row in rows if row.get("from") is not None):
        if row["from"] <= before["from"]:
            report.fault(
                row.place("from"),
                f'"{row["from"]}" after "{before["from"]}" for {one_line(row["blank"])}',
                "quantities that rise downward",
                "Sort the rows by quantity and keep one of equal ones.",
            )


def _blank(record: Record, rows: Sequence[Record], unit: str, report: Report) -> Blank | None:
    name = record["name"] or record["blank"]
    prices = report.make(
        record.place(),
        Grid.by_quantity,
        name,
        [row["from"] for row in rows],
        [row["price"] for row in rows],
        pack=record["pack"],
        sheet=Sheet(rows[0].file, tuple(row.row for row in rows), ("price",), long=True),
    )
    if prices is None:
        return None
    warn_of_prices(prices, report)
    return report.make(
        record.place(),
        Blank,
        record["blank"],
        name,
        prices,
        record["panel width"],
        record["panel height"],
        unit,
        record["make-up"],
        record["heat limit"],
        record["care"],
        record.place(),
    )
