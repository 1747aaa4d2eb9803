"""What is asked about finished jobs: what their rows leave open, and figures that do not agree.

Nothing is chosen silently: until it is answered, a row counts as pieces of its own, and what
was charged as it is written.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from pricelab.files.faults import Report
from pricelab.shop.figures import number
from pricelab.shop.place import Place
from pricelab.shop.shop import Shop

if TYPE_CHECKING:
    import pandas as pd

MOST = 20
"""Questions of a kind that are asked at once; how many more there are is said."""

_ALIKE = ["job", "blank", "quantity"]


def ask_about_jobs(
    jobs: "pd.DataFrame", place: Callable[[int], Place], shop: Shop, report: Report
) -> None:
    """Warn of rows that may be the same pieces, and of money that does not add up.

    `place` says where each of the `jobs` stands, by its position.
    """
    for column, ask in (("same pieces", _same_pieces(jobs)), ("charged", _charged(jobs, shop))):
        questions = list(ask)
        for at, *words in questions[:MOST]:
            report.warn(replace(place(at), column=column), *words)
        if len(questions) > MOST:
            more = f"{number(len(questions) - MOST)} more such rows from here on"
            where = replace(place(questions[MOST][0]), column=column)
            report.warn(where, more, "none", "Look at the ones before first.")


def _same_pieces(jobs: "pd.DataFrame") -> Iterator[tuple]:
    """Rows of a job of which nobody knows whether they are other pieces or the same ones."""
    several = np.flatnonzero(jobs["job"].duplicated(keep=False).to_numpy())
    if not several.size:
        return
    rows = jobs.iloc[several].reset_index(drop=True)
    again, alike = rows.duplicated(_ALIKE), rows.duplicated(_ALIKE, keep=False)
    said = rows["same pieces"]
    for at in np.flatnonzero(again & (said == "")):
        yield (
            several[at],
            f"{number(rows['quantity'][at])} pieces of {rows['blank'][at]} again in job "
            f"{rows['job'][at]}, and nothing said",
            "yes or no",
            'Write "yes" if they are the same pieces, decorated once more, or "no" if they are '
            "others. Until then they count as others.",
        )
    for at in np.flatnonzero(~alike & (said == "yes")):
        yield (
            several[at],
            f"yes, and no other row of job {rows['job'][at]} with its blank and quantity",
            "such a row",
            'Correct the quantity, or write "no".',
        )


def _charged(jobs: "pd.DataFrame", shop: Shop) -> Iterator[tuple]:
    """Rows where what was charged is not the pieces at their price and the set-up."""
    quantity, each, setup, charged = (
        jobs[name].to_numpy(float)
        for name in ("quantity", "price each", "set-up charged", "charged")
    )
    tax, expected = shop.pricing.tax, quantity * each + setup
    rounded = (quantity / 2 + 1) * 10.0**-shop.decimals  # half a cent of each price, one in all
    for at in np.flatnonzero(np.abs(charged - expected) > rounded):
        fix = "Correct the one that is wrong."
        if abs(charged[at] / (1 + tax.rate) - expected[at]) <= rounded[at]:
            fix = f"It is that with {tax.name}: write it before tax."
        money = [f"{value:.{shop.decimals}f}" for value in (charged[at], expected[at])]
        pieces, price, once = (f"{value:g}" for value in (quantity[at], each[at], setup[at]))
        yield at, money[0], f"{money[1]}, which is {pieces} × {price} + {once}", fix
