"""The panel on finished jobs, driven and read without a browser."""

import pytest
from smallshop import write_shop

from pricelab.files.shop_folder import read_shop
from pricelab.jobs.judging import judge, summarise
from pricelab.screens.finished_jobs import FinishedJobsPanel
from pricelab.shop.errors import PricelabError


@pytest.fixture
def panel(harbour):
    """The panel as it opens."""
    return FinishedJobsPanel(harbour)


def test_it_opens_with_every_part_filled(panel):
    assert all(part.words for part in panel.parts)
    assert all(part.box.value for part in panel.parts)


def test_groups_are_ranked_by_what_is_asked(panel, harbour):
    """The first row is the first of the summary sorted by that column."""
    sums = summarise(judge(harbour.shop, harbour.jobs, harbour.price_lists), "client")
    panel.by.set("client")
    for column in ("an hour", "an order", "a piece", "profit", "margin"):
        panel.rank.set(column)
        assert panel.groups.words.startswith(f"{sums[column].idxmax()}: ")
        assert sums[column].idxmin() in panel.groups.words.partition("\n")[0]


def test_a_group_is_looked_at_alone(panel, harbour):
    """Its waterfall ends at its own profit in the table above."""
    sums = summarise(judge(harbour.shop, harbour.jobs, harbour.price_lists), "method")
    panel.group.set("vinyl")
    assert panel.waterfall.words.startswith("Cut vinyl earned ")
    assert panel.waterfall.words.rstrip().endswith(f"${sums.loc['vinyl', 'profit']:,.2f}")
    assert "Cut vinyl" in panel.worst.words
    assert "Leather patch" not in panel.worst.words


def test_a_group_that_is_not_there_any_more_gives_way_to_all(panel):
    """Summed up by something else."""
    panel.group.set("vinyl")
    panel.by.set("month")
    assert panel.waterfall.words.startswith("All jobs earned ")


def test_only_jobs_from_a_month_on_count(panel, harbour):
    """The demo shop's jobs of November 2026."""
    jobs = harbour.jobs
    count = int((jobs["date"] >= "2026-11-01").sum())
    panel.since.set("2026-11")
    assert f"\n{count} finished jobs. " in panel.groups.words
    assert f"of {count} orders" in panel.sizes.words


def test_cells_of_the_list_are_named_where_jobs_were_short(panel):
    """By the floor; no job of the demo shop cost more than it brought."""
    assert "earned less than a margin of 30 %" in panel.cells.words
    assert 'price_list.csv, row 44, column "24"' in panel.cells.words
    panel.under.set(0.0)
    assert panel.cells.words == "No job earned less than a margin of 0 %."


def test_a_shop_without_jobs_is_told(tmp_path):
    """In a sentence."""
    header = "job,date,client,method,blank,width,height,quantity,order,price each,charged\n"
    folder = read_shop(write_shop(tmp_path, jobs=header))
    with pytest.raises(PricelabError, match=r"^There is no finished job to judge\. Write some i"):
        FinishedJobsPanel(folder)
