"""Where things lie: the clone, its notebooks, and the shop in hand."""

import os
from pathlib import Path

from pricelab.errors import PricelabError

ROOT = Path(__file__).resolve().parents[1]
"""The clone."""

NOTEBOOKS = ROOT / "notebooks"

DEMO_SHOP = ROOT / "data" / "harbour-caps"
"""The invented shop that is shown when no other is named."""

SHOP_VARIABLE = "PRICELAB_SHOP"
"""The environment variable by which the notebooks are told the shop's folder."""


def shop_folder(named: str | os.PathLike | None = None) -> Path:
    """The folder of the shop `named`, or of the one the workbook was opened on, or the demo's.

    >>> shop_folder("no such shop")
    Traceback (most recent call last):
    pricelab.errors.PricelabError: There is no folder "no such shop". Name the folder that holds \
your shop.csv, or copy data/harbour-caps to start one.
    """
    folder = Path(named or os.environ.get(SHOP_VARIABLE) or DEMO_SHOP)
    if not folder.is_dir():
        raise PricelabError(
            f'There is no folder "{folder}". Name the folder that holds your shop.csv, '
            f"or copy {DEMO_SHOP.relative_to(ROOT).as_posix()} to start one."
        )
    return folder.resolve()
