"""Putting new figures into single cells of the shop's tables, and nothing else in them."""

from collections.abc import Sequence
from pathlib import Path

from pricelab.errors import PricelabError
from pricelab.files.csvsheet import CsvSheet
from pricelab.files.saving import save_whole
from pricelab.learning import Change


def table_of(folder: Path, changes: Sequence[Change]) -> Path:
    """The one CSV file that the changes are for."""
    (file,) = {change.place.file for change in changes}
    if not file.endswith(".csv"):
        raise PricelabError(
            f"Your figures are in {file}, which this workbook does not write. Save it as "
            f"{Path(file).stem}.csv and delete the old file, or write the new figures there by "
            "hand."
        )
    return folder / file


def amend(folder: Path, changes: Sequence[Change], seen: bytes) -> Path:
    """Write the changes into their file, whole or not at all; every other letter stays.

    `seen` is what the file held when the changes were worked out: where it is another by
    now, nothing is written.
    """
    return save_whole(table_of(folder, changes), amended(seen, changes), seen=seen)


def amended(content: bytes, changes: Sequence[Change]) -> bytes:
    """The `content` of a CSV file with the cells changed."""
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
