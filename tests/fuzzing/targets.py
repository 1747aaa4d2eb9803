"""What the inputs are fed to: every reader of the package, and every box of every panel."""

import argparse
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing, suppress
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from pathlib import Path
from random import Random

from cornershop import CORNER_SHOP
from fuzzing import inputs, panels

from pricelab.app import cli
from pricelab.client.catalogue import catalogue_of
from pricelab.client.offers import OfferLine, Part, Wanted, make_offer
from pricelab.files import cells, printed, slips
from pricelab.files.grid_file import read_grid
from pricelab.files.intake import pasted
from pricelab.files.intake.reading import read_pasted, read_sheet_file
from pricelab.files.order_file import CounterOrder, order_file
from pricelab.files.records.book import Records
from pricelab.files.records.happened import finished_jobs, quotes_asked, sold_on, take_quotes
from pricelab.files.save_grid import NewGrid
from pricelab.files.save_list import save_list
from pricelab.files.shop_folder import read_shop
from pricelab.jobs.judging import judge
from pricelab.jobs.quotes import Quote
from pricelab.lists.audit import audit
from pricelab.lists.typical_quantity import weights_of
from pricelab.paper.client_copy import ClientCopy
from pricelab.paper.list_csv import list_csv
from pricelab.paper.list_pdf import list_pdf
from pricelab.paper.list_xlsx import list_xlsx
from pricelab.paper.quote import quote, quote_files
from pricelab.paper.workings import workings_xlsx
from pricelab.screens import reading
from pricelab.shop import units
from pricelab.shop.errors import PricelabError
from pricelab.shop.sizes import Measure

QUOTED = """\
quote,date,method,blank,width,height,quantity,order,price each,set-up charged,won
Q1,2026-05-19,leather,twill,2 1/2,2,24,first,20.75,70,yes
Q2,2026-05-20,flat,mesh,3,2,48,repeat,15.00,0,no
"""
_METHODS = zip(
    CORNER_SHOP["methods.csv"].splitlines(), ("stitches per square", "", "", "1800"), strict=True
)
FILES = {
    **CORNER_SHOP,
    "quotes.csv": QUOTED,
    "methods.csv": "".join(f"{line},{stitches}\n" for line, stitches in _METHODS),
}
"""The corner shop with everything a panel looks at: quotes, and stitches to estimate by."""

REFUSED = (PricelabError, cells.BadCell, argparse.ArgumentTypeError)
"""What a reader says, in a sentence, to what it cannot use."""

TODAY = date(2026, 11, 25)


@dataclass(frozen=True)
class Target:
    """A reader: what ``ready(shop, dice)`` gives may raise one of `REFUSED` and nothing else.

    `shop` is a folder of its own, which `ready` puts in order; only what it gives is watched.
    `share` is out of the shares of all targets.
    """

    name: str
    share: int
    ready: Callable[[Path, Random], partial]


def write_shop(folder: Path) -> None:
    """The small shop, sound, and nothing else."""
    shutil.rmtree(folder, ignore_errors=True)
    for file, content in FILES.items():
        path = folder / file
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(content, "utf-8")


def each(*calls: Callable[[], object]) -> None:
    """All of `calls`, whichever refuse."""
    for call in calls:
        with suppress(*REFUSED):
            call()


# ---- single texts and sheets ----------------------------------------------------------

CELLS = (
    *(cells.amount, cells.more_than_nothing, cells.count, cells.count_or_none, cells.share),
    *(cells.any_share, cells.some_share, cells.level_of_service, cells.amount_or_share),
    *(cells.day, cells.yes_or_no, cells.length_in("in"), cells.distance_in("mm")),
    cells.known(["leather", "vinyl"], "a method", "methods.csv"),
    *(printed.parse_band, printed.parse_break, pasted.read_band, pasted.read_price),
    lambda text, mark: slips.mend_of_figure(text, mark, "x"),
)
TEXTS = (
    lambda text: units.parse_length(text, "mm"),
    *(reading.pieces(), reading.price(2), reading.stitches, reading.headings),
    *(reading.rising("sizes", "2, 3", reading.size(unit)) for unit in ("in", "sq in")),
    *(reading.rising("quantities", "6, 12", reading.pieces()), reading.cell(cells.day)),
    *(pasted.read_break, cli.tiers, cli.sizes, cli.day, cli.count),
)
"""Every reader of a cell, which is told the decimal mark too, and of what is typed."""


def read_text(text: str) -> None:
    """Every reader has its say on the same text."""
    each(*(partial(read, text.strip(), mark) for read in CELLS for mark in ".,"))
    each(*(partial(read, text) for read in TEXTS))


def _pasted(text: str) -> None:
    for one in read_pasted(text).readings:
        str(one.doubts)
        NewGrid(one.cells, one.measure or Measure.AREA, "in", one.per, one.pack).check()


# ---- the shop's folder ----------------------------------------------------------------


def _folder_with(file: str, suffix: str, shop: Path, dice: Random) -> partial:
    make = inputs.csv_file if suffix == ".csv" else inputs.xlsx_file
    write_shop(shop)
    (shop / file).unlink()
    (shop / file).with_suffix(suffix).write_bytes(make(dice, FILES[file]))
    return partial(read_shop, shop)


def _grid(shop: Path, dice: Random) -> partial:
    (shop / "new.csv").write_bytes(inputs.csv_file(dice, FILES["grids/leather.csv"]))
    return partial(read_grid, shop / "new.csv")


def _list_saved(shop: Path, dice: Random) -> partial:
    """A list is put into a file as odd as it may be and still be read."""
    write_shop(shop)
    (shop / "price_list.csv").write_bytes(inputs.csv_file(dice, FILES["price_list.csv"]))

    def feed():
        folder = read_shop(shop)
        for one in folder.price_lists[:1]:
            save_list(folder, one)
            read_shop(shop)

    return partial(feed)


# ---- the book of records, and orders across the counter -------------------------------

_ASKED = ("Q7", TODAY, date(2026, 12, 25), "Ann", "leather", 2.0, 2.0, "in", True)
_LINES = ((OfferLine("twill", "", 24, 11.0, 264.0),), 0.0, 264.0, 0.0, (), {"operator": 10.0})
QUOTE = Quote(*_ASKED, *_LINES)

_AS_VIEW = "DROP TABLE quotes; CREATE VIEW quotes AS {} AS number"
_ENDLESS = "WITH RECURSIVE c(x) AS (SELECT 1 UNION ALL SELECT x + 1 FROM c) SELECT max(x) FROM c"
_SCHEMES = (
    *("DROP TABLE quotes", "DROP TABLE jobs", "ALTER TABLE jobs RENAME COLUMN client TO x"),
    *(f"PRAGMA user_version = {number}" for number in (0, 1, -5, 99)),
    _AS_VIEW.format(f"SELECT ({_ENDLESS})"),
    _AS_VIEW.format("SELECT load_extension('x')"),
    _AS_VIEW.format("SELECT writefile('x', 'y')"),
    "CREATE TRIGGER t AFTER INSERT ON jobs BEGIN DELETE FROM quotes; END",
)


def _book(shop: Path, dice: Random) -> partial:
    """A book whose bytes, values or tables are others."""
    write_shop(shop)
    folder, records = read_shop(shop), Records(shop)
    records.add_jobs(folder.jobs)
    records.save_quote(QUOTE)
    kind = dice.random()
    with closing(sqlite3.connect(records.path)) as book:
        book.execute("PRAGMA journal_mode = DELETE")
        with suppress(sqlite3.Error, OverflowError, UnicodeError):  # SQLite does not keep it
            if 0.5 < kind < 0.9:
                _change_a_value(dice, book)
            elif kind > 0.93:
                book.executescript(dice.choice(_SCHEMES))
    if kind < 0.5:
        records.path.write_bytes(inputs.damaged(dice, records.path.read_bytes()))
    elif 0.9 < kind < 0.93:
        records.path.write_bytes(dice.randbytes(dice.choice((0, 16, 4096))))
    folder = read_shop(shop)
    return partial(
        each,
        records.quotes,
        partial(records.quote, "Q7"),
        partial(quotes_asked, folder),
        Records(shop).write_csv,
        lambda: judge(folder.shop, finished_jobs(folder), folder.price_lists, sold_on(folder)),
        partial(records.add_jobs, folder.jobs),
    )


def _change_a_value(dice: Random, book: sqlite3.Connection) -> None:
    tables = book.execute("SELECT name FROM sqlite_master WHERE type = 'table' AND sql LIKE '%('")
    table = dice.choice([name for (name,) in tables] or ["jobs", "quotes"])
    columns = [row[1] for row in book.execute(f'PRAGMA table_info("{table}")')]
    value = dice.choice((inputs.text(dice), dice.randbytes(9), None, -1, 2**62, 1e308, "nan"))
    book.execute("PRAGMA ignore_check_constraints = ON")
    book.execute(f'UPDATE "{table}" SET "{dice.choice(columns)}" = ?', (value,))
    book.commit()


def _wanted(folder, colour: str) -> tuple:
    """The counter of a shop, what is wanted there and what is offered for it."""
    counter, side = catalogue_of(folder), units.parse_length("2", "in")
    wanted = Wanted("leather", (Part("twill", 24, colour),), side, side, True)
    return counter, wanted, make_offer(counter, wanted)


def _order(shop: Path, dice: Random) -> partial:
    """An order that the counter wrote, and somebody changed."""
    write_shop(shop)
    folder, number = read_shop(shop), "2026-11-25-01"
    _, *asked = _wanted(folder, "red")
    sound = order_file(CounterOrder(number, TODAY, "Ann", *asked))
    path = shop / "quotes" / number / f"order-{number}.json"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(inputs.json_file(dice, sound))
    return partial(each, partial(take_quotes, folder, TODAY), partial(quotes_asked, folder))


# ---- what is handed over --------------------------------------------------------------


def _papers(shop: Path, dice: Random) -> partial:
    """Everything that is handed over, for a shop whose every name is anything."""

    def anything() -> str:
        return inputs.text(dice)[:3000].encode("utf-8", "replace").decode()

    folder = read_shop(shop)
    was = folder.shop
    methods = {k: replace(m, name=anything(), care=anything()) for k, m in was.methods.items()}
    blanks = {key: replace(blank, name=anything()) for key, blank in was.blanks.items()}
    named = {"name": anything(), "notice": anything(), "conditions": anything()}
    changed = replace(folder, shop=replace(was, methods=methods, blanks=blanks, **named))
    return partial(_make_papers, changed, anything(), anything())


def _make_papers(folder, colour: str, client: str) -> None:
    listed = folder.price_lists[0]
    copy = ClientCopy.of(folder.shop, listed, TODAY)
    for make in (list_csv, list_pdf, list_xlsx):
        make(copy)
    workings_xlsx(folder.shop, audit(folder.shop, listed, weights_of(folder, listed)), TODAY)
    offered = _wanted(folder, colour)
    quote_files(quote(*offered, TODAY, client=client, number="1"))


# ---- all of them ----------------------------------------------------------------------


def targets() -> list[Target]:
    """Every target, the quickest first."""
    kinds = panels.panel_kinds()
    files = [(file, suffix) for file in FILES for suffix in (".csv", ".xlsx")]
    return [
        Target("texts", 550, lambda _, dice: partial(read_text, inputs.text(dice))),
        Target("pasted sheet", 110, lambda _, dice: partial(_pasted, inputs.sheet(dice))),
        Target("sheet file", 20, lambda _, d: partial(read_sheet_file, *inputs.sheet_file(d))),
        *(
            Target(f"folder, {Path(f).stem}{suffix}", 6, partial(_folder_with, f, suffix))
            for f, suffix in files
        ),
        Target("grid file", 25, _grid),
        Target("book, damaged", 15, _book),
        Target("orders of the counter", 12, _order),
        Target("list saved", 12, _list_saved),
        Target("papers", 3, _papers),
        *(Target(f"panel, {k}", 6, panels.Hands(v, write_shop)) for k, v in kinds.items()),
    ]
