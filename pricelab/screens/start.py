"""The first screen: is the shop's data in order, and what does a piece cost?"""

import numpy as np

from pricelab.analysis.comparison import method_costs
from pricelab.files.marks import TO_REPLACE
from pricelab.files.shop_folder import ShopFolder
from pricelab.pictures.curves import CURVES, Curve, Curves
from pricelab.pictures.layers import LAYERS, Layers
from pricelab.screens.controls import Choice, Pieces
from pricelab.screens.html import bullets, paragraph, sentence, table
from pricelab.screens.panel import Panel, Shown, View
from pricelab.screens.sides import Sides
from pricelab.shop.figures import count, listed
from pricelab.words.cautions import HEADING, cautions_for


class StartPanel(Panel):
    """The data check, and the cost a piece by method over quantity at one size."""

    def __init__(self, folder: ShopFolder):
        shop = self._shop = folder.shop
        self.blank = Choice.of("Blank", shop.blanks)
        self.sides = Sides(shop.unit, {"in": ("3", "2"), "mm": ("75", "50")})
        self.quantity = Pieces("Pieces", "24", shop.largest_order)
        self.method = Choice.of("Look into", shop.methods, width="280px")
        self.check, self.impossible, self.cautions = Shown(), Shown(), Shown()
        self.costs, self.layers = View(CURVES, "start-costs"), View(LAYERS, "start-layers")
        self.steady = (self.check, self.cautions)
        self._check(folder)
        self.cautions.say_each([*map(str, cautions_for(shop))], head=HEADING)
        self.lay_out(
            self.check,
            [self.blank, *self.sides.controls, self.quantity],
            self.costs,
            self.impossible,
            [self.method],
            self.layers,
            self.cautions,
        )

    def _check(self, folder: ShopFolder) -> None:
        """Whether the folder is in order: counts, and what is worth a look."""
        shop, warnings = folder.shop, folder.warnings
        things = {
            "method": shop.methods,
            "blank": shop.blanks,
            "price list": folder.price_lists,
            "finished job": folder.jobs,
        }
        read = ", ".join(count(len(some), noun) for noun, some in things.items())
        looks = [str(warning) for warning in warnings if TO_REPLACE not in warning.found]
        left = [warning.place.file for warning in warnings if TO_REPLACE in warning.found]
        if left:
            looks.insert(
                0,
                f"Some figures are still those of an invented shop, marked “{TO_REPLACE}”, in "
                f"{listed(left)}: put your own in, in notebook 7.",
            )
        if not folder.price_lists:
            looks.append(
                "There is no price list yet. Until you save one in notebook 1, nothing can be "
                "shown to a client."
            )
        few = {0: "Nothing in them looks odd.", 1: "One thing is worth a look:"}
        head = few.get(len(looks), f"{len(looks)} things are worth a look:")
        finding, said = f"{shop.name}: your files are in order", f"Read: {read}. {head}"
        notice = paragraph(shop.notice, "side") if shop.notice else ""
        self.check.write(
            paragraph(finding, "finding") + paragraph(said) + bullets(looks) + notice,
            "\n".join([f"{finding}.", said, *looks, shop.notice]),
        )

    def update(self) -> None:
        """Cost one artwork on one blank by every method, at every quantity."""
        shop, size, quantity = self._shop, self.sides.words, self.quantity.value
        quantities = np.arange(1, shop.largest_order + 1)
        blank, method = shop.blanks[self.blank.value], shop.methods[self.method.value]
        sheets, reasons = method_costs(shop, blank, self.sides.artwork, quantities)
        curves = tuple(
            Curve(method.name, sheets[key].full / quantities, at)
            for at, (key, method) in enumerate(shop.methods.items())
            if key in sheets
        )
        name = f"{count(quantity, 'piece')} of {size}"
        self.costs.draw(Curves("cost", name, shop.currency, quantities, curves, quantity))
        whys = [(shop.methods[key].name, sentence(why)) for key, why in reasons.items()]
        self.impossible.write(
            table(("Not possible here", "Why"), whys, left=(0, 1)) if whys else "",
            "\n".join(f"{name}: {why}" for name, why in whys),
        )
        if method.key not in sheets:
            self.layers.write(paragraph("This method cannot do the artwork above."))
            return
        name = f"{method.name.partition(',')[0]}, {size}"
        self.layers.draw(Layers.of(name, sheets[method.key], shop.currency, quantity))
