"""price_list.csv: today's printed prices, a row for each size of a method on a blank."""

from collections.abc import Mapping, Sequence

from pricelab.files.cells import more_than_nothing, words
from pricelab.files.faults import Report, quoted
from pricelab.files.grid_file import read_labels, tell_misfits
from pricelab.files.printed import Break, misfits_of_bands, misfits_of_breaks, parse_break
from pricelab.files.raw_table import RawTable
from pricelab.files.schema import Column, Keys, columns_of
from pricelab.files.tables import Record, read_records, read_table
from pricelab.lists.basis import list_measure
from pricelab.shop.method import Method
from pricelab.shop.place import Sheet
from pricelab.shop.price_list import PriceList
from pricelab.shop.pricing_rules import Tax

STEM = "price_list"


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
    prices = [
        Column(heading, more_than_nothing if tier else words, None)
        for heading, tier in tiers.items()
    ]
    lists: dict[tuple[str, str], list[Record]] = {}
    for row in read_records(table, columns_of(STEM, keys), report, prices):
        if row.sound:
            lists.setdefault((row["method"], row["blank"]), []).append(row)
    made = []
    for (method, _), rows in lists.items():
        before = len(report.faults)
        sizes = misfits_of_bands([row["size"] for row in rows])
        tell_misfits(sizes, [row.place("size") for row in rows], report)
        offered, after = _check_offers(rows, list(filter(None, tiers.values())), report)
        if whole and len(report.faults) == before and method in methods:
            last = after[0].start - 1 if after else offered[-1].last
            last = last or max(largest_order, offered[-1].start)
            made.append(_make(rows, offered, last, methods[method], tax, report))
    return tuple(price_list for price_list in made if price_list is not None)


def _read_tiers(table: RawTable, report: Report) -> dict[str, Break | None]:
    """The tiers across the top, by heading: those that begin with a digit; None if unreadable."""
    header = table.header
    found = [at for at, heading in enumerate(header.cells) if heading[:1].isdigit()]
    labels = [(header.cells[at], table.place(header, at)) for at in found]
    breaks = read_labels(labels, table.mark, parse_break, misfits_of_breaks, report)
    if not found:
        report.fault(
            table.place(header, len(header.cells)),
            "no quantity tiers",
            "quantities such as 12, 24, 48 in the first row",
            "Write them to the right of the sizes.",
        )
    return dict(zip([heading for heading, _ in labels], breaks, strict=True))


def _check_offers(
    rows: Sequence[Record], tiers: Sequence[Break], report: Report
) -> tuple[Sequence[Break], Sequence[Break]]:
    """The tiers that have a price, a run without a hole and the same for every size; the rest."""
    first, usual = None, slice(0)
    for row in rows:
        offered = [at for at, tier in enumerate(tiers) if row[tier.text] is not None]
        run = slice(offered[0], offered[-1] + 1) if offered else usual
        holes = [tier.text for tier in tiers[run] if row[tier.text] is None]
        if not offered:
            report.fault(row.place(), "a row without a price", "one or more", "Remove the row.")
        elif holes:
            report.fault(
                row.place(holes[0]),
                "an empty cell",
                "a price between the tiers that have one",
                "Fill it in, or empty all cells to one side of it.",
            )
        elif first is None:
            first, usual = row, run
        elif run != usual:
            report.fault(
                row.place(),
                "prices for other tiers",
                f"the same tiers as in row {first.row} of "
                f"{quoted(row['method'])} on {quoted(row['blank'])}",
                "Fill in or empty the cells that differ.",
            )
    return tiers[usual], tiers[usual.stop :]


def _make(
    rows: Sequence[Record],
    tiers: Sequence[Break],
    last: int,
    method: Method,
    tax: Tax,
    report: Report,
) -> PriceList | None:
    record, headings = rows[0], tuple(tier.text for tier in tiers)
    return report.make(
        record.place(),
        PriceList,
        record["method"],
        record["blank"],
        *list_measure(method),
        [float(row["size"].upper) for row in rows],
        [tier.start for tier in tiers],
        last,
        [[row[heading] for heading in headings] for row in rows],
        tax=tax,
        sheet=Sheet(record.file, tuple(row.row for row in rows), headings),
    )
