"""What the inputs are fed to: every reader of the package, and every box of every panel."""

import argparse
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing, suppress
from datetime import UTC, date, datetime
from functools import partial
from pathlib import Path
from random import Random
from typing import NamedTuple

from cornershop import CORNER_SHOP
from fuzzing import inputs, panels

from pricelab.app import cli
from pricelab.client.catalogue import catalogue_of
from pricelab.client.offers import Offer, Part, Wanted, make_offer
from pricelab.files import cells, printed, slips
from pricelab.files.faults import ShopFaults
from pricelab.files.intake import pasted
from pricelab.files.intake.reading import read_pasted, read_sheet_file
from pricelab.files.order_file import CounterOrder, order_file
from pricelab.files.records.book import Records
from pricelab.files.records.happened import finished_jobs, quotes_asked, sold_on, take_quotes
from pricelab.files.records.tables import FILE
from pricelab.files.save_grid import NewGrid
from pricelab.files.save_list import save_list
from pricelab.files.shop_folder import ShopFolder, read_shop
from pricelab.jobs.judging import judge
from pricelab.jobs.quotes import quote_of
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


class Target(NamedTuple):
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
    return partial(_read, shop)


def _read(shop: Path) -> ShopFolder:
    """The shop; where it is refused, every fault says in which file, in a sentence."""
    try:
        return read_shop(shop)
    except ShopFaults as refused:
        for line in str(refused).split("\n"):
            assert line.split(":")[0].split(",")[0].endswith((".csv", ".xlsx")), line
            assert line.endswith("."), line
        raise


def _list_saved(shop: Path, dice: Random) -> partial:
    """A list is put into a file as odd as it may be and still be read."""
    feed = _folder_with("price_list.csv", ".csv", shop, dice)

    def save():
        folder = feed()
        for one in folder.price_lists[:1]:
            save_list(folder, one, datetime(2026, 11, 25, tzinfo=UTC))
            read_shop(shop)

    return partial(save)


# ---- the book of records, and orders across the counter -------------------------------


def _offered(folder: ShopFolder) -> tuple[Wanted, Offer]:
    """What is wanted across the counter, and what is offered for it."""
    side = units.parse_length("2", "in")
    wanted = Wanted("leather", (Part("twill", 24, "red"),), side, side, True)
    return wanted, make_offer(catalogue_of(folder), wanted)


def _book(shop: Path, dice: Random) -> partial:
    """A book whose bytes or values are others."""
    write_shop(shop)
    folder, records = read_shop(shop), Records(shop)
    records.add_jobs(folder.jobs)
    records.save_quote(quote_of(folder.shop, *_offered(folder), "Q1", TODAY, "Ann"))
    path = shop / FILE
    with closing(sqlite3.connect(path)) as book:
        book.execute("PRAGMA journal_mode = DELETE")
        book.execute("PRAGMA ignore_check_constraints = ON")
        table = dice.choice(("quotes", "quote_parts", "quote_lines", "jobs"))
        column = dice.choice([row[1] for row in book.execute(f'PRAGMA table_info("{table}")')])
        value = dice.choice((inputs.text(dice), dice.randbytes(9), None, -1, 2**62, 1e308, "nan"))
        with suppress(sqlite3.Error, OverflowError, UnicodeError):  # SQLite does not keep it
            book.execute(f'UPDATE "{table}" SET "{column}" = ?', (value,))
            book.commit()
    if dice.random() < 0.5:
        path.write_bytes(inputs.damaged(dice, path.read_bytes()))
    folder = read_shop(shop)
    return partial(
        each,
        records.quotes,
        partial(records.quote, "Q1"),
        partial(quotes_asked, folder),
        Records(shop).write_csv,
        lambda: judge(folder.shop, finished_jobs(folder), folder.price_lists, sold_on(folder)),
        partial(records.add_jobs, folder.jobs),
    )


def _order(shop: Path, dice: Random) -> partial:
    """An order that the counter wrote, and somebody changed."""
    write_shop(shop)
    folder, number = read_shop(shop), "2026-11-25-01"
    sound = order_file(CounterOrder(number, TODAY, "Ann", *_offered(folder)))
    path = shop / "quotes" / number / f"order-{number}.json"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(inputs.json_file(dice, sound))
    return partial(each, partial(take_quotes, folder, TODAY), partial(quotes_asked, folder))


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
        Target("book, damaged", 15, _book),
        Target("orders of the counter", 12, _order),
        Target("list saved", 12, _list_saved),
        *(Target(f"panel, {k}", 6, panels.Hands(v, write_shop)) for k, v in kinds.items()),
    ]
