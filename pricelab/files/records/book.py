"""The book of records: quotes and finished jobs, in one file of the shop's folder."""

import sqlite3
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from pricelab.files.records.cells import columns_of, frame_of, readable
from pricelab.files.records.database import reading, writing
from pricelab.files.records.quote_tables import quote_from, quote_tables
from pricelab.files.records.schema import FILE, HEADINGS, JOBS, LINES, PARTS, QUOTES, Table
from pricelab.jobs.quotes import STATUSES, Quote
from pricelab.shop.errors import PricelabError

if TYPE_CHECKING:
    import pandas as pd

_AT_ONCE = 100
"""Rows that one statement puts into a table: a long list is taken over in fewer steps."""


@dataclass(frozen=True)
class Records:
    """The book of the shop in `folder`; the file is made when something is first recorded."""

    folder: Path

    @property
    def path(self) -> Path:
        """The file, always in the shop's folder itself."""
        return Path(self.folder) / FILE

    # ---- finished jobs ----------------------------------------------------------------

    def add_jobs(self, jobs: "pd.DataFrame") -> int:
        """Record finished jobs, all or none; how many rows were new.

        `jobs` has the columns of `pricelab.files.jobs.TYPES` and may have those of `JOBS`. A
        row that is there already (by its number, method, blank, width and height) stays as it
        is, so that a file can be taken over again. A job that names a quote wins it.
        """
        columns = columns_of(JOBS, jobs)
        with writing(self.folder) as book:
            count = insert(book, JOBS, columns)
            if "quote" in jobs:
                book.execute(_WIN)
        return count

    def correct_job(self, was: tuple, job: "pd.DataFrame") -> None:
        """Put one row of a job in place of the row that `was` its key, if the book has that."""
        where = " AND ".join(f'"{name}" = ?' for name in JOBS.key)
        columns = columns_of(JOBS, job)
        with writing(self.folder) as book:
            book.execute(f"DELETE FROM jobs WHERE {where}", was)
            if not insert(book, JOBS, columns):
                raise PricelabError(
                    f"{FILE} has another row of job {job['job'].item()} by this method, on this "
                    "blank and in this size. Nothing was changed."
                )
            book.execute(_WIN)

    def jobs(self) -> "pd.DataFrame":
        """All finished jobs, by their numbers."""
        return self.table(JOBS)

    def job(self, number: str) -> "pd.DataFrame":
        """The rows of one finished job; of a long book no others are read."""
        with reading(self.folder) as book:
            return rows_of(book, JOBS, "WHERE job = ?", (number,))

    def last_jobs(self, most: int) -> tuple["pd.DataFrame", int]:
        """The last rows by their numbers, and how many jobs there are; no others are read."""
        with reading(self.folder) as book:
            count = book.execute("SELECT count(*) FROM (SELECT DISTINCT job FROM jobs)").fetchone()
            return rows_of(book, JOBS, last=most), count[0]

    # ---- quotes -----------------------------------------------------------------------

    def save_quote(self, quote: Quote) -> None:
        """Record a quote with the costs and prices it was made on."""
        with writing(self.folder) as book:
            frames = quote_tables(quote)
            for table in (QUOTES, PARTS, LINES):
                frame = frames[table.name]
                if insert(book, table, columns_of(table, frame)) < len(frame):
                    raise PricelabError(
                        f"{FILE} has a quote {quote.number} already. Give this one a new number."
                    )

    def quotes(self) -> "pd.DataFrame":
        """All quotes, with their `quantity`, `pieces total` and the `price each` these make."""
        import pandas as pd

        with reading(self.folder) as book:
            quotes = rows_of(book, QUOTES)
            parts = rows_of(book, PARTS).groupby("quote")[["pieces", "amount"]].sum()
        sums = parts.reindex(quotes["number"]).to_numpy()
        with readable():
            if not (sums[:, 0] > 0).all():
                raise ValueError("a quote without pieces")
        kept = {"quantity": sums[:, 0].astype("int64"), "pieces total": sums[:, 1]}
        return quotes.assign(**kept, **{"price each": pd.Series(sums[:, 1] / sums[:, 0])})

    def quote(self, number: str) -> Quote:
        """A quote as it was recorded, with its parts and cost lines."""
        with reading(self.folder) as book:
            tables = {
                table.name: rows_of(book, table, f'WHERE "{table.key[0]}" = ?', (number,))
                for table in (QUOTES, PARTS, LINES)
            }
        if not len(tables["quotes"]):
            raise PricelabError(f'{FILE} has no quote "{number}".')
        with readable():
            return quote_from(tables)

    def decide(self, number: str, status: str, on: date | None) -> None:
        """Note that a quote was won or lost on a day, or that it is open again."""
        if status not in STATUSES or (on is None) != (status == "open"):
            raise PricelabError(
                f'found "{status}" for a quote, expected won or lost with a day, or open without.'
            )
        with writing(self.folder) as book:
            decided = None if on is None else on.isoformat()
            done = book.execute(
                "UPDATE quotes SET status = ?, decided = ? WHERE number = ?",
                (status, decided, number),
            )
            if not done.rowcount:
                raise PricelabError(f'{FILE} has no quote "{number}".')

    # ---- what else is remembered ------------------------------------------------------

    def headings(self) -> dict[str, str]:
        """The column that each heading of other spreadsheets stands for."""
        table = self.table(HEADINGS)
        return dict(zip(table["heading"], table["column"], strict=True))

    def remember_headings(self, headings: Mapping[str, str]) -> None:
        """Remember what headings stand for; "note" is a column that is not read."""
        import pandas as pd

        frame = pd.DataFrame(headings.items(), columns=["heading", "column"], dtype=object)
        columns = columns_of(HEADINGS, frame)
        with writing(self.folder) as book:
            book.executemany("DELETE FROM headings WHERE heading = ?", zip(columns["heading"]))
            insert(book, HEADINGS, columns)

    def table(self, table: Table) -> "pd.DataFrame":
        """A whole table of the book."""
        with reading(self.folder) as book:
            return rows_of(book, table)


_WIN = """
UPDATE quotes SET status = 'won',
    decided = coalesce(decided, (SELECT min(date) FROM jobs WHERE quote = number))
WHERE status <> 'won' AND number IN (SELECT quote FROM jobs)
"""


def insert(book: sqlite3.Connection, table: Table, columns: Mapping[str, np.ndarray]) -> int:
    """Put rows, by their columns, into a table; how many were put. Those that are there stay."""
    names = ", ".join(f'"{name}"' for name in columns)
    marks = f"({', '.join('?' * len(columns))})"
    key = ", ".join(f'"{name}"' for name in table.key)
    before = book.total_changes
    for start in range(0, len(columns[table.key[0]]), _AT_ONCE):
        cells = [column[start : start + _AT_ONCE].tolist() for column in columns.values()]
        count = len(cells[0])
        values = [None] * (count * len(cells))
        for at, column in enumerate(cells):
            values[at :: len(cells)] = column  # row by row
        book.execute(
            f"INSERT INTO {table.name} ({names}) VALUES {', '.join([marks] * count)} "
            f"ON CONFLICT ({key}) DO NOTHING",
            values,
        )
    return book.total_changes - before


def rows_of(
    book: sqlite3.Connection, table: Table, where: str = "", values=(), last: int | None = None
) -> "pd.DataFrame":
    """Rows of a table by its key: all, those for which a condition holds, or the `last` ones."""
    names = ", ".join(f'"{name}"' for name in table.columns)
    way, limit = ("", "") if last is None else (" DESC", f"LIMIT {last}")
    key = ", ".join(f'"{name}"{way}' for name in table.key)
    said = f"SELECT {names} FROM {table.name} {where} ORDER BY {key} {limit}"
    rows = book.execute(said, values).fetchall()
    return frame_of(table, rows if last is None else rows[::-1])
