"""A shop at work: what it charges today and what it has done."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from pricelab.shop.blank import Blank
from pricelab.shop.method import Method
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

    def todays_list(self, method: Method, blank: Blank) -> PriceList | None:
        """Today's list of the method on the blank, None where there is none."""
        pair = (method.key, blank.key)
        return next((x for x in self.price_lists if (x.method, x.blank) == pair), None)
