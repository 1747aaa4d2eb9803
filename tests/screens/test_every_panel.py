"""Every panel that is opened on a shop, on both demo shops; every box of it, wrongly filled in."""

import inspect

import pytest
from fuzzing.panels import panel_kinds

from pricelab.files.folders import DEMO_SHOP, DEMO_SHOPS, SHOPS_VARIABLE
from pricelab.files.shop_folder import ShopFolder, read_shop
from pricelab.screens.controls import Typed
from pricelab.screens.counter import open_counter
from pricelab.screens.driving import drive_to_ends
from pricelab.screens.intake import IntakePanel
from pricelab.screens.own_shop import OwnShopPanel
from pricelab.screens.panel import NOT_UP_TO_DATE
from pricelab.screens.shop_tables import TablesPanel
from pricelab.shop.units import Length

OF_A_SHOP = [
    kind
    for kind in panel_kinds().values()
    if [p.annotation for p in inspect.signature(kind).parameters.values()][:1] == [ShopFolder]
]


def with_a_sheet(shop):
    """The intake with two grids in what was pasted."""
    panel = IntakePanel(read_shop(shop))
    panel.text.set("Size (in)\t12+\t24+\n2\t3.10\t2.10\n\nSize (in)\t12+\t24+\n3\t4.10\t3.10")
    return panel


ALL = {kind.__name__: lambda shop, kind=kind: kind(read_shop(shop)) for kind in OF_A_SHOP} | {
    "IntakePanel": with_a_sheet,
    "CounterPanel": open_counter,
    "TablesPanel": TablesPanel,
    "OwnShopPanel": lambda shop: OwnShopPanel(),
}


@pytest.fixture(autouse=True)
def no_shops(tmp_path, monkeypatch):
    """There is no shop of one's own yet."""
    monkeypatch.setenv(SHOPS_VARIABLE, str(tmp_path))


@pytest.mark.parametrize("shop", DEMO_SHOPS, ids=lambda shop: shop.name)
@pytest.mark.parametrize("make", ALL.values(), ids=ALL)
def test_every_control_goes_to_its_ends(make, shop):
    """And back; what cannot be is answered, and every end is told of."""
    panel = make(shop)
    said = drive_to_ends(panel).splitlines()
    assert len(said) >= 2 * sum(bool(control.ends) for control in panel.controls)


ENTRIES = {
    "12.5": 12.5,
    "2,5": 2.5,
    "1,200": 1200,
    "-3": -3,
    "": None,
    "1e9": "never read",
    "nan": "never read",
    "0x1F": "never read",
    "12 of them": "never read",
    "7" * 400: "never read",
}
"""What may be typed into any box, and the one figure that each may be read as."""


def _figure(value):
    """The figure that an entry was read as; nothing for what was left empty."""
    value = value[0] if isinstance(value, tuple) and len(value) == 1 else value
    return float(value.value) if isinstance(value, Length) else value or None


OF_WORDS = {"File in your shop's folder", "Its headings, if others than in jobs.csv"}
"""Boxes in which no figure is typed, which may take two sentences to answer."""


@pytest.mark.parametrize("make", ALL.values(), ids=ALL)
def test_no_figure_stands_beside_an_entry_that_it_is_not_for(make):
    """An entry is read as what it says or answered; then all that hangs on it is marked."""
    panel = make(DEMO_SHOP)
    for control in panel.controls:
        if not isinstance(control, Typed):
            continue
        kept = control.widget.value
        for entry, meant in ENTRIES.items():
            control.set(entry)
            wrong = "pl-wrong" in control.box._dom_classes
            assert wrong == bool(control.words)
            assert ". " not in control.words or control.label in OF_WORDS, "one sentence is enough"
            if not wrong:
                assert _figure(control.value) == meant, (control.label, entry)
            if wrong or not panel.up_to_date:
                old = [part for part in panel.parts if part.words and part not in panel.steady]
                assert all(part.old for part in old), (control.label, entry)
                assert not old or NOT_UP_TO_DATE in str(panel)
        control.set(kept)
        assert panel.up_to_date, control.label
        assert not any(part.old for part in panel.parts)
    assert panel.mistake is None
