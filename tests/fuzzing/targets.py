"""What the inputs are fed to: every reader of the package, and every box of every panel."""

import inspect
import os
import pkgutil
import shutil
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from importlib import import_module
from pathlib import Path
from random import Random

from cornershop import CORNER_SHOP
from fuzzing import inputs

from pricelab.files.cells import BadCell
from pricelab.files.folders import SHOPS_VARIABLE
from pricelab.shop.errors import PricelabError

QUOTED = """\
quote,date,method,blank,width,height,quantity,order,price each,set-up charged,won
Q1,2026-05-19,leather,twill,2 1/2,2,24,first,20.75,70,yes
Q2,2026-05-20,flat,mesh,3,2,48,repeat,15.00,0,no
"""
FILES = {**CORNER_SHOP, "quotes.csv": QUOTED}
FILES["methods.csv"] = "".join(
    f"{line},{stitches}\n"
    for line, stitches in zip(
        CORNER_SHOP["methods.csv"].splitlines(),
        ("stitches per square", "", "", "1800"),
        strict=True,
    )
)
"""The corner shop with everything a panel looks at: quotes, and stitches to estimate by."""

REFUSED = (PricelabError, BadCell)
"""What a reader says, in a sentence, to what it cannot use."""


@dataclass(frozen=True)
class Target:
    """A reader: what ``ready(shop, input)`` gives may raise one of `REFUSED` and nothing else.

    `shop` is a folder of its own, which `ready` puts in order; only what it gives is watched.
    `share` is out of the shares of all targets.
    """

    name: str
    share: int
    make: Callable[[Random], object]
    ready: Callable[[Path, object], Callable[[], object]]


def write_shop(folder: Path) -> None:
    """The small shop, sound, and nothing else."""
    shutil.rmtree(folder, ignore_errors=True)
    for file, content in FILES.items():
        path = folder / file
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(content, "utf-8")


# ---- single texts ---------------------------------------------------------------------


def _text_readers() -> dict[str, Callable[[str], object]]:
    """Every reader of one text, with the decimal marks, units and words it is used with."""
    from pricelab.app import cli
    from pricelab.files import cells, printed, slips
    from pricelab.files.intake import pasted
    from pricelab.screens import reading
    from pricelab.shop import units

    marked = [
        cells.amount,
        cells.more_than_nothing,
        cells.count,
        cells.count_or_none,
        cells.share,
        cells.any_share,
        cells.some_share,
        cells.level_of_service,
        cells.amount_or_share,
        cells.day,
        cells.yes_or_no,
        cells.length_in("in"),
        cells.distance_in("mm"),
        cells.known(["leather", "vinyl"], "a method", "methods.csv"),
        printed.parse_band,
        printed.parse_break,
        lambda text, mark: slips.mend_of_figure(text, mark, "x"),
    ]
    readers = {
        "length": lambda text: units.parse_length(text, "mm"),
        "pieces": reading.pieces(),
        "price": reading.price(2),
        "stitches": reading.stitches,
        "sizes": reading.rising("sizes", "2, 3", reading.size("in")),
        "areas": reading.rising("sizes", "2, 3", reading.size("sq in")),
        "quantities": reading.rising("quantities", "6, 12", reading.pieces()),
        "headings": reading.headings,
        "day": reading.cell(cells.day),
        "printed break": pasted.read_break,
        "printed band": lambda text: pasted.read_band(text, "."),
        "printed price": lambda text: pasted.read_price(text, ","),
    }
    for at, read in enumerate(marked):
        for mark in ".,":
            readers[f"cell {at} {mark}"] = lambda text, read=read, mark=mark: read(
                text.strip(), mark
            )
    readers |= {
        f"word {at}": _word(read)
        for at, read in enumerate((cli.tiers, cli.sizes, cli.day, cli.count))
    }
    return readers


def _word(read):
    import argparse

    def feed(text):
        try:
            read(text)
        except argparse.ArgumentTypeError as refused:
            raise PricelabError(str(refused)) from None

    return feed


def _each(*calls: Callable[[], object]) -> Callable[[], None]:
    """All of `calls`, whichever refuse."""

    def feed():
        for call in calls:
            with suppress(*REFUSED):
                call()

    return feed


def _read_text(_: Path, text: str):
    """Every reader has its say on the same text."""
    return _each(*(partial(read, text) for read in TEXT_READERS.values()))


TEXT_READERS = _text_readers()


# ---- sheets ---------------------------------------------------------------------------

SHEETS = sorted((Path(__file__).parents[1] / "sheets").glob("*.[tc][xs][tv]"))


def _sheet(dice: Random) -> str:
    sound = dice.choice(SHEETS).read_text("utf-8")
    kind = dice.random()
    if kind < 0.5:
        return inputs.table(dice, sound, dice.choice(",\t; "))
    if kind < 0.8:
        return inputs.damaged(dice, sound.encode()).decode("utf-8", "replace")
    if kind < 0.95:
        sign = dice.choice(("\t", ",", "  ", " ", "|"))
        return "\n".join(
            sign.join(inputs.text(dice) for _ in range(dice.randint(1, 6)))
            for _ in range(dice.randint(1, 12))
        )
    said = inputs.text(dice) + dice.choice((" ", "\t", "\n", ","))
    return said * min(dice.choice((300, 3000)), 300_000 // len(said) + 1)


def _read_pasted(_: Path, text: str):
    from pricelab.files.intake.reading import read_pasted
    from pricelab.files.save_grid import NewGrid
    from pricelab.shop.sizes import Measure

    def feed():
        for one in read_pasted(text).readings:
            str(one.doubts)
            NewGrid(one.cells, one.measure or Measure.AREA, "in", one.per, one.pack).check()

    return feed


def _sheet_file(dice: Random) -> tuple[str, bytes]:
    sound = dice.choice((FILES["grids/leather.csv"], FILES["price_list.csv"]))
    if dice.random() < 0.6:
        name = dice.choice(("sheet.xlsx", "SHEET.XLSX", inputs.text(dice) + ".xlsx"))
        return name, inputs.xlsx_file(dice, sound)
    name = dice.choice(("sheet.csv", "sheet.txt", inputs.text(dice)))
    return name, inputs.csv_file(dice, dice.choice(SHEETS).read_text("utf-8"))


def _read_sheet_file(_: Path, file: tuple[str, bytes]):
    from pricelab.files.intake.reading import read_sheet_file

    return partial(read_sheet_file, *file)


# ---- the shop's folder ----------------------------------------------------------------


def _folder_with(file: str, make: Callable[[Random], bytes], suffix: str) -> Target:
    def ready(shop: Path, content: bytes):
        from pricelab.files.shop_folder import read_shop

        path = shop / file
        path.unlink(missing_ok=True)  # nothing else in the folder changes
        path.with_suffix(suffix).write_bytes(content)
        return partial(read_shop, shop)

    share = 9 if suffix == ".csv" else 3
    return Target(f"folder, {Path(file).stem}{suffix}", share, make, ready)


def _folder_targets() -> Iterator[Target]:
    for file, sound in FILES.items():
        yield _folder_with(file, lambda dice, s=sound: inputs.csv_file(dice, s), ".csv")
        yield _folder_with(file, lambda dice, s=sound: inputs.xlsx_file(dice, s), ".xlsx")


def _read_grid(shop: Path, content: bytes):
    from pricelab.files.grid_file import read_grid

    (shop / "new.csv").write_bytes(content)
    return partial(read_grid, shop / "new.csv")


# ---- the book of records --------------------------------------------------------------


def _book(shop: Path):
    from pricelab.client.offers import OfferLine
    from pricelab.files.records.book import Records
    from pricelab.files.shop_folder import read_shop
    from pricelab.jobs.quotes import Quote

    folder, records = read_shop(shop), Records(shop)
    if not records.path.exists():
        from datetime import date

        records.add_jobs(folder.jobs)
        records.remember_headings({"Order no": "job"})
        records.save_quote(
            Quote(
                "Q7",
                date(2026, 11, 1),
                date(2026, 12, 1),
                "Ann",
                "leather",
                2.0,
                2.0,
                "in",
                True,
                (OfferLine("twill", "", 24, 11.0, 264.0),),
                0.0,
                264.0,
                0.0,
                (),
                {"operator": 10.0},
            )
        )
    return folder, records


def _sound_book(shop: Path) -> bytes:
    """The bytes of a sound book, made once in each folder."""
    kept = shop / "sound.bytes"
    if not kept.exists():
        _, records = _book(shop)
        import sqlite3

        book = sqlite3.connect(records.path)
        book.execute("PRAGMA journal_mode = DELETE")
        book.close()
        kept.write_bytes(records.path.read_bytes())
    return kept.read_bytes()


_WRONG = (
    "UPDATE jobs SET date = ?",
    "UPDATE jobs SET quantity = ?",
    "UPDATE jobs SET charged = ?",
    "UPDATE jobs SET method = ?",
    'UPDATE jobs SET "attended minutes" = ?',
    "UPDATE jobs SET width = ?",
    "UPDATE jobs SET quote = ?",
    "UPDATE quotes SET made = ?",
    "UPDATE quotes SET minutes = ?",
    "UPDATE quotes SET payable = ?",
    "UPDATE quotes SET status = ?",
    "UPDATE quotes SET client = ?",
    "UPDATE quotes SET number = ?",
    "UPDATE quote_parts SET pieces = ?",
    "UPDATE quotes SET unit = ?",
    "DELETE FROM quote_parts WHERE ? IS NOT NULL",
    "UPDATE headings SET heading = ?",
    "UPDATE quotes SET decided = ?",
    'UPDATE headings SET "column" = ?',
    "UPDATE quotes SET method = ?",
    "UPDATE quote_parts SET blank = ?",
    "UPDATE quotes SET width = ?",
    "UPDATE quote_parts SET colour = ?",
    "UPDATE quote_parts SET amount = ?",
)
_AS_VIEW = 'DROP TABLE headings; CREATE VIEW headings AS {} AS heading, 1 AS "column"'
_SCHEMES = (
    "DROP TABLE quotes",
    "DROP TABLE jobs",
    *(f"PRAGMA user_version = {number}" for number in (0, 1, -5, 99)),
    "ALTER TABLE jobs RENAME COLUMN client TO x",
    _AS_VIEW.format(
        "WITH RECURSIVE c(x) AS (SELECT 1 UNION ALL SELECT x + 1 FROM c) "
        "SELECT (SELECT max(x) FROM c)"
    ),
    _AS_VIEW.format("SELECT load_extension('x')"),
    _AS_VIEW.format("SELECT writefile('x', 'y')"),
    "CREATE TRIGGER t AFTER INSERT ON jobs BEGIN DELETE FROM quotes; END",
)


def _records_input(dice: Random):
    kind = dice.random()
    if kind < 0.5:
        return "bytes", dice.randrange(2**32)
    if kind < 0.9:
        value = dice.choice((inputs.text(dice), inputs.json_value(dice), dice.randbytes(9)))
        if isinstance(value, list | dict | bool) or (isinstance(value, int) and abs(value) > 2**60):
            value = None
        return dice.choice(_WRONG), value
    if kind < 0.97:
        return dice.choice(_SCHEMES), None
    return "file", dice.randbytes(dice.choice((0, 16, 4096)))


def _read_records(shop: Path, change: tuple):
    import sqlite3

    from pricelab.files.records.as_csv import export_csv
    from pricelab.files.records.book import Records
    from pricelab.files.records.happened import finished_jobs, quotes_asked, sold_on

    how, value = change
    sound, records = _sound_book(shop), Records(shop)
    for left in shop.glob("records.sqlite*"):
        left.unlink()
    if how == "bytes":
        records.path.write_bytes(inputs.damaged(Random(value), sound))
    elif how == "file":
        records.path.write_bytes(value)
    else:
        records.path.write_bytes(sound)
        book = sqlite3.connect(records.path)
        try:
            if value is None and "?" not in how:
                book.executescript(how)
            else:
                book.execute("PRAGMA ignore_check_constraints = ON")
                said = (
                    value.encode("utf-8", "replace").decode() if isinstance(value, str) else value
                )
                book.execute(how, (said,))
            book.commit()
        except (sqlite3.Error, OverflowError):
            return _each()  # SQLite itself does not keep it
        finally:
            book.close()
    from pricelab.files.shop_folder import read_shop
    from pricelab.jobs.judging import judge

    folder = read_shop(shop)
    return _each(
        records.quotes,
        records.headings,
        lambda: records.quote("Q7"),
        lambda: quotes_asked(folder),
        lambda: export_csv(shop),
        lambda: judge(folder.shop, finished_jobs(folder), folder.price_lists, sold_on(folder)),
        lambda: records.add_jobs(folder.jobs),
    )


def _read_all(shop: Path) -> None:
    """What was taken in can be read again."""
    from pricelab.files.records.happened import finished_jobs, sold_on
    from pricelab.files.shop_folder import read_shop
    from pricelab.jobs.judging import judge

    folder = read_shop(shop)
    judge(folder.shop, finished_jobs(folder), folder.price_lists, sold_on(folder))


OTHER_JOBS = """\
Order no,Day,Who,How,On,Wide,High,Qty,Kind,Each,Charged,Phone
J9,2026-05-19,Old Lantern,leather,twill,2 1/2,2,24,first,20.75,568.00,1
"""
OTHER_HEADINGS = {
    "Order no": "job",
    "Day": "date",
    "Who": "client",
    "How": "method",
    "On": "blank",
    "Wide": "width",
    "High": "height",
    "Qty": "quantity",
    "Kind": "order",
    "Each": "price each",
    "Charged": "charged",
    "Phone": "note",
}


def _other_jobs(dice: Random):
    if dice.random() < 0.3:
        return "old.xlsx", inputs.xlsx_file(dice, OTHER_JOBS), OTHER_HEADINGS
    headings = dict(OTHER_HEADINGS)
    if dice.random() < 0.3:
        headings[inputs.text(dice)] = dice.choice(("job", "note", inputs.text(dice)))
    name = dice.choice(("old.csv", "old.csv", "old.csv", inputs.text(dice)))
    return name, inputs.csv_file(dice, OTHER_JOBS), headings


def _import_jobs(shop: Path, given: tuple):
    from pricelab.files.records.happened import import_jobs

    name, content, headings = given
    folder, records = _book(shop)
    (shop / ("old.xlsx" if name == "old.xlsx" else "old.csv")).write_bytes(content)
    for left in shop.glob("records.sqlite*"):
        left.unlink()

    def feed():
        import_jobs(records, folder.shop, name, headings)
        _read_all(shop)

    return feed


# ---- orders across the counter --------------------------------------------------------

ORDER = b"""{"number": "2026-11-25-01", "made": "2026-11-25", "client": "Ann",
"wanted": {"method": "leather", "parts": [{"blank": "twill", "pieces": 24, "colour": ""}],
"width": "5/2 in", "height": "2 in", "first": true},
"offer": OFFER}"""


def _order(shop: Path) -> bytes:
    """An order as the counter writes it."""
    from datetime import date

    from pricelab.client.catalogue import counter_of
    from pricelab.client.offers import Part, Wanted, make_offer
    from pricelab.files.order_file import CounterOrder, order_file
    from pricelab.files.shop_folder import read_shop
    from pricelab.shop.units import parse_length

    counter = counter_of(read_shop(shop))
    wanted = Wanted(
        "leather",
        (Part("twill", 24, "red"),),
        parse_length("2", "in"),
        parse_length("2", "in"),
        True,
    )
    order = CounterOrder(
        "2026-11-25-01", date(2026, 11, 25), "Ann", wanted, make_offer(counter, wanted)
    )
    return order_file(order)


def _take_order(shop: Path, seed: int):
    from datetime import date

    from pricelab.files.records.happened import quotes_asked, take_quotes
    from pricelab.files.shop_folder import read_shop

    kept = shop / "order.bytes"
    if not kept.exists():
        kept.write_bytes(_order(shop))
    for left in shop.glob("records.sqlite*"):
        left.unlink()
    path = shop / "quotes" / "2026-11-25-01" / "order-2026-11-25-01.json"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(inputs.json_file(Random(seed), kept.read_bytes()))
    folder = read_shop(shop)
    return _each(lambda: take_quotes(folder, date(2026, 11, 26)), lambda: quotes_asked(folder))


# ---- lists that are there, handed on --------------------------------------------------


def _save_list(shop: Path, content: bytes):
    """A list is put into a file as odd as it may be and still be read."""
    from pricelab.files.save_list import save_list
    from pricelab.files.shop_folder import read_shop

    path = shop / "price_list.csv"
    path.write_bytes(content)

    def feed():
        folder = read_shop(shop)
        if folder.price_lists:
            save_list(folder, folder.price_lists[0])
            read_shop(shop)

    return feed


NAMED = ("name", "notice", "conditions", "tax name")


def _papers(shop: Path, given: dict[str, str]):
    """Everything that is handed over, for a shop whose every name is anything."""
    from dataclasses import replace
    from datetime import date

    from pricelab.files.shop_folder import read_shop

    on, folder = date(2026, 11, 25), read_shop(shop)
    named = {
        key: replace(method, name=given["method"], care=given["care"])
        for key, method in folder.shop.methods.items()
    }
    blanks = {key: replace(blank, name=given["blank"]) for key, blank in folder.shop.blanks.items()}
    changed = replace(
        folder.shop,
        methods=named,
        blanks=blanks,
        name=given["name"],
        notice=given["notice"],
        conditions=given["conditions"],
    )
    return partial(_make_papers, folder, changed, given, on)


def _make_papers(folder, changed, given: dict[str, str], on) -> None:
    from dataclasses import replace

    from pricelab.client.catalogue import counter_of
    from pricelab.client.offers import Part, Wanted, make_offer
    from pricelab.lists.audit import audit
    from pricelab.lists.defaults import weights_of
    from pricelab.paper.client_copy import ClientCopy
    from pricelab.paper.list_csv import list_csv
    from pricelab.paper.list_pdf import list_pdf
    from pricelab.paper.list_xlsx import list_xlsx
    from pricelab.paper.quote import quote, quote_files
    from pricelab.paper.workings import workings_xlsx
    from pricelab.shop.units import parse_length

    listed = folder.price_lists[0]
    copy = ClientCopy.of(changed, listed, on)
    for make in (list_csv, list_pdf, list_xlsx):
        make(copy)
    workings_xlsx(changed, audit(changed, listed, weights_of(folder, listed)), on)
    counter = counter_of(replace(folder, shop=changed))
    side = parse_length("2", "in")
    wanted = Wanted("leather", (Part("twill", 24, given["colour"]),), side, side, True)
    offer = make_offer(counter, wanted)
    quote_files(quote(counter, wanted, offer, on, client=given["client"], number="1"))


def _names(dice: Random) -> dict[str, str]:
    fields = ("name", "notice", "conditions", "method", "care", "blank", "colour", "client")
    return {field: inputs.text(dice)[:3000].encode("utf-8", "replace").decode() for field in fields}


# ---- panels ---------------------------------------------------------------------------


def panel_kinds() -> dict[str, type]:
    """Every panel that is shown, wherever in `pricelab.screens` it stands."""
    import pricelab.screens
    from pricelab.screens.panel import Panel

    found = {}
    for module in pkgutil.iter_modules(pricelab.screens.__path__):
        for name, kind in vars(import_module(f"pricelab.screens.{module.name}")).items():
            ours = inspect.isclass(kind) and issubclass(kind, Panel)
            if ours and kind.update is not Panel.update:  # others only hold a panel of these
                found[name] = kind
    return found


def make_panel(kind: type, shop: Path):
    """A panel on the shop; what its parameters are called for is told by their kinds."""
    from pricelab.client.catalogue import Counter, counter_of
    from pricelab.files.shop_folder import ShopFolder, read_shop

    given = []
    for name, wanted in inspect.signature(kind).parameters.items():
        if wanted.default is not inspect.Parameter.empty:
            continue
        if wanted.annotation is ShopFolder:
            given.append(read_shop(shop))
        elif wanted.annotation is Counter:
            given.append(counter_of(read_shop(shop)))
        elif wanted.annotation is Path:
            given.append(shop / "quotes" if name == "quotes" else shop)
        elif wanted.annotation is PricelabError:
            given.append(PricelabError("Found nothing, expected something."))
        else:
            raise TypeError(f"make_panel does not know what {kind.__name__} takes for {name}")
    return kind(*given)


def widgets_of(root) -> list:
    """Every widget under a panel's root, in the order in which they stand."""
    found, left = [], [root]
    while left:
        widget = left.pop(0)
        if widget not in found:
            found.append(widget)
            left[:0] = getattr(widget, "children", ())
    return found


def _state(dice: Random, kind: str, sound: str) -> dict:
    """What a browser, or somebody in its place, may send for a widget of a kind."""
    if kind in ("Text", "Textarea", "Combobox"):
        if kind == "Textarea" and dice.random() < 0.7:
            return {"value": _sheet(dice)}
        if dice.random() < 0.3:
            return {"value": inputs.garbled(dice, sound)}
        return {"value": inputs.text(dice)}
    if kind.startswith(("Int", "BoundedInt")):
        return {
            "value": dice.choice(
                (0, 1, -1, 24, 5000, 2**31, 2**63, -(10**30), dice.randint(1, 400))
            )
        }
    if kind.startswith(("Float", "BoundedFloat")):
        figures = (0, 0.5, -1.5, 89.99, 1e308, -1e-308, 5e-324, float("nan"), float("inf"), 10**30)
        return {"value": dice.choice((dice.uniform(0, 90), *figures))}
    if kind in ("Dropdown", "ToggleButtons", "Select", "RadioButtons"):
        return {"index": dice.choice((0, 1, 2, 3, None, -1, 10**6))}
    if kind == "FileUpload":
        name, content = _sheet_file(dice)
        about = {"name": name, "type": "", "size": len(content), "last_modified": 0}
        return {"value": [about | {"content": memoryview(content)}]}
    return {"value": dice.random() < 0.5}


_TAKES = (
    "Text",
    "Textarea",
    "Combobox",
    "IntText",
    "FloatText",
    "IntSlider",
    "FloatSlider",
    "Checkbox",
    "Dropdown",
    "ToggleButtons",
    "Select",
    "FileUpload",
    "BoundedIntText",
    "BoundedFloatText",
    "RadioButtons",
)
_WRITTEN = ("Text", "Textarea", "Combobox", "FileUpload")


class PanelTarget:
    """A panel that is filled in by hostile hands, control after control, and pressed."""

    def __init__(self, name: str, kind: type):
        self.name, self.kind = name, kind
        self.panel, self.fed = None, 0

    def ready(self, shop: Path, seed: int):
        """One change of one control, or one press; most changes are taken back after it."""
        if self.panel is None or self.fed % 100 == 0:
            write_shop(shop)
            _book(shop)
            os.environ[SHOPS_VARIABLE] = str(shop / "shops")
            self.panel = make_panel(self.kind, shop)
        self.fed += 1
        dice, found = Random(seed), widgets_of(self.panel.root)
        takes = [
            w for w in found if type(w).__name__ in _TAKES and not getattr(w, "disabled", False)
        ]
        written = [w for w in takes if type(w).__name__ in _WRITTEN]
        buttons = [
            w for w in found if type(w).__name__ == "Button" and w.description not in LONG_WORK
        ]
        if not takes and not buttons:
            return _each()
        if buttons and (dice.random() < 0.15 or not takes):
            return partial(self._watched, dice.choice(buttons).click)
        widget = dice.choice(written if written and dice.random() < 0.75 else takes)
        name, before = type(widget).__name__, widget.get_state()
        sound = getattr(widget, "value", "")
        state = _state(dice, name, sound if isinstance(sound, str) else "")
        back = {key: before[key] for key in state} if dice.random() < 0.95 else {}
        return partial(self._watched, partial(_send, widget, state), partial(_send, widget, back))

    def _watched(self, *steps) -> None:
        from pricelab.screens.controls import UNFORESEEN

        for step in steps:
            step()
            if self.panel.mistake is not None:
                mistake, self.panel = self.panel.mistake, None
                raise mistake
            found = widgets_of(self.panel.root)
            said = "".join(w.value for w in found if type(w).__name__ == "HTML") + str(self.panel)
            if UNFORESEEN in said:
                self.panel = None
                raise AssertionError(UNFORESEEN)


def _send(widget, state: dict) -> None:
    """As a message from the browser; what the widget itself does not take is none."""
    from traitlets import TraitError

    with suppress(TraitError):
        widget.set_state(state)


LONG_WORK = ("Stop",)


def _panel_targets() -> Iterator[Target]:
    for name, kind in panel_kinds().items():
        one = PanelTarget(name, kind)
        yield Target(f"panel, {name}", 6, lambda dice: dice.randrange(2**32), one.ready)


# ---- all of them ----------------------------------------------------------------------


def targets() -> list[Target]:
    """Every target, the quickest first."""
    grid = FILES["grids/leather.csv"]
    lists = FILES["price_list.csv"]
    return [
        Target("texts", 550, inputs.text, _read_text),
        Target("pasted sheet", 110, _sheet, _read_pasted),
        Target("sheet file", 20, _sheet_file, _read_sheet_file),
        *_folder_targets(),
        Target("grid file", 25, lambda dice: inputs.csv_file(dice, grid), _read_grid),
        Target("records, damaged", 15, _records_input, _read_records),
        Target("jobs of other spreadsheets", 15, _other_jobs, _import_jobs),
        Target("orders of the counter", 12, lambda dice: dice.randrange(2**32), _take_order),
        Target("list saved", 12, lambda dice: inputs.csv_file(dice, lists), _save_list),
        Target("papers", 3, _names, _papers),
        *_panel_targets(),
    ]
