"""Tables with known columns: every cell read by its column's reader, every fault noted."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from pricelab.files.cells import BadCell, Reader, nearest
from pricelab.files.faults import Report, quoted
from pricelab.files.marks import NOTE
from pricelab.files.raw_table import RawTable, find_file, folded, read_raw
from pricelab.files.schema import REQUIRED, Column, Keys, columns_of
from pricelab.shop.place import Place

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class Record:
    """A row that was read: values by column, without those of faulty cells.

    A record with a faulty cell is not `sound`: it tells which keys exist, no more.
    """

    file: str
    row: int
    sound: bool
    values: dict[str, object] = field(repr=False)

    def __getitem__(self, column: str):
        return self.values[column]

    def get(self, column: str):
        """The value of a column, None where its cell is faulty."""
        return self.values.get(column)

    def place(self, column: str | None = None) -> Place:
        """Where the row stands, or one of its cells."""
        return Place(self.file, self.row, column)


def read_table(
    files: Mapping[str, bytes], stem: str, report: Report, *, required: bool = True
) -> RawTable | None:
    """The table of that name among a shop's `files`, as it stands; None if it cannot be read."""
    file = find_file(files, stem, report, required=required)
    return None if file is None else read_raw(files, file, report)


def read_file(
    files: Mapping[str, bytes],
    stem: str,
    keys: Keys,
    report: Report,
    *,
    required: bool = True,
    rows: bool = False,
) -> list[Record] | None:
    """The records of a table among a shop's `files`; none where one not `required` is not there.

    None, with a fault, where the table cannot be read at all, or has no `rows` and must.
    """
    before = len(report.faults)
    table = read_table(files, stem, report, required=required)
    if table is None:
        return None if len(report.faults) > before else []
    if rows and not table.rows:
        found = "a row of column names alone"
        report.fault(Place(table.file), found, "rows under it", "Fill in the rows.")
        return None
    return read_records(table, columns_of(stem, keys), report)


def typed(records: Sequence[Record], types: Mapping[str, str]) -> "pd.DataFrame":
    """The sound records as a frame of these columns and types, under their row numbers."""
    import pandas as pd

    sound = [record for record in records if record.sound]
    columns = {
        name: pd.array([record[name] for record in sound], dtype=kind)
        for name, kind in types.items()
    }
    rows = pd.Index([record.row for record in sound], dtype="int64", name="row")
    return pd.DataFrame(columns, index=rows)


def keys_of(records: Sequence[Record] | None, key: str) -> tuple[str, ...] | None:
    """Every key that stands in a table, sound or not; None where the table could not be read."""
    if records is None:
        return None
    return tuple(dict.fromkeys(record[key] for record in records if record.get(key)))


def read_records(
    table: RawTable, columns: Sequence[Column], report: Report, more: Sequence[Column] = ()
) -> list[Record]:
    """Every row of `table`, read by `columns`; columns that are missing or unknown are faults.

    So it is by `more` columns, which the caller has found in the header and judged.
    """
    at = _find_columns(table, columns, {column.name for column in more}, report)
    columns = [*columns, *more]
    # Of a wide row the first cell is sure to stand in its column: other tables may go by it.
    first = [column for column in columns if at.get(column.name) == 0 and not more]
    wide = table.wide_rows(report)
    readers = {column.name: _each_once(column.read) for column in columns}
    records = []
    for row in table.rows:
        values = {}
        for column in first if row.number in wide else columns:
            text = row.cell(at[column.name]) if column.name in at else ""
            if not text and column.default is not REQUIRED:
                values[column.name] = column.default
            elif column.name in at:
                place = Place(table.file, row.number, column.name)
                value = read_cell(text, table.mark, readers[column.name], place, report)
                if value is not None:
                    values[column.name] = value
        records.append(Record(table.file, row.number, len(values) == len(columns), values))
    return records


def _each_once(read: Reader) -> Reader:
    """The reader, which reads each different text of a column once."""
    answers: dict[str, object] = {}

    def answer(text: str, mark: str) -> object:
        if text not in answers:
            try:
                answers[text] = read(text, mark)
            except BadCell as bad:
                answers[text] = bad
        if isinstance(answers[text], BadCell):
            raise answers[text]
        return answers[text]

    return answer


def read_cell(text: str, mark: str, read: Reader, place: Place, report: Report):
    """The value of one cell that must not be empty; None, with a fault, if it cannot be read."""
    try:
        value = read(text, mark)
        if text:
            return value
        raise BadCell("some text", "Fill in the cell.")
    except BadCell as bad:
        mend = bad.mend if text else "Fill in the cell."
        report.fault(place, quoted(text), bad.expected, mend, one_cause=bad.one_cause)
        return None


def _find_columns(
    table: RawTable, columns: Sequence[Column], judged: set[str], report: Report
) -> dict[str, int]:
    """Where each column stands; faults for unknown, doubled and missing ones, if not `judged`."""
    names = [column.name for column in columns]
    known, header = ", ".join(names), table.header
    left = [name for name in names if name not in header.cells]
    at: dict[str, int] = {}
    misspelt = set()
    for index, heading in enumerate(header.cells):
        if heading == NOTE or (not heading and not any(row.cell(index) for row in table.rows)):
            continue
        place = table.place(header, index)
        if heading in judged:
            at.setdefault(heading, index)
        elif heading in at:
            report.fault(place, "the column twice", "it once", "Remove one of the two.")
        elif heading in names:
            at[heading] = index
        else:
            near = nearest(heading, left)
            misspelt.add(near)
            found = f"the heading {quoted(heading)}" if heading else "no heading"
            mend = near or f'Remove the column, or head it "{NOTE}".'
            report.fault(place, found, f"one of {known}", mend)
    for column in columns:
        missing = column.default is REQUIRED and column.name not in at
        if missing and f'Write "{column.name}".' not in misspelt:  # else it has been told
            report.fault(
                Place(table.file, header.number),
                f'no column "{column.name}"',
                f"the columns {known}",
                f'Add the column "{column.name}".',
            )
    return at


def distinct_names(records: Sequence[Record], key: str, report: Report) -> list[Record]:
    """The records without those whose `key` stood in an earlier one, in capitals even: a fault.

    Files are named by them, and many machines know no difference there. A `name` twice is a
    fault too: by it they are chosen on the screens.
    """
    first: dict[str, Record] = {}
    kept = []
    for record in distinct(records, [key], report):
        name = record.get(key)
        earlier = first.setdefault(folded(name), record) if name else record
        if earlier is record:
            kept.append(record)
            continue
        report.fault(
            record.place(key),
            f"{quoted(name)}, which row {earlier.row} has as {quoted(earlier[key])}",
            "names that differ in more than capitals",
            "Give one another name: on many machines their files would be one.",
        )
    return distinct(kept, ["name"], report)


def distinct(records: Sequence[Record], keys: Sequence[str], report: Report) -> list[Record]:
    """The records without those whose `keys` all stood in an earlier one, each a fault."""
    first: dict[tuple, int] = {}
    kept = []
    for record in records:
        key = tuple(record.get(name) for name in keys)
        earlier = record.row if None in key else first.setdefault(key, record.row)
        if earlier == record.row:
            kept.append(record)
            continue
        said = ", ".join(f"{part:g}" if isinstance(part, float) else str(part) for part in key)
        report.fault(
            record.place(keys[0]),
            f"{quoted(said)} again, after row {earlier}",
            "it once",
            "Remove one of the two rows, or give one another name.",
        )
    return kept
