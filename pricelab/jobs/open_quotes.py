"""Open quotes and a supplier's change: what each would leave at the new costs."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from pricelab.cost.fees import Fees
from pricelab.cost.price import margin_at
from pricelab.jobs.quotes import Quote, costs_on
from pricelab.shop.errors import NotPossible
from pricelab.shop.shop import Shop
from pricelab.shop.tolerance import TOLERANCE


@dataclass(frozen=True)
class TouchedQuote:
    """An open quote whose order a change makes dearer or cheaper; margins are fractions.

    `before` is the margin it leaves at today's costs, `after` at the changed ones: None
    where the order cannot be bought any more, for the `reason` told.
    """

    quote: Quote
    before: float
    after: float | None
    reason: str = ""

    def falls_under(self, margin: float) -> bool:
        """Whether the change takes the quote under a margin that it met before."""
        return self.before >= margin and (self.after is None or self.after < margin)


def touched_quotes(
    shop: Shop, changed: Shop, quotes: Iterable[Quote], on: date
) -> tuple[TouchedQuote, ...]:
    """The quotes still open on a day that the change touches, the worst hit first.

    A quote binds the shop at its price until it ends, whatever its goods cost by then.
    """
    touched = []
    for quote in quotes:
        if quote.status != "open" or not quote.holds(on):
            continue
        revenue, fees = quote.revenue, Fees(quote.fee_share, quote.fixed_fee)
        try:
            now = costs_on(shop, quote, on).full
        except NotPossible:  # it could not be made today either: no change to tell of
            continue
        before = float(margin_at(revenue, now, fees))
        try:
            then = costs_on(changed, quote, on).full
        except NotPossible as error:
            touched.append(TouchedQuote(quote, before, None, str(error)))
            continue
        if abs(then - now) > TOLERANCE:
            touched.append(TouchedQuote(quote, before, float(margin_at(revenue, then, fees))))
    return tuple(sorted(touched, key=lambda one: -1.0 if one.after is None else one.after))
