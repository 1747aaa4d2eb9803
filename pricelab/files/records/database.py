"""The file of the book of records: opened, made where there is none, its errors in sentences.

It is an SQLite file. Every change is one transaction, on the disk before the call returns:
what was recorded stays recorded, whole, whatever stops the program or the machine after
it. Two windows can write at once; the second waits its turn.
"""

import os
import sqlite3
import urllib.parse
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path, PurePath

from pricelab.files.records.tables import FILE, LAYOUT, STATEMENTS, TABLES
from pricelab.shop.errors import PricelabError

_LONGEST = 470
"""Bytes of its folder's path: SQLite takes 512, with the names of the files it makes there."""

WAIT = 20.0
"""Seconds that one window waits for another to finish writing."""

_CACHE = 50_000
"""Kilobytes of the file that may be held in memory while a long list is taken over."""


@contextmanager
def writing(folder: Path) -> Iterator[sqlite3.Connection]:
    """One transaction that writes: all of it is recorded when it ends, or nothing."""
    path = _checked(folder)
    with suppress(OSError):  # it is there already; or it cannot be, as SQLite will say
        os.close(os.open(path, os.O_CREAT | os.O_EXCL, 0o600))  # for its owner's eyes alone
    with _said(), _connected(path, "rwc") as book:
        book.execute("PRAGMA journal_mode = WAL")
        book.execute("PRAGMA synchronous = FULL")
        book.execute("BEGIN IMMEDIATE")
        try:
            if not _version(book):
                _make(book)
            yield book
            book.execute("COMMIT")
        except BaseException:
            if book.in_transaction:
                book.execute("ROLLBACK")
            raise


@contextmanager
def reading(folder: Path) -> Iterator[sqlite3.Connection]:
    """The book as it stands at one moment; an empty one where there is no file yet."""
    path = _checked(folder)
    with _said():
        mode = _mode(path) if path.exists() else None
        with _connected(path, mode or "memory") as book:
            book.execute("BEGIN")
            if mode is None:
                _make(book)
            yield book


def _mode(path: Path) -> str:
    """How a file that is there can be read: also where it and its folder may only be read."""
    try:
        with _connected(path, "ro") as book:
            if not _version(book):  # it was made, and nothing was recorded yet
                with writing(path.parent):
                    pass
        return "ro"
    except sqlite3.OperationalError:
        log = path.with_name(f"{FILE}-wal")
        if log.exists() and log.stat().st_size:  # what is in it would not be seen
            raise
        mode = "ro&immutable=1"
        with _connected(path, mode) as book:
            _version(book)
        return mode


def _checked(folder: Path) -> Path:
    """The file's path, or an error where the folder is not there or the file is a link."""
    path = folder / FILE
    with _said():
        if not folder.is_dir():
            raise PricelabError(f'There is no folder "{folder}" to keep {FILE} in.')
        if len(os.fsencode(folder.resolve())) > _LONGEST:
            raise PricelabError(
                f"The path of {FILE} is too long: its folder's may have {_LONGEST} bytes. "
                "Move your shop to a shorter one."
            )
        if path.is_symlink():
            raise PricelabError(
                f"{FILE} is a link; the records must lie in the shop's folder. Move the file here."
            )
    return path


def address(path: PurePath) -> str:
    r"""A whole path as SQLite's address of it, that of a Windows network's folder too.

    >>> from pathlib import PureWindowsPath
    >>> address(PureWindowsPath(r"C:\caps #1\a")), address(PureWindowsPath(r"\\desk\caps\a"))
    ('file:///C:/caps%20%231/a', 'file:////desk/caps/a')
    """
    said = urllib.parse.quote(os.fsencode(path.as_posix()), safe="/:")
    return f"file://{said}" if said.startswith("/") else f"file:///{said}"


@contextmanager
def _connected(path: Path, mode: str) -> Iterator[sqlite3.Connection]:
    name = "file::memory:" if mode == "memory" else f"{address(path.resolve())}?mode={mode}"
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
    if version > LAYOUT:
        raise PricelabError(
            f"{FILE} was written by a newer version of this workbook. Update the workbook."
        )
    if 0 < version < LAYOUT:
        raise PricelabError(
            f"{FILE} was written by a version of this workbook that was never given out, and is "
            "not read any more. Move it out of the shop's folder; a new one is made."
        )
    return version


def _make(book: sqlite3.Connection) -> None:
    """Make the tables of a new file, inside the transaction."""
    for statement in STATEMENTS:
        book.execute(statement)
    book.execute(f"PRAGMA user_version = {LAYOUT}")


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
