"""Files are saved whole or not at all, and never over what another program changed or has open.

What is saved is written beside its place under a name that nobody reads, and takes its
place in one step: whatever stops the program, the disk or the machine, the older file or
the new one is there, whole. Of several windows that save into a folder each has its turn.
What a crash leaves behind goes with a later saving.
"""

import errno
import json
import os
import re
import secrets
import shutil
import stat
import time
import unicodedata
from collections.abc import Callable, Iterator, Mapping
from contextlib import ExitStack, contextmanager, suppress
from datetime import date, datetime
from hashlib import sha256
from pathlib import Path
from zlib import crc32

from pricelab.shop.errors import PricelabError

try:
    import fcntl
except ImportError:  # on Windows
    fcntl = None
    import msvcrt

BEGUN = ".saving-"
"""How the names of files and folders begin that are not whole yet."""

OLD = "old"
"""The folder of what was replaced, beside what is."""

_PLACING = ".placing-"
"""How the names of files begin that tell which files are whole, and being given their places."""

_LOCK = ".lock"
"""The file that a window holds while it saves into a folder."""

_LEFT_BEHIND = 3600.0  # seconds after which nobody is writing any more on what was begun
_TURN = 10.0  # seconds to wait for another window that saves
_WAITS = (0.05, 0.1, 0.2, 0.4)  # seconds: a search or a virus scan lets go of a file soon
_HELD = (5, 32, 33)  # Windows: access denied, in use, locked
_LONGEST = 60  # letters of a name: with its suffix far under the 255 bytes that disks take
_A_MONTH = 31  # days for which one copy a day is kept


def save_whole(path: Path, content: bytes) -> Path:
    """Put `content` in the file at `path` in one step; an older file stays until then.

    The last folder of the path is made where it is missing. Where saving fails nothing is
    left behind, and the error says why and what to do.
    """
    path = Path(path)
    with told(path):
        path.parent.mkdir(exist_ok=True)
    save_together(path.parent, {path.name: content})
    return path


def save_together(
    folder: Path,
    files: Mapping[str, bytes | None],
    seen: Mapping[str, bytes | None] | None = None,
    keep: Callable[[Path], object] = lambda path: None,
) -> None:
    """Put every content in its file of `folder`, and remove those whose content is None; or none.

    `seen` is what each file held (None: there was none) when the contents were worked out:
    where one is another by now, nothing is saved. `keep` is called with each file that is
    replaced or removed, once all could be. What a crash stops once the first has its place is
    finished by `finish_together`.
    """
    if not files:
        return
    was, parts = {}, {}
    with told(folder / next(iter(files))), locked(folder), ExitStack() as begun:
        _finish(folder)
        for name, content in files.items():
            path = folder / name
            with told(path):
                was[name] = _holds(path)
                if content is not None:
                    parts[name] = begun.enter_context(beside(path, content))
                if path.exists():
                    check_writable(path)
                    if content is not None:
                        parts[name].chmod(stat.S_IMODE(path.stat().st_mode) & 0o770)
        for name in files:
            if seen is not None and was[name] != seen.get(name):
                raise _changed(name)
        for name in files:
            if was[name] is not None:
                keep(folder / name)
        if len(files) > 1:
            journal = folder / f"{_PLACING}{secrets.token_hex(6)}"
            begun.callback(_discard, journal)  # done, or not to be finished
            places = [
                (name, parts[name].name if name in parts else "", _digest(was[name]))
                for name in files
            ]
            _write(journal, json.dumps(places).encode())
        placed = []
        try:
            for name, content in files.items():
                path = folder / name
                with told(path):
                    if _holds(path) != was[name]:
                        raise _changed(name)
                    placed.append(name)
                    if content is None:
                        path.unlink(missing_ok=True)
                    else:
                        place(parts[name], path)
                    if _holds(path) != content:
                        raise _changed(name)
        except BaseException:
            left = [x for x in placed if not _put_back(folder / x, files[x], was[x])]
            if left:
                raise PricelabError(
                    f"Saved {', '.join(left)}, but not what goes with it, and could not put back "
                    "what stood there before. Save again once the disk is in order."
                ) from None
            raise


def _put_back(path: Path, content: bytes | None, was: bytes | None) -> bool:
    """Put back what `was` in a file that holds `content`; whether that is done."""
    with suppress(OSError, PricelabError):
        if _holds(path) != content:
            return True  # as it was, or another program's by now
        if was is None:
            path.unlink()
        else:
            with beside(path, was) as part:
                place(part, path)
        return True
    return False


def finish_together(folder: Path) -> None:
    """Give those files their places whose saving in `folder` a crash stopped in the middle.

    One that was changed since then stays as it is.
    """
    with suppress(OSError, PricelabError):
        if any(folder.glob(f"{_PLACING}*")):
            with locked(folder):
                _finish(folder)


def _finish(folder: Path) -> None:
    for journal in folder.glob(f"{_PLACING}*"):
        with suppress(ValueError):  # half a journal: nothing had its place yet
            for name, part, was in json.loads(journal.read_bytes()):
                path = folder / name
                begun = path.with_name(part) if part else None
                if _digest(_holds(path)) == was:
                    if begun is None:
                        _discard(path)
                    elif begun.exists():
                        place(begun, path)
                if begun is not None:
                    _discard(begun)
        journal.unlink()


def _digest(content: bytes | None) -> str:
    return "" if content is None else sha256(content).hexdigest()


def _changed(name: str) -> PricelabError:
    return PricelabError(
        f"{Path(name).name} was changed since this page read it, perhaps in another tab or in a "
        "spreadsheet. Run this notebook again, then save."
    )


@contextmanager
def locked(folder: Path) -> Iterator[None]:
    """Save into `folder` alone: other windows wait for their turn."""
    path, until = folder / _LOCK, time.monotonic() + _TURN
    while True:
        lock = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
        if _is_mine(lock, path):
            break
        with suppress(OSError):
            os.close(lock)
        if time.monotonic() > until:
            raise PricelabError(
                f"Another window has been saving into {folder.name} for {_TURN:g} seconds. Wait "
                "until it is done, or close it, and try again; nothing was changed."
            )
        time.sleep(0.01)
    try:
        yield
    finally:
        with suppress(OSError):  # Windows keeps it as long as it is open
            path.unlink()
        with suppress(OSError):
            os.close(lock)


def _is_mine(lock: int, path: Path) -> bool:
    """Whether the opened `lock` is held now, and is still the one that others will find."""
    try:
        if fcntl is None:
            msvcrt.locking(lock, msvcrt.LK_NBLCK, 1)
        else:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        # a disk that knows no locks lets everybody pass: there the comparison has to do
        return error.errno not in (errno.EAGAIN, errno.EACCES, errno.EDEADLK)
    try:
        return os.path.samestat(os.fstat(lock), path.stat())
    except OSError:  # whoever had it before has removed it
        return False


def keep_copy(path: Path, folder: Path, until: datetime) -> Path:
    """A copy of a file in `folder`, named by the time until which it held.

    Copies are thinned out: all of a day stay that day, one a day for a month, then one a month.
    """
    content, name = held(path), f"{path.stem}.until-{until:%Y-%m-%d-%H%M%S}"
    kept, count = folder / f"{name}{path.suffix}", 1
    while (there := held(kept)) not in (None, content):
        count += 1
        kept = folder / f"{name}-{count}{path.suffix}"
    if there is None:
        with beside(kept, content) as part, told(kept):
            place(part, kept)
        _thin_out(folder, path, until.date())
    return kept


def _thin_out(folder: Path, path: Path, today: date) -> None:
    """Remove all copies of a file but the last of each day, or, after a month, of each month."""
    name = re.compile(rf"{re.escape(path.stem)}\.until-(\d{{4}}-\d\d-\d\d)[-\d]*\{path.suffix}")
    last: dict[str, Path] = {}
    with suppress(OSError):
        for copy in sorted(folder.iterdir()):
            found = name.fullmatch(copy.name)
            if found is None or found[1] >= today.isoformat():
                continue
            days = (today - date.fromisoformat(found[1])).days
            span = found[1] if days <= _A_MONTH else found[1][:7]
            if span in last:
                last[span].unlink(missing_ok=True)
            last[span] = copy


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
def beside(path: Path, content: bytes | Mapping[str, bytes]) -> Iterator[Path]:
    """A hidden file, or folder of files, beside `path` that holds the content whole.

    It goes unless it is placed. The folder that `path` is in is made where it is missing.
    """
    part = path.with_name(f"{BEGUN}{secrets.token_hex(6)}")
    try:
        with told(path):
            path.parent.mkdir(exist_ok=True)
            sweep(path.parent)
            if isinstance(content, bytes):
                _write(part, content)
            else:
                part.mkdir(0o700)
                for name, file in content.items():
                    (part / name).parent.mkdir(0o700, exist_ok=True)
                    _write(part / name, file)
        yield part
    finally:
        _discard(part)


def sweep(folder: Path) -> None:
    """Remove what a crash left behind in `folder` an hour ago or earlier."""
    with suppress(OSError):
        for left in folder.glob(f"{BEGUN}*"):
            with suppress(OSError):
                if time.time() - left.stat().st_mtime > _LEFT_BEHIND:
                    _discard(left)


def _discard(part: Path) -> None:
    with suppress(OSError):
        shutil.rmtree(part) if part.is_dir() else part.unlink(missing_ok=True)


def _write(part: Path, content: bytes) -> None:
    """Write a file that its owner alone may read, for good."""
    with open(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())


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


_CAUSES = (
    ("ENOSPC EFBIG EDQUOT", "the disk is full", "Make room"),
    ("EACCES EPERM EROFS", "the file or its folder may not be {may}", "Allow it"),
    ("ENAMETOOLONG", "its name or path is too long", "Give the file or its folder a shorter one"),
    ("ENOENT", "its folder is not there any more", "Put the folder or its drive back"),
    ("EISDIR", "a folder of that name is in its place", "Move that folder away"),
    ("EEXIST ENOTDIR", "a file is in the place of its folder", "Move that file away"),
    (
        "held",
        "another program has it open, or it may not be {may}",
        "Close it there, or allow it,",
    ),
)
"""Errors of the system by name, what they mean to the owner, and what would mend it."""


@contextmanager
def told(path: Path, doing: str = "save") -> Iterator[None]:
    """Say what keeps the file at `path` from being saved, or read, in a sentence."""
    try:
        yield
    except OSError as error:
        name = errno.errorcode.get(error.errno)
        if getattr(error, "winerror", None) in _HELD:
            name = "held"
        elif name == "ENOENT" and os.path.isdir(path.parent):
            name = "ENAMETOOLONG"  # as Windows has it
        why, mend = next(
            ((why, mend) for names, why, mend in _CAUSES if name in names.split()),
            (error.strerror or str(error), "Make sure that the disk is in order"),
        )
        may = {"save": "written to", "read": "read"}[doing]
        raise PricelabError(
            f'Could not {doing} "{path}": {why.format(may=may)}. {mend} and try again; nothing '
            "was changed."
        ) from None
