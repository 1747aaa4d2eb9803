"""Windows that save into one shop at the same time: none is told of a save that is lost.

`PYTHONPATH=.:tests python tests/files/test_saving_in_turn.py 1250` lets each of eight windows save
so often: two in each of four processes.
"""

import errno
import re
import subprocess
import sys
import tempfile
from collections import Counter
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from small_jobs import jobs_of
from smallshop import write_shop

from pricelab.files import saving
from pricelab.files.clock import now
from pricelab.files.edits import Edits
from pricelab.files.records.accepting import accept, accepted
from pricelab.files.records.book import Records
from pricelab.files.save_grid import NewGrid, save_grid
from pricelab.files.save_list import save_list
from pricelab.files.saving import OLD, keep_copy, save_together
from pricelab.files.shop_folder import read_shop
from pricelab.jobs.learning import Change
from pricelab.shop.errors import PricelabError
from pricelab.shop.place import Place
from pricelab.shop.sizes import Measure

NOW = datetime(2026, 11, 25, 9, 30, tzinfo=UTC)

WINDOWS = """
import sys, threading
from pathlib import Path
sys.path[:0] = [sys.argv[1], str(Path(sys.argv[1]).parent), str(Path(sys.argv[1]).parents[1])]
from test_saving_in_turn import save_often
for who in sys.argv[4:]:
    window = threading.Thread(target=save_often, args=(Path(sys.argv[2]), who, int(sys.argv[3])))
    window.start()
"""


def _list(folder: Path, name: str) -> None:
    """Every price of the list is 1 more."""
    shop = read_shop(folder)
    (there,) = shop.price_lists
    save_list(shop, replace(there, prices=there.prices + 1), now())


def _tables(folder: Path, name: str) -> None:
    """Two tables count up together."""
    edits = Edits.of(folder)
    count = f"{int(edits.setting('notice')) + 1}"
    edits.with_setting("notice", count).with_cell("blanks", 1, "care", count).save(now())


def _grid(folder: Path, name: str) -> None:
    """A grid with a price of its own; it asks nobody which one it replaces, but keeps that."""
    cells = (("", "1"), ("2", f"{int(name) + 1}"), ("3", "1"))
    save_grid(folder, "patches", NewGrid(cells, Measure.MEAN_OF_SIDES, "in"), now().date(), now())


def _minutes(folder: Path, name: str) -> None:
    """The minutes of an operation count up, and the log tells of each step."""
    shop = read_shop(folder)
    was = shop.shop.methods["patch"].operations[0].minutes
    change = Change(Place("operations.csv", 2, "minutes"), "press", f"{was:g}", f"{was + 1:g}")
    accept(shop, [change], "Patch", name, now().date())


def _job(folder: Path, name: str) -> None:
    """A finished job of its own, in the book."""
    Records(folder).add_jobs(jobs_of({}).assign(job=name))


KINDS = (_list, _tables, _grid, _minutes, _job)


def save_often(folder: Path, who: str, count: int) -> None:
    """Save `count` times, in every way in turn; one that was overtaken reads and saves again."""
    for at in range(count):
        name, save = f"{int(who) * count + at}", KINDS[(int(who) + at) % len(KINDS)]
        while True:
            try:
                save(folder, name)
                break
            except PricelabError as error:
                if not re.search("was changed since|^Another window", str(error)):
                    raise


def not_saved(folder: Path, count: int, processes: int) -> dict[str, str]:
    """Of each kind of which some are lost: how many are there of those told to be saved."""
    tables = write_shop(folder, price_list="method,blank,size,1\npatch,cap,2,1\npatch,cap,3,1\n")
    notice = (tables / "shop.csv").read_text().replace("Invented for a test.", "0")
    (tables / "shop.csv").write_text(notice)
    (tables / "blanks.csv").write_text(
        "blank,name,panel width,panel height,care\ncap,Plain cap,5,2.5,0\n"
    )
    code = [sys.executable, "-c", WINDOWS, str(Path(__file__).parent), str(folder), str(count)]
    running = [
        subprocess.Popen([*code, str(2 * at), str(2 * at + 1)], stderr=subprocess.PIPE)
        for at in range(processes)
    ]
    told = b"".join(window.communicate()[1] for window in running)
    assert not told, told.decode()
    done = Counter(
        KINDS[(who + at) % len(KINDS)] for who in range(2 * processes) for at in range(count)
    )
    shop, edits = read_shop(folder), Edits.of(folder)
    grids = [folder / "grids" / "patches.csv", *(folder / "grids" / OLD).iterdir()]
    found = {
        _list: shop.price_lists[0].prices.min() - 1,
        _tables: min(int(edits.setting("notice")), int(edits.cell("blanks", 1, "care"))),
        _grid: len({path.read_text().split()[-2] for path in grids}) - 1,
        _minutes: min(
            shop.shop.methods["patch"].operations[0].minutes - 1,
            len({why for *_, why in accepted(folder)}),
        ),
        _job: len(Records(folder).jobs()),
    }
    return {
        kind.__name__: f"{found[kind]} of {done[kind]}"
        for kind in KINDS
        if found[kind] != done[kind]
    }


def test_no_saving_of_several_processes_and_threads_is_lost(tmp_path):
    """Lists, tables, grids, minutes and jobs of one shop; nothing that was begun is left."""
    assert not_saved(tmp_path / "shop", 5, 3) == {}
    assert [path.name for path in (tmp_path / "shop").rglob(".*")] == []


def test_a_file_that_another_program_writes_at_that_moment_is_not_told_to_be_saved(
    tmp_path, monkeypatch
):
    """While the new one is written, or right after it took its place: the other's stays."""
    path, others = tmp_path / "shop.csv", b"of a spreadsheet"
    for step in ("_write", "place"):
        path.write_bytes(b"old")
        done = getattr(saving, step)
        with monkeypatch.context() as patch:
            patch.setattr(saving, step, lambda *of, do=done: (do(*of), path.write_bytes(others)))
            with pytest.raises(PricelabError, match=r"^shop\.csv was changed since this page read"):
                save_together(tmp_path, {"shop.csv": b"new"}, {"shop.csv": b"old"})
        assert path.read_bytes() == others


def test_what_could_not_be_saved_is_not_finished_by_the_window_that_waited(tmp_path, monkeypatch):
    """Another one has its turn at the very moment when the first gives up."""
    for name in ("blanks.csv", "shop.csv"):
        (tmp_path / name).write_bytes(b"old")
    place, turn = saving.place, saving.locked

    @contextmanager
    def locked(folder):
        try:
            with turn(folder):
                yield
        finally:
            for _ in folder.glob(".placing-*"):
                saving._finish(folder)

    def full(part, path):
        if path.name == "shop.csv":
            raise OSError(errno.ENOSPC, "No space left on device")
        place(part, path)

    monkeypatch.setattr(saving, "locked", locked)
    monkeypatch.setattr(saving, "place", full)
    with pytest.raises(PricelabError, match=r"shop\.csv\": the disk is full\. Make room"):
        save_together(tmp_path, {"blanks.csv": b"new", "shop.csv": b"new"})
    assert [path.read_bytes() for path in tmp_path.iterdir()] == [b"old", b"old"]


def test_a_window_that_does_not_come_to_an_end_is_told(tmp_path, monkeypatch):
    """Another one waits, but not for ever."""
    monkeypatch.setattr(saving, "_TURN", 0.05)
    with (
        saving.locked(tmp_path),
        pytest.raises(PricelabError, match=r"^Another window") as told,
    ):
        save_together(tmp_path, {"shop.csv": b"new"})
    assert str(told.value) == (
        f"Another window has been saving into {tmp_path.name} for 0.05 seconds. Wait until it is "
        "done, or close it, and try again; nothing was changed."
    )
    save_together(tmp_path, {"shop.csv": b"new"})


def test_old_copies_are_thinned_out(quick):
    """All of today, the last of each day for a month, the last of each month before."""
    path, old = quick / "shop.csv", quick / OLD
    for hours in range(24 * 90, -1, -12):
        path.write_bytes(str(hours).encode())
        kept = keep_copy(path, old, NOW - timedelta(hours=hours))
        assert kept.read_bytes() == path.read_bytes()
    names = sorted(copy.name[len("shop.until-") : -len(".csv")] for copy in old.iterdir())
    days = [name[:10] for name in names]
    assert days[:2] == ["2026-08-31", "2026-09-30"]
    assert names[-1] == "2026-11-25-093000"
    before = [name for name in names if name < "2026-11-25"]
    assert all(name.endswith("-213000") for name in before)
    assert len(before) == 31 + 3
    for at in range(110):  # more in a day than there are numbers of two figures
        path.write_bytes(b"x" * at)
        keep_copy(path, old, NOW)
    assert len(list(old.glob("shop.until-2026-11-25-*"))) >= 110


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as made:
        lost = not_saved(Path(made) / "shop", int(sys.argv[1]), 4)
        sys.stdout.write(f"{8 * int(sys.argv[1]):,} saved; lost: {lost or 0}\n")
