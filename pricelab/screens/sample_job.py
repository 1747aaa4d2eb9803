"""A sample job beside the shop's tables: what a change to them does to its cost and its price."""

from pricelab.analysis.effect import Sample
from pricelab.cost.cost_sheet import beside
from pricelab.pictures.change import CHANGE, Changed
from pricelab.screens.controls import Choice, Pieces
from pricelab.screens.html import paragraph
from pricelab.screens.panel import Shown, View
from pricelab.screens.sides import Sides
from pricelab.shop.errors import PricelabError
from pricelab.shop.figures import count, number, percent
from pricelab.shop.shop import Shop
from pricelab.shop.tolerance import TOLERANCE
from pricelab.shop.units import UNITS
from pricelab.words.findings import short_names


class SampleJob:
    """Controls for the job, and what comes of it; `show` it the shop before and after."""

    def __init__(self, unit: str):
        self.method = Choice("Sample job by", {"": ""}, width="230px")
        self.blank = Choice("on", {"": ""}, width="190px")
        self.sides = Sides(unit if unit in UNITS else "in")
        self.pieces = Pieces("Pieces", "24", width="90px")
        self.effect = View(CHANGE, "own-change")
        self.verdict, self.prices, self.lines = Shown(), Shown(), Shown()
        self.rows = [
            [self.method, self.blank, *self.sides.controls, self.pieces],
            self.effect,
            self.prices,
            self.lines,
        ]

    def offer(self, shop: Shop | None) -> None:
        """Offer the methods and blanks of a shop; those before stay where there is none."""
        for control, kind in ((self.method, "methods"), (self.blank, "blanks")):
            if known := getattr(shop, kind, {}):
                names = short_names(value.name for value in known.values())
                control.offer(dict(zip(names, known, strict=True)))

    def show(self, saved: Shop | None, shop: Shop | None, *, edited: bool, faulty: bool) -> None:
        """The job in the shop as saved and, where it was `edited`, as it is now.

        A shop is None where there was none without a fault; `faulty` tells of later faults.
        """
        for part in (self.prices, self.lines, self.verdict):
            part.write("")
        if shop is None:
            words = "The sample job is worked out once the things above are mended."
            self.effect.say(words, "side")
            return
        if not shop.methods or not shop.blanks:
            return
        sample = (self.method.value, self.blank.value, self.sides.artwork, self.pieces.value)
        try:
            before = after = Sample.of(shop, *sample)
        except PricelabError as error:
            self.effect.say(f"This sample job cannot be made: {error}")
            return
        edited, why_not = edited and saved is not None, ""
        if edited:
            try:
                before = Sample.of(saved, *sample)
            except PricelabError as error:
                edited, why_not = False, f"As saved it cannot be made: {error}"
        name = shop.methods[self.method.value].name.partition(",")[0]
        what = f"{number(self.pieces.value)} × {name}, {self.sides.words}"
        told = self.effect.draw(Changed(what, shop.currency, before, after, edited))
        said = [f"At your target margin of {_price_words(after)}."]
        if edited:
            said.append(f"As saved: at {_price_words(before)}.")
            self.verdict.write(paragraph(told.finding, "verdict"))
            self._show_lines(before, after)
        if why_not:
            said.append(why_not)
        if faulty:
            said.append("This is how it was before what is to be mended.")
        self.prices.write(paragraph(" ".join(said)), "\n".join(said))

    def _show_lines(self, before: Sample, after: Sample) -> None:
        """The lines of the cost sheet that differ, and all others in one."""
        costs, money = beside(before=before.lines, after=after.lines), after.basis.shop.money
        costs = costs.set_index("label")[["before", "after", "difference"]]
        differ = costs["difference"].abs() > TOLERANCE
        if not differ.any():
            self.lines.say("No line of this job's costs differs.", "side")
            return
        sums = [
            *costs[differ].iterrows(),
            (f"{(~differ).sum()} other lines", costs[~differ].sum()),
            ("the whole order", costs.sum()),
        ]
        names = ("What it costs", "As saved", "As edited", "Difference")
        cells = [(label, *map(money, three)) for label, three in sums]
        rows = [dict(zip(names, row, strict=True)) for row in cells]
        caption = f"The whole order of {count(after.quantity, 'piece')}: the lines that differ"
        self.lines.tabulate(caption, rows, title="caption", sums=(len(rows) - 1,))


def _price_words(sample: Sample) -> str:
    """The price of a sample job at the target margin."""
    shop = sample.basis.shop
    setup = f" and the set-up of an artwork for {shop.money(sample.setup)}" if sample.setup else ""
    return f"{percent(shop.pricing.target)} a piece sells for {shop.money(sample.price)}{setup}"
