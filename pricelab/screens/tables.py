"""The tables of the owner's screens: prices with their margins, and the account of a cell."""

from dataclasses import dataclass

import numpy as np

from pricelab.account import Account
from pricelab.audit import Audit
from pricelab.comparison import Standing
from pricelab.figures import number, percent, pieces
from pricelab.grids import Place
from pricelab.pictures.picture import Description
from pricelab.screens.html import table, text
from pricelab.shop import Level, Method, Shop
from pricelab.wording import size_label, tier_label

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
            (
                size_label(listed, band),
                tier_label(listed, tier),
                self.shop.money(listed.prices[band, tier]) + self._whose(band, tier),
                percent(judged.worst_margin[band, tier]),
                "holds" if holding[band, tier] else "does not hold",
                *([self._beside(band, tier) or "none"] if self.beside_name else []),
            )
            for band, tier in np.ndindex(listed.prices.shape)
        ]
        columns = ("Size", "Pieces", "Price", "Least margin", "Judgement")
        beside = [self.beside_name] if self.beside_name else []
        return Description(self.caption, (*columns, *beside), tuple(rows))

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


_LEVELS = {
    Level.PIECE: "each piece",
    Level.BATCH: "each batch",
    Level.ORDER: "the order",
    Level.DESIGN: "the artwork",
}


def account_description(account: Account, judged: Audit) -> Description:
    """The account of a cell line by line, costs by level, as text."""
    shop, money = judged.basis.shop, judged.basis.shop.money
    finding = (
        f"Of {money(account.revenue)} for {pieces(account.quantity)}, the quantity that "
        f"earns least here, {money(account.left)} are left: {percent(account.margin)}."
    )
    return _accounted(finding, account, judged.basis.method, shop)


def standing_description(standing: Standing, shop: Shop) -> Description:
    """The account of an order by one method line by line, costs by level, as text."""
    account, money = standing.account, shop.money
    finding = (
        f"{standing.method.name}: of {money(account.revenue)} for "
        f"{pieces(account.quantity)}, {money(account.left)} are left: "
        f"{percent(account.margin)}."
    )
    return _accounted(finding, account, standing.method, shop)


def _accounted(finding: str, account: Account, method: Method, shop: Shop) -> Description:
    money, tax = shop.money, shop.pricing.tax
    before = f" before {tax.name}" if tax.included else ""
    rows = [
        (
            f"{pieces(account.quantity)} at the list's price{before}", "",
            number(account.quantity), money(account.each),
            money(account.each * account.quantity), "this list",
        )
    ]  # fmt: skip
    if account.setup:
        setup = money(account.setup)
        rows.append(
            (f"set-up line of the list{before}", "the artwork", "1", setup, setup, "this list")
        )
    spent = [line for line in account.lines if line.quantity]
    for line in sorted(spent, key=lambda line: list(Level).index(line.level)):
        unit = _OF_ONE.get(line.unit, line.unit) if line.quantity == 1 else line.unit
        rows.append(
            (
                line.label.removeprefix(f"{method.name}: "), _LEVELS[line.level],
                f"{number(round(line.quantity, 2))} {unit}", _rate(line.rate, shop),
                money(-line.amount), _where(line.place),
            )
        )  # fmt: skip
    fees = money(-account.fees)
    rows.append(("fees on the money taken", "the money", "", "", fees, "costs.csv"))
    share = percent(account.margin)
    rows.append((f"left: a margin of {share}", "", "", "", money(account.left), ""))
    columns = ("What", "Grows with", "Quantity", "Rate", "Amount", "Found in")
    return Description(finding, columns, tuple(rows))


_OF_ONE = {"pieces": "piece", "batches": "batch", "minutes": "minute"}


def _rate(rate: float, shop: Shop) -> str:
    """A rate; one under a tenth with all its decimals, since cents tell little of it."""
    if abs(rate) >= 0.1 or round(rate, shop.decimals) == rate:
        return shop.money(rate)
    return f"{number(rate)} {shop.currency}"


def _where(place: Place | None) -> str:
    """Where a figure stands, as short as a table needs it."""
    if place is None:
        return ""
    row = f", row {place.row}" if place.row else ""
    return f"{place.file}{row}" + (f", {place.column}" if place.column else "")


def account_table(described: Description) -> str:
    """The account of a cell as a table."""
    last = len(described.rows) - 1
    return table(described.columns, described.rows, left=(0, 1, 5), sums=(0, last))
