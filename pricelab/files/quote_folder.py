"""The folder of quotes that were made: each whole in a folder of its own, or not at all.

A quote is named by its day and a running number. Its files are written beside the others
under a name that nobody reads, and take their own name in one step: a crash, a full disk
or a second open tab leaves no half quote and writes over none.
"""

import os
from collections.abc import Callable
from datetime import date
from pathlib import Path

from pricelab.files.saving import beside, place
from pricelab.shop.errors import PricelabError

_MOST = 999  # quotes a day

_NOT_SAVED = (
    "The quote could not be saved: the disk is full, or the folder of quotes may not be written "
    "to. Nothing was saved; make room and press again."
)
"""Read with a client at hand: it names no place on the machine."""


def save_quote(folder: Path, on: date, files_of: Callable[[str], dict[str, bytes]]) -> str:
    """Save the files that `files_of` makes for a number, and return that number.

    `2026-11-25-02` is the second quote of its day; its files lie in a folder of that name.
    """
    for count in range(1, _MOST + 1):
        number = f"{on.isoformat()}-{count:02}"
        if not os.path.lexists(folder / number):
            files = files_of(number)
            if _placed(folder, number, files):
                return number
    raise PricelabError(f"There are {_MOST} quotes of {on.isoformat()} already. Move some away.")


def _placed(folder: Path, number: str, files: dict[str, bytes]) -> bool:
    """Write the files and give them their place; False if another tab was quicker."""
    try:
        with beside(folder / number, files) as part:
            place(part, folder / number)
    except (OSError, PricelabError):
        if os.path.lexists(folder / number):
            return False
        raise PricelabError(_NOT_SAVED) from None
    return True
