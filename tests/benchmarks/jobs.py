"""Speed and memory of a long history: ``python tests/benchmarks/jobs.py``.

500,000 rows of finished jobs, generated from the demo shop's, are imported from jobs.csv,
judged and summed up six ways; beside it pandas reads and groups the same file alone. Each
runs in a process of its own; times are processor time.
"""

import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

ROWS = 500_000

HERE = Path(__file__).parents[2]


def generate(folder: Path) -> None:
    """jobs.csv with new numbers, days and minutes, drawn from the demo's jobs."""
    from pricelab.files.shopfolder import read_shop
    from pricelab.folders import DEMO_SHOP

    rng = np.random.default_rng(20261125)
    done = read_shop(DEMO_SHOP).jobs
    drawn = done.iloc[rng.integers(0, len(done), ROWS)].reset_index(drop=True)
    drawn["job"] = [f"J{number:06}" for number in range(ROWS)]
    days = rng.integers(0, 2000, ROWS).astype("timedelta64[D]")
    drawn["date"] = np.datetime64("2021-01-01") + days
    minutes = drawn["attended minutes"].to_numpy(float) * rng.uniform(0.7, 1.4, ROWS)
    drawn["attended minutes"] = minutes.round().astype(int)
    drawn.to_csv(folder / "jobs.csv", index=False, date_format="%Y-%m-%d")


def alone(folder: Path) -> dict[str, float]:
    """What pandas takes to read the file and to group it by six columns."""
    import pandas as pd

    begun = time.process_time()
    jobs = pd.read_csv(folder / "jobs.csv", parse_dates=["date"])
    jobs["month"] = jobs["date"].dt.strftime("%Y-%m")
    read = time.process_time()
    for by in ("client", "method", "blank", "month", "width", "quantity"):
        sums = jobs.groupby(by)[["quantity", "charged", "attended minutes", "spoiled pieces"]].sum()
        assert sums["quantity"].sum() == jobs["quantity"].sum()
    return {"read": read - begun, "group": time.process_time() - read}


def ours(folder: Path) -> dict[str, float]:
    """What this package takes to import, judge and sum up; and to keep the jobs in the book."""
    from pricelab.files.faults import Report
    from pricelab.files.jobs import job_columns, read_jobs
    from pricelab.files.records import Records
    from pricelab.files.shopfolder import read_shop
    from pricelab.finished import BY, judge, losing_cells, summarise
    from pricelab.folders import DEMO_SHOP

    shop_files = read_shop(DEMO_SHOP)
    shop = shop_files.shop
    columns, report = job_columns(shop.unit, tuple(shop.methods), tuple(shop.blanks)), Report()
    spent, begun = {}, time.process_time()

    def lap(what):
        nonlocal begun
        spent[what] = time.process_time() - begun
        begun = time.process_time()

    jobs = read_jobs(folder, columns, report)
    assert len(jobs) == ROWS
    assert not report.faults
    lap("read")
    judged = judge(shop, jobs, shop_files.price_lists)
    assert len(judged) == ROWS
    lap("judge")
    for by in BY:
        assert abs(summarise(judged, by)["revenue"].sum() / jobs["charged"].sum() - 1) < 1e-9
    losing_cells(judged, shop.pricing.floor)
    lap("sum up")
    del judged
    assert Records(folder).add_jobs(jobs) == ROWS
    lap("keep in the book")
    return spent


PARTS = {"generate": generate, "alone": alone, "ours": ours}


def main(words) -> int:
    """Print every figure beside its aim."""
    if words:
        part, folder = words
        spent = PARTS[part](Path(folder)) or {}
        memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        print(memory, *(f"{what}={seconds}" for what, seconds in spent.items()), sep="\n")
        return 0
    with tempfile.TemporaryDirectory() as folder:
        run(folder, "generate")
        _, baseline = run(folder, "alone")
        memory, spent = run(folder, "ours")
    for what, seconds in spent.items():
        print(f"{what:<45} {seconds:>9.3g} s")
    book = spent["keep in the book"]
    seconds = sum(spent.values())
    ratio = (seconds - book) / sum(baseline.values())
    missed = 0
    for what, figure, aim in (
        ("imported, kept, judged and summed up, seconds", seconds, 5),
        ("peak memory, MB", memory, 1000),
        ("without the book, to pandas alone", ratio, 3),
    ):
        missed += figure > aim
        print(f"{what:<45} {figure:>9.3g}   aim ≤ {aim}")
    print(f"{'pandas alone, seconds':<45} {sum(baseline.values()):>9.3g}")
    return 1 if missed else 0


def run(folder: str, part: str) -> tuple[float, dict[str, float]]:
    """One part in a process of its own: its peak memory in MB, and its seconds by name."""
    words = [sys.executable, __file__, part, folder]
    done = subprocess.run(words, cwd=HERE, check=True, capture_output=True, text=True)
    memory, *spent = done.stdout.split("\n")[:-1]
    pairs = (line.split("=") for line in spent)
    return float(memory), {what: float(seconds) for what, seconds in pairs}


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
