"""What made a job earn other than it was sold to earn: standard costing's variances.

A variance is money by which the profit differs for one cause; above 0 it is favourable.
The formulas are standard costing's own (any textbook of management accounting): a price
variance is a difference of prices on the actual quantity, a usage or efficiency variance a
difference of quantities at the estimate's price, a *spending* variance what was paid against
what was allowed (here one for freight, and one for what set-up cost). The volume variance
compares the estimate with itself at the pieces that were delivered (the *flexed* estimate),
so that steps in costs and prices stay where they belong.
"""

from dataclasses import dataclass

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


def variances(estimate: JobFigures, flexed: JobFigures, actual: JobFigures) -> dict:
    """The variances between a job as estimated and as it came out, by name, in `NAMES`' order.

    Of the figures' broadcast shape. `flexed` is the estimate of as many pieces as were
    delivered. They add up to ``actual.profit - estimate.profit``, whatever the figures are.

    >>> sold = JobFigures(12, 20, material=12, material_price=7, minutes=60, labour_rate=0.5)
    >>> done = JobFigures(12, 20, material=13, material_price=7, minutes=70, labour_rate=0.5)
    >>> found = variances(sold, sold, done)
    >>> found["material usage variance"], found["labour efficiency variance"]
    (-7, -5.0)
    """
    if not np.all(flexed.quantity == actual.quantity):
        raise PricelabError(
            "the flexed estimate is of another quantity than was delivered; "
            "estimate the delivered pieces."
        )
    rate, price = flexed.labour_rate, flexed.material_price
    more_setup = actual.setup - flexed.setup
    return {
        "volume variance": flexed.profit - estimate.profit,
        "price variance": (actual.price - flexed.price) * actual.quantity + more_setup,
        "material price variance": (price - actual.material_price) * actual.material,
        "material usage variance": (flexed.material - actual.material) * price,
        "labour rate variance": (rate - actual.labour_rate) * actual.minutes,
        "labour efficiency variance": (flexed.minutes - actual.minutes) * rate,
        "overhead variance": flexed.overhead - actual.overhead,
        "freight variance": flexed.freight - actual.freight,
        "set-up cost variance": flexed.set_up_cost - actual.set_up_cost,
        "other variance": flexed.other - actual.other,
    }


NAMES = tuple(variances(*[JobFigures(*[0] * 6)] * 3))
"""The variances by name, in the order of a waterfall."""
