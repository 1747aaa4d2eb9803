"""Speed and memory of long histories: ``python tests/benchmarks/jobs.py``.

500,000 rows of finished jobs, generated from the demo shop's, are imported (read from
jobs.csv and kept in the book of records), judged and summed up six ways; beside it pandas
reads and groups the same file alone. Then a real history of 50,000 lines is imported, and
pandas reads the same file alone. Each runs in a process of its own, three times in turn;
shown are medians, of processor time and of the time a person waits. What waits for the
processor or the disk on a busy machine is no fault of the program: look at a quiet one.
"""

import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from statistics import median

import numpy as np
import pandas as pd

ROWS = 500_000
TIMES = 3

HERE = Path(__file__).parents[2]
sys.path.insert(0, str(HERE / "tests"))

# Text is held as on a reader's machine: pyarrow, by which pandas would hold it, comes with the
# package of the real history alone.
pd.set_option("mode.string_storage", "python")


class Laps:
    """Seconds by name, each a pair: of the processor, and of the clock on the wall."""

    def __init__(self):
        self.spent, self._begun = {}, self._now()

    @staticmethod
    def _now() -> np.ndarray:
        return np.array([time.process_time(), time.perf_counter()])

    def lap(self, what: str) -> None:
        """What was done since the last lap; checks that follow count with the next one."""
        now = self._now()
        self.spent[what], self._begun = now - self._begun, now


def generate(folder: Path) -> None:
    """jobs.csv with new numbers, days and minutes, drawn from the demo's jobs."""
    from pricelab.files.folders import DEMO_SHOP
    from pricelab.files.shop_folder import read_shop

    rng = np.random.default_rng(20261125)
    done = read_shop(DEMO_SHOP).jobs
    drawn = done.iloc[rng.integers(0, len(done), ROWS)].reset_index(drop=True)
    drawn["job"] = [f"J{number:06}" for number in range(ROWS)]
    days = rng.integers(0, 2000, ROWS).astype("timedelta64[D]")
    drawn["date"] = np.datetime64("2021-01-01") + days
    minutes = drawn["attended minutes"].to_numpy(float) * rng.uniform(0.7, 1.4, ROWS)
    drawn["attended minutes"] = minutes.round().astype(int)
    drawn.to_csv(folder / "jobs.csv", index=False, date_format="%Y-%m-%d")


def alone(folder: Path) -> Laps:
    """What pandas takes to read the file and to group it by six columns."""
    laps = Laps()
    jobs = pd.read_csv(folder / "jobs.csv", parse_dates=["date"])
    jobs["month"] = jobs["date"].dt.strftime("%Y-%m")
    laps.lap("read")
    for by in ("client", "method", "blank", "month", "width", "quantity"):
        sums = jobs.groupby(by)[["quantity", "charged", "attended minutes", "spoiled pieces"]].sum()
        assert sums["quantity"].sum() == jobs["quantity"].sum()
    laps.lap("group")
    return laps


def ours(folder: Path) -> Laps:
    """What this package takes to import the jobs into the book, to judge and to sum them up."""
    from pricelab.files.faults import Report
    from pricelab.files.folders import DEMO_SHOP
    from pricelab.files.jobs import read_jobs
    from pricelab.files.records.book import FILE, Records
    from pricelab.files.schema import Keys
    from pricelab.files.shop_folder import read_shop
    from pricelab.files.source import Folder
    from pricelab.jobs.judging import BY, judge, losing_cells, summarise

    shop_files = read_shop(DEMO_SHOP)
    shop = shop_files.shop
    keys, report = Keys(shop.unit, tuple(shop.methods), tuple(shop.blanks)), Report()
    (folder / FILE).unlink(missing_ok=True)
    laps = Laps()
    jobs = read_jobs(Folder(folder), keys, report)
    assert len(jobs) == ROWS
    assert not report.faults
    laps.lap("read")
    assert Records(folder).add_jobs(jobs) == ROWS
    laps.lap("keep in the book")
    judged = judge(shop, jobs, shop_files.price_lists)
    assert len(judged) == ROWS
    laps.lap("judge")
    for by in BY:
        assert abs(summarise(judged, by)["revenue"].sum() / jobs["charged"].sum() - 1) < 1e-9
    losing_cells(judged, shop.pricing.floor)
    laps.lap("sum up")
    return laps


def generate_real(folder: Path) -> None:
    """The real history beside the files of the small shop."""
    from realhistory import bought_lines, write_history

    write_history(bought_lines(), folder / "shop")


def real_alone(folder: Path) -> Laps:
    """What pandas takes to read the real history."""
    from realhistory import FILE, LINES

    laps = Laps()
    assert len(pd.read_csv(folder / "shop" / FILE, parse_dates=["bought"])) == LINES
    laps.lap("read")
    return laps


def real_ours(folder: Path) -> Laps:
    """What this package takes to import the real history into the book."""
    from realhistory import FILE, HEADINGS, LINES

    from pricelab.files.records import book as records
    from pricelab.files.records.happened import import_jobs
    from pricelab.files.shop_folder import read_shop

    shop = read_shop(folder / "shop").shop
    (folder / "shop" / records.FILE).unlink(missing_ok=True)
    laps = Laps()
    assert import_jobs(records.Records(folder / "shop"), shop, FILE, HEADINGS) == LINES
    laps.lap("import")
    return laps


PARTS = {part.__name__: part for part in
         (generate, alone, ours, generate_real, real_alone, real_ours)}  # fmt: skip


def main(words) -> int:
    """Print every figure beside its aim."""
    if words:
        part, folder = words
        laps = PARTS[part](Path(folder))
        print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)
        for what, (processor, clock) in laps.spent.items() if laps else ():
            print(f"{what}={processor}={clock}")
        return 0
    with tempfile.TemporaryDirectory() as folder:
        run(folder, "generate")
        run(folder, "generate_real")
        rounds = [{part: run(folder, part) for part in PARTS if "generate" not in part}
                  for _ in range(TIMES)]  # fmt: skip
    memory = max(found["ours"][0] for found in rounds)
    sums = {
        part: np.array([sum(found[part][1].values()) for found in rounds]) for part in rounds[0]
    }
    print(f"{'':<52} {'processor':>9} {'clock':>9}")
    for part, title in (("ours", ""), ("alone", "pandas: ")):
        for what in rounds[0][part][1]:
            line(title + what + ", s", [found[part][1][what] for found in rounds])
    missed = line("imported, judged and summed up, s", sums["ours"], 5)
    missed += line("to what pandas takes alone", sums["ours"] / sums["alone"], 3)
    book = np.array([found["ours"][1]["keep in the book"] for found in rounds])
    line("without the book, to what pandas takes alone", (sums["ours"] - book) / sums["alone"])
    line("real history of 50,000 lines imported, s", sums["real_ours"])
    line("to what pandas takes to read it", sums["real_ours"] / sums["real_alone"])
    missed += memory > 1000
    print(f"{'peak memory, MB':<52} {memory:>9.3g} {'':>9}   aim ≤ 1000")
    return 1 if missed else 0


def line(what: str, figures, aim: float | None = None) -> bool:
    """Print medians of processor time and clock; whether either misses the aim."""
    processor, clock = (median(of) for of in np.transpose(figures))
    said = "" if aim is None else f"   aim ≤ {aim}"
    print(f"{what:<52} {processor:>9.3g} {clock:>9.3g}{said}")
    return aim is not None and max(processor, clock) > aim


def run(folder: str, part: str) -> tuple[float, dict[str, np.ndarray]]:
    """One part in a process of its own: its peak memory in MB, and its seconds by name."""
    words = [sys.executable, __file__, part, folder]
    done = subprocess.run(words, cwd=HERE, check=True, stdout=subprocess.PIPE, text=True)
    memory, *spent = done.stdout.split("\n")[:-1]
    pairs = (entry.split("=") for entry in spent)
    return float(memory), {what: np.array(seconds, float) for what, *seconds in pairs}


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
