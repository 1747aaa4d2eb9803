"""quotes.csv: quotes that were given, and whether they were won. No client is named in it."""

from collections.abc import Mapping, Sequence
from math import inf
from typing import TYPE_CHECKING

from pricelab.files.cells import yes_or_no
from pricelab.files.faults import Report
from pricelab.files.jobs import TYPES as JOB_TYPES
from pricelab.files.tables import Column, distinct, read_file, typed

if TYPE_CHECKING:
    import pandas as pd

STEM = "quotes"

_SHARED = (
    "date",
    "method",
    "blank",
    "width",
    "height",
    "quantity",
    "order",
    "price each",
    "set-up charged",
)

TYPES = {"quote": "str", **{name: JOB_TYPES[name] for name in _SHARED}, "won": "bool"}
"""Columns of the frame of quotes and their types."""


def quote_columns(job_columns: Sequence[Column]) -> tuple[Column, ...]:
    """The columns of quotes.csv: those it shares with jobs.csv, its number and how it ended."""
    shared = (column for column in job_columns if column.name in _SHARED)
    return (Column("quote"), *shared, Column("won", yes_or_no))


def read_quotes(
    files: Mapping[str, bytes], columns: Sequence[Column], report: Report
) -> "pd.DataFrame":
    """The sound quotes, typed as in `TYPES`, under their row numbers; empty without a file."""
    records = read_file(files, STEM, columns, report, required=False, most=inf) or []
    return typed(distinct(records, ["quote", "method", "blank"], report), TYPES)
