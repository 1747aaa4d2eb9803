"""What many tests of the panels look at: a demo shop, read once."""

import pytest

from pricelab.files.folders import DEMO_SHOP
from pricelab.files.shop_folder import ShopFolder, read_shop


@pytest.fixture(scope="session")
def harbour() -> ShopFolder:
    """The demo shop in inches."""
    return read_shop(DEMO_SHOP)
