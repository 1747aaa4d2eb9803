"""What made a job earn other than it was sold to earn: standard costing's variances.

A variance is money by which the profit differs for one cause; above 0 it is favourable.
The formulas are standard costing's own (any textbook of management accounting): a price
variance is a difference of prices on the actual quantity, a usage or efficiency variance a
difference of quantities at the estimate's price, a *spending* variance what was paid against
what was allowed (here one for freight, and one for what set-up cost). The volume variance
compares the estimate with itself at the pieces that were delivered (the *flexed* estimate),
so that steps in costs and prices stay where they belong.
"""

from dataclasses import dataclass, fields

import numpy as np

from pricelab.shop.errors import PricelabError


@dataclass(frozen=True, eq=False)
class JobFigures:
    """A job as estimated or as it came out: numbers, or arrays of one job each.

    `quantity` good pieces at `price` a piece and a `setup` line, before tax; units of
    `material` at `material_price` a unit; `minutes` at `labour_rate` a minute; `overhead`,
    `freight`, what set-up costs (`set_up_cost`) and all `other` costs as money of the job.
    """

    quantity: np.ndarray
    price: np.ndarray
    material: np.ndarray
    material_price: np.ndarray
    minutes: np.ndarray
    labour_rate: np.ndarray
    setup: np.ndarray = 0
    overhead: np.ndarray = 0
    other: np.ndarray = 0
    freight: np.ndarray = 0
    set_up_cost: np.ndarray = 0

    @property
    def revenue(self):
        """Money taken, before tax."""
        return self.quantity * self.price + self.setup

    @property
    def cost(self):
        """All that the job cost."""
        used = self.material * self.material_price + self.minutes * self.labour_rate
        return used + self.overhead + self.freight + self.set_up_cost + self.other

    @property
    def profit(self):
        """What the job left."""
        return self.revenue - self.cost


@dataclass(frozen=True, eq=False)
class Variances:
    """Money by cause, above 0 where the job earned more for it; in order of a waterfall."""

    volume: np.ndarray
    price: np.ndarray
    material_price: np.ndarray
    material_usage: np.ndarray
    labour_rate: np.ndarray
    labour_efficiency: np.ndarray
    overhead: np.ndarray
    freight: np.ndarray
    set_up_cost: np.ndarray
    other: np.ndarray

    @property
    def total(self):
        """All together: the actual profit less the estimated one."""
        return sum(self.named().values())

    def named(self) -> dict[str, np.ndarray]:
        """Every variance by its name in words."""
        return {_in_words(one.name): getattr(self, one.name) for one in fields(self)}


def _in_words(name: str) -> str:
    return f"{name.replace('set_up', 'set-up').replace('_', ' ')} variance"


NAMES = tuple(_in_words(one.name) for one in fields(Variances))
"""The variances' names in words, in order."""


def variances(estimate: JobFigures, flexed: JobFigures, actual: JobFigures) -> Variances:
    """The variances between a job as estimated and as it came out, of their broadcast shape.

    `flexed` is the estimate of as many pieces as were delivered. The variances add up to
    ``actual.profit - estimate.profit``, whatever the figures are.

    >>> sold = JobFigures(12, 20, material=12, material_price=7, minutes=60, labour_rate=0.5)
    >>> done = JobFigures(12, 20, material=13, material_price=7, minutes=70, labour_rate=0.5)
    >>> found = variances(sold, sold, done)
    >>> found.material_usage, found.labour_efficiency, found.total
    (-7, -5.0, -12.0)
    """
    if not np.all(flexed.quantity == actual.quantity):
        raise PricelabError(
            "the flexed estimate is of another quantity than was delivered; "
            "estimate the delivered pieces."
        )
    return Variances(
        volume=flexed.profit - estimate.profit,
        price=(actual.price - flexed.price) * actual.quantity + actual.setup - flexed.setup,
        material_price=(flexed.material_price - actual.material_price) * actual.material,
        material_usage=(flexed.material - actual.material) * flexed.material_price,
        labour_rate=(flexed.labour_rate - actual.labour_rate) * actual.minutes,
        labour_efficiency=(flexed.minutes - actual.minutes) * flexed.labour_rate,
        overhead=flexed.overhead - actual.overhead,
        freight=flexed.freight - actual.freight,
        set_up_cost=flexed.set_up_cost - actual.set_up_cost,
        other=flexed.other - actual.other,
    )
