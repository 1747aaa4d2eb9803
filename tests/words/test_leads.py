"""The sentences of a comparison, in full."""

import pytest

from pricelab.analysis.lead_map import NOBODY, Border
from pricelab.analysis.stretches import Stretch
from pricelab.words.leads import GOALS, say_border, say_phases

NAMES = ("Vinyl", "Leather")
SIZES = ("2", "2.5", "3")


def test_phases_are_told_in_order_with_what_they_really_lead():
    told = say_phases(
        [Stretch(0, 1, 61), Stretch(NOBODY, 62, 62), Stretch(1, 63, 600, but=38)], NAMES
    )
    assert told == (
        "Vinyl at 1–61 pieces; nobody at 62 pieces; "
        "Leather at 63 pieces or more (500 of these 538 quantities)"
    )


def test_where_nobody_leads_at_all_it_says_so():
    assert say_phases([Stretch(NOBODY, 1, 600)], NAMES) == "nobody"


def test_a_lead_over_every_quantity_starts_at_one_piece():
    assert say_phases([Stretch(1, 1, 600)], NAMES) == "Leather at 1 piece or more"


@pytest.mark.parametrize(
    ("border", "said"),
    [
        (Border(0, 1, 1, 1, 62, 62, 1.0), "At 2.5 in wide, from 62 pieces Leather leads Vinyl."),
        (
            Border(0, 1, 0, 2, 62, 75, 1.0),
            "At 2 to 3 in wide, from 62–75 pieces, by the size, Leather leads Vinyl.",
        ),
        (
            Border(0, 1, 0, 1, 62, 62, 0.834),
            "At 2 to 2.5 in wide, from 62 pieces Leather leads Vinyl "
            "(at 83 % or more of the quantities up to the next border).",
        ),
    ],
)
def test_a_border_is_one_sentence(border, said):
    assert say_border(border, NAMES, SIZES, "in") == said


def test_figures_are_money_but_for_the_margin():
    assert GOALS["profit"].figure(-12.5, "USD") == "−$12.50"
    assert GOALS["margin"].figure(0.421, "USD") == "42.1 %"
