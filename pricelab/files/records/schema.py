"""The tables of the book of records, version by version, and what their columns hold.

Money is kept in whole ten-thousandths of the currency, exact for every currency there is;
days as ISO text. The views `finished_jobs` and `quoted` show money in the currency, for
whoever reads the file with other tools.
"""

from dataclasses import dataclass
from enum import Enum

from pricelab.files.jobs import KEY, TYPES

FILE = "records.sqlite"

MONEY = 10_000
"""Parts of the currency that money is kept in."""


class Kind(Enum):
    """What a column holds: its type in a frame, if it is `money` (kept in parts), or `optional`."""

    TEXT = ("str", False, False)
    DAY = ("datetime64[s]", False, False)
    MONEY = ("float64", True, False)
    NUMBER = ("float64", False, False)
    COUNT = ("int64", False, False)
    TEXT_OR_NONE = ("str", False, True)
    DAY_OR_NONE = ("datetime64[s]", False, True)
    MONEY_OR_NONE = ("Float64", True, True)
    NUMBER_OR_NONE = ("Float64", False, True)
    COUNT_OR_NONE = ("Int64", False, True)

    def __init__(self, of: str, money: bool, optional: bool):
        self.type, self.money, self.optional = of, money, optional

    @property
    def whole(self) -> bool:
        """Whether it is kept in whole numbers."""
        return self.money or self in (Kind.COUNT, Kind.COUNT_OR_NONE)


@dataclass(frozen=True)
class Table:
    """A table and its columns, in order; the first ones named in `key` tell rows apart."""

    name: str
    columns: dict[str, Kind]
    key: tuple[str, ...]


_MONEY_OF_JOBS = ("price each", "set-up charged", "charged", "freight paid", "set-up paid")
_KINDS = {(kind.type, kind.money): kind for kind in reversed(Kind)}

JOBS = Table(
    "jobs",
    {name: _KINDS[kind, name in _MONEY_OF_JOBS] for name, kind in TYPES.items()}
    | {
        "quote": Kind.TEXT_OR_NONE,
        "materials paid": Kind.MONEY_OR_NONE,
        "labour rate": Kind.MONEY_OR_NONE,
    },
    KEY,
)
QUOTES = Table(
    "quotes",
    {
        "number": Kind.TEXT,
        "made": Kind.DAY,
        "valid until": Kind.DAY,
        "client": Kind.TEXT,
        "method": Kind.TEXT,
        "width": Kind.NUMBER,
        "height": Kind.NUMBER,
        "unit": Kind.TEXT,
        "order": Kind.TEXT,
        "set-up": Kind.MONEY,
        "payable": Kind.MONEY,
        "tax in prices": Kind.NUMBER,
        "fee share": Kind.NUMBER,
        "fixed fee": Kind.NUMBER,
        "status": Kind.TEXT,
        "decided": Kind.DAY_OR_NONE,
        "minutes": Kind.TEXT,
        "costs of": Kind.DAY_OR_NONE,
    },
    ("number",),
)
"""An open quote has no day on which it was decided; on whose costs one stands nobody may know."""

PARTS = Table(
    "quote_parts",
    {
        "quote": Kind.TEXT,
        "part": Kind.COUNT,
        "blank": Kind.TEXT,
        "colour": Kind.TEXT,
        "pieces": Kind.COUNT,
        "each": Kind.MONEY,
        "amount": Kind.MONEY,
    },
    ("quote", "part"),
)
LINES = Table(
    "quote_lines",
    {
        "quote": Kind.TEXT,
        "line": Kind.COUNT,
        "level": Kind.TEXT,
        "element": Kind.TEXT,
        "label": Kind.TEXT,
        "quantity": Kind.NUMBER,
        "unit": Kind.TEXT,
        "rate": Kind.NUMBER,
        "amount": Kind.NUMBER,
        "spoiled": Kind.COUNT,
        "file": Kind.TEXT,
        "row": Kind.COUNT_OR_NONE,
        "column": Kind.TEXT,
    },
    ("quote", "line"),
)
HEADINGS = Table("headings", {"column": Kind.TEXT, "heading": Kind.TEXT}, ("heading",))
CHANGES = Table(
    "changes",
    {
        "number": Kind.COUNT,
        "day": Kind.DAY,
        "what": Kind.TEXT,
        "before": Kind.TEXT,
        "after": Kind.TEXT,
        "why": Kind.TEXT,
    },
    ("number",),
)

INTENDED = Table(
    "intended",
    {
        **CHANGES.columns,
        "file": Kind.TEXT,
        "row": Kind.COUNT,
        "column": Kind.TEXT,
        "held": Kind.TEXT,
    },
    ("number",),
)
"""Changes begun: where in the shop's tables, and what the cell `held` to the letter."""

SHOPS = Table(
    "shops",
    {
        "stamp": Kind.TEXT,
        "part": Kind.COUNT,
        "kept": Kind.DAY,
        "tables": Kind.TEXT,
    },
    ("stamp", "part"),
)
"""The shop's own tables as they once stood, packed, in parts that a cell of a CSV file takes."""

TABLES = (QUOTES, PARTS, LINES, JOBS, HEADINGS, CHANGES, INTENDED, SHOPS)
"""Every table, those that others refer to first."""

_FIRST = """
CREATE TABLE quotes (
    number TEXT PRIMARY KEY CHECK (number <> ''), made TEXT NOT NULL, "valid until" TEXT NOT NULL,
    client TEXT NOT NULL, method TEXT NOT NULL, width REAL NOT NULL, height REAL NOT NULL,
    unit TEXT NOT NULL, "order" TEXT NOT NULL CHECK ("order" IN ('first', 'repeat')),
    "set-up" INTEGER NOT NULL, payable INTEGER NOT NULL, "tax in prices" REAL NOT NULL,
    "fee share" REAL NOT NULL, "fixed fee" REAL NOT NULL,
    status TEXT NOT NULL CHECK (status IN ('open', 'won', 'lost')), decided TEXT,
    minutes TEXT NOT NULL);
CREATE TABLE quote_parts (
    quote TEXT NOT NULL REFERENCES quotes (number), part INTEGER NOT NULL, blank TEXT NOT NULL,
    colour TEXT NOT NULL, pieces INTEGER NOT NULL CHECK (pieces > 0), each INTEGER NOT NULL,
    amount INTEGER NOT NULL, PRIMARY KEY (quote, part)) WITHOUT ROWID;
CREATE TABLE quote_lines (
    quote TEXT NOT NULL REFERENCES quotes (number), line INTEGER NOT NULL, level TEXT NOT NULL,
    element TEXT NOT NULL, label TEXT NOT NULL, quantity REAL NOT NULL, unit TEXT NOT NULL,
    rate REAL NOT NULL, amount REAL NOT NULL, spoiled INTEGER NOT NULL, file TEXT NOT NULL,
    "row" INTEGER, "column" TEXT NOT NULL, PRIMARY KEY (quote, line)) WITHOUT ROWID;
CREATE TABLE jobs (
    job TEXT NOT NULL CHECK (job <> ''), date TEXT NOT NULL, client TEXT NOT NULL,
    method TEXT NOT NULL, blank TEXT NOT NULL, width REAL NOT NULL, height REAL NOT NULL,
    quantity INTEGER NOT NULL CHECK (quantity > 0),
    "order" TEXT NOT NULL CHECK ("order" IN ('first', 'repeat')), "price each" INTEGER NOT NULL,
    "set-up charged" INTEGER NOT NULL, charged INTEGER NOT NULL, "attended minutes" REAL,
    "machine minutes" REAL, "spoiled pieces" INTEGER,
    PRIMARY KEY (job, method, blank, width, height)) WITHOUT ROWID;
"""

_SECOND = """
ALTER TABLE jobs ADD COLUMN quote TEXT REFERENCES quotes (number);
ALTER TABLE jobs ADD COLUMN "materials paid" INTEGER;
ALTER TABLE jobs ADD COLUMN "labour rate" INTEGER;
CREATE TABLE headings ("column" TEXT NOT NULL, heading TEXT PRIMARY KEY);
CREATE TABLE changes (
    number INTEGER PRIMARY KEY, day TEXT NOT NULL, what TEXT NOT NULL, before TEXT NOT NULL,
    after TEXT NOT NULL, why TEXT NOT NULL);
"""

_THIRD = """
ALTER TABLE jobs ADD COLUMN "freight paid" INTEGER;
ALTER TABLE jobs ADD COLUMN "set-up paid" INTEGER;
"""

_FOURTH = """
ALTER TABLE quotes ADD COLUMN "costs of" TEXT;
CREATE TABLE intended (
    number INTEGER PRIMARY KEY AUTOINCREMENT, day TEXT NOT NULL, what TEXT NOT NULL,
    before TEXT NOT NULL, after TEXT NOT NULL, why TEXT NOT NULL, file TEXT NOT NULL,
    "row" INTEGER NOT NULL, "column" TEXT NOT NULL, held TEXT NOT NULL);
CREATE TABLE shops (
    stamp TEXT NOT NULL, part INTEGER NOT NULL, kept TEXT NOT NULL, tables TEXT NOT NULL,
    PRIMARY KEY (stamp, part));
"""

STEPS = (_FIRST, _SECOND, _THIRD, _FOURTH)
"""What brings a file from each version to the next; a new one goes through all."""

VIEWS = """
DROP VIEW IF EXISTS finished_jobs;
DROP VIEW IF EXISTS quoted;
CREATE VIEW finished_jobs AS SELECT job, date, client, method, blank, width, height, quantity,
    "order", "price each" / 10000.0 AS "price each", "set-up charged" / 10000.0 AS "set-up charged",
    charged / 10000.0 AS charged, "attended minutes", "machine minutes", "spoiled pieces",
    "freight paid" / 10000.0 AS "freight paid", "set-up paid" / 10000.0 AS "set-up paid",
    quote, "materials paid" / 10000.0 AS "materials paid", "labour rate" / 10000.0 AS "labour rate"
    FROM jobs;
CREATE VIEW quoted AS SELECT number, made, "valid until", client, method, width, height, unit,
    "order", (SELECT sum(pieces) FROM quote_parts WHERE quote = number) AS quantity,
    (SELECT sum(amount) FROM quote_parts WHERE quote = number) / 10000.0 AS "pieces total",
    "set-up" / 10000.0 AS "set-up", payable / 10000.0 AS payable, status, decided FROM quotes;
"""
"""What other tools read; made anew whenever a step was taken."""
