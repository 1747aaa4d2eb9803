"""jobs.csv and quotes.csv: finished jobs, and quotes that were given, won or lost."""

from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING

from pricelab.files.faults import Report
from pricelab.files.many_rows import read_fast
from pricelab.files.raw_table import RawTable, find_file, raw_table
from pricelab.files.schema import Keys, columns_of, types_of
from pricelab.files.source import content_of
from pricelab.files.tables import distinct, read_records, typed

if TYPE_CHECKING:
    import pandas as pd

TYPES = types_of("jobs")
"""Columns of the frame of jobs and their types; what it took and paid may be missing."""

QUOTE_TYPES = types_of("quotes")
"""Columns of the frame of quotes and their types. No client is named in it."""

KEY = ("job", "method", "blank", "width", "height")
"""What tells one row of jobs from another."""


def read_jobs(files: Mapping[str, bytes], keys: Keys, report: Report) -> "pd.DataFrame":
    """The sound jobs of a shop's `files`, typed as in `TYPES`, under their row numbers.

    Width and height are in the shop's unit; money is before tax. Empty without a file.
    """
    return _history(files, "jobs", KEY, keys, report)


def read_quotes(files: Mapping[str, bytes], keys: Keys, report: Report) -> "pd.DataFrame":
    """The sound quotes, typed as in `QUOTE_TYPES`, under their row numbers; see `read_jobs`."""
    return _history(files, "quotes", ("quote", "method", "blank"), keys, report)


def _history(
    files: Mapping[str, bytes], table: str, key: Sequence[str], keys: Keys, report: Report
) -> "pd.DataFrame":
    """The sound rows of a table of what happened, of which no two have the same `key`."""
    file = find_file(files, table, report)
    content = None if file is None else content_of(files, file, report)
    if content is None:
        return typed([], types_of(table))
    columns, raw = columns_of(table, keys), _read_fast(content, file, table, tuple(key), keys)
    if not isinstance(raw, RawTable | None):
        return raw.copy(deep=False)
    rows = [] if raw is None else read_records(raw, columns, report)
    if all(row.sound for row in rows):  # whatever the doubt is of, the careful reader tells
        raw = raw_table(content, file, report)
        rows = [] if raw is None else read_records(raw, columns, report)
    return typed(distinct(rows, key, report), types_of(table))


@lru_cache(maxsize=2)  # whatever else is saved, a long history is not read again for it
def _read_fast(
    content: bytes, file: str, table: str, key: tuple[str, ...], keys: Keys
) -> "pd.DataFrame | RawTable | None":
    """The rows of a CSV file, or those that hold a fault; None where a key stands twice, too."""
    read = read_fast(content, file, table, key, keys) if file.endswith(".csv") else None
    if read is None or isinstance(read, RawTable) or len(set(read[key[0]].tolist())) == len(read):
        return read
    return None if read.duplicated(list(key)).any() else read


def with_recorded(jobs: "pd.DataFrame", recorded: "pd.DataFrame | None") -> "pd.DataFrame":
    """Jobs as read, and those of the book; one that is in both is as the book has it."""
    import pandas as pd

    if recorded is None or recorded.empty:
        return jobs
    both = pd.concat([jobs, recorded], ignore_index=True)
    return both[~both.duplicated(list(KEY), keep="last")].astype({"quote": "str"})
