"""Where a client is better off buying more: 48 pieces that cost less than 45."""

from collections.abc import Iterator

import numpy as np

from pricelab.lists.trouble import Finding, Trouble, findings
from pricelab.shop.grids import cheapest_later
from pricelab.shop.price_list import PriceList


def better_off(price_list: PriceList) -> Iterator[Finding]:
    """From which quantity of a tier on buying more costs no more, and how many to buy.

    In a tier priced p, with a later tier that starts at Q and costs p_Q, that is from
    ceil(Q · p_Q / p) up to the tier's end. It hangs on the list's prices alone.
    """
    starts, ends, prices = price_list.starts, price_list.ends, price_list.prices
    buy, bill = cheapest_later(starts, prices * starts)
    first = np.maximum(np.ceil(np.round(bill / prices, 9)), starts)
    return findings(Trouble.BETTER_OFF, price_list, first <= ends, first, until=ends, buy=buy)
