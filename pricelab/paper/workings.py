"""The owner's workbook: every price of a list as a formula over its costs. Not for clients.

A row for every price: what a piece costs, element by element, at the quantity of the tier
that costs most and at the one usually ordered; the fees; the price for the floor and for
the target; tax; the rounding up; and the margins that the list's price leaves.
"""

from datetime import date

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


def workings_xlsx(shop: Shop, audit: Audit, on: date) -> bytes:
    """The workings of the list that `audit` judged, as of the day `on`."""

    def write(book):
        look, name = Look(book, shop.decimals), wording.name_of(shop, audit.price_list)
        rules = _Rules(look.page(RULES, f"Workings of {name}"), shop, audit, on)
        title = "Not for clients: costs of a piece, and its price"
        _Workings(look.page(CELLS, title), audit, rules).write()
        title = "Not for clients: the list, and whether its prices hold"
        _write_list(look.page(LIST, title), audit)
        findings = Page(book.add_worksheet(FINDINGS), look)
        findings.text(0, 0, wording.verdict(audit, shop), bold=True)
        for row, line in enumerate(wording.sentences(audit, shop), 2):
            findings.text(row, 0, line)
        for sheet in book.worksheets():
            sheet.set_landscape()
            sheet.fit_to_pages(1, 0)
            sheet.set_footer("&LNot for clients&R&A, page &P")

    name = wording.name_of(shop, audit.price_list)
    return workbook(f"Workings of {name}: not for clients", on, write)


class _Rules:
    """The sheet of rules: cells to write in, and where they stand."""

    def __init__(self, page: Page, shop: Shop, audit: Audit, on: date):
        rules, fees, money = shop.pricing, audit.basis.fees, page.look.money
        about = f"{shop.name}, {wording.day(on)}, {shop.currency}."
        page.text(1, 0, f"{about} Not for clients: every sheet shows costs.", bold=True)
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
        self.at = {}
        for row, (key, label, value, form) in enumerate(inputs, 3):
            page.text(row, 0, label)
            page.number(row, 1, value, form, **INPUT)
            self.at[key] = f"{RULES}!$B${row + 1}"
        row = 3 + len(inputs)
        page.text(row, 0, "Fees in all, share of the price before tax")
        share = f"{self['of price']}+{self['of total']}*(1+{self['tax']})"
        page.formula(row, 1, share, fees.share, "0.0##%")
        self.at["share"] = f"{RULES}!$B${row + 1}"
        row += 1
        setup = setup_line(audit.basis.shop, audit.basis.method, audit.basis.design_cost)
        if setup is not None:
            page.text(row, 0, "Price of setting up an artwork", bold=True)
            net = f"{self['design']}/(1-{self['share']}-{self['target']})"
            page.formula(row, 1, self.rounded_up(self.with_tax(net)), setup, money, bold=True)
        notes = (
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
        page.lines(row + 2, notes, over=7)
        page.sheet.set_column(0, 0, 44)
        page.sheet.set_column(1, 1, 14)

    def __getitem__(self, key: str) -> str:
        return self.at[key]

    def with_tax(self, net: str) -> str:
        """A price before tax as the shop shows it."""
        return f"({net})*(1+{self['included']}*{self['tax']})"

    def rounded_up(self, shown: str) -> str:
        """`Rounding.up` of an amount, settled against the noise of binary fractions."""
        step, ending = self["step"], self["ending"]
        steps = f"ROUNDUP(ROUND(({shown}-{ending})/{step},6),0)"
        return f"ROUND(MAX(0,{steps})*{step}+{ending},9)"


class _Workings:
    """The sheet with a row for every price of the list."""

    def __init__(self, page: Page, audit: Audit, rules: _Rules):
        self.page, self.audit, self.rules = page, audit, rules
        self.elements = _costs_by_element(audit)
        self.fields = _columns(len(self.elements))

    def write(self) -> None:
        """Write the headings, and a row for every price."""
        page, audit = self.page, self.audit

        def head(column: int, label: str, *, words: bool = False) -> None:
            page.text(_TOP - 1, column, label, align="left" if words else "right", **HEAD)

        for key, label in _HEADS.items():
            head(self.fields[key], label, words=key in ("size", "pieces", "verdict"))
        for block, label in (("worst", "dearest quantity"), ("typical", "usual quantity")):
            for column, element in zip(self.fields[f"{block} costs"], self.elements, strict=True):
                head(column, element.value)
            page.text(_TOP - 2, self.fields[block], f"At the {label}", bold=True)
        for row, (band, tier) in enumerate(np.ndindex(audit.price_list.prices.shape), _TOP):
            self._write_row(row, band, tier)
        verdict = self.fields["verdict"]
        page.sheet.set_row(_TOP - 1, 42)
        page.sheet.set_column(1, verdict, 12)
        page.sheet.set_column(0, 0, 18)
        page.sheet.set_column(verdict, verdict, 14)
        page.sheet.freeze_panes(_TOP, 4)

    def _write_row(self, row: int, band: int, tier: int) -> None:
        audit, page, rules, fields = self.audit, self.page, self.rules, self.fields
        price_list, basis, money = audit.price_list, audit.basis, page.look.money
        cell = {
            key: f"{xl_col_to_name(c)}{row + 1}" for key, c in fields.items() if isinstance(c, int)
        }
        label = {"bg_color": TINT} if band % 2 else {}

        def formula(key: str, text: str, value, form: str = "0.0000", **style) -> None:
            page.formula(row, fields[key], text, value, form, **style)

        page.text(row, fields["size"], wording.size_label(price_list, band), **label)
        page.text(row, fields["pieces"], wording.tier_label(price_list, tier), **label)
        page.number(row, fields["from"], int(price_list.starts[tier]), **label)
        page.number(row, fields["to"], int(price_list.ends[tier]), **label)
        goals = {
            "worst": ("floor", int(audit.worst_quantity[band, tier])),
            "typical": ("target", int(audit.typical_quantity[tier])),
        }
        net = {}
        for block, (goal, quantity) in goals.items():
            at = quantity - int(basis.quantities[0])
            page.number(row, fields[block], quantity, "#,##0")
            costs = [float(amount[band, at]) / quantity for amount in self.elements.values()]
            columns = fields[f"{block} costs"]
            for column, cost in zip(columns, costs, strict=True):
                page.number(row, column, cost, "0.0000", **INPUT)
            first, last = xl_col_to_name(columns[0]), xl_col_to_name(columns[-1])
            fee = basis.fees.fixed / quantity
            formula(f"{block} cost", f"SUM({first}{row + 1}:{last}{row + 1})", sum(costs))
            formula(f"{block} fee", f"{rules['fixed']}/{cell[block]}", fee)
            whole = f"({cell[f'{block} cost']}+{cell[f'{block} fee']})"
            margin = getattr(basis.shop.pricing, goal)
            net[block] = float(basis.net_price(sum(costs) + fee, margin))
            formula(f"{block} price", f"{whole}/(1-{rules['share']}-{rules[goal]})", net[block])
        needed = max(net.values())
        shown = needed * (1 + price_list.tax.rate) if price_list.tax.included else needed
        formula("needed", f"MAX({cell['worst price']},{cell['typical price']})", needed)
        formula("shown", rules.with_tax(cell["needed"]), shown)
        instead, price = float(audit.instead[band, tier]), float(price_list.prices[band, tier])
        formula("rule", rules.rounded_up(cell["shown"]), instead, money)
        if price == instead:
            formula("price", cell["rule"], price, money, bold=True)
        else:  # set by hand
            page.number(row, fields["price"], price, money, **INPUT)
        taxed = f"(1+{rules['included']}*{rules['tax']})"
        formula("net", f"{cell['price']}/{taxed}", float(price_list.net[band, tier]))
        margins = {"worst": audit.worst_margin, "typical": audit.typical_margin}
        for block, margin in margins.items():
            whole = f"({cell[f'{block} cost']}+{cell[f'{block} fee']})"
            text = f"1-{whole}/{cell['net']}-{rules['share']}"
            formula(f"{block} margin", text, float(margin[band, tier]), "0.0%")
        formula("verdict", _verdict(cell, rules), _verdict_now(audit, band, tier), "General")


_HEADS = {
    "size": "size",
    "pieces": "pieces",
    "from": "from",
    "to": "to",
    "worst": "pieces",
    "worst cost": "cost a piece",
    "worst fee": "fixed fee a piece",
    "worst price": "price for the floor",
    "typical": "pieces",
    "typical cost": "cost a piece",
    "typical fee": "fixed fee a piece",
    "typical price": "price for the target",
    "needed": "price needed",
    "shown": "as shown, with tax if included",
    "rule": "rounded up",
    "price": "price on the list",
    "net": "before tax",
    "worst margin": "margin, dearest quantity",
    "typical margin": "margin, usual quantity",
    "verdict": "verdict",
}
"""The columns in their order, but for those of the elements, which stand before their sums."""


def _columns(elements: int) -> dict[str, int | range]:
    """Where each column stands; of the elements' columns, the range."""
    at, fields = 0, {}
    for key in _HEADS:
        if key.endswith(" cost"):
            fields[f"{key}s"] = range(at, at + elements)
            at += elements
        fields[key] = at
        at += 1
    return fields


def _costs_by_element(audit: Audit) -> dict[Element, object]:
    """Costs of whole orders under the cells, by element; money, `[band, quantity]`."""
    sheet, apart = audit.basis.sheet, audit.basis.shop.pricing.setup_apart
    lines = [line for line in sheet.lines if not (apart and line.level is Level.DESIGN)]
    found = {line.element for line in lines}
    return {
        element: sheet.total(line for line in lines if line.element is element)
        for element in Element
        if element in found
    }


_HOLDS = "holds"


def _verdict(cell: dict[str, str], rules: _Rules) -> str:
    worst, typical = cell["worst margin"], cell["typical margin"]
    below_cost, below_floor, under_target = (trouble.value for trouble in LOSING)
    return (
        f'IF({worst}<-{_NOISE},"{below_cost}",'
        f'IF({worst}<{rules["floor"]}-{_NOISE},"{below_floor}",'
        f'IF({typical}<{rules["target"]}-{_NOISE},"{under_target}","{_HOLDS}")))'
    )


def _verdict_now(audit: Audit, band: int, tier: int) -> str:
    for found in audit.findings:
        if found.trouble in LOSING and (found.band, found.tier) == (band, tier):
            return found.trouble.value
    return _HOLDS


def _write_list(page: Page, audit: Audit) -> None:
    """The list as it is printed, and under it the verdict on every price."""
    price_list = audit.price_list
    bands, tiers = price_list.prices.shape
    fields = _columns(len(_costs_by_element(audit)))
    verdicts = [[_verdict_now(audit, b, t) for t in range(tiers)] for b in range(bands)]
    worst, typical = audit.worst_margin.tolist(), audit.typical_margin.tolist()
    tables = (
        ("Price of one piece", "price", page.look.money, price_list.prices.tolist()),
        ("Verdict", "verdict", "General", verdicts),
        ("Margin at the dearest quantity", "worst margin", "0.0%", worst),
        ("Margin at the usual quantity", "typical margin", "0.0%", typical),
    )
    row = 2
    for title, key, form, table in tables:
        page.text(row, 0, title, **HEAD)
        for tier in range(tiers):
            label = wording.tier_label(price_list, tier)
            page.text(row, 1 + tier, label, align="right", **HEAD)
        for band, values in enumerate(table):
            page.text(row + 1 + band, 0, wording.size_label(price_list, band))
            for tier, value in enumerate(values):
                there = f"{CELLS}!{xl_col_to_name(fields[key])}{_TOP + band * tiers + tier + 1}"
                page.formula(row + 1 + band, 1 + tier, there, value, form, align="right")
        if key == "verdict":
            lost = page.look.book.add_format({"bold": True, "italic": True, "bg_color": "#f3d9cf"})
            unlike = {"type": "cell", "criteria": "!=", "value": f'"{_HOLDS}"', "format": lost}
            page.sheet.conditional_format(row + 1, 1, row + bands, tiers, unlike)
        row += bands + 2
    page.sheet.set_column(0, 0, 30)
    page.sheet.set_column(1, tiers, 13)
