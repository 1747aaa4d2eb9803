"""Files are saved whole or not at all."""

import os

import pytest

from pricelab.errors import PricelabError
from pricelab.paper.saving import save_whole


def test_it_makes_the_folder_and_replaces_an_older_file(tmp_path):
    """Nothing but the file is left in the folder."""
    path = tmp_path / "lists" / "list.csv"
    for content in (b"old", b"new and longer"):
        assert save_whole(path, content) == path
    assert path.read_bytes() == b"new and longer"
    assert os.listdir(path.parent) == ["list.csv"]


def test_where_the_disk_is_full_the_older_file_stays(tmp_path, monkeypatch):
    """A write that fails half way leaves the old content and no scrap."""
    path = save_whole(tmp_path / "list.csv", b"old")

    def full(_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(PricelabError, match=r"Could not save .* \(No space left on device\)"):
        save_whole(path, b"new")
    assert path.read_bytes() == b"old"
    assert os.listdir(tmp_path) == ["list.csv"]


def test_a_folder_that_is_a_file_is_told(tmp_path):
    """The sentence names the file and says what to do."""
    (tmp_path / "lists").write_text("a file")
    path = tmp_path / "lists" / "list.csv"
    with pytest.raises(PricelabError) as caught:
        save_whole(path, b"new")
    assert str(caught.value) == (
        f'Could not save "{path}" (File exists). Close it in other programs, make sure that the '
        "folder may be written to and has room, and try again."
    )


def test_a_new_file_may_be_read_by_whom_the_machine_allows(tmp_path):
    """Not by the owner alone, as a temporary file would be."""
    mask = os.umask(0o022)
    try:
        path = save_whole(tmp_path / "list.csv", b"new")
    finally:
        os.umask(mask)
    assert path.stat().st_mode & 0o777 == 0o644
