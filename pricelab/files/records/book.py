"""The book of records: quotes and finished jobs, in one file of the shop's folder."""

import json
import sqlite3
from collections.abc import Mapping
from dataclasses import astuple, dataclass
from datetime import date
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from pricelab.client.offers import OfferLine
from pricelab.cost.cost_sheet import Why
from pricelab.files.records.database import reading, writing
from pricelab.files.records.tables import (
    FILE,
    HEADINGS,
    JOBS,
    LINES,
    PARTS,
    QUOTES,
    TABLES,
    Table,
    columns_of,
    frame_of,
    readable,
)
from pricelab.files.saving import save_together, told
from pricelab.jobs.quotes import STATUSES, Quote
from pricelab.shop.charges import Element, Level
from pricelab.shop.errors import PricelabError
from pricelab.shop.place import Place

if TYPE_CHECKING:
    import pandas as pd

COPY = "records-copy"
"""The folder of the book's tables as CSV files, in the shop's folder."""

_AT_ONCE = 100
"""Rows that one statement puts into a table: a long list is taken over in fewer steps."""


@dataclass(frozen=True)
class Records:
    """The book of the shop in `folder`; the file is made when something is first recorded."""

    folder: Path

    # ---- finished jobs ----------------------------------------------------------------

    def add_jobs(self, jobs: "pd.DataFrame") -> int:
        """Record finished jobs, all or none; how many rows were new.

        `jobs` has the columns of `pricelab.files.jobs.TYPES` and may have those of `JOBS`. A
        row that is there already (by its number, method, blank, width and height) stays as it
        is, so that a file can be taken over again. A job that names a quote wins it.
        """
        columns = columns_of(JOBS, jobs)
        with writing(self.folder) as book:
            count = _insert(book, JOBS, columns)
            if "quote" in jobs:
                book.execute(_WIN)
        return count

    def correct_job(self, was: tuple, job: "pd.DataFrame") -> None:
        """Put one row of a job in place of the row that `was` its key, if the book has that."""
        where = " AND ".join(f'"{name}" = ?' for name in JOBS.key)
        columns = columns_of(JOBS, job)
        with writing(self.folder) as book:
            book.execute(f"DELETE FROM jobs WHERE {where}", was)
            if not _insert(book, JOBS, columns):
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
            return _rows(book, JOBS, "WHERE job = ?", (number,))

    def last_jobs(self, most: int) -> tuple["pd.DataFrame", int]:
        """The last rows by their numbers, and how many jobs there are; no others are read."""
        with reading(self.folder) as book:
            count = book.execute("SELECT count(*) FROM (SELECT DISTINCT job FROM jobs)").fetchone()
            return _rows(book, JOBS, last=most), count[0]

    # ---- quotes -----------------------------------------------------------------------

    def save_quote(self, quote: Quote) -> None:
        """Record a quote with the costs and prices it was made on."""
        with writing(self.folder) as book:
            for table, frame in _tables_of(quote):
                if _insert(book, table, columns_of(table, frame)) < len(frame):
                    raise PricelabError(
                        f"{FILE} has a quote {quote.number} already. Give this one a new number."
                    )

    def quotes(self) -> "pd.DataFrame":
        """All quotes, with their `quantity`, `pieces total` and the `price each` these make."""
        import pandas as pd

        with reading(self.folder) as book:
            quotes = _rows(book, QUOTES)
            parts = _rows(book, PARTS).groupby("quote")[["pieces", "amount"]].sum()
        sums = parts.reindex(quotes["number"]).to_numpy()
        with readable():
            if not (sums[:, 0] > 0).all():
                raise ValueError("a quote without pieces")
        kept = {"quantity": sums[:, 0].astype("int64"), "pieces total": sums[:, 1]}
        return quotes.assign(**kept, **{"price each": pd.Series(sums[:, 1] / sums[:, 0])})

    def quote(self, number: str) -> Quote:
        """A quote as it was recorded, with its parts and cost lines."""
        with reading(self.folder) as book:
            head, parts, lines = (
                _rows(book, table, f'WHERE "{table.key[0]}" = ?', (number,))
                for table in (QUOTES, PARTS, LINES)
            )
        if not len(head):
            raise PricelabError(f'{FILE} has no quote "{number}".')
        with readable():
            return _quote_of(head, parts, lines)

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
            _insert(book, HEADINGS, columns)

    def table(self, table: Table) -> "pd.DataFrame":
        """A whole table of the book."""
        with reading(self.folder) as book:
            return _rows(book, table)

    def write_csv(self) -> list[Path]:
        """Write every table as a CSV file in the folder `COPY`, all or none; their paths.

        What is not noted is an empty cell; money is in the currency.
        """
        folder = Path(self.folder)
        with reading(folder) as book:
            texts = {
                # line ends of two signs, so that either of them is quoted in a cell
                f"{COPY}/{table.name}.csv": _rows(book, table)
                .to_csv(index=False, lineterminator="\r\n")
                .encode()
                for table in TABLES
            }
        with told(folder / COPY):
            if (folder / COPY).is_symlink():
                raise PricelabError(f"{COPY} is a link out of the shop's folder. Make it a folder.")
        save_together(folder, texts)
        return [folder / name for name in texts]


_WIN = """
UPDATE quotes SET status = 'won',
    decided = coalesce(decided, (SELECT min(date) FROM jobs WHERE quote = number))
WHERE status <> 'won' AND number IN (SELECT quote FROM jobs)
"""


def _insert(book: sqlite3.Connection, table: Table, columns: Mapping[str, np.ndarray]) -> int:
    """Put rows, by their columns, into a table; how many were put. Those that are there stay."""
    names, key = (", ".join(f'"{name}"' for name in said) for said in (columns, table.key))
    marks, before = f"({', '.join('?' * len(columns))})", book.total_changes
    for start in range(0, len(columns[table.key[0]]), _AT_ONCE):
        cells = [column[start : start + _AT_ONCE].tolist() for column in columns.values()]
        book.execute(
            f"INSERT INTO {table.name} ({names}) VALUES {', '.join([marks] * len(cells[0]))} "
            f"ON CONFLICT ({key}) DO NOTHING",
            tuple(chain.from_iterable(zip(*cells, strict=True))),
        )
    return book.total_changes - before


def _rows(
    book: sqlite3.Connection, table: Table, where: str = "", values=(), last: int | None = None
) -> "pd.DataFrame":
    """Rows of a table by its key: all, those for which a condition holds, or the `last` ones."""
    names = ", ".join(f'"{name}"' for name in table.columns)
    way, limit = ("", "") if last is None else (" DESC", f"LIMIT {last}")
    key = ", ".join(f'"{name}"{way}' for name in table.key)
    said = f"SELECT {names} FROM {table.name} {where} ORDER BY {key} {limit}"
    rows = book.execute(said, values).fetchall()
    return frame_of(table, rows if last is None else rows[::-1])


# ---- a quote as rows, and back --------------------------------------------------------

_FIELDS = {"set-up": "setup", "costs of": "costed"}
"""Columns of a quote that are named otherwise than its fields, but for spaces."""

_ORDERS = {True: "first", False: "repeat"}


def _field(column: str) -> str:
    return _FIELDS.get(column, column.replace(" ", "_"))


def _tables_of(quote: Quote) -> list[tuple[Table, "pd.DataFrame"]]:
    """A quote as rows of its three tables."""
    import pandas as pd

    said = vars(quote) | {"order": _ORDERS[quote.first], "minutes": json.dumps(quote.minutes)}
    rows = (
        (QUOTES, [[said[_field(name)] for name in QUOTES.columns]]),
        (PARTS, [(quote.number, at, *astuple(part)) for at, part in enumerate(quote.parts, 1)]),
        (LINES, [(quote.number, at, *_cells(line)) for at, line in enumerate(quote.lines, 1)]),
    )
    return [(table, pd.DataFrame(of, columns=list(table.columns))) for table, of in rows]


def _cells(line: Why) -> tuple:
    place = line.place or Place("")
    return (
        line.level.value,
        line.element.value,
        *(line.label, line.quantity, line.unit, line.rate, line.amount, line.spoiled),
        *(place.file, place.row, place.column or ""),
    )


def _quote_of(*frames: "pd.DataFrame") -> Quote:
    """The quote of these rows, as `_tables_of` gives them."""
    import pandas as pd

    (head,), parts, lines = (
        [
            [None if pd.isna(cell) else cell for cell in row]
            for row in frame.astype(object).itertuples(index=False, name=None)
        ]
        for frame in frames
    )
    said = {_field(name): cell for name, cell in zip(QUOTES.columns, head, strict=True)}
    for name in ("made", "valid_until", "decided", "costed"):
        said[name] = said[name] and said[name].date()
    said |= {
        "first": said.pop("order") == _ORDERS[True],
        "minutes": json.loads(said["minutes"]),
        "parts": tuple(OfferLine(*cells) for _, _, *cells in parts),
        "lines": tuple(_why(*cells) for _, _, *cells in lines),
    }
    return Quote(**said)


def _why(level, element, label, quantity, unit, rate, amount, spoiled, file, row, column) -> Why:
    place = Place(file, row, column or None) if file else None
    kind = Level(level), Element(element)
    return Why(*kind, label, quantity, unit, rate, amount, bool(spoiled), place)
