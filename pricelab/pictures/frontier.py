"""How many quantity breaks are enough: what clients are overcharged, by number of breaks."""

from dataclasses import dataclass

from pricelab.lists.breaks import Breaks
from pricelab.pictures import look
from pricelab.pictures.axes import Axis, Frame, money_axis
from pricelab.pictures.labels import dot, write
from pricelab.pictures.picture import Description, InMoney, Picture
from pricelab.shop.figures import number


@dataclass(frozen=True)
class Frontier(InMoney):
    """The best breaks for 1, 2, … tiers, and the number of tiers that was `chosen`."""

    currency: str
    best: tuple[Breaks, ...]
    chosen: int


def frame(values: Frontier) -> Frame:
    """Whole numbers of tiers; money from nothing."""
    counts = range(1, len(values.best) + 1)
    x = Axis.ticked("tiers in the list", 0.6, len(counts) + 0.4, counts)
    # One or two tiers overcharge so much that all else would lie flat: they may run off the top.
    chosen = 1.4 * values.best[values.chosen - 1].overcharge  # and its words over it
    most = max([chosen, *(breaks.overcharge for breaks in values.best[2:4])])
    title = f"{values.currency} a piece paid over cost-plus, on average"
    return Frame(x, money_axis(title, 0, max(most, 0.01), values.currency), height=300, right=40)


def marks(values: Frontier, ax) -> None:
    """A dot for each number of tiers, a large one for the chosen, with its quantities."""
    counts = range(1, len(values.best) + 1)
    over = [breaks.overcharge for breaks in values.best]
    dots = {"marker": "o", "markersize": 6, "markeredgecolor": look.PAPER}
    ax.plot(counts, over, color=look.TEAL, linewidth=1.6, zorder=2, **dots)
    chosen = values.best[values.chosen - 1]
    dot(ax, values.chosen, chosen.overcharge, look.NAVY, 12, rim=1.5)
    # Over the falling curve the room is to the right; near the end there is none but inwards.
    last = values.chosen > 0.7 * len(values.best)
    starts = ", ".join(map(number, chosen.starts))
    words = f"from {starts}\n{values.show(chosen.overcharge)} a piece"
    at = (len(values.best) + 0.4 if last else values.chosen, chosen.overcharge)
    align = "right bottom" if last else "left bottom"
    write(ax, words, at, (0, 16), align, color=look.NAVY, weight="bold", linespacing=1.25)


def describe(values: Frontier) -> Description:
    """What the chosen number of tiers leaves, and what one more would save."""
    money = [values.show(breaks.overcharge) for breaks in values.best]
    at = values.chosen - 1
    tiers = "one tier overcharges" if values.chosen == 1 else f"{values.chosen} tiers overcharge"
    finding = f"The best {tiers} by {money[at]} a piece on average"
    if values.chosen < len(values.best):
        saved = values.show(values.best[at].overcharge - values.best[at + 1].overcharge)
        nothing = saved == values.show(0)
        finding += f"; one more would save clients {'nothing' if nothing else f'{saved} a piece'}"
    rows = tuple(
        (str(count), ", ".join(map(str, breaks.starts)), over)
        for count, (breaks, over) in enumerate(zip(values.best, money, strict=True), 1)
    )
    return Description(finding, ("Tiers", "From", "Overcharge a piece"), rows)


FRONTIER = Picture("frontier", frame, marks, describe)
