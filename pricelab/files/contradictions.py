"""What the files of a shop say against one another: each is a warning with what to look at.

Every cell can be read, and the shop can be worked with; but two figures cannot both be meant.
A limit here is far from what any shop has, so that what is told is worth a look.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from pricelab.files.faults import Fault, one_line
from pricelab.lists.basis import why_not
from pricelab.shop.charges import Charge, Element, Level
from pricelab.shop.errors import PricelabError
from pricelab.shop.figures import percent
from pricelab.shop.method import Method
from pricelab.shop.place import Place
from pricelab.shop.price_list import PriceList
from pricelab.shop.shop import Shop
from pricelab.shop.sizes import Artwork, Measure, size_of
from pricelab.shop.tolerance import TOLERANCE
from pricelab.shop.units import convert

if TYPE_CHECKING:
    import pandas as pd

_OTHER_UNIT = 5.0
"""Times a length that cannot be meant: half-way, in ratio, from inches to millimetres."""

_STEP = 5.0
"""Times a price beside it that no price is, from one quantity or size to the next."""

_RISE = 1.2
"""Times the price of a smaller quantity; what rises by less is told where a list is judged."""

_BLANKS_FOR_AN_HOUR = 200
"""Pieces of the most expensive blank that cost more than any hour of work."""

_MOST_SPOILED = 0.5


def contradictions(
    shop: Shop, lists: Iterable[PriceList], places: Mapping[str, Place]
) -> Iterator[Fault]:
    """What the tables of a shop contradict; `places` are those of its settings, by name."""
    yield from _of_wage(shop, places["labour rate"])
    yield from _of_fees(shop.charges, ())
    for method in shop.methods.values():
        yield from _of_fees(method.charges, shop.charges)
    misread = set()
    for key, method in shop.methods.items():
        yield from _of_method(method)
        for fault in _of_grid(shop, method):
            misread.add(key)
            yield fault
    for blank in shop.blanks.values():
        prices, starts = blank.prices.prices[0], blank.prices.breaks
        low, high = np.minimum(prices[:-1], prices[1:]), np.maximum(prices[:-1], prices[1:])
        for at in np.flatnonzero(high > _STEP * low):
            yield Fault(
                blank.prices.place(0, at),
                f"a price of {prices[at]:g} from {starts[at]} and {prices[at + 1]:g} from "
                f"{starts[at + 1]} for {one_line(blank.name)}",
                f"a step of less than {_STEP:g} times",
                "Compare both with the supplier's price list.",
            )
    for listed in lists:
        if listed.method not in misread:  # else no size of it can be made
            yield from _of_sizes(shop, listed)
        yield from _of_prices(shop, listed)


def _of_wage(shop: Shop, place: Place) -> Iterator[Fault]:
    wage, dearest = shop.rates.labour, max(b.prices.prices.max() for b in shop.blanks.values())
    if wage == 0:
        yield Fault(
            place,
            "a labour rate of 0",
            "what an hour of work costs",
            "Your own hours cost too: write what you would pay somebody for them.",
        )
    elif wage > _BLANKS_FOR_AN_HOUR * dearest > 0:
        yield Fault(
            place,
            f"a labour rate of {wage:g} an hour, where your most expensive blank costs {dearest:g}",
            "the wage of one hour",
            "Write it for an hour, not for a month.",
        )


def _of_fees(own: Iterable[Charge], beside: Iterable[Charge]) -> Iterator[Fault]:
    """Sums that are shares, unless a share is among them or among the fees `beside` them."""
    fees = [x for x in own if x.level is Level.REVENUE and x.element is Element.FEES]
    if any(fee.share for fee in (*fees, *beside)):
        return
    for fee in fees:
        if 1 <= fee.amount < 10:
            yield Fault(
                fee.place,
                f"{one_line(fee.name)} of {fee.amount:g} an order, and no share of the money taken",
                "a share such as 2.9 %, or a small sum beside one",
                f"If it is a share, write {fee.amount:g} %.",
            )


def _of_method(method: Method) -> Iterator[Fault]:
    if method.stitching is None and not any(work.minutes for work in method.operations):
        yield Fault(
            method.place,
            f"no minutes for {one_line(method.name)}",
            "its rows in operations.csv",
            "Write there what it takes to set it up and to do a piece.",
        )
    if method.spoilage >= _MOST_SPOILED:
        yield Fault(
            replace(method.place, column="spoilage"),
            f"a spoilage of {percent(method.spoilage)}",
            f"less than {percent(_MOST_SPOILED)}",
            "Write the share of pieces that are spoiled, not of those that are good.",
        )
    for before, after in pairwise(sorted(method.promotions, key=lambda offer: offer.starts)):
        if after.starts <= before.ends:
            yield Fault(
                after.place,
                f"a promotion of {one_line(method.name)} from {after.starts}, while the one of "
                f"row {before.place.row} holds until {before.ends}",
                "one at a time",
                "Correct the days; while both hold, the lower set-up counts.",
            )


def _of_grid(shop: Shop, method: Method) -> Iterator[Fault]:
    grid = method.grid
    if grid is None or not grid.measure.has_unit:
        return
    largest = [
        Artwork(
            min(method.max_width, convert(blank.panel_width, blank.unit, method.unit)),
            min(method.max_height, convert(blank.panel_height, blank.unit, method.unit)),
            method.unit,
        )
        for blank in shop.blanks.values()
    ]
    last = grid.bands[-1]
    most = max(float(size_of(artwork, grid.measure, grid.unit)) for artwork in largest)
    power, square = (2, "square ") if grid.measure is Measure.AREA else (1, "")
    if not most / _OTHER_UNIT**power <= last <= most * _OTHER_UNIT**power:
        other, name = ("mm", "millimetres") if last > most else ("in", "inches")
        mend = f"If the supplier's sheet is in {name}, write ({other}) in its first cell."
        yield Fault(
            Place(grid.sheet.file, grid.sheet.rows[-1]),
            f"sizes up to {last:g} {square}{grid.unit} for {one_line(method.name)}, where "
            f"your presses and panels take up to {most:.4g}",
            "sizes of about what can be made",
            mend if other != grid.unit else "Compare it with the supplier's sheet.",
        )


def _of_sizes(shop: Shop, listed: PriceList) -> Iterator[Fault]:
    method, blank = shop.methods[listed.method], shop.blanks[listed.blank]
    try:
        reasons = why_not(method, blank, listed.sizes)
    except PricelabError as error:
        reasons = np.full(listed.sizes.shape, str(error), object)
    for band in np.flatnonzero(reasons != ""):
        yield Fault(
            Place(listed.sheet.file, listed.sheet.rows[band], "size"),
            f"a price for the size {listed.sizes[band]:g}, which cannot be made",
            "sizes that can",
            f"{reasons[band]} Correct the size or the limit, or remove the row.",
        )


def _of_prices(shop: Shop, listed: PriceList) -> Iterator[Fault]:
    """Prices far from those beside them; and, but for these, prices that rise."""
    method, blank = shop.methods[listed.method], shop.blanks[listed.blank]
    prices, named = listed.prices, f"{one_line(method.name)} on {one_line(blank.name)}"
    odd = _apart(prices)
    for band, tier in zip(*np.nonzero(odd), strict=True):
        yield Fault(
            listed.place(band, tier),
            f"a price of {prices[band, tier]:g} for {named}, more than {_STEP:g} times what "
            "stands beside it, or less than that part of it",
            "a price like those beside it",
            "Look for a decimal point in the wrong place.",
        )
    rises = (np.diff(prices, axis=1) > TOLERANCE) & ~odd[:, 1:] & ~odd[:, :-1]
    rises &= (prices[:, 1:] > _RISE * prices[:, :-1]) | (prices[:, -1:] > prices[:, :1])
    if rises.any():
        band, tier = np.argwhere(rises)[0]
        more = int(rises.sum()) - 1
        yield Fault(
            listed.place(band, tier + 1),
            f"a price of {prices[band, tier + 1]:g} from {listed.starts[tier + 1]} pieces after "
            f"{prices[band, tier]:g} from {listed.starts[tier]} for {named}"
            + (f", and {more} more such steps in this list" if more else ""),
            "no price that rises with quantity",
            "Correct it, unless it is meant.",
        )


def _apart(prices: np.ndarray) -> np.ndarray:
    """Which prices (bands, tiers) are far above, or far below, all of two or more beside them."""
    around = np.pad(prices, 1, constant_values=np.nan)
    beside = np.stack([around[:-2, 1:-1], around[2:, 1:-1], around[1:-1, :-2], around[1:-1, 2:]])
    known = ~np.isnan(beside)
    over = ((prices > _STEP * beside) | ~known).all(axis=0)
    under = ((_STEP * prices < beside) | ~known).all(axis=0)
    return (over | under) & (known.sum(axis=0) > 1)


def contradicted_jobs(shop: Shop, jobs: "pd.DataFrame", file: str, today: date) -> Iterator[Fault]:
    """Jobs on a day to come, and with an artwork larger than the panel of their blank.

    `jobs` stand in `file` under the rows of their index. The first of each kind is told, and how
    many more there are. Where most jobs lie in the future, it is the calendar that is wrong.
    """

    def first(column: str, wrong: np.ndarray) -> Iterator[tuple["pd.Series", Place, str]]:
        found = np.flatnonzero(wrong)
        if found.size:
            job = jobs.iloc[found[0]]
            more = f" and {found.size - 1} more" if found.size > 1 else ""
            yield job, Place(file, job.name, column), more

    late = jobs["date"].to_numpy() > np.datetime64(today)
    for job, place, more in first("date", late & (2 * late.sum() <= len(jobs))):
        yield Fault(
            place,
            f"job {one_line(job['job'])} on {job['date']:%Y-%m-%d}{more}",
            f"no day after today, {today}",
            "Correct the date.",
        )
    for side in ("width", "height"):
        panels = {key: getattr(blank, f"panel_{side}") for key, blank in shop.blanks.items()}
        most = jobs["blank"].map(panels).to_numpy(float)
        for job, place, more in first(side, jobs[side].to_numpy(float) > most + TOLERANCE):
            blank = shop.blanks[job["blank"]]
            yield Fault(
                place,
                f"an artwork of {job['width']:g} × {job['height']:g} {shop.unit} (job "
                f"{one_line(job['job'])}{more})",
                f"one that fits on {one_line(blank.name)}, whose panel is {blank.panel_width:g} × "
                f"{blank.panel_height:g} {blank.unit}",
                "Correct the artwork, the blank or its panel.",
            )
