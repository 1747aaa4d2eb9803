"""The owner's panel on methods: a table at one order, a lead map, curves, care, and why."""

import numpy as np

from pricelab.analysis.comparison import Lead, MethodChoice, Standing
from pricelab.analysis.lead_map import NOBODY
from pricelab.cost.cost_sheet import OPERATOR
from pricelab.files.shop_folder import ShopFolder
from pricelab.lists.selling_list import ListsOnBlank, lists_on
from pricelab.pictures.curves import CURVES, Curve, Curves
from pricelab.pictures.lead_map import LEAD_MAP, LeadMap
from pricelab.pictures.picture import Description
from pricelab.screens.account_table import account_table, standing_description
from pricelab.screens.controls import Choice, SideBox, Slide, Typed
from pricelab.screens.html import bullets, paragraph, sentence, table, text
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

_BORDERS_TOLD = 5
"""More sentences than this nobody reads; the map has them all."""


class MethodsPanel(Panel):
    """Compares every method on one blank: at one order, and over sizes and quantities."""

    def __init__(self, folder: ShopFolder):
        shop = self._shop = folder.shop
        self._folder = folder
        self._offers: dict[str, ListsOnBlank] = {}
        self._known: tuple[object, MethodChoice | None] = (None, None)
        self._short = short_methods(shop)
        self._thread = {key: at for at, key in enumerate(shop.methods)}
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
        self.finding, self.table, self.borders = Shown(), Shown(), Shown()
        self.pairs, self.suits, self.account = Shown(), Shown(), Shown()
        self.cautions = Shown()
        self.cautions.say_each([*map(str, work_cautions(shop))], head=HEADING)
        self.steady = (self.cautions,)
        self.map = View(LEAD_MAP, "methods-map")
        self.curves = View(CURVES, "methods-curves")
        self.lay_out(
            [self.blank, *self.sides.controls, self.pieces, self.colours, self.stitches],
            [self.order, self.goal],
            self.map,
            self.finding,
            self.borders,
            self.table,
            self.suits,
            self.cautions,
            [self.what, self.over],
            self.curves,
            self.pairs,
            [self.method],
            self.account,
        )

    # ---- reading the controls ---------------------------------------------------------

    def _choice(self) -> MethodChoice:
        """The comparison that is asked for; the last one is kept while only the view changes."""
        key, first = self.blank.value, self.order.value
        drawn = (*self.sides.figures, self._shop.unit, self.stitches.value, self.colours.value)
        asked = (key, drawn, first)
        if self._known[0] != asked:
            if key not in self._offers:
                self._offers[key] = lists_on(self._folder, self._shop.blanks[key])
            offers = self._offers[key]
            choice = MethodChoice.of(self._shop, offers, Artwork(*drawn), first=first)
            self._known = (asked, choice)
        return self._known[1]

    @property
    def _order(self) -> str:
        """The order that is asked for, in words."""
        return f"{counted(self.pieces.value)} of {self.sides.words}"

    def update(self) -> None:
        """Compare the methods at the order asked for, and at all sizes and quantities."""
        choice, goal = self._choice(), GOALS[self.goal.value]
        able, unable = choice.standings(self.pieces.value)
        able.sort(key=lambda one: _figure(one, goal) * (1 if goal.least else -1))
        lead = choice.lead(goal.by, least=goal.least)
        self._say_finding(choice, able)
        self._draw_map(choice, lead, goal, able)
        self._say_borders(choice, lead, goal)
        self._show_table(choice, able, goal)
        self._show_suits(choice, unable)
        self._draw_curves(choice)
        self._say_pairs(choice)
        self._explain(able, unable)

    # ---- what is shown ----------------------------------------------------------------

    @property
    def _alone(self) -> bool:
        """Whether there is one method, which has nothing to be compared with."""
        return len(self._shop.methods) == 1

    def _threads(self, choice: MethodChoice) -> tuple[int, ...]:
        return tuple(self._thread[method.key] for method in choice.methods)

    def _names(self, choice: MethodChoice) -> list[str]:
        return [self._short[method.key] for method in choice.methods]

    def _say_finding(self, choice: MethodChoice, able: list[Standing]) -> None:
        order = f"{self._order} on {choice.offers.blank.name}"
        if not able:
            self.finding.say(f"{order}: no method can do it. The table under the map says why.")
            return
        best = []
        for goal in GOALS.values():
            top = _best(able, goal)
            shown = goal.figure(_figure(top, goal), self._shop.currency)
            leads = f"{self._short[top.method.key]} {goal.leads}"
            best.append(f"{goal.name.capitalize() if self._alone else leads}: {shown}.")
        self.finding.write(f"<h4>{text(order)}</h4>{bullets(best)}", "\n".join([order, *best]))

    def _draw_map(self, choice: MethodChoice, lead: Lead, goal: Goal, able) -> None:
        names, column = self._names(choice), choice.column(self.pieces.value)
        here = None if column is None else (choice.at, column)
        most = int(np.argmax(lead.shares)) if len(names) else 0
        if not (lead.leader != NOBODY).any():
            finding = "Nothing can be made in these proportions on this blank"
        else:
            first, who = "No method can do this order", names[most]
            if able:
                money = goal.figure(_figure(able[0], goal), self._shop.currency)
                leader = self._short[able[0].method.key]
                first = f"{leader} {goal.leads} here, {money}"
                who = "it" if who == leader else who
            share = percent(lead.shares[most], 0)
            finding = f"{first}; over the whole map {who} leads most, {share}"
            if self._alone and able:
                finding = f"{names[0]} is your only method: {goal.name} {money} here"
        threads, grid = self._threads(choice), (choice.widths, self._shop.unit, choice.quantities)
        led = lead.leader, lead.losing, lead.shares
        self.map.draw(LeadMap(goal, tuple(names), threads, *grid, *led, here, finding))

    def _say_borders(self, choice: MethodChoice, lead: Lead, goal: Goal) -> None:
        names, unit = self._names(choice), self._shop.unit
        if self._alone:
            self.borders.write("")
            return
        along = say_phases(lead.phases(choice.at), names)
        said = [f"At {self.sides.words}, {goal.name}: {along}."]
        widths = [number(width) for width in choice.widths]
        wide = [border for border in lead.borders if border.bottom - border.top >= 2]
        said += [say_border(border, names, widths, unit) for border in wide[:_BORDERS_TOLD]]
        left = len(lead.borders) - len(wide[:_BORDERS_TOLD])
        if left:
            more = "one more change" if left == 1 else f"{left} more changes"
            said.append(f"The map shows {more} of lead, none over more sizes.")
        if lead.losing.any():
            share = lead.losing.mean()
            said.append(f"At {percent(share)} of sizes and quantities even the best loses money.")
        self.borders.say_each(said, head="Where the lead changes")

    def _show_table(self, choice: MethodChoice, able: list[Standing], goal: Goal) -> None:
        if not able:
            self.table.write("")
            return
        money, planned = self._shop.money, choice.offers.planned
        best = {one.by: _figure(_best(able, one), one) for one in GOALS.values()}

        def shown(standing: Standing, by: str) -> str:
            figure = GOALS[by].figure(_figure(standing, GOALS[by]), self._shop.currency)
            return (
                f"▲ {figure}"
                if len(able) > 1 and _figure(standing, GOALS[by]) == best[by]
                else figure
            )

        rows = [
            {
                "Method": self._short[one.method.key] + (" *" if one.method.key in planned else ""),
                "Price": money(one.each),
                "Client pays": shown(one, "total"),
                "Cost": money(one.account.cost / one.account.quantity),
                "Margin": shown(one, "margin"),
                "Profit": shown(one, "profit"),
                "Operator": f"{one.operator:,.0f} min",
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
        if any(one.method.key in planned for one in able):
            caption += " * has no list today: the prices are those of a planned one."
        if choice.estimates:
            said = [f"{self._short[key]} {count:,}" for key, count in choice.estimates.items()]
            caption += f" Stitches a piece are estimated from the filled area: {', '.join(said)}."
        told = Description.of(caption, rows)
        self.table.tabulate(told, title="caption", left=(0, 7), close=True)

    def _show_suits(self, choice: MethodChoice, unable) -> None:
        shop, blank = self._shop, choice.offers.blank
        why = {method.key: reason for method, reason in unable}
        rows = [
            (
                self._short[key],
                method.care or "not told",
                _limits(method),
                f"{method.heat:g} {shop.heat_unit}" if method.heat else "none",
                sentence(why[key]) if key in why else "can be done",
            )
            for key, method in shop.methods.items()
        ]
        bears = (
            f"bears {blank.heat_limit:g} {shop.heat_unit}"
            if blank.heat_limit is not None
            else "its heat limit is not told"
        )
        panel = f"{number(blank.panel_width)} × {number(blank.panel_height)} {blank.unit}"
        caption = f"{blank.name}: {blank.care or 'care not told'}; takes {panel}; {bears}."
        columns = ("Method", "Care", "Size limits", "Heat", "This order")
        told = Description(f"What suits? {caption}", columns, tuple(rows))
        self.suits.write(
            f"<h4>What suits?</h4>{table(columns, rows, caption=caption, left=range(5))}", told
        )

    def _draw_curves(self, choice: MethodChoice) -> None:
        what, over = self.what.value, self.over.value
        each = choice.each(what).filled(np.nan)
        column = choice.column(self.pieces.value) or 0
        x, y, marked = choice.quantities, each[:, choice.at], self.pieces.value
        title = "pieces in the order"
        if over == SIZE:
            x, y, marked = choice.widths, each[:, :, column], choice.widths[choice.at]
            title = f"width, {self._shop.unit}"
        named = zip(self._names(choice), y, self._threads(choice), strict=True)
        curves, money = tuple(Curve(*one) for one in named), self._shop.currency
        how = {"steps": over == QUANTITY, "highest": what == PROFIT}
        self.curves.draw(Curves(what, self._order, money, x, curves, marked, title, **how))

    def _say_pairs(self, choice: MethodChoice) -> None:
        names, said = self._names(choice), []
        for pair in choice.in_house_or_not():
            told = []
            for words, by, least in (
                ("more profit an order", "profit", False),
                ("more an hour of the bottleneck", "profit an hour", False),
                ("lower cost", "cost", True),
            ):
                phases = choice.between(pair, by, least=least)
                if phases:
                    told.append(f"{words}: {say_phases(phases, [names[at] for at in pair])}")
            if told:
                own, out = (names[at] for at in pair)
                said.append(
                    f"In-house or contracted out, at {self.sides.words}, where {own} and {out} are "
                    f"both offered. {'. '.join(map(sentence, told))}."
                )
        self.pairs.say_each(said, head="In-house or contracted out")

    def _explain(self, able: list[Standing], unable) -> None:
        key = self.method.value
        one = next((x for x in able if x.method.key == key), None)
        if one is None:
            reason = next(reason for method, reason in unable if method.key == key)
            self.account.say(sentence(reason))
            return
        told = standing_description(one, self._shop)
        self.account.write(f"{paragraph(told.finding)}{account_table(told)}", told)


def _figure(one: Standing, goal: Goal) -> float:
    return {
        "profit": one.account.profit,
        "profit an hour": one.profit_an_hour,
        "margin": one.account.margin,
        "total": one.payable,
    }[goal.by]


def _bottleneck(one: Standing) -> str:
    return (
        "the operator" if one.busiest == OPERATOR else f"{one.busiest}, {one.bottleneck:,.0f} min"
    )


def _best(able: list[Standing], goal: Goal) -> Standing:
    return (min if goal.least else max)(able, key=lambda one: _figure(one, goal))


def _limits(method: Method) -> str:
    sides = " × ".join(
        number(side) if np.isfinite(side) else "any"
        for side in (method.max_width, method.max_height)
    )
    least = f", sides from {number(method.min_side)}" if method.min_side else ""
    return f"up to {sides}{least} {method.unit}"
