"""jobs.csv: finished jobs, what they were charged and what they took."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

from pricelab.files.cells import OneOf, amount, count, count_or_none, day, known, length_in
from pricelab.files.faults import Report
from pricelab.files.many_rows import sound_frame
from pricelab.files.raw_table import find_file, raw_table
from pricelab.files.source import content_of
from pricelab.files.tables import Column, distinct, read_records, typed

if TYPE_CHECKING:
    import pandas as pd

STEM = "jobs"

TYPES = {
    "job": "str",
    "date": "datetime64[s]",
    "client": "str",
    "method": "str",
    "blank": "str",
    "width": "float64",
    "height": "float64",
    "quantity": "int64",
    "order": "str",
    "price each": "float64",
    "set-up charged": "float64",
    "charged": "float64",
    "attended minutes": "Float64",
    "machine minutes": "Float64",
    "spoiled pieces": "Int64",
    "freight paid": "Float64",
    "set-up paid": "Float64",
}
"""Columns of the frame of jobs and their types; what it took and paid may be missing."""

KEY = ("job", "method", "blank", "width", "height")
"""What tells one row of jobs from another."""


@lru_cache
def job_columns(
    unit: str, methods: Sequence[str] | None, blanks: Sequence[str] | None
) -> tuple[Column, ...]:
    """The columns of jobs.csv; lengths are in `unit` unless a cell says otherwise."""
    return (
        Column("job"),
        Column("date", day),
        Column("client", default=""),
        Column("method", known(methods, "a method", "methods.csv")),
        Column("blank", known(blanks, "a blank", "blanks.csv")),
        Column("width", length_in(unit)),
        Column("height", length_in(unit)),
        Column("quantity", count),
        Column("order", OneOf.words_of(["first", "repeat"])),
        Column("price each", amount),
        Column("set-up charged", amount, 0.0),
        Column("charged", amount),
        Column("attended minutes", amount, None),
        Column("machine minutes", amount, None),
        Column("spoiled pieces", count_or_none, None),
        Column("freight paid", amount, None),
        Column("set-up paid", amount, None),
    )


def with_recorded(jobs: "pd.DataFrame", recorded: "pd.DataFrame | None") -> "pd.DataFrame":
    """Jobs as read, and those of the book; one that is in both is as the book has it."""
    import pandas as pd

    if recorded is None or recorded.empty:
        return jobs
    both = pd.concat([jobs, recorded], ignore_index=True)
    return both[~both.duplicated(list(KEY), keep="last")].astype({"quote": "str"})


def read_jobs(
    files: Mapping[str, bytes], columns: tuple[Column, ...], report: Report
) -> "pd.DataFrame":
    """The sound jobs of a shop's `files`; none without a file. See `jobs_in`."""
    file = find_file(files, STEM, report)
    return typed([], TYPES) if file is None else jobs_in(files, file, columns, report)


def jobs_in(
    files: Mapping[str, bytes],
    file: str,
    columns: tuple[Column, ...],
    report: Report,
    headings: Mapping[str, str] | None = None,
) -> "pd.DataFrame":
    """The sound jobs of a `file`, typed as in `TYPES`, under their row numbers.

    Width and height are in the shop's unit; money is before tax. `headings` gives the column
    that each heading stands for, where it is not its own name.
    """
    content = content_of(files, file, report)
    if content is None:
        return typed([], TYPES)
    headings = headings or {}
    if file.endswith(".csv"):
        frame = _sound(content, columns, tuple(headings.items()))
        if frame is not None:
            return frame.copy(deep=False)
    table = raw_table(content, file, report)
    if table is None:
        return typed([], TYPES)
    names = tuple(headings.get(heading, heading) for heading in table.header.cells)
    table = replace(table, header=replace(table.header, cells=names))
    return typed(distinct(read_records(table, columns, report), KEY, report), TYPES)


@lru_cache(maxsize=1)  # whatever else is saved, a long history is not read again for it
def _sound(
    content: bytes, columns: tuple[Column, ...], headings: tuple[tuple[str, str], ...]
) -> "pd.DataFrame | None":
    """The jobs of a CSV file without a fault, read fast; None where there is any doubt."""
    frame = sound_frame(content, columns, TYPES, dict(headings))
    if frame is None or len(set(frame["job"].tolist())) == len(frame):
        return frame
    return None if frame.duplicated(list(KEY)).any() else frame
