"""The panel on a machine, driven and read without a browser."""

import pytest
import smallshop

from pricelab.files.shop_folder import read_shop
from pricelab.screens.machine import PressPanel
from pricelab.words import cautions


@pytest.fixture
def panel(harbour):
    """The panel at the machine of test_press: flows −10,000; 5,000; 5,000; 6,000 at 10 %."""
    panel = PressPanel(harbour)
    panel.saves.set("typed")
    for control, value in (
        (panel.saved, 2.0), (panel.volume, 2_600), (panel.price, 10_000), (panel.years, 3),
        (panel.rate, 10), (panel.upkeep, 200), (panel.resale, 1_000),
    ):  # fmt: skip
        control.set(value)
    return panel


def test_a_machine_by_hand(panel):
    """Plain: 24 months, 5,200 pieces. Discounted: 2.293 years. Worth 3,185.57; its rate is where
    −10 + 5x + 5x² + 6x³ is 0. From (10,000 − 751.31 + 497.37) / 2.48685 / 2 = 1,959.6 pieces on.
    """
    said = panel.said.words
    assert "Plain payback: 24 months, or 5,200 pieces." in said
    assert "At 10 % a year: 27.5 months, or 5,963 pieces." in said
    assert "Net present value: $3,185.57." in said
    assert "Rate of return: 26.8 % a year." in said  # numpy-financial: .26774
    assert "It is worth its price from 1,960 pieces a year on." in said
    assert "Convention: the price is paid today" in said
    assert "pays back in 2.3 years at 10 % a year" in panel.payback.words


def test_a_saving_that_is_none_never_pays_and_says_why(panel):
    panel.saved.set(-1.0)
    said = panel.said.words
    assert "A piece that saves −1.00 never pays for a press." in said
    assert "is still to be paid back." in said
    assert "Rate of return: " in said


def test_flows_that_only_go_out_have_no_rate(panel):
    panel.saved.set(0.0)
    panel.resale.set(0)
    assert "Rate of return: there is none" in panel.said.words


def test_flows_that_turn_twice_have_two_rates_and_both_are_told(panel):
    """By hand: −100; 230; −132 have the rates 10 % and 20 %: a saving of 230 and −362 at the end.

    Over two years that is −100; 230; 230 − 362.
    """
    for control, value in (
        (panel.price, 100), (panel.saved, 2.30), (panel.volume, 100), (panel.years, 2),
        (panel.upkeep, 0), (panel.resale, -362),
    ):  # fmt: skip
        control.set(value)
    assert "Rate of return: there are 2 (10 %, 20 %)" in panel.said.words


def test_no_pieces_save_nothing(panel):
    panel.volume.set(0)
    assert "Plain payback: after 3 years" in panel.said.words


def test_against_contracting_out_the_cost_sheets_say_what_is_saved(harbour):
    """Embroidery here and contracted out; the pieces a year are those of the finished jobs."""
    panel = PressPanel(harbour)
    assert (panel.own.value, panel.out.value) == ("flat", "flat-contracted")
    jobs = harbour.jobs
    sold = jobs[jobs["method"].isin(["flat", "flat-contracted"])]["quantity"].sum()
    months = ((jobs["date"].max() - jobs["date"].min()).days + 1) / (365.25 / 12)
    assert panel.volume.value == round(sold / months * 12)
    assert "saves $" in panel.said.words
    panel.own.set("flat-contracted")
    assert "saves $0.00 against Flat embroidery, contracted out" in panel.said.words


def test_a_second_press_saves_the_operator_s_waiting(harbour):
    """Leather: 1.2 minutes a piece with one press and .85 with two, at 26.00 an hour: .15."""
    panel = PressPanel(harbour)
    panel.saves.set("second")
    assert "With a second cap press the operator's pay for a piece falls by $0.15" in (
        panel.said.words
    )


def test_an_artwork_that_cannot_be_made_is_answered(harbour):
    panel = PressPanel(harbour)
    before = [part.words for part in panel.parts]
    panel.sides.width.set("6")
    assert panel.out.words.startswith("Flat embroidery, own machine can be at most 5 in wide.")
    assert [part.words for part in panel.parts] == before


def test_a_shop_of_one_method_is_asked_about_a_second_machine(tmp_path):
    folder = read_shop(smallshop.write_shop(tmp_path))
    panel = PressPanel(folder)
    assert [words for words, _ in panel.saves.widget.options] == [
        "the operator's waiting", "as typed",
    ]  # fmt: skip


def test_hot_tools_and_needles_are_cautioned_against(harbour):
    assert str(cautions.HOT) in PressPanel(harbour).cautions.words
    assert str(cautions.MOVING) in PressPanel(harbour).cautions.words
