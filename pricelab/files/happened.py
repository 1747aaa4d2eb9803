"""What happened, from wherever it was noted: the shop's tables and its book of records."""

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from pricelab.errors import PricelabError
from pricelab.files.jobs import TYPES, with_recorded
from pricelab.files.records import Records
from pricelab.files.recordschema import LINES
from pricelab.files.shopfolder import ShopFolder
from pricelab.money import round_half_up
from pricelab.paper.orderfile import QUOTES, read_order
from pricelab.paper.saving import BEGUN
from pricelab.quotes import kept_estimates, quote_of
from pricelab.response import asked, asked_then

if TYPE_CHECKING:
    import pandas as pd


def finished_jobs(folder: ShopFolder) -> "pd.DataFrame":
    """Finished jobs as `folder` was read, and those that were noted in the book since."""
    return with_recorded(folder.jobs, Records(folder.folder).jobs())


def sold_on(folder: ShopFolder) -> "pd.DataFrame":
    """The estimates that the book's quotes were made on, by number."""
    records = Records(folder.folder)
    return kept_estimates(records.quotes(), records.table(LINES))


def quotes_asked(folder: ShopFolder) -> "pd.DataFrame":
    """Quotes won and lost, of quotes.csv and of the book, as `pricelab.response.asked` gives."""
    import pandas as pd

    past = asked(folder.shop, folder.quotes)
    recorded = asked_then(Records(folder.folder).quotes(), sold_on(folder))
    return pd.concat([past, recorded]) if len(recorded) else past


def counter_orders(folder: ShopFolder) -> list[Path]:
    """The orders of quotes saved across the counter that are not in the book yet, by number."""
    known = set(Records(folder.folder).quotes()["number"])
    saved = sorted((folder.folder / QUOTES).glob("*/order-*.json"))
    return [
        path
        for path in saved
        if path.parent.name not in known and not path.parent.name.startswith(BEGUN)
    ]


def take_quotes(folder: ShopFolder) -> tuple[int, tuple[str, ...]]:
    """Put the counter's quotes into the book, with what they cost by the shop as it is.

    How many were taken, and the reason for each that could not be.
    """
    records, taken, reasons = Records(folder.folder), 0, []
    for path in counter_orders(folder):
        number = path.parent.name
        try:
            order = read_order(path.read_bytes(), path.name)
            records.save_quote(
                quote_of(folder.shop, order.wanted, order.offer, number, order.made, order.client)
            )
            taken += 1
        except PricelabError as error:
            reasons.append(f"{number}: {error}")
    return taken, tuple(reasons)


def one_job(columns: Mapping[str, object]) -> "pd.DataFrame":
    """A finished job as the book takes it, by the columns of `pricelab.files.jobs.TYPES`.

    What was not noted is None; `quote` is the one it was sold on, or ''. What was `charged`
    is the pieces at their price and the set-up, if not told.
    """
    import pandas as pd

    charged = columns["quantity"] * columns["price each"] + columns["set-up charged"]
    given = {"charged": float(round_half_up(charged, 4)), **columns}
    kinds = {**TYPES, "quote": "str", "materials paid": "Float64", "labour rate": "Float64"}
    return pd.DataFrame(
        {name: pd.array([given.get(name)], dtype=kind) for name, kind in kinds.items()}
    )
