"""The README's lines of Python, run as they stand."""

from pathlib import Path

import matplotlib as mpl

README = Path(__file__).parents[1] / "README.md"


def run_readme_lines():
    """What the last line gives, the axes that it draws, and the names that the others set."""
    mpl.use("agg")
    section = README.read_text("utf-8").partition("## In Python")[2].partition("\n## ")[0]
    *before, last = [line[4:] for line in section.splitlines() if line.startswith("    ")]
    names = {}
    exec("\n".join(before), names)
    return eval(last, names), names
