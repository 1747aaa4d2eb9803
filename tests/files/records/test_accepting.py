"""A figure in the shop's table and its row in the log: both or neither, whatever stops it.

The small shop's pressing takes 1 minute; its jobs are made to say 1.3.
"""

import os
import shutil
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest
from smallshop import FILES, write_shop

from pricelab.files.records.accepting import LOG, accept, accepted, amended
from pricelab.files.shop_folder import read_shop
from pricelab.jobs.learning import Change
from pricelab.shop.errors import PricelabError
from pricelab.shop.place import Place

ON = date(2026, 11, 25)
TABLE = "operations.csv"
PRESSING = Change(Place(TABLE, 2, "minutes"), "pressing", "1", "1.3")
BEFORE, AFTER = FILES[TABLE], FILES[TABLE].replace("pressing,1,", "pressing,1.3,")
NOTED = ("2026-11-25", "Patch: pressing", "1", "1.3", "24 jobs")


def accepting(shop: Path, changes=(PRESSING,)) -> Path:
    """Accept changes of the patch by what 24 jobs say."""
    return accept(read_shop(shop), changes, "Patch", "24 jobs", ON)


def table(shop: Path) -> str:
    """The table that is changed."""
    return (shop / TABLE).read_text()


def test_figures_are_written_and_noted_one_after_the_other(shop):
    """And told where."""
    assert accepted(shop) == []
    assert accepting(shop) == shop / TABLE
    assert table(shop) == AFTER
    assert accepted(shop) == [NOTED]
    accepting(shop, [Change(PRESSING.place, "pressing", "1.3", "1.4")])
    assert accepted(shop) == [NOTED, (*NOTED[:2], "1.3", "1.4", "24 jobs")]
    assert read_shop(shop).warnings == ()


def test_a_log_that_a_spreadsheet_saved_is_read_and_goes_on(shop):
    """With semicolons, and a remark."""
    (shop / LOG).parent.mkdir()
    (shop / LOG).write_text('# mine\nday;what;before;after;why\n2026-01-02;a;b;"c;d";e\n')
    accepting(shop)
    assert accepted(shop) == [("2026-01-02", "a", "b", "c;d", "e"), NOTED]


def test_a_log_that_is_no_text_is_told_and_nothing_is_written(shop):
    (shop / LOG).parent.mkdir()
    (shop / LOG).write_bytes(b"\xff\xfe")
    said = r"^old/accepted\.csv: found letters that are not UTF-8, expected a text file"
    for use in (accepting, accepted):
        with pytest.raises(PricelabError, match=said):
            use(shop)
    assert table(shop) == BEFORE


def test_a_table_changed_meanwhile_is_left_alone_and_nothing_is_noted(shop):
    """Another hand's 2 minutes stay."""
    read = read_shop(shop)
    (shop / TABLE).write_text(BEFORE.replace("pressing,1,", "pressing,2,"))
    with pytest.raises(PricelabError, match=r"^operations\.csv was changed since this page read"):
        accept(read, [PRESSING], "Patch", "24 jobs", ON)
    assert "pressing,2," in table(shop)
    assert accepted(shop) == []


def test_a_spreadsheet_is_not_written(shop):
    """The owner is told what to do instead."""
    change = Change(Place("operations.xlsx", 2, "minutes"), "pressing", "1", "1.3")
    with pytest.raises(PricelabError, match=r"in operations\.xlsx, which this workbook does not"):
        accepting(shop, [change])
    assert accepted(shop) == []


def test_a_column_that_is_not_there_is_told_and_nothing_is_noted(shop):
    gone = Change(Place(TABLE, 2, "spoilage"), "spoilage", "0 %", "4 %")
    said = r'operations\.csv has no column "spoilage"\. Add it, write 4 % in row 2'
    with pytest.raises(PricelabError, match=said):
        accepting(shop, [gone])
    assert accepted(shop) == []


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


# ---- real processes -------------------------------------------------------------------

COMMON = """
import shutil, sys
from datetime import date
from pathlib import Path
import strikes
from pricelab.shop.errors import PricelabError
from pricelab.files.records.accepting import accept, accepted
from pricelab.files.shop_folder import read_shop
from pricelab.shop.place import Place
from pricelab.jobs.learning import Change
change = Change(Place("operations.csv", 2, "minutes"), "pressing", "1", "1.3")
shop = Path(sys.argv[1])
read = read_shop(shop)
def again():
    "The shop as it was, with nothing accepted."
    (shop / "operations.csv").write_bytes(read.held["operations.csv"])
    shutil.rmtree(shop / "old", ignore_errors=True)
def do():
    accept(read, [change], "Patch", "24 jobs", date(2026, 11, 25))
def state():
    "Whether the figure is written, and whether it is noted, once the shop is opened again."
    read_shop(shop)
    table = (shop / "operations.csv").read_text()
    assert table.count("pressing,1,") + table.count("pressing,1.3,") == 1, table
    return int("1.3" in table), len(accepted(shop))
"""

KILLED = (
    COMMON
    + """
for step in strikes.deaths(do):
    print(*state())
    again()
"""
)
"""Kills a process at every step of an acceptance; prints what the shop then says."""

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
    print(*state(), said.replace(str(shop), ""), sep="|")
"""
)
"""Accepts with so many pages free on the disk, none to forty; prints what the shop then says."""


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
def test_killed_at_every_step_the_figure_and_its_row_are_both_there_or_neither(quick):
    seen = run(KILLED, write_shop(quick / "shop"))
    assert set(seen) == {"0 0", "1 1"}
    assert seen == sorted(seen)  # one after the other
    assert len(seen) > 20


def test_on_a_full_disk_the_figure_and_its_row_are_both_there_or_neither(tmp_path):
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
    for written, noted, said in seen:
        assert written == noted == ("1" if said == "done" else "0"), said
        assert said == "done" or "the disk is full" in said
        assert said == "done" or said.endswith("nothing was changed.")
    assert [said for *_, said in seen].count("done") > 5
    assert seen[0][-1] != "done"
