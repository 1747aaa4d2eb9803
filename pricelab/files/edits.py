"""The tables of a shop's folder as edited on a screen: read by the loader, saved together."""

import unicodedata
from collections import ChainMap
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path

from pricelab.files.csv_sheet import CsvSheet
from pricelab.files.faults import quoted
from pricelab.files.marks import NOTE, marked, without_mark
from pricelab.files.methods import grid_names
from pricelab.files.saving import OLD, finish_together, held, keep_copy, save_together
from pricelab.files.schema import SETTINGS, TABLES, Column, Keys, columns_of
from pricelab.files.shop_folder import ShopFolder, read_shop
from pricelab.files.source import BadFile, Folder
from pricelab.shop.errors import PricelabError
from pricelab.shop.units import UNITS

EDITABLE = (
    "shop",
    "blanks",
    "blank_prices",
    "methods",
    "operations",
    "costs",
    "stitching",
    "rolls",
    "promotions",
)
"""The tables that say what the shop is; prices, jobs and quotes have their own notebooks."""

_KEYS = {"blanks": "blank", "methods": "method"}
"""Tables whose rows others go with, and the column of all of them that tells with which."""


@dataclass(frozen=True)
class Edits:
    """What a folder's tables held when they were read, and what they hold as edited.

    `locked` tells of tables that cannot be edited here, and why. `added` are new rows, by
    table and row: they are shown though they are empty, and saved where they are not.
    """

    folder: Path
    seen: Mapping[str, bytes]
    sheets: Mapping[str, CsvSheet]
    locked: Mapping[str, str] = field(default_factory=dict)
    added: frozenset[tuple[str, int]] = frozenset()

    @classmethod
    def of(cls, folder: Path) -> "Edits":
        """The tables as they are now."""
        finish_together(Path(folder))
        seen, sheets, locked = {}, {}, {}
        for table in EDITABLE:
            path = Path(folder) / f"{table}.csv"
            other = path.with_suffix(".xlsx")
            if other.exists():
                locked[table] = (
                    f"This table stands in {other.name}, which this workbook does not write. Edit "
                    f"it in your spreadsheet, or save it as {path.name} and delete the old file."
                )
                continue
            try:
                content = held(path)
                if content is not None:
                    seen[table], sheets[table] = content, CsvSheet.of(content)
            except BadFile as bad:
                locked[table] = f"This table holds {bad.found}. {bad.mend}"
            except PricelabError as error:
                locked[table] = f"This table {error}"
        return cls(Path(folder), seen, sheets, locked)

    # ---- what stands there ------------------------------------------------------------

    def rows(self, table: str) -> tuple[int, ...]:
        """The rows of a table that hold something, or are new; remarks are no rows."""
        sheet = self.sheets.get(table)
        if sheet is None or sheet.head is None:
            return ()
        return tuple(
            at
            for at in range(sheet.head + 1, len(sheet.rows))
            if (table, at) in self.added or not sheet.is_remark(at)
        )

    def cell(self, table: str, row: int, column: str) -> str:
        """The text of a cell."""
        return self.sheets[table].cell(row, column)

    def keys(self, table: str) -> tuple[str, ...]:
        """What stands in the first column the loader knows, such as the blanks' short names."""
        column = TABLES[table][0].name
        found = (self.cell(table, row, column) for row in self.rows(table))
        return tuple(dict.fromkeys(filter(None, found)))

    def setting(self, name: str) -> str:
        """What a setting is set to; nothing where it is left out."""
        row = self._row_of_setting(name)
        return "" if row is None else self.cell("shop", row, "value")

    def settings(self) -> tuple[tuple[str, int | None], ...]:
        """Every setting with its row, in the file's order; then those left out, without one.

        Rows whose setting is none come with the name they have.
        """
        there = [(self.cell("shop", row, "setting"), row) for row in self.rows("shop")]
        named = dict(there)
        return (*there, *((s.name, None) for s in SETTINGS if s.name not in named))

    def columns(self, table: str) -> tuple[Column, ...]:
        """The columns that the loader knows in a table."""
        unit = self.setting("unit") if self.setting("unit") in UNITS else "in"
        grids = tuple(grid_names(Folder(self.folder)))
        return columns_of(table, Keys(unit, self.keys("methods"), self.keys("blanks"), grids))

    def headings(self, table: str) -> tuple[str, ...]:
        """The columns as they stand in the file, then those it could have."""
        there = self.sheets[table].headings if table in self.sheets else ()
        could = [*(column.name for column in self.columns(table)), NOTE]
        return (*filter(None, there), *(name for name in could if name not in there))

    def count_marked(self, table: str) -> int:
        """How many rows are marked as to be replaced."""
        return sum(marked(self.cell(table, row, NOTE)) for row in self.rows(table))

    @property
    def changed(self) -> tuple[str, ...]:
        """The tables that hold something else than was read."""
        return tuple(self.contents())

    # ---- changes ----------------------------------------------------------------------

    def with_cell(self, table: str, row: int, column: str, text: str) -> "Edits":
        """The same with another text in a cell, on one line; the mark on its row goes."""
        sheet = self.sheets[table]
        before = sheet.cell(row, column)
        if text == before or (text := _typed(text)) == before:
            return self
        if text.startswith("#") and column == sheet.headings[0]:
            raise PricelabError(
                f'Found {quoted(text)} in the column "{column}", expected a name: a row that '
                "begins with # is a remark, which nobody reads. Leave out the #."
            )
        after = sheet.with_cell(row, column, text)
        if column != NOTE:
            after = after.with_cell(row, NOTE, without_mark(after.cell(row, NOTE)))
        return self._with_sheet(table, after)

    def typed(self, table: str, row: int, column: str, text: str) -> "Edits":
        """`with_cell`; another short name goes to the rows of other tables that go with it."""
        edits, name = self.with_cell(table, row, column, text), text.strip()
        if column == _KEYS.get(table) and name and name not in self.keys(table):
            for other, at in self._going_with(table, row):  # their marks stay
                renamed = edits.sheets[other].with_cell(at, column, name)
                edits = edits._with_sheet(other, renamed)
        return edits

    def with_setting(self, name: str, text: str) -> "Edits":
        """The same with another value for a setting, in a row of its own where it had none."""
        after, row = self, self._row_of_setting(name)
        if row is None:
            if not text.strip():
                return self
            after = self.with_row("shop")
            row = after.rows("shop")[-1]
            after = after.with_cell("shop", row, "setting", name)
        return after.with_cell("shop", row, "value", text)

    def with_row(self, table: str) -> "Edits":
        """The same with one more row, still empty."""
        sheet = self.sheets.get(table)
        if sheet is None or sheet.head is None:
            header = [*(column.name for column in self.columns(table)), NOTE]
            separator = self.sheets["shop"].separator if "shop" in self.sheets else ","
            above = sheet or CsvSheet(separator, (), ())
            sheet = replace(above, separator=separator).with_row(header)
        new = (table, len(sheet.rows))
        after = self._with_sheet(table, sheet.with_row([""] * len(sheet.headings)))
        return replace(after, added=self.added | {new})

    def without_row(self, table: str, row: int) -> "Edits":
        """The same without a row."""
        added = {
            (name, at - (name == table and at > row))
            for name, at in self.added
            if (name, at) != (table, row)
        }
        after = self._with_sheet(table, self.sheets[table].without(row))
        return replace(after, added=frozenset(added))

    def without(self, table: str, row: int) -> "Edits":
        """The same without a row and what goes with it, such as the prices of a blank."""
        after = self
        for other, at in reversed(self._going_with(table, row)):
            after = after.without_row(other, at)
        return after.without_row(table, row)

    def _going_with(self, table: str, row: int) -> list[tuple[str, int]]:
        """The rows of other tables that go with the only row of its name."""
        column = _KEYS.get(table)
        name = self.cell(table, row, column) if column else ""
        if not name or sum(self.cell(table, at, column) == name for at in self.rows(table)) > 1:
            return []
        return [
            (other, at)
            for other, sheet in self.sheets.items()
            if other != table and column in sheet.headings
            for at in self.rows(other)
            if self.cell(other, at, column) == name
        ]

    def without_marks(self, table: str) -> "Edits":
        """The same with no row of a table marked: its figures are the reader's own."""
        after = self
        for row in self.rows(table):
            after = after.with_cell(table, row, NOTE, without_mark(self.cell(table, row, NOTE)))
        return after

    # ---- reading and saving -----------------------------------------------------------

    def read(self) -> ShopFolder:
        """The shop as it would be read; raises `ShopFaults` with every fault of every file."""
        typed = {f"{table}.csv": sheet.content for table, sheet in self.sheets.items()}
        return read_shop(ChainMap(typed, Folder(self.folder)))

    def save(self, now: datetime) -> tuple[str, ...]:
        """Save what changed, all of it or nothing; the names of the files.

        Each file that is replaced is kept in the folder `old`, under the time. Nothing is
        saved where one of them is another by now than when it was read.
        """
        contents = {f"{table}.csv": content for table, content in self.contents().items()}
        seen = {f"{table}.csv": content for table, content in self.seen.items()}
        old = self.folder / OLD
        save_together(self.folder, contents, seen, lambda path: keep_copy(path, old, now))
        return tuple(contents)

    def contents(self) -> dict[str, bytes]:
        """The tables that changed, as they are saved: without new rows that stayed empty."""
        contents = {}
        for table, sheet in self.sheets.items():
            empty = [at for name, at in self.added if name == table and sheet.is_remark(at)]
            for at in sorted(empty, reverse=True):
                sheet = sheet.without(at)
            new = table not in self.seen and len(sheet.rows) == 1  # headings alone
            if sheet.content != self.seen.get(table, b"") and not new:
                contents[table] = sheet.content
        return contents

    def _with_sheet(self, table: str, sheet: CsvSheet) -> "Edits":
        return replace(self, sheets={**self.sheets, table: sheet})

    def _row_of_setting(self, name: str) -> int | None:
        return next((row for known, row in self.settings() if known == name), None)


def _typed(text: str) -> str:
    """What was typed or pasted, on one line and without signs that are no text."""
    kept = (sign if unicodedata.category(sign) not in ("Cc", "Cs") else " " for sign in text)
    return " ".join("".join(kept).split())
