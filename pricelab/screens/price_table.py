"""A judged price list as the owner sees it: prices with their margins, and what fails."""

import numpy as np

from pricelab.lists.audit import Audit
from pricelab.pictures.picture import Description
from pricelab.screens.html import Cell, table, text
from pricelab.screens.panel import Shown
from pricelab.shop.figures import percent
from pricelab.shop.shop import Shop
from pricelab.words.findings import size_label, tier_label

_PALE, _DEEP = (247, 249, 252), (140, 177, 214)
"""The tint of a cell at the floor margin, and at one that is 25 points above it."""

_RANGE = 0.25


def show_prices(
    part: Shown, judged: Audit, shop: Shop, *, beside=None, named="", here=None, own=None
) -> None:
    """Show a judged list: a price in every cell, its least margin under it and behind it.

    `beside[band, tier]` is another price of the same cell (NaN: none), on a list so `named`;
    `own[band, tier]` says which prices were set by hand, `here` which cell is looked at.
    """
    listed, holding, floor = judged.price_list, judged.holding, shop.pricing.floor
    sizes = [size_label(listed, band) for band in range(len(listed.sizes))]
    tiers = [tier_label(listed, tier) for tier in range(len(listed.starts))]
    lines: list[list[object]] = [[size] for size in sizes]
    told = []
    for at in np.ndindex(listed.prices.shape):
        price, margin = shop.money(listed.prices[at]), judged.worst_margin[at]
        whose = " your own" if own is not None and own[at] else ""
        was = "" if beside is None or np.isnan(beside[at]) else shop.money(beside[at])
        kinds = " ".join(["pl-here"] * (at == here) + ["pl-fails"] * (not holding[at]))
        mark = "" if holding[at] else "▼ "
        inside = f"<b>{text(price)}</b><span>{mark}{text(percent(margin, 0))}</span>"
        inside += f'<span class="pl-was">{text(was)}</span>' if was else ""
        inside += f'<span class="pl-own">{text(whose)}</span>' if whose else ""
        kind = f' class="{kinds}"' if kinds else ""
        lines[at[0]].append(Cell(inside, f'{kind} style="background:{_tint(margin, floor)}"'))
        row = {
            "Size": sizes[at[0]],
            "Pieces": tiers[at[1]],
            "Price": price + whose,
            "Least margin": percent(margin),
            "Judgement": "holds" if holding[at] else "does not hold",
        }
        told.append(row | ({named: was or "none"} if named else {}))
    after = f", then {named}'s price" if named else ""
    caption = f"Price a piece; under it the least margin of any quantity in the cell{after}"
    html = table(["Size \\ pieces", *tiers], lines, caption=caption, kind="pl-prices")
    part.write(html + _key(floor), Description.of(caption, told))


def _tint(margin: float, floor: float) -> str:
    share = float(np.clip((margin - floor) / _RANGE, 0, 1))
    mixed = (round(pale + (deep - pale) * share) for pale, deep in zip(_PALE, _DEEP, strict=True))
    return "#" + "".join(f"{part:02x}" for part in mixed)


def _key(floor: float) -> str:
    """What the tints and the mark stand for."""
    words = {0: f"{percent(floor)}, the floor", _RANGE: f"{percent(floor + _RANGE)} and more"}
    steps = "".join(
        f'<span><i style="background:{_tint(floor + up, floor)}"></i>{text(said)}</span>'
        for up, said in words.items()
    )
    return f'<div class="pl-key">{steps}<span><i class="pl-fails"></i>▼ does not hold</span></div>'
