"""A quote of the small shop, as it is kept."""

from datetime import date
from fractions import Fraction
from pathlib import Path

from pricelab.client.catalogue import catalogue_of
from pricelab.client.offers import Part, Wanted, make_offer
from pricelab.files.shop_folder import read_shop
from pricelab.jobs.quotes import Quote, quote_of
from pricelab.shop.units import Length

MADE = date(2026, 11, 25)


def inches(value) -> Length:
    """A length in inches."""
    return Length(Fraction(value), "in")


def a_quote(folder: Path, number="Q1", pieces=20) -> Quote:
    """20 caps with a patch of 2 × 2 in off the small shop's list: 9.90 each, set-up 54.55."""
    read = read_shop(folder)
    wanted = Wanted("patch", (Part("cap", pieces, "navy"),), inches(2), inches(2))
    return quote_of(read.shop, wanted, make_offer(catalogue_of(read), wanted), number, MADE, "Åse")
