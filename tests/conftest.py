"""What every test may ask for: programs outside Python, and the clone's root."""

import os
import shutil
from pathlib import Path

import pytest

IN_CI = os.environ.get("CI", "").lower() in ("1", "true")


def program_or_skip(what: str, *names: str) -> str:
    """The path of the first of `names` on this machine.

    Without any, the test says so and is skipped; in CI, where nobody would notice, it fails.
    """
    for name in names:
        if found := shutil.which(name):
            return found
    sentence = f"{what} is not on this machine (looked for: {', '.join(names)})."
    if IN_CI:
        pytest.fail(f"{sentence} CI must have it: see .ci/run.", pytrace=False)
    pytest.skip(sentence)


@pytest.fixture(scope="session")
def root() -> Path:
    """The clone."""
    return Path(__file__).parents[1]


@pytest.fixture(scope="session")
def spreadsheet_program() -> str:
    """LibreOffice, which recalculates a workbook's formulas as a reader's spreadsheet would."""
    return program_or_skip("LibreOffice", "soffice", "libreoffice")


@pytest.fixture(scope="session")
def page_printer() -> str:
    """pdftoppm, which turns a PDF's pages into pictures."""
    return program_or_skip("pdftoppm", "pdftoppm")
