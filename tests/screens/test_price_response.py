"""The panel on quotes won and lost."""

import pytest

from pricelab.files.folders import ROOT
from pricelab.files.shop_folder import read_shop
from pricelab.screens.price_response import PriceResponsePanel


@pytest.fixture
def panel(harbour):
    """The panel as it opens."""
    return PriceResponsePanel(harbour)


def test_it_tells_the_best_margin_how_sure_and_how_flat(panel):
    assert panel.expected.words.startswith("All methods: a margin of 45.1 % brings most profit")
    assert (
        "The best margin lies from 40.8 % to 48.8 %, as sure as 19 times in 20" in panel.said.words
    )
    assert "the top is flat from 42.9 % to 47.2 %" in panel.said.words
    assert "Your target of 42 % is not sure to be off." in panel.said.words
    assert panel.chance.words.startswith("All methods: 156 of 260 quotes won; at your target of ")


def test_it_says_that_nobody_is_told_apart(panel):
    assert "No client is told apart" in panel.said.words


def test_too_few_quotes_are_refused_politely(panel):
    """No picture stays from before."""
    panel.method.set("raised")
    assert panel.said.words.startswith("Raised embroidery over foam, own machine: 6 quotes wer")
    assert panel.expected.words == panel.chance.words == ""
    panel.method.set("all")
    assert panel.chance.words


def test_costs_that_do_not_move_can_be_left_out(panel):
    """The best margin is lower then, as a quote won need not carry them."""
    panel.costs.set(True)
    assert "a margin of 44.7 % brings most contribution" in panel.expected.words
    assert "Overhead, which is there whether a quote is won or not, is left out" in panel.said.words


def test_a_shop_without_quotes_opens_with_the_refusal():
    """The other demo shop has none."""
    panel = PriceResponsePanel(read_shop(ROOT / "data" / "fjord-muetzen"))
    assert panel.said.words.startswith("All methods: 0 quotes were won and 0 lost; it takes at ")


@pytest.mark.parametrize(
    ("target", "said"),
    [(0.45, "is on the flat top: as good as the best. Leave it."),
     (0.60, "is off. Try a list one step lower"),
     (0.35, "is off. Try a list one step higher")],
)  # fmt: skip
def test_the_target_is_judged(harbour, target, said):
    """By the flat top and by the interval."""
    from dataclasses import replace

    shop = replace(harbour.shop, pricing=replace(harbour.shop.pricing, target=target, floor=0.1))
    assert said in PriceResponsePanel(replace(harbour, shop=shop)).said.words
