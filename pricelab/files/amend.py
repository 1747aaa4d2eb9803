"""Putting new figures into single cells of the shop's tables, and nothing else in them."""

import csv
import io
from collections.abc import Sequence
from pathlib import Path

from pricelab.errors import PricelabError
from pricelab.files.csvfile import separator_of
from pricelab.learning import Change
from pricelab.paper.saving import save_whole

_BOM = b"\xef\xbb\xbf"


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
    path = table_of(folder, changes)
    if not path.is_file() or path.read_bytes() != seen:
        raise PricelabError(
            f"{path.name} was changed since this page read it, perhaps in another tab. "
            "Run this notebook again, then accept."
        )
    return save_whole(path, amended(seen, changes))


def amended(content: bytes, changes: Sequence[Change]) -> bytes:
    """The `content` of a CSV file with the cells changed."""
    text = content.decode("utf-8-sig")
    separator = separator_of(text)
    mark = "," if separator == ";" else "."
    lines = list(io.StringIO(text, newline=""))
    rows, ends = [], []
    reader = csv.reader(lines, delimiter=separator, strict=True)
    for row in reader:
        rows.append(row)
        ends.append(reader.line_num)
    header = next(row for row in rows if "".join(row).strip() and row[0].strip()[:1] != "#")
    headings = [" ".join(cell.split()) for cell in header]
    for change in changes:
        if change.place.column not in headings:
            raise PricelabError(
                f'{change.place.file} has no column "{change.place.column}". Add it, write '
                f"{change.after} in row {change.place.row}, and run this notebook again."
            )
        row = rows[change.place.row - 1]
        row += [""] * (len(headings) - len(row))
        row[headings.index(change.place.column)] = change.after.replace(".", mark)
    for number in sorted({change.place.row - 1 for change in changes}, reverse=True):
        start = ends[number - 1] if number else 0
        last = lines[ends[number] - 1]
        out = io.StringIO()
        csv.writer(
            out, delimiter=separator, lineterminator=last[len(last.rstrip("\r\n")) :]
        ).writerow(rows[number])
        lines[start : ends[number]] = [out.getvalue()]
    return _BOM * content.startswith(_BOM) + "".join(lines).encode()
