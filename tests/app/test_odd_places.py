"""The clone and a shop on paths with names as people give them: real processes, whole answers."""

import os
import re
import shutil
import subprocess
import sys

import pytest
from oddplaces import NAME
from small_jobs import jobs_of

from pricelab.files.folders import ROOT, SHOP_VARIABLE
from pricelab.files.records.book import Records
from pricelab.shop.errors import PricelabError


@pytest.mark.parametrize("name", [NAME, f"{'x' * 240}/{'y' * 80}"], ids=["odd", "long"])
def test_the_book_is_kept_in_a_folder_of_any_name(tmp_path, name):
    """It goes by an address, in which #, ? and % mean something else."""
    folder = tmp_path / name
    folder.mkdir(parents=True)
    Records(folder).add_jobs(jobs_of({}))
    assert sorted(os.listdir(tmp_path)) == [name.partition("/")[0]]
    assert "records.sqlite" in os.listdir(folder)
    assert len(Records(folder).jobs()) == 1


def test_a_path_that_is_too_long_for_the_book_is_told(tmp_path):
    """SQLite takes 512 bytes, and makes two more files with longer names beside its own."""
    folder = tmp_path / ("x" * 240) / ("y" * 240)
    folder.mkdir(parents=True)
    said = (
        "The path of records.sqlite is too long: its folder's may have 470 bytes. Move your shop "
        "to a shorter one."
    )
    with pytest.raises(PricelabError, match=f"^{re.escape(said)}$"):
        Records(folder).add_jobs(jobs_of({}))
    assert os.listdir(folder) == []


def test_a_clone_in_a_folder_of_any_name_makes_the_same_pages(tmp_path):
    """Package, data and templates are found; the list for clients is the same to the byte."""
    clone = tmp_path / NAME / "clone"
    for name in ("pricelab", "data"):
        shutil.copytree(ROOT / name, clone / name, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "pyproject.toml", clone)
    made = []
    for at in (ROOT, clone):
        kept = {k: v for k, v in os.environ.items() if k not in ("PYTHONPATH", SHOP_VARIABLE)}
        into = tmp_path / NAME / f"lists {len(made)}"
        words = ("export", "leather", "mesh-back", "--on", "2026-11-25", "--to", into)
        done = subprocess.run(
            [sys.executable, "-m", "pricelab", *words], cwd=at, env=kept, capture_output=True,
            check=False,
        )  # fmt: skip
        assert (done.returncode, done.stderr) == (0, b"")
        made.append({p.suffix: p.read_bytes() for p in into.glob("*list*") if p.suffix != ".xlsx"})
    assert made[0].keys() == {".csv", ".pdf"}
    assert made[0] == made[1]
