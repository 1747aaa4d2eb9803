"""The shop as it stood: its tables, copied into `old/shops` under their day and a stamp.

A quote saved on a client's screen, which knows no cost, names by a stamp the tables it was
offered from. The process that serves the page, and the one behind the owner's own notebook,
copy those, so that the quote is costed by them whenever it is taken into the book. The stamp
is a digest: it tells nothing to whoever does not hold the tables already.

All that costs and prices depend on is copied, the tables and grids to the letter. No job, quote
or client is.
"""

import os
import re
from collections.abc import Mapping
from contextlib import suppress
from hashlib import sha256
from pathlib import Path, PurePosixPath
from types import MappingProxyType

from pricelab.files.clock import today
from pricelab.files.folders import KEEPS_VARIABLE, is_demo, shop_folder
from pricelab.files.saving import beside, held, place, told
from pricelab.files.shop_folder import TABLES, ShopFolder, read_shop
from pricelab.files.source import GRIDS, SUFFIXES, BadFile, Folder
from pricelab.shop.errors import PricelabError

_HOME = Path("old", "shops")
_STAMP = re.compile("[0-9a-f]{32}")
_HAPPENED = ("jobs", "quotes")


def stamp_of(folder: ShopFolder) -> str:
    """What tells a shop's tables, as they were read, from any others."""
    return _digest(_tables(folder.folder, folder.held))


def stamped(folder: ShopFolder) -> str:
    """The stamp of a shop just opened, of which this process keeps what it may."""
    if os.environ.get(KEEPS_VARIABLE):
        with suppress(PricelabError):  # the owner was told when serving began
            _keep(folder.folder, _tables(folder.folder, folder.held))
    return stamp_of(folder)


def keep_tables(named: Path | None = None) -> str:
    """Keep the tables of the shop `named`, or chosen last, as they are on the disk now.

    What stopped it, in a sentence; '' where nothing did, or where there is no shop.
    """
    try:
        with told(_HOME):
            try:
                folder = shop_folder(named)
            except PricelabError:
                return ""
            _keep(folder, _tables(folder))
    except PricelabError as error:
        return f"Quotes will not keep the costs of their day. {error}"
    return ""


def shop_then(folder: Path, stamp: str) -> ShopFolder | None:
    """The shop that was kept under a stamp, without jobs; None where it was not, or is damaged."""
    tables = _kept(folder, stamp) if _STAMP.fullmatch(stamp) else {}
    try:
        return read_shop(tables) if tables else None
    except PricelabError:  # another version of the workbook took what this one does not
        return None


def _tables(folder: Path, read: Mapping[str, bytes] = MappingProxyType({})) -> dict[str, bytes]:
    """Tables and grids by name, as they were `read`, and as they are on the disk where not."""
    tables = {}
    for name in Folder(folder):
        path = PurePosixPath(name)
        known = path.parent.name == GRIDS or (path.stem in TABLES and path.stem not in _HAPPENED)
        if known and path.suffix in SUFFIXES:
            try:
                tables[name] = read[name] if name in read else held(folder / name)
            except PricelabError:
                if not read:
                    raise  # else it is a grid that no method uses
    return {name: content for name, content in tables.items() if content is not None}


def _digest(files: Mapping[str, bytes]) -> str:
    return sha256(repr(sorted(files.items())).encode()).hexdigest()[:32]


def _place(folder: Path, digest: str) -> Path | None:
    return next((folder / _HOME).glob(f"*-{digest}"), None)


def _keep(folder: Path, files: Mapping[str, bytes]) -> None:
    """Copy files whole into a folder of their own, unless it is there; invented shops stay."""
    digest, home = _digest(files), folder / _HOME
    if not files or is_demo(folder) or _place(folder, digest) is not None:
        return
    path = home / f"{today()}-{digest}"
    with told(home):
        home.parent.mkdir(exist_ok=True)
    with beside(path, files) as part, told(path):
        try:
            place(part, path)
        except OSError:
            if not path.is_dir():  # another window was not quicker
                raise


def _kept(folder: Path, digest: str) -> dict[str, bytes]:
    """The files that were kept under a digest; none where they are others by now."""
    path = _place(folder, digest)
    with suppress(BadFile):
        files = {} if path is None else dict(Folder(path))
        return files if _digest(files) == digest else {}
    return {}
