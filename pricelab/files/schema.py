"""The tables of a shop: their columns, how cells are read, and what an empty one means.

What each column is, in words, stands in data/README.md, and a test holds the two together.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import lru_cache

from pricelab.files import cells
from pricelab.files.cells import BadCell, OneOf, Reader
from pricelab.files.printed import parse_band
from pricelab.files.source import GRIDS
from pricelab.shop.charges import PRICE, TOTAL, Element, Level
from pricelab.shop.errors import PricelabError
from pricelab.shop.method import Stitching
from pricelab.shop.money import minor_unit
from pricelab.shop.pricing_rules import NO_TAX, PricingRules
from pricelab.shop.rounding import TO_THE_CENT
from pricelab.shop.shop import Shop
from pricelab.shop.units import UNITS

MONEY, HEAT, _UNIT = "{money}", "{heat}", "{unit}"
"""Units that the shop's settings tell."""

REQUIRED = object()
"""The default of a column whose cells must not be empty."""

SHOP_WIDE = ""
"""The method of rows that belong to the shop as a whole."""


@dataclass(frozen=True)
class Keys:
    """What some readers go by: the shop's unit, and the keys of other tables (None: any)."""

    unit: str = "in"
    methods: tuple[str, ...] | None = None
    blanks: tuple[str, ...] | None = None
    grids: tuple[str, ...] | None = None


@dataclass(frozen=True, eq=False)
class _ByKeys:
    """A reader that is made once the keys are known."""

    make: Callable[[Keys], Reader]


@dataclass(frozen=True)
class Column:
    """A column: its heading, how its cells are read, and what an empty cell means.

    `unit` is what its figures are in, for the eye; "{money}" and "{heat}" stand for the shop's.
    """

    name: str
    read: Reader | _ByKeys = cells.words
    default: object = REQUIRED
    unit: str = ""


def _currency(text: str, mark: str) -> str:
    try:
        minor_unit(text)
    except PricelabError:
        raise BadCell("a three-letter currency code", "Write a code such as USD or EUR.") from None
    return text


def _word_for(values: Iterable[Element | Level]) -> OneOf:
    return OneOf({value.value: value for value in values})


_LENGTH = _ByKeys(lambda keys: cells.length_in(keys.unit))
_DISTANCE = _ByKeys(lambda keys: cells.distance_in(keys.unit))
_METHOD = _ByKeys(lambda keys: cells.known(keys.methods, "a method", "methods.csv"))
_BLANK = _ByKeys(lambda keys: cells.known(keys.blanks, "a blank", "blanks.csv"))
_GRID = _ByKeys(lambda keys: cells.known(keys.grids, "a grid", GRIDS))
_WORKED = _word_for((Level.PIECE, Level.BATCH, Level.ORDER, Level.DESIGN))
_SAID_OR_NOT = OneOf.words_of(["yes", "no"])
_FIRST_OR_REPEAT = OneOf.words_of(["first", "repeat"])
_NO_LIMIT = float("inf")

_ASKED = (
    Column("method", _METHOD),
    Column("blank", _BLANK),
    Column("width", _LENGTH),
    Column("height", _LENGTH),
    Column("quantity", cells.count),
    Column("order", _FIRST_OR_REPEAT),
    Column("price each", cells.amount, unit=MONEY),
    Column("set-up charged", cells.amount, 0.0, MONEY),
)
"""What was asked for, and at what price: of a job, or of a quote."""

SETTINGS = (
    Column("name"),
    Column("notice", default=""),
    Column("currency", _currency),
    Column("unit", OneOf.words_of(UNITS)),
    Column("heat unit", OneOf.words_of(["°F", "°C"]), "°F"),
    Column("labour rate", cells.amount, unit=f"{MONEY} an hour"),
    Column("overhead rate", cells.amount, 0.0, f"{MONEY} an hour"),
    Column("overhead on", OneOf.words_of(["attended", "machine"]), "attended"),
    Column("target margin", cells.share),
    Column("floor margin", cells.share),
    Column("price step", cells.more_than_nothing, TO_THE_CENT.step, MONEY),
    Column("price ending", cells.amount, None, MONEY),
    Column("set-up", OneOf({"own line": True, "spread": False}), True),
    Column("sales tax", cells.share, NO_TAX.rate),
    Column("prices include tax", cells.yes_or_no, NO_TAX.included),
    Column("tax name", cells.words, NO_TAX.name),
    Column("service level", cells.level_of_service, Shop.service_level),
    Column("surplus worth", cells.any_share, Shop.surplus_worth),
    Column("order up", cells.yes_or_no, Shop.order_up),
    Column("valid days", cells.count, Shop.valid_days, "days"),
    Column("conditions", cells.words, Shop.conditions),
    Column("largest order", cells.count, Shop.largest_order, "pieces"),
    Column("tier limit", cells.from_one, PricingRules.tier_limit),
)
"""The rows of shop.csv."""

TABLES: dict[str, tuple[Column, ...]] = {
    "shop": (Column("setting"), Column("value", default="")),
    "blanks": (
        Column("blank"),
        Column("name", default=None),
        Column("make-up", default=""),
        Column("panel width", _LENGTH, unit=_UNIT),
        Column("panel height", _LENGTH, unit=_UNIT),
        Column("pack", cells.count, 1, "pieces"),
        Column("heat limit", cells.amount, None, HEAT),
        Column("care", default=""),
    ),
    "blank_prices": (
        Column("blank", _BLANK),
        Column("from", cells.count, unit="pieces"),
        Column("price", cells.amount, unit=f"{MONEY} a piece"),
    ),
    "methods": (
        Column("method"),
        Column("name", default=None),
        Column("grid", _GRID, None),
        Column("set-up", cells.amount, 0.0, MONEY),
        Column("repeat set-up", cells.amount, 0.0, MONEY),
        Column("spoilage", cells.share, 0.0),
        Column("max width", _LENGTH, _NO_LIMIT, _UNIT),
        Column("max height", _LENGTH, _NO_LIMIT, _UNIT),
        Column("smallest side", _DISTANCE, 0.0, _UNIT),
        Column("heat", cells.amount, None, HEAT),
        Column("stitches per square", cells.more_than_nothing, None, f"square {_UNIT}"),
        Column("filled share", cells.some_share, 1.0),
        Column("care", default=""),
    ),
    "stitching": (
        Column("method", _METHOD),
        Column("speed", cells.more_than_nothing, unit="stitches a minute"),
        Column("heads", cells.count),
        Column("thread price", cells.amount, unit=f"{MONEY} a thousand"),
        Column("change minutes", cells.amount, 0.0),
        Column("attended", cells.yes_or_no, Stitching.attended),
        Column("station", default=Stitching.station),
    ),
    "rolls": (
        Column("method", _METHOD),
        Column("roll width", _LENGTH, unit=_UNIT),
        Column("edge", _DISTANCE, 0.0, _UNIT),
        Column("gap", _DISTANCE, 0.0, _UNIT),
        Column("price", cells.amount, unit=f"{MONEY} for 1 {_UNIT}"),
    ),
    "operations": (
        Column("method", _METHOD, SHOP_WIDE),
        Column("operation"),
        Column("minutes", cells.amount),
        Column("per", _WORKED),
        Column("batch", cells.count, None, "pieces"),
        Column("time", OneOf({"attended": True, "dwell": False}), True),
        Column("station", default=None),
    ),
    "costs": (
        Column("method", _METHOD, SHOP_WIDE),
        Column("cost"),
        Column("element", _word_for(Element)),
        Column("level", _word_for(Level)),
        Column("amount", cells.amount_or_share, unit=f"{MONEY} or %"),
        Column("batch", cells.count, None, "pieces"),
        Column("of", OneOf.words_of([TOTAL, PRICE]), TOTAL),
    ),
    "promotions": (
        Column("method", _METHOD),
        Column("starts", cells.day),
        Column("ends", cells.day),
        Column("set-up", cells.amount, unit=MONEY),
    ),
    "price_list": (
        Column("method", _METHOD),
        Column("blank", _BLANK),
        Column("size", parse_band),
    ),
    "jobs": (
        Column("job"),
        Column("date", cells.day),
        Column("client", default=""),
        *_ASKED,
        Column("charged", cells.amount, unit=MONEY),
        Column("attended minutes", cells.amount, None),
        Column("machine minutes", cells.amount, None),
        Column("spoiled pieces", cells.count_or_none, None),
        Column("freight paid", cells.amount, None, MONEY),
        Column("set-up paid", cells.amount, None, MONEY),
        Column("same pieces", _SAID_OR_NOT, ""),
    ),
    "quotes": (Column("quote"), Column("date", cells.day), *_ASKED, Column("won", cells.yes_or_no)),
}
"""Every table of a shop's folder, by its file's name; price_list.csv has its tiers besides."""

_TYPES = {
    **dict.fromkeys((cells.words, _METHOD, _BLANK, _FIRST_OR_REPEAT, _SAID_OR_NOT), "str"),
    **dict.fromkeys((cells.count, cells.count_or_none), "int64"),
    cells.day: "datetime64[s]",
    cells.yes_or_no: "bool",
}


@lru_cache
def columns_of(table: str, keys: Keys = Keys()) -> tuple[Column, ...]:
    """The columns of a table, whose cells are read by those `keys`.

    >>> [column.unit for column in columns_of("rolls", Keys("mm"))]
    ['', 'mm', 'mm', 'mm', '{money} for 1 mm']
    """
    return tuple(
        replace(
            column,
            read=column.read.make(keys) if isinstance(column.read, _ByKeys) else column.read,
            unit=column.unit.replace(_UNIT, keys.unit),
        )
        for column in TABLES[table]
    )


def types_of(table: str) -> dict[str, str]:
    """The columns of the frame of a table, each with its pandas type; those that may be missing
    have one that knows of it.

    >>> types_of("quotes")["set-up charged"], types_of("jobs")["spoiled pieces"]
    ('float64', 'Int64')
    """
    kinds = {column.name: _TYPES.get(column.read, "float64") for column in TABLES[table]}
    optional = {column.name for column in TABLES[table] if column.default is None}
    return {name: kind.capitalize() if name in optional else kind for name, kind in kinds.items()}
