"""Every panel that is shown, made on a shop, and filled in by hostile hands."""

import inspect
import os
import pkgutil
from collections.abc import Callable
from contextlib import suppress
from functools import partial
from importlib import import_module
from pathlib import Path
from random import Random

from fuzzing import inputs
from ipywidgets import Widget
from traitlets import TraitError

import pricelab.screens
from pricelab.client.catalogue import Catalogue, catalogue_of
from pricelab.files.folders import SHOPS_VARIABLE
from pricelab.files.shop_folder import ShopFolder, read_shop
from pricelab.screens.controls import UNFORESEEN
from pricelab.screens.panel import Panel
from pricelab.shop.errors import PricelabError

ANEW = 100
"""Inputs after which a panel is made anew."""


def panel_kinds() -> dict[str, type]:
    """Every panel that is shown, wherever in `pricelab.screens` it stands."""
    found = {}
    for module in pkgutil.iter_modules(pricelab.screens.__path__):
        for name, kind in vars(import_module(f"pricelab.screens.{module.name}")).items():
            ours = inspect.isclass(kind) and issubclass(kind, Panel)
            if ours and kind.update is not Panel.update:  # others only hold a panel of these
                found[name] = kind
    return found


def make_panel(kind: type, shop: Path):
    """A panel on the shop; what its parameters are called for is told by their kinds."""
    known = {
        ShopFolder: lambda name: read_shop(shop),
        Catalogue: lambda name: catalogue_of(read_shop(shop)),
        Path: lambda name: shop / "quotes" if name == "quotes" else shop,
        PricelabError: lambda name: PricelabError("Found nothing, expected something."),
    }
    needed = [p for p in inspect.signature(kind).parameters.values() if p.default is p.empty]
    return kind(*(known[each.annotation](each.name) for each in needed))


def widgets_of(root: Widget) -> list[Widget]:
    """Every widget under a panel's root, in the order in which they stand."""
    found, left = [], [root]
    while left:
        widget = left.pop(0)
        if widget not in found:
            found.append(widget)
            left[:0] = getattr(widget, "children", ())
    return found


def _state(dice: Random, widget: Widget) -> dict:
    """What a browser, or somebody in its place, may send for a widget."""
    value, kind = getattr(widget, "value", None), type(widget).__name__
    if kind == "FileUpload":
        name, content = inputs.sheet_file(dice)
        about = {"name": name, "type": "", "size": len(content), "last_modified": 0}
        return {"value": [about | {"content": memoryview(content)}]}
    if "index" in widget.keys:  # one of several
        return {"index": dice.choice((0, 1, 2, 3, None, -1, 10**6))}
    if isinstance(value, str):
        if kind == "Textarea" and dice.random() < 0.7:
            return {"value": inputs.sheet(dice)}
        near = dice.random() < 0.3
        return {"value": inputs.garbled(dice, value) if near else inputs.text(dice)}
    if isinstance(value, bool):
        return {"value": not value}
    odd = (0, 2**31, 2**63, -(10**30), 89.99, 1e308, 5e-324, float("nan"), float("inf"))
    return {"value": dice.choice((dice.randint(-2, 400), dice.uniform(0, 90), *odd))}


class Hands:
    """Change one control after the other of a panel, or press a button."""

    def __init__(self, kind: type, write_shop: Callable[[Path], None]):
        self.kind, self.write_shop = kind, write_shop
        self.panel, self.fed = None, 0

    def __call__(self, shop: Path, dice: Random) -> partial:
        """One change of one control, or one press; most changes are taken back after it."""
        if self.panel is None or self.fed % ANEW == 0:
            self.write_shop(shop)
            os.environ[SHOPS_VARIABLE] = str(shop / "shops")
            self.panel = make_panel(self.kind, shop)
        self.fed += 1
        enabled = [w for w in widgets_of(self.panel.root) if not getattr(w, "disabled", False)]
        buttons = [w for w in enabled if hasattr(w, "click") and w.description != "Stop"]
        boxes = [w for w in enabled if w.has_trait("disabled") and w.has_trait("value")]
        if buttons and (dice.random() < 0.15 or not boxes):
            return partial(self._watched, dice.choice(buttons).click)
        if not boxes:
            return partial(self._watched)
        written = [w for w in boxes if isinstance(w.value, str | tuple)]
        box = dice.choice(written if written and dice.random() < 0.75 else boxes)
        state, before = _state(dice, box), box.get_state()
        back = {key: before[key] for key in state} if dice.random() < 0.95 else {}
        return partial(self._watched, partial(_send, box, state), partial(_send, box, back))

    def _watched(self, *steps) -> None:
        for step in steps:
            step()
            panel, self.panel = self.panel, None  # made anew after a mistake
            if panel.mistake is not None:
                raise panel.mistake
            shown = [w.value for w in widgets_of(panel.root) if type(w).__name__ == "HTML"]
            assert UNFORESEEN not in "".join(shown) + str(panel)
            self.panel = panel


def _send(widget: Widget, state: dict) -> None:
    """As a message from the browser; what the widget itself does not take is none."""
    with suppress(TraitError):
        widget.set_state(state)
