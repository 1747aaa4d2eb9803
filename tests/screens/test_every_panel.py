"""Every panel that is opened on a shop, on both demo shops."""

import inspect

import pytest
from fuzzing.panels import panel_kinds

from pricelab.files.folders import DEMO_SHOPS
from pricelab.files.shop_folder import ShopFolder, read_shop
from pricelab.screens.driving import drive_to_ends, ends

OF_A_SHOP = [
    kind
    for kind in panel_kinds().values()
    if [p.annotation for p in inspect.signature(kind).parameters.values()][:1] == [ShopFolder]
]


@pytest.mark.parametrize("shop", DEMO_SHOPS, ids=lambda shop: shop.name)
@pytest.mark.parametrize("kind", OF_A_SHOP, ids=lambda kind: kind.__name__)
def test_every_control_goes_to_its_ends(kind, shop):
    """And back; what cannot be is answered, and every end is told of."""
    panel = kind(read_shop(shop))
    said = drive_to_ends(panel).splitlines()
    assert len(said) >= 2 * sum(bool(ends(control)) for control in panel.controls)
