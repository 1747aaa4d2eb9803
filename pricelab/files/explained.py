"""What each column and setting is, in the words of data/README.md: said there and nowhere else."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from pricelab.files.folders import ROOT

_PAGE = ROOT / "data" / "README.md"


@dataclass(frozen=True)
class Explained:
    """What a column is, an example, and what it means if it is empty ("no": it must not be)."""

    what: str
    example: str
    empty: str


@cache
def explained(table: str) -> dict[str, Explained]:
    """The columns (of shop: the settings) that the page explains under the table's heading.

    >>> explained("blanks")["pack"].what
    'how many come in a pack; whole packs are bought'
    """
    page = _PAGE.read_text("utf-8")
    section = re.search(rf"^## {table}\.csv\n(.*?)(?=^## |\Z)", page, re.MULTILINE | re.DOTALL)
    return dict(_told(section[1] if section else ""))


def _told(section: str) -> Iterator[tuple[str, Explained]]:
    """The rows of the table headed "column" or "setting"; several columns may share a row."""
    table = re.search(r"^\| (?:column|setting) \|.*\n.*\n((?:\|.*\n)+)", section, re.MULTILINE)
    for line in table[1].splitlines() if table else ():
        names, *said = (_plain(cell) for cell in line.strip().strip("|").split("|"))
        for name in names.split(", "):
            yield name, Explained(*said)


def _plain(cell: str) -> str:
    """A cell without Markdown's signs."""
    return re.sub(r"\*\*|`|\[([^]]*)\]\([^)]*\)", r"\1", cell).strip()
