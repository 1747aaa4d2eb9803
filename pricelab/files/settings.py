"""shop.csv: one setting a row."""

from pricelab.errors import PricelabError
from pricelab.files.cells import (
    BadCell,
    amount,
    any_share,
    count,
    level_of_service,
    more_than_nothing,
    nearest,
    one_of,
    share,
    words,
    yes_or_no,
)
from pricelab.files.faults import Report, quoted
from pricelab.files.rawtable import RawTable
from pricelab.files.tables import REQUIRED, Column, Record, read_cell, read_records, refuse_repeats
from pricelab.grids import Place
from pricelab.money import TO_THE_CENT, Rounding, minor_unit
from pricelab.shop import NO_TAX, PricingRules, Rates, Shop, Tax
from pricelab.units import UNITS

FILE = "shop"
COLUMNS = (Column("setting"), Column("value", default=""))


def _currency(text: str, mark: str) -> str:
    try:
        minor_unit(text)
    except PricelabError:
        raise BadCell(
            "a three-letter currency code", "Write a code such as USD or EUR."
        ) from None
    return text


SETTINGS = (
    Column("name"),
    Column("notice", default=""),
    Column("currency", _currency),
    Column("unit", one_of({unit: unit for unit in UNITS}, "in or mm")),
    Column("heat unit", one_of({"°F": "°F", "°C": "°C"}, "°F or °C"), "°F"),
    Column("labour rate", amount),
    Column("overhead rate", amount, 0.0),
    Column(
        "overhead on",
        one_of({"attended": "attended", "machine": "machine"}, "attended or machine"),
        "attended",
    ),
    Column("target margin", share),
    Column("floor margin", share),
    Column("price step", more_than_nothing, TO_THE_CENT.step),
    Column("price ending", amount, None),
    Column("set-up", one_of({"own line": True, "spread": False}, "own line or spread"), True),
    Column("sales tax", share, NO_TAX.rate),
    Column("prices include tax", yes_or_no, NO_TAX.included),
    Column("tax name", words, NO_TAX.name),
    Column("service level", level_of_service, Shop.service_level),
    Column("surplus worth", any_share, Shop.surplus_worth),
    Column("order up", yes_or_no, Shop.order_up),
    Column("valid days", count, Shop.valid_days),
    Column("conditions", words, Shop.conditions),
    Column("largest order", count, Shop.largest_order),
)


class Settings:
    """The settings that could be read, each with its place; defaults for those left out."""

    def __init__(self, table: RawTable | None, report: Report):
        self.values = {s.name: s.default for s in SETTINGS if s.default is not REQUIRED}
        self.places: dict[str, Place] = {}
        if table is not None:
            self._read(table, report)

    def _read(self, table: RawTable, report: Report) -> None:
        records = read_records(table, COLUMNS, report)
        refuse_repeats(records, ["setting"], report)
        known = {setting.name: setting for setting in SETTINGS}
        for record in records:
            self._read_setting(record, known, table.mark, report)
        named = {record.get("setting") for record in records}
        if not any(fault.place.column == "setting" for fault in report.faults):
            for name in known.keys() - named - self.values.keys():
                report.fault(
                    Place(table.file),
                    f'no setting "{name}"',
                    "it",
                    f'Add a row with "{name}" and its value.',
                )

    def _read_setting(
        self, record: Record, known: dict[str, Column], mark: str, report: Report
    ) -> None:
        name, text = record.get("setting"), record.get("value")
        if name is None or text is None:
            return
        if name not in known:
            report.fault(
                record.place("setting"),
                quoted(name),
                "a setting of the shop",
                nearest(name, known) or f"Remove the row; the settings are {', '.join(known)}.",
            )
            return
        self.places[name] = record.place("value")
        if not text and known[name].default is not REQUIRED:
            return
        value = read_cell(text, mark, known[name].read, record.place("value"), report)
        if value is None:
            self.values.pop(name, None)
        else:
            self.values[name] = value

    def get(self, name: str, otherwise=None):
        """The value of a setting, or `otherwise` where it is missing or faulty."""
        return self.values.get(name, otherwise)

    def rates(self) -> Rates:
        """The hourly rates."""
        return Rates(
            self.values["labour rate"],
            self.values["overhead rate"],
            self.values["overhead on"],
            self.places.get("labour rate"),
            self.places.get("overhead rate"),
        )
