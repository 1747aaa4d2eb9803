"""A small whole shop in files, for each test of reading files."""

import pytest
from smallshop import SmallShop


@pytest.fixture
def small_shop(tmp_path) -> SmallShop:
    """A whole shop: two blanks, three methods, a grid, a list and two jobs."""
    return SmallShop(tmp_path / "corner-caps")
