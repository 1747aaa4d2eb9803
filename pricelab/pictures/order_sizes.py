"""How many pieces clients order, beside the tiers of a list."""

from dataclasses import dataclass, replace

import numpy as np

from pricelab.pictures import look
from pricelab.pictures.axes import Frame, plain_axis, quantity_axis
from pricelab.pictures.labels import write
from pricelab.pictures.picture import Description, Picture
from pricelab.shop.figures import number, percent, pieces


@dataclass(frozen=True, eq=False)
class OrderSizes:
    """`weights[i]` past orders of ``first + i`` pieces, and the `starts` of a list's tiers."""

    first: int
    weights: np.ndarray
    starts: tuple[int, ...]

    @property
    def quantities(self) -> np.ndarray:
        """Every quantity from the first on."""
        return self.first + np.arange(len(self.weights))

    @property
    def half(self) -> int:
        """The quantity that half of the orders do not exceed."""
        sums = np.cumsum(self.weights)
        return self.first + int(np.searchsorted(sums, sums[-1] / 2))


def frame(values: OrderSizes) -> Frame:
    """Quantities by ratio, orders from none."""
    x = quantity_axis(values.quantities, (values.first, *values.starts))
    y = plain_axis("orders", 0, float(values.weights.max()), steps=4, whole=True)
    x, y = replace(x, high=x.high * 1.02), replace(y, high=y.high * 1.15)  # the last bar whole
    return Frame(x, y, height=270, right=40)


def marks(values: OrderSizes, ax) -> None:
    """A bar for every quantity ordered, and a line where a tier starts."""
    there = values.weights > 0
    ordered, times = values.quantities[there], values.weights[there]
    ax.vlines(ordered, 0, times, color=look.NAVY, linewidth=5, zorder=2)
    for start in values.starts:
        ax.axvline(start * 0.975, color=look.COPPER, linewidth=1.2, linestyle=(0, (4, 3)), zorder=1)
    if values.starts:
        words, at = "a tier of your list starts", (values.starts[-1] * 0.975, 1)
        how = {"color": look.OCHRE, "size": look.SMALL, "bbox": look.ground(1)}
        write(ax, words, at, (-5, -2), "right top", coords=("data", "axes fraction"), **how)


def describe(values: OrderSizes) -> Description:
    """The usual order, and the orders of every tier."""
    total = int(values.weights.sum())
    usual = int(values.quantities[values.weights.argmax()])
    most = int(values.weights.max())
    times = "once" if most == 1 else f"{number(most)} times"
    finding = (
        f"Half of {number(total)} orders are of {pieces(values.half)} or fewer; {usual} is ordered "
        f"most, {times}"
    )
    starts = sorted({values.first, *values.starts})
    ends = [*(start - 1 for start in starts[1:]), int(values.quantities[-1])]
    counts = np.add.reduceat(values.weights, np.array(starts) - values.first)
    rows = tuple(
        (pieces(start, end), number(count), percent(count / total))
        for start, end, count in zip(starts, ends, counts, strict=True)
    )
    return Description(finding, ("Pieces", "Orders", "Share"), rows)


ORDER_SIZES = Picture("order-sizes", frame, marks, describe)
