"""Finished jobs judged: what each was estimated to earn, what it earned, and why they differ.

What a job's record does not tell counts as estimated: minutes and spoiled pieces that were
not noted, freight and set-up that were paid, materials and wages at other prices than the
shop's. Costs that no record holds (packing, delivery) are as estimated; overhead follows the
minutes it is recovered on.
What only some rows of an order note is of the whole order, and shared as it was estimated.
"""

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

import numpy as np

from pricelab.cost.job_orders import JobOrders, job_orders
from pricelab.jobs.estimates import FIGURES, GROWING, estimate_jobs, ratio
from pricelab.jobs.variances import NAMES, JobFigures, variances
from pricelab.shop.errors import PricelabError
from pricelab.shop.price_list import PriceList
from pricelab.shop.shop import Shop
from pricelab.shop.tolerance import TOLERANCE

if TYPE_CHECKING:
    import pandas as pd


BY = ("client", "method", "blank", "size band", "month", "tier")
"""What finished work is usually summed up by."""


def judge(shop: Shop, jobs: "pd.DataFrame", lists: Sequence[PriceList] = (), sold=None):
    """The jobs that can be estimated, each with its estimate, its result and its variances.

    `jobs` has the columns of `pricelab.files.jobs.TYPES`, and may have `materials paid` (for
    all of a job's material), `labour rate` (an hour) and `quote`. `sold` are the estimates
    that quotes were made on, by number (see `pricelab.jobs.quotes.kept_estimates`): a job sold on
    one of them is judged by it, the others by the shop and `lists` as they are.

    The frame keeps the jobs' columns and index. It adds the figures of `estimate_jobs` for
    the pieces delivered (`estimated minutes` …) and the list's cell; the `rows` that the
    job's number takes; `month`; `quoted` pieces and the `estimated profit` of these;
    `revenue`, `cost` (with fees) and `profit` as they came out; `hours` of the bottleneck;
    and a column for every variance. These add up to `profit` less `estimated profit`.
    """
    import pandas as pd

    orders = job_orders(jobs)
    found = estimate_jobs(shop, jobs, lists, orders)
    if (found["reason"] != "").any():
        jobs, found = jobs[found["reason"] == ""], found[found["reason"] == ""]
        orders = job_orders(jobs)
    flexed = {name: found[name].to_numpy() for name in found.columns}
    flexed["quantity"] = jobs["quantity"].to_numpy(float)
    flexed["rate"] = np.full(len(jobs), shop.rates.labour / 60)
    flexed["overhead rate"] = np.full(len(jobs), shop.rates.overhead / 60)
    quoted = dict(flexed)
    if sold is not None and "quote" in jobs:
        _by_quotes(jobs["quote"], sold, quoted, flexed)
    actual, machine = _actual(shop, jobs, flexed, orders)
    before = _side(quoted)
    split = variances(before, _side(flexed), actual)
    busiest = flexed["busiest minutes"] * ratio(machine, flexed["machine minutes"], 1.0)
    at, months = pd.factorize(jobs["date"].to_numpy("datetime64[M]").astype(int))
    months = months.astype("datetime64[M]").astype(str).astype(object)
    result = {
        "rows": orders.everywhere(np.ones(len(jobs), int), np.bincount(orders.job)[orders.job]),
        "month": pd.array(months[at], dtype="str"),
        "quoted": before.quantity,
        "estimated profit": before.profit,
        "revenue": actual.revenue,
        "cost": actual.cost,
        "profit": actual.profit,
        "hours": _longest(orders, actual.minutes, busiest) / 60,
        **split,
    }
    cell = ["size band", "tier", "place"]
    estimate = {f"estimated {name}": flexed[name] for name in FIGURES if name not in cell}
    estimate, result = (
        pd.DataFrame(figures, index=jobs.index, copy=False) for figures in (estimate, result)
    )
    return pd.concat([jobs, estimate, found[cell], result], axis=1)


def _side(figures: dict) -> JobFigures:
    """An estimate's figures as a side; material counts in money at the estimate's prices."""
    quantity, price, setup = (figures[name] for name in ("quantity", "price", "set-up"))
    fees = figures["fee share"] * (quantity * price + setup) + figures["fixed fee"]
    used, other = (figures["material"], 1.0), _rest(figures) + fees
    work, overhead = (figures["minutes"], figures["rate"]), figures["overhead"]
    spent = figures["freight"], figures["set-up cost"]
    return JobFigures(quantity, price, *used, *work, setup, overhead, other, *spent)


def _rest(figures: dict) -> np.ndarray:
    """Other costs than freight and set-up."""
    return figures["other"] - figures["freight"] - figures["set-up cost"]


def _longest(orders: JobOrders, minutes: np.ndarray, busiest: np.ndarray) -> np.ndarray:
    """Minutes of whoever or whatever was busy longest with an order, at each row its share."""
    whole = np.maximum(*(orders.added(one[orders.rows], orders.job) for one in (minutes, busiest)))
    return orders.everywhere(np.maximum(minutes, busiest), orders.share * whole)


def _actual(
    shop: Shop, jobs: "pd.DataFrame", flexed: dict, orders: JobOrders
) -> tuple[JobFigures, np.ndarray]:
    """What came out, with the machine minutes, beside the estimate of as many pieces."""
    noted = partial(_noted, jobs, orders)
    quantity, charged = flexed["quantity"], jobs["charged"].to_numpy(float)
    minutes = noted("attended minutes", flexed["minutes"])
    machine = noted("machine minutes", flexed["machine minutes"])
    spoiled = noted("spoiled pieces", flexed["spoiled"])
    material = flexed["material"] + (spoiled - flexed["spoiled"]) * flexed["spoiled cost"]
    spared = [_spared(flexed, orders, lost) for lost in (spoiled, flexed["spoiled"])]
    material = material - (1 - shop.surplus_worth) * (spared[0] - spared[1])
    material = np.maximum(material, 0.0)
    paid = noted("materials paid", material)
    on_machine = shop.rates.overhead_on == "machine"
    spent = machine - flexed["machine minutes"] if on_machine else minutes - flexed["minutes"]
    setup = jobs["set-up charged"].to_numpy(float)
    rate = _column(jobs, "labour rate", flexed["rate"] * 60) / 60
    overhead = flexed["overhead"] + flexed["overhead rate"] * spent
    other = _rest(flexed) + flexed["fee share"] * charged + flexed["fixed fee"]
    used = np.where(material > 0, material, paid), ratio(paid, material, 1.0)
    paid_for = noted("freight paid", flexed["freight"]), noted("set-up paid", flexed["set-up cost"])
    price = (charged - setup) / quantity
    actual = JobFigures(quantity, price, *used, minutes, rate, setup, overhead, other, *paid_for)
    return actual, machine


def _spared(figures: dict, orders: JobOrders, spoiled: np.ndarray) -> np.ndarray:
    """Money that need not be paid for spoiled pieces, since what is spare replaces them.

    A blank is shared by all rows of a job that take it, a decoration by those with its artwork.
    """
    at, money = orders.rows, 0.0
    for name, over in (("blank", orders.blank), ("decoration", orders.artwork)):
        spare = figures[f"spare {name}s"]
        used = np.minimum(spoiled, spare)
        if at.size:
            lost = spoiled[at] if name == "blank" else orders.onward(spoiled[at])
            there = orders.added(spare[at], over)
            shared = np.minimum(orders.added(lost, over), there) * ratio(spare[at], there)
            used = orders.everywhere(used, shared)
        money = money + figures[f"{name} price"] * used
    return money


def _column(jobs: "pd.DataFrame", column: str, otherwise: np.ndarray) -> np.ndarray:
    """A column of the jobs, `otherwise` where it was not noted."""
    if column not in jobs:
        return otherwise
    noted = jobs[column].to_numpy(float, na_value=np.nan)
    return np.where(np.isnan(noted), otherwise, noted)


def _noted(
    jobs: "pd.DataFrame", orders: JobOrders, column: str, otherwise: np.ndarray
) -> np.ndarray:
    """The same of what an order takes, where some of its rows may tell for all of them."""
    found = _column(jobs, column, otherwise)
    if column not in jobs or not orders.rows.size:
        return found
    told = jobs[column].notna().to_numpy()[orders.rows]
    sums, expected = (
        orders.added(values, orders.job)
        for values in (np.where(told, found[orders.rows], 0.0), otherwise[orders.rows])
    )
    of = ratio(otherwise[orders.rows], expected, orders.share)
    known = orders.added(told, orders.job)
    some = (known > 0) & (known < orders.added(np.ones(told.size), orders.job))
    return orders.everywhere(found, np.where(some, sums * of, found[orders.rows]))


def _by_quotes(number: "pd.Series", sold: "pd.DataFrame", quoted: dict, flexed: dict) -> None:
    """Put the estimates that were sold in place of the shop's, where a job has one.

    The rows of a job share its quote by their pieces. What a quote's order or design took
    stays as it is when more or fewer pieces are delivered; the rest goes with the pieces.
    """
    at = sold.index.get_indexer(number)
    rows = np.flatnonzero(at >= 0)
    kept = {name: sold[name].to_numpy(float)[at[rows]] for name in sold.columns}
    pieces = flexed["quantity"][rows]
    part = pieces / np.bincount(at[rows], pieces, len(sold))[at[rows]]
    for figures, times in ((quoted, 1.0), (flexed, pieces / (part * kept["quantity"]))):
        for name, value in kept.items():
            if name in GROWING:
                still = kept.get(f"fixed {name}", 0.0)
                value = part * (still + (value - still) * times)
            elif name in ("quantity", "set-up", "fixed fee"):
                value = part * value
            elif name.startswith("fixed "):
                continue
            figures[name] = figures[name].copy()
            figures[name][rows] = value
    flexed["quantity"][rows] = pieces


def summarise(judged: "pd.DataFrame", by: str | Sequence[str]) -> "pd.DataFrame":
    """Judged jobs summed up by one or several columns (`BY` names the usual ones).

    Columns: `orders` (jobs of different numbers), `pieces`, `revenue`, `cost`, `profit` and
    `hours`; `margin`, and the profit `a piece`, `an order` and `an hour` of the bottleneck.
    The greatest profit comes first.
    """
    by = [by] if isinstance(by, str) else list(by)
    missing = [name for name in by if name not in judged]
    if missing:
        raise PricelabError(
            f'found "{missing[0]}" to sum up by, expected one of {", ".join(BY)} or another '
            "column of the judged jobs."
        )
    groups = judged.groupby(by, sort=False)
    sums = groups[["quantity", "revenue", "cost", "profit", "hours"]].sum()
    sums = sums.rename(columns={"quantity": "pieces"})
    alone = (judged["rows"] == 1).all()
    sums.insert(0, "orders", groups.size() if alone else groups["job"].nunique())
    sums["margin"] = _each(sums["profit"], sums["revenue"])
    for name, over in (("a piece", "pieces"), ("an order", "orders"), ("an hour", "hours")):
        sums[name] = _each(sums["profit"], sums[over])
    return sums.sort_values("profit", ascending=False, kind="stable")


def _each(sum_of: "pd.Series", over: "pd.Series") -> "pd.Series":
    """A quotient, 0 where there is nothing to divide by (work given away, or without minutes)."""
    return (sum_of / over.where(over != 0)).fillna(0.0)


def losing_cells(judged: "pd.DataFrame", under: float = 0.0) -> "pd.DataFrame":
    """The list cells that losing jobs were sold from, the greatest loss first.

    A job loses that leaves a margin less than `under` (0: less than it cost). By `method`,
    `blank`, `size band` and `tier` (0: on no list) and the cell's `place`: how many `jobs`,
    how many of them `losing`, what those are `short` of the margin asked for, and the
    `profit` of all jobs of the cell.
    """
    cell = ["method", "blank", "size band", "tier", "place"]
    short = (under * judged["revenue"] - judged["profit"]).clip(lower=0)
    short = short.where(short > TOLERANCE, 0.0)
    figures = {"jobs": 1, "losing": (short > 0).astype(int), "short": short}
    cells = judged[cell].assign(**figures, profit=judged["profit"])
    sums = cells.groupby(cell, sort=False).sum().reset_index()
    losing = sums[sums["losing"] > 0]
    return losing.sort_values("short", ascending=False, kind="stable", ignore_index=True)


def causes(judged: "pd.DataFrame") -> tuple[float, tuple[tuple[str, float], ...]]:
    """The estimated profit of judged jobs, and each cause with what it moved that by, in order."""
    moved = judged[list(NAMES)].sum()
    named = tuple((name.removesuffix(" variance"), float(moved[name])) for name in NAMES)
    return float(judged["estimated profit"].sum()), named


def furthest_short(judged: "pd.DataFrame", count: int) -> "pd.DataFrame":
    """The jobs that earned most less than estimated, at most `count`, the worst first.

    The rows of a job are added up. Adds `missed`, money above 0, and the `cause` that cost
    most of it.
    """
    if not judged["job"].is_unique:
        sums = ["quantity", "estimated profit", "profit", *NAMES]
        others = {name: "first" for name in judged.columns if name not in (*sums, "job")}
        orders = judged.groupby("job", sort=False, as_index=False)
        judged = orders.agg(others | dict.fromkeys(sums, "sum"))
    found = judged.assign(missed=judged["estimated profit"] - judged["profit"])
    worst = found[found["missed"] > 0].nlargest(count, "missed")
    cause = worst[list(NAMES)].idxmin(axis=1) if len(worst) else worst["job"]
    return worst.assign(cause=cause.str.removesuffix(" variance"))
