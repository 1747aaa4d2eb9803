"""Files are saved whole or not at all, and never over what another program changed or has open.

What is saved is written beside its place under a name that nobody reads, and takes its
place in one step: whatever stops the program, the disk or the machine, the older file or
the new one is there, whole. What a crash leaves behind goes with a later saving.
"""

import errno
import os
import re
import secrets
import shutil
import time
import unicodedata
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path
from zlib import crc32

from pricelab.shop.errors import PricelabError

BEGUN = ".saving-"
"""How the names of files and folders begin that are not whole yet."""

_READY = ".placing-"
"""How the names of folders begin whose files are whole, and are being given their places."""

_WAS = ".was"
"""How the names of files end in there that hold what was in a place before."""

ANYTHING = object()
"""In place of what was seen in a file: it may hold anything by now."""

_LEFT_BEHIND = 3600.0  # seconds after which nobody is writing any more on what was begun
_WAITS = (0.05, 0.1, 0.2, 0.4)  # seconds: a search or a virus scan lets go of a file soon
_HELD = (5, 32, 33)  # Windows: access denied, in use, locked
_LONGEST = 60  # letters of a name: with its suffix far under the 255 bytes that disks take


def save_whole(path: Path, content: bytes, *, seen: bytes | object | None = ANYTHING) -> Path:
    """Put `content` in the file at `path` in one step; an older file stays until then.

    `seen` is what the file held (None: there was none) when the content was worked out:
    where it is another by now, nothing is saved. Without it the last folder of the path is
    made where it is missing. Where saving fails nothing is left behind, and the error says
    why and what to do.
    """
    path = Path(path)
    part = path.with_name(f"{BEGUN}{secrets.token_hex(6)}")
    try:
        with told(path):
            if seen is ANYTHING:
                path.parent.mkdir(exist_ok=True)
            sweep(path.parent)
            _write(part, content)
            if path.exists():
                check_writable(path)
                with suppress(OSError):
                    shutil.copymode(path, part)
            if seen is not ANYTHING:
                _check_seen(path, seen)
            place(part, path)
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)
    return path


def save_together(
    folder: Path,
    files: Mapping[str, bytes],
    seen: Mapping[str, bytes | None],
    keep: Callable[[Path], object],
) -> None:
    """Put every content in its file of `folder`, or none of them.

    `seen` is what each file held (None: there was none) when the contents were worked out;
    `keep` is called with each file that is replaced, once all could be. What a crash stops
    once the first has its place is finished by `finish_together`.
    """
    if not files:
        return
    first = folder / next(iter(files))
    was = {f"{name}{_WAS}": old for name in files if (old := seen.get(name)) is not None}
    with beside(first, {**files, **was}) as part, told(first):
        there = [name for name in files if (folder / name).exists()]
        for name in there:
            check_writable(folder / name)
            with suppress(OSError):
                shutil.copymode(folder / name, part / name)
        for name in files:
            _check_seen(folder / name, seen.get(name))
        for name in there:
            keep(folder / name)
        ready = part.with_name(part.name.replace(BEGUN, _READY))
        place(part, ready)
        try:
            _finish(ready)
        except (OSError, PricelabError):
            try:
                os.replace(ready, part)  # else it would be finished later
            except OSError:
                shutil.rmtree(ready, ignore_errors=True)
            for name, content in files.items():
                path, old = folder / name, seen.get(name)
                if _holds(path) == content != old:
                    path.unlink() if old is None else save_whole(path, old)
            raise


def finish_together(folder: Path) -> None:
    """Give those files their places whose saving in `folder` a crash stopped in the middle.

    One that was changed since then stays as it is.
    """
    with suppress(OSError):
        for ready in folder.glob(f"{_READY}*"):
            with suppress(OSError, PricelabError):
                _finish(ready)


def _finish(ready: Path) -> None:
    """Place the files of a folder that is ready, unless another window was quicker."""
    for path in _files_of(ready):
        at = ready.parent / path.relative_to(ready)
        if path.suffix != _WAS and _holds(at) == _holds(path.with_name(path.name + _WAS)):
            with told(at), suppress(FileNotFoundError):
                place(path, at)
    with suppress(OSError):
        shutil.rmtree(ready, ignore_errors=True)


def _files_of(folder: Path) -> list[Path]:
    """Every file below a folder; an error where one of its folders cannot be looked into."""

    def refuse(error: OSError) -> None:
        raise error

    below = os.walk(folder, onerror=refuse)
    return sorted(Path(at, name) for at, _, names in below for name in names)


def _check_seen(path: Path, seen: bytes | None) -> None:
    """Refuse to write over a file that is another by now."""
    if held(path) != seen:
        raise PricelabError(
            f"{path.name} was changed since this page read it, perhaps in another tab or "
            "in a spreadsheet. Run this notebook again, then save."
        )


def keep_copy(path: Path, folder: Path, stem: str) -> Path:
    """A copy of a file in `folder`, under a name that no other content has."""
    content = held(path)
    for count in range(1, 100):
        kept = folder / f"{stem}{'' if count == 1 else f'-{count}'}{path.suffix}"
        there = held(kept)
        if there is None:
            return save_whole(kept, content)
        if there == content:
            return kept
    raise PricelabError(f"Found 99 older files {stem}. Remove some from the folder {folder.name}.")


def held(path: Path) -> bytes | None:
    """What the file at `path` holds, None where there is none."""
    with told(path, "read"):
        return _holds(path)


def _holds(path: Path) -> bytes | None:
    return path.read_bytes() if path.is_file() else None


def place(part: Path, path: Path) -> None:
    """Give the file or folder `part` its place at `path`, for good; OSError where it cannot be."""
    for wait in (*_WAITS, None):
        try:
            os.replace(part, path)  # of a folder: refused where there are files already
            break
        except PermissionError as error:
            if wait is None or getattr(error, "winerror", None) not in _HELD:
                raise
            time.sleep(wait)
    if os.name == "posix":
        with suppress(OSError):  # some disks cannot; the file is in its place all the same
            folder = os.open(path.parent, os.O_RDONLY)
            try:
                os.fsync(folder)
            finally:
                os.close(folder)


@contextmanager
def beside(path: Path, files: Mapping[str, bytes]) -> Iterator[Path]:
    """A hidden folder beside `path` that holds the files whole; what was not placed goes with it.

    The folder that `path` is in is made where it is missing.
    """
    part = path.with_name(f"{BEGUN}{secrets.token_hex(6)}")
    try:
        with told(path):
            path.parent.mkdir(exist_ok=True)
            sweep(path.parent)
            part.mkdir()
            for name, content in files.items():
                (part / name).parent.mkdir(exist_ok=True)
                _write(part / name, content)
        yield part
    finally:
        with suppress(OSError):
            shutil.rmtree(part, ignore_errors=True)


def sweep(folder: Path) -> None:
    """Remove what a crash left behind in `folder` an hour ago or earlier."""
    with suppress(OSError):
        for left in folder.glob(f"{BEGUN}*"):
            with suppress(OSError):
                if time.time() - left.stat().st_mtime > _LEFT_BEHIND:
                    shutil.rmtree(left) if left.is_dir() else left.unlink()


def check_writable(path: Path) -> None:
    """Refuse to write over a file that is open in a spreadsheet, or locked by its owner."""
    with told(path):
        if path.is_dir():
            raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR))
        if not os.access(path, os.W_OK):
            raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))
        lock = lock_of(path)
    if lock is not None:
        raise PricelabError(
            f'Could not save "{path}": it is open in a spreadsheet, which would write over it. '
            "Close it there and try again; nothing was changed. (If no spreadsheet has it open, "
            f'delete "{lock.name}" beside it.)'
        )


def lock_of(path: Path) -> Path | None:
    """The file by which a spreadsheet says that it has `path` open; None where there is none."""
    locks = (path.with_name(name) for name in (f".~lock.{path.name}#", f"~${path.name}"))
    return next((lock for lock in locks if lock.exists()), None)


def file_stem(*parts: str) -> str:
    """`parts` as how a file's name begins that every system takes: no sign that one forbids.

    What is changed or cut short gets a number of its own.

    >>> file_stem("leather", "mesh-back"), file_stem("Mützen: rot/blau")
    ('leather-mesh-back', 'Mützen-rot-blau-ffdb')
    """
    name = unicodedata.normalize("NFC", "-".join(parts))
    stem = re.sub(r"[^\w-]+", "-", name).strip("-")[:_LONGEST]
    return stem if stem == name else f"{stem}-{crc32(name.encode()) % 16**4:04x}".lstrip("-")


@contextmanager
def told(path: Path, doing: str = "save") -> Iterator[None]:
    """Say what keeps the file at `path` from being saved, or read, in a sentence."""
    try:
        yield
    except OSError as error:
        why, mend = _cause(error, path)
        may = {"save": "written to", "read": "read"}[doing]
        raise PricelabError(
            f'Could not {doing} "{path}": {why.format(may=may)}. {mend} and try again; nothing '
            "was changed."
        ) from None


def _write(part: Path, content: bytes) -> None:
    with part.open("xb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())


_NO_ROOM = ("the disk is full", "Make room")
_OPEN = ("another program has it open, or it may not be {may}", "Close it there, or allow it,")
_NOT_ALLOWED = ("the file or its folder may not be {may}", "Allow it")
_TOO_LONG = ("its name or path is too long", "Give the file or its folder a shorter one")
_GONE = ("its folder is not there any more", "Put the folder or its drive back")
_A_FOLDER = ("a folder of that name is in its place", "Move that folder away")
_A_FILE = ("a file is in the place of its folder", "Move that file away")

_CAUSES = {
    errno.ENOSPC: _NO_ROOM,
    errno.EFBIG: _NO_ROOM,
    errno.EACCES: _NOT_ALLOWED,
    errno.EPERM: _NOT_ALLOWED,
    errno.EROFS: _NOT_ALLOWED,
    errno.ENAMETOOLONG: _TOO_LONG,
    errno.ENOENT: _GONE,
    errno.EISDIR: _A_FOLDER,
    errno.EEXIST: _A_FILE,
    errno.ENOTDIR: _A_FILE,
}
"""What an error of the system means to the owner, and what would mend it."""
if hasattr(errno, "EDQUOT"):  # not on Windows
    _CAUSES[errno.EDQUOT] = _NO_ROOM


def _cause(error: OSError, path: Path) -> tuple[str, str]:
    if getattr(error, "winerror", None) in _HELD:
        return _OPEN
    if error.errno == errno.ENOENT and os.path.isdir(path.parent):
        return _TOO_LONG  # as Windows has it
    unknown = (f"{error.strerror or error}", "Make sure that the disk is in order")
    return _CAUSES.get(error.errno, unknown)
