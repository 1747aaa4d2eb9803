"""Pins every library by its hashes: `python tests/lock_libraries.py`, with uv (`pip install uv`).

The newest release of each that pyproject.toml allows goes into pricelab/app: `libraries.txt` is
what the workbook needs, `test_libraries.txt` what its tests need besides, for every Python from
the oldest on and every system. Run all tests before the two are committed.
"""

import re
import subprocess
import sys
import tomllib
from pathlib import Path
from tempfile import TemporaryDirectory

ROOT = Path(__file__).parents[1]
HEAD = "# Made by tests/lock_libraries.py from pyproject.toml; not to be edited by hand.\n"


def compiled(into: Path, *words: str) -> list[str]:
    """The pins that uv finds, one for each library and condition, with their hashes."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    oldest = project["requires-python"].removeprefix(">=")
    how = ("--universal", "--python-version", oldest, "--generate-hashes", "--upgrade")
    bare = ("--no-annotate", "--no-header", "--no-emit-index-url", "--no-emit-find-links")
    command = [sys.executable, "-m", "uv", "pip", "compile", "-q", *how, *bare, *words]
    subprocess.run([*command, "-o", into, "pyproject.toml"], cwd=ROOT, check=True)
    return re.findall(r"^\S.*(?:\n .*)*\n", into.read_text("utf-8"), re.MULTILINE)


def main() -> None:
    """Write both files; what the first pins, the second leaves out."""
    with TemporaryDirectory() as folder:
        used = Path(folder) / "used.txt"
        pins = compiled(used)
        same = ("--extra", "test", "--constraint", str(used))
        more = [pin for pin in compiled(Path(folder) / "all.txt", *same) if pin not in pins]
    for name, kept in (("libraries", pins), ("test_libraries", more)):
        path = ROOT / "pricelab" / "app" / f"{name}.txt"
        path.write_text(HEAD + "".join(kept), "utf-8", newline="\n")


if __name__ == "__main__":
    main()
