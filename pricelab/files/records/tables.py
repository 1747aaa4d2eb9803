"""The tables of the book of records: what their columns hold, in the file and in frames.

Money is kept in whole ten-thousandths of the currency, exact for every currency there is;
days as ISO text. The views `finished_jobs` and `quoted` show money in the currency, for
whoever reads the file with other tools.
"""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np

from pricelab.files.cells import trimmed
from pricelab.files.jobs import KEY, TYPES
from pricelab.shop.errors import PricelabError

if TYPE_CHECKING:
    import pandas as pd

FILE = "records.sqlite"

MONEY_PARTS = 10_000
"""Parts of the currency that money is kept in."""

LAYOUT = 5
"""The number of the tables' layout, which the file carries."""

_MOST = 1e11  # money up to here is held to the ten-thousandth by a float

_FIRST, _LAST = np.array(["0001-01-01", "9999-12-31"], "datetime64[s]")

_SQL = {"str": "TEXT", "datetime64[s]": "TEXT", "int64": "INTEGER", "float64": "REAL"}
"""How the file declares a column, by its type in a frame."""


@dataclass(frozen=True)
class Kind:
    """What a column holds: its type in a frame, if it is money, and if it may be missing."""

    type: str
    money: bool = False
    optional: bool = False

    @property
    def or_none(self) -> "Kind":
        """The same, where it may be missing."""
        return replace(self, optional=True)

    @property
    def dtype(self) -> str:
        """The type of a column in a frame that knows of what is missing."""
        figures = self.optional and self.type in ("int64", "float64")
        return self.type.capitalize() if figures else self.type

    @property
    def sql(self) -> str:
        """How the file declares it."""
        return ("INTEGER" if self.money else _SQL[self.type]) + " NOT NULL" * (not self.optional)


TEXT, DAY, COUNT, NUMBER = Kind("str"), Kind("datetime64[s]"), Kind("int64"), Kind("float64")
MONEY = Kind("float64", money=True)


@dataclass(frozen=True)
class Table:
    """A table and its columns, in order; the first ones named in `key` tell rows apart.

    `rules` say of a column, in SQL, what else must be true of it.
    """

    name: str
    columns: dict[str, Kind]
    key: tuple[str, ...]
    rules: Mapping[str, str] = field(default_factory=dict)

    @property
    def sql(self) -> str:
        """The statement that makes it."""
        columns = [
            f'"{name}" {kind.sql} {self.rules.get(name, "")}' for name, kind in self.columns.items()
        ]
        key = ", ".join(f'"{name}"' for name in self.key)
        return f"CREATE TABLE {self.name} ({', '.join(columns)}, PRIMARY KEY ({key})) WITHOUT ROWID"


_ORDER = """CHECK ("order" IN ('first', 'repeat'))"""
_PIECES = "CHECK ({} > 0)"
_OF_QUOTE = "REFERENCES quotes (number)"

QUOTES = Table(
    "quotes",
    {
        "number": TEXT,
        "made": DAY,
        "valid until": DAY,
        "client": TEXT,
        "method": TEXT,
        "width": NUMBER,
        "height": NUMBER,
        "unit": TEXT,
        "order": TEXT,
        "set-up": MONEY,
        "payable": MONEY,
        "tax in prices": NUMBER,
        "fee share": NUMBER,
        "fixed fee": NUMBER,
        "status": TEXT,
        "decided": DAY.or_none,
        "minutes": TEXT,
        "costs of": DAY.or_none,
    },
    ("number",),
    {
        "number": "CHECK (number <> '')",
        "order": _ORDER,
        "status": "CHECK (status IN ('open', 'won', 'lost'))",
    },
)
"""An open quote has no day on which it was decided; on whose costs one stands nobody may know."""

PARTS = Table(
    "quote_parts",
    {
        "quote": TEXT,
        "part": COUNT,
        "blank": TEXT,
        "colour": TEXT,
        "pieces": COUNT,
        "each": MONEY,
        "amount": MONEY,
    },
    ("quote", "part"),
    {"quote": _OF_QUOTE, "pieces": _PIECES.format("pieces")},
)
LINES = Table(
    "quote_lines",
    {
        "quote": TEXT,
        "line": COUNT,
        "level": TEXT,
        "element": TEXT,
        "label": TEXT,
        "quantity": NUMBER,
        "unit": TEXT,
        "rate": NUMBER,
        "amount": NUMBER,
        "spoiled": COUNT,
        "file": TEXT,
        "row": COUNT.or_none,
        "column": TEXT,
    },
    ("quote", "line"),
    {"quote": _OF_QUOTE},
)

_MONEY_OF_JOBS = ("price each", "set-up charged", "charged", "freight paid", "set-up paid")

JOBS = Table(
    "jobs",
    {name: Kind(of.lower(), name in _MONEY_OF_JOBS, of[0].isupper()) for name, of in TYPES.items()}
    | {
        "quote": TEXT.or_none,
        "materials paid": MONEY.or_none,
        "labour rate": MONEY.or_none,
    },
    KEY,
    {
        "job": "CHECK (job <> '')",
        "quantity": _PIECES.format("quantity"),
        "order": _ORDER,
        "quote": _OF_QUOTE,
    },
)
HEADINGS = Table("headings", {"column": TEXT, "heading": TEXT}, ("heading",))

TABLES = (QUOTES, PARTS, LINES, JOBS, HEADINGS)
"""Every table, those that others refer to first."""


def _in_currency(table: Table, *columns: str) -> str:
    """Columns of a table as other tools read them."""
    return ", ".join(
        f'"{name}" / {MONEY_PARTS}.0 AS "{name}"' if table.columns[name].money else f'"{name}"'
        for name in columns
    )


_OF_PARTS = "FROM quote_parts WHERE quote = number"

STATEMENTS = (
    *(table.sql for table in TABLES),
    f"CREATE VIEW finished_jobs AS SELECT {_in_currency(JOBS, *JOBS.columns)} FROM jobs",
    f"CREATE VIEW quoted AS SELECT {_in_currency(QUOTES, *list(QUOTES.columns)[:9])}, "
    f"(SELECT sum(pieces) {_OF_PARTS}) AS quantity, "
    f'(SELECT sum(amount) {_OF_PARTS}) / {MONEY_PARTS}.0 AS "pieces total", '
    f"{_in_currency(QUOTES, 'set-up', 'payable', 'status', 'decided')} FROM quotes",
)
"""What makes a new file."""


# ---- from frames to rows --------------------------------------------------------------


def columns_of(table: Table, frame: "pd.DataFrame") -> dict[str, np.ndarray]:
    """The columns of a frame as the table keeps them; an error names the first cell that is wrong.

    What is missing is None.
    """
    return {
        name: _KEPT[table.columns[name].type](frame[name], table.columns[name]) for name in frame
    }


def _texts(column: "pd.Series", kind: Kind) -> np.ndarray:
    """Texts as they are read from files; each different one is looked at once."""
    texts = column.to_numpy(object)
    different = dict.fromkeys(texts.tolist())
    whole = "".join(map(str, different))
    if not whole.isascii() or not whole.isprintable() or " " in whole:
        clean = {text: _text(str(text), column.name) for text in different}
        texts = np.array([clean[text] for text in texts.tolist()], object)
        different = dict.fromkeys(clean.values())
    if column.name in ("job", "number") and ("#" in whole or "" in different):
        for text in different:
            if not text or text.startswith("#"):
                raise PricelabError(
                    f'found "{text}" for the {column.name}, expected a number or a name '
                    "that does not begin with #."
                )
    return np.where(texts == "", None, texts) if kind.optional else texts


def _text(text: str, name: str) -> str:
    clean = trimmed(text)
    if "\0" in clean or any("\ud800" <= sign <= "\udfff" for sign in clean):
        raise PricelabError(f'found signs in "{name}" that are no text. Type it anew.')
    return clean


def _days(column: "pd.Series", kind: Kind) -> np.ndarray:
    codes, days = column.factorize()
    if (codes < 0).any() and not kind.optional:
        raise PricelabError(f'found no day in "{column.name}", expected one such as 2026-11-25.')
    texts = days.to_numpy("datetime64[D]").astype(str).astype(object)
    return np.append(texts, None)[codes]  # the last one where there is none


def _figures(column: "pd.Series", kind: Kind) -> np.ndarray:
    import pandas as pd

    try:
        figures = column.to_numpy(float, na_value=np.nan)
    except (TypeError, ValueError):
        wrong = next(x for x in column if pd.to_numeric(x, errors="coerce") != x)
        raise PricelabError(f'found "{wrong}" in "{column.name}", expected a figure.') from None
    missing = np.isnan(figures)
    known = np.where(missing, 0.0, figures)
    parts = np.rint(known * MONEY_PARTS)
    whole, inexact = kind.type == "int64", (parts / MONEY_PARTS != known) | (abs(known) > _MOST)
    for wrong, found, expected in (
        (missing & (not kind.optional), "an empty cell", "a figure."),
        (np.isinf(figures), "an endless figure", "a plain one."),
        (inexact & kind.money, "{!r}", "money with up to four decimals. Round it."),
        ((known != np.floor(known)) & whole, "{:g}", "a whole number."),
    ):
        if wrong.any():
            found = found.format(float(figures[wrong][0]))
            raise PricelabError(f'found {found} in "{column.name}", expected {expected}')
    kept = parts.astype(np.int64) if kind.money else known.astype(kind.type)
    return np.where(missing, None, kept) if missing.any() else kept


_KEPT = {"str": _texts, "datetime64[s]": _days, "int64": _figures, "float64": _figures}


# ---- from rows to frames --------------------------------------------------------------


def frame_of(table: Table, rows: list[tuple]) -> "pd.DataFrame":
    """Rows of a table as a frame, typed; money in the currency."""
    import pandas as pd

    columns = zip(*rows, strict=True) if rows else [()] * len(table.columns)
    with readable():
        return pd.DataFrame(
            {
                name: _shown(column, kind)
                for (name, kind), column in zip(table.columns.items(), columns, strict=True)
            }
        )


def _shown(column: tuple, kind: Kind):
    import pandas as pd

    if kind.type == "str":
        return pd.array(["" if text is None else text for text in column], dtype="str")
    if kind.type == "datetime64[s]":
        days = np.array(column, "datetime64[s]")
        if (days < _FIRST).any() or (days > _LAST).any():
            raise ValueError("a day out of all calendars")
        return pd.array(days)
    figures = np.array(column, float)  # what was not noted is not a number
    if np.isinf(figures).any():
        raise ValueError("an endless figure")
    if kind.money:
        figures = figures / MONEY_PARTS
    return pd.array(figures, dtype=kind.dtype)


@contextmanager
def readable() -> Iterator[None]:
    """Say in a sentence that what stands in the book cannot be what was recorded."""
    try:
        yield
    except PricelabError:
        raise
    except (ValueError, TypeError, LookupError, AttributeError, ArithmeticError, RecursionError):
        raise PricelabError(
            f"{FILE} is damaged, or was changed by another program: it holds what this workbook "
            "does not write. Put your last copy of it in its place."
        ) from None
