"""Opening the shop in hand: the panel that was asked for, or what to mend first."""

import os
from collections.abc import Callable
from functools import partial
from pathlib import Path

import ipywidgets as widgets

from pricelab.files.faults import ShopFaults
from pricelab.files.folders import is_demo, shop_folder
from pricelab.files.shop_folder import ShopFolder, read_shop
from pricelab.files.source import Folder
from pricelab.screens.html import paragraph, sentence, table
from pricelab.screens.panel import Panel, Shown
from pricelab.shop.errors import PricelabError

ASK_AGAIN = "Other notebooks that are open take it with the next thing you change in them."
"""How a notebook comes to the shop as it is now: see `Panel.follow`."""


def opened(make: Callable[[ShopFolder], Panel], named: str | os.PathLike | None = None) -> Panel:
    """The panel on the shop that is named, or the one the workbook was opened on."""
    path, read = Path(), tables_of(named)
    try:
        path = shop_folder(named)
        panel = make(read_shop(path))
    except PricelabError as error:
        panel = FaultsPanel(error, make)
    panel.opened_as = (path, make)
    panel.follow(partial(tables_of, named), read, partial(opened, make, named))
    return panel


def tables_of(named: str | os.PathLike | None = None) -> tuple:
    """The shop that is named, or chosen last, and when each of its tables was changed."""
    try:
        path = shop_folder(named)
        return path, Folder(path).changed
    except (PricelabError, OSError):
        return None, {}


def show_faults(part: Shown, error: PricelabError, one: str, many: str, after: str = "") -> None:
    """Show what is wrong; faults of a shop by file, row and column, and what to do after them.

    The title is `one` or, after how many there are, `many`.
    """
    if not isinstance(error, ShopFaults):
        part.say(sentence(error), "finding")
        return
    faults = error.faults
    title = one if len(faults) == 1 else f"{len(faults)} {many}"
    rows = [
        (
            fault.place.file,
            fault.place.row or "",
            fault.place.column or "",
            sentence(str(fault).removeprefix(f"{fault.place}: ")),
        )
        for fault in faults
    ]
    listed = table(("File", "Row", "Column", "What to mend"), rows, left=(0, 2, 3))
    part.write(
        paragraph(title, "finding") + listed + (paragraph(after) if after else ""),
        "\n".join(filter(None, [f"{title}.", *map(str, faults), after])),
    )


def check_own(folder: Path) -> None:
    """Refuse to save into a shop that is invented: it stays as it is."""
    if is_demo(folder):
        raise PricelabError(
            "Nothing was saved: this is an invented shop, which stays as it is. What you change "
            "here is a try-out. Start a shop of your own at the top of this page, and save there."
        )


class FaultsPanel(Panel):
    """What is wrong with the shop's folder, by file, row and column, instead of a traceback."""

    def __init__(self, error: PricelabError, make: Callable[[ShopFolder], Panel] | None = None):
        self.error, self.said, self._make = error, Shown(), make
        self.lay_out(self.said)

    def read(self, folder: ShopFolder) -> None:
        """Give way to the panel that was asked for, where nothing stands against it any more."""
        try:
            panel = self._make(folder)
        except PricelabError as error:
            self.error = error
            return
        panel.opened_as = self.opened_as
        self._on_screen[self.opened_as] = panel
        self.root.children = (panel.root,)

    def update(self) -> None:
        """Show the faults: all of them, each with where it is and how it is mended."""
        one = "One thing in your shop's files needs mending"
        after = (
            "Mend them in your spreadsheet or in notebook 7, then close this notebook and open it "
            "again."
        )
        many = "things in your shop's files need mending"
        show_faults(self.said, self.error, one, many, after)


class Followed(Panel):
    """A panel that is made anew, in its place, when another shop is opened."""

    def __init__(self, make: Callable[[], Panel]):
        self._make = make
        self.root = widgets.VBox()
        self.renew()

    def renew(self) -> None:
        """Make it on the shop that is open now."""
        self.panel = self._make()
        self.root.children = [self.panel.root]

    def html(self) -> str:
        """What is shown now."""
        return self.panel.html()

    def __str__(self):
        return str(self.panel)
