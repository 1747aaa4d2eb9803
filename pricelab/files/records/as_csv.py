"""The book of records as CSV files, out and in, and other spreadsheets taken over into it."""

import csv
import io
from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import numpy as np

from pricelab.files.cells import BadCell, Reader, day, words
from pricelab.files.faults import Report
from pricelab.files.jobs import KEY, TYPES
from pricelab.files.raw_table import raw_table, read_raw
from pricelab.files.records.book import Records, insert
from pricelab.files.records.cells import readable
from pricelab.files.records.schema import MONEY, TABLES, Kind, Table
from pricelab.files.saving import beside, check_writable, place, told
from pricelab.files.schema import REQUIRED, Column, Keys, columns_of
from pricelab.files.source import Folder, content_of
from pricelab.files.tables import Record, distinct, read_records, typed
from pricelab.shop.errors import PricelabError
from pricelab.shop.shop import Shop

COPY = "records-copy"
"""The folder of the CSV files, in the shop's folder."""


def export_csv(records: Records) -> list[Path]:
    """Write every table of the book as a CSV file in the folder `COPY`; the files' paths.

    None takes its place before all are on the disk. Should the machine stop between two
    places, rows are there before those they hang on, and `import_csv` refuses them.
    """
    into = Path(records.folder) / COPY
    with told(into), records.reading() as book:
        texts = {f"{table.name}.csv": _text(book, table).encode() for table in TABLES}
        if into.is_symlink():
            raise PricelabError(f"{COPY} is a link out of the shop's folder. Make it a folder.")
    paths = [into / name for name in texts]
    with told(into), beside(into, texts) as part:
        into.mkdir(exist_ok=True)
        for path in paths:
            if path.exists():
                check_writable(path)
        for path in reversed(paths):
            place(part / path.name, path)
    return paths


def import_csv(records: Records) -> int:
    """Take the CSV files of the folder `COPY` into the book, all or none; how many rows were new.

    Rows that are there already stay as they are. Raises `ShopFaults` with every fault.
    """
    report, read = Report(), []
    for table in TABLES:
        file = f"{COPY}/{table.name}.csv"
        if (Path(records.folder) / file).exists():
            raw = read_raw(Folder(records.folder), file, report)
            rows = [] if raw is None else read_records(raw, _columns(table), report)
            read.append((table, rows))
    report.raise_faults()
    if not read:
        raise PricelabError(f"There are no CSV files in {COPY}. Copy them there.")
    with records.writing() as book:
        return sum(
            insert(book, table, {name: _column(rows, name) for name in table.columns})
            for table, rows in read
        )


def _column(rows: list[Record], name: str) -> np.ndarray:
    return np.array([row[name] for row in rows], object)


def _text(book, table: Table) -> str:
    names = ", ".join(f'"{name}"' for name in table.columns)
    key = ", ".join(f'"{name}"' for name in table.key)
    out = io.StringIO(newline="")
    writer = csv.writer(out)  # line ends of two signs, so that either of them is quoted in a cell
    writer.writerow(table.columns)
    with readable():
        for row in book.execute(f"SELECT {names} FROM {table.name} ORDER BY {key}"):
            writer.writerow(map(_cell, row, table.columns.values()))
    return out.getvalue()


def _cell(value, kind: Kind) -> str:
    """A value as text that gives the same value when it is read again."""
    if value is None:
        return ""
    if kind.money:
        return f"{Decimal(value) / MONEY:f}"
    return f"{Decimal(repr(value)):f}" if isinstance(value, float) else str(value)


def _columns(table: Table) -> list[Column]:
    return [Column(name, *_read_as(table, name)) for name in table.columns]


def _read_as(table: Table, name: str) -> tuple[Reader, object]:
    """How a column's cells are read, and what an empty one means."""
    kind = table.columns[name]
    if kind is Kind.TEXT:
        return words, REQUIRED if name == "quote" else ""
    empty = None if kind.optional else REQUIRED
    if kind is Kind.TEXT_OR_NONE:
        return words, empty
    if kind in (Kind.DAY, Kind.DAY_OR_NONE):
        return _iso_day, empty
    return _figure(MONEY if kind.money else 1, whole=kind.whole), empty


def _iso_day(text: str, mark: str) -> str:
    return day(text, mark).isoformat()


def _figure(parts: int, *, whole: bool) -> Reader:
    """A reader of any decimal figure, below 0 too, counted in so many parts of 1."""

    def read(text: str, mark: str):
        try:
            figure = Decimal(text.replace(mark, ".")) * parts
        except ArithmeticError:
            figure = None
        if figure is None or not figure.is_finite() or (whole and figure != int(figure)):
            few = "money with up to four decimals" if parts > 1 else "a whole number"
            raise BadCell(few if whole else "a figure such as 3.20", "Correct the cell.")
        return int(figure) if whole else float(figure)

    return read


# ---- other spreadsheets ----------------------------------------------------------------


def import_jobs(
    records: Records, shop: Shop, file: str, headings: Mapping[str, str] | None = None
) -> int:
    """Take the finished jobs of a spreadsheet in the shop's folder over; how many were new.

    Its columns may have other headings: `headings` says which column of jobs.csv each stands
    for ("note" is not read), and is remembered in the book, so that it is told once. Rows
    that are there already stay as they are. Raises `ShopFaults` with every fault.
    """
    report = Report()
    known = records.headings() | dict(headings or {})
    columns = columns_of("jobs", Keys(shop.unit, tuple(shop.methods), tuple(shop.blanks)))
    content = content_of(Folder(records.folder), file, report)
    table = None if content is None else raw_table(content, file, report)
    rows = []
    if table is not None:
        names = tuple(known.get(heading, heading) for heading in table.header.cells)
        table = replace(table, header=replace(table.header, cells=names))
        rows = distinct(read_records(table, columns, report), KEY, report)
    jobs = typed(rows, TYPES)
    report.raise_faults()
    count = records.add_jobs(jobs)
    if headings:
        records.remember_headings(headings)
    return count
