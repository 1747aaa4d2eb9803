"""The first screen: is the shop's data in order, and what does a piece cost?"""

import numpy as np

from pricelab.analysis.comparison import method_costs
from pricelab.cost.cost_sheet import CostSheet
from pricelab.files.marks import TO_REPLACE
from pricelab.files.shop_folder import ShopFolder
from pricelab.pictures.curves import CURVES, Curve, Curves
from pricelab.pictures.layers import LAYERS, Layers
from pricelab.screens.controls import Choice, Typed
from pricelab.screens.html import bullets, paragraph, sentence, table
from pricelab.screens.panel import Panel, Shown, View
from pricelab.screens.reading import pieces
from pricelab.screens.sides import Sides
from pricelab.shop.figures import count, listed
from pricelab.words.cautions import HEADING, cautions_for


class StartPanel(Panel):
    """The data check, and the cost a piece by method over quantity at one size."""

    def __init__(self, folder: ShopFolder):
        shop = self._shop = folder.shop
        self._folder = folder
        self.blank = Choice.of("Blank", shop.blanks)
        self.sides = Sides(shop.unit, {"in": ("3", "2"), "mm": ("75", "50")})
        self.quantity = Typed("Pieces", pieces(most=shop.largest_order), "24", width="100px")
        self.method = Choice.of("Look into", shop.methods, width="280px")
        self.check, self.impossible, self.cautions = Shown(), Shown(), Shown()
        self.steady = (self.check, self.cautions)
        self.costs, self.layers = View(CURVES, "start-costs"), View(LAYERS, "start-layers")
        self.lay_out(
            self.check,
            [self.blank, *self.sides.controls, self.quantity],
            self.costs,
            self.impossible,
            [self.method],
            self.layers,
            self.cautions,
        )

    def update(self) -> None:
        """Cost one artwork on one blank by every method, at every quantity."""
        shop, size = self._shop, self.sides.words
        quantities = np.arange(1, shop.largest_order + 1)
        blank = shop.blanks[self.blank.value]
        sheets, reasons = method_costs(shop, blank, self.sides.artwork, quantities)
        self._check()
        shown = Curves(
            "cost",
            f"{count(self.quantity.value, 'piece')} of {size}",
            shop.currency,
            quantities,
            tuple(
                Curve(method.name, sheets[key].full / quantities, at)
                for at, (key, method) in enumerate(shop.methods.items())
                if key in sheets
            ),
            self.quantity.value,
        )
        self.costs.draw(shown)
        self._say_impossible(reasons)
        self._draw_layers(sheets.get(self.method.value), size)
        self.cautions.say_each([*map(str, cautions_for(shop))], head=HEADING)

    def _check(self) -> None:
        """Whether the folder is in order: counts, and what is worth a look."""
        folder, shop = self._folder, self._shop
        counts = [
            (len(shop.methods), "method"),
            (len(shop.blanks), "blank"),
            (len(folder.price_lists), "price list"),
            (len(folder.jobs), "finished job"),
        ]
        said = f"{shop.name}: your files are in order"
        counted = ", ".join(count(n, what) for n, what in counts)
        looks = [str(warning) for warning in folder.warnings if TO_REPLACE not in warning.found]
        left = [warning.place.file for warning in folder.warnings if TO_REPLACE in warning.found]
        if left:
            looks.insert(
                0,
                f"Some figures are still those of an invented shop, marked “{TO_REPLACE}”, in "
                f"{listed(left)}: put your own in, in notebook 7.",
            )
        if not folder.price_lists:
            looks.append(
                "There is no price list yet. Until you save one in notebook 1, clients are shown "
                "the prices of a planned one."
            )
        few = {0: "Nothing in them looks odd.", 1: "One thing is worth a look:"}
        head = few.get(len(looks), f"{len(looks)} things are worth a look:")
        self.check.write(
            paragraph(said, "finding")
            + paragraph(f"Read: {counted}. {head}")
            + bullets(looks)
            + (paragraph(shop.notice, "side") if shop.notice else ""),
            "\n".join([f"{said}.", f"Read: {counted}. {head}", *looks, shop.notice]),
        )

    def _say_impossible(self, reasons: dict[str, str]) -> None:
        told = [(self._shop.methods[key].name, sentence(why)) for key, why in reasons.items()]
        html = table(("Not possible here", "Why"), told, left=(0, 1)) if told else ""
        self.impossible.write(html, "\n".join(f"{name}: {why}" for name, why in told))

    def _draw_layers(self, sheet: CostSheet | None, size: str) -> None:
        """What a piece by the chosen method is spent on; nothing where it cannot be made."""
        if sheet is None:
            self.layers.write(paragraph("This method cannot do the artwork above."))
            return
        name = f"{self._shop.methods[self.method.value].name.partition(',')[0]}, {size}"
        self.layers.draw(Layers.of(name, sheet, self._shop.currency, self.quantity.value))
