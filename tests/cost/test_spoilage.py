"""Spoiled pieces: charged as expected, bought in whole pieces at a service level."""

import re

import numpy as np
import pytest
from scipy.stats import binom

from pricelab.cost.spoilage import extra_share, pieces_to_buy
from pricelab.shop.checks import check_share
from pricelab.shop.errors import PricelabError


def test_97_000_good_pieces_through_three_operations_need_105_219():
    """After Tompkins, Facilities Planning: 4 %, 1 % and 3 % are lost in turn."""
    assert round(97_000 * (1 + extra_share(0.04, 0.01, 0.03))) == 105_219


def test_1_000_good_pieces_through_three_operations_need_1_167():
    """By hand: 3, 5 and 7 % are lost in turn; 1000 / (.97 × .95 × .93) = 1166.9, made whole."""
    assert np.ceil(1_000 * (1 + extra_share(0.03, 0.05, 0.07))) == 1_167


def test_one_operation_takes_p_over_one_less_p():
    """By hand: 4 % of pieces started: 24 good take 1 more, since 4 % of 25 is 1."""
    assert 24 * extra_share(0.04) == pytest.approx(1.0)
    assert extra_share(0.0) == 0.0
    assert extra_share() == 0.0


def test_the_order_of_operations_does_not_change_the_pieces_started():
    assert extra_share(0.04, 0.01) == pytest.approx(extra_share(0.01, 0.04), rel=1e-14)


def test_the_published_reject_allowance():
    """scribd 508203851: 4 needed at 30,000 each, 15,000 a piece, 90 % good.

    P(4 of 4) = .6561, P(≥ 4 of 5) = .91854, P(≥ 4 of 6) = .98415; expected profits
    18,732, 35,224.80 (the best) and 28,098.
    """
    chances = {4: 0.6561, 5: 0.91854, 6: 0.98415}
    profits = {4: 18_732, 5: 35_224.80, 6: 28_098}
    for pieces, chance in chances.items():
        assert binom.sf(3, pieces, 0.9) == pytest.approx(chance, abs=1e-12)
        assert 120_000 * chance - 15_000 * pieces == pytest.approx(profits[pieces], abs=1e-6)
        assert pieces_to_buy(4, 0.1, chance - 1e-9) == pieces
    assert 1 - chances[5] == pytest.approx(0.08146, abs=1e-12)
    assert pieces_to_buy(4, 0.1, chances[5] + 1e-9) == 6


def test_24_good_caps_at_three_per_cent_need_26_for_95_per_cent_certainty():
    """By hand: P(≤ 1 spoiled of 25) = .97²⁵ + 25 × .03 × .97²⁴ = .467 + .361 = .828 < .95;
    P(≤ 2 of 26) = .97²⁶ + 26 × .03 × .97²⁵ + 325 × .03² × .97²⁴ = .453 + .364 + .141 = .958.
    """
    assert pieces_to_buy(24, 0.03, 0.95) == 26


def test_the_pieces_to_buy_are_the_fewest():
    """Against scipy.stats.binom: the service level is met, and one piece fewer misses it."""
    for spoilage in (0.005, 0.03, 0.2, 0.6):
        for service in (0.5, 0.95, 0.999):
            good = np.array([1, 2, 12, 24, 144, 1000])
            buy = pieces_to_buy(good, spoilage, service)
            assert (binom.sf(good - 1, buy, 1 - spoilage) >= service).all()
            fewer = buy - 1
            short = binom.sf(good - 1, fewer, 1 - spoilage)
            assert (np.where(fewer >= good, short, 0.0) < service).all()


def test_a_certainty_that_is_just_reached_is_enough():
    """By hand: of one piece half are good, of two pieces one or both in three cases of four."""
    assert pieces_to_buy(1, 0.5, 0.5) == 1
    assert pieces_to_buy(1, 0.5, 0.75) == 2


def test_even_odds_of_an_odd_number_are_even_whatever_its_last_digits():
    """Of 2n − 1 pieces, half of them good, n or more are good in exactly half of all cases."""
    good = np.arange(1, 200)
    assert pieces_to_buy(good, 0.5, 0.5).tolist() == (2 * good - 1).tolist()
    assert pieces_to_buy(34, 0.5, 0.5) == 67


def test_nothing_spoiled_needs_nothing_more():
    assert pieces_to_buy(24, 0.0, 0.95) == 24


def test_the_shape_is_kept():
    assert np.ndim(pieces_to_buy(24, 0.03, 0.95)) == 0
    assert np.ndim(pieces_to_buy(24, 0.0, 0.95)) == 0
    assert pieces_to_buy(np.array([[12], [24]]), 0.03, 0.95).shape == (2, 1)


@pytest.mark.parametrize("share", [1, 1.5, -0.01, float("nan")])
def test_a_spoilage_is_a_share_under_one(share):
    told = f"found spoilage of {share:g}, expected a share from 0 to under 1."
    for attempt in (
        lambda: check_share(share, "spoilage"),
        lambda: extra_share(0.04, share),
        lambda: pieces_to_buy(24, share, 0.95),
    ):
        with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
            attempt()


@pytest.mark.parametrize("service", [0, 1, 1.2, -0.1])
def test_a_service_level_lies_between_nothing_and_certainty(service):
    told = f"found a service level of {service:g}, expected a share between 0 and 1."
    with pytest.raises(PricelabError, match=f"^{re.escape(told)}$"):
        pieces_to_buy(24, 0.03, service)


def test_no_pieces_are_nothing_to_buy():
    with pytest.raises(PricelabError, match=r"^found a quantity of 0, expected 1 piece or more\.$"):
        pieces_to_buy(0, 0.03, 0.95)
