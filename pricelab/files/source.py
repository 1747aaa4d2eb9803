"""Where the files of a shop come from: a folder, or bytes in memory by the files' names.

Whoever reads a shop takes a mapping of file name (``"shop.csv"``, ``"grids/leather.csv"``) to
what the file holds. A folder is such a mapping, which reads each file when it is asked for.
"""

import os
import time
from collections.abc import Iterator, Mapping
from contextlib import suppress
from pathlib import Path

from pricelab.files.faults import Report, one_line
from pricelab.shop.errors import PricelabError
from pricelab.shop.place import Place

GRIDS = "grids"
"""The folder of suppliers' grids, in the shop's folder."""

SUFFIXES = (".csv", ".xlsx")

MOST_BYTES = 100_000_000
"""Of any file: more than a million jobs."""

_NO_NAME = (OSError, ValueError, RuntimeError)
"""What a name is answered with that no file can have, or that leads round in a circle."""


class BadFile(PricelabError):
    """A file that cannot be read: what was found, what was expected, the cure; and the row."""

    def __init__(self, found: str, expected: str, mend: str, row: int | None = None):
        super().__init__(f"found {found}, expected {expected}. {mend}")
        self.found, self.expected, self.mend, self.row = found, expected, mend, row

    def note(self, file: str, report: Report) -> None:
        """Note it as a fault of the `file`."""
        report.fault(Place(one_line(file), self.row), self.found, self.expected, self.mend)


def too_long(size: int, most: int) -> BadFile:
    """What is said of a file of so many bytes, of which `most` are read."""
    return BadFile(
        f"a file of {size / 1e6:,.1f} MB",
        f"up to {most / 1e6:g} MB",
        "Take out the rows and blank lines that are not needed.",
    )


class Folder(Mapping[str, bytes]):
    """The files of a shop's folder and of its grids, by name; one is read when it is looked up.

    A look-up raises `BadFile` where the file cannot be read.
    """

    def __init__(self, path: str | os.PathLike):
        self.path = Path(path)

    def __iter__(self) -> Iterator[str]:
        for inside in (self.path, self.path / GRIDS):
            for path in sorted(inside.iterdir()) if inside.is_dir() else ():
                if not path.is_dir():
                    yield path.relative_to(self.path).as_posix()

    def __len__(self) -> int:
        return sum(1 for _ in self)

    @property
    def changed(self) -> dict[str, tuple[int, int]]:
        """When each table and grid was changed, in nanoseconds, and how long it is."""
        found = {}
        for name in self:
            with suppress(OSError):  # it was taken away meanwhile
                if name.endswith(SUFFIXES):
                    about = (self.path / name).stat()
                    found[name] = about.st_mtime_ns, about.st_size
        return found

    def __contains__(self, name: object) -> bool:
        return (self.path / str(name)).exists()

    def __getitem__(self, name: str) -> bytes:
        path = self.path / name
        try:
            if self.path.resolve() not in path.resolve().parents:
                raise BadFile(
                    "a link out of the shop folder", "a file inside it", "Copy the file here."
                )
            if path.exists() and not (path.is_file() or path.is_dir()):
                raise ValueError("it is no ordinary file")
            if path.stat().st_size > MOST_BYTES:
                raise too_long(path.stat().st_size, MOST_BYTES)
            return _at_rest(path)
        except BadFile:
            raise
        except _NO_NAME as error:
            raise BadFile(
                f"a file that does not open ({getattr(error, 'strerror', None) or error})",
                "one that can be read",
                "Close it in other programs and allow it to be read.",
            ) from None


def _at_rest(path: Path) -> bytes:
    """What a file holds that nobody writes to meanwhile."""
    for wait in (0.02, 0.1, 0.4, 0):
        before, content, after = path.stat(), path.read_bytes(), path.stat()
        if (before.st_mtime_ns, len(content)) == (after.st_mtime_ns, after.st_size):
            return content
        time.sleep(wait)
    raise BadFile(
        "a file that another program is writing",
        "one that is whole",
        "Wait until it is saved there, and try again.",
    )


def content_of(files: Mapping[str, bytes], name: str, report: Report) -> bytes | None:
    """What the file `name` holds; None, with a fault, where it cannot be read."""
    try:
        return files[name]
    except BadFile as bad:
        bad.note(name, report)
        return None


def inner_file(folder: Path, name: str) -> Path | None:
    """The file that `name` stands for, if it lies inside `folder`; None for any other name.

    Not for what only looks like a file, such as a pipe, which nobody can read to its end.
    """
    try:
        path = folder / name
        inside = folder.resolve() in path.resolve().parents
        return path if inside and path.is_file() else None
    except _NO_NAME:
        return None
