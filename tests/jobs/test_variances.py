"""Variances against a published example, by hand, and as an identity."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pricelab.jobs.variances import JobFigures, variances
from pricelab.shop.errors import PricelabError

FIGURES = st.fractions(min_value=-1000, max_value=1000, max_denominator=1000)
SIDES = st.builds(JobFigures, *[FIGURES] * 11)


def test_a_published_month_reconciles_budgeted_with_actual_contribution():
    """CIMA BA2 Integrated Workbook (2017), "XYZ", operating statement on page 119.

    Standard a unit: price 650, 10 kg at 7, 40 hours at 10, variable overhead 40 hours at 3;
    budget 2,000 units; actual 2,100 units for 1,350,000, 22,500 kg for 146,250, 83,000 hours
    for 845,000, overhead 248,200. The statement goes from a contribution of 120,000 by the
    variances below to 110,550 (its overhead of 800 and 3,000 favourable is one figure here).
    """

    def standard(units):
        return JobFigures(units, 650, 10 * units, 7, 40 * units, 10, overhead=120 * units)

    actual = JobFigures(
        2100, Fraction(1_350_000, 2100), 22_500, Fraction(146_250, 22_500),
        83_000, Fraction(845_000, 83_000), overhead=248_200,
    )  # fmt: skip
    found = variances(standard(2000), standard(2100), actual)
    assert standard(2000).profit == 120_000
    assert found == {
        "volume variance": 6_000,
        "price variance": -15_000,
        "material price variance": 11_250,
        "material usage variance": -10_500,
        "labour rate variance": -15_000,
        "labour efficiency variance": 10_000,
        "overhead variance": 800 + 3_000,
        "freight variance": 0,
        "set-up cost variance": 0,
        "other variance": 0,
    }
    assert sum(found.values()) == 110_550 - 120_000
    assert actual.profit == 110_550


@given(SIDES, SIDES, SIDES)
def test_variances_add_up_exactly_to_the_whole_difference(estimate, flexed, actual):
    """In fractions nothing is rounded, so the identity must hold to the last digit."""
    flexed = JobFigures(actual.quantity, *[getattr(flexed, name) for name in (
        "price", "material", "material_price", "minutes", "labour_rate", "setup", "overhead",
        "other", "freight", "set_up_cost",
    )])  # fmt: skip
    assert sum(variances(estimate, flexed, actual).values()) == actual.profit - estimate.profit


def test_many_jobs_at_once_are_each_judged_as_alone():
    """Arrays equal scalars, job by job."""
    rng = np.random.default_rng(5)
    quantity = rng.integers(1, 100, 7).astype(float)
    sides = [JobFigures(quantity, *rng.uniform(0, 50, (10, 7))) for _ in range(3)]
    together = variances(*sides)
    for at in range(7):
        alone = variances(
            *(JobFigures(*(value[at] for value in vars(side).values())) for side in sides)
        )
        for name, value in together.items():
            assert value[at] == pytest.approx(alone[name], rel=1e-12, abs=1e-12)


def test_an_estimate_of_another_quantity_is_refused():
    one, two = JobFigures(1, 1, 1, 1, 1, 1), JobFigures(2, 1, 1, 1, 1, 1)
    with pytest.raises(PricelabError, match="estimate the delivered pieces"):
        variances(one, one, two)
