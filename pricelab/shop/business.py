"""A shop at work: what it charges today and what it has done."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from pricelab.shop.price_list import PriceList
from pricelab.shop.shop import Shop

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True, eq=False)
class Business:
    """The shop with today's price lists, its finished jobs, and the quotes won and lost.

    `jobs` and `quotes` are frames, a row each, with the columns of the tables jobs and quotes.
    """

    shop: Shop
    price_lists: tuple[PriceList, ...]
    jobs: "pd.DataFrame"
    quotes: "pd.DataFrame"
