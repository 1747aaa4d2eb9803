"""What stands in the tables of the book of records, as rows and as frames."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import numpy as np

from pricelab.files.cells import trimmed
from pricelab.files.records.schema import FILE, MONEY, Kind, Table
from pricelab.shop.errors import PricelabError

if TYPE_CHECKING:
    import pandas as pd

_TEXTS, _DAYS = (Kind.TEXT, Kind.TEXT_OR_NONE), (Kind.DAY, Kind.DAY_OR_NONE)

_FIRST, _LAST = np.array(["0001-01-01", "9999-12-31"], "datetime64[s]")

_MOST = 1e11  # money up to here is held to the ten-thousandth by a float


def columns_of(table: Table, frame: "pd.DataFrame") -> dict[str, np.ndarray]:
    """The columns of a frame as the table keeps them; an error names the first cell that is wrong.

    What is missing is None; columns in which nothing stands are left out.
    """
    unknown = [name for name in frame.columns if name not in table.columns]
    if unknown:
        known = ", ".join(table.columns)
        raise PricelabError(f'found a column "{unknown[0]}", expected columns of {known}.')
    kept = {name: _kept(table, name, frame) for name in table.columns}
    return {name: column for name, column in kept.items() if column is not None}


def _kept(table: Table, name: str, frame: "pd.DataFrame") -> np.ndarray | None:
    kind, at = table.columns[name], table.columns
    if name not in frame:
        if kind.optional:
            return None
        if kind is Kind.TEXT and name != "quote":
            return np.full(len(frame), "", object)
        raise PricelabError(f'found no column "{name}", expected the columns {", ".join(at)}.')
    column = frame[name]
    if kind in _TEXTS:
        return _texts(column, name, kind.optional)
    if kind in _DAYS:
        return _days(column, name, kind.optional)
    return _figures(column, name, kind)


def _texts(column, name: str, optional: bool) -> np.ndarray:
    """Texts as they are read from files; each different one is looked at once."""
    texts = column.to_numpy(object)
    different = dict.fromkeys(texts.tolist())
    whole = "".join(map(str, different))
    if not whole.isascii() or not whole.isprintable() or " " in whole:
        clean = {text: _text(str(text), name) for text in different}
        texts = np.array([clean[text] for text in texts.tolist()], object)
        different = clean.values()
    if name in ("job", "number") and ("#" in whole or "" in different):
        wrong = next((text for text in texts if not text or text.startswith("#")), None)
        if wrong is not None:
            raise PricelabError(
                f'found "{wrong}" for the {name}, expected a number or a name '
                "that does not begin with #."
            )
    return np.where(texts == "", None, texts) if optional else texts


def _text(text: str, name: str) -> str:
    clean = trimmed(text)
    if "\0" in clean or any("\ud800" <= sign <= "\udfff" for sign in clean):
        raise PricelabError(f'found signs in "{name}" that are no text. Type it anew.')
    return clean


def _days(column, name: str, optional: bool) -> np.ndarray:
    import pandas as pd

    days = column.to_numpy("datetime64[D]").astype(np.int64)
    codes, different = pd.factorize(days)
    texts = different.astype("datetime64[D]").astype(str).astype(object)
    if not optional and "NaT" in texts:
        raise PricelabError(f'found no day in "{name}", expected one such as 2026-11-25.')
    texts[texts == "NaT"] = None
    return texts[codes]


def _figures(column, name: str, kind: Kind) -> np.ndarray | None:
    import pandas as pd

    try:
        figures = column.to_numpy(float, na_value=np.nan)
    except (TypeError, ValueError):
        wrong = next(x for x in column if pd.to_numeric(x, errors="coerce") != x)
        raise PricelabError(f'found "{wrong}" in "{name}", expected a figure.') from None
    missing = np.isnan(figures)
    if not kind.optional and missing.any():
        raise PricelabError(f'found an empty cell in "{name}", expected a figure.')
    if missing.all():
        return None
    if np.isinf(figures).any():
        raise PricelabError(f'found an endless figure in "{name}", expected a plain one.')
    if kind.money:
        figures = _parts(np.where(missing, 0.0, figures), name)
    if kind.whole:
        whole = np.where(missing, 0.0, figures)
        if (whole != np.floor(whole)).any():
            wrong = whole[whole != np.floor(whole)][0]
            raise PricelabError(f'found {wrong:g} in "{name}", expected a whole number.')
        figures = whole.astype(np.int64)
    if missing.any():
        figures = figures.astype(object)
        figures[missing] = None
    return figures


def _parts(amounts: np.ndarray, name: str) -> np.ndarray:
    """Money in whole ten-thousandths; an error where that is not exactly it."""
    parts = np.rint(amounts * MONEY)
    wrong = (parts / MONEY != amounts) | (np.abs(amounts) > _MOST)
    if wrong.any():
        raise PricelabError(
            f'found {amounts[wrong][0]!r} in "{name}", expected money with up to four decimals. '
            "Round it."
        )
    return parts


def frame_of(table: Table, rows: list[tuple]) -> "pd.DataFrame":
    """Rows of a table as a frame, typed; money in the currency."""
    import pandas as pd

    columns = list(zip(*rows, strict=True)) or [()] * len(table.columns)
    with readable():
        return pd.DataFrame(
            {
                name: _shown(column, kind)
                for (name, kind), column in zip(table.columns.items(), columns, strict=True)
            }
        )


@contextmanager
def readable() -> Iterator[None]:
    """Say in a sentence that what stands in the book cannot be what was recorded."""
    try:
        yield
    except PricelabError:
        raise
    except (ValueError, TypeError, LookupError, AttributeError, ArithmeticError, RecursionError):
        raise PricelabError(
            f"{FILE} is damaged, or was changed by another program: it holds what this workbook "
            "does not write. Put your last copy of it in its place."
        ) from None


def _shown(column: tuple, kind: Kind):
    import pandas as pd

    if kind in _TEXTS:
        return pd.array(["" if text is None else text for text in column], dtype="str")
    if kind in _DAYS:
        days = np.array(column, "datetime64[s]")
        if (days < _FIRST).any() or (days > _LAST).any():
            raise ValueError("a day out of all calendars")
        return pd.array(days)
    if kind is Kind.COUNT:
        return np.array(column, kind.type)
    figures = np.array(column, float)  # what was not noted is not a number
    if np.isinf(figures).any():
        raise ValueError("an endless figure")
    if kind is Kind.NUMBER:
        return figures
    return pd.array(figures / MONEY if kind.money else figures, dtype=kind.type)
