"""Two fits: a line that outliers do not pull, and the chance of yes or no.

Both give coefficients with their covariance, from which an interval follows; neither
hides a fit that the figures do not allow.
"""

from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from pricelab.shop.errors import PricelabError

EFFICIENT = 1.345
"""Residuals, in standard deviations, beyond which Huber's fit weighs a point down: where
errors are normal it then needs 1 / 0.95 times the points of least squares (Huber 1981)."""

_NORMAL_MAD = NormalDist().inv_cdf(0.75)
"""The median size of a standard normal error."""


class NoFitError(PricelabError):
    """The points do not tell the coefficients apart."""


class UnsettledError(NoFitError):
    """The fit goes to and fro between points that contradict one another."""


ROUNDS = 5_000
"""Fits after which one that still moves is given up: a dozen are usual, hundreds rare."""


@dataclass(frozen=True, eq=False)
class Fit:
    """Coefficients, shape (p,), with their covariance (p, p) and the degrees of freedom left."""

    coefficients: np.ndarray
    covariance: np.ndarray
    freedom: float = np.inf

    def at(self, row) -> float:
        """What the fit gives for one row of a design, shape (p,)."""
        return float(np.asarray(row) @ self.coefficients)

    def reach(self, row, level: float = 0.95) -> float:
        """Half the width of the interval round `at(row)`, by Student's t (normal if inf)."""
        from scipy.special import stdtrit

        row = np.asarray(row, float)
        spread = float(np.sqrt(row @ self.covariance @ row))
        return spread * float(stdtrit(self.freedom, (1 + level) / 2))


def huber(design, y) -> Fit:
    """Robust regression of `y` (n,) on `design` (n, p): Huber's M-estimate.

    Minimises the sum of a loss of residual / s, a parabola within ±1.345 and straight beyond,
    by least squares reweighted until nothing moves; s is the median size of the residuals
    over 0.6745. Covariance as in Huber, *Robust Statistics* (1981), section 7.6, first form.
    Raises `NoFitError`, and `UnsettledError` where it still moves after `ROUNDS`.

    >>> fit = huber([[1, 1], [1, 2], [1, 3], [1, 4], [1, 5], [1, 6]], [3, 5, 7, 9, 11, 400])
    >>> fit.coefficients.round(6).tolist()
    [1.0, 2.0]
    """
    x, y = np.asarray(design, float), np.asarray(y, float)
    count, width = x.shape
    if count <= width or np.linalg.matrix_rank(x, tol=1e-8 * np.abs(x).max()) < width:
        raise NoFitError("the points are too few, or too much alike, to tell coefficients apart.")
    found = np.linalg.lstsq(x, y, rcond=None)[0]
    exact = 1e-12 * max(np.abs(y).max(), 1e-300)
    for _ in range(ROUNDS):
        off = y - x @ found
        scale = max(float(np.median(np.abs(off))) / _NORMAL_MAD, exact)
        root = np.sqrt(np.minimum(1, EFFICIENT * scale / np.maximum(np.abs(off), exact)))
        before = found
        found = np.linalg.lstsq(x * root[:, None], y * root, rcond=None)[0]
        if np.abs(found - before).max() <= 1e-12 * np.abs(found).max():
            break
    else:
        raise UnsettledError(f"the fit still moves after {ROUNDS:,} rounds.")
    off = (y - x @ found) / scale
    inside = np.abs(off) <= EFFICIENT
    share, freedom = inside.mean(), count - width
    correction = 1 + width / count * (1 - share) / share
    pull = np.sum(np.clip(off, -EFFICIENT, EFFICIENT) ** 2) / freedom
    spread = (correction * scale / share) ** 2 * pull
    return Fit(found, spread * np.linalg.inv(x.T @ x), float(freedom))


def logit(design, happened) -> Fit:
    """The fit of P(happened) = 1 / (1 + exp(−design @ coefficients)) by maximum likelihood.

    `happened` (n,) is 0 or 1. Newton's method, each step halved until it gains; covariance
    from the information at the optimum. Raises `NoFitError` where some mix of the columns
    parts all that happened from all that did not: then no finite optimum exists.

    >>> fit = logit([[1, 0]] * 4 + [[1, 1]] * 4, [0, 0, 0, 1, 0, 1, 1, 1])
    >>> (fit.coefficients / np.log(3)).round(6).tolist()  # odds 1:3, then nine times those
    [-1.0, 2.0]
    """
    x, happened = np.asarray(design, float), np.asarray(happened, float)
    found = np.zeros(x.shape[1])
    likely = log_likelihood(x, happened, found)
    for _ in range(50):
        chance = 1 / (1 + np.exp(-np.clip(x @ found, -500, 500)))
        information = (x.T * (chance * (1 - chance))) @ x
        if not np.linalg.cond(information) < 1e12:
            break
        step = np.linalg.solve(information, x.T @ (happened - chance))
        while (gained := log_likelihood(x, happened, found + step)) < likely - 1e-12:
            step = step / 2
        found, likely = found + step, gained
        if np.abs(step).max() <= 1e-10 * max(1.0, np.abs(found).max()):
            return Fit(found, np.linalg.inv(information))
    raise NoFitError("a straight line parts all that happened from all that did not.")


def log_likelihood(design, happened, coefficients) -> float:
    """The log-likelihood of a logit's coefficients."""
    at = np.asarray(design, float) @ coefficients
    return float(np.sum(np.asarray(happened, float) * at - np.logaddexp(0, at)))
