"""Where things lie: the clone, its notebooks, the reader's own shops, and the shop in hand."""

import os
from pathlib import Path

from pricelab.shop.errors import PricelabError

ROOT = Path(__file__).resolve().parents[2]
"""The clone."""

NOTEBOOKS = ROOT / "notebooks"

DEMO_SHOP = ROOT / "data" / "harbour-caps"
"""The invented shop that is shown when no other is named."""

DEMO_SHOPS = (DEMO_SHOP, ROOT / "data" / "fjord-muetzen")
"""The invented shops, which stay as they are: one's own begins as a copy."""

SHOP_VARIABLE = "PRICELAB_SHOP"
"""The environment variable by which the notebooks are told the shop's folder."""

SHOPS_VARIABLE = "PRICELAB_SHOPS"
"""The environment variable that names another place for the reader's own shops."""

KEEPS_VARIABLE = "PRICELAB_KEEPS"
"""The environment variable that tells a kernel of the owner's to keep a shop's tables for quotes:
one behind a client's page saves no cost."""

OPENED = "opened.txt"
"""The file among the reader's own shops that names the one to open when no other is named."""


def python_path() -> str:
    """Where a process started from here looks for modules: in the clone before anywhere else."""
    return os.pathsep.join([str(ROOT), *filter(None, [os.environ.get("PYTHONPATH")])])


def shops_folder() -> Path:
    """Where the reader's own shops lie: `data/shops`, unless told otherwise."""
    return Path(os.environ.get(SHOPS_VARIABLE) or ROOT / "data" / "shops")


def shop_folder(named: str | os.PathLike | None = None) -> Path:
    """The folder of the shop `named`: a folder, or the name of one of the reader's own shops.

    Where none is named: the one the workbook was opened on, or chosen last, or the demo's.

    >>> shop_folder("no such shop")
    Traceback (most recent call last):
    pricelab.shop.errors.PricelabError: There is no folder "no such shop". Name the folder that \
holds your shop.csv, or copy data/harbour-caps to start one.
    """
    named = named or os.environ.get(SHOP_VARIABLE)
    folder = Path(named) if named else opened_last() or DEMO_SHOP
    if named and not folder.is_dir() and folder.name == str(named):
        folder = next((f for f in [shops_folder() / folder] if f.is_dir()), folder)
    if folder.is_dir():
        return folder.resolve()
    if named:
        raise PricelabError(
            f'There is no folder "{folder}". Name the folder that holds your shop.csv, '
            f"or copy {DEMO_SHOP.relative_to(ROOT).as_posix()} to start one."
        )
    raise PricelabError(
        f'There is no folder "{shown(folder)}" any more, the shop that was chosen last. Put it '
        "back, or choose another in the notebook on your own shop."
    )


def opened_last() -> Path | None:
    """The folder of the shop that was chosen last, whether it is there or not; None without one."""
    try:
        said = (shops_folder() / OPENED).read_text("utf-8-sig").strip()
        return Path(os.path.normpath(shops_folder() / said)) if said else None
    except (OSError, ValueError):  # none was chosen, or what is there is no text
        return None


def is_demo(folder: Path) -> bool:
    """Whether a shop's folder is one of the invented shops that come with the workbook."""
    return Path(folder).resolve() in DEMO_SHOPS


def shown(folder: Path) -> str:
    """A shop's folder as it is told: from the clone on where it lies in it.

    >>> shown(DEMO_SHOP)
    'data/harbour-caps'
    """
    inside = Path(folder).is_relative_to(ROOT)
    return Path(folder).relative_to(ROOT).as_posix() if inside else str(folder)
