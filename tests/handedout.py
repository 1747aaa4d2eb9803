"""A quote off one list, for tests of the paper: made as across the counter."""

from dataclasses import replace
from fractions import Fraction

from pricelab.client.catalogue import Catalogue, without_costs
from pricelab.client.offers import Part, Wanted, make_offer
from pricelab.paper.quote import quote
from pricelab.shop.units import Length


def quoted(shop, price_list, width, height, quantity, on, *, client="", first=True):
    """The quote for `quantity` pieces with an artwork of `width` × `height` inches."""
    shop = replace(shop, pricing=replace(shop.pricing, tax=price_list.tax))
    pair = (price_list.method, price_list.blank)
    counter = Catalogue(without_costs(shop), {pair: price_list}, {price_list.method: 0.0})
    sides = (Length(Fraction(side), "in") for side in (width, height))
    wanted = Wanted(price_list.method, (Part(price_list.blank, quantity),), *sides, first)
    return quote(counter, wanted, make_offer(counter, wanted), on, client=client)
