"""The owner's workbook: every price of a list as a formula over its costs. Not for clients.

A row for every price: what a piece costs, element by element, at the quantity of the tier
that costs most and at the one usually ordered; the fees; the price for the floor and for
the target; tax; the rounding up; and the margins that the list's price leaves.

Formulas are written with names in braces, of rules and of columns, in place of addresses.
"""

from collections.abc import Iterator
from datetime import date
from typing import NamedTuple

import numpy as np
from xlsxwriter.utility import xl_col_to_name

from pricelab.cost.price import setup_line
from pricelab.lists.audit import Audit
from pricelab.lists.trouble import LOSING
from pricelab.paper.workbook import HEAD, INPUT, TINT, Look, Page, workbook
from pricelab.shop.charges import Element, Level
from pricelab.shop.shop import Shop
from pricelab.words import findings as wording

RULES, CELLS, LIST, FINDINGS = "Rules", "Workings", "List", "Findings"

_TOP = 3  # rows above the first price of the workings
_NOISE = "0.000000001"  # a margin short by less than this is met, as in the audit
_HOLDS = "holds"
_NAMED = ("size", "pieces", "from", "to")  # what a row of the workings is about
_ADDED_TAX = "(1+{included}*{tax})"

_NOTES = (
    "Shaded and framed cells are yours to change; all others are formulas over them.",
    f'The sheet "{CELLS}" has a row for every price: costs a piece at the quantity of the '
    "tier whose piece costs most, and at the quantity usually ordered.",
    "These two quantities were worked out with today's costs and do not move by "
    "themselves: after a large change plan the list again.",
    "The price is the higher of the price for the floor margin at the dearest quantity and "
    "the price for the target margin at the usual one, with tax if prices include it, "
    "rounded up.",
    "Tax and accounting follow your local rules; ask a licensed adviser.",
)


def workings_xlsx(shop: Shop, audit: Audit, on: date) -> bytes:
    """The workings of the list that `audit` judged, as of the day `on`."""
    name = wording.name_of(shop, audit.price_list)

    def write(book):
        look = Look(book, shop.decimals)
        rules = _write_rules(look.page(RULES, f"Workings of {name}"), shop, audit, on)
        columns = {column.key: column for column in _columns(audit, look.money)}
        title = "Not for clients: costs of a piece, and its price"
        _write_workings(look.page(CELLS, title), audit, columns, rules)
        title = "Not for clients: the list, and whether its prices hold"
        _write_list(look.page(LIST, title), columns)
        findings = Page(book.add_worksheet(FINDINGS), look)
        findings.put(0, 0, wording.verdict(audit, shop), bold=True)
        for row, line in enumerate(wording.sentences(audit, shop), 2):
            findings.put(row, 0, line)
        for sheet in book.worksheets():
            sheet.set_landscape()
            sheet.fit_to_pages(1, 0)
            sheet.set_footer("&LNot for clients&R&A, page &P")

    return workbook(f"Workings of {name}: not for clients", on, write)


def _rounded_up(shown: str) -> str:
    """`Rounding.up` of an amount, settled against the noise of binary fractions."""
    steps = f"ROUNDUP(ROUND(({shown}-{{ending}})/{{step}},6),0)"
    return f"ROUND(MAX(0,{steps})*{{step}}+{{ending}},9)"


def _write_rules(page: Page, shop: Shop, audit: Audit, on: date) -> dict[str, str]:
    """Write the sheet of rules, with cells to write in; the address of each by its name."""
    rules, fees, money = shop.pricing, audit.basis.fees, page.look.money
    about = f"{shop.name}, {wording.day(on)}, {shop.currency}."
    page.put(1, 0, f"{about} Not for clients: every sheet shows costs.", bold=True)
    inputs = (
        ("target", "Target margin", rules.target, "0.0##%"),
        ("floor", "Floor margin", rules.floor, "0.0##%"),
        ("of total", "Fees, share of the total with tax", fees.of_total, "0.0##%"),
        ("of price", "Fees, share of the price before tax", fees.of_price, "0.0##%"),
        ("fixed", "Fees, fixed sum an order", fees.fixed, money),
        ("tax", f"{rules.tax.name}, rate", rules.tax.rate, "0.0##%"),
        ("included", "Prices include tax: 1 for yes, 0 for no", int(rules.tax.included), "0"),
        ("step", "Prices are rounded up to a multiple of", rules.rounding.step, "0.00##"),
        ("ending", "… and end so (0 for no ending)", rules.rounding.ending or 0.0, "0.00##"),
        ("design", "Cost of setting up an artwork", audit.basis.design_cost, "0.00##"),
    )
    keys = [*(key for key, *_ in inputs), "share"]
    at = {key: f"{RULES}!$B${row}" for row, key in enumerate(keys, 4)}
    for row, (_, label, value, form) in enumerate(inputs, 3):
        page.put(row, 0, label)
        page.put(row, 1, value, form, **INPUT)
    row = 3 + len(inputs)
    page.put(row, 0, "Fees in all, share of the price before tax")
    share = "{of price}+{of total}*(1+{tax})".format_map(at)
    page.put(row, 1, fees.share, "0.0##%", share)
    setup = setup_line(audit.basis.shop, audit.basis.method, audit.basis.design_cost)
    if setup is not None:
        page.put(row + 1, 0, "Price of setting up an artwork", bold=True)
        price = _rounded_up("({design}/(1-{share}-{target}))*" + _ADDED_TAX).format_map(at)
        page.put(row + 1, 1, setup, money, price, bold=True)
    page.lines(row + 3, _NOTES, over=7)
    page.sheet.set_column(0, 0, 44)
    page.sheet.set_column(1, 1, 14)
    return at


class _Column(NamedTuple):
    """A column of the workings; its values are `[band, tier]`, and inputs without a `formula`."""

    key: str
    heading: str
    values: np.ndarray
    formula: str = ""
    form: str | None = "0.0000"
    style: dict = {}  # noqa: RUF012 - never written to


def _columns(audit: Audit, money: str) -> Iterator[_Column]:
    """The columns in their order."""
    price_list, basis, rules = audit.price_list, audit.basis, audit.basis.shop.pricing
    bands, tiers = (np.arange(count) for count in price_list.prices.shape)
    sizes = np.array([wording.size_label(price_list, band) for band in bands], object)
    labels = np.array([wording.tier_label(price_list, tier) for tier in tiers], object)
    named = (sizes[:, None], labels, price_list.starts, price_list.ends)
    for key, values in zip(_NAMED, named, strict=True):
        yield _Column(key, key, np.broadcast_to(values, price_list.prices.shape), form=None)
    quantities = {
        "worst": (audit.worst_quantity, rules.floor, "floor"),
        "typical": (audit.typical_quantity[None, :], rules.target, "target"),
    }
    net = []
    for block, (pieces, margin, goal) in quantities.items():
        pieces = np.broadcast_to(pieces, price_list.prices.shape)
        yield _Column(block, "pieces", pieces, form="#,##0")
        costs = {
            f"{block} {element.value}": amount[bands[:, None], pieces - basis.quantities[0]]
            / pieces
            for element, amount in _costs_by_element(audit).items()
        }
        for key, cost in costs.items():
            yield _Column(key, key.removeprefix(f"{block} "), cost, style=INPUT)
        first, last = next(iter(costs)), next(reversed(costs))
        cost, fee = sum(costs.values()), basis.fees.fixed / pieces
        yield _Column(f"{block} cost", "cost a piece", cost, f"SUM({{{first}}}:{{{last}}})")
        yield _Column(f"{block} fee", "fixed fee a piece", fee, f"{{fixed}}/{{{block}}}")
        net.append(basis.net_price(cost + fee, margin))
        price = f"({{{block} cost}}+{{{block} fee}})/(1-{{share}}-{{{goal}}})"
        yield _Column(f"{block} price", f"price for the {goal}", net[-1], price)
    needed = np.maximum(*net)
    shown = needed * (1 + price_list.tax.rate * price_list.tax.included)
    yield _Column("needed", "price needed", needed, "MAX({worst price},{typical price})")
    yield _Column("shown", "as shown, with tax if included", shown, "({needed})*" + _ADDED_TAX)
    yield _Column("rule", "rounded up", audit.instead, _rounded_up("{shown}"), money)
    yield _Column("price", "price on the list", price_list.prices, "{rule}", money, {"bold": True})
    yield _Column("net", "before tax", price_list.net, "{price}/" + _ADDED_TAX)
    for block, label, margin in (
        ("worst", "dearest", audit.worst_margin),
        ("typical", "usual", audit.typical_margin),
    ):
        formula = f"1-({{{block} cost}}+{{{block} fee}})/{{net}}-{{share}}"
        yield _Column(f"{block} margin", f"margin, {label} quantity", margin, formula, "0.0%")
    below_cost, below_floor, under_target = (trouble.value for trouble in LOSING)
    formula = (
        f'IF({{worst margin}}<-{_NOISE},"{below_cost}",'
        f'IF({{worst margin}}<{{floor}}-{_NOISE},"{below_floor}",'
        f'IF({{typical margin}}<{{target}}-{_NOISE},"{under_target}","{_HOLDS}")))'
    )
    verdicts = np.full(price_list.prices.shape, _HOLDS, object)
    for found in audit.findings:
        if found.trouble in LOSING:
            verdicts[found.band, found.tier] = found.trouble.value
    yield _Column("verdict", "verdict", verdicts, formula, "General")


def _costs_by_element(audit: Audit) -> dict[Element, np.ndarray]:
    """Costs of whole orders under the cells, by element; money, `[band, quantity]`."""
    sheet, apart = audit.basis.sheet, audit.basis.shop.pricing.setup_apart
    lines = [line for line in sheet.lines if not (apart and line.level is Level.DESIGN)]
    found = {line.element for line in lines}
    return {
        element: sheet.total(line for line in lines if line.element is element)
        for element in Element
        if element in found
    }


def _write_workings(
    page: Page, audit: Audit, columns: dict[str, _Column], rules: dict[str, str]
) -> None:
    """Write the sheet with a row for every price of the list."""
    price_list = audit.price_list
    letters = {key: xl_col_to_name(at) for at, key in enumerate(columns)}
    for at, (key, column) in enumerate(columns.items()):
        align = "left" if key in ("size", "pieces", "verdict") else "right"
        page.put(_TOP - 1, at, column.heading, align=align, **HEAD)
        if key in ("worst", "typical"):
            label = "dearest" if key == "worst" else "usual"
            page.put(_TOP - 2, at, f"At the {label} quantity", bold=True)
    for row, (band, tier) in enumerate(np.ndindex(price_list.prices.shape), _TOP):
        addresses = rules | {key: f"{letter}{row + 1}" for key, letter in letters.items()}
        for at, (key, column) in enumerate(columns.items()):
            value, formula, style = column.values[band, tier], column.formula, column.style
            if key in _NAMED and band % 2:
                style = {"bg_color": TINT}
            if key == "price" and value != audit.instead[band, tier]:  # set by hand
                formula, style = "", INPUT
            page.put(row, at, value, column.form, formula.format_map(addresses), **style)
    page.sheet.set_row(_TOP - 1, 42)
    page.sheet.set_column(1, len(columns) - 1, 12)
    page.sheet.set_column(0, 0, 18)
    page.sheet.set_column(len(columns) - 1, len(columns) - 1, 14)
    page.sheet.freeze_panes(_TOP, len(_NAMED))


def _write_list(page: Page, columns: dict[str, _Column]) -> None:
    """The list as it is printed, and under it the verdict on every price."""
    bands, tiers = columns["price"].values.shape
    titles = {
        "price": "Price of one piece",
        "verdict": "Verdict",
        "worst margin": "Margin at the dearest quantity",
        "typical margin": "Margin at the usual quantity",
    }
    row = 2
    for key, title in titles.items():
        letter, column = xl_col_to_name(list(columns).index(key)), columns[key]
        page.put(row, 0, title, **HEAD)
        for tier, label in enumerate(columns["pieces"].values[0], 1):
            page.put(row, tier, label, align="right", **HEAD)
        for band, values in enumerate(column.values.tolist()):
            page.put(row + 1 + band, 0, columns["size"].values[band, 0])
            for tier, value in enumerate(values):
                there = f"{CELLS}!{letter}{_TOP + band * tiers + tier + 1}"
                page.put(row + 1 + band, 1 + tier, value, column.form, there, align="right")
        if key == "verdict":
            lost = page.look.book.add_format({"bold": True, "italic": True, "bg_color": "#f3d9cf"})
            unlike = {"type": "cell", "criteria": "!=", "value": f'"{_HOLDS}"', "format": lost}
            page.sheet.conditional_format(row + 1, 1, row + bands, tiers, unlike)
        row += bands + 2
    page.sheet.set_column(0, 0, 30)
    page.sheet.set_column(1, tiers, 13)
