"""What figures and findings are called."""

import pytest
from smallshop import write_shop

from pricelab.files.shop_folder import read_shop
from pricelab.lists.audit import audit
from pricelab.lists.supplier_change import supplier_change, with_grid
from pricelab.lists.trouble import Finding, Trouble
from pricelab.lists.typical_quantity import weights_of
from pricelab.shop.grids import Grid
from pricelab.shop.pricing_rules import Tax
from pricelab.shop.sizes import Measure
from pricelab.words import findings as wording


@pytest.fixture
def folder(tmp_path):
    """The small shop with the list of smallshop: three prices that do not hold."""
    return read_shop(write_shop(tmp_path))


@pytest.fixture
def judged(folder):
    """Its list, judged by the finished jobs."""
    (today,) = folder.price_lists
    return audit(folder.shop, today, weights_of(folder, today))


def test_every_finding_in_full(folder, judged):
    """Margins by hand, see smallshop: 1 − 6.7625/7.00 − 0.05 = −1.6 %;
    1 − 8.025/9.90 − 0.05 = 13.9 %; 1 − 7.815/13.00 − 0.05 = 34.9 %."""
    assert wording.sentences(judged, folder.shop) == [
        "Up to 3 in, 24 pieces or more: 24 pieces lose money (a margin of −1.6 %); "
        "charge $12.30 instead of $7.00.",
        "Up to 2 in, 12–23 pieces: 12 pieces earn 13.9 %, under the floor of 20 %; "
        "charge $12.40 instead of $9.90.",
        "Up to 3 in, 12–23 pieces: the usual order of 20 pieces earns 34.9 %, under the target "
        "of 40 %; charge $14.25 instead of $13.00.",
        "Up to 2 in, 24 pieces or more: a piece costs $10.50, more than the $9.90 of "
        "12–23 pieces; ask $9.90 at most here, or $10.50 at least there.",
        "Up to 3 in, 24 pieces or more: a piece costs $7.00, less than the $10.50 of the smaller "
        "size up to 2 in; ask $10.50 at least here, or $7.00 at most there.",
        "Worth telling clients: 12 pieces can cost no more than 5–11, depending on the size. "
        "24 pieces can cost no more than 13–23, depending on the size.",
    ]


def test_a_better_off_range_on_its_own(folder, judged):
    """As a picture or a screen tells it, for one cell."""
    found = [x for x in judged.findings if x.trouble is Trouble.BETTER_OFF]
    assert [wording.say(x, judged.price_list, folder.shop) for x in found] == [
        "Up to 2 in, 1–11 pieces: 5–11 pieces cost the client no less than 12 do; "
        "offer 12 to whoever asks for them.",
        "Up to 3 in, 1–11 pieces: 6–11 pieces cost the client no less than 12 do; "
        "offer 12 to whoever asks for them.",
        "Up to 3 in, 12–23 pieces: 13–23 pieces cost the client no less than 24 do; "
        "offer 24 to whoever asks for them.",
    ]


def test_one_piece_is_spoken_of_as_one(folder, judged):
    """Grammar of a single piece."""
    for trouble, words in (
        (Trouble.BELOW_COST, "1 piece loses money (a margin of −10 %); charge $2.00 instead of"),
        (Trouble.BELOW_FLOOR, "1 piece earns −10 %, under the floor of 20 %; charge $2.00 instead"),
        (Trouble.UNDER_TARGET, "the usual order of 1 piece earns −10 %, under the target of 40 %"),
    ):
        finding = Finding(trouble, 0, 0, 1, 1.0, margin=-0.1, instead=2.0)
        assert words in wording.say(finding, judged.price_list, folder.shop)


def test_a_margin_just_short_of_its_goal_shows_that_it_is(folder, judged):
    """39.98 % is not told as 40 %, under the target of 40 %."""
    finding = Finding(Trouble.UNDER_TARGET, 0, 0, 1, 1.0, margin=0.39982, instead=2.0)
    said = wording.say(finding, judged.price_list, folder.shop)
    assert "earns 39.98 %, under the target of 40 %" in said


def test_the_verdict(folder, judged):
    """How many hold, and what is the matter with the others."""
    assert wording.verdict(judged, folder.shop) == (
        "Leather patch (Plain cap): 3 of 6 prices do not hold "
        "(1 below cost, 1 below the floor, 1 under the target)."
    )


def test_a_new_grid_that_breaks_a_price(folder):
    """Patches 1.00 dearer. At 2 in: one piece 14.80 of 25.10, margin 1 − 14.80/25.10 − 0.05 =
    36.0 % (before: 40.0 %); 24 pieces 6.7625 of 10.50, 30.6 % (before: 40.1 %); 12 pieces
    9.025 of 9.90 (before: below the floor already), −10.1 points. At 3 in: one piece 15.80 of
    26.95, 36.4 % (before: 40.1 %); the cells from 12 pieces did not hold before. The least move
    is 1.00/26.95 = 3.7 points, the greatest 1.00/7.00 = 14.3."""
    (today,) = folder.price_lists
    grid = Grid("new", Measure.MEAN_OF_SIDES, "in", [2, 3], [1, 20], [[4, 3], [5, 4]])
    changed = with_grid(folder.shop, "patch", grid)
    change = supplier_change(folder.shop, changed, today, weights_of(folder, today))
    assert wording.say_change(change, folder.shop) == [
        "Leather patch (Plain cap): 3 of the 3 prices that held do not any more; margins move by "
        "−14.3 points to −3.7 points.",
        "Up to 2 in, 1–11 pieces: the usual order of 1 piece earns 36 %, under the target of "
        "40 %; charge $26.95 instead of $25.10 (its margin moves by −4 points).",
        "Up to 2 in, 24 pieces or more: the usual order of 24 pieces earns 30.6 %, under the "
        "target of 40 %; charge $12.30 instead of $10.50 (its margin moves by −9.5 points).",
        "Up to 3 in, 1–11 pieces: the usual order of 1 piece earns 36.4 %, under the target of "
        "40 %; charge $28.75 instead of $26.95 (its margin moves by −3.7 points).",
    ]


def test_a_new_grid_that_changes_nothing(folder):
    """The old grid in place of itself."""
    (today,) = folder.price_lists
    change = supplier_change(folder.shop, folder.shop, today)
    assert wording.say_change(change, folder.shop) == [
        "Leather patch (Plain cap): every price that held still holds; "
        "margins move by 0 points to 0 points."
    ]


@pytest.mark.parametrize(
    ("tax", "note"),
    [
        (Tax(), "No sales tax is added to the prices."),
        (Tax(0.07125), "7.125 % sales tax is added to the prices."),
        (Tax(0.2, True, "value added tax"), "Prices include 20 % value added tax."),
    ],
)
def test_tax_notes(tax, note):
    """None, on top, included."""
    assert wording.tax_note(tax) == note


@pytest.mark.parametrize(
    ("measure", "unit", "words", "note"),
    [
        (Measure.AREA, "in", "sq in",
         "The size is width times height: 4 in by 2 in is 8 sq in."),
        (Measure.AREA, "mm", "mm²",
         "The size is width times height: 60 mm by 40 mm is 2,400 mm²."),
        (Measure.MEAN_OF_SIDES, "mm", "mm",
         "The size is width plus height, divided by two: 60 mm by 40 mm is 50 mm."),
        (Measure.LONGEST_SIDE, "in", "in", "The size is the longer side, in inches."),
        (Measure.THOUSAND_STITCHES, None, "thousand stitches",
         "The size is the number of stitches, in thousands."),
    ],
)  # fmt: skip
def test_sizes_in_words(measure, unit, words, note):
    """Units and how a size is found."""
    assert wording.size_unit(measure, unit) == words
    assert wording.measure_note(measure, unit) == note
