"""What many tests of the panels look at: a demo shop, read once."""

import pytest

from pricelab.files.shopfolder import ShopFolder, read_shop
from pricelab.folders import DEMO_SHOP


@pytest.fixture(scope="session")
def harbour() -> ShopFolder:
    """The demo shop in inches."""
    return read_shop(DEMO_SHOP)
