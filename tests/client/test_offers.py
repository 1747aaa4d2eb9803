"""Offers across the counter, against sums worked out by hand from the small shop's list."""

from fractions import Fraction

import pytest
from twoblanks import two_blanks_counter

from pricelab.client.catalogue import Catalogue
from pricelab.client.offers import (
    Part,
    Wanted,
    make_offer,
    more_pieces,
    prices_by_quantity,
    refuse,
    why_not,
)
from pricelab.lists.better_off import better_off
from pricelab.shop.errors import NotPossible
from pricelab.shop.units import Length


@pytest.fixture(scope="module")
def catalogue(tmp_path_factory) -> Catalogue:
    """The small shop with two blanks: see `twoblanks`."""
    return two_blanks_counter(tmp_path_factory.mktemp("shop"))


def inches(value) -> Length:
    """A length in inches."""
    return Length(Fraction(str(value)), "in")


def wanted(*parts: Part, width=2, height=2, method="patch", first=True) -> Wanted:
    """An order of patches, of 2 × 2 in unless told otherwise."""
    return Wanted(method, parts or (Part("cap", 12),), inches(width), inches(height), first)


def test_a_first_order_pays_its_pieces_the_set_up_and_the_tax(catalogue):
    """12 × 9.90 = 118.80, + 54.55 = 173.35; 10 % of it is 17.335, half up 17.34; 190.69."""
    offer = make_offer(catalogue, wanted())
    assert (offer.each, offer.setup, offer.total) == (9.90, 54.55, 173.35)
    assert (offer.tax, offer.payable) == (17.34, 190.69)


def test_a_repeat_pays_no_set_up(catalogue):
    """118.80 and 11.88 of tax."""
    offer = make_offer(catalogue, wanted(first=False))
    assert (offer.setup, offer.payable) == (0.0, 130.68)


def test_pieces_that_share_an_artwork_take_the_tier_of_the_whole_each_on_its_own_list(catalogue):
    """6 caps at 9.90 and 6 knits at 9.00, the tier of 12: 59.40 + 54.00 + 54.55, and 16.80."""
    offer = make_offer(catalogue, wanted(Part("cap", 6, "black"), Part("knit", 6, "sand")))
    assert [(x.blank, x.colour, x.each, x.amount) for x in offer.lines] == [
        ("Plain cap", "black", 9.90, 59.40), ("Knit beanie", "sand", 9.00, 54.00),
    ]  # fmt: skip
    assert (offer.total, offer.tax, offer.payable) == (167.95, 16.80, 184.75)
    assert offer.each is None  # there is no one price a piece


def test_colours_of_one_blank_cost_what_the_same_pieces_cost_in_one_colour(catalogue):
    """Splitting an order by colour changes nothing but the lines."""
    split = make_offer(catalogue, wanted(Part("cap", 5, "red"), Part("cap", 7, "blue")))
    whole = make_offer(catalogue, wanted(Part("cap", 12)))
    assert (split.payable, split.each) == (whole.payable, whole.each)


@pytest.mark.parametrize(("quantity", "each"), [(11, 25.10), (12, 9.90), (23, 9.90), (24, 10.50)])
def test_a_tier_begins_at_its_first_piece(catalogue, quantity, each):
    """Just under and at the breaks of the printed list."""
    assert make_offer(catalogue, wanted(Part("cap", quantity))).each == each


def test_the_next_tiers_are_shown_with_the_pieces_added_to_the_first_part(catalogue):
    """At 6 caps and 5 knits: 12 (7 and 5) and 24 (19 and 5); 7 × 9.90 + 5 × 9.00 = 114.30."""
    order = wanted(Part("cap", 6), Part("knit", 5), first=False)
    near, far = more_pieces(catalogue, order)
    assert [line.pieces for line in near.lines] == [7, 5]
    assert near.total == 114.30
    assert [line.pieces for line in far.lines] == [19, 5]
    assert far.total == pytest.approx(19 * 10.50 + 5 * 8.00)
    assert more_pieces(catalogue, wanted(Part("cap", 24))) == ()


def test_a_far_tier_that_costs_less_is_among_the_few_that_are_shown(catalogue):
    """With one to show, 5 pieces (125.50) are told of 12 (118.80), which is also the next."""
    (told,) = more_pieces(catalogue, wanted(Part("knit", 5), first=False), most=1)
    assert (told.quantity, told.total) == (12, 108.00)


def test_more_pieces_cost_no_more_exactly_where_the_list_says_so(catalogue):
    """The better-off ranges of the audit, at every quantity of the list (no set-up, no tax)."""
    listed = prices_by_quantity(catalogue, wanted())
    ranges = [range(x.quantity, x.until + 1) for x in better_off(listed) if x.band == 0]
    for quantity in listed.quantities.tolist():
        order = wanted(Part("cap", quantity), first=False)
        here = make_offer(catalogue, order)
        saves = any(more.total <= here.total for more in more_pieces(catalogue, order))
        assert saves == any(quantity in told for told in ranges), quantity


def test_what_is_too_wide_is_refused_with_the_nearest_size_of_its_shape(catalogue):
    """Three times as wide as high, and up to a mean of 3 in: 4.5 × 1.5, by hand."""
    order = wanted(width=6, height=2)
    refused = refuse(catalogue, order)
    assert refused.reason == "The panel of Plain cap takes at most 5 × 2.5 in."
    assert refused.size == (4.5, 1.5)
    assert not refused.fits
    offered = wanted(width=4.5, height=1.5)
    assert make_offer(catalogue, offered).quantity == 12
    with pytest.raises(NotPossible, match=r"The panel of Plain cap takes at most 5 × 2\.5 in\."):
        make_offer(catalogue, order)


def test_what_is_off_the_list_is_refused_though_the_panel_takes_it(catalogue):
    """5 × 2 has a mean of 3.5 in; the list and the grid end at 3 in."""
    refused = refuse(catalogue, wanted(width=5, height=2))
    assert "over the last band" in refused.reason
    assert "patches" not in refused.reason  # the supplier's file is not the client's
    assert refused.size is not None


def test_an_order_over_several_blanks_must_fit_each_of_them(catalogue):
    """4.5 × 1.5 goes on the cap, not on the knit, whose panel is 4 in wide."""
    both = wanted(Part("cap", 6), Part("knit", 6), width=4.5, height=1.5)
    assert why_not(catalogue, both) == "The panel of Knit beanie takes at most 4 × 2 in."
    assert refuse(catalogue, both).size == (4.0, 1.25)  # 4 × 1.333 is cut to eighths


def test_heat_is_refused_with_the_decorations_that_would_do(catalogue):
    """No size helps; a patch does."""
    refused = refuse(catalogue, wanted(Part("knit", 12), method="film"))
    assert refused.reason == "Pressed film needs 300°, more than Knit beanie bears (250°)."
    assert (refused.size, refused.methods) == (None, ("patch",))


def test_too_many_pieces_are_refused_as_a_question_of_quantity(catalogue):
    """The list ends at 50."""
    refused = refuse(catalogue, wanted(Part("cap", 51)))
    assert refused.fits
    assert refused.reason == "Our prices go up to 50 pieces: for 51 ask us."


def test_millimetres_are_priced_as_the_inches_they_are(catalogue):
    """50.8 mm is 2 in exactly, still in the first band."""
    order = Wanted(
        "patch", (Part("cap", 12),), Length(Fraction("50.8"), "mm"), Length(Fraction("50.8"), "mm")
    )
    assert make_offer(catalogue, order) == make_offer(catalogue, wanted())
