"""Long CSV tables read fast: each different text of a column is read once, by its own reader.

Half a million jobs hold a few thousand different texts. What is in doubt is left to the careful
reader, which says what is wrong and where: some rows, or the whole table.
"""

import io
import re
import warnings
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from pricelab.files.cells import CONTROLS, ODD_SPACES, BadCell, words
from pricelab.files.csv_sheet import BOM, CsvSheet
from pricelab.files.marks import NOTE
from pricelab.files.raw_table import RawTable, Row, row_of
from pricelab.files.schema import REQUIRED, Column, Keys, columns_of, types_of
from pricelab.files.source import BadFile

if TYPE_CHECKING:
    import pandas as pd

_HEAD = 1 << 14
"""Bytes in which the header row of a sound table ends."""

_CONTROLS = b"\0" + CONTROLS.encode()
_ODD = re.compile(b"|".join([rb"\xc2[\x80-\x9f]", *(sign.encode() for sign in ODD_SPACES)]))


def _doubtful(content: bytes) -> bool:
    """Whether something stands in the file that only the careful reader takes out of cells."""
    if len(content.translate(None, _CONTROLS)) < len(content):
        return True
    return not content.isascii() and bool(_ODD.search(content))


def read_fast(
    content: bytes, file: str, table: str, key: Sequence[str], keys: Keys
) -> "pd.DataFrame | RawTable | None":
    """A table out of its CSV file's `content`, under its row numbers.

    Where cells cannot be read: the rows that they are in, for the careful reader, and those of
    which two have the same `key`. None where there is any other doubt.
    """
    import pandas as pd

    columns, types = columns_of(table, keys), types_of(table)
    content = content.removeprefix(BOM)
    top = _top(content)
    if top is None or _doubtful(content):
        return None
    number, separator, mark, names = top.head + 1, top.separator, top.mark, top.headings
    known = [name for name in names if name != NOTE]
    needed = {column.name for column in columns if column.default is REQUIRED}
    if len(set(known)) < len(known) or not needed <= set(known) <= {x.name for x in columns}:
        return None
    if b'"' in content and _loosely_quoted(content, separator.encode()):
        return None
    any_text = {column.name for column in columns if column.read is words} | {NOTE}
    held = {at: object if name in any_text else "category" for at, name in enumerate(names)}
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")  # pandas warns of rows that are too long
            texts = pd.read_csv(
                io.BytesIO(content),
                sep=separator,
                header=None,
                names=list(held),
                skiprows=number - 1,
                skip_blank_lines=False,
                dtype=held,
                na_filter=False,
                encoding="utf-8",
            )
        if b"#" in content and any(text.lstrip().startswith("#") for text in texts[0]):
            return None
        index = pd.RangeIndex(number + 1, number + len(texts), name="row").astype("int64")
        parts, bad = {}, np.zeros(len(index), bool)
        for column in columns:
            if column.name in known:
                cells = texts[names.index(column.name)].array
                parts[column.name], wrong = _read(cells, column, mark, types[column.name])
                bad |= wrong
            else:
                empty = pd.array([column.default], dtype=types[column.name])
                parts[column.name] = empty.take(np.zeros(len(index), np.int8))
        if not bad.any():
            return pd.DataFrame(parts, index=index, copy=False)
        bad |= texts[1:].duplicated([names.index(name) for name in key], keep=False).to_numpy()
        rows = zip(index[bad], texts[1:][bad].itertuples(index=False), strict=True)
        rows = (row_of(at, map(str.strip, cells)) for at, cells in rows)
        header = Row(number, names, len(names))
        return RawTable(file, mark, header, tuple(row for row in rows if row.cells))
    except (ValueError, Warning):  # ParserError is a ValueError
        return None


def _loosely_quoted(content: bytes, separator: bytes) -> bool:
    """Whether a quotation mark stands anywhere but round a whole cell."""
    ends = (separator, b"\n", b"\r")
    outside = (b"\n" + content + b"\n").split(b'"')[::2]
    if content.count(b'"') % 2 or not outside[0].endswith(ends) or not outside[-1].startswith(ends):
        return True
    return not all(part.startswith(ends) and part.endswith(ends) for part in outside[1:-1])


def _top(content: bytes) -> CsvSheet | None:
    """The first rows, with that of the headings; None where they are quoted or not to be read."""
    top = content[:_HEAD] if len(content) < _HEAD else content[:_HEAD].rpartition(b"\n")[0]
    try:
        sheet = CsvSheet.of(top)
    except BadFile:
        return None
    if sheet.head is None or any(
        '"' in cell for row in sheet.rows[: sheet.head + 1] for cell in row
    ):
        return None
    return sheet


def _read(cells, column: Column, mark: str, kind: str):
    """The values under a heading, of the pandas type `kind`, and which cells cannot be read.

    The heading stands before its `cells`: a word among figures, so that pandas leaves all of
    them as they are written.
    """
    import pandas as pd

    if column.read is words:
        codes, different = None, cells.to_numpy()[1:]
    else:
        heading, codes = cells.codes[0], cells.codes[1:]
        if not pd.api.types.is_string_dtype(cells.categories) or (codes == heading).any():
            raise ValueError("a heading among the cells")
        codes, different = codes - (codes > heading), cells.categories.delete(heading)
    values = [text.strip() for text in different]
    bad = np.zeros(len(values), bool)
    if codes is not None or "" in values:
        for at, text in enumerate(values):
            try:
                values[at] = column.read(text, mark) if text else column.default
            except BadCell:
                values[at] = REQUIRED
        bad[:] = [value is REQUIRED for value in values]
    if bad.any():
        return None, bad if codes is None else bad[codes]
    values = pd.array(values, dtype=kind)
    return (values, bad) if codes is None else (values.take(codes), np.zeros(len(codes), bool))
