"""The shop as it stood: its own tables, kept in the book under a stamp.

The screen for a client knows no cost and saves none. A quote saved there names, by a stamp,
the tables it was offered from; the owner's side of the program keeps those tables, so that
the quote is costed by them whenever it is taken into the book, whatever has become dearer
since. The stamp is a digest: it tells nothing to whoever does not hold the tables already.

All that costs and prices hang on is kept: the tables and grids to the letter, and apart from
them, since it changes with every job, how often each quantity was ordered, which says where
the breaks of a planned list go. No job, quote or client is.
"""

import json
import re
import zlib
from base64 import b64decode, b64encode
from dataclasses import replace
from datetime import date
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory

from pricelab.cost.job_orders import by_artwork
from pricelab.files.records.book import Records, insert
from pricelab.files.records.cells import columns_of
from pricelab.files.records.schema import SHOPS
from pricelab.files.shop_folder import ShopFolder, read_shop
from pricelab.files.source import GRIDS
from pricelab.shop.errors import PricelabError

_HAPPENED = ("jobs.csv", "jobs.xlsx", "quotes.csv", "quotes.xlsx")
_NAME = re.compile(rf"({GRIDS}/)?[^/\\:]+\.(csv|xlsx)")
_MOST = 20_000_000
"""Bytes that are unpacked; a file that was tampered with may hold far more."""

_PART = 60_000
"""Signs in a cell of the book: a CSV file takes up to 131,072."""


def stamp_of(folder: ShopFolder) -> str:
    """What tells a shop's tables, as they were read, from any others."""
    return "-".join(map(_digest, _contents(folder)))


def _contents(folder: ShopFolder) -> tuple[bytes, bytes]:
    """The tables, a letter for each byte; and the times each method had each quantity."""
    tables = {
        name: content.decode("latin-1")
        for name, content in sorted(folder.held.items())
        if name not in _HAPPENED
    }
    sold = by_artwork(folder.jobs).groupby(["method", "quantity"]).size()
    times = [[*key, int(n)] for key, n in sold.items()]
    return json.dumps(tables).encode(), json.dumps(times).encode()


def keep(folder: ShopFolder, on: date) -> None:
    """Keep the shop's tables in its book; nothing is written where it has them already."""
    import pandas as pd

    records = Records(folder.folder)
    for content in _contents(folder):
        stamp = _digest(content)
        if _kept(records, stamp) is None:
            text = b64encode(zlib.compress(content, 9)).decode()
            parts = [text[at : at + _PART] for at in range(0, len(text), _PART)]
            rows = [(stamp, at, on, part) for at, part in enumerate(parts, 1)]
            frame = pd.DataFrame(rows, columns=list(SHOPS.columns))
            with records.writing() as book:
                insert(book, SHOPS, columns_of(SHOPS, frame))


def shop_then(records: Records, stamp: str) -> ShopFolder | None:
    """The shop that was kept under a stamp; None where it was not, or is damaged.

    Of its `jobs` there are methods and quantities only.
    """
    import pandas as pd

    tables, sold = (_kept(records, each) for each in (*stamp.split("-"), "")[:2])
    if tables is None or sold is None:
        return None
    with TemporaryDirectory(prefix="pricelab-") as home:
        for name, text in tables.items():
            if _NAME.fullmatch(name):
                path = Path(home) / name
                path.parent.mkdir(exist_ok=True)
                path.write_bytes(text.encode("latin-1"))
        try:
            read = read_shop(home)
        except PricelabError:  # another version of the workbook took what this one does not
            return None
    rows = [(method, quantity) for method, quantity, n in sold for _ in range(n)]
    jobs = pd.DataFrame(rows, columns=["method", "quantity"])
    return replace(read, jobs=jobs.astype({"method": "str", "quantity": "int64"}))


def _kept(records: Records, stamp: str):
    """What was kept under a digest; None where nothing was, or something else."""
    with records.reading() as book:
        rows = book.execute("SELECT tables FROM shops WHERE stamp = ? ORDER BY part", (stamp,))
        texts = [text for (text,) in rows]
    try:
        content = zlib.decompressobj().decompress(b64decode("".join(texts)), _MOST)
    except (TypeError, ValueError, zlib.error):
        return None
    return json.loads(content) if _digest(content) == stamp else None


def _digest(content: bytes) -> str:
    return sha256(content).hexdigest()[:32]
