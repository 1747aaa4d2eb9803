"""The book of records with real processes: two at once, killed at any moment, on a full disk."""

import os
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest
from quoted import MADE, a_quote
from small_jobs import jobs_of

from pricelab.files.records.book import FILE, Records
from pricelab.shop.errors import PricelabError

WRITER = """
import sys
from dataclasses import replace
from pathlib import Path
from quoted import a_quote
from smallshop import write_shop
from small_jobs import jobs_of
from pricelab.shop.errors import PricelabError
from pricelab.files.records.book import Records

folder, name, count, limit = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3]), int(sys.argv[4])
records, quote = Records(folder), a_quote(folder)
if limit:
    import resource
    resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
print("ready", flush=True)
for at in range(count):
    number = f"{name}-{at:05}"
    try:
        records.save_quote(replace(quote, number=number))
        records.add_jobs(jobs_of({}).assign(job=number, quote=number))
    except PricelabError as error:
        print(error, flush=True)
        break
    print(number, flush=True)
"""
"""Records a quote and its job, and says the number once both are recorded; then the next."""


def writer(shop: Path, name: str, count: int = 100_000, limit: int = 0) -> subprocess.Popen:
    """A process that records `count` quotes and jobs in the book of a shop."""
    tests = Path(__file__).parents[2]
    paths = os.pathsep.join([str(tests.parent), str(tests)])
    return subprocess.Popen(
        [sys.executable, "-c", WRITER, shop, name, str(count), str(limit)],
        stdout=subprocess.PIPE, text=True, env={**os.environ, "PYTHONPATH": paths},
    )  # fmt: skip


def check_book(shop: Path, acknowledged: set[str]) -> None:
    """The file is sound, nothing that was acknowledged is missing, and nothing is there by half."""
    book = sqlite3.connect(shop / FILE)
    assert book.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    assert book.execute("PRAGMA foreign_key_check").fetchall() == []
    book.close()
    records = Records(shop)
    jobs, quotes = records.jobs(), records.quotes()
    assert acknowledged <= set(jobs["job"])
    assert set(jobs["job"]) <= set(quotes["number"])
    lines = len(a_quote(shop).lines)
    for number in quotes["number"]:
        kept = records.quote(number)
        assert (len(kept.parts), len(kept.lines)) == (1, lines)


@pytest.mark.slow
def test_a_process_killed_at_any_moment_loses_nothing_that_was_recorded(shop):
    """Killed five times in mid-writing, once before the first record; the moments are seeded."""
    acknowledged: set[str] = set()
    rng = np.random.default_rng(20261125)
    for turn, wait in enumerate([0.0, *rng.uniform(0.05, 0.6, 4)]):
        one = writer(shop, f"K{turn}")
        assert one.stdout.readline() == "ready\n"
        if turn:  # a busy machine takes its time to the first ones
            acknowledged |= {one.stdout.readline().strip() for _ in range(2)}
        time.sleep(wait)
        one.send_signal(signal.SIGKILL)
        said, _ = one.communicate(timeout=60)
        acknowledged |= set(said.split("\n")[:-1])
        if (shop / FILE).exists():
            check_book(shop, acknowledged)
    assert len(acknowledged) > 4
    Records(shop).add_jobs(jobs_of({}).assign(job="afterwards"))
    assert "afterwards" in set(Records(shop).jobs()["job"])


def full(said: str) -> set[str]:
    """The numbers that were acknowledged before the one sentence about the full disk."""
    _, *numbers, sentence, end = said.split("\n")
    assert end == ""
    assert sentence.startswith("records.sqlite could not be used: the disk is full")
    assert sentence.endswith("Make room, and try again. Nothing was changed.")
    return set(numbers)


@pytest.mark.slow
@pytest.mark.skipif(os.name != "posix", reason="limits as on Linux and macOS")
def test_a_file_that_may_not_grow_is_told_in_a_sentence_and_keeps_what_it_has(shop):
    """Files may have 130 kB: the process records until no more goes in."""
    said, _ = writer(shop, "F", limit=130_000).communicate(timeout=120)
    acknowledged = full(said)
    assert acknowledged
    check_book(shop, acknowledged)


def test_a_window_that_waits_too_long_for_another_says_so(shop, monkeypatch):
    """Another program holds the book open for writing."""
    records = Records(shop)
    records.save_quote(a_quote(shop))
    monkeypatch.setattr("pricelab.files.records.database.WAIT", 0.1)
    other = sqlite3.connect(shop / FILE, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(PricelabError, match=r"Another window has been writing to records.sqlite "
                       "for too long. Close it and try again."):  # fmt: skip
        records.decide("Q1", "won", MADE)
    assert records.quote("Q1").status == "open"  # reading goes on meanwhile
    other.execute("ROLLBACK")
    other.close()
    records.decide("Q1", "won", MADE)
    assert records.quote("Q1").status == "won"
