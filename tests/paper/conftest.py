"""The small shop's list, ready to be handed out."""

import pytest
from smallshop import ON, write_shop

from pricelab.files.shop_folder import read_shop
from pricelab.lists.selling_list import planned_list
from pricelab.paper.client_copy import ClientCopy


@pytest.fixture
def folder(tmp_path):
    """The small shop."""
    return read_shop(write_shop(tmp_path / "small"))


@pytest.fixture
def price_list(folder):
    """The list that holds, at the tiers and sizes of today's."""
    shop = folder.shop
    return planned_list(folder, shop.methods["patch"], shop.blanks["cap"])


@pytest.fixture
def copy(folder, price_list):
    """The client's copy of it."""
    return ClientCopy.of(folder.shop, price_list, ON)
