"""A list is drafted by the owner's spec, weighed by the finished jobs, beside today's list."""

from dataclasses import replace

import numpy as np
import pytest
import smallshop

from pricelab.analysis.comparison import method_costs
from pricelab.files.shop_folder import read_shop
from pricelab.lists.account import account_of
from pricelab.lists.breaks import DOZENS
from pricelab.lists.draft import OwnPrice, draft, opening_spec
from pricelab.shop.errors import PricelabError
from pricelab.shop.sizes import Artwork
from pricelab.words.cautions import HOT, MOVING, TAX, cautions_for


@pytest.fixture
def folder(tmp_path):
    """The small shop."""
    return read_shop(smallshop.write_shop(tmp_path))


@pytest.fixture
def spec(folder):
    """Where drafting begins."""
    return opening_spec(folder, folder.shop.methods["patch"], folder.shop.blanks["cap"])


def test_drafting_begins_at_todays_list(folder, spec):
    """Its sizes and tiers, and the shop's own margins."""
    assert (spec.sizes, spec.starts, spec.last) == ((2.0, 3.0), (1, 12, 24), 50)
    assert (spec.target, spec.floor, spec.tiers) == (0.4, 0.2, 3)
    assert spec.places == DOZENS


def test_the_draft_of_todays_tiers_is_the_list_that_holds(folder, spec):
    """Prices by the calculation at the top of smallshop."""
    drafted = draft(folder, spec)
    np.testing.assert_allclose(drafted.judged.price_list.prices, smallshop.PRICES)
    assert drafted.judged.holding.all()
    assert drafted.judged.price_list.setup == smallshop.SETUP


def test_a_price_set_by_hand_stands_and_is_judged_like_any_other(folder, spec):
    """20 pieces at 8.00 leave 8.00 × .95 − 6.815 = .785, 9.8 %: under the floor of 20 %."""
    own = (OwnPrice(2.0, 12, 8.00), OwnPrice(2.0, 18, 1.00), OwnPrice(9.0, 12, 1.00))
    drafted = draft(folder, replace(spec, own=own))
    expected = np.array(smallshop.PRICES)
    expected[0, 1] = 8.00
    np.testing.assert_allclose(drafted.judged.price_list.prices, expected)
    assert drafted.own.tolist() == [[False, True, False], [False] * 3]
    assert drafted.judged.holding.tolist() == [[True, False, True], [True] * 3]
    assert drafted.judged.typical_margin[0, 1] == pytest.approx(0.785 / 8)


def test_todays_prices_stand_beside(folder, spec):
    """For each cell what today's list asks at its first quantity; nothing where it has none."""
    drafted = draft(folder, replace(spec, starts=(1, 20, 24), sizes=(1.5, 3.0, 3.5)))
    np.testing.assert_allclose(drafted.today_prices[0], [25.10, 9.90, 10.50])
    np.testing.assert_allclose(drafted.today_prices[1], [26.95, 13.00, 7.00])
    assert drafted.today is not None


def test_sizes_beyond_todays_list_have_no_price_today(tmp_path):
    """A grid that goes up to 4 in, and a list that ends at 3 in."""
    grid = smallshop.FILES["grids/patches.csv"] + "4,5.00,4.00\n"
    folder = read_shop(smallshop.write_shop(tmp_path, patches=grid))
    shop = folder.shop
    spec = opening_spec(folder, shop.methods["patch"], shop.blanks["cap"])
    drafted = draft(folder, replace(spec, sizes=(3.0, 3.5)))
    assert np.isnan(drafted.today_prices).tolist() == [[False] * 3, [True] * 3]


def test_breaks_are_chosen_for_the_jobs_there_were(folder, spec):
    """Both jobs were of 20: two tiers from 1 break at the last dozen not above 20, 18."""
    drafted = draft(folder, replace(spec, starts=None, tiers=2, first=1))
    assert drafted.judged.price_list.starts.tolist() == [1, 18]
    assert len(drafted.frontier) >= 2


def test_what_cannot_be_made_is_left_out_with_its_reason(folder, spec):
    """The panel is 5 × 2.5 in and the grid ends at 3 in."""
    drafted = draft(folder, replace(spec, sizes=(2.0, 4.5)))
    assert drafted.judged.price_list.sizes.tolist() == [2.0]
    assert len(drafted.notes) == 1
    assert drafted.notes[0].startswith("Size 4.5 is left out: ")


def test_a_list_without_a_size_that_can_be_made_is_refused(folder, spec):
    """With the reason, as everywhere."""
    with pytest.raises(PricelabError, match="no size of Leather patch can go on Plain cap"):
        draft(folder, replace(spec, sizes=(7.0,)))


def test_a_floor_above_the_target_is_refused(folder, spec):
    """Before anything is costed."""
    with pytest.raises(PricelabError, match="above the target"):
        draft(folder, replace(spec, floor=0.5))


def test_a_cell_is_accounted_for_to_the_cent(folder, spec):
    """12 pieces at 12.40: 96.00 of costs, 5 % and 0.30 of fees, 45.06 left."""
    account = account_of(draft(folder, spec).judged, 0, 1)
    assert account.quantity == 12
    assert account.revenue == pytest.approx(12 * 12.40)
    assert account.cost == pytest.approx(12 * (4 + 3 + 0.5) + 6)
    assert sum(line.amount for line in account.lines) == pytest.approx(account.cost)
    assert account.fees == pytest.approx(0.05 * 148.80 + 0.30)
    assert account.profit == pytest.approx(148.80 - 96.00 - 7.74)
    assert account.margin == pytest.approx(45.06 / 148.80)


def test_what_each_method_costs_or_why_it_cannot(folder):
    """20 pieces of 2 in cost 8.30 each with the set-up; 6 in is wider than the panel."""
    shop, cap, quantities = folder.shop, folder.shop.blanks["cap"], np.arange(1, 21)
    sheets, reasons = method_costs(shop, cap, Artwork(2, 2, "in"), quantities)
    assert (sheets["patch"].full[-1] / 20, reasons) == (pytest.approx(8.30), {})
    sheets, reasons = method_costs(shop, cap, Artwork(6, 2, "in"), quantities)
    assert (sheets, reasons) == ({}, {"patch": "the panel of Plain cap takes at most 5 × 2.5 in."})


def test_cautions_are_those_of_the_shops_own_machines(folder):
    """The small shop has no heat and no needle; the demo shop has both."""
    few = cautions_for(folder.shop)
    assert HOT not in few
    assert MOVING not in few
    assert few[-1] is TAX


def test_cautions_of_the_demo_shop(root):
    """Its presses and machines bring theirs along."""
    many = cautions_for(read_shop(root / "data/harbour-caps").shop)
    assert {HOT, MOVING} <= set(many)
