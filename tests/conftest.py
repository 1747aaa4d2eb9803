"""What every test may ask for: programs outside Python, and the clone's root."""

import os
from pathlib import Path

import pandas as pd
import pytest
from hypothesis import HealthCheck, Phase, settings
from programs import program_or_skip

from pricelab.files.folders import DEMO_SHOPS

# Whatever shops the developer has, and whichever of them was chosen last.
os.environ["PRICELAB_SHOPS"] = str(Path(__file__).parents[1] / "no-shops")

# Text in frames is held as on a reader's machine: pyarrow, by which pandas would hold it, comes
# with a data set of the tests alone.
pd.set_option("mode.string_storage", "python")


def pytest_addoption(parser):
    """How thoroughly properties are tried."""
    what = "examples of each property at most (default: as many as it asks for)"
    parser.addoption("--examples", type=int, metavar="N", help=what)


def pytest_collection_modifyitems(config, items):
    """Begin with the browser's long files, which would else be waited for at the end.

    Where fewer examples are asked for, no time is spent on making a failing one small.
    """
    items.sort(key=lambda item: item.get_closest_marker("browser") is None)
    most = config.getoption("--examples")
    for item in items if most else ():
        held = getattr(getattr(item, "obj", None), "_hypothesis_internal_use_settings", None)
        if held is not None:
            item.obj._hypothesis_internal_use_settings = settings(
                held,
                max_examples=min(held.max_examples, most),
                phases=(Phase.explicit, Phase.generate),
                deadline=None,
                suppress_health_check=list(HealthCheck),
            )


def pytest_configure(config):
    """Watch over the demo shops in every test, the notebooks' own too."""
    config.pluginmanager.register(Untouched())


class Untouched:
    """Fails the test during which a file of a demo shop was written, made or removed."""

    def __init__(self):
        self.before = self._marks()

    @staticmethod
    def _marks() -> dict[str, tuple[int, int]]:
        """When each file and folder was written last, and how long it is."""
        folders = [at for shop in DEMO_SHOPS for at, *_ in os.walk(shop)]
        found = [entry for at in folders for entry in os.scandir(at)]
        return {one.path: (one.stat().st_mtime_ns, one.stat().st_size) for one in found}

    @pytest.hookimpl(trylast=True)
    def pytest_runtest_teardown(self, item):
        """Look once the test has put away what it used."""
        before, self.before = self.before, self._marks()
        changed = dict(before.items() ^ self.before.items())
        assert not changed, f"files of the demo shops were touched: {sorted(changed)}"


@pytest.fixture(scope="session")
def root() -> Path:
    """The clone."""
    return Path(__file__).parents[1]


@pytest.fixture(scope="session")
def spreadsheet_program() -> str:
    """LibreOffice, which recalculates a workbook's formulas as a reader's spreadsheet would."""
    return program_or_skip("LibreOffice", "soffice", "libreoffice")
