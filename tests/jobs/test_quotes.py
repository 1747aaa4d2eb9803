"""A supplier's change on the quotes still open, worked out by hand on the small shop.

The quote of `quoted`: 20 caps at 9.90 and a set-up of 54.55 take 252.55. They cost 80.00 for
caps, 40.00 for patches, 10.00 of labour, 6.00 of freight and 30.00 of set-up: 166.00; fees
are 5 % and .30, 12.9275. So 73.6225 is left. With patches half as dear again it is 53.6225.
"""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from quoted import MADE, a_quote
from smallshop import write_shop

from pricelab.files.shop_folder import read_shop
from pricelab.jobs.quotes import touched_quotes
from pricelab.lists.supplier_change import raised, with_blank_prices, with_grid


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """The small shop's folder."""
    return write_shop(tmp_path_factory.mktemp("open") / "shop")


@pytest.fixture(scope="module")
def shop(folder):
    """The small shop."""
    return read_shop(folder).shop


@pytest.fixture(scope="module")
def quote(folder):
    """The quote worked out above."""
    return a_quote(folder)


def dearer(shop, share):
    """The shop with its patches dearer by a share."""
    return with_grid(shop, "patch", raised(shop.methods["patch"].grid, share, 2))


def test_an_open_quote_leaves_what_is_left_at_the_new_costs(shop, quote):
    """The calculation above: 73.6225 and 53.6225 of 252.55."""
    (one,) = touched_quotes(shop, dearer(shop, 0.5), [quote], MADE)
    assert one.before == pytest.approx(73.6225 / 252.55)
    assert one.after == pytest.approx(53.6225 / 252.55)
    assert (one.falls_under(0.25), one.falls_under(0.2), one.falls_under(0.4)) == (
        True, False, False,
    )  # fmt: skip


def test_tax_in_the_prices_is_not_the_shop_s(shop, quote):
    """By hand: with 10 % in them 252.55 shown is 229.5909 taken."""
    (one,) = touched_quotes(shop, dearer(shop, 0.5), [replace(quote, tax_in_prices=0.1)], MADE)
    taken = 252.55 / 1.1
    assert one.after == pytest.approx((taken - 186 - 0.05 * taken - 0.30) / taken)


def test_only_open_quotes_are_told_of_and_only_while_they_hold(shop, quote):
    changed, last = dearer(shop, 0.5), quote.valid_until
    for none in (replace(quote, status="won"), replace(quote, status="lost")):
        assert touched_quotes(shop, changed, [none], MADE) == ()
    assert len(touched_quotes(shop, changed, [quote], last)) == 1
    assert touched_quotes(shop, changed, [quote], last + timedelta(days=1)) == ()
    assert touched_quotes(shop, changed, [quote], date(2020, 1, 1)) == ()


def test_a_change_of_other_goods_touches_nothing(shop, quote):
    """A dearer first break of the caps is not what 20 caps are bought at."""
    prices = shop.blanks["cap"].prices
    later = replace(prices, prices=[[4.0, 9.0]])
    assert touched_quotes(shop, with_blank_prices(shop, "cap", later), [quote], MADE) == ()


def test_what_cannot_be_bought_any_more_comes_first_with_the_reason(shop, quote):
    grid = shop.methods["patch"].grid
    ends = with_grid(shop, "patch", replace(grid, bands=[0.5, 1.0]))
    (one,) = touched_quotes(shop, ends, [quote], MADE)
    assert one.after is None
    assert one.reason == "the size is over the last band of patches."
    assert one.falls_under(0.2)
    assert touched_quotes(ends, shop, [quote], MADE) == ()


def test_the_worst_hit_stands_first(shop, quote):
    """40 pieces of the same quote's price bear the set-up better."""
    part = quote.parts[0]
    more = replace(quote, number="Q2", parts=(replace(part, pieces=40, amount=396.0),))
    found = touched_quotes(shop, dearer(shop, 0.5), [more, quote], MADE)
    assert [one.quote.number for one in found] == ["Q1", "Q2"]
    assert found[0].after < found[1].after
