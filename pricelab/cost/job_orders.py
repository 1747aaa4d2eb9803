"""Jobs of several rows: rows with one number are one order, each row a part of it.

Rows of one job are pieces of their own, unless one says that it is the same pieces again as
the row before it with its blank and quantity: those are decorated several times, in the order
of the rows. What an order or an artwork takes is shared by its pieces, as a quote's costs are;
a blank is its own row's.
"""

from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from pricelab.cost.costing import blanks_sheet, decorating_sheet, shop_sheet
from pricelab.cost.orders import Decoration, Order
from pricelab.shop.charges import Level
from pricelab.shop.shop import Shop

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True, eq=False)
class JobOrders:
    """The rows of jobs that share their number with others.

    Arrays are of those at `rows` (m,): a number each for its `job`, the `pieces` it stands
    for, the `blank` of the job, the `artwork` of the job and its `method`; its `quantity`.
    """

    rows: np.ndarray
    job: np.ndarray
    pieces: np.ndarray
    blank: np.ndarray
    artwork: np.ndarray
    method: np.ndarray
    quantity: np.ndarray

    @cached_property
    def own_pieces(self) -> np.ndarray:
        """The pieces that count as the row's: several decorations of a piece share it."""
        return self.quantity / np.bincount(self.pieces)[self.pieces]

    @cached_property
    def share(self) -> np.ndarray:
        """The part of the order that each row carries, by pieces."""
        return self.own_pieces / self.ordered(self.job)

    def ordered(self, of: np.ndarray) -> np.ndarray:
        """Good pieces of the whole job, or of one blank in it (`of` is `job` or `blank`)."""
        return np.rint(np.bincount(of, self.own_pieces)[of]).astype(np.int64)

    @cached_property
    def decorated(self) -> np.ndarray:
        """Good pieces that carry the row's artwork, whatever blanks they are."""
        return self.added(self.quantity, self.artwork).astype(np.int64)

    def added(self, values: np.ndarray, over: np.ndarray) -> np.ndarray:
        """The sum of `values` (m,) over all rows with the same number in `over`, at each row."""
        return np.bincount(over, values)[over]

    def onward(self, values: np.ndarray) -> np.ndarray:
        """The sum of `values` (m,) over a row and the later ones of its pieces, at each row."""
        import pandas as pd

        return pd.Series(values)[::-1].groupby(self.pieces[::-1]).cumsum()[::-1].to_numpy()

    def everywhere(self, of_jobs: np.ndarray, new: np.ndarray) -> np.ndarray:
        """Values of all jobs (n,), with `new` ones (m,) at the rows of these orders."""
        if not self.rows.size:
            return of_jobs
        values = np.array(of_jobs)
        values[self.rows] = new
        return values

    def once(self, over: np.ndarray) -> np.ndarray:
        """Whether a row is the first of its job with its number in `over`."""
        return np.isin(np.arange(over.size), np.unique(over, return_index=True)[1])

    def lost(self, spoilage: np.ndarray) -> tuple[list[tuple], np.ndarray]:
        """Shares spoiled, by what is lost at each row (m,): the different ones, and whose they are.

        Three each: from the row's decoration on, after it, and from its pieces' first one on.
        """
        import pandas as pd

        left = pd.Series(1 - np.asarray(spoilage, float))
        onward = left[::-1].groupby(self.pieces[::-1]).cumprod()[::-1]
        whole = onward.groupby(self.pieces).transform("first")
        kept = pd.DataFrame({"onward": onward, "after": onward / left, "whole": whole})
        groups = kept.groupby(list(kept.columns), sort=False)
        lost = 1 - kept[~kept.duplicated()]
        return list(lost.itertuples(index=False, name=None)), groups.ngroup().to_numpy(int)


def job_orders(jobs: "pd.DataFrame") -> JobOrders:
    """The orders of several rows among `jobs`; none where these have no numbers."""
    none = "job" not in jobs or len(set(jobs["job"].tolist())) == len(jobs)
    several = np.zeros(len(jobs), bool) if none else jobs["job"].duplicated(keep=False).to_numpy()
    own = jobs[several]

    def numbered(*columns: str) -> np.ndarray:
        if not len(own):
            return np.zeros(0, np.int64)
        return own.groupby(["job", *columns], sort=False).ngroup().to_numpy(np.int64)

    return JobOrders(
        np.flatnonzero(several),
        numbered(),
        _pieces(own),
        numbered("blank"),
        numbered("method", "width", "height"),
        numbered("method"),
        own["quantity"].to_numpy(np.int64),
    )


def _pieces(own: "pd.DataFrame") -> np.ndarray:
    """A number for the pieces that each row of jobs of several rows stands for."""
    if "same pieces" not in own:
        return np.arange(len(own))
    alike = own.groupby(["job", "blank", "quantity"], sort=False)
    begun = (own["same pieces"] != "yes").groupby(alike.ngroup()).cumsum().clip(lower=1)
    return begun.groupby([alike.ngroup(), begun], sort=False).ngroup().to_numpy(np.int64)


ADDED = ("quantity", "attended minutes", "machine minutes", "spoiled pieces")
"""Columns of jobs that are added up over the blanks that carry one artwork."""


def by_artwork(jobs: "pd.DataFrame") -> "pd.DataFrame":
    """A row for each artwork of a job: its pieces, and what was noted, over all its blanks.

    What none of its rows noted is missing; the other columns are its first row's.
    """
    orders = job_orders(jobs)
    if not orders.rows.size:
        return jobs
    new, kept = orders.once(orders.artwork), np.ones(len(jobs), bool)
    kept[orders.rows[~new]] = False
    sums = jobs.iloc[orders.rows].groupby(orders.artwork)[list(ADDED)].sum(min_count=1)
    summed = jobs.copy()
    for name in ADDED:
        column = summed[name].array.copy()
        column[orders.rows[new]] = sums[name].array
        summed[name] = column
    return summed[kept]


def parts_of(shop: Shop, order: Order, orders: JobOrders, rows, lost) -> list[tuple]:
    """The parts of whole orders that some of their rows carry: sheets, and the share of each.

    `order` has a row's blank and artwork at all pieces that carry the artwork. Its blanks are
    bought with all of theirs in the job; what the shop itself spends is shared by the job, and
    what is bought once an order for a method by all pieces that it decorates.
    """
    [(blank, decorated)], [decoration] = order.pieces, order.decorations
    charges = decoration.method.charges
    once = tuple(charge for charge in charges if charge.level is Level.ORDER)
    each = tuple(charge for charge in charges if charge.level is not Level.ORDER)
    onward, _, whole = lost
    at = np.searchsorted(orders.rows, rows)
    own = orders.own_pieces[at]

    def ordered(pieces, spoilage) -> Order:
        method = replace(decoration.method, spoilage=spoilage, charges=each)
        decorations = [Decoration(method, decoration.artwork)]
        return replace(order, pieces=[(blank, pieces)], decorations=decorations)

    blanks, pieces = (orders.ordered(of)[at] for of in (orders.blank, orders.job))
    bare = replace(shop, charges=(), operations=())
    by_method = orders.added(orders.quantity, orders.method)[at]
    quantity = orders.quantity[at]
    return [
        (decorating_sheet(bare, ordered(decorated, onward)), quantity / decorated),
        (shop_sheet(replace(bare, charges=once), ordered(pieces, whole)), quantity / by_method),
        (blanks_sheet(shop, ordered(blanks, whole)), own / blanks),
        (shop_sheet(shop, ordered(pieces, whole)), own / pieces),
    ]
