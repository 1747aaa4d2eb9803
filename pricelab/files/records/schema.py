"""The tables of the book of records, and what their columns hold.

Money is kept in whole ten-thousandths of the currency, exact for every currency there is;
days as ISO text. The views `finished_jobs` and `quoted` show money in the currency, for
whoever reads the file with other tools.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum

from pricelab.files.jobs import KEY, TYPES

FILE = "records.sqlite"

MONEY = 10_000
"""Parts of the currency that money is kept in."""

LAYOUT = 5
"""The number of the tables' layout, which the file carries."""


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
    def text(self) -> bool:
        """Whether it is kept as text that is shown as it is."""
        return self.type == "str"

    @property
    def day(self) -> bool:
        """Whether it is kept as the text of a day."""
        return self.type == "datetime64[s]"

    @property
    def whole(self) -> bool:
        """Whether it is kept in whole numbers."""
        return self.money or self.type.lower() == "int64"

    @property
    def sql(self) -> str:
        """How the file declares it."""
        of = "TEXT" if self.text or self.day else "INTEGER" if self.whole else "REAL"
        return of if self.optional else f"{of} NOT NULL"


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


_NAMED = "CHECK ({} <> '')"
_PIECES = "CHECK ({} > 0)"
_ORDER = """CHECK ("order" IN ('first', 'repeat'))"""
_OF_QUOTE = "REFERENCES quotes (number)"

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
    {
        "number": _NAMED.format("number"),
        "order": _ORDER,
        "status": "CHECK (status IN ('open', 'won', 'lost'))",
    },
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
    {"quote": _OF_QUOTE, "pieces": _PIECES.format("pieces")},
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
    {"quote": _OF_QUOTE},
)

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
    {
        "job": _NAMED.format("job"),
        "quantity": _PIECES.format("quantity"),
        "order": _ORDER,
        "quote": _OF_QUOTE,
    },
)
HEADINGS = Table("headings", {"column": Kind.TEXT, "heading": Kind.TEXT}, ("heading",))

TABLES = (QUOTES, PARTS, LINES, JOBS, HEADINGS)
"""Every table, those that others refer to first."""


def _in_currency(table: Table, *columns: str) -> str:
    """Columns of a table as other tools read them."""
    return ", ".join(
        f'"{name}" / {MONEY}.0 AS "{name}"' if table.columns[name].money else f'"{name}"'
        for name in columns
    )


_FIRST_OF_QUOTE = ("number", "made", "valid until", "client", "method", "width", "height", "unit")
_OF_PARTS = "FROM quote_parts WHERE quote = number"

STATEMENTS = (
    *(table.sql for table in TABLES),
    f"CREATE VIEW finished_jobs AS SELECT {_in_currency(JOBS, *JOBS.columns)} FROM jobs",
    f"CREATE VIEW quoted AS SELECT {_in_currency(QUOTES, *_FIRST_OF_QUOTE, 'order')}, "
    f"(SELECT sum(pieces) {_OF_PARTS}) AS quantity, "
    f'(SELECT sum(amount) {_OF_PARTS}) / {MONEY}.0 AS "pieces total", '
    f"{_in_currency(QUOTES, 'set-up', 'payable', 'status', 'decided')} FROM quotes",
)
"""What makes a new file."""
