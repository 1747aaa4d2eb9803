"""The owner's panel on quotes won and lost: what a point of margin loses, and which earns most."""

from pricelab.files.records.happened import quotes_asked
from pricelab.files.shop_folder import ShopFolder
from pricelab.jobs.price_response import price_response
from pricelab.pictures.price_response import CHANCE, EXPECTED, Priced
from pricelab.screens.controls import Choice, SideBox
from pricelab.screens.panel import Panel, Shown, View
from pricelab.shop.errors import PricelabError
from pricelab.shop.figures import number, percent

ALL = "all"


class PriceResponsePanel(Panel):
    """Fits the chance to win a quote to its margin, over all clients alike."""

    def __init__(self, folder: ShopFolder):
        self.read(folder)
        methods = {method.name: key for key, method in self._shop.methods.items()}
        self.method = Choice("Quotes for", {"all methods together": ALL} | methods, width="280px")
        self.costs = SideBox(
            "Costs that count", {"all of them": False, "what moves with an order": True}
        )
        self.said = Shown()
        self.expected = View(EXPECTED, "response-expected")
        self.chance = View(CHANCE, "response-chance")
        self.lay_out([self.method, self.costs], self.said, self.expected, self.chance)

    def read(self, folder: ShopFolder) -> None:
        """Take the quotes that ended as they are now."""
        self._shop, self._asked = folder.shop, quotes_asked(folder)

    def update(self) -> None:
        """Fit the quotes chosen, or say why they do not tell."""
        asked, key = self._asked, self.method.value
        name = "All methods" if key == ALL else self._shop.methods[key].name
        if key != ALL:
            asked = asked[asked["method"] == key]
        try:
            response = price_response(asked["revenue"] / asked["cost"], asked["won"])
        except PricelabError as refusal:
            self.said.say(f"{name}: {refusal}", "finding")
            self.expected.write("")
            self.chance.write("")
            return
        sums = asked[["cost", "variable cost"]].sum()
        kept = float(sums["variable cost"] / sums["cost"]) if self.costs.value else 1.0
        fees, target = float(asked["fee share"].mean()), self._shop.pricing.target
        priced = Priced(name, self._shop.currency, response, fees, target, kept)
        self._say(priced)
        self.expected.draw(priced)
        self.chance.draw(priced)

    def _say(self, priced: Priced) -> None:
        best, response = priced.best, priced.response
        low, high, lowest, highest = (
            percent(float(priced.margin(price))) for price in (best.low, best.high, *best.flat)
        )
        said = [
            f"The best margin lies from {low} to {high}, as sure as 19 times in 20; the top is "
            f"flat from {lowest} to {highest}.",
            f"Your target of {percent(priced.target)} {_verdict(priced)}",
        ]
        if not best.inside:
            said.append("Nobody was quoted such a price yet: go there in steps, or not at all.")
        side = (
            f"{number(len(response.won))} quotes, by what they asked over their cost, so that all "
            "sizes and quantities count together. No client is told apart: what this says is for "
            "the list, the same for everybody."
        )
        if self.costs.value:
            side += (
                " Overhead, which is there whether a quote is won or not, is left out of what is "
                "earned; margins are over all costs as ever."
            )
        self.said.say_each(said, side=side)


def _verdict(priced: Priced) -> str:
    """What the quotes say of the shop's target margin."""
    best, price = priced.best, priced.price(priced.target)
    if best.flat[0] <= price <= best.flat[1]:
        return "is on the flat top: as good as the best. Leave it."
    way = "higher" if price < best.price else "lower"
    if best.low <= price <= best.high:
        return (
            f"is not sure to be off. A list one step {way} may bring more: try it on a few sizes."
        )
    return f"is off. Try a list one step {way}, and see whether it wins as many as it says."
