"""price_list.csv: today's printed prices, a row for each size of a method on a blank."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from pricelab.files.cells import more_than_nothing
from pricelab.files.faults import Report, quoted
from pricelab.files.grid_file import read_labels, tell_misfits
from pricelab.files.printed import (
    Break,
    misfits_of_bands,
    misfits_of_breaks,
    parse_break,
)
from pricelab.files.raw_table import RawTable
from pricelab.files.schema import Column, Keys, columns_of
from pricelab.files.tables import Record, read_cell, read_records, read_table
from pricelab.lists.basis import list_measure
from pricelab.shop.method import Method
from pricelab.shop.place import Sheet
from pricelab.shop.price_list import PriceList
from pricelab.shop.pricing_rules import Tax

STEM = "price_list"


@dataclass(frozen=True)
class Tier:
    """A tier of the list: the column it stands in, and its quantities as its heading says them."""

    at: int
    quantities: Break


@dataclass(frozen=True)
class Printed:
    """A row that was read: its record and its prices by tier, without tiers not offered."""

    record: Record
    prices: dict[int, float]

    @property
    def offered(self) -> tuple[int, ...]:
        """Indices of the tiers that have a price."""
        return tuple(self.prices)


def read_price_lists(
    files: Mapping[str, bytes],
    keys: Keys,
    methods: dict[str, Method],
    tax: Tax,
    largest_order: int,
    report: Report,
) -> tuple[PriceList, ...]:
    """The lists, one for each method on a blank; the last tier ends at `largest_order`.

    A last heading such as ``96–500`` says where the list ends itself. Lists of methods
    that could not be read are checked, and left out.
    """
    table = read_table(files, STEM, report, required=False)
    if table is None:
        return ()
    found = len(report.faults)
    tiers = _read_tiers(table, report)
    whole = len(report.faults) == found
    lists = []
    for (method, _), rows in _read_rows(table, columns_of(STEM, keys), tiers, report).items():
        before = len(report.faults)
        sizes = misfits_of_bands([row.record["size"] for row in rows])
        tell_misfits(sizes, [row.record.place("size") for row in rows], report)
        _check_offers(rows, tiers, report)
        if whole and len(report.faults) == before and method in methods:
            lists.append(_make(rows, tiers, methods[method], tax, largest_order, report))
    return tuple(price_list for price_list in lists if price_list is not None)


def _read_tiers(table: RawTable, report: Report) -> list[Tier]:
    """The tiers across the top: the columns whose headings begin with a digit."""
    header = table.header
    found = [(at, heading) for at, heading in enumerate(header.cells) if heading[:1].isdigit()]
    labels = [(heading, table.place(header, at)) for at, heading in found]
    breaks = read_labels(labels, table.mark, parse_break, misfits_of_breaks, report)
    if not found:
        report.fault(
            table.place(header, len(header.cells)),
            "no quantity tiers",
            "quantities such as 12, 24, 48 in the first row",
            "Write them to the right of the sizes.",
        )
    tiers = zip([at for at, _ in found], breaks, strict=True)
    return [Tier(at, quantities) for at, quantities in tiers if quantities is not None]


def _read_rows(
    table: RawTable, columns: Sequence[Column], tiers: Sequence[Tier], report: Report
) -> dict[tuple[str, str], list[Printed]]:
    """The sound rows by method and blank, in the file's order."""
    wide = table.wide_rows(report)
    rows = [row for row in table.rows if row.number not in wide]
    named = [at for at, text in enumerate(table.header.cells) if not text[:1].isdigit()]
    left = [replace(row, cells=tuple(row.cell(at) for at in named)) for row in rows]
    header = replace(table.header, cells=tuple(table.header.cell(at) for at in named))
    records = read_records(replace(table, header=header, rows=tuple(left)), columns, report)
    lists: dict[tuple[str, str], list[Printed]] = {}
    for row, record in zip(rows, records, strict=True):
        before, prices = len(report.faults), {}
        for index, tier in enumerate(tiers):
            text = row.cell(tier.at)
            if text:
                place = record.place(tier.quantities.text)
                prices[index] = read_cell(text, table.mark, more_than_nothing, place, report)
        if record.sound and len(report.faults) == before:
            lists.setdefault((record["method"], record["blank"]), []).append(
                Printed(record, prices)
            )
    return lists


def _check_offers(rows: Sequence[Printed], tiers: Sequence[Tier], report: Report) -> None:
    """Tiers without a price stand at the list's ends only, the same ones for every size."""
    first = None
    for row in rows:
        offered = row.offered
        if not offered:
            report.fault(
                row.record.place(), "a row without a price", "one or more", "Remove the row."
            )
        elif offered != tuple(range(offered[0], offered[-1] + 1)):
            hole = next(at for at in range(offered[0], offered[-1]) if at not in offered)
            report.fault(
                row.record.place(tiers[hole].quantities.text),
                "an empty cell",
                "a price between the tiers that have one",
                "Fill it in, or empty all cells to one side of it.",
            )
        elif first is None:
            first = row
        elif offered != first.offered:
            report.fault(
                row.record.place(),
                "prices for other tiers",
                f"the same tiers as in row {first.record.row} of "
                f"{quoted(row.record['method'])} on {quoted(row.record['blank'])}",
                "Fill in or empty the cells that differ.",
            )


def _make(
    rows: Sequence[Printed],
    tiers: Sequence[Tier],
    method: Method,
    tax: Tax,
    largest_order: int,
    report: Report,
) -> PriceList | None:
    offered = [tiers[at] for at in rows[0].offered]
    following = tiers[rows[0].offered[-1] + 1 :]
    end = offered[-1].quantities
    last = end.last or max(largest_order, end.start)
    if following:
        last = following[0].quantities.start - 1
    measure, unit = list_measure(method)
    record = rows[0].record
    headings = tuple(tier.quantities.text for tier in offered)
    return report.make(
        record.place(),
        PriceList,
        record["method"],
        record["blank"],
        measure,
        unit,
        [float(row.record["size"].upper) for row in rows],
        [tier.quantities.start for tier in offered],
        last,
        [list(row.prices.values()) for row in rows],
        tax=tax,
        sheet=Sheet(record.file, tuple(row.record.row for row in rows), headings),
    )
