"""What every test may ask for: programs outside Python, and the clone's root."""

import os
from pathlib import Path

import pandas as pd
import pytest
from programs import program_or_skip

# Whatever shops the developer has, and whichever of them was chosen last.
os.environ["PRICELAB_SHOPS"] = str(Path(__file__).parents[1] / "no-shops")

# Text in frames is held as on a reader's machine: pyarrow, by which pandas would hold it, comes
# with a data set of the tests alone.
pd.set_option("mode.string_storage", "python")


@pytest.fixture(scope="session")
def root() -> Path:
    """The clone."""
    return Path(__file__).parents[1]


@pytest.fixture(scope="session")
def spreadsheet_program() -> str:
    """LibreOffice, which recalculates a workbook's formulas as a reader's spreadsheet would."""
    return program_or_skip("LibreOffice", "soffice", "libreoffice")
