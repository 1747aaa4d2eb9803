"""Where jobs fell short, and mostly why."""

import pandas as pd

from pricelab.jobs.shortfalls import causes, furthest_short
from pricelab.jobs.variances import NAMES


def judged(**columns):
    """Judged jobs; variances that are not told are 0."""
    count = len(next(iter(columns.values())))
    frame = pd.DataFrame({name: [0.0] * count for name in NAMES} | columns)
    frame["estimated profit"] = 100.0
    frame["profit"] = 100.0 + frame[list(NAMES)].sum(axis=1)
    return frame.assign(job=[f"J{at}" for at in range(count)])


JOBS = judged(
    **{
        "price variance": [-10.0, 5.0, 0.0, -1.0],
        "labour efficiency variance": [-30.0, -1.0, -7.0, 1.0],
    }
)


def test_causes_add_up_from_the_estimate_to_the_profit():
    """400 estimated; price −6, labour efficiency −37: 357 earned."""
    estimated, named = causes(JOBS)
    moved = {name: money for name, money in named if money}
    assert (estimated, moved) == (400.0, {"price": -6.0, "labour efficiency": -37.0})
    assert estimated + sum(moved.values()) == JOBS["profit"].sum() == 357.0
    assert [name for name, _ in named][:2] == ["volume", "price"]


def test_the_jobs_furthest_short_come_first_with_what_cost_most():
    """Short by 40 and 7; one earned more, one just what was estimated."""
    worst = furthest_short(JOBS, 8)
    assert worst["job"].tolist() == ["J0", "J2"]
    assert worst["missed"].tolist() == [40.0, 7.0]
    assert worst["cause"].tolist() == ["labour efficiency", "labour efficiency"]
    assert furthest_short(JOBS, 1)["job"].tolist() == ["J0"]


def test_the_rows_of_a_job_are_one_job():
    """J0's two rows are 10 and 30 short, by minutes 30 of the 40; J1's own 25."""
    rows = judged(
        **{"price variance": [-10.0, -25.0, 0.0], "labour efficiency variance": [0.0, 0.0, -30.0]}
    ).assign(job=["J0", "J1", "J0"], quantity=12, method=["patch", "patch", "film"])
    worst = furthest_short(rows, 8)
    assert worst["job"].tolist() == ["J0", "J1"]
    assert worst["missed"].tolist() == [40.0, 25.0]
    assert worst["cause"].tolist() == ["labour efficiency", "price"]
    assert worst["quantity"].tolist() == [24, 12]


def test_no_job_short_is_an_empty_table():
    """And no error."""
    assert furthest_short(judged(**{"price variance": [1.0, 0.0]}), 8).empty
