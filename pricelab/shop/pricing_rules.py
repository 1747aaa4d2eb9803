"""How the shop prices: its margins, its price endings, its sales tax."""

from dataclasses import dataclass

from pricelab.shop.checks import check_not_negative, check_share
from pricelab.shop.errors import PricelabError
from pricelab.shop.figures import percent
from pricelab.shop.rounding import TO_THE_CENT, Rounding


@dataclass(frozen=True)
class Tax:
    """Sales tax: its rate, and whether the shop's printed prices include it."""

    rate: float = 0.0
    included: bool = False
    name: str = "sales tax"

    def __post_init__(self):
        check_not_negative(self.rate, "a tax rate")

    def shown(self, net):
        """A price before tax as printed, any shape: with the tax where prices include it."""
        return net * (1 + self.rate) if self.included else net

    def net(self, shown):
        """A printed price before tax, any shape."""
        return shown / (1 + self.rate) if self.included else shown


NO_TAX = Tax()


@dataclass(frozen=True)
class PricingRules:
    """How the shop prices: target and floor margin, rounding, set-up apart or spread, tax.

    No quantity of a list that is planned is charged more than `tier_limit` times what its own
    target margin needs.
    """

    target: float
    floor: float
    rounding: Rounding = TO_THE_CENT
    setup_apart: bool = True
    tax: Tax = NO_TAX
    tier_limit: float = 1.5

    def __post_init__(self):
        check_share(self.target, "a target margin")
        check_share(self.floor, "a floor margin")
        if self.floor > self.target:
            raise PricelabError(
                f"found a floor margin of {percent(self.floor)} above the target margin of "
                f"{percent(self.target)}; lower the floor or raise the target."
            )
        if not self.tier_limit >= 1:
            raise PricelabError(f"found a tier limit of {self.tier_limit:g}, expected 1 or more.")

    def asked(self, net):
        """What is asked where prices before tax shall be `net`, any shape: taxed and rounded up."""
        return self.rounding.up(self.tax.shown(net))
