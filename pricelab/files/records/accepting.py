"""Accepting what the jobs taught: a figure in the shop's table, and a row in the log of those.

Both files are saved together: whatever stops the program or the machine, both have the new
figure in the end, or neither.
"""

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from pricelab.files.csv_sheet import CsvSheet
from pricelab.files.saving import held, save_together
from pricelab.files.shop_folder import ShopFolder
from pricelab.jobs.learning import Change
from pricelab.shop.errors import PricelabError

LOG = "old/accepted.csv"
"""The file in the shop's folder that says what was accepted, and why."""

COLUMNS = ("day", "what", "before", "after", "why")


def accept(folder: ShopFolder, changes: Sequence[Change], of: str, why: str, on: date) -> Path:
    """Write changes `of` a method into their table and into the log; the table's path.

    Raises `PricelabError`, and writes nothing, where the table is another by now than in
    `folder`.
    """
    (file,) = {change.place.file for change in changes}
    if not file.endswith(".csv"):
        raise PricelabError(
            f"Your figures are in {file}, which this workbook does not write. Save it as "
            f"{Path(file).stem}.csv and delete the old file, or write the new figures there by "
            "hand."
        )
    seen = {file: folder.held[file], LOG: held(folder.folder / LOG)}
    after, noted = amended(seen[file], changes), _sheet(seen[LOG])
    for change in changes:
        noted = noted.with_row([f"{on}", f"{of}: {change.what}", change.before, change.after, why])
    save_together(folder.folder, {file: after, LOG: noted.content}, seen)
    return folder.folder / file


def accepted(folder: Path) -> list[tuple[str, ...]]:
    """What was accepted, in order: the cells of `COLUMNS`."""
    sheet = _sheet(held(folder / LOG))
    rows = [at for at in range(len(sheet.rows)) if at != sheet.head and not sheet.is_remark(at)]
    return [tuple(sheet.cell(at, column) for column in COLUMNS) for at in rows]


def _sheet(content: bytes | None) -> CsvSheet:
    try:
        return CsvSheet.of(content or ",".join(COLUMNS).encode() + b"\n")
    except PricelabError as error:
        raise PricelabError(f"{LOG}: {error}") from None


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
