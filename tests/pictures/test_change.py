"""What a change does to the cost of a piece: two lines, what lies between, and the finding."""

from dataclasses import replace

import numpy as np
import pytest
from drawing import drawn, said
from example_shops import PATCH, a_blank, a_patch, a_shop

from pricelab.analysis.effect import Sample
from pricelab.pictures import look
from pricelab.pictures.change import CHANGE, Changed
from pricelab.shop.work import Operation, Rates


def sample(wage: float, largest: int = 100) -> Sample:
    """A cap at 4.00 with a patch at 2.00, and three minutes a piece; 24 of them."""
    patch = a_patch(operations=(Operation("press", 3.0),))
    shop = a_shop(patch, blanks=(a_blank(),), rates=Rates(wage), largest_order=largest)
    return Sample.of(shop, "patch", "cap", PATCH, 24)


def changed(before: Sample, after: Sample, *, edited: bool = True) -> Changed:
    """The picture's values."""
    return Changed("24 × Patch", "USD", before, after, edited)


@pytest.mark.parametrize(
    ("wage", "finding"),
    [
        (24, "24 × Patch: a piece costs $7.20, $0.20 more than as saved"),
        (16, "24 × Patch: a piece costs $6.80, $0.20 less than as saved"),
        (20.001, "24 × Patch: a piece costs $7.00, as before"),
    ],
)
def test_the_finding_says_how_much_more_a_piece_costs(wage, finding):
    """20.00 an hour is 1.00 for three minutes: 7.00 a piece; 24.00 is 1.20, 16.00 is 0.80."""
    assert CHANGE.describe(changed(sample(20), sample(wage))).finding == finding


def test_without_a_change_there_is_one_line():
    """And one column behind it."""
    values = changed(sample(20), sample(20), edited=False)
    told = CHANGE.describe(values)
    assert told.finding == "24 × Patch: a piece costs $7.00"
    assert told.columns == ("Pieces", "As saved")
    words = said(drawn(CHANGE, values))
    assert "as saved" in words
    assert "as edited" not in words


def test_before_is_dashed_and_after_solid_with_their_words_at_the_ends():
    """At 7.00 and 7.20 throughout; the order in hand stands in the table too."""
    values = changed(sample(20), sample(24))
    ax = drawn(CHANGE, values)
    lines = {tuple(np.unique(np.round(line.get_ydata(), 9))): line for line in ax.lines}
    assert lines[7.0,].get_linestyle() == "--"
    assert [line.get_color() for line in ax.lines if line.get_linestyle() == "-"].count(look.NAVY)
    assert {"as saved", "as edited"} <= set(said(ax))
    told = CHANGE.describe(values)
    assert told.columns == ("Pieces", "As saved", "As edited")
    assert ("24", "$7.00", "$7.20") in told.rows


def test_shops_of_different_largest_orders_are_compared_as_far_as_both_go():
    """To 60 pieces; and a larger order in hand is still in both."""
    values = changed(sample(20, 60), sample(24, 100))
    assert values.quantities[-1] == 60
    assert [curve.size for curve in values.curves] == [60, 60]
    small = replace(values, before=sample(20, 10))
    assert small.quantities[-1] == 24
