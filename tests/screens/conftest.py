"""What many tests of the panels look at: a demo shop, read once."""

from pathlib import Path

import pytest
from smallshop import write_shop

from pricelab.files.folders import DEMO_SHOP
from pricelab.files.shop_folder import ShopFolder, read_shop


@pytest.fixture(scope="session")
def harbour() -> ShopFolder:
    """The demo shop in inches."""
    return read_shop(DEMO_SHOP)


@pytest.fixture
def folder(tmp_path) -> Path:
    """The small shop's folder, which may be written to."""
    return write_shop(tmp_path)
