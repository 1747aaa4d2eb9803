"""A figure in the shop's table and its row in the log: both or neither, whatever stops it.

The small shop's pressing takes 1 minute; its jobs are made to say 1.3.
"""

import shutil
import subprocess
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


# ---- on a full disk -------------------------------------------------------------------


def test_on_a_full_disk_the_figure_and_its_row_are_both_there_or_neither(tmp_path):
    """With no page free, then one, and so on, where the system lets a test make a small disk."""
    mount = shutil.which("mount")
    made = mount and subprocess.run(
        [mount, "-t", "tmpfs", "-o", "size=512k", "tmpfs", tmp_path], capture_output=True
    )
    if not made or made.returncode:
        pytest.skip("no disk can be made here")
    shop, ballast, told = write_shop(tmp_path / "shop"), tmp_path / "ballast", []
    try:
        for pages in range(40):
            (shop / TABLE).write_text(BEFORE)
            shutil.rmtree(shop / "old", ignore_errors=True)
            free = shutil.disk_usage(tmp_path).free
            ballast.write_bytes(bytes(max(free - 4096 * pages, 0)))
            try:
                accepting(shop)
                told.append("")
            except PricelabError as error:
                told.append(str(error))
            ballast.unlink()
            assert ("pressing,1.3," in table(shop)) == bool(accepted(shop)) == (not told[-1])
    finally:
        subprocess.run(["umount", tmp_path], check=True)
    assert told[0]
    assert told.count("") > 5
    for said in filter(None, told):
        assert "the disk is full" in said
        assert said.endswith("nothing was changed.")
