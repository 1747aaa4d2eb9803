"""The tables of a shop: their columns, how cells are read, and what an empty one means.

What each column is, in words, stands in data/README.md, and a test holds the two together.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import lru_cache

from pricelab.files.cells import (
    BadCell,
    OneOf,
    Reader,
    amount,
    amount_or_share,
    any_share,
    count,
    count_or_none,
    day,
    distance_in,
    from_one,
    known,
    length_in,
    level_of_service,
    more_than_nothing,
    share,
    some_share,
    words,
    yes_or_no,
)
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
    read: Reader | _ByKeys = words
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


_LENGTH = _ByKeys(lambda keys: length_in(keys.unit))
_DISTANCE = _ByKeys(lambda keys: distance_in(keys.unit))
_METHOD = _ByKeys(lambda keys: known(keys.methods, "a method", "methods.csv"))
_BLANK = _ByKeys(lambda keys: known(keys.blanks, "a blank", "blanks.csv"))
_GRID = _ByKeys(lambda keys: known(keys.grids, "a grid", GRIDS))
_WORKED = _word_for((Level.PIECE, Level.BATCH, Level.ORDER, Level.DESIGN))
_SAID_OR_NOT = OneOf.words_of(["yes", "no"])
_FIRST_OR_REPEAT = OneOf.words_of(["first", "repeat"])
_NO_LIMIT = float("inf")

_ASKED = (
    Column("method", _METHOD),
    Column("blank", _BLANK),
    Column("width", _LENGTH),
    Column("height", _LENGTH),
    Column("quantity", count),
    Column("order", _FIRST_OR_REPEAT),
    Column("price each", amount, unit=MONEY),
    Column("set-up charged", amount, 0.0, MONEY),
)
"""What was asked for, and at what price: of a job, or of a quote."""

SETTINGS = (
    Column("name"),
    Column("notice", default=""),
    Column("currency", _currency),
    Column("unit", OneOf.words_of(UNITS)),
    Column("heat unit", OneOf.words_of(["°F", "°C"]), "°F"),
    Column("labour rate", amount, unit=f"{MONEY} an hour"),
    Column("overhead rate", amount, 0.0, f"{MONEY} an hour"),
    Column("overhead on", OneOf.words_of(["attended", "machine"]), "attended"),
    Column("target margin", share),
    Column("floor margin", share),
    Column("price step", more_than_nothing, TO_THE_CENT.step, MONEY),
    Column("price ending", amount, None, MONEY),
    Column("set-up", OneOf({"own line": True, "spread": False}), True),
    Column("sales tax", share, NO_TAX.rate),
    Column("prices include tax", yes_or_no, NO_TAX.included),
    Column("tax name", words, NO_TAX.name),
    Column("service level", level_of_service, Shop.service_level),
    Column("surplus worth", any_share, Shop.surplus_worth),
    Column("order up", yes_or_no, Shop.order_up),
    Column("valid days", count, Shop.valid_days, "days"),
    Column("conditions", words, Shop.conditions),
    Column("largest order", count, Shop.largest_order, "pieces"),
    Column("tier limit", from_one, PricingRules.tier_limit),
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
        Column("pack", count, 1, "pieces"),
        Column("heat limit", amount, None, HEAT),
        Column("care", default=""),
    ),
    "blank_prices": (
        Column("blank", _BLANK),
        Column("from", count, unit="pieces"),
        Column("price", amount, unit=f"{MONEY} a piece"),
    ),
    "methods": (
        Column("method"),
        Column("name", default=None),
        Column("grid", _GRID, None),
        Column("set-up", amount, 0.0, MONEY),
        Column("repeat set-up", amount, 0.0, MONEY),
        Column("spoilage", share, 0.0),
        Column("max width", _LENGTH, _NO_LIMIT, _UNIT),
        Column("max height", _LENGTH, _NO_LIMIT, _UNIT),
        Column("smallest side", _DISTANCE, 0.0, _UNIT),
        Column("heat", amount, None, HEAT),
        Column("stitches per square", more_than_nothing, None, f"square {_UNIT}"),
        Column("filled share", some_share, 1.0),
        Column("care", default=""),
    ),
    "stitching": (
        Column("method", _METHOD),
        Column("speed", more_than_nothing, unit="stitches a minute"),
        Column("heads", count),
        Column("thread price", amount, unit=f"{MONEY} a thousand"),
        Column("change minutes", amount, 0.0),
        Column("attended", yes_or_no, Stitching.attended),
        Column("station", default=Stitching.station),
    ),
    "rolls": (
        Column("method", _METHOD),
        Column("roll width", _LENGTH, unit=_UNIT),
        Column("edge", _DISTANCE, 0.0, _UNIT),
        Column("gap", _DISTANCE, 0.0, _UNIT),
        Column("price", amount, unit=f"{MONEY} for 1 {_UNIT}"),
    ),
    "operations": (
        Column("method", _METHOD, SHOP_WIDE),
        Column("operation"),
        Column("minutes", amount),
        Column("per", _WORKED),
        Column("batch", count, None, "pieces"),
        Column("time", OneOf({"attended": True, "dwell": False}), True),
        Column("station", default=None),
    ),
    "costs": (
        Column("method", _METHOD, SHOP_WIDE),
        Column("cost"),
        Column("element", _word_for(Element)),
        Column("level", _word_for(Level)),
        Column("amount", amount_or_share, unit=f"{MONEY} or %"),
        Column("batch", count, None, "pieces"),
        Column("of", OneOf.words_of([TOTAL, PRICE]), TOTAL),
    ),
    "promotions": (
        Column("method", _METHOD),
        Column("starts", day),
        Column("ends", day),
        Column("set-up", amount, unit=MONEY),
    ),
    "price_list": (
        Column("method", _METHOD),
        Column("blank", _BLANK),
        Column("size", parse_band),
    ),
    "jobs": (
        Column("job"),
        Column("date", day),
        Column("client", default=""),
        *_ASKED,
        Column("charged", amount, unit=MONEY),
        Column("attended minutes", amount, None),
        Column("machine minutes", amount, None),
        Column("spoiled pieces", count_or_none, None),
        Column("freight paid", amount, None, MONEY),
        Column("set-up paid", amount, None, MONEY),
        Column("same pieces", _SAID_OR_NOT, ""),
    ),
    "quotes": (Column("quote"), Column("date", day), *_ASKED, Column("won", yes_or_no)),
}
"""Every table of a shop's folder, by its file's name; price_list.csv has its tiers besides."""

_TYPES = {
    **dict.fromkeys((words, _METHOD, _BLANK, _FIRST_OR_REPEAT, _SAID_OR_NOT), "str"),
    **dict.fromkeys((count, count_or_none), "int64"),
    day: "datetime64[s]",
    yes_or_no: "bool",
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
