"""The owner's panel that says which shop is worked out, opens another, and starts one's own."""

import os
from collections.abc import Callable
from pathlib import Path

from pricelab.files.edits import EDITABLE, Edits
from pricelab.files.faults import ShopFaults
from pricelab.files.folders import (
    DEMO_SHOPS,
    SHOP_VARIABLE,
    is_demo,
    opened_last,
    shop_folder,
    shown,
)
from pricelab.files.marks import TO_REPLACE
from pricelab.files.new_shop import choose_shop, copy_shop, own_shops, start_shop
from pricelab.files.shop_folder import ShopFolder, read_shop
from pricelab.screens.controls import Choice, Press, SideBox, Tick, Typed, Words
from pricelab.screens.html import paragraph, sentence, table
from pricelab.screens.opening import ASK_AGAIN, FaultsPanel, Followed, opened
from pricelab.screens.panel import Panel, Shown
from pricelab.screens.table_view import NAMES
from pricelab.shop.errors import PricelabError
from pricelab.shop.figures import number
from pricelab.shop.money import minor_unit

ROWS, WHOLE = "rows", "whole"
GO_ON, START, OPEN = "go on", "start", "open"

_INCHES, _MILLIMETRES = DEMO_SHOPS
_CURRENCIES = {_INCHES: "USD", _MILLIMETRES: "EUR"}


class OwnShopPanel(Panel):
    """Which shop is open; others to open; and a new one, begun from rows of an invented shop."""

    def __init__(self):
        self._followers: list[Followed] = []
        self._demos = {demo: read_shop(demo).shop for demo in DEMO_SHOPS}
        self.steady = self.which, self.told, self.asked, self.news = [Shown() for _ in range(4)]
        wants = {"go on with it": GO_ON, "start a shop of my own": START, "open another": OPEN}
        self.want = SideBox("I want to", wants)
        self.shop = Choice("Shop", self._shops(), width="300px")
        self.open = Press("Open this shop", lambda: self._opened(self.shop.value))
        self.name = Words("Name of your shop", width="240px")
        self.name.widget.placeholder = "such as Corner Caps"
        begins = {"rows for what I do": ROWS, "a whole invented shop, to try out": WHOLE}
        self.begin = SideBox("Begin with", begins)
        units = {"inches": _INCHES, "millimetres": _MILLIMETRES}
        self.unit = Choice("Sizes in", units, width="130px")
        self.currency = Typed("Currency", _currency, "USD", width="80px")
        self.decimals = SideBox("Your spreadsheet writes", {"3.20": ".", "3,20": ","})
        methods = {key: m.name for demo in self._demos.values() for key, m in demo.methods.items()}
        self.methods = {key: Tick(name) for key, name in methods.items()}
        self.start = Press("Start it", self._start)
        self._unit = self.unit.value
        if opened_last() is None:
            self.want.set(START)
        self.lay_out(
            self.which,
            self.told,
            [self.want],
            self.news,
            [self.shop],
            [self.open],
            [self.name, self.begin],
            [self.unit, self.currency, self.decimals],
            self.asked,
            [*self.methods.values()],
            [self.start],
        )

    @property
    def folder(self) -> Path:
        """The folder of the shop that is open; raises `PricelabError` where it is gone."""
        return shop_folder()

    def following(self, make: Callable[[Path, Callable[[], None]], Panel]) -> Followed:
        """A panel on the folder of the shop that is open; it is handed what to do after saving."""

        def made() -> Panel:
            try:
                return make(self.folder, self.refresh)
            except PricelabError as error:
                return FaultsPanel(error)

        return self._follow(made)

    def opening(self, make: Callable[[ShopFolder], Panel]) -> Followed:
        """A panel on the shop that is open, or what to mend in it first."""
        return self._follow(lambda: opened(make))

    def _follow(self, make: Callable[[], Panel]) -> Followed:
        self._followers.append(Followed(make))
        return self._followers[-1]

    def update(self) -> None:
        """Say which shop is open; show the controls for what is wanted, and no others."""
        self._say_which()
        with self.quietly():
            self.shop.offer(self._shops())
            if self.unit.value != self._unit:  # the currency usual there, until it is typed
                self._unit = self.unit.value
                self.currency.set(_CURRENCIES[self._unit])
                self.decimals.set("," if self._unit == _MILLIMETRES else ".")
        starting, opening = self.want.value == START, self.want.value == OPEN
        lean, known = starting and self.begin.value == ROWS, self._demos[self.unit.value].methods
        for item in (self.shop, self.open):
            item.show(opening)
        for item in (self.name, self.begin, self.unit, self.start):
            item.show(starting)
        for item in (self.currency, self.decimals):
            item.show(lean)
        for key, tick in self.methods.items():
            tick.show(lean and key in known)
        self.asked.write(paragraph("What do you do?", "side") if lean else "")

    def _shops(self) -> dict[str, Path]:
        """The reader's own shops, and the invented ones."""
        demos = {
            f"{shop.name}, invented ({'inches' if shop.unit == 'in' else 'millimetres'})": demo
            for demo, shop in self._demos.items()
        }
        return {folder.name: folder for folder in own_shops()} | demos

    def _say_which(self) -> None:
        """Which shop is open, and how much of it is the reader's own by now."""
        try:
            folder = self.folder
        except PricelabError as error:
            self.which.say(sentence(error), "finding")
            self.told.write("")
            return
        if is_demo(folder):
            finding = f"The shop worked out here is {self._demos[folder].name}, which is invented"
            said = (
                "It is there to look at and to try things out on, and stays as it is. Start a "
                "shop of your own: the whole workbook then works on it."
            )
            self.told.write("")
        else:
            finding = f"The shop worked out here is yours: {folder.name}"
            said = self._say_own(folder)
        self.which.write(paragraph(finding, "finding") + paragraph(said), f"{finding}.\n{said}")

    def _say_own(self, folder: Path) -> str:
        """Where it lies, and which rows of it are still to be replaced, table by table."""
        edits = Edits.of(folder)
        rows = [
            (f"{NAMES[name]} ({name}.csv)", number(len(edits.rows(name))), edits.count_marked(name))
            for name in EDITABLE
            if name in edits.sheets
        ]
        said = [f"Its files are in {shown(folder)}, which your spreadsheet opens as well."]
        faulty = False
        try:
            rows += [
                (f"A supplier's grid ({warning.place.file})", "", 1)
                for warning in read_shop(folder).warnings
                if warning.place.file.startswith("grids/") and TO_REPLACE in warning.found
            ]
        except ShopFaults as error:
            faulty, many = True, len(error.faults)
            things = f"{many} things" if many > 1 else "One thing"
            said.append(f"{things} in them must be mended before anything can be worked out.")
        listed = [(what, many, number(left) if left else "none") for what, many, left in rows]
        if not any(left for *_, left in rows):
            listed = []
        self.told.write(
            table(("Table", "Rows", "Still to be replaced"), listed) if listed else "",
            "\n".join(f"{what}: {left} to be replaced" for what, _, left in listed),
        )
        if listed:
            said.append(
                "Figures taken over from an invented shop are marked until you replace them."
            )
        elif not faulty:
            said.append("No row in them is marked as left over from an invented shop.")
        return " ".join(said)

    def _start(self) -> str:
        """Start a folder and open it."""
        if self.currency.words:
            raise PricelabError(f"Nothing was started. {self.currency.words}")
        name, like = self.name.value, self.unit.value
        if self.begin.value == WHOLE:
            folder = copy_shop(name, like)
        else:
            known = self._demos[like].methods
            wanted = [key for key, tick in self.methods.items() if tick.value and key in known]
            folder = start_shop(name, like, self.currency.value, wanted, mark=self.decimals.value)
        return self._opened(folder, f"Started {shown(folder)}. ")

    def _opened(self, folder: Path, started: str = "") -> str:
        """Choose the shop and show it in every panel that follows; the news stay in sight."""
        choose_shop(folder)
        with self.quietly():
            self.want.set(GO_ON)
            self.name.set("")
            self.shop.offer(self._shops())
            self.shop.set(folder)
        fixed = os.environ.get(SHOP_VARIABLE)
        if fixed:
            news = (
                f"{folder.name} is opened next time. Until this workbook is stopped it stays on "
                f"{shown(Path(fixed))}, which it was started with by --shop."
            )
        else:
            news = f"{folder.name} is open from now on. {ASK_AGAIN}"
            for follower in self._followers:
                follower.renew()
        self.news.say(f"{started}{news}")
        self.refresh()
        return ""


def _currency(said: str) -> str:
    code = said.strip().upper()
    minor_unit(code)
    return code
