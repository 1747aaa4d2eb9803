"""A figure in the shop's table and its entry in the book: both or neither, whatever stops it.

The small shop's pressing takes 1 minute; its jobs are made to say 1.3.
"""

import os
import shutil
import subprocess
import sys
from datetime import date
from pathlib import Path

import pandas as pd
import pytest
from smallshop import FILES, write_shop

from pricelab.files.records import accepting
from pricelab.files.records.accepting import accept, amended, settle
from pricelab.files.records.book import Records
from pricelab.files.records.schema import INTENDED
from pricelab.files.shop_folder import read_shop
from pricelab.jobs.learning import Change
from pricelab.shop.errors import PricelabError
from pricelab.shop.place import Place

ON = date(2026, 11, 25)
TABLE = "operations.csv"
PRESSING = Change(Place(TABLE, 2, "minutes"), "pressing", "1", "1.3")
BEFORE, AFTER = FILES[TABLE], FILES[TABLE].replace("pressing,1,", "pressing,1.3,")


def accepted(shop: Path, changes=(PRESSING,)) -> Path:
    """Accept changes of the patch by what 24 jobs say."""
    return accept(read_shop(shop), changes, "Patch", "24 jobs", ON)


def entries(shop: Path) -> list[list]:
    """What the book notes of changes, without numbers; nothing more is intended."""
    records = Records(shop)
    assert records.table(INTENDED).empty
    return records.changes().drop(columns="number").to_numpy().tolist()


def table(shop: Path) -> str:
    """The table that is changed."""
    return (shop / TABLE).read_text()


NOTED = [pd.Timestamp(ON), "Patch: pressing", "1", "1.3", "24 jobs"]


def test_a_figure_is_written_and_noted(shop):
    """And told where."""
    assert accepted(shop) == shop / TABLE
    assert table(shop) == AFTER
    assert entries(shop) == [NOTED]


def test_a_table_changed_meanwhile_is_left_alone_and_nothing_is_noted(shop):
    """Another hand's 2 minutes stay."""
    read = read_shop(shop)
    (shop / TABLE).write_text(BEFORE.replace("pressing,1,", "pressing,2,"))
    with pytest.raises(PricelabError, match=r"^operations\.csv was changed since this page read"):
        accept(read, [PRESSING], "Patch", "24 jobs", ON)
    assert "pressing,2," in table(shop)
    assert entries(shop) == []


def test_a_spreadsheet_is_not_written(shop):
    """The owner is told what to do instead."""
    change = Change(Place("operations.xlsx", 2, "minutes"), "pressing", "1", "1.3")
    with pytest.raises(PricelabError, match=r"in operations\.xlsx, which this workbook does not"):
        accepted(shop, [change])
    assert entries(shop) == []


def test_a_column_that_is_not_there_is_told_and_nothing_is_noted(shop):
    gone = Change(Place(TABLE, 2, "spoilage"), "spoilage", "0 %", "4 %")
    said = r'operations\.csv has no column "spoilage"\. Add it, write 4 % in row 2'
    with pytest.raises(PricelabError, match=said):
        accepted(shop, [gone])
    assert entries(shop) == []


# ---- nothing else in the table ---------------------------------------------------------


def minutes(row, after):
    """New minutes in a row."""
    return Change(Place(TABLE, row, "minutes"), "press", "9", after)


OWN = (
    b"\xef\xbb\xbf# Invented, all of it\r\n"
    b"operation,  minutes ,note\r\n"
    b'"set, and try",9,"said ""so"",\nin two lines"\r\n'
    b"\r\n"
    b"press,0.70\r\n"
    b"sew,2.2,kept as it is"
)


def test_only_the_cells_asked_for_change():
    """Byte for byte: remarks, blank rows, quoted line breaks, ends of lines and the BOM stay."""
    assert amended(OWN, [minutes(3, "11.9"), minutes(5, "0.836"), minutes(6, "2")]) == (
        b"\xef\xbb\xbf# Invented, all of it\r\n"
        b"operation,  minutes ,note\r\n"
        b'"set, and try",11.9,"said ""so"",\nin two lines"\r\n'
        b"\r\n"
        b"press,0.836,\r\n"
        b"sew,2,kept as it is"
    )


def test_a_file_with_semicolons_has_decimal_commas():
    """As European spreadsheets save it."""
    assert amended(b"operation;minutes\npress;0,7\n", [minutes(2, "0.85")]) == (
        b"operation;minutes\npress;0,85\n"
    )


def test_every_demo_table_comes_back_as_it_was(root):
    """Both shops' own figures written over themselves: each file stays as it is."""
    for shop in ("harbour-caps", "fjord-muetzen"):
        folder = root / "data" / shop
        works = [o for m in read_shop(folder).shop.methods.values() for o in m.operations]
        same = [Change(o.place, o.name, "", f"{o.minutes:g}") for o in works]
        content = (folder / "operations.csv").read_bytes()
        assert len(same) > 10
        assert amended(content, same) == content


# ---- what was cut short ---------------------------------------------------------------


def cut_short(shop: Path, monkeypatch, *, written: bool) -> None:
    """An acceptance that is stopped before the table was written, or right after it."""

    def stop(*_, **__):
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(accepting, "_note" if written else "save_together", stop)
        with pytest.raises(KeyboardInterrupt):
            accepted(shop)
    assert len(Records(shop).table(INTENDED)) == 1
    assert table(shop) == (AFTER if written else BEFORE)


def test_what_was_written_is_noted_when_it_is_settled(shop, monkeypatch):
    """Once, however often."""
    cut_short(shop, monkeypatch, written=True)
    settle(shop)
    settle(shop)
    assert entries(shop) == [NOTED]


def test_what_was_not_written_is_dropped(shop, monkeypatch):
    cut_short(shop, monkeypatch, written=False)
    settle(shop)
    assert entries(shop) == []
    assert accepted(shop)
    assert entries(shop) == [NOTED]


@pytest.mark.parametrize(
    ("written", "now", "noted"),
    [
        (True, "operation;minutes;per;method\npressing;1,30;piece;patch\n", [NOTED]),
        (False, 'method,operation,minutes,per\n"patch","pressing","1.0","piece"\n', []),
    ],
)
def test_a_spreadsheet_that_saved_the_table_since_makes_no_difference(
    shop, monkeypatch, written, now, noted
):
    """Columns in another order, decimal commas, quotation marks: the figure is the same."""
    cut_short(shop, monkeypatch, written=written)
    (shop / TABLE).write_text(now)
    settle(shop)
    assert entries(shop) == noted


@pytest.mark.parametrize(
    ("now", "says"),
    [
        ("method,operation,minutes,per\npatch,pressing,2.5,piece\n", 'says "2.5" now'),
        ("method,operation,minutes,per\n", "is not there any more"),
        ("method,operation,per\npatch,pressing,piece\n", "is not there any more"),
        (b"\xff\xfe", "is not there any more"),
        (None, "is not there any more"),
    ],
)
def test_where_the_table_holds_neither_the_entry_says_so(shop, monkeypatch, now, says):
    """Changed by other hands since, or gone: nobody can know what was written."""
    cut_short(shop, monkeypatch, written=True)
    if now is None:
        (shop / TABLE).unlink()
    else:
        (shop / TABLE).write_bytes(now if isinstance(now, bytes) else now.encode())
    settle(shop)
    assert entries(shop) == [
        [pd.Timestamp(ON), "Patch: pressing", "1", "not certain (1.3)",
         f"24 jobs; cut short, and operations.csv, row 2, {says}"],
    ]  # fmt: skip


def test_what_was_cut_short_is_settled_before_the_next_is_accepted(shop, monkeypatch):
    """Both entries stand, in their order."""
    cut_short(shop, monkeypatch, written=True)
    accepted(shop, [Change(PRESSING.place, "pressing", "1.3", "1.4")])
    assert [row[2:4] for row in entries(shop)] == [["1", "1.3"], ["1.3", "1.4"]]


def test_a_window_that_opens_at_that_moment_hinders_and_loses_nothing(shop, monkeypatch):
    """It settles what the first is about to write; the first says so, and writes nothing."""
    intend = accepting._intend

    def and_another_opens(*about):
        numbers = intend(*about)
        settle(shop)
        return numbers

    monkeypatch.setattr(accepting, "_intend", and_another_opens)
    with pytest.raises(PricelabError, match=r"^Another window was opened at this very moment\. N"):
        accepted(shop)
    assert table(shop) == BEFORE
    assert entries(shop) == []


# ---- real processes -------------------------------------------------------------------

COMMON = """
import shutil, sqlite3, sys
from datetime import date
from pathlib import Path
import strikes
from pricelab.shop.errors import PricelabError
from pricelab.files.records.accepting import accept, settle
from pricelab.files.records.book import Records
from pricelab.files.shop_folder import read_shop
from pricelab.shop.grids import Place
from pricelab.jobs.learning import Change
change = Change(Place("operations.csv", 2, "minutes"), "pressing", "1", "1.3")
shop = Path(sys.argv[1])
read = read_shop(shop)
with Records(shop).writing():
    pass  # a book that has nothing in it
def asked(*statements):
    book = sqlite3.connect(shop / "records.sqlite", isolation_level=None)
    found = [book.execute(statement).fetchone() for statement in statements]
    book.close()
    return found
def again():
    "The shop as it was, with nothing in its book."
    (shop / "operations.csv").write_bytes(read.held["operations.csv"])
    asked("DELETE FROM changes", "DELETE FROM intended")
def do():
    accept(read, [change], "Patch", "24 jobs", date(2026, 11, 25))
def state():
    "Whether the figure is written, whether it is noted, whether anything is intended."
    table = (shop / "operations.csv").read_text()
    assert table.count("pressing,1,") + table.count("pressing,1.3,") == 1, table
    counts = asked("SELECT count(*) FROM changes", "SELECT count(*) FROM intended")
    return (int("1.3" in table), *(count for (count,) in counts))
"""

KILLED = (
    COMMON
    + """
strikes._FILES += (sqlite3.Connection,)  # every statement of the book is a step too,
strikes._OF_NO_FILE.update(["stat", "lstat", "access", "_path_normpath"])  # but no look at a name
for step in strikes.deaths(do):
    left = state()
    settle(shop)
    print(*left, *state())
    again()
"""
)
"""Kills a process at every step of an acceptance; prints what is left, and then is settled."""

CRAMPED = (
    COMMON
    + """
ballast = shop / "ballast"
for pages in range(0, 40):
    again()
    free = shutil.disk_usage(shop).free
    ballast.write_bytes(bytes(max(free - 4096 * pages, 0)))
    try:
        do()
        said = "done"
    except PricelabError as error:
        said = str(error)
    ballast.unlink()
    left = state()
    settle(shop)
    print(*left, *state(), said.replace(str(shop), ""), sep="|")
"""
)
"""Accepts with so many pages free on the disk, none to forty; prints what is left, and settled."""


def run(code: str, shop: Path) -> list[str]:
    """The lines that a process of its own prints."""
    tests = Path(__file__).parents[2]
    paths = os.pathsep.join([str(tests.parent), str(tests)])
    done = subprocess.run(
        [sys.executable, "-c", code, shop], capture_output=True, text=True,
        env={**os.environ, "PYTHONPATH": paths}, timeout=300,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return done.stdout.splitlines()


@pytest.mark.skipif(os.name != "posix", reason="processes are forked")
def test_killed_at_every_step_the_figure_and_its_entry_are_both_there_or_neither(quick):
    """All that can be left is met, the written figure without its entry too, and all is settled."""
    seen = [tuple(map(int, line.split())) for line in run(KILLED, write_shop(quick / "shop"))]
    left = [each[:3] for each in seen]
    assert set(left) == {(0, 0, 0), (0, 0, 1), (1, 0, 1), (1, 1, 0)}
    assert left == sorted(left)  # one after the other
    for written, noted, intended, *settled in seen:
        assert settled == [written, written, 0]
        assert noted + intended <= 1
    assert len(seen) > 30


def test_on_a_full_disk_the_figure_and_its_entry_are_both_there_or_neither(tmp_path):
    """With no page free, then one, and so on, where the system lets a test make a small disk."""
    disk = tmp_path / "disk"
    disk.mkdir()
    mount = shutil.which("mount")
    made = mount and subprocess.run(
        [mount, "-t", "tmpfs", "-o", "size=512k", "tmpfs", disk], capture_output=True
    )
    if not made or made.returncode:
        pytest.skip("no disk can be made here")
    try:
        lines = run(CRAMPED, write_shop(disk / "shop"))
    finally:
        subprocess.run(["umount", disk], check=True)
    seen = [line.split("|") for line in lines]
    for *figures, said in seen:
        written, noted, intended, *settled = map(int, figures)
        assert settled == [written, written, 0]
        assert noted + intended <= 1 or said == "done"
        if said != "done":
            assert written == 0, said
            assert "the disk is full" in said
            assert said.endswith(("Nothing was changed.", "nothing was changed."))
    assert [said for *_, said in seen].count("done") > 5
    assert seen[0][-1] != "done"
