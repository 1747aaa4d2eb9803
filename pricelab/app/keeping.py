"""Keeps the shop's tables as they stand while a screen is served that may save quotes.

This is done in the process that serves, which the owner started: the one behind a client's
page knows no cost. What is served reads the shop when it is opened, so the tables are kept
before anything can be, and again whenever they change.
"""

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from pricelab.files.clock import today
from pricelab.files.folders import shop_folder
from pricelab.files.records.book import FILE
from pricelab.files.records.shop_then import keep
from pricelab.files.schema import TABLES
from pricelab.files.shop_folder import ShopFolder, read_shop
from pricelab.files.source import GRIDS, SUFFIXES
from pricelab.shop.errors import PricelabError

EVERY = 0.5
"""Seconds between two looks at the files: a screen takes longer to open."""


@contextmanager
def keeping(shop: Path | None, tell: Callable[[str], None]) -> Iterator[None]:
    """Keep the tables of `shop`, or of the one chosen last, now and at every change, until the
    caller is done.

    Where they cannot be, as in a folder that may only be read, the owner is told, once; all
    else goes on.
    """
    look, over = _Look(shop, tell), threading.Event()
    look()

    def go_on() -> None:
        while not over.wait(EVERY):
            look()

    thread = threading.Thread(target=go_on, daemon=True)
    thread.start()
    try:
        yield
    finally:
        over.set()
        thread.join()


class _Look:
    """Looks at the files, and keeps the tables where they are others than at the last look."""

    def __init__(self, shop: Path | None, tell: Callable[[str], None]):
        self._shop, self._tell, self._told = shop, tell, ""
        self._seen: list[tuple] = []
        self._waiting: list[ShopFolder] = []

    def __call__(self) -> None:
        with suppress(PricelabError):  # nothing is offered from tables with faults, or from none
            folder = shop_folder(self._shop)
            seen = _marks(folder)
            if seen != self._seen:
                self._seen = seen
                self._waiting.append(read_shop(folder))
        try:
            while self._waiting:
                keep(self._waiting[0], today())
                self._waiting.pop(0)
        except PricelabError as error:
            if str(error) != self._told:
                self._tell(f"Quotes will not keep the costs of their day. {error}")
            self._told = str(error)


def _marks(folder: Path) -> list[tuple]:
    """What changes with each file of a shop, its book too: what was ordered stands there."""
    tables = [folder / f"{stem}{suffix}" for stem in TABLES for suffix in SUFFIXES]
    marks = []
    for path in [*tables, *(folder / GRIDS).glob("*"), folder / FILE, folder / f"{FILE}-wal"]:
        with suppress(OSError):
            about = path.stat()
            marks.append((path, about.st_mtime_ns, about.st_size, about.st_ino))
    return marks
