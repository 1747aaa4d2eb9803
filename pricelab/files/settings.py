"""shop.csv: one setting a row."""

from collections.abc import Mapping

from pricelab.files.cells import nearest
from pricelab.files.faults import Report, quoted
from pricelab.files.methods import MethodFiles
from pricelab.files.raw_table import RawTable
from pricelab.files.schema import REQUIRED, SETTINGS, columns_of
from pricelab.files.tables import Record, distinct, read_cell, read_records, read_table
from pricelab.shop.blank import Blank
from pricelab.shop.figures import percent
from pricelab.shop.place import Place
from pricelab.shop.pricing_rules import NO_TAX, PricingRules, Tax
from pricelab.shop.rounding import Rounding
from pricelab.shop.shop import Shop
from pricelab.shop.tolerance import TOLERANCE
from pricelab.shop.work import Rates

FILE = "shop"

_TAKEN_OVER = (
    "name",
    "currency",
    "unit",
    "heat unit",
    "service level",
    "surplus worth",
    "order up",
    "notice",
    "valid days",
    "conditions",
    "largest order",
)
"""Settings that are fields of the shop by the same name."""


class Settings:
    """The settings that could be read, each with its place; defaults for those left out."""

    def __init__(self, table: RawTable | None, report: Report):
        self.values = {s.name: s.default for s in SETTINGS if s.default is not REQUIRED}
        self.places: dict[str, Place] = {}
        if table is not None:
            self._read(table, report)

    def _read(self, table: RawTable, report: Report) -> None:
        records = read_records(table, columns_of(FILE), report)
        records = distinct(records, ["setting"], report)
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
        setting = next((setting for setting in SETTINGS if setting.name == name), None)
        if setting is None:
            names = [setting.name for setting in SETTINGS]
            mend = nearest(name, names) or f"Write one of: {', '.join(names)}."
            report.fault(record.place("setting"), quoted(name), "a setting of the shop", mend)
            return mend
        self.places[name] = record.place("value")
        if text or setting.default is REQUIRED:
            self.values.pop(name, None)
            value = read_cell(text, mark, setting.read, self.places[name], report)
            if value is not None:
                self.values[name] = value
        return None

    def get(self, name: str, otherwise=None):
        """The value of a setting, or `otherwise` where it is missing or faulty."""
        return self.values.get(name, otherwise)

    def tax(self) -> Tax:
        """The sales tax."""
        return Tax(
            self.get("sales tax", NO_TAX.rate),
            self.get("prices include tax", NO_TAX.included),
            self.get("tax name", NO_TAX.name),
        )

    def shop(self, methods: MethodFiles, blanks: dict[str, Blank]) -> Shop:
        """The shop with these methods and blanks, where every setting could be read."""
        said = self.values
        rates = Rates(said["labour rate"], said["overhead rate"], said["overhead on"])
        rounding = Rounding(said["price step"], said["price ending"])
        target, floor, apart = said["target margin"], said["floor margin"], said["set-up"]
        limit = said["tier limit"]
        return Shop(
            **{name.replace(" ", "_"): said[name] for name in _TAKEN_OVER},
            rates=rates,
            pricing=PricingRules(target, floor, rounding, apart, self.tax(), limit),
            methods=methods.methods,
            blanks=blanks,
            charges=methods.charges,
            operations=methods.operations,
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


def read_settings(files: Mapping[str, bytes], report: Report) -> Settings:
    """The settings of a shop's `files`, with every fault."""
    said = Settings(read_table(files, FILE, report), report)
    said.check(report)
    return said
