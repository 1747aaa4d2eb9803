"""A judged price list as the owner sees it: prices with their margins, and what fails."""

from dataclasses import dataclass

import numpy as np

from pricelab.lists.audit import Audit
from pricelab.pictures.picture import Description
from pricelab.screens.html import text
from pricelab.shop.figures import percent
from pricelab.shop.shop import Shop
from pricelab.words.findings import size_label, tier_label

_PALE, _DEEP = (247, 249, 252), (140, 177, 214)
"""The tint of a cell at the floor margin, and at one that is 25 points above it."""

_RANGE = 0.25


@dataclass(frozen=True, eq=False)
class PriceTable:
    """A judged list as shown: `beside[band, tier]` another price of the same cell or NaN.

    `own[band, tier]` says which prices were set by hand, `here` which cell is looked at.
    """

    judged: Audit
    shop: Shop
    beside: np.ndarray | None = None
    beside_name: str = ""
    here: tuple[int, int] | None = None
    own: np.ndarray | None = None

    def description(self) -> Description:
        """The same in words: by size and tier the price, the least margin, whether it holds."""
        judged, listed, holding = self.judged, self.judged.price_list, self.judged.holding
        rows = [
            {
                "Size": size_label(listed, band),
                "Pieces": tier_label(listed, tier),
                "Price": self.shop.money(listed.prices[band, tier]) + self._whose(band, tier),
                "Least margin": percent(judged.worst_margin[band, tier]),
                "Judgement": "holds" if holding[band, tier] else "does not hold",
                self.beside_name: self._beside(band, tier) or "none",
            }
            for band, tier in np.ndindex(listed.prices.shape)
        ]
        if not self.beside_name:
            rows = [{name: row[name] for name in row if name} for row in rows]
        return Description.of(self.caption, rows)

    @property
    def caption(self) -> str:
        """What the figures are."""
        beside = f", then {self.beside_name}'s price" if self.beside_name else ""
        return f"Price a piece; under it the least margin of any quantity in the cell{beside}"

    def html(self) -> str:
        """The table: a price in every cell, its margin under it and behind it."""
        listed, holding = self.judged.price_list, self.judged.holding
        head = "".join(
            f'<th scope="col">{text(tier_label(listed, tier))}</th>'
            for tier in range(len(listed.starts))
        )
        body = "".join(
            f'<tr><th scope="row" class="pl-left">{text(size_label(listed, band))}</th>'
            + "".join(self._cell(band, tier, holding) for tier in range(len(listed.starts)))
            + "</tr>"
            for band in range(len(listed.sizes))
        )
        return (
            f'<div class="pl-wide"><table class="pl-table pl-prices">'
            f'<caption>{text(self.caption)}</caption><thead><tr><th scope="col" class="pl-left">'
            f"Size \\ pieces</th>{head}</tr></thead><tbody>{body}</tbody></table></div>"
            f"{self._key()}"
        )

    def _cell(self, band: int, tier: int, holding) -> str:
        margin = self.judged.worst_margin[band, tier]
        kinds = ["pl-here"] if self.here == (band, tier) else []
        mark = ""
        if not holding[band, tier]:
            kinds.append("pl-fails")
            mark = "▼ "
        kind = f' class="{" ".join(kinds)}"' if kinds else ""
        price = self.shop.money(self.judged.price_list.prices[band, tier])
        was, whose = self._beside(band, tier), self._whose(band, tier)
        said = f'<span class="pl-was">{text(was)}</span>' if was else ""
        said += f'<span class="pl-own">{text(whose)}</span>' if whose else ""
        return (
            f'<td{kind} style="background:{self._tint(margin)}"><b>{text(price)}</b>'
            f"<span>{mark}{text(percent(margin, 0))}</span>{said}</td>"
        )

    def _beside(self, band: int, tier: int) -> str:
        if self.beside is None or np.isnan(self.beside[band, tier]):
            return ""
        return self.shop.money(self.beside[band, tier])

    def _whose(self, band: int, tier: int) -> str:
        return " your own" if self.own is not None and self.own[band, tier] else ""

    def _tint(self, margin: float) -> str:
        share = float(np.clip((margin - self.shop.pricing.floor) / _RANGE, 0, 1))
        mixed = (round(p + (d - p) * share) for p, d in zip(_PALE, _DEEP, strict=True))
        return "#" + "".join(f"{part:02x}" for part in mixed)

    def _key(self) -> str:
        floor = self.shop.pricing.floor
        steps = [
            f'<span><i style="background:{self._tint(floor + up)}"></i>{text(words)}</span>'
            for up, words in (
                (0, f"{percent(floor)}, the floor"),
                (_RANGE, f"{percent(floor + _RANGE)} and more"),
            )
        ]
        fails = '<span><i class="pl-fails"></i>▼ does not hold</span>'
        return f'<div class="pl-key">{"".join(steps)}{fails}</div>'
