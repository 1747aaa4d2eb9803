"""What no input may bring about: a file outside the shop's folder, another program, the network,
code that is run, a hang, a great deal of memory.

The interpreter itself tells of these (`sys.addaudithook`), whoever asks for them in Python.
"""

import collections
import dataclasses
import os
import resource
import signal
import sys
import time
import typing
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import babel

SECONDS, MEGABYTES = 1.0, 200.0
"""What one input may take of the processor, and of memory beyond what was taken before."""

_HOPELESS = 20.0
"""Seconds after which an input is broken off."""

_SYSTEM = "/proc/ /dev/null /dev/urandom /usr/share/zoneinfo /usr/lib /usr/share/fonts"
_OWN = (sys.prefix, sys.base_prefix, Path(__file__).parents[2])
_READ = (*map(os.path.realpath, _OWN), *_SYSTEM.split(" "))
"""Where the program and its libraries may read beside the shop's folder."""

_NEVER = """
subprocess. os.system os.exec os.posix_spawn os.spawn os.fork os.startfile pty. code.__new__
socket.connect socket.bind socket.getaddrinfo socket.sendto urllib. webbrowser. ftplib. smtplib.
pickle. ctypes. sqlite3.load_extension sqlite3.enable_load_extension builtins.input
compile exec marshal.load
"""
_MAKERS = (collections.__file__, dataclasses.__file__, typing.__file__)
_MAY_RUN = ("<frozen importlib", *_MAKERS, str(Path(babel.__file__).parent))
"""Who runs code: imports, the makers of classes, which check the names they are given, and the
library of currencies, whose own tables are pickled."""

_MOVES = """
os.mkdir os.rename os.remove os.rmdir os.link os.symlink os.truncate os.chmod os.utime os.chown
shutil.
"""


class BrokenOffError(BaseException):
    """An input took hopelessly long. No handler of errors may catch it."""


class Guard:
    """Watches over one sandbox: a folder with `shop` and `scratch` (temporary files)."""

    def __init__(self, home: Path):
        self.shop, self.scratch = home / "shop", home / "scratch"
        self.scratch.mkdir(parents=True)
        for suffix in (".csv", ".xlsx"):
            (home / f"secret{suffix}").write_text("mean of sides (in),12\n2,1.00\n")
        self._inside = tuple(f"{os.path.realpath(at)}/" for at in (self.shop, self.scratch))
        self._watching, self.broken, self.seconds, self.megabytes = False, "", 0.0, 0.0
        sys.addaudithook(self._heard)
        signal.signal(signal.SIGPROF, _break_off)

    @contextmanager
    def watching(self) -> Iterator[None]:
        """Inside, what is forbidden is refused, and told; what it took is measured."""
        signal.setitimer(signal.ITIMER_PROF, _HOPELESS)
        Path("/proc/self/clear_refs").write_text("5")  # the peak is what is taken now
        start, before = time.process_time(), _peak()
        self._watching, self.broken = True, ""
        try:
            yield
        finally:
            self._watching = False
            signal.setitimer(signal.ITIMER_PROF, 0)
            self.seconds, self.megabytes = time.process_time() - start, _peak() - before
        assert not self.broken, self.broken

    def _heard(self, event: str, parts: tuple) -> None:
        if self._watching and not self._may(event, parts):
            self._watching = False  # or telling of it would be heard too
            self.broken = self.broken or f"{event} {parts!r:.300}"
            self._watching = True
            raise PermissionError(f"the guard refused {event}")

    def _may(self, event: str, parts: tuple) -> bool:
        if event.startswith(tuple(_NEVER.split())):
            return sys._getframe(2).f_code.co_filename.startswith(_MAY_RUN)
        if event == "open":
            path, _, flags = parts
            if isinstance(path, int) or self._is_inside(path):
                return True
            real = os.path.realpath(os.fsdecode(path))
            writing = flags & (os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC)
            return real == "/dev/null" if writing else real.startswith(_READ)
        if event == "sqlite3.connect":
            name = str(parts[0]).removeprefix("file://").split("?")[0]
            return "memory" in name or self._is_inside(name)
        if event.startswith(tuple(_MOVES.split())):
            by_folder = isinstance(parts[-1], int) and parts[-1] > 2  # the number of an open folder
            at = os.readlink(f"/proc/self/fd/{parts[-1]}") if by_folder else ""
            named = [os.fsdecode(p) for p in parts if isinstance(p, str | bytes | os.PathLike)]
            return all(self._is_inside(os.path.join(at, name)) for name in named)
        return True

    def _is_inside(self, path) -> bool:
        try:
            return f"{os.path.realpath(os.fsdecode(path))}/".startswith(self._inside)
        except ValueError:  # a name no system can have: nothing will come of it
            return True


def _break_off(*_) -> None:
    raise BrokenOffError


def _peak() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3
