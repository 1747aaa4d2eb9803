"""Speed and memory of long histories: ``python tests/benchmarks/jobs.py``.

500,000 rows of finished jobs, drawn from the demo shop's, are imported (read from jobs.csv and
kept in the book of records), judged and summed up six ways; beside it pandas reads and groups
the same file alone. Each runs in a process of its own, three times in turn; shown are medians
of the time a person waits. What waits for the processor or the disk on a busy machine is no
fault of the program: look at a quiet one.
"""

import resource
import shutil
import sys
import tempfile
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from statistics import median
from time import perf_counter

import numpy as np
import pandas as pd
from harness import report

from pricelab.files.folders import DEMO_SHOP
from pricelab.files.records.book import Records
from pricelab.files.shop_folder import read_shop
from pricelab.jobs.judging import BY, judge, losing_cells, summarise

ROWS, TIMES = 500_000, 3

# Text is held as on a reader's machine: pyarrow, by which pandas would hold it, comes with a
# data set of the tests alone.
pd.set_option("mode.string_storage", "python")


class Laps(dict):
    """Seconds by what was done."""

    def __init__(self):
        super().__init__()
        self.begun = perf_counter()

    def lap(self, what: str) -> None:
        """What was done since the last lap; checks that follow count with the next one."""
        now = perf_counter()
        self[what], self.begun = now - self.begun, now


def generate(folder: Path) -> None:
    """The demo shop, with jobs of new numbers, days and minutes, drawn from its own."""
    shutil.copytree(DEMO_SHOP, folder)
    random, done = np.random.default_rng(20261125), read_shop(DEMO_SHOP).jobs
    drawn = done.iloc[random.integers(0, len(done), ROWS)].reset_index(drop=True)
    drawn["job"] = [f"J{number:06}" for number in range(ROWS)]
    days = random.integers(0, 2000, ROWS).astype("timedelta64[D]")
    drawn["date"] = np.datetime64("2021-01-01") + days
    minutes = drawn["attended minutes"].to_numpy(float) * random.uniform(0.7, 1.4, ROWS)
    drawn["attended minutes"] = minutes.round().astype(int)
    drawn.to_csv(folder / "jobs.csv", index=False, date_format="%Y-%m-%d")


def alone(folder: Path) -> Laps:
    """What pandas takes to read the file and to group it by six columns."""
    laps = Laps()
    jobs = pd.read_csv(folder / "jobs.csv", parse_dates=["date"])
    jobs["month"] = jobs["date"].dt.strftime("%Y-%m")
    laps.lap("pandas: read")
    for by in ("client", "method", "blank", "month", "width", "quantity"):
        sums = jobs.groupby(by)[["quantity", "charged", "attended minutes", "spoiled pieces"]].sum()
        assert sums["quantity"].sum() == jobs["quantity"].sum()
    laps.lap("pandas: group")
    return laps


def ours(folder: Path) -> Laps:
    """What this package takes to import the jobs into the book, to judge and to sum them up."""
    read_shop(DEMO_SHOP)  # what is loaded once
    laps = Laps()
    shop = read_shop(folder)
    assert len(shop.jobs) == ROWS
    laps.lap("read")
    assert Records(folder).add_jobs(shop.jobs) == ROWS
    laps.lap("keep in the book")
    judged = judge(shop.shop, shop.jobs, shop.price_lists)
    assert len(judged) == ROWS
    laps.lap("judge")
    for by in BY:
        sums = summarise(judged, by)["revenue"].sum()
        assert abs(sums / shop.jobs["charged"].sum() - 1) < 1e-9
    losing_cells(judged, shop.shop.pricing.floor)
    laps.lap("sum up")
    return laps


def measured(part, folder: Path) -> tuple[Laps, float]:
    """Seconds of a part, and the peak memory in MB of the process that did it."""
    for book in folder.glob("records.sqlite*"):
        book.unlink()
    laps = part(folder)
    return laps, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def figures():
    """Every figure beside its aim."""
    whole, bare, memory = [], [], 0.0
    with tempfile.TemporaryDirectory() as home:
        folder = Path(home) / "shop"
        generate(folder)
        for _ in range(TIMES):
            with ProcessPoolExecutor(1, max_tasks_per_child=1) as apart:
                whole.append(apart.submit(measured, ours, folder).result())
                bare.append(apart.submit(measured, alone, folder).result())
    for rounds in (whole, bare):
        for what in rounds[0][0]:
            yield f"{what}, s", median(laps[what] for laps, _ in rounds), None
    sums = [np.array([sum(laps.values()) for laps, _ in rounds]) for rounds in (whole, bare)]
    memory = max(peak for _, peak in whole)
    yield "imported, judged and summed up, s", median(sums[0]), 5
    yield "to what pandas takes alone", median(sums[0] / sums[1]), 3
    yield "peak memory, MB", memory, 1000


if __name__ == "__main__":
    sys.exit(report(figures()))
