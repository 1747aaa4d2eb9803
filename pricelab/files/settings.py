"""shop.csv: one setting a row."""

from collections.abc import Iterable, Mapping
from dataclasses import fields

from pricelab.files.cells import nearest
from pricelab.files.faults import Report, one_line, quoted
from pricelab.files.methods import MethodFiles
from pricelab.files.raw_table import RawTable
from pricelab.files.schema import REQUIRED, SETTINGS, columns_of
from pricelab.files.tables import distinct, read_cell, read_records, read_table
from pricelab.shop.blank import Blank
from pricelab.shop.charges import TOTAL, Charge
from pricelab.shop.figures import percent
from pricelab.shop.place import Place
from pricelab.shop.pricing_rules import NO_TAX, PricingRules, Tax
from pricelab.shop.rounding import Rounding
from pricelab.shop.shop import Shop
from pricelab.shop.tolerance import TOLERANCE
from pricelab.shop.work import Rates

FILE = "shop"


class Settings:
    """The settings, each with its place: defaults for those left out, None for faulty ones."""

    def __init__(self, table: RawTable | None, report: Report):
        self.values = {s.name: s.default for s in SETTINGS if s.default is not REQUIRED}
        self.places: dict[str, Place] = {}
        if table is not None:
            self._read(table, report)

    def _read(self, table: RawTable, report: Report) -> None:
        known, misspelt = {setting.name: setting for setting in SETTINGS}, set()
        records = read_records(table, columns_of(FILE), report)
        for record in distinct(records, ["setting"], report):
            if not record.sound:
                continue
            name, text = record["setting"], record["value"]
            if name not in known:
                mend = nearest(name, known) or f"Write one of: {', '.join(known)}."
                report.fault(record.place("setting"), quoted(name), "a setting of the shop", mend)
                misspelt.add(mend)
                continue
            self.places[name] = record.place("value")
            if text or known[name].default is REQUIRED:
                read, place = known[name].read, self.places[name]
                self.values[name] = read_cell(text, table.mark, read, place, report)
        for name, setting in known.items():
            missing = setting.default is REQUIRED and name not in self.places
            if missing and f'Write "{name}".' not in misspelt:
                report.fault(
                    Place(table.file),
                    f'no setting "{name}"',
                    "a row for it",
                    f'Add a row with "{name}" and its value.',
                )

    def get(self, name: str, otherwise=None):
        """The value of a setting, or `otherwise` where it has none, is missing or faulty."""
        value = self.values.get(name)
        return otherwise if value is None else value

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
        same = {
            f.name: said[name] for f in fields(Shop) if (name := f.name.replace("_", " ")) in said
        }
        rates = Rates(said["labour rate"], said["overhead rate"], said["overhead on"])
        rounding = Rounding(said["price step"], said["price ending"])
        target, floor, apart = said["target margin"], said["floor margin"], said["set-up"]
        limit = said["tier limit"]
        return Shop(
            **same,
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

    def check_fees(self, methods: MethodFiles, report: Report) -> None:
        """A fault where no price leaves the target margin and pays the shares of revenue."""
        target, taxed = self.get("target margin"), 1 + self.get("sales tax", 0.0)
        if target is None:
            return

        def shares(charges: Iterable[Charge]) -> float:
            """The share of the price before tax that fees take, whatever it comes to."""
            return sum(charge.share * (taxed if charge.of == TOTAL else 1) for charge in charges)

        shared = shares(methods.charges)
        own = {key: shares(method.charges) for key, method in methods.methods.items()}
        fees = {f" on {one_line(key)}": shared + part for key, part in own.items() if part}
        for whose, fee in ({"": shared} | fees).items():
            if target + fee >= 1 - TOLERANCE:
                report.fault(
                    self.places["target margin"],
                    f"a target margin of {percent(target)} with fees of {percent(fee)}{whose}",
                    "less than 100 % together",
                    "Lower the target margin, or correct the revenue-level shares of the costs.",
                )
                if not whose:
                    return


def read_settings(files: Mapping[str, bytes], report: Report) -> Settings:
    """The settings of a shop's `files`, with every fault."""
    said = Settings(read_table(files, FILE, report), report)
    said.check(report)
    return said
