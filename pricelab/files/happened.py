"""What happened, from wherever it was noted: the shop's tables and its book of records."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from pricelab.files.jobs import KEY, TYPES
from pricelab.files.records import Records
from pricelab.files.recordschema import LINES
from pricelab.files.shopfolder import ShopFolder
from pricelab.quotes import kept_estimates
from pricelab.response import asked, asked_then

if TYPE_CHECKING:
    import pandas as pd


def finished_jobs(folder: ShopFolder) -> "pd.DataFrame":
    """Finished jobs of jobs.csv and of the book; one that is in both is as the book has it."""
    import pandas as pd

    recorded = Records(folder.folder).jobs()
    if recorded.empty:
        return folder.jobs
    both = pd.concat([folder.jobs, recorded], ignore_index=True)
    return both[~both.duplicated(list(KEY), keep="last")].astype({"quote": "str"})


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


def one_job(columns: Mapping[str, object]) -> "pd.DataFrame":
    """A finished job as the book takes it, by the columns of `pricelab.files.jobs.TYPES`.

    What was not noted is None; `quote` is the one it was sold on, or ''. What was `charged`
    is the pieces at their price and the set-up.
    """
    import pandas as pd

    charged = columns["quantity"] * columns["price each"] + columns["set-up charged"]
    given = {**columns, "charged": charged}
    return pd.DataFrame(
        {
            name: pd.array([given[name]], dtype=kind)
            for name, kind in {**TYPES, "quote": "str"}.items()
        }
    )
