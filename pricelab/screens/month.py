"""The owner's panel on the month: what it must sell, what work to take, whose hours are short."""

from dataclasses import replace

import numpy as np

from pricelab.analysis.break_even import before_tax
from pricelab.analysis.month import (
    MonthPlan,
    Workload,
    best_mix,
    period_charges,
    pieces_for_profit,
    workload,
)
from pricelab.analysis.one_operator import station_with_dwell, tend_method
from pricelab.files.shop_folder import ShopFolder
from pricelab.pictures.month import MONTH, Month
from pricelab.screens.controls import Choice, SideBox, Slide
from pricelab.screens.html import or_why, sentence
from pricelab.screens.panel import Panel, Shown, View
from pricelab.shop.errors import PricelabError
from pricelab.shop.figures import number, percent
from pricelab.shop.method import Method
from pricelab.words.findings import short_names

MONTH_HOURS = 744
"""31 days of 24 hours: no one thing is busy for longer."""

_MOST_MACHINES = 4


class MonthPanel(Panel):
    """Plans a month by the mix of the finished jobs."""

    def __init__(self, folder: ShopFolder):
        shop = self._shop = folder.shop
        load = workload(shop, folder.jobs)
        self._loads = {False: load, True: replace(load, labour_monthly=True)}
        self._charges = period_charges(shop)
        self._names = short_names(shop.methods[key].name for key in load.work.index)
        self.paid = SideBox("Minutes worked are paid", {"by the hour": False, "by the month": True})
        money, made, wide = shop.currency, round(load.pieces_a_month.sum()), "150px"
        self.pieces = Slide("Pieces a month", made, (0, 3_000, 100_000), width="130px")
        paid = sum(charge.amount for charge in self._charges)
        self.fixed = Slide("Fixed costs a month", paid, (0.0, 20_000, 1e7), money, wide, step=10.0)
        self.wanted = Slide("Profit wanted, after tax", 1_500, (0, 20_000, 10**7), money, "160px")
        self.tax = Slide("Income tax", 20, (0, 90), "%", "104px")
        self.growth = Slide("Demand, of today's", 150, (0, 300, 1_000), "%", wide)
        self.hours = {
            who: Slide(sentence(who), hours, (0, max(hours * 3, 10), MONTH_HOURS), "hours", "172px")
            for who, hours in _hours_at_hand(load).items()
        }
        tended = {key: m for key, m in shop.methods.items() if station_with_dwell(m)}
        self.tended = Choice.of(
            "One operator, several machines", tended or shop.methods, width="250px"
        )
        self.month = View(MONTH, "month-plan")
        self.figures, self.ranking, self.best, self.worth, self.tending = (
            Shown() for _ in range(5)
        )
        self.lay_out(
            [self.pieces, self.fixed, self.paid, self.wanted, self.tax],
            self.month,
            self.figures,
            self.ranking,
            [self.growth, *self.hours.values()],
            self.best,
            self.worth,
            [self.tended],
            self.tending,
        )

    def update(self) -> None:
        """Plan the month, rank the work, find the best mix, tend the machines."""
        load, fixed = self._loads[self.paid.value], float(self.fixed.value)
        plan = MonthPlan(load.mix, fixed, float(self.pieces.value))
        self.month.draw(Month(plan, self._shop.currency))
        self._say_figures(load, plan)
        self._rank(load)
        self._mix(load, fixed)
        self._tend(self._shop.methods[self.tended.value])

    def _say_figures(self, load: Workload, plan: MonthPlan) -> None:
        money, mix = self._shop.money, load.mix
        wanted, rate = float(self.wanted.value), self.tax.value / 100
        needed = pieces_for_profit(mix, plan.fixed, wanted, rate)
        said = [
            f"A piece of your mix brings {money(mix.revenue)} and leaves "
            f"{money(mix.contribution)} after what moves with it.",
            f"Break-even: {_up(plan.break_even_pieces)} pieces, or "
            f"{money(plan.break_even_revenue)} taken.",
            or_why(lambda: self._safety_words(plan)),
            or_why(
                lambda: (
                    "Operating leverage: one per cent more or less sold moves the profit "
                    f"by {number(round(plan.operating_leverage, 1))} %."
                )
            ),
            f"For {money(wanted)} after {percent(rate)} income tax you need "
            f"{money(before_tax(wanted, rate))} before it: {_up(needed)} pieces a month.",
        ]
        charged = ", ".join(f"{c.name} {money(c.amount)}" for c in self._charges)
        side = (
            f"From {number(load.work['orders'].sum())} finished jobs over "
            f"{number(round(load.months, 1))} months, at today's costs. In costs.csv by the month: "
            f"{charged or 'nothing'}."
        )
        if load.skipped:
            side += f" {len(load.skipped)} jobs could not be made today and are left out."
        self.figures.say_each(said, side=side)

    def _safety_words(self, plan: MonthPlan) -> str:
        share = percent(plan.margin_of_safety_share)
        apart = number(round(abs(plan.margin_of_safety)))
        taken = self._shop.money(abs(plan.margin_of_safety_revenue))
        if plan.margin_of_safety < 0:
            return f"Missing to break even: {apart} pieces, or {taken} taken."
        return f"Margin of safety: {apart} pieces ({share}), or {taken} taken."

    def _rank(self, load: Workload) -> None:
        money, hourly = self._shop.money, load.hourly
        best_first = np.argsort(-hourly)
        name, an_hour = self._names[best_first[0]], money(hourly.max())
        table = {
            "Work": [self._names[at] for at in best_first],
            "Pieces a month": map(_whole, load.pieces_a_month[best_first]),
            "Leaves a piece": map(money, load.contribution[best_first]),
            "Bottleneck": load.bottleneck.iloc[best_first],
            "Leaves an hour": map(money, hourly[best_first]),
        }
        finding = f"When hours are short, take {name} first: {an_hour} an hour of its bottleneck"
        self.ranking.tabulate(finding, table, left=(0, 3))

    def _mix(self, load: Workload, fixed: float) -> None:
        money, demand = self._shop.money, load.pieces_a_month * self.growth.value / 100
        hours = {who: float(control.value) for who, control in self.hours.items()}
        found = best_mix(load.contribution, load.hours_a_piece, hours, demand)
        left = found.contribution - fixed
        judged = (
            f"leaves {money(left)} after the month's fixed costs"
            if left >= 0
            else f"is {money(-left)} short of the month's fixed costs: no mix pays for this month. "
            "It takes more hours, more demand, better prices or lower fixed costs"
        )
        table = {
            "Work": self._names,
            "Could sell": map(_whole, demand),
            "Make": map(_whole, found.pieces),
            "Leaves": map(money, found.leave),
        }
        self.best.tabulate(f"The mix that earns most {judged}", table)
        table = {
            "Whose hour": map(sentence, found.worth),
            "At hand": [number(hours[who]) for who in found.worth],
            "Used": [number(round(found.used[who], 1)) for who in found.worth],
            "One more is worth": map(money, found.worth.values()),
        }
        self.worth.tabulate("What one more hour a month would bring", table, title="caption")

    def _tend(self, method: Method) -> None:
        rates, counts = self._shop.rates, range(1, _MOST_MACHINES + 1)
        try:
            tended = [tend_method(method, machines, rates) for machines in counts]
        except PricelabError as error:
            self.tending.say(sentence(error))
            return
        rows = [
            {
                "Machines": str(one.machines),
                "Cycle, min": number(round(one.cycle, 2)),
                "Operator waits": number(round(one.operator_idle, 2)),
                "Machine waits": number(round(one.machine_idle, 2)),
                "Pieces an hour": _whole(one.pieces_an_hour),
                "Labour a piece": self._shop.money(one.cost_a_piece),
            }
            for one in tended
        ]
        gain = tended[1].pieces_an_hour / tended[0].pieces_an_hour - 1
        finding = f"A second {station_with_dwell(method)} " + (
            f"lets one operator make {percent(gain, 0)} more an hour"
            if gain > 0.005
            else "makes nothing more: the operator is busy all the time"
        )
        self.tending.tabulate(finding, rows)


def _whole(pieces: float) -> str:
    return number(round(pieces))


def _up(needed: float) -> str:
    """Whole pieces that are enough."""
    return number(np.ceil(round(needed, 6)))


def _hours_at_hand(load: Workload) -> dict[str, int]:
    """A start for the hours of each: a fifth more than today's work takes, whole hours."""
    return {
        who: int(np.ceil(1.2 * float(hours @ load.pieces_a_month)))
        for who, hours in load.hours_a_piece.items()
    }
