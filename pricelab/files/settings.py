"""shop.csv: one setting a row."""

from pricelab.files.cells import (
    BadCell,
    OneOf,
    amount,
    any_share,
    count,
    level_of_service,
    more_than_nothing,
    nearest,
    share,
    words,
    yes_or_no,
)
from pricelab.files.faults import Report, quoted
from pricelab.files.raw_table import RawTable
from pricelab.files.tables import MONEY, REQUIRED, Column, Record, distinct, read_cell, read_records
from pricelab.shop.errors import PricelabError
from pricelab.shop.figures import percent
from pricelab.shop.money import minor_unit
from pricelab.shop.place import Place
from pricelab.shop.pricing_rules import NO_TAX, PricingRules, Tax
from pricelab.shop.rounding import TO_THE_CENT, Rounding
from pricelab.shop.shop import Shop
from pricelab.shop.tolerance import TOLERANCE
from pricelab.shop.units import UNITS
from pricelab.shop.work import Rates

FILE = "shop"
COLUMNS = (Column("setting"), Column("value", default=""))


def _currency(text: str, mark: str) -> str:
    try:
        minor_unit(text)
    except PricelabError:
        raise BadCell("a three-letter currency code", "Write a code such as USD or EUR.") from None
    return text


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
)


class Settings:
    """The settings that could be read, each with its place; defaults for those left out."""

    def __init__(self, table: RawTable | None, report: Report):
        self.values = {s.name: s.default for s in SETTINGS if s.default is not REQUIRED}
        self.places: dict[str, Place] = {}
        if table is not None:
            self._read(table, report)

    def _read(self, table: RawTable, report: Report) -> None:
        records = distinct(read_records(table, COLUMNS, report), ["setting"], report)
        unknown = [self._read_setting(record, table.mark, report) for record in records]
        for setting in SETTINGS:
            missing = setting.default is REQUIRED and setting.name not in self.places
            if missing and f'Write "{setting.name}".' not in unknown:
                report.fault(
                    Place(table.file),
                    f'no setting "{setting.name}"',
                    "a row for it",
                    f'Add a row with "{setting.name}" and its value.',
                )

    def _read_setting(self, record: Record, mark: str, report: Report) -> str | None:
        """Keep one setting; the mend of its name where there is no such setting."""
        name, text = record.get("setting"), record.get("value")
        if name is None or text is None:
            return None
        place = record.place("value")
        setting = next((setting for setting in SETTINGS if setting.name == name), None)
        if setting is None:
            names = [setting.name for setting in SETTINGS]
            mend = nearest(name, names) or f"Write one of: {', '.join(names)}."
            report.fault(record.place("setting"), quoted(name), "a setting of the shop", mend)
            return mend
        self.places[name] = place
        if text or setting.default is REQUIRED:
            self.values.pop(name, None)
            value = read_cell(text, mark, setting.read, place, report)
            if value is not None:
                self.values[name] = value
        return None

    def get(self, name: str, otherwise=None):
        """The value of a setting, or `otherwise` where it is missing or faulty."""
        return self.values.get(name, otherwise)

    def rates(self) -> Rates:
        """The hourly rates."""
        return Rates(
            self.values["labour rate"],
            self.values["overhead rate"],
            self.values["overhead on"],
        )

    def tax(self) -> Tax:
        """The sales tax."""
        return Tax(
            self.get("sales tax", NO_TAX.rate),
            self.get("prices include tax", NO_TAX.included),
            self.get("tax name", NO_TAX.name),
        )

    def pricing(self) -> PricingRules:
        """The pricing rules."""
        return PricingRules(
            self.values["target margin"],
            self.values["floor margin"],
            Rounding(self.values["price step"], self.values["price ending"]),
            self.values["set-up"],
            self.tax(),
        )

    def check(self, report: Report) -> None:
        """Faults of settings that do not go together."""
        step, ending = self.get("price step"), self.get("price ending")
        if step is not None and ending is not None:
            place = self.places["price ending"]
            report.make(place, Rounding, step, ending, mend="Set the price step to 1, or more.")
        target, floor = self.get("target margin"), self.get("floor margin")
        if target is not None and floor is not None and floor > target:
            report.fault(
                self.places["floor margin"],
                f"a floor margin of {percent(floor)}",
                f"no more than the target margin of {percent(target)}",
                "Lower the floor margin, or raise the target.",
            )

    def check_fees(self, fees: float, whose: str, report: Report) -> bool:
        """Whether a price exists that leaves the target margin and pays `fees`; else a fault."""
        target = self.get("target margin")
        if target is None or target + fees < 1 - TOLERANCE:
            return True
        report.fault(
            self.places["target margin"],
            f"a target margin of {percent(target)} with fees of {percent(fees)}{whose}",
            "less than 100 % together",
            "Lower the target margin, or correct the revenue-level shares of the costs.",
        )
        return False
