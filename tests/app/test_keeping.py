"""Keeping the tables while a screen is served: before it opens, and at every change."""

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import pytest
from small_jobs import jobs_of
from smallshop import FILES, write_shop

from pricelab.app import keeping as module
from pricelab.app.keeping import keeping
from pricelab.files.folders import SHOP_VARIABLE, SHOPS_VARIABLE
from pricelab.files.new_shop import choose_shop
from pricelab.files.records.book import FILE, Records
from pricelab.files.records.schema import SHOPS
from pricelab.files.records.shop_then import shop_then, stamp_of
from pricelab.files.shop_folder import read_shop


@pytest.fixture
def shop(tmp_path) -> Path:
    """The small shop's folder, with no book yet."""
    return write_shop(tmp_path / "shop")


@pytest.fixture(autouse=True)
def quick(monkeypatch):
    """Looks follow one another at once."""
    monkeypatch.setattr(module, "EVERY", 0.01)


def wage(shop: Path, figure: int) -> str:
    """Write another wage into the shop's file; the stamp that makes."""
    write_shop(shop, shop=FILES["shop.csv"].replace("labour rate,30", f"labour rate,{figure}"))
    return stamp_of(read_shop(shop))


def wait_for(shop: Path, stamp: str) -> None:
    """Until the tables are kept under a stamp, or the test fails."""
    for _ in range(500):
        if shop_then(Records(shop), stamp):
            return
        time.sleep(0.02)
    pytest.fail("The tables were not kept.")


def test_the_tables_are_kept_before_anything_is_served_and_at_every_change(shop):
    """A wage of 30, then 31 and 32; what is changed afterwards is not looked at."""
    told = []
    with keeping(shop, told.append):
        kept = Records(shop).table(SHOPS)
        assert set(kept["stamp"]) == set(stamp_of(read_shop(shop)).split("-"))
        for figure in (31, 32):
            stamp = wage(shop, figure)
            wait_for(shop, stamp)
            assert shop_then(Records(shop), stamp).shop.rates.labour == figure
    wage(shop, 33)
    time.sleep(0.1)
    assert len(Records(shop).table(SHOPS)) == 4  # three tables, and the orders' sizes
    assert told == []


def test_a_job_noted_meanwhile_is_seen_too(shop):
    """Another order of 20 in the book: the tables stay, what was ordered is kept anew."""
    with keeping(shop, print):
        before = stamp_of(read_shop(shop))
        Records(shop).add_jobs(jobs_of({}).assign(job="J9"))
        after = stamp_of(read_shop(shop))
        assert after != before
        wait_for(shop, after)
    assert len(shop_then(Records(shop), after).jobs) == 3


def test_another_shop_that_is_chosen_meanwhile_is_kept_from_then_on(shop, tmp_path, monkeypatch):
    """Where no shop was named, the notebooks follow the choice; so does this."""
    monkeypatch.setenv(SHOPS_VARIABLE, str(tmp_path))
    monkeypatch.delenv(SHOP_VARIABLE, raising=False)
    other = write_shop(tmp_path / "other", shop=FILES["shop.csv"].replace("rate,30", "rate,44"))
    choose_shop(shop)
    with keeping(None, print):
        wait_for(shop, stamp_of(read_shop(shop)))
        assert not (other / FILE).exists()
        choose_shop(other)
        wait_for(other, stamp_of(read_shop(other)))


def test_a_shop_with_faults_is_kept_once_they_are_mended(shop):
    """Nothing can be offered from it before, and nothing of it is written."""
    told = []
    (shop / "methods.csv").write_text("spoiled")
    with keeping(shop, told.append):
        assert not (shop / FILE).exists()
        wait_for(shop, wage(shop, 30))
    assert told == []


def test_what_cannot_be_kept_is_told_once_and_kept_when_it_can(shop):
    """A spoiled file is in the book's place until the owner moves it; both wages are kept then."""
    (shop / FILE).write_text("Not a book." * 100)
    told = []
    with keeping(shop, told.append):
        first = stamp_of(read_shop(shop))
        second = wage(shop, 31)
        time.sleep(0.2)
        (shop / FILE).unlink()
        wait_for(shop, second)
        wait_for(shop, first)
    assert told == [
        "Quotes will not keep the costs of their day. records.sqlite could not be used: it is "
        "damaged, or no such file. Put your last copy of it in its place, and try again. Nothing "
        "was changed."
    ]


READ_ONLY = """
import os, sys
from pathlib import Path
from pricelab.files.new_shop import choose_shop
from pricelab.files.records.book import Records
from pricelab.files.shop_folder import read_shop
from pricelab.app.keeping import keeping
read_shop(Path(sys.argv[1]))  # loads what it needs while it may
Records(Path(sys.argv[1])).quotes()
if os.getuid() == 0:
    os.setuid(65534)  # the system's own user stops at no permission
with keeping(Path(sys.argv[1]), print):
    print("served")
"""


@pytest.mark.skipif(os.name != "posix", reason="permissions as on Linux and macOS")
def test_from_a_folder_that_may_only_be_read_it_is_served_all_the_same(root):
    """With one sentence. The folder lies where any user may look, unlike pytest's own."""
    with tempfile.TemporaryDirectory() as folder:
        Path(folder).chmod(0o755)
        shop = write_shop(Path(folder) / "shop")
        for path in [*shop.rglob("*"), shop]:
            path.chmod(0o555 if path.is_dir() else 0o444)
        try:
            done = subprocess.run(
                [sys.executable, "-c", READ_ONLY, shop], cwd=root, capture_output=True, text=True
            )
        finally:
            for path in [shop, *shop.rglob("*")]:
                path.chmod(0o755)
    assert done.stdout.splitlines() == [
        "Quotes will not keep the costs of their day. records.sqlite could not be used: the folder "
        "or the file may not be opened or written to. Allow it, and try again. Nothing was "
        "changed.",
        "served",
    ], done.stderr
