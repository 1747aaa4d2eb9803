"""Simulated profits: their mean is what costing expects, their spread what scipy says."""

import re

import numpy as np
import pytest
from example_shops import a_blank, a_patch, a_shop
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from pricelab.analysis.break_even import break_even
from pricelab.analysis.risk import (
    Drivers,
    Spread,
    Uncertainty,
    break_even_range,
    chance_of_loss,
    drivers_of,
    likely_range,
    simulate,
    spoiled_at,
    tornado,
)
from pricelab.cost.costing import cost_sheet
from pricelab.cost.fees import Fees
from pricelab.cost.orders import Order
from pricelab.shop.charges import Charge, Element, Level
from pricelab.shop.errors import PricelabError
from pricelab.shop.sizes import Artwork
from pricelab.shop.work import Operation, Rates

CAP = a_blank(breaks=(1, 24), prices=(5, 4.5))
PATCH = a_patch(
    (1, 25), ((3.0, 2.5),), setup=30.0, spoilage=0.04,
    operations=(Operation("press", 1.5), Operation("set the press", 8, Level.ORDER)),
    charges=(Charge("cover sheet", Element.CONSUMABLES, Level.PIECE, 0.05),),
)  # fmt: skip
SHOP = a_shop(
    PATCH, blanks=(CAP,), rates=Rates(24, 12),
    charges=(Charge("card", Element.FEES, Level.REVENUE, 0.30, 0.03),),
)  # fmt: skip
ART = Artwork(2, 2, "in")
DOUBT = Uncertainty(Spread(0.8, 1.0, 1.6), Spread(0.95, 1.0, 1.15))


def drivers(quantity=48, revenue=600.0):
    return drivers_of(SHOP, Order.of(CAP, quantity, PATCH, ART), revenue)


def test_what_nobody_doubts_earns_what_costing_says():
    """Revenue − fees − full cost, to the last digit, for one order and for an array of them."""
    quantity = np.array([1, 24, 48])
    sheet = cost_sheet(SHOP, Order.of(CAP, quantity, PATCH, ART))
    revenue = 12.5 * quantity
    expected = revenue - Fees(0.03, 0.30).on(revenue) - sheet.full
    assert drivers(quantity, revenue).profit() == pytest.approx(expected, rel=1e-12)
    sure = Uncertainty(spoilage=False)
    assert simulate(drivers(), sure, 10) == pytest.approx([drivers().profit()] * 10)


def test_the_mean_of_many_draws_is_the_expected_profit():
    """Factors of mean m shift the expectation by the triangular mean; within 4 standard errors."""
    profits = simulate(drivers(), DOUBT, 200_000)
    expected = drivers().profit(minutes=(0.8 + 1 + 1.6) / 3, prices=(0.95 + 1 + 1.15) / 3)
    error = profits.std() / profits.size**0.5
    assert profits.mean() == pytest.approx(expected, abs=4 * error)


def test_spoiled_pieces_alone_follow_the_negative_binomial():
    """The chance that as many or more spoil, drawn, beside scipy.stats.nbinom."""
    d, doubt = drivers(), Uncertainty()
    profits = simulate(d, doubt, 100_000)
    each = (d.profit(spoiled=0.0) - d.profit(spoiled=1.0)) / (48 * 0.04 / 0.96)  # money a piece
    spoiled = np.round((d.profit(spoiled=0.0) - profits) / each).astype(int)
    for pieces in range(6):
        exact = stats.nbinom.pmf(pieces, 48, 0.96)
        assert (spoiled == pieces).mean() == pytest.approx(exact, abs=0.006)


def test_spoiled_pieces_come_out_of_a_surplus_first():
    """By hand, beanies in tens at 2.00, a fifth spoiled, 12 wanted and 3 expected to spoil: 20 are
    paid whether 0, 4 or 8 spoil, and what is over is worth half; of 12 spoiled 4 are paid on top.
    """
    beanie, patch = a_blank(prices=(2.00,), pack=10), a_patch(prices=((0.00,),), spoilage=0.2)
    shop, order = a_shop(surplus_worth=0.5), Order.of(beanie, 12, patch, ART)
    found = drivers_of(shop, order, 100.0)
    spent = [100 - found.profit(spoiled=pieces / 3) for pieces in (0, 3, 4, 8, 12)]
    assert spent == pytest.approx([40 - 8, 40 - 5, 40 - 4, 40, 48])
    assert spent[1] == pytest.approx(cost_sheet(shop, order).full)
    assert 100 - found.profit(prices=1.1) == pytest.approx(1.1 * 35)


def test_the_same_seed_draws_the_same_figures_and_another_does_not():
    one, two, other = (simulate(drivers(), DOUBT, 2_000, seed) for seed in (7, 7, 8))
    assert (one == two).all()
    assert (one != other).any()


def test_a_long_run_is_watched_and_can_be_stopped():
    seen = []

    def watch(done):
        seen.append(done)
        return done < 100_000

    profits = simulate(drivers(), DOUBT, 1_000_000, watch=watch)
    assert seen == [50_000, 100_000]
    assert (profits == simulate(drivers(), DOUBT, 100_000)).all()


def test_chances_and_ranges_are_those_of_the_draws():
    profits = simulate(drivers(revenue=475.0), DOUBT, 20_000)
    assert 0.05 < chance_of_loss(profits) == np.mean(profits < 0) < 0.95
    low, high = likely_range(profits)
    assert np.mean(profits < low) == pytest.approx(0.05, abs=0.001)
    assert np.mean(profits > high) == pytest.approx(0.05, abs=0.001)


def test_an_order_that_leaves_nothing_loses_nothing():
    """By hand: one of four draws is below 0."""
    assert chance_of_loss(np.array([-1.0, 0.0, 1.0, 2.0])) == 0.25


def test_what_cannot_be_less_than_likely_may_still_be_more():
    """By hand: at most a fifth more, never less."""
    assert (Spread(1, 1, 1.2).at(0), Spread(1, 1, 1.2).at(1)) == (1, 1.2)


def test_a_spread_is_scipy_s_triangular():
    """PERT-like 4, 6, 12 (PUBLISHED: mean 7.3333, SD 1.6997, scipy.stats.triang)."""
    spread = Spread(4, 6, 12)
    reference = stats.triang(c=0.25, loc=4, scale=8)
    for chance in (0.0, 0.05, 0.25, 0.5, 0.95, 1.0):
        assert spread.at(chance) == pytest.approx(reference.ppf(chance))
    drawn = spread.draw(np.random.default_rng(0), 400_000)
    assert drawn.mean() == pytest.approx(7.3333, abs=0.01)
    assert drawn.std() == pytest.approx(1.6997, abs=0.01)


def test_the_tornado_ranks_by_what_each_driver_does_alone():
    swings = tornado(drivers(), DOUBT)
    assert swings.keys() == {"minutes", "prices", "spoiled"}
    widths = [abs(high - low) for low, high in swings.values()]
    assert widths == sorted(widths, reverse=True)
    ends = stats.triang(c=0.25, loc=0.8, scale=0.8).ppf([0.05, 0.95])
    assert swings["minutes"] == pytest.approx(drivers().profit(minutes=ends))


def middling(off):
    """The spread round 1 whose 5 % and 95 % points are 1 − off and 1 + off."""
    most = off / (1 - 0.1**0.5)  # a symmetric triangle's 5 % point lies √.1 of the way in
    return Spread(1 - most, 1, 1 + most)


def test_a_published_tornado():
    """From memory, Clemen's Eagle Airlines: a profit of 9,975; capacity sold .4 … .6 moves it to
    −10,025 … 29,975, an hour's operating cost of 230 … 260 to 21,975 … −2,025, on 800 hours.

    Here operating cost goes with the minutes, and what capacity takes in is a cost below 0.
    """
    taken, spent = 100_000.0, 245 * 800.0
    plane = Drivers(np.array(1), 0.0, 9_975 - taken + spent, (-taken, 0), (spent, 0), (0, 0))
    doubt = Uncertainty(minutes=middling(15 / 245), prices=middling(0.1 / 0.5))
    swings = tornado(plane, doubt)
    assert list(swings) == ["prices", "minutes"]
    assert swings["prices"] == pytest.approx((-10_025, 29_975))
    assert swings["minutes"] == pytest.approx((21_975, -2_025))


def test_break_even_as_a_range():
    """Without doubt it is the set's first quantity; with doubt the range holds it."""
    quantity = np.arange(1, 121)
    priced = drivers(quantity, 10.2 * quantity)
    first = break_even(priced.profit(), quantity).first
    sure = break_even_range(priced, Uncertainty(spoilage=False), draws=50)
    assert sure == ((first, first, first), 0.0)
    (low, middle, high), _ = break_even_range(priced, DOUBT)
    assert low < middle < high


def test_a_price_that_never_pays_has_no_range():
    quantity = np.arange(1, 61)
    assert break_even_range(drivers(quantity, 5.0 * quantity), DOUBT, draws=100) == (None, 1.0)


@pytest.mark.parametrize("spread", [(1, 0.9, 1.2), (-1, 1, 2), (1, 2, 1.5)])
def test_a_spread_that_does_not_rise_is_refused(spread):
    told = "expected a least, a likely and a most that rise from 0."
    with pytest.raises(PricelabError, match=re.escape(told)):
        Spread(*spread)


def test_no_draws_are_refused():
    with pytest.raises(PricelabError, match=re.escape("found 0 draws, expected 1 or more.")):
        simulate(drivers(), DOUBT, 0)


@given(st.integers(1, 5_000), st.floats(0.001, 0.6), st.floats(0.01, 0.99))
def test_spoiled_pieces_have_the_negative_binomial_s_quantiles(quantity, share, chance):
    """scipy is the reference; where a chance falls on a step, the step beside it will do."""
    (found,) = spoiled_at([chance], quantity, share)
    for moved in (chance - 1e-9, chance + 1e-9):
        if found == stats.nbinom.ppf(moved, quantity, 1 - share):
            return
    assert found == stats.nbinom.ppf(chance, quantity, 1 - share)
