"""Whole shops in files, and a disk that is not under test."""

import tempfile
from pathlib import Path

import pytest
from cornershop import CornerShop
from smallshop import write_shop


@pytest.fixture
def corner_shop(tmp_path) -> CornerShop:
    """A whole shop: two blanks, three methods, a grid, a list and two jobs."""
    return CornerShop(tmp_path / "corner-caps")


@pytest.fixture
def folder(corner_shop) -> Path:
    """That shop's folder."""
    corner_shop.read()
    return corner_shop.folder


@pytest.fixture
def shop(tmp_path) -> Path:
    """The small shop's folder, with no book yet."""
    return write_shop(tmp_path / "shop")


@pytest.fixture(scope="module")
def quick():
    """A folder on a disk in memory, where there is one: it is not the disk that is under test."""
    memory = Path("/dev/shm")
    with tempfile.TemporaryDirectory(dir=memory if memory.is_dir() else None) as folder:
        yield Path(folder)
