"""Accepting what the jobs taught: a figure in the shop's table, and its entry in the book.

These are two files, and the machine may stop between them. So the entry is put down first, as
intended. Then, while no other window writes into the book, the table takes the figure and the
entry its place among the changes. What was cut short is settled by what the table holds.
"""

import re
from collections.abc import Sequence
from contextlib import suppress
from datetime import date
from pathlib import Path

from pricelab.files.csv_sheet import CsvSheet
from pricelab.files.records.book import Records
from pricelab.files.records.schema import INTENDED
from pricelab.files.saving import held, save_together
from pricelab.files.shop_folder import ShopFolder
from pricelab.jobs.learning import Change
from pricelab.shop.errors import PricelabError


def accept(folder: ShopFolder, changes: Sequence[Change], of: str, why: str, on: date) -> Path:
    """Write changes `of` a method into their table and note them in the book: both, or neither.

    Raises `PricelabError` where the table is another by now than in `folder`.
    """
    path = _table_of(folder.folder, changes)
    settle(folder.folder)
    seen, records = folder.held[path.name], Records(folder.folder)
    after = amended(seen, changes)
    numbers = _intend(records, changes, CsvSheet.of(seen), (of, why, on))
    try:
        with records.writing() as book:
            there = {number for (number,) in book.execute("SELECT number FROM intended")}
            if not there.issuperset(numbers):
                raise PricelabError(
                    "Another window was opened at this very moment. Nothing was written; press "
                    "again."
                )
            save_together(path.parent, {path.name: after}, {path.name: seen})
            for number in numbers:
                _note(book, number)
    except PricelabError:
        with suppress(PricelabError):  # what cannot be taken back now is settled later
            if held(path) == after:
                save_together(path.parent, {path.name: seen})  # what is not noted is not changed
            with records.writing() as book:
                for number in numbers:
                    _drop(book, number)
        raise
    return path


def _table_of(folder: Path, changes: Sequence[Change]) -> Path:
    """The one CSV file that the changes are for."""
    (file,) = {change.place.file for change in changes}
    if not file.endswith(".csv"):
        raise PricelabError(
            f"Your figures are in {file}, which this workbook does not write. Save it as "
            f"{Path(file).stem}.csv and delete the old file, or write the new figures there by "
            "hand."
        )
    return folder / file


def amended(content: bytes, changes: Sequence[Change]) -> bytes:
    """The `content` of a CSV file with the cells changed; every other letter stays."""
    sheet = CsvSheet.of(content)
    for change in changes:
        place = change.place
        if place.column not in sheet.headings:
            raise PricelabError(
                f'{place.file} has no column "{place.column}". Add it, write '
                f"{change.after} in row {place.row}, and run this notebook again."
            )
        after = change.after.replace(".", sheet.mark)
        sheet = sheet.with_cell(place.row - 1, place.column, after)
    return sheet.content


def settle(folder: Path) -> None:
    """Settle what was cut short: noted where the table holds the new figure, else dropped.

    Where the table holds neither the new figure nor the old, the entry says so.
    """
    records = Records(folder)
    if records.table(INTENDED).empty:
        return
    with records.writing() as book:
        rows = book.execute(
            'SELECT number, after, why, file, "row", "column", held FROM intended ORDER BY number'
        ).fetchall()
        for number, after, why, file, row, column, before in rows:
            now = _cell(Path(folder) / file, row, column)
            if _same(now, after):
                _note(book, number)
            elif _same(now, before):
                _drop(book, number)
            else:
                says = "is not there any more" if now is None else f'says "{now}" now'
                book.execute(
                    "UPDATE intended SET after = ?, why = ? WHERE number = ?",
                    (
                        f"not certain ({after})",
                        f"{why}; cut short, and {file}, row {row}, {says}",
                        number,
                    ),
                )
                _note(book, number)


def _intend(records: Records, changes, sheet: CsvSheet, about: tuple[str, str, date]) -> list[int]:
    """Put the changes down as intended; their numbers."""
    of, why, on = about
    names = [name for name in INTENDED.columns if name != "number"]
    columns, marks = ", ".join(f'"{name}"' for name in names), ", ".join("?" * len(names))
    numbers = []
    with records.writing() as book:
        for change in changes:
            place = change.place
            before = sheet.cell(place.row - 1, place.column)
            done = book.execute(
                f"INSERT INTO intended ({columns}) VALUES ({marks})",
                (
                    on.isoformat(),
                    f"{of}: {change.what}",
                    change.before,
                    change.after,
                    why,
                    place.file,
                    place.row,
                    place.column,
                    before,
                ),
            )
            numbers.append(done.lastrowid)
    return numbers


def _note(book, number: int) -> None:
    """Give an entry that was intended its place among the changes."""
    columns = "day, what, before, after, why"
    book.execute(
        f"INSERT INTO changes ({columns}) SELECT {columns} FROM intended WHERE number = ?",
        (number,),
    )
    _drop(book, number)


def _drop(book, number: int) -> None:
    book.execute("DELETE FROM intended WHERE number = ?", (number,))


def _cell(path: Path, row: int, column: str) -> str | None:
    """What a cell says, in a spreadsheet's row; None where it is not there any more."""
    content = held(path)
    if content is None:
        return None
    with suppress(PricelabError, IndexError):  # no text any more, or fewer rows
        sheet = CsvSheet.of(content)
        return sheet.cell(row - 1, column) if column in sheet.headings else None
    return None


def _same(one: str | None, other: str) -> bool:
    """Whether two cells say the same, as figures where they are: 0,70 and 0.7, 4 % and 4%."""
    if one is None:
        return False
    plain = [re.sub("[ %]", "", text).replace(",", ".") or "0" for text in (one, other)]
    with suppress(ValueError):
        return float(plain[0]) == float(plain[1])
    return plain[0] == plain[1]
