"""What happened, from wherever it was noted: the shop's tables and its book of records."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from functools import cache, partial
from pathlib import Path
from typing import TYPE_CHECKING

from pricelab.client.catalogue import Catalogue, catalogue_of
from pricelab.client.offers import make_offer
from pricelab.files.faults import Report
from pricelab.files.jobs import KEY, TYPES, read_jobs, with_recorded
from pricelab.files.order_file import QUOTES, CounterOrder, read_order
from pricelab.files.raw_table import raw_table
from pricelab.files.records.book import Records
from pricelab.files.records.shop_then import shop_then
from pricelab.files.records.tables import FILE, JOBS, LINES, readable
from pricelab.files.saving import BEGUN
from pricelab.files.schema import Keys, columns_of
from pricelab.files.shop_folder import ShopFolder
from pricelab.files.source import Folder, content_of
from pricelab.files.tables import distinct, read_records, typed
from pricelab.jobs.price_response import asked, asked_then
from pricelab.jobs.quotes import kept_estimates, quote_of
from pricelab.shop.errors import PricelabError
from pricelab.shop.money import round_half_up
from pricelab.shop.place import Place
from pricelab.shop.shop import Shop

if TYPE_CHECKING:
    import pandas as pd


def finished_jobs(folder: ShopFolder) -> "pd.DataFrame":
    """Finished jobs as `folder` was read; an error where those of its book could not be."""
    if any(warning.place == Place(FILE) for warning in folder.warnings):
        return with_recorded(folder.jobs, Records(folder.folder).jobs())
    return folder.jobs


def sold_on(folder: ShopFolder) -> "pd.DataFrame":
    """The estimates that the book's quotes were made on, by number."""
    records = Records(folder.folder)
    quotes, lines = records.quotes(), records.table(LINES)
    with readable():
        return kept_estimates(quotes, lines)


def quotes_asked(folder: ShopFolder) -> "pd.DataFrame":
    """Quotes won and lost, of quotes.csv and of the book, as `price_response.asked` gives."""
    import pandas as pd

    past = asked(folder.shop, folder.quotes)
    recorded = asked_then(Records(folder.folder).quotes(), sold_on(folder))
    return pd.concat([past, recorded]) if len(recorded) else past


def import_jobs(
    records: Records, shop: Shop, file: str, headings: Mapping[str, str] | None = None
) -> int:
    """Take the finished jobs of a spreadsheet in the shop's folder over; how many were new.

    Its columns may have other headings: `headings` says which column of jobs.csv each stands
    for ("note" is not read), and is remembered in the book, so that it is told once. Rows
    that are there already stay as they are. Raises `ShopFaults` with every fault.
    """
    report = Report()
    known = records.headings() | dict(headings or {})
    columns = columns_of("jobs", Keys(shop.unit, tuple(shop.methods), tuple(shop.blanks)))
    content = content_of(Folder(records.folder), file, report)
    table = None if content is None else raw_table(content, file, report)
    rows = []
    if table is not None:
        names = tuple(known.get(heading, heading) for heading in table.header.cells)
        table = replace(table, header=replace(table.header, cells=names))
        rows = distinct(read_records(table, columns, report), KEY, report)
    jobs = typed(rows, TYPES)
    report.raise_faults()
    count = records.add_jobs(jobs)
    if headings:
        records.remember_headings(headings)
    return count


def counter_orders(folder: ShopFolder) -> list[Path]:
    """The orders of quotes saved across the counter that are not in the book yet, by number."""
    known = set(Records(folder.folder).quotes()["number"])
    saved = sorted((folder.folder / QUOTES).glob("*/order-*.json"))
    return [
        path
        for path in saved
        if path.parent.name not in known and not path.parent.name.startswith(BEGUN)
    ]


def take_quotes(folder: ShopFolder, today: date) -> tuple[int, tuple[str, ...]]:
    """Put the counter's quotes into the book, with what they cost by the shop of their day.

    How many were taken, and a sentence on each that could not be, and on each that needs a
    look: where the shop as it stood then was not kept, a quote is costed by the one of `today`,
    and its record says so.
    """
    records, taken, told = Records(folder.folder), 0, []
    kept = cache(partial(_asked_then, folder.folder))
    for path in counter_orders(folder):
        number = path.parent.name
        try:
            order = read_order(path.read_bytes(), path.name)
            then, counter = kept(order.shop)
            shop, costed = (folder.shop, today) if then is None else (then.shop, order.made)
            quote = quote_of(
                shop, order.wanted, order.offer, number, order.made, order.client, costed=costed
            )
            look = _look(counter, order, today)
            records.save_quote(quote)
            taken += 1
        except PricelabError as error:
            look = str(error)
        except OSError as error:
            look = f"{path.name} could not be read ({error.strerror}). Close it and try again."
        told += [f"{number}: {look}"] if look else []
    return taken, tuple(told)


def _asked_then(folder: Path, stamp: str) -> tuple[ShopFolder | None, Catalogue | None]:
    """The shop that was kept under a stamp, and what it asked; None twice where it was not."""
    then = shop_then(folder, stamp)
    return then, None if then is None else catalogue_of(then)


def _look(counter: Catalogue | None, order: CounterOrder, today: date) -> str:
    """What the owner should know of a quote's costs or prices, '' where both are of its day."""
    if counter is None:
        return f"the tables it was offered from were not kept; its costs are by those of {today}."
    asked = make_offer(counter, order.wanted)
    if asked == order.offer:
        return ""
    return (
        f"it says {order.offer.payable} in all, but your tables of that day ask {asked.payable}. "
        "It is taken as it says, with the costs of its day; compare it with its page."
    )


def pieces_and_setup(job: Mapping[str, object]) -> float:
    """What a job's pieces at their price and its set-up come to."""
    money = job["quantity"] * job["price each"] + job["set-up charged"]
    return float(round_half_up(money, 4))  # the book keeps that many decimals


def rows_of_job(folder: ShopFolder, number: str) -> "pd.DataFrame":
    """The rows of a finished job as they count now: `row` is where each is in jobs.csv, or 0."""
    files = Folder(folder.folder)
    table = read_jobs(files, Keys(folder.shop.unit), Report())
    table = table[table["job"] == number]
    rows = dict(zip(_keys(table), table.index, strict=True))
    own = folder.jobs[folder.jobs["job"] == number]
    own = with_recorded(own, Records(folder.folder).job(number))
    return own.assign(row=[rows.get(key, 0) for key in _keys(own)])


def _keys(jobs: "pd.DataFrame") -> list[tuple]:
    return list(jobs[list(KEY)].itertuples(index=False, name=None))


def one_job(columns: Mapping[str, object]) -> "pd.DataFrame":
    """A finished job as the book takes it, by the columns of `pricelab.files.jobs.TYPES`.

    What was not noted is None; `quote` is the one it was sold on, or ''. What was `charged`
    is the pieces at their price and the set-up, if not told.
    """
    import pandas as pd

    given = {"charged": pieces_and_setup(columns), **columns}
    return pd.DataFrame(
        {name: pd.array([given.get(name)], dtype=kind.dtype) for name, kind in JOBS.columns.items()}
    )
