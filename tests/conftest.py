"""What every test may ask for: programs outside Python, and the clone's root."""

from pathlib import Path

import pytest
from programs import program_or_skip


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
