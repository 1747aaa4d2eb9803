"""A sample job beside the shop's tables: what a change to them does to its cost and its price."""

from pricelab.analysis.effect import Sample
from pricelab.cost.cost_sheet import beside
from pricelab.pictures.change import CHANGE, Changed
from pricelab.screens.controls import Choice, Typed
from pricelab.screens.html import paragraph, table
from pricelab.screens.panel import Shown, View
from pricelab.screens.reading import pieces
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
        self.pieces = Typed("Pieces", pieces(), "24", width="90px")
        self.verdict, self.effect = Shown(), View(CHANGE, "own-change")
        self.prices, self.lines = Shown(), Shown()
        self.rows = [
            [self.method, self.blank, *self.sides.controls, self.pieces],
            self.effect,
            self.prices,
            self.lines,
        ]

    def offer(self, shop: Shop | None) -> None:
        """Offer the methods and blanks of a shop; those before stay where there is none."""
        for control, kind in ((self.method, "methods"), (self.blank, "blanks")):
            known = getattr(shop, kind, {})
            if known:
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
            after = Sample.of(shop, *sample)
        except PricelabError as error:
            self.effect.say(f"This sample job cannot be made: {error}")
            return
        edited = edited and saved is not None
        before, why_not = after, ""
        try:
            before = Sample.of(saved, *sample) if edited else after
        except PricelabError as error:
            why_not, edited = f"As saved it cannot be made: {error}", False
        method = shop.methods[self.method.value].name.partition(",")[0]
        what = f"{number(self.pieces.value)} × {method}, {self.sides.words}"
        told = self.effect.draw(Changed(what, shop.currency, before, after, edited))
        self._say_prices(after, before if edited else None, why_not, faulty)
        if edited:
            self.verdict.write(paragraph(told.finding, "verdict"))
            self._show_lines(before, after)

    def _say_prices(self, now: Sample, saved: Sample | None, why_not: str, faulty: bool) -> None:
        """The price for the target margin, and before it was edited."""
        said = [f"{_price_words(now)}."]
        if saved:
            said.append(f"As saved: {_price_words(saved, said='at')}.")
        if why_not:
            said.append(why_not)
        if faulty:
            said.append("This is how it was before what is to be mended.")
        self.prices.write(paragraph(" ".join(said)), "\n".join(said))

    def _show_lines(self, before: Sample, after: Sample) -> None:
        """The lines of the cost sheet that differ, and all others in one."""
        costs = beside(before=before.lines, after=after.lines)
        amounts = ["before", "after", "difference"]
        shown = costs[costs["difference"].abs() > TOLERANCE]
        if shown.empty:
            self.lines.say("No line of this job's costs differs.", "side")
            return
        rest = costs.drop(shown.index)
        sums = [
            *((line["label"], line[amounts]) for _, line in shown.iterrows()),
            (f"{len(rest)} other lines", rest[amounts].sum()),
            ("the whole order", costs[amounts].sum()),
        ]
        money = after.basis.shop.money
        rows = [(label, *map(money, three)) for label, three in sums]
        names = ("What it costs", "As saved", "As edited", "Difference")
        caption = f"The whole order of {count(after.quantity, 'piece')}: the lines that differ"
        self.lines.write(
            table(names, rows, caption=caption, sums=(len(rows) - 1,)),
            "\n".join([caption, *(": ".join([r[0], " / ".join(r[1:])]) for r in rows)]),
        )


def _price_words(sample: Sample, *, said: str = "At your target margin of") -> str:
    """The price of a sample job at the target margin."""
    shop = sample.basis.shop
    setup = ""
    if sample.setup:
        setup = f" and the set-up of an artwork for {shop.money(sample.setup)}"
    price = shop.money(sample.price)
    return f"{said} {percent(shop.pricing.target)} a piece sells for {price}{setup}"
