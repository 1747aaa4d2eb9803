"""Where finished jobs fell short of what they were estimated to earn, and mostly why."""

from typing import TYPE_CHECKING

from pricelab.jobs.variances import NAMES

if TYPE_CHECKING:
    import pandas as pd


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
