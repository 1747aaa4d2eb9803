"""What no input may bring about: a file outside the shop's folder, another program, the network,
code that is run, a hang, a great deal of memory.

The interpreter itself tells of these (`sys.addaudithook`), whoever asks for them; libraries
written in other languages than Python are not seen, save by what they leave behind.
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

_READ = (
    *(os.path.realpath(at) for at in (sys.prefix, sys.base_prefix, Path(__file__).parents[2])),
    "/proc/",
    "/dev/null",
    "/dev/urandom",
    "/usr/share/zoneinfo",
    "/usr/lib",
    "/usr/share/fonts",
)
"""Where the program and its libraries may read beside the shop's folder."""

_NEVER = (
    "subprocess.", "os.system", "os.exec", "os.posix_spawn", "os.spawn", "os.fork", "os.startfile",
    "socket.connect", "socket.bind", "socket.getaddrinfo", "socket.sendto", "urllib.",
    "webbrowser.",
    "pickle.", "ctypes.", "sqlite3.load_extension", "sqlite3.enable_load_extension",
    "code.__new__", "builtins.input", "pty.", "ftplib.", "smtplib.",
)  # fmt: skip
_RUNS = ("compile", "exec", "marshal.load")
_MAY_RUN = (
    "<frozen importlib", collections.__file__, dataclasses.__file__, typing.__file__,
    babel.__file__.removesuffix("__init__.py"),
)  # fmt: skip
"""Who runs code: imports, and the makers of classes, which check the names they are given; and
the library of currencies, whose own tables are pickled."""

_MOVES = ("os.mkdir", "os.rename", "os.remove", "os.rmdir", "os.link", "os.symlink", "os.truncate",
          "os.chmod", "os.utime", "os.chown", "shutil.")  # fmt: skip


class BrokenOffError(BaseException):
    """An input took hopelessly long. No handler of errors may catch it."""


class Guard:
    """Watches over one sandbox: a folder with `shop`, `scratch` (temporary files) and `outside`."""

    def __init__(self, home: Path):
        self.home = home
        self.shop, self.scratch = home / "shop", home / "scratch"
        (home / "outside").mkdir(parents=True)
        self.scratch.mkdir()
        for suffix in (".csv", ".xlsx"):
            (home / "outside" / f"secret{suffix}").write_text("mean of sides (in),12\n2,1.00\n")
        self._inside = tuple(os.path.realpath(x) + "/" for x in (self.shop, self.scratch))
        self._kept = _listed(home)
        self._watching, self.broken = False, ""
        sys.addaudithook(self._heard)

    @contextmanager
    def watching(self) -> Iterator[None]:
        """Inside, whatever is forbidden is refused and noted in `broken`."""
        self._watching, self.broken = True, ""
        try:
            yield
        finally:
            self._watching = False
        if self.broken:
            raise AssertionError(self.broken)

    def look_round(self) -> None:
        """Nothing was left outside the shop's folder, and no temporary file anywhere."""
        now = _listed(self.home)
        assert now == self._kept, f"files outside the shop's folder: {sorted(now ^ self._kept)}"

    def _heard(self, event: str, parts: tuple) -> None:
        if not self._watching:
            return
        if event.startswith((*_NEVER, *_RUNS)):
            asks = sys._getframe(1).f_code.co_filename
            if not asks.startswith(_MAY_RUN):
                self._refuse(f"{asks}: {event}", parts)
        elif event == "open":
            self._opened(*parts)
        elif event == "sqlite3.connect":
            name = str(parts[0])
            if "memory" not in name and not self._is_inside(
                name.removeprefix("file://").split("?")[0]
            ):
                self._refuse(event, parts)
        elif event.startswith(_MOVES):
            inside = isinstance(parts[-1], int) and parts[-1] > 2  # a folder's number
            for part in parts:
                if isinstance(part, str | bytes | os.PathLike):
                    at = os.readlink(f"/proc/self/fd/{parts[-1]}") if inside else ""
                    if not self._is_inside(os.path.join(at, os.fsdecode(part))):
                        self._refuse(event, parts)

    def _opened(self, path, mode, flags) -> None:
        if isinstance(path, int) or self._is_inside(path):
            return
        writing = flags & (os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC)
        if writing and os.fspath(path) == "/dev/null":
            return
        if writing or not os.path.realpath(os.fsdecode(path)).startswith(_READ):
            self._refuse("open", (path, mode, flags))

    def _is_inside(self, path) -> bool:
        try:
            real = os.path.realpath(os.fsdecode(path)) + "/"
        except ValueError:  # a name no system can have: nothing will come of it
            return True
        return real.startswith(self._inside)

    def _refuse(self, event: str, parts: tuple) -> None:
        self._watching = False  # or telling of it would be heard too
        self.broken = self.broken or f"{event} {parts!r:.300}"
        self._watching = True
        raise PermissionError(f"the guard refused {event}")


def _listed(home: Path) -> frozenset[str]:
    """Everything in the sandbox but the inside of the shop."""
    return frozenset(
        os.path.join(folder, name)
        for folder, folders, names in os.walk(home)
        if not (folder + "/").startswith(str(home / "shop") + "/")
        for name in [*folders, *names]
        if name != "shop"
    )


class Spent:
    """Processor time and peak memory of what is done inside ``with Spent() as spent``."""

    def __enter__(self):
        signal.signal(signal.SIGPROF, _break_off)
        signal.setitimer(signal.ITIMER_PROF, _HOPELESS)
        self._before = _resident()
        if _peak() - self._before > MEGABYTES / 2:
            _forget_peak()
        self.seconds, self.megabytes = time.process_time(), 0.0
        return self

    def __exit__(self, *error):
        self.seconds = time.process_time() - self.seconds
        signal.setitimer(signal.ITIMER_PROF, 0)
        self.megabytes = _peak() - self._before
        return False


def _break_off(*_) -> None:
    raise BrokenOffError


def _resident() -> float:
    with open("/proc/self/statm") as said:
        return int(said.read().split()[1]) * resource.getpagesize() / 1e6


def _peak() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3


def _forget_peak() -> None:
    """Let the peak be what is taken now."""
    with open("/proc/self/clear_refs", "w") as said:
        said.write("5")
