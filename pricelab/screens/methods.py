"""The owner's panel on methods: a table at one order, a lead map, curves, care, and why."""

import numpy as np

from pricelab.analysis.comparison import MethodChoice, Sold
from pricelab.analysis.lead_map import NOBODY, phases
from pricelab.cost.cost_sheet import OPERATOR
from pricelab.files.shop_folder import ShopFolder
from pricelab.lists.selling_list import ListsOnBlank, lists_on
from pricelab.pictures.curves import CURVES, Curve, Curves
from pricelab.pictures.lead_map import LEAD_MAP, LeadMap
from pricelab.screens.account_table import account_description, show_account
from pricelab.screens.controls import Choice, SideBox, Slide, Typed
from pricelab.screens.html import bullets, sentence, text
from pricelab.screens.panel import Panel, Shown, View
from pricelab.screens.reading import pieces, stitches
from pricelab.screens.sides import Sides
from pricelab.shop.figures import number, percent
from pricelab.shop.figures import pieces as counted
from pricelab.shop.method import Method
from pricelab.shop.sizes import Artwork
from pricelab.words.cautions import HEADING, work_cautions
from pricelab.words.findings import short_methods
from pricelab.words.leads import GOALS, Goal, say_border, say_phases

COST, PROFIT, QUANTITY, SIZE = "cost", "profit", "quantity", "size"

_PLANNED = "* has no list today: the prices are those of a planned one."
_BORDERS_TOLD = 5
"""More sentences than this nobody reads; the map has them all."""

_OWN_OR_OUT = {
    "more profit an order": ("profit", False),
    "more an hour of the bottleneck": ("profit an hour", False),
    "lower cost": ("cost", True),
}
"""What work in-house and contracted out are compared by, and whether the least is best."""


class MethodsPanel(Panel):
    """Compares every method on one blank: at one order, and over sizes and quantities."""

    def __init__(self, folder: ShopFolder):
        shop = self._shop = folder.shop
        self._folder = folder
        self._offers: dict[str, ListsOnBlank] = {}
        self._known: tuple[object, MethodChoice | None] = (None, None)
        self._short = short_methods(shop)
        self._alone = len(shop.methods) == 1  # it has nothing to be compared with
        self.blank = Choice.of("Blank", shop.blanks)
        self.sides = Sides(shop.unit)
        self.pieces = Typed("Pieces", pieces(most=shop.largest_order), "48", width="100px")
        self.colours = Slide("Colours", 1, (1, 8), width="130px")
        self.stitches = Typed("Stitches, if known", stitches, "", width="130px")
        self.stitches.show(any(method.by_stitches for method in shop.methods.values()))
        self.order = SideBox("Order", {"first": True, "repeat": False})
        self.goal = SideBox("Best by", {goal.name: goal.by for goal in GOALS.values()})
        self.what = SideBox("Curves of", {"profit a piece": PROFIT, "cost a piece": COST})
        self.over = SideBox("Over", {"pieces": QUANTITY, "size": SIZE})
        self.method = Choice.of("Why? Look into", shop.methods, width="280px")
        self.map, self.curves = View(LEAD_MAP, "methods-map"), View(CURVES, "methods-curves")
        self.finding, self.borders, self.table, self.suits = (Shown() for _ in range(4))
        self.cautions, self.pairs, self.account = (Shown() for _ in range(3))
        self.cautions.say_each([*map(str, work_cautions(shop))], head=HEADING)
        self.steady = (self.cautions,)
        self.lay_out(
            [self.blank, *self.sides.controls, self.pieces, self.colours, self.stitches],
            [self.order, self.goal],
            *(self.map, self.finding, self.borders, self.table, self.suits, self.cautions),
            [self.what, self.over],
            *(self.curves, self.pairs),
            [self.method],
            self.account,
        )

    def _choice(self) -> MethodChoice:
        """The comparison that is asked for; the last one is kept while only the view changes."""
        key, first = self.blank.value, self.order.value
        drawn = (*self.sides.figures, self._shop.unit, self.stitches.value, self.colours.value)
        asked = (key, drawn, first)
        if self._known[0] != asked:
            if key not in self._offers:
                self._offers[key] = lists_on(self._folder, self._shop.blanks[key])
            choice = MethodChoice.of(self._shop, self._offers[key], Artwork(*drawn), first=first)
            self._known = (asked, choice)
        return self._known[1]

    def update(self) -> None:
        """Compare the methods at the order asked for, and at all sizes and quantities."""
        choice, goal = self._choice(), GOALS[self.goal.value]
        able, unable = choice.orders(self.pieces.value)
        able, why_not = goal.ranked(able), {method.key: sentence(why) for method, why in unable}
        self._names = [self._short[method.key] for method in choice.methods]
        self._marked = [self._named(method.key, choice) for method in choice.methods]
        at = list(self._shop.methods)
        self._threads = tuple(at.index(method.key) for method in choice.methods)
        self._order = f"{counted(self.pieces.value)} of {self.sides.words}"
        self._say_finding(choice, able)
        self._compare_everywhere(choice, goal, able)
        self._show_table(choice, able, goal)
        self._show_suits(choice, why_not)
        self._draw_curves(choice)
        self._say_pairs(choice)
        self._explain(able, why_not)

    def _named(self, key: str, choice: MethodChoice) -> str:
        """A method's name with a mark where its prices are only planned."""
        return self._short[key] + (" *" if key in choice.offers.planned else "")

    def _figure(self, one: Sold, goal: Goal) -> str:
        return goal.figure(goal.of(one), self._shop.currency)

    def _say_finding(self, choice: MethodChoice, able: list[Sold]) -> None:
        order = f"{self._order} on {choice.offers.blank.name}"
        if not able:
            self.finding.say(f"{order}: no method can do it. The table under the map says why.")
            return
        best = []
        for goal in GOALS.values():
            top = goal.ranked(able)[0]
            leads = f"{self._short[top.price_list.method]} {goal.leads}"
            named = goal.name.capitalize() if self._alone else leads
            best.append(f"{named}: {self._figure(top, goal)}.")
        if choice.offers.planned:
            best.append(_PLANNED)
        self.finding.write(f"<h4>{text(order)}</h4>{bullets(best)}", "\n".join([order, *best]))

    def _compare_everywhere(self, choice: MethodChoice, goal: Goal, able: list[Sold]) -> None:
        """The map of who leads at which size and quantity, and its borders in words."""
        lead, column = choice.lead(goal.by, least=goal.least), choice.column(self.pieces.value)
        here = None if column is None else (choice.at, column)
        if not (lead.leader != NOBODY).any():
            finding = "Nothing can be made in these proportions on this blank"
        elif self._alone and able:
            money = self._figure(able[0], goal)
            finding = f"{self._names[0]} is your only method: {goal.name} {money} here"
        else:
            most = int(np.argmax(lead.shares))
            first, who = "No method can do this order", self._names[most]
            if able:
                leader = self._short[able[0].price_list.method]
                first = f"{leader} {goal.leads} here, {self._figure(able[0], goal)}"
                who = "it" if who == leader else who
            share = percent(lead.shares[most], 0)
            finding = f"{first}; over the whole map {who} leads most, {share}"
        named = goal, tuple(self._marked), self._threads
        grid = choice.widths, self._shop.unit, choice.quantities
        led = lead.leader, lead.losing, lead.shares
        self.map.draw(LeadMap(*named, *grid, *led, here, finding))
        said = [] if self._alone else self._border_words(choice, goal, lead)
        self.borders.say_each(said, head="Where the lead changes")

    def _border_words(self, choice: MethodChoice, goal: Goal, lead) -> list[str]:
        along = say_phases(phases(lead.leader[choice.at], choice.quantities), self._names)
        said = [f"At {self.sides.words}, {goal.name}: {along}."]
        widths = [number(width) for width in choice.widths]
        wide = [border for border in lead.borders if border.bottom - border.top >= 2]
        told = wide[:_BORDERS_TOLD]
        said += [say_border(border, self._names, widths, self._shop.unit) for border in told]
        left = len(lead.borders) - len(told)
        if left:
            more = "one more change" if left == 1 else f"{left} more changes"
            said.append(f"The map shows {more} of lead, none over more sizes.")
        if lead.losing.any():
            share = lead.losing.mean()
            said.append(f"At {percent(share)} of sizes and quantities even the best loses money.")
        return said

    def _show_table(self, choice: MethodChoice, able: list[Sold], goal: Goal) -> None:
        if not able:
            self.table.write("")
            return
        money, planned = self._shop.money, choice.offers.planned
        best = {by: one.of(one.ranked(able)[0]) for by, one in GOALS.items()}

        def shown(one: Sold, by: str) -> str:
            leads = len(able) > 1 and GOALS[by].of(one) == best[by]
            return ("▲ " if leads else "") + self._figure(one, GOALS[by])

        rows = [
            {
                "Method": self._named(one.price_list.method, choice),
                "Price": money(float(one.charged.each)),
                "Client pays": shown(one, "total"),
                "Cost": money(float(one.earnings.full_cost / one.charged.quantity)),
                "Margin": shown(one, "margin"),
                "Profit": shown(one, "profit"),
                "Operator": f"{one.sheet.minutes[OPERATOR]:,.0f} min",
                "Bottleneck": _bottleneck(one),
                "An hour": shown(one, "profit an hour"),
            }
            for one in able
        ]
        caption = (
            f"{self._order} on {choice.offers.blank.name}, by {goal.name}, the best first. Price "
            "and cost are a piece's, the rest the order's; an hour is the profit for each hour of "
            "the bottleneck."
        )
        if len(able) > 1:
            caption += " ▲ is the best of its column."
        if any(one.price_list.method in planned for one in able):
            caption += f" {_PLANNED}"
        if choice.estimates:
            said = [f"{self._short[key]} {count:,}" for key, count in choice.estimates.items()]
            caption += f" Stitches a piece are estimated from the filled area: {', '.join(said)}."
        self.table.tabulate(caption, rows, title="caption", left=(0, 7), close=True)

    def _show_suits(self, choice: MethodChoice, why_not: dict[str, str]) -> None:
        unit, blank = self._shop.heat_unit, choice.offers.blank
        rows = [
            {
                "Method": self._short[key],
                "Care": method.care or "not told",
                "Size limits": _limits(method),
                "Heat": f"{method.heat:g} {unit}" if method.heat else "none",
                "This order": why_not.get(key, "can be done"),
            }
            for key, method in self._shop.methods.items()
        ]
        bears = "its heat limit is not told"
        if blank.heat_limit is not None:
            bears = f"bears {blank.heat_limit:g} {unit}"
        panel = f"{number(blank.panel_width)} × {number(blank.panel_height)} {blank.unit}"
        caption = f"{blank.name}: {blank.care or 'care not told'}; takes {panel}; {bears}."
        self.suits.tabulate("What suits?", rows, caption=caption, left=range(5))

    def _draw_curves(self, choice: MethodChoice) -> None:
        what, over = self.what.value, self.over.value
        each = (choice.comparison.figures(what) / choice.quantities).filled(np.nan)
        x, y, marked = choice.quantities, each[:, choice.at], self.pieces.value
        title = "pieces in the order"
        if over == SIZE:
            column = choice.column(self.pieces.value) or 0
            x, y, marked = choice.widths, each[:, :, column], choice.widths[choice.at]
            title = f"width, {self._shop.unit}"
        curves = tuple(map(Curve, self._marked, y, self._threads))
        how = {"steps": over == QUANTITY, "highest": what == PROFIT}
        money = self._shop.currency
        self.curves.draw(Curves(what, self._order, money, x, curves, marked, title, **how))

    def _say_pairs(self, choice: MethodChoice) -> None:
        said = []
        for pair in choice.in_house_or_not():
            own, out = names = [self._names[at] for at in pair]
            led = {
                words: choice.between(pair, by, least=least)
                for words, (by, least) in _OWN_OR_OUT.items()
            }
            told = [
                sentence(f"{words}: {say_phases(found, names)}")
                for words, found in led.items()
                if found
            ]
            if told:
                said.append(
                    f"In-house or contracted out, at {self.sides.words}, where {own} and {out} are "
                    f"both offered. {'. '.join(told)}."
                )
        self.pairs.say_each(said, head="In-house or contracted out")

    def _explain(self, able: list[Sold], why_not: dict[str, str]) -> None:
        key = self.method.value
        if key in why_not:
            self.account.say(why_not[key])
            return
        (one,) = (one for one in able if one.price_list.method == key)
        method = self._shop.methods[key]
        show_account(self.account, account_description(one.account, method, self._shop))


def _bottleneck(one: Sold) -> str:
    minutes = one.sheet.minutes
    busiest = max(minutes, key=minutes.get)
    return "the operator" if busiest == OPERATOR else f"{busiest}, {minutes[busiest]:,.0f} min"


def _limits(method: Method) -> str:
    sides = " × ".join(
        number(side) if np.isfinite(side) else "any"
        for side in (method.max_width, method.max_height)
    )
    least = f", sides from {number(method.min_side)}" if method.min_side else ""
    return f"up to {sides}{least} {method.unit}"
