"""Opening the shop in hand: the panel that was asked for, or what to mend first."""

import os
from collections.abc import Callable

from pricelab.errors import PricelabError
from pricelab.files.faults import ShopFaults
from pricelab.files.shopfolder import ShopFolder, read_shop
from pricelab.folders import shop_folder
from pricelab.screens.html import paragraph, sentence, table
from pricelab.screens.panel import Panel, Shown


def opened(make: Callable[[ShopFolder], Panel], named: str | os.PathLike | None = None) -> Panel:
    """The panel on the shop that is named, or the one the workbook was opened on."""
    try:
        return make(read_shop(shop_folder(named)))
    except PricelabError as error:
        return FaultsPanel(error)


class FaultsPanel(Panel):
    """What is wrong with the shop's folder, by file, row and column, instead of a traceback."""

    def __init__(self, error: PricelabError):
        self.error, self.said = error, Shown()
        self.lay_out([[self.said]])

    def update(self) -> None:
        """Show the faults: all of them, each with where it is and how it is mended."""
        faults = self.error.faults if isinstance(self.error, ShopFaults) else ()
        if not faults:
            words = sentence(self.error)
            self.said.write(paragraph(words, "finding"), words)
            return
        title = f"{len(faults)} things in your shop's files need mending"
        if len(faults) == 1:
            title = "One thing in your shop's files needs mending"
        rows = [
            (
                fault.place.file, fault.place.row or "", fault.place.column or "",
                sentence(str(fault).removeprefix(f"{fault.place}: ")),
            )
            for fault in faults
        ]  # fmt: skip
        listed = table(("File", "Row", "Column", "What to mend"), rows, left=(0, 2, 3))
        after = "Mend them in your spreadsheet, save, and run this notebook again."
        self.said.write(
            paragraph(title, "finding") + listed + paragraph(after),
            "\n".join([f"{title}.", *map(str, faults), after]),
        )
