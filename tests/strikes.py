"""Strikes at a function just before it asks something of the file system, one step after the other.

Every call of the operating system's own functions and of an open file's counts as a step, those
that the standard library makes on the function's behalf too.
"""

import io
import os
import signal
import sys
from collections.abc import Callable, Iterator

_FILES = (io.FileIO, io.BufferedReader, io.BufferedWriter, io.BufferedRandom, io.TextIOWrapper)
_OF_NO_FILE = {"fspath", "strerror", "urandom", "getpid", "get_terminal_size"}
_CHANGING = {
    "open", "write", "flush", "close", "__exit__", "fsync", "replace", "rename", "link", "symlink",
    "mkdir", "rmdir", "unlink", "remove", "chmod", "utime", "truncate", "copy_file_range",
    "sendfile", "execute", "executemany", "commit", "rollback",
}  # fmt: skip
"""What may change a disk: whoever dies at another step dies as at the next of these."""


def struck(
    do: Callable[[], object], at: int, blow: Callable[[], object], *, changing: bool = False
) -> bool:
    """Call `do`, with `blow` before its step number `at` (from 1); False where it has no more.

    With `changing` only those steps count that may change something on the disk.
    """
    step = 0

    def see(frame, event, called):
        nonlocal step
        if event == "c_call" and _asks(called) and (not changing or called.__name__ in _CHANGING):
            step += 1
            if step == at:
                sys.setprofile(None)
                blow()

    sys.setprofile(see)
    try:
        do()
    finally:
        sys.setprofile(None)
    return step >= at


def deaths(do: Callable[[], object]) -> Iterator[int]:
    """Let a process die by SIGKILL at every step of `do` that may change something, in turn.

    Yields the step after each death, with what came of it there, to be put to where it was. The
    last turn ends without a death.
    """
    at, died = 0, True
    while died:
        at += 1
        child = os.fork()
        if not child:
            try:
                struck(do, at, lambda: os.kill(os.getpid(), signal.SIGKILL), changing=True)
            finally:
                os._exit(0)
        status = os.waitpid(child, 0)[1]
        died = os.WIFSIGNALED(status)
        if not died and os.waitstatus_to_exitcode(status):
            raise RuntimeError(f"step {at}: it ended with {status}")
        yield at


def _asks(called) -> bool:
    if getattr(called, "__module__", None) == os.open.__module__:
        return called.__name__ not in _OF_NO_FILE
    return called is io.open or isinstance(getattr(called, "__self__", None), _FILES)
