"""Makes sure that the libraries are there before anything needs them.

Nothing but the standard library, here and in `folders`. What is needed is read from
pyproject.toml, the one list of dependencies; where it is not met, a virtual environment of the
clone's own (`.venv`) is made and filled, and the command runs again in there. What it is filled
with is pinned: releases with which all tests passed, each file known by its hash.
"""

import os
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import tomllib
import venv
from collections.abc import Callable, Sequence
from importlib import invalidate_caches, metadata
from importlib.util import find_spec
from pathlib import Path

from pricelab.files.folders import ROOT, python_path

OWN = ROOT / ".venv"

LOCKS = {
    testing: [str(Path(__file__).with_name(f"{name}.txt")) for name in names]
    for testing, names in ((False, ["libraries"]), (True, ["libraries", "test_libraries"]))
}
"""The releases to fetch, without and with those of the tests (see tests/lock_libraries.py)."""

WEIGHT = {False: "about 800 MB, one to three minutes", True: "about 1.2 GB, one to three minutes"}
"""Without and with what the tests need; 768 and 1,239 MB were measured on disk."""

ROOM = 2_000_000_000  # bytes: the libraries, and pip's copies while it unpacks them

_NEEDS_NOTHING = ("-h", "--help", "--version")
_REQUIREMENT = re.compile(
    r"(?P<name>[a-z0-9-]+)>=(?P<least>\d+(?:\.\d+)*)(?:,<(?P<under>\d+(?:\.\d+)*))?"
)


def needed(pyproject: dict, testing: bool) -> list[str]:
    """The requirements of the workbook, and with `testing` those of its tests too.

    >>> needed({"project": {"dependencies": ["numpy>=2.4"]}}, testing=False)
    ['numpy>=2.4']
    """
    project = pyproject["project"]
    extra = project["optional-dependencies"]["test"] if testing else []
    return [*project["dependencies"], *extra]


def lacking(
    requirements: Sequence[str], version_of: Callable[[str], str] = metadata.version
) -> list[str]:
    """Those of `requirements` that this Python does not meet.

    >>> here = {"numpy": "2.4.6", "voila": "0.6.0"}
    >>> lacking(["numpy>=2.4", "voila>=0.5.13,<0.6"], here.__getitem__)
    ['voila>=0.5.13,<0.6']
    """
    return [requirement for requirement in requirements if not _met(requirement, version_of)]


def _met(requirement, version_of):
    parts = _REQUIREMENT.fullmatch(requirement)
    if parts is None:
        raise ValueError(
            f'pyproject.toml: found the dependency "{requirement}", '
            'expected the form "name>=1.2" or "name>=1.2,<2".'
        )
    try:
        here = _numbers(version_of(parts["name"]))
    except (metadata.PackageNotFoundError, KeyError):
        return False
    under = parts["under"]
    return here >= _numbers(parts["least"]) and (under is None or here < _numbers(under))


def _numbers(version):
    """`2.4.0rc1` as (2, 4): what can be compared, trailing zeros dropped so that 2.4 is 2.4.0."""
    numbers = [int(number) for number in re.match(r"\d+(?:\.\d+)*", version)[0].split(".")]
    while numbers and numbers[-1] == 0:
        numbers.pop()
    return tuple(numbers)


def rerun_with_libraries(arguments: Sequence[str]) -> int | None:
    """None where this Python has all that `arguments` need; else run them where they are met.

    The answer is then the exit code of that run. A failure is one sentence and exit code 2.
    """
    if any(argument in _NEEDS_NOTHING for argument in arguments):
        return None
    testing = arguments[:1] == ["test"]
    pyproject = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
    requirements = needed(pyproject, testing)
    if not lacking(requirements):
        return None
    try:
        if Path(sys.prefix).resolve() != OWN:
            return _run_in(_own_python(), arguments)
        _install(testing)
        invalidate_caches()
        if still := lacking(requirements):
            raise SetUpFailed(
                f"{', '.join(still)} is still not there after an installation without an error. "
                "Delete the folder .venv and run the same command again."
            )
    except SetUpFailed as failure:
        print(failure, file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        print("\nStopped. Run the same command again to go on.", file=sys.stderr)
        return 2
    return None


class SetUpFailed(Exception):
    """A sentence for the reader: what went wrong and how to mend it."""


def _own_python() -> Path:
    """The Python of the clone's own environment, which is made where it is missing or broken."""
    python = OWN / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    if _starts(python):
        return python
    if os.pathsep in str(OWN):
        raise SetUpFailed(
            f'This folder lies under a name with a "{os.pathsep}" in it, the sign by which Python '
            "tells one folder from the next. Rename that folder and run the same command again."
        )
    if find_spec("ensurepip") is None:
        raise SetUpFailed(
            "This Python cannot make a virtual environment. On Debian and Ubuntu run "
            "`sudo apt install python3-venv`; then run the same command again."
        )
    room = shutil.disk_usage(ROOT).free
    if room < ROOM:
        raise SetUpFailed(
            f"The disk of this folder has {room / 1e6:,.0f} MB left, and the libraries need "
            f"{ROOM / 1e6:,.0f} MB while they are unpacked. Make room and run the same command "
            "again."
        )
    try:
        venv.create(OWN, clear=True, with_pip=True)
    except (OSError, subprocess.CalledProcessError) as error:
        raise SetUpFailed(
            f"Could not make the folder .venv here ({error}). Make sure that this folder may be "
            "written to and run the same command again."
        ) from None
    return python


def _starts(python):
    try:
        subprocess.run([python, "-m", "pip", "--version"], check=True, capture_output=True)
    except (OSError, subprocess.CalledProcessError):
        return False
    return True


def _run_in(python, arguments):
    command = [str(python), "-m", "pricelab", *arguments]
    environment = {**os.environ, "PYTHONPATH": python_path()}
    if os.name != "nt":  # become the other: signals then reach it without a middleman
        sys.stdout.flush()
        os.execve(command[0], command, environment)
    signal.signal(signal.SIGINT, lambda *_: None)  # Ctrl-C reaches both; the other one stops
    return subprocess.Popen(command, env=environment).wait()


def _install(testing):
    """Install the libraries into the environment that is running.

    Not the clone: it is run where it lies, and not every build takes every folder's name.
    """
    print(
        f"The libraries that pricelab works with are not there yet: fetching them now, once, into "
        f"the folder .venv here ({WEIGHT[testing]}).",
        flush=True,
    )
    command = [sys.executable, "-m", "pip", "install", "--quiet", "--require-hashes"]
    command += [word for lock in LOCKS[testing] for word in ("-r", lock)]
    with tempfile.TemporaryFile("w+", encoding="utf-8", errors="replace") as said:
        pip = subprocess.Popen(command, stdout=said, stderr=subprocess.STDOUT)
        try:
            while pip.poll() is None:
                time.sleep(1)
                if sys.stdout.isatty():
                    print(".", end="", flush=True)
        finally:
            pip.terminate()
            pip.wait()
        print(flush=True)
        said.seek(0)
        lines = said.read().splitlines()
    if pip.returncode:
        raise SetUpFailed(
            f"The libraries could not be fetched (pip says: {_reason(lines)}). Make sure that "
            "this machine is on the internet and run the same command again."
        )


def _reason(lines):
    """The line of pip's output that a person can do something with.

    >>> _reason(["WARNING: Retrying", "  ERROR: No match for numpy>=2.4", "note: not pip's fault"])
    'No match for numpy>=2.4'
    """
    stripped = [line.strip() for line in lines] or ["nothing"]
    errors = [line for line in stripped if line.startswith("ERROR: ")] or stripped
    return errors[-1].removeprefix("ERROR: ").rstrip(".")
