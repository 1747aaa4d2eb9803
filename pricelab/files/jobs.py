"""jobs.csv: finished jobs, what they were charged and what they took."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from pricelab.files.cells import amount, count, count_or_none, day, known, length_in, one_of
from pricelab.files.faults import Report
from pricelab.files.tables import Column, distinct, read_file

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
}
"""Columns of the frame of jobs and their types; minutes and spoiled pieces may be missing."""


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
        Column("order", one_of({"first": "first", "repeat": "repeat"}, "first or repeat")),
        Column("price each", amount),
        Column("set-up charged", amount, 0.0),
        Column("charged", amount),
        Column("attended minutes", amount, None),
        Column("machine minutes", amount, None),
        Column("spoiled pieces", count_or_none, None),
    )


def read_jobs(folder: Path, columns: Sequence[Column], report: Report) -> "pd.DataFrame":
    """The sound jobs, typed as in `TYPES`, under their row numbers; empty without a file.

    Width and height are in the shop's unit; money is before tax.
    """
    import pandas as pd

    records = read_file(folder, STEM, columns, report, required=False) or []
    once = distinct(records, ["job", "method", "blank", "width", "height"], report)
    sound = [record for record in once if record.sound]
    columns = {
        name: pd.array([record[name] for record in sound], dtype=kind)
        for name, kind in TYPES.items()
    }
    rows = pd.Index([record.row for record in sound], dtype="int64", name="row")
    return pd.DataFrame(columns, index=rows)
