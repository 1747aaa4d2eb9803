"""The owner's panel on finished jobs: which work made money, what moved it, where it was lost."""

from collections import Counter
from datetime import date

import numpy as np

from pricelab.cost.job_orders import by_artwork
from pricelab.files.records.happened import finished_jobs, sold_on
from pricelab.files.shop_folder import ShopFolder
from pricelab.jobs.judging import causes, furthest_short, judge, losing_cells, summarise
from pricelab.lists.typical_quantity import order_weights
from pricelab.pictures.order_sizes import ORDER_SIZES, OrderSizes
from pricelab.pictures.waterfall import WATERFALL, Waterfall
from pricelab.screens.controls import Choice, SideBox
from pricelab.screens.html import sentence
from pricelab.screens.panel import Panel, Shown, View
from pricelab.shop.errors import PricelabError
from pricelab.shop.figures import count, number, percent, pieces
from pricelab.words.findings import short_methods

ALL = "all"

_RANKS = {
    "profit an hour of the bottleneck": "an hour",
    "profit an order": "an order",
    "profit a piece": "a piece",
    "profit in all": "profit",
    "margin": "margin",
}

_ROWS = 20
"""Rows of a table that a person reads; the rest is counted."""

_WORST = 8


class FinishedJobsPanel(Panel):
    """Judges every finished job and sums them up."""

    def __init__(self, folder: ShopFolder):
        self.since = Choice("Jobs from", {"": ""}, width="150px")
        self.read(folder)
        self.by = Choice("Sum up by", {sentence(by): by for by in self._label}, width="140px")
        self.rank = Choice("The best first, by", _RANKS, width="250px")
        self.group = Choice("Look at", {"all jobs": ALL}, width="250px")
        floor = self._shop.pricing.floor
        goals = {f"the floor margin, {percent(floor)}": floor, "what it cost": 0.0}
        self.under = SideBox("A job is short that earns under", goals)
        self.waterfall = View(WATERFALL, "finished-waterfall")
        self.groups, self.worst, self.cells = Shown(), Shown(), Shown()
        self.sizes = View(ORDER_SIZES, "finished-sizes")
        self.lay_out(
            [self.since, self.by, self.rank],
            self.groups,
            [self.group],
            self.waterfall,
            self.worst,
            [self.under],
            self.cells,
            self.sizes,
        )

    def read(self, folder: ShopFolder) -> None:
        """Judge the finished jobs as they are now."""
        shop, jobs = folder.shop, finished_jobs(folder)
        judged = judge(shop, jobs, folder.price_lists, sold_on(folder))
        if judged.empty:
            raise PricelabError(
                "There is no finished job to judge. Write some into jobs.csv, a row each, or note "
                "them below."
            )
        self._shop, self._judged, self._starts = shop, judged, _usual_starts(folder)
        self._left_out = jobs["job"].nunique() - judged["job"].nunique()
        self._label = {
            "method": short_methods(shop).get,
            "client": lambda client: client or "client not told",
            "blank": lambda key: shop.blanks[key].name,
            "size band": lambda size: f"up to {number(size)}" if size else "on no list",
            "month": _month,
            "tier": lambda start: f"from {pieces(start)}" if start else "on no list",
        }
        months, (_, first) = sorted(judged["month"].unique()), self.since.widget.options[0]
        all_of_them = self.since.value == first
        self.since.offer({_month(month): month for month in months})
        if all_of_them:
            self.since.set(months[0])

    def update(self) -> None:
        """Sum the jobs up, take the chosen ones apart, name the cells of the list they fell in."""
        jobs, by = self._judged, self.by.value
        jobs = jobs[jobs["month"] >= self.since.value]
        sums = summarise(jobs, by).sort_values(self.rank.value, ascending=False, kind="stable")
        labels = {key: self._label[by](key) for key in sums.index}
        self.group.offer({"all jobs": ALL} | {labels[key]: key for key in sums.index})
        self._show_groups(jobs, sums, labels)
        some, name, chosen = jobs, "All jobs", self.group.value
        if chosen != ALL:
            some, name = jobs[jobs[by] == chosen], sentence(labels[chosen])
        self.waterfall.draw(Waterfall(name, self._shop.currency, *causes(some)))
        self._show_worst(some, name)
        self._show_cells(jobs)
        sold = by_artwork(jobs)["quantity"]
        first, last = min([int(sold.min()), *self._starts]), int(sold.max())
        starts = tuple(start for start in self._starts if start <= last)
        self.sizes.draw(OrderSizes(first, order_weights(sold, first, last), starts))

    def _show_groups(self, jobs, sums, labels) -> None:
        money, rank = self._shop.money, self.rank.value
        figure = percent if rank == "margin" else money
        words = next(words for words, value in _RANKS.items() if value == rank)
        best, last = sums.index[0], sums.index[-1]
        finding = f"{sentence(labels[best])}: {words} {figure(sums.loc[best, rank])}"
        if len(sums) > 1:
            finding += f", the best; {labels[last]} the least, {figure(sums.loc[last, rank])}"
        top = sums.head(_ROWS)
        table = {
            sentence(self.by.value): map(labels.get, top.index),
            "Jobs": map(number, top["orders"]),
            "Pieces": map(number, top["pieces"]),
            "Taken": map(money, top["revenue"]),
            "Profit": map(money, top["profit"]),
            "Margin": map(percent, top["margin"]),
            "A piece": map(money, top["a piece"]),
            "An order": map(money, top["an order"]),
            "Hours": map(number, top["hours"].round(1)),
            "An hour": map(money, top["an hour"]),
        }
        caption = (
            f"{number(jobs['job'].nunique())} finished jobs. Profit is after all costs of a job "
            "and fees, before what is paid by the month; hours are those of whoever or whatever "
            "was busy longest."
        )
        if len(sums) > _ROWS:
            caption += f" {len(sums) - _ROWS} more are not shown."
        if self._left_out:
            caption += f" {self._left_out} jobs could not be made today and are left out."
        self.groups.tabulate(finding, table, caption=caption, close=True)

    def _show_worst(self, jobs, name: str) -> None:
        money, worst = self._shop.money, furthest_short(jobs, _WORST)
        methods = jobs.groupby("job")["method"].unique()
        rows = [
            {
                "Job": f"{job['job']}, {job['date']:%Y-%m-%d}",
                "Client": job["client"] or "not told",
                "Method": " + ".join(map(self._label["method"], methods[job["job"]])),
                "Pieces": number(job["quantity"]),
                "Estimated": money(job["estimated profit"]),
                "Earned": money(job["profit"]),
                "Short by": money(job["missed"]),
                "Mostly": job["cause"],
            }
            for _, job in worst.iterrows()
        ]
        finding = f"{name}: the jobs that fell furthest short of their estimate"
        none = f"{name}: no job earned less than estimated."
        self.worst.tabulate(finding, rows, left=(0, 1, 2, 7), close=True, none=none)

    def _show_cells(self, jobs) -> None:
        cells, goal = losing_cells(jobs, self.under.value), percent(self.under.value)
        named = {"Method": "method", "Blank": "blank", "Size": "size band", "Pieces": "tier"}
        rows = [
            {heading: self._label[by](cell[by]) for heading, by in named.items()}
            | {
                "Short": f"{cell['losing']} of {cell['jobs']}",
                "In all by": self._shop.money(cell["short"]),
                "Found in": cell["place"] or "no list",
            }
            for _, cell in cells.head(_ROWS).iterrows()
        ]
        jobs = count(int(cells["losing"].sum()), "job")
        where = "one cell" if len(cells) == 1 else f"{len(cells)} cells"
        finding = f"{jobs} earned less than a margin of {goal}, from {where} of the list"
        none = f"No job earned less than a margin of {goal}."
        self.cells.tabulate(finding, rows, left=(0, 1, 2, 3, 6), close=True, none=none)


def _month(month: str) -> str:
    return f"{date.fromisoformat(f'{month}-01'):%B %Y}"


def _usual_starts(folder: ShopFolder) -> tuple[int, ...]:
    """Where the tiers of most lists start."""
    found = Counter(tuple(np.asarray(one.starts).tolist()) for one in folder.price_lists)
    return found.most_common(1)[0][0] if found else ()
