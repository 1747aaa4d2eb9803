"""How the chance to win a quote falls with its price, and the price that then earns most.

The chance is taken as 1 / (1 + exp(a + b · price)) and fitted to quotes won and lost by
maximum likelihood. The profit to expect from a quote is the chance times what is left at
the price; its best price has a closed form in Lambert's W,

    price* = c + (1 + W(exp(−(1 + a + b · c)))) / b,

with c what a piece costs (divided by 1 − f where fees take the share f). Prices may be in
money or in multiples of the cost, c = 1: then quotes of all sizes and quantities are fitted
together, and the best price is a markup. Nobody's name is looked at: what comes out informs
a list that holds for everybody.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from pricelab.jobs.estimates import estimate_jobs
from pricelab.jobs.regression import Fit, NoFitError, logit
from pricelab.shop.errors import PricelabError
from pricelab.shop.shop import Shop

if TYPE_CHECKING:
    import pandas as pd

FEWEST = 10
"""Quotes won, and quotes lost, below which nothing is fitted: ten of the rarer outcome for
each figure that is sought (Peduzzi and others 1996, from memory)."""

LEVEL = 0.95
"""How often the intervals hold the true figure."""

NEAR = 0.01
"""The part of the best profit that a price may give away and still count as good."""


@dataclass(frozen=True)
class Best:
    """The best price, its interval `low`…`high`, and the prices about as good (`flat`).

    Each price of `flat` earns at least 99 % of the best. `inside` tells whether the best
    lies among the prices that were quoted, or is a guess beyond them.
    """

    price: float
    low: float
    high: float
    flat: tuple[float, float]
    chance: float
    inside: bool


@dataclass(frozen=True, eq=False)
class Response:
    """A fitted price response; `prices` and `won` (n,) are the quotes it rests on."""

    fit: Fit
    prices: np.ndarray
    won: np.ndarray

    @property
    def a(self) -> float:
        """The constant of the exponent."""
        return -float(self.fit.coefficients[0])

    @property
    def b(self) -> float:
        """How fast the chance falls: by 25 · b points for a price one hundredth up, at most."""
        return -float(self.fit.coefficients[1])

    def chance(self, price):
        """The chance to win at a price, same shape."""
        return _chance(-self.a - self.b * np.asarray(price, float))

    def chance_range(self, price) -> tuple[np.ndarray, np.ndarray]:
        """The interval of the chance at each price."""
        prices = np.atleast_1d(np.asarray(price, float))
        rows = np.column_stack([np.ones_like(prices), prices])
        at = rows @ self.fit.coefficients
        reach = np.array([self.fit.reach(row, LEVEL) for row in rows])
        return _chance(at - reach), _chance(at + reach)

    def profit(self, price, cost: float = 1.0):
        """The profit to expect from a quote, a piece: chance times price less cost."""
        price = np.asarray(price, float)
        return self.chance(price) * (price - cost)

    def best(self, cost: float = 1.0) -> Best:
        """The price that earns most, how sure it is (delta method), and how flat the top is.

        >>> from pricelab.jobs.regression import Fit
        >>> sure = Fit(np.array([8.0, -0.5]), np.zeros((2, 2)))
        >>> round(Response(sure, np.array([9.0, 20.0]), np.array([1, 0])).best(10).price, 6)
        15.114291
        """
        from scipy.special import wrightomega

        b = self.b
        w = float(wrightomega(-(1 + self.a + b * cost)))  # W(exp(…)), whatever its size
        price = cost + (1 + w) / b
        bend = w / (1 + w)
        slope = np.array([-bend / b, -(1 + w) / b**2 - cost * bend / b])
        reach = self.fit.reach(slope, LEVEL)  # of either sign: a and b are fitted negated
        lowest, highest = float(self.prices.min()), float(self.prices.max())
        return Best(
            price,
            max(price - reach, cost),
            price + reach,
            self._flat(price, cost),
            float(self.chance(price)),
            lowest <= price <= highest,
        )

    def _flat(self, best: float, cost: float) -> tuple[float, float]:
        """Both prices at which the profit is `NEAR` under the best: profit rises, then falls."""
        from scipy.optimize import brentq

        def over(price: float) -> float:
            """The logarithm of profit over the floor, right however small the chance is."""
            odds = self.a + self.b * np.array([best, price])
            chance = -float(np.diff(np.logaddexp(0, odds))[0])
            return chance + float(np.log((price - cost) / (best - cost) / (1 - NEAR)))

        gain = best - cost
        beyond = best + gain
        while over(beyond) > 0:
            beyond += gain
        # at a tenth of the gain the chance is at most e times, so the profit under a third
        return tuple(brentq(over, end, best) for end in (cost + gain / 10, beyond))


def asked(shop: Shop, quotes: "pd.DataFrame") -> "pd.DataFrame":
    """What quotes asked and cost, at the costs of the shop as it is.

    `quotes` has the columns of `pricelab.files.jobs.QUOTE_TYPES`. Columns of the result, without
    quotes that could not be made today: `method`, `won`, `revenue`, `cost` (all of it, with a
    fixed fee), `variable cost` (the same without overhead) and the `fee share`.
    """
    found = estimate_jobs(shop, quotes)
    found = found[found["reason"] == ""].assign(rate=shop.rates.labour / 60)
    return _asked(quotes.loc[found.index], found)


def asked_then(quotes: "pd.DataFrame", kept: "pd.DataFrame") -> "pd.DataFrame":
    """The same of quotes in the book of records, won or lost, at the costs they were made on.

    `kept` are their estimates, by number (`pricelab.jobs.quotes.kept_estimates`).
    """
    decided = quotes[quotes["status"] != "open"].set_index("number")
    found = kept.loc[decided.index]
    priced = {"price each": found["price"], "set-up charged": found["set-up"]}
    return _asked(decided.assign(won=decided["status"] == "won", **priced), found)


def _asked(quotes: "pd.DataFrame", figures: "pd.DataFrame") -> "pd.DataFrame":
    minutes = figures["minutes"] * figures["rate"]
    variable = figures["material"] + minutes + figures["other"] + figures["fixed fee"]
    revenue = quotes["quantity"] * quotes["price each"] + quotes["set-up charged"]
    costs = {"cost": variable + figures["overhead"], "variable cost": variable}
    return quotes[["method", "won"]].assign(
        revenue=revenue, **costs, **{"fee share": figures["fee share"]}
    )


def _chance(odds):
    """1 / (1 + exp(−odds)), exact however small it is."""
    return np.exp(-np.logaddexp(0, -np.asarray(odds)))


def price_response(prices, won) -> Response:
    """The response fitted to quotes: their `prices` (n,), and whether each was `won`.

    Raises `PricelabError` where the quotes are too few, do not tell, or say that a dearer
    quote is won more often: then something else than price decides, and no price is best.
    """
    prices, won = np.asarray(prices, float), np.asarray(won, bool)
    got, lost = int(won.sum()), int((~won).sum())
    if min(got, lost) < FEWEST:
        raise PricelabError(
            f"{got} quotes were won and {lost} lost; it takes at least {FEWEST} of each before "
            "they say anything about prices. Go on noting how quotes end."
        )
    try:
        fit = logit(np.column_stack([np.ones_like(prices), prices]), won)
    except NoFitError:
        if prices.min() == prices.max():
            why = "all quotes are at one price, so they do not tell what another would do."
        else:
            why = (
                "one price parts all quotes won from all quotes lost, so the chance between "
                "cannot be told."
            )
        raise PricelabError(f"{why} Quote some in between.") from None
    response = Response(fit, prices, won)
    if response.b <= 0:
        raise PricelabError(
            "dearer quotes were won more often than cheap ones. That cannot be the price's doing: "
            "dearer work may have gone to clients who come back anyway. No best price is told."
        )
    if response.b <= fit.reach([0, 1], LEVEL):
        raise PricelabError(
            f"{got} quotes won and {lost} lost do not show yet whether a lower price wins more. "
            "Go on noting how quotes end."
        )
    return response
