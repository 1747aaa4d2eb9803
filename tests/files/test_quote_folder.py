"""Quotes are saved whole under a running number, or not at all."""

import errno
import os
import re
from datetime import date
from pathlib import Path

import pytest

from pricelab.files.quote_folder import save_quote
from pricelab.shop.errors import PricelabError

DAY = date(2026, 11, 25)


def two_files(number):
    """A page and a table that name their number."""
    return {f"quote-{number}.pdf": f"page {number}".encode(), f"quote-{number}.csv": b"table"}


def names(folder: Path):
    """Every file and folder below, hidden ones too."""
    return sorted(str(path.relative_to(folder)) for path in folder.rglob("*"))


def test_quotes_of_a_day_are_numbered_one_after_the_other(tmp_path):
    """The folder is made with the first; another day begins at 01."""
    folder = tmp_path / "quotes"
    assert save_quote(folder, DAY, two_files) == "2026-11-25-01"
    assert save_quote(folder, DAY, two_files) == "2026-11-25-02"
    assert save_quote(folder, date(2026, 11, 26), two_files) == "2026-11-26-01"
    page = folder / "2026-11-25-02" / "quote-2026-11-25-02.pdf"
    assert page.read_bytes() == b"page 2026-11-25-02"


def test_a_clock_that_goes_back_writes_over_nothing(tmp_path):
    """From the new year to the old and back: the numbers of each day go on."""
    folder, eve, year = tmp_path / "quotes", date(2026, 12, 31), date(2027, 1, 1)
    numbers = [save_quote(folder, day, two_files) for day in (eve, year, eve, year)]
    assert numbers == ["2026-12-31-01", "2027-01-01-01", "2026-12-31-02", "2027-01-01-02"]
    assert [path.name for path in sorted(folder.iterdir())] == sorted(numbers)


def test_a_full_disk_leaves_nothing_and_the_sentence_names_no_place(tmp_path, monkeypatch):
    """The second file cannot be written: neither is there."""

    written = []

    def full(file):
        written.append(file)
        if len(written) == 2:
            raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    said = "The quote could not be saved: the disk is full, or the folder of quotes may not be"
    with pytest.raises(PricelabError, match=said) as refused:
        save_quote(tmp_path / "quotes", DAY, two_files)
    assert str(tmp_path) not in str(refused.value)
    assert names(tmp_path) == ["quotes"]


def test_a_file_in_the_place_of_the_folder_is_answered(tmp_path):
    """It is left as it is."""
    (tmp_path / "quotes").write_text("mine")
    with pytest.raises(PricelabError, match="The quote could not be saved"):
        save_quote(tmp_path / "quotes", DAY, two_files)
    assert (tmp_path / "quotes").read_text() == "mine"


def test_a_second_tab_that_is_quicker_keeps_its_quote(tmp_path):
    """Both quotes are there, neither mixed with the other."""
    folder, tabs = tmp_path / "quotes", []

    def slowly(number):
        if not tabs:
            tabs.append(number)
            save_quote(folder, DAY, lambda n: {f"quote-{n}.pdf": b"of the other tab"})
        return two_files(number)

    assert save_quote(folder, DAY, slowly) == "2026-11-25-02"
    assert names(folder) == [
        "2026-11-25-01", "2026-11-25-01/quote-2026-11-25-01.pdf", "2026-11-25-02",
        "2026-11-25-02/quote-2026-11-25-02.csv", "2026-11-25-02/quote-2026-11-25-02.pdf",
    ]  # fmt: skip
    first = folder / "2026-11-25-01" / "quote-2026-11-25-01.pdf"
    assert first.read_bytes() == b"of the other tab"


def test_a_page_that_cannot_be_made_saves_nothing(tmp_path):
    """What went wrong is told as it is."""

    def cannot(number):
        raise PricelabError("The page could not be set.")

    with pytest.raises(PricelabError, match=re.escape("The page could not be set.")):
        save_quote(tmp_path / "quotes", DAY, cannot)
    assert names(tmp_path) == []
