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


def struck(do: Callable[[], object], at: int, blow: Callable[[], object]) -> bool:
    """Call `do`, with `blow` before its step number `at` (from 1); False where it has no more."""
    step = 0

    def see(frame, event, called):
        nonlocal step
        if event == "c_call" and _asks(called):
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
    """Let a process die by SIGKILL at every step of `do` in turn; yields after each death.

    What came of it is there then, to be put to where it was. The last turn ends without a death.
    """
    at, died = 0, True
    while died:
        at += 1
        child = os.fork()
        if not child:
            try:
                struck(do, at, lambda: os.kill(os.getpid(), signal.SIGKILL))
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
