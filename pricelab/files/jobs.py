"""jobs.csv: finished jobs, what they were charged and what they took."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from pricelab.files.cells import OneOf, amount, count, count_or_none, day, known, length_in
from pricelab.files.faults import Report
from pricelab.files.manyrows import inner_bytes, sound_frame
from pricelab.files.tables import Column, distinct, read_file, typed

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
        Column("order", OneOf({"first": "first", "repeat": "repeat"}, "first or repeat")),
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


def read_jobs(folder: Path, columns: Sequence[Column], report: Report) -> "pd.DataFrame":
    """The sound jobs, typed as in `TYPES`, under their row numbers; empty without a file.

    Width and height are in the shop's unit; money is before tax.
    """
    frame = sound_jobs(folder, f"{STEM}.csv", columns)
    if frame is not None and not (folder / f"{STEM}.xlsx").exists():
        return frame
    records = read_file(folder, STEM, columns, report, required=False) or []
    return typed(distinct(records, KEY, report), TYPES)


def sound_jobs(
    folder: Path, file: str, columns: Sequence[Column], headings: Mapping[str, str] | None = None
) -> "pd.DataFrame | None":
    """The jobs of a CSV file without a fault, read fast; None where there is any doubt."""
    content = inner_bytes(folder, file)
    frame = None if content is None else sound_frame(content, columns, TYPES, headings)
    if frame is None or len(set(frame["job"].tolist())) == len(frame):
        return frame
    return None if frame.duplicated(list(KEY)).any() else frame
