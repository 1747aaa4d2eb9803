"""What a screen shows where saving fails: the sentence, and all that was entered; then it saves."""

import errno
import os
import re

import pytest
from smallshop import ON
from writers import begun, tree

from pricelab.client.catalogue import catalogue_of
from pricelab.files.order_file import QUOTES
from pricelab.files.records.book import FILE, Records
from pricelab.files.shop_folder import read_shop
from pricelab.screens.counter import CounterPanel
from pricelab.screens.html import text
from pricelab.screens.intake import IntakePanel
from pricelab.screens.noting import NotingPanel
from pricelab.screens.price_list import PriceListPanel
from pricelab.screens.shop_tables import TablesPanel
from pricelab.screens.times import TimesPanel

FULL = 'Could not save "{}": the disk is full. Make room and try again; nothing was changed.'
IN_USE = (
    'Could not save "{}": it is open in a spreadsheet, which would write over it. Close it there '
    "and try again; nothing was changed. (If no spreadsheet has it open, delete "
    '".~lock.{}#" beside it.)'
)
NO_QUOTE = (
    "The quote could not be saved: the disk is full, or the folder of quotes may not be written "
    "to. Nothing was saved; make room and press again."
)


def price_list(folder):
    """A list with another first quantity."""
    panel = PriceListPanel(read_shop(folder))
    panel.first.set("3")
    return panel, panel.files[0]


def paper(folder):
    """The same list, as a client gets it."""
    panel, _ = price_list(folder)
    return panel, panel.files[3]


def counter(folder):
    """A quote for a client who is named."""
    panel = CounterPanel(catalogue_of(read_shop(folder)), folder / QUOTES, lambda: ON)
    panel.width.set("2")
    panel.pieces.set(12)
    panel.client.set("Ann")
    return panel, panel.save


def grid(folder):
    """A supplier's sheet, one cell of it mended."""
    panel = IntakePanel(read_shop(folder))
    panel.text.set("mean of sides (in)\t1\t20\n2\t3.10\t2.10\n3\t4.10\t3.10")
    panel.name.set("patches")
    return panel, panel.save


def minutes(folder):
    """Minutes that jobs contradict, about to be accepted."""
    rows = "".join(
        f"{at},2026-03-02,C,patch,cap,2,2,{n},first,12.40,0,{12.4 * n:.2f},{30 + 2 * n + at % 3}\n"
        for at, n in enumerate([5, 8, 12, 20, 24, 30, 40, 48] * 2)
    )
    head = "job,date,client,method,blank,width,height,quantity,order,price each,set-up charged,"
    (folder / "jobs.csv").write_text(f"{head}charged,attended minutes\n{rows}")
    works = "method,operation,minutes,per\npatch,pressing,1,piece\npatch,setting up,9,order\n"
    (folder / "operations.csv").write_text(works)
    panel = TimesPanel(read_shop(folder))
    panel.part.set("piece")
    return panel, panel.accept


def tables(folder):
    """A higher wage, and another name for the blank: two files."""
    panel = TablesPanel(folder)
    names = [name for name, _ in panel._edits.settings()]
    panel.cells.put(names.index("labour rate"), 1, "31")
    panel.table.set("blanks")
    panel.cells.put(0, 1, "Another name")
    return panel, panel.save


FILES = {
    price_list: "price_list.csv",
    paper: "for-clients/patch-cap-price-list.csv",
    counter: "",
    grid: "grids/patches.csv",
    minutes: "operations.csv",
    tables: "shop.csv",
}
"""Screens with something entered, and their button; the file that it writes."""


def entered(panel) -> list[object]:
    """What every control holds, as it is shown."""
    return [getattr(control.widget, "value", None) for control in panel.controls]


def refused(panel, button, folder, said: str) -> None:
    """The press is answered by the sentence in full; nothing else changes anywhere."""
    before, kept, shown = tree(folder), entered(panel), str(panel)
    button.press()
    answer = re.sub(r"^<[^>]+>|</span>$", "", button.said.value)
    assert answer == text(said)
    assert (tree(folder), begun(folder)) == (before, [])
    assert (entered(panel), str(panel)) == (kept, shown)


@pytest.mark.parametrize("fill", FILES)
def test_a_full_disk_is_told_beside_the_button_and_the_next_press_saves(fill, folder, monkeypatch):
    """Nothing has to be entered again."""
    panel, button = fill(folder)
    before, file = tree(folder), FILES[fill]

    def full(_):
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", full)
        refused(panel, button, folder, FULL.format(folder / file) if file else NO_QUOTE)
    button.press()
    saved = tree(folder)
    assert saved.keys() >= before.keys() - {"unsaved.json"}  # which is saved by now
    assert saved != before
    assert begun(folder) == []


@pytest.mark.parametrize("fill", [price_list, paper, grid, minutes])
def test_a_file_that_is_open_in_a_spreadsheet_is_told_beside_the_button(fill, folder):
    """With how to go on."""
    _, button = fill(folder)
    path = folder / FILES[fill]
    path.parent.mkdir(exist_ok=True)
    path.touch()
    lock = path.with_name(f".~lock.{path.name}#")
    lock.touch()
    before = tree(folder)
    assert text(IN_USE.format(path, path.name)) in button.press()
    assert tree(folder) == before
    lock.unlink()
    button.press()
    assert tree(folder) != before


def test_a_book_that_cannot_be_written_is_told_beside_the_button(folder):
    """A folder is in its place; the job is still entered, and noted when the folder is away."""
    panel = NotingPanel(read_shop(folder), lambda: ON)
    panel.form["job"].set("J7")
    panel.form["price each"].set("11.00")
    (folder / FILE).mkdir()
    refused(
        panel, panel.note, folder, f"{FILE} could not be used: the folder or the file may not be "
        "opened or written to. Allow it, and try again. Nothing was changed.",
    )  # fmt: skip
    (folder / FILE).rmdir()
    panel.note.press()
    assert list(Records(folder).jobs()["job"]) == ["J7"]
