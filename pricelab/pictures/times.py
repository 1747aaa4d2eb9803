"""What finished jobs of a method took, over their pieces: as estimated, and as learned."""

import numpy as np

from pricelab.jobs.learning import Times
from pricelab.pictures import look
from pricelab.pictures.axes import TICKS, Axis, Frame, quantity_axis
from pricelab.pictures.labels import label_ends
from pricelab.pictures.picture import Description, Picture
from pricelab.shop.figures import count, number, percent

_MINUTES = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1_000, 2_000, 5_000, 10_000)

_MANY = 1_000
"""Jobs that a sheet has room for, each with a dot of its own."""


def _noted(values: Times) -> np.ndarray:
    """The minutes of each job, less those for a new artwork (as learned): all like repeats."""
    new = values.estimated[:, 0] - values.order.old
    return np.maximum(values.actual - values.fit.coefficients[0] * new, 0.1)


def _dots(values: Times) -> tuple[np.ndarray, np.ndarray]:
    """Pieces and minutes of the jobs; of very many one dot for all that lie on the same spot.

    Minutes a hundredth apart are half a point apart on the sheet.
    """
    minutes = _noted(values)
    if minutes.size < _MANY:
        return values.quantities, minutes
    spot = values.quantities + 1j * np.round(np.log(minutes), 2)
    _, at = np.unique(spot, return_index=True)
    return values.quantities[at], minutes[at]


def _lines(values: Times):
    """At every quantity there was: minutes of a repeat order, old and new, and half the
    width of the new one's interval."""
    quantities, at, count = np.unique(values.quantities, return_inverse=True, return_counts=True)
    each = np.bincount(at, values.estimated[:, 1]) / count
    rows = np.column_stack([np.full(quantities.size, values.order.old), each])
    reach = np.array([values.fit.reach(row) for row in rows])
    return quantities, rows.sum(axis=1), rows @ values.fit.coefficients, reach


def frame(values: Times) -> Frame:
    """Pieces and minutes by ratio: ten per cent are as high everywhere."""
    quantities = np.sort(values.quantities)
    shown = np.concatenate([_noted(values), *_lines(values)[1:3]])
    low = max(t for t in (0.5, *_MINUTES) if t <= max(shown.min(), 0.5))
    high = next(t for t in (*_MINUTES, 1e9) if t >= shown.max())
    ticks = [t for t in _MINUTES if low <= t <= high]
    y = Axis.ticked("attended minutes of a repeat order", low, high, ticks, log=True, grid=True)
    x = quantity_axis(quantities, [quantities[0], *TICKS])
    return Frame(x, y, right=132, height=360)


def marks(values: Times, ax) -> None:
    """Dots of the jobs, the line of operations.csv dashed, what they say solid in its band."""
    x, old, new, reach = _lines(values)
    ax.fill_between(x, np.maximum(new - reach, 0.1), new + reach, **look.GAIN)
    rings = {"facecolor": look.PAPER, "edgecolor": look.TEAL, "linewidth": 1.1}
    ax.scatter(*_dots(values), s=20, zorder=2, **rings)
    ax.plot(x, old, color=look.COPPER, linewidth=2, linestyle=look.DASHED, zorder=3)
    ax.plot(x, new, color=look.NAVY, linewidth=2, zorder=4)
    ends = [(old[-1], "operations.csv", look.COPPER), (new[-1], "finished jobs", look.NAVY)]
    label_ends(ax, ends)


def describe(values: Times) -> Description:
    """Whether the jobs bear the minutes out; both figures, old, new and how sure."""
    took, planned = values.actual.sum(), values.estimated.sum()
    off = took / planned - 1
    share, way = percent(abs(off)), "more" if off > 0 else "fewer"
    took = "the minutes that" if share == percent(0) else f"{share} {way} minutes than"
    jobs = count(values.jobs, "finished job")
    finding = f"{values.method.name}: {jobs} took {took} operations.csv says"
    rows = tuple(
        (part.what, *(number(round(x, 2)) for x in (part.old, part.new, part.low, part.high)))
        for part in (values.order, values.piece)
    )
    return Description(finding, ("What", "Old", "New", "At least", "At most"), rows)


TIMES = Picture("times", frame, marks, describe)
