"""A small whole shop in files, for each test of reading files."""

import pytest
from cornershop import CornerShop


@pytest.fixture
def corner_shop(tmp_path) -> CornerShop:
    """A whole shop: two blanks, three methods, a grid, a list and two jobs."""
    return CornerShop(tmp_path / "corner-caps")
