"""Long CSV tables read fast: each different text of a column is read once, by its own reader.

Half a million jobs hold a few thousand different texts. Only a table without any fault is
read so; one with a doubt is left to the careful reader, which says what is wrong and where.
"""

import csv
import io
import re
import warnings
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from pricelab.files.cells import BadCell, words
from pricelab.files.csvfile import separator_of
from pricelab.files.marks import NOTE
from pricelab.files.rawtable import ODD_SPACES
from pricelab.files.tables import REQUIRED, Column

if TYPE_CHECKING:
    import pandas as pd

_HEAD = 1 << 16
"""Bytes in which the header row of a sound table ends."""

_ODD = tuple(sign.encode() for sign in ODD_SPACES)


def _doubtful(content: bytes) -> bool:
    """Whether something stands in the file that only the careful reader takes out of cells."""
    odd = not content.isascii() and any(sign in content for sign in _ODD)
    return odd or b"\0" in content


def sound_frame(
    content: bytes,
    columns: Sequence[Column],
    types: Mapping[str, str],
    headings: Mapping[str, str] | None = None,
) -> "pd.DataFrame | None":
    """The table of a CSV file under its row numbers, typed as told; None where in any doubt.

    `headings` gives the column that each heading stands for, where it is not its own name.
    """
    import pandas as pd

    content = content.removeprefix(b"\xef\xbb\xbf")
    start = _header(content)
    if start is None or _doubtful(content):
        return None
    number, separator, mark, cells = start
    names = [(headings or {}).get(cell, cell) for cell in cells]
    known = [name for name in names if name != NOTE]
    missing = {x.name for x in columns if x.default is REQUIRED} - set(known)
    if missing or len(set(known)) < len(known) or not set(known) <= {x.name for x in columns}:
        return None
    loose = rb'""|[^\n\r"%b]"[^\n\r"%b]' % (separator.encode(), separator.encode())
    if b'"' in content and re.search(loose, content):
        return None
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")  # pandas warns of rows that are too long
            texts = pd.read_csv(
                io.BytesIO(content), sep=separator, header=None, names=list(range(len(names))),
                skiprows=number, skip_blank_lines=False, dtype=object,
                na_filter=False, encoding="utf-8",
            )  # fmt: skip
        if not isinstance(texts.index, pd.RangeIndex):  # every row is too long
            return None
        if b"#" in content and any(text.lstrip().startswith("#") for text in texts[0]):
            return None
        index = pd.RangeIndex(number + 1, number + 1 + len(texts), name="row").astype("int64")
        parts = {}
        for column in columns:
            if column.name in known:
                text = texts.pop(names.index(column.name)).to_numpy()
            else:
                text = np.full(len(index), "", object)
            parts[column.name] = _read(text, column, mark, types[column.name])
        return pd.DataFrame(parts, index=index, copy=False)
    except (BadCell, ValueError, Warning):  # ParserError is a ValueError
        return None


def _header(content: bytes) -> tuple[int, str, str, list[str]] | None:
    """Number of the header row, separator, decimal mark and the headings."""
    try:
        head = content[:_HEAD].decode("utf-8", "ignore")
        separator = separator_of(head)
        mark = "," if separator == ";" else "."
        for number, line in enumerate(head.splitlines(), 1):
            if '"' in line:
                return None
            cells = next(csv.reader([line], delimiter=separator), [])
            if any(cell.strip() for cell in cells) and not cells[0].strip().startswith("#"):
                return number, separator, mark, [" ".join(cell.split()) for cell in cells]
    except csv.Error:
        pass
    return None


def _read(texts, column: Column, mark: str, kind: str):
    """A column's values, of the pandas type `kind`; raises `BadCell` where one cannot be read."""
    import pandas as pd

    codes, different = (None, texts) if column.read is words else pd.factorize(texts)
    values = [text.strip() for text in different]
    if "" in values and column.default is REQUIRED:
        raise BadCell("some text", "Fill in the cell.")
    if column.read is not words or "" in values:
        values = [column.read(text, mark) if text else column.default for text in values]
    values = pd.array(values, dtype=kind)
    return values if codes is None else values.take(codes)


def inner_bytes(folder: Path, file: str) -> bytes | None:
    """What a CSV file holds; None where it is none, cannot be read, or lies out of the folder."""
    path = folder / file
    try:
        inside = path.suffix == ".csv" and folder.resolve() in path.resolve().parents
        return path.read_bytes() if inside else None
    except (OSError, ValueError):
        return None
