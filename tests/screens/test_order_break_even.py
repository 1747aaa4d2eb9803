"""The panel on one order, driven and read without a browser."""

import re

import pytest
import smallshop

from pricelab.files.shop_folder import read_shop
from pricelab.screens import risk as sureness
from pricelab.screens.order_break_even import BreakEvenPanel


@pytest.fixture(scope="module")
def small(tmp_path_factory):
    """The small shop, whose orders test_pays prices by hand."""
    return read_shop(smallshop.write_shop(tmp_path_factory.mktemp("shop")))


@pytest.fixture
def panel(small):
    """The panel on it, at 24 pieces of 2 × 2 in, for no loss, at 7.00, set-up given free."""
    panel = BreakEvenPanel(small)
    panel.sides.width.set("2")
    panel.sides.height.set("2")
    panel.pieces.set("24")
    panel.by.set("profit")
    panel.sold.set("own")
    panel.price.set(7.0)
    panel.free.set(True)
    return panel


def test_it_opens_on_the_target_margin_with_every_part_filled(small):
    panel = BreakEvenPanel(small)
    assert panel.goal == pytest.approx(0.4)
    assert all(part.box.value for part in panel.parts)
    assert "earns a margin of 40 %" in panel.earning.words


def test_the_order_by_hand(panel):
    """Figures as in test_pays: 168.30 / .95 / 24, 36.3 / 1.15, 30.00 / 21.30.

    Under 20: 6.65 q − 7.5 q never pays; from 24 on 1.15 q pays 36.30 from 32.
    """
    assert panel.earning.words.startswith("Leather patch, 2 × 2 in breaks even from 32 pieces on")
    assert panel.said.words == (
        "24 pieces just earn the goal at $7.38 a piece; rounded up as your list is, $7.40. They "
        "are sold at $7.00.\n"
        "The textbook, for comparison: with the price and costs of 24 pieces throughout, $36.30 an "
        "order over $7.00 less $5.85 a piece are 31.57 pieces.\n"
        "Set-up costs you $30.00: given free, 2 repeat orders of 24 pieces pay it off (by "
        "contribution)."
    )


def test_a_price_under_the_variable_cost_is_told_and_nothing_fails(panel):
    panel.price.set(5.0)
    assert panel.earning.words.startswith("Leather patch, 2 × 2 in: no quantity breaks even")
    assert (
        "A price of 5.00 does not cover the variable cost of 5.75: every piece" in panel.said.words
    )
    assert "In none of 500 draws did any quantity reach $0.00." in panel.sure.said.words
    assert "the chance of a loss is 100 %" in panel.sure.profits.words


def test_the_goal_can_be_an_hour_s_profit(panel):
    """168 + 12 for 24 minutes at 30.00 an hour: 180.30 / .95 / 24 = 7.91."""
    panel.by.set("profit an hour")
    panel.goals["profit an hour"].set(30)
    assert "24 pieces just earn the goal at $7.91 a piece" in panel.said.words
    assert "The textbook has no point for profit an hour" in panel.said.words


def test_what_is_in_doubt_moves_the_range(panel):
    """Nothing spoils in the small shop: without doubt every draw is the cost sheet's."""
    for control in (panel.sure.minutes, panel.sure.prices):
        control.set(0)
    assert "profit is −$8.70; the chance of a loss is 100 %" in panel.sure.profits.words
    assert "nothing is in doubt" in panel.sure.tornado.words
    assert "Profit begins at 32 pieces, whatever comes" in panel.sure.said.words
    panel.sure.prices.set(20)
    assert "suppliers' prices move the profit most" in panel.sure.tornado.words
    assert re.search(r"Profit begins somewhere from \d+–\d+ pieces", panel.sure.said.words)
    assert "20,000 draws of this order, always the same ones (seed 1)." in panel.sure.said.words


def test_a_new_goal_draws_nothing_anew(panel, monkeypatch):
    """The simulation hangs on the order, not on the goal."""
    monkeypatch.setattr(sureness, "simulate", lambda *_: pytest.fail("drawn anew"))
    panel.goals["profit"].set(40)
    assert "earns a profit of $40.00" in panel.earning.words


def test_many_draws_run_beside_the_panel(panel, monkeypatch):
    panel.sure.long.press()
    panel.sure.long.wait()
    assert "5,000,000 draws: the chance of a loss is " in panel.sure.long.said.value
    assert panel.sure.long.bar.value == panel.sure.long.bar.max
    assert "draws  5,000,000" in panel.sure.profits.words


def test_draws_of_an_order_that_has_changed_are_dropped(panel, monkeypatch):
    """The bar stops and the new order's figures stay."""

    def draw(*args):
        panel.pieces.set("40")
        return real(*args)

    real = sureness.simulate
    monkeypatch.setattr(sureness, "simulate", lambda *args: draw(*args) if len(args) > 4
                        else real(*args))  # fmt: skip
    panel.sure.long.press()
    panel.sure.long.wait()
    assert "Stopped, since the order has changed." in panel.sure.long.said.value
    assert panel.sure.profits.words.startswith("40 pieces")


def test_what_cannot_be_is_answered_beside_its_control(panel):
    before = [part.words for part in panel.parts]
    for control, entry, answer in (
        (panel.pieces, "51", "Enter a whole number of pieces from 1 to 50, such as 24."),
        (panel.sides.width, "6", "The panel of Plain cap takes at most 5 × 2.5 in."),
        (panel.price, 0.0, "Enter a figure from 0.01 to 1,000,000 USD, such as 10."),
    ):
        kept = control.widget.value
        control.set(entry)
        assert control.words == answer
        assert [part.words for part in panel.parts] == before
        control.set(kept)
        assert not control.words


def test_a_quantity_under_the_list_is_answered(tmp_path):
    """The list sells from 12 on."""
    listed = "method,blank,size,12,24\npatch,cap,2,9.90,10.50\n"
    panel = BreakEvenPanel(read_shop(smallshop.write_shop(tmp_path, price_list=listed)))
    panel.sides.width.set("2")
    panel.pieces.set("5")
    assert panel.pieces.words == (
        "This list goes from 12 to 50 pieces, and 5 are outside it. Ask for a quantity inside it."
    )
