"""The book of records: quotes and finished jobs, in one file of the shop's folder.

It is an SQLite file. Every change is one transaction, on the disk before the call returns:
what was recorded stays recorded, whole, whatever stops the program or the machine after
it. Two windows can write at once; the second waits its turn.
"""

import os
import sqlite3
import urllib.parse
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path, PurePath
from typing import TYPE_CHECKING

import numpy as np

from pricelab.errors import PricelabError
from pricelab.files.quotetables import quote_from, quote_tables
from pricelab.files.recordcells import FILE, columns_of, frame_of, readable
from pricelab.files.recordschema import (
    CHANGES,
    HEADINGS,
    JOBS,
    LINES,
    PARTS,
    QUOTES,
    STEPS,
    TABLES,
    VIEWS,
    Table,
)
from pricelab.quotes import STATUSES, Quote

if TYPE_CHECKING:
    import pandas as pd

_LONGEST = 470
"""Bytes of its folder's path: SQLite takes 512, with the names of the files it makes there."""

WAIT = 20.0
"""Seconds that one window waits for another to finish writing."""


_AT_ONCE = 100
"""Rows that one statement puts into a table: a long list is taken over in fewer steps."""

_CACHE = 50_000
"""Kilobytes of the file that may be held in memory while a long list is taken over."""


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
        with self.writing() as book:
            count = insert(book, JOBS, columns)
            if "quote" in jobs:
                book.execute(_WIN)
        return count

    def correct_job(self, was: tuple, job: "pd.DataFrame") -> None:
        """Put one row of a job in place of the row that `was` its key, if the book has that."""
        where = " AND ".join(f'"{name}" = ?' for name in JOBS.key)
        columns = columns_of(JOBS, job)
        with self.writing() as book:
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
        with self.reading() as book:
            return _table(book, JOBS, "WHERE job = ?", (number,))

    def last_jobs(self, most: int) -> tuple["pd.DataFrame", int]:
        """The last rows by their numbers, and how many jobs there are; no others are read."""
        with self.reading() as book:
            count = book.execute("SELECT count(*) FROM (SELECT DISTINCT job FROM jobs)").fetchone()
            return _table(book, JOBS, last=most), count[0]

    # ---- quotes -----------------------------------------------------------------------

    def save_quote(self, quote: Quote) -> None:
        """Record a quote with the costs and prices it was made on."""
        with self.writing() as book:
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

        with self.reading() as book:
            quotes = _table(book, QUOTES)
            parts = _table(book, PARTS).groupby("quote")[["pieces", "amount"]].sum()
        sums = parts.reindex(quotes["number"]).to_numpy()
        with readable():
            if not (sums[:, 0] > 0).all():
                raise ValueError("a quote without pieces")
        kept = {"quantity": sums[:, 0].astype("int64"), "pieces total": sums[:, 1]}
        return quotes.assign(**kept, **{"price each": pd.Series(sums[:, 1] / sums[:, 0])})

    def quote(self, number: str) -> Quote:
        """A quote as it was recorded, with its parts and cost lines."""
        with self.reading() as book:
            tables = {
                table.name: _table(book, table, f'WHERE "{table.key[0]}" = ?', (number,))
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
        with self.writing() as book:
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

        frame = pd.DataFrame(
            {"column": headings.values(), "heading": headings.keys()}, dtype=object
        )
        columns = columns_of(HEADINGS, frame)
        with self.writing() as book:
            book.executemany("DELETE FROM headings WHERE heading = ?", zip(columns["heading"]))
            insert(book, HEADINGS, columns)

    def changes(self) -> "pd.DataFrame":
        """What was changed in the shop by what its jobs taught, in order."""
        return self.table(CHANGES)

    def table(self, table: Table) -> "pd.DataFrame":
        """A whole table of the book."""
        with self.reading() as book:
            return _table(book, table)

    # ---- the file ---------------------------------------------------------------------

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """One transaction that writes: all of it is recorded when it ends, or nothing."""
        with _said(), _connected(self._checked(), "rwc") as book:
            book.execute("PRAGMA journal_mode = WAL")
            book.execute("PRAGMA synchronous = FULL")
            book.execute("BEGIN IMMEDIATE")
            try:
                _bring_up(book)
                yield book
                book.execute("COMMIT")
            except BaseException:
                if book.in_transaction:
                    book.execute("ROLLBACK")
                raise

    @contextmanager
    def reading(self) -> Iterator[sqlite3.Connection]:
        """The book as it stands at one moment; an empty one where there is no file yet."""
        path = self._checked()
        if not path.exists():
            with _connected(None, "memory") as book:
                _bring_up(book)
                yield book
            return
        with _said():
            mode = "ro"
            try:
                with _connected(path, mode) as book:
                    version = _version(book)
            except sqlite3.OperationalError:
                if _size(path.with_name(f"{FILE}-wal")):  # what is in it would not be seen
                    raise
                mode = "ro&immutable=1"  # a folder that may only be read
                with _connected(path, mode) as book:
                    version = _version(book)
            if version < len(STEPS):
                with self.writing():
                    pass
            with _connected(path, mode) as book:
                book.execute("BEGIN")
                yield book

    def _checked(self) -> Path:
        """The file's path, or an error where the folder is not there or the file is a link."""
        folder = Path(self.folder)
        with _said():
            if not folder.is_dir():
                raise PricelabError(f'There is no folder "{folder}" to keep {FILE} in.')
            if len(os.fsencode(folder.resolve())) > _LONGEST:
                raise PricelabError(
                    f"The path of {FILE} is too long: its folder's may have {_LONGEST} bytes. "
                    "Move your shop to a shorter one."
                )
            if self.path.is_symlink():
                raise PricelabError(
                    f"{FILE} is a link; the records must lie in the shop's folder. Move the file "
                    "here."
                )
        return self.path


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


def _table(
    book: sqlite3.Connection, table: Table, where: str = "", values=(), last: int | None = None
) -> "pd.DataFrame":
    """Rows of a table by its key: all, those for which a condition holds, or the `last` ones."""
    names = ", ".join(f'"{name}"' for name in table.columns)
    way, limit = ("", "") if last is None else (" DESC", f"LIMIT {last}")
    key = ", ".join(f'"{name}"{way}' for name in table.key)
    said = f"SELECT {names} FROM {table.name} {where} ORDER BY {key} {limit}"
    rows = book.execute(said, values).fetchall()
    return frame_of(table, rows if last is None else rows[::-1])


def address(path: PurePath) -> str:
    r"""A whole path as SQLite's address of it, that of a Windows network's folder too.

    >>> from pathlib import PureWindowsPath
    >>> address(PureWindowsPath(r"C:\caps #1\a")), address(PureWindowsPath(r"\\desk\caps\a"))
    ('file:///C:/caps%20%231/a', 'file:////desk/caps/a')
    """
    said = urllib.parse.quote(os.fsencode(path.as_posix()), safe="/:")
    return f"file://{said}" if said.startswith("/") else f"file:///{said}"


@contextmanager
def _connected(path: Path | None, mode: str) -> Iterator[sqlite3.Connection]:
    name = "file::memory:" if path is None else f"{address(path.resolve())}?mode={mode}"
    book = sqlite3.connect(name, uri=True, timeout=WAIT, isolation_level=None)
    try:
        book.execute("PRAGMA foreign_keys = ON")
        book.execute(f"PRAGMA cache_size = -{_CACHE}")
        yield book
    finally:
        book.close()


def _version(book: sqlite3.Connection) -> int:
    strange = ", ".join(f"'{table.name}'" for table in TABLES)
    if book.execute(
        "SELECT 1 FROM sqlite_master WHERE type = 'trigger' OR (type <> 'table' AND lower(name) IN "
        f"({strange}))"
    ).fetchone():  # it would do, whenever it is read or written, what another has put there
        raise PricelabError(
            f"{FILE} was changed by another program, which put rules of its own into it. Put your "
            "last copy of it in its place."
        )
    version = book.execute("PRAGMA user_version").fetchone()[0]
    if version > len(STEPS):
        raise PricelabError(
            f"{FILE} was written by a newer version of this workbook. Update the workbook."
        )
    return version


def _bring_up(book: sqlite3.Connection) -> None:
    """Bring the file from its version to the present one, inside the transaction."""
    version = _version(book)
    if version < len(STEPS):
        for step in (*STEPS[version:], VIEWS):
            for statement in step.split(";"):
                book.execute(statement)
        book.execute(f"PRAGMA user_version = {len(STEPS)}")


def _size(path: Path) -> int:
    return path.stat().st_size if path.exists() else 0


_SAID = {
    "SQLITE_BUSY": f"Another window has been writing to {FILE} for too long. "
    "Close it and try again.",
    "SQLITE_CONSTRAINT_CHECK": "A row is not as it must be: pieces from 1, an order that is "
    "first or repeat, a quote that is open, won or lost. Correct it.",
    "SQLITE_CONSTRAINT_FOREIGNKEY": f"A job names a quote that {FILE} does not have. Correct its "
    "quote, or leave it empty.",
    "SQLITE_FULL": "the disk is full. Make room",
    "SQLITE_IOERR": "the disk is full, or does not take what is written. Make room",
    "SQLITE_READONLY": "the folder or the file may only be read. Allow it to be written to",
    "SQLITE_CANTOPEN": "the folder or the file may not be opened or written to. Allow it",
    "SQLITE_NOTADB": "it is damaged, or no such file. Put your last copy of it in its place",
    "SQLITE_CORRUPT": "it is damaged. Put your last copy of it in its place",
}
"""What an error of SQLite means to the owner, by the beginning of its name."""


@contextmanager
def _said() -> Iterator[None]:
    """Say what stopped the work in a sentence."""
    try:
        yield
    except (sqlite3.Error, UnicodeDecodeError) as error:  # of names in it that are no text
        name = getattr(error, "sqlite_errorname", "SQLITE_CORRUPT")
        said = next((said for start, said in _SAID.items() if name.startswith(start)), str(error))
        if not said.endswith("."):
            said = f"{FILE} could not be used: {said}, and try again. Nothing was changed."
        raise PricelabError(said) from None
    except OSError as error:
        said = f"{FILE} could not be used: {error.strerror or error}"
        raise PricelabError(f"{said}. Make sure that its folder may be used.") from None
