"""The price response: its optimum, its intervals, and what it refuses."""

import numpy as np
import pytest

from pricelab.jobs.price_response import Response, price_response
from pricelab.jobs.regression import Fit


def response(a, b, covariance=((0, 0), (0, 0)), prices=(1, 30)):
    """A response of known a and b."""
    known = Fit(np.array([-a, -b]), np.array(covariance, float))
    return Response(known, np.array(prices, float), np.array([True, False]))


def quotes(count, seed, a=-4.0, b=2.5):
    """Invented quotes at 0.8 to 2.6 times their cost, won by that chance."""
    chance = np.random.default_rng(seed)
    prices = chance.uniform(0.8, 2.6, count)
    return prices, chance.uniform(size=count) < 1 / (1 + np.exp(a + b * prices))


def test_the_logit_optimum():
    """a = -8, b = .5, cost 10: 15.114291 (computed with scipy.special.lambertw)."""
    assert response(-8, 0.5).best(10).price == pytest.approx(15.114291, abs=5e-7)


@pytest.mark.parametrize(("a", "b", "cost"), [(-8, 0.5, 10), (-4, 2.5, 1), (3, 1, 2), (-900, 1, 5)])
def test_the_best_price_is_where_a_search_finds_it(a, b, cost):
    """scipy's bounded minimiser on the profit itself, and 1 % less at both ends of the flat."""
    from scipy.optimize import minimize_scalar

    fitted = response(a, b)
    best = fitted.best(cost)
    found = minimize_scalar(
        lambda p: -fitted.profit(p, cost), bounds=(cost, best.price * 1.5), method="bounded",
        options={"xatol": 1e-10},
    )  # fmt: skip
    assert best.price == pytest.approx(found.x, rel=1e-6)
    top = fitted.profit(best.price, cost)
    assert fitted.profit(np.array(best.flat), cost) == pytest.approx([0.99 * top] * 2)
    assert best.flat[0] < best.price < best.flat[1]
    assert best.chance == pytest.approx(fitted.chance(best.price))


@pytest.mark.parametrize("cost", [6.0, 12.0, 16.0, 40.0, 400.0])
def test_costs_above_all_quotes_have_a_best_price_and_a_flat_top(cost):
    """Where nobody buys any more, profit goes as (p − c) · exp(−b · p): best at c + 1 / b.

    It is 1 % less where x · exp(1 − x) is .99 with x = b · (p − c): .864843 and 1.148555.
    """
    best = response(-4, 2.5, prices=(1, 2)).best(cost)
    chance = np.exp(4 - 2.5 * best.price)
    assert best.price == pytest.approx(cost + 1 / 2.5, abs=0.5 * chance + 1e-12)
    assert best.chance == pytest.approx(chance, rel=2 * chance, abs=0)
    x = (np.array(best.flat) - cost) * 2.5
    assert x == pytest.approx([0.864843, 1.148555], abs=5e-7 + 2 * chance)
    assert not best.inside


def test_the_interval_of_the_best_price_is_the_delta_method():
    """Against slopes by finite differences, 1.959964 standard errors to each side."""
    covariance = np.array([[0.04, -0.01], [-0.01, 0.02]])
    step, at = 1e-6, response(-4, 2.5).best(1).price
    slope = np.array(
        [
            (response(-4 + step, 2.5).best(1).price - at) / step,
            (response(-4, 2.5 + step).best(1).price - at) / step,
        ]
    )
    best = response(-4, 2.5, covariance).best(1)
    reach = 1.959964 * np.sqrt(slope @ covariance @ slope)
    assert (best.low, best.high) == pytest.approx((at - reach, at + reach), rel=1e-4)


def test_a_fit_finds_the_response_it_was_drawn_from():
    """20,000 quotes: a, b and the best markup to two figures, each inside its interval."""
    fitted = price_response(*quotes(20_000, 3))
    truth = response(-4, 2.5).best()
    assert (fitted.a, fitted.b) == pytest.approx((-4, 2.5), rel=0.05)
    best = fitted.best()
    assert best.low < truth.price < best.high
    assert best.high - best.low < 0.05
    assert best.inside


def test_intervals_hold_the_truth_as_often_as_they_say():
    """400 seeded sets of 200 quotes: best price and chance at 1.5 in about 95 of 100."""
    truth = response(-4, 2.5)
    price, chance = truth.best().price, truth.chance(1.5)
    held = []
    for seed in range(400):
        fitted = price_response(*quotes(200, seed))
        low, high = fitted.chance_range(1.5)
        best = fitted.best()
        held.append((best.low <= price <= best.high, low[0] <= chance <= high[0]))
    assert (np.mean(held, axis=0) > 0.92).all()
    assert (np.mean(held, axis=0) < 0.99).all()


def test_a_best_price_beyond_the_quotes_is_told_as_such():
    """Nobody was asked so much."""
    assert not response(-4, 2.5, prices=(1, 1.2)).best().inside


def test_fees_raise_the_cost_that_counts():
    """With a share f the profit is (1 - f) times that at cost / (1 - f): the same optimum."""
    fitted, share, cost = response(-8, 0.5), 0.1, 10
    prices = np.linspace(10, 30, 200_001)
    earned = fitted.chance(prices) * ((1 - share) * prices - cost)
    assert fitted.best(cost / (1 - share)).price == pytest.approx(prices[earned.argmax()], abs=1e-4)


@pytest.mark.parametrize(
    ("prices", "won", "said"),
    [
        ([1.0] * 9 + [2.0] * 20, [1] * 9 + [0] * 20, "9 quotes were won and 20 lost; it takes at "),
        ([1.5] * 40, [0, 1] * 20, "all quotes are at one price"),
        (np.arange(40), np.arange(40) < 20, "one price parts all quotes won from all"),
        ([1, 2] * 40, [0, 1] * 30 + [1, 0] * 10, "dearer quotes were won more often than cheap"),
        ([1, 2] * 10 + [1.5] * 20, [1, 0] * 6 + [0, 1] * 4 + [0, 1] * 10, "do not show yet wheth"),
    ],
)
def test_quotes_that_do_not_tell_are_refused(prices, won, said):
    """Politely, with what would help."""
    with pytest.raises(ValueError, match=said):
        price_response(np.asarray(prices, float), np.asarray(won))


def test_refusals_are_whole_sentences():
    """In full, the one an owner will meet first."""
    with pytest.raises(
        ValueError,
        match=(
            r"^3 quotes were won and 2 lost; it takes at least 10 of each before they say anything "
            r"about prices\. Go on noting how quotes end\.$"
        ),
    ):
        price_response([1, 2, 3, 4, 5], [1, 1, 1, 0, 0])
