"""The price list as a workbook for the client, with a sheet that works out an order.

It is made from a `ClientCopy`, so there is no cost in it, in no cell and in no hidden place.
"""

from functools import partial

from xlsxwriter.utility import xl_range_abs

from pricelab.cost.price import charge_order
from pricelab.paper.client_copy import SIZE_HEADING, TIER_HEADING, ClientCopy
from pricelab.paper.workbook import HEAD, INPUT, Look, Page, round_half_up_formula, workbook

LIST, ORDER = "Price list", "Your order"

_TIERS, _FROM, _FIRST = 6, 7, 8  # rows of the list: tier labels, their first quantities, prices


def list_xlsx(copy: ClientCopy) -> bytes:
    """The client's workbook."""

    def write(book):
        look = Look(book, copy.head.decimals)
        setup, tax = _write_list(look.page(LIST, copy.head.shop), copy)
        _write_order(look.page(ORDER, f"{copy.head.shop}: {copy.title}"), copy, setup, tax)

    return workbook(f"{copy.head.shop}: {copy.title}", copy.head.on, write)


def _write_list(page: Page, copy: ClientCopy) -> tuple[str, str]:
    """Write the list; the addresses of its set-up and of its tax rate."""
    price_list, money = copy.price_list, page.look.money
    bands, tiers = price_list.prices.shape
    page.put(1, 0, copy.method, bold=True, font_size=12)
    page.put(2, 0, copy.blank, italic=True, font_size=12)
    page.put(3, 0, copy.priced_in)
    page.put(_TIERS - 1, 1, TIER_HEADING)
    page.put(_TIERS, 0, SIZE_HEADING, **HEAD)
    page.put(_FROM, 0, "from", italic=True)
    for tier, (label, start) in enumerate(zip(copy.tiers, price_list.starts, strict=True), 1):
        page.put(_TIERS, tier, label, align="right", **HEAD)
        page.put(_FROM, tier, int(start), "0", italic=True)
    for row, (label, prices) in enumerate(zip(copy.sizes, price_list.prices, strict=True), _FIRST):
        page.put(row, 0, label)
        for column, price in enumerate(prices.tolist(), 1):
            page.put(row, column, price, money)
    row = _FIRST + bands + 1
    page.put(row, 0, "Set-up of an artwork")
    page.put(row, 1, price_list.setup or 0.0, money)
    page.put(row + 1, 0, price_list.tax.name)
    page.put(row + 1, 1, price_list.tax.rate, "0.###%")
    lines = [*copy.notes, *copy.hints, *copy.cautions, copy.head.notice]
    page.lines(row + 3, [line for line in lines if line], over=tiers + 1)
    page.sheet.set_column(0, 0, 26)
    page.sheet.set_column(1, tiers, 10)
    page.sheet.freeze_panes(_FIRST, 1)
    _on_one_page(page.sheet, copy, landscape=tiers > 7)
    return f"'{LIST}'!$B${row + 1}", f"'{LIST}'!$B${row + 2}"


def _write_order(page: Page, copy: ClientCopy, setup: str, tax: str) -> None:
    price_list, decimals = copy.price_list, copy.head.decimals
    bands, tiers = price_list.prices.shape
    rounded = partial(round_half_up_formula, decimals=decimals)
    first, last = int(price_list.starts[0]), price_list.last
    labels = _there(_FIRST, 0, _FIRST + bands - 1, 0)
    starts = _there(_FROM, 1, _FROM, tiers)
    prices = _there(_FIRST, 1, _FIRST + bands - 1, tiers)
    once = price_list.setup or 0.0
    charged = charge_order(first, price_list.prices[0, 0], once, price_list.tax, decimals)
    refused = f"The list offers {first} to {last} pieces."

    page.put(1, 0, "Choose in the framed cells; the rest is worked out.")
    page.put(3, 0, SIZE_HEADING)
    page.put(3, 1, copy.sizes[0], **INPUT)
    page.sheet.data_validation("B4", {"validate": "list", "source": f"={labels}"})
    page.put(4, 0, TIER_HEADING)
    page.put(4, 1, first, "#,##0", **INPUT)
    between = {"criteria": "between", "minimum": first, "maximum": last}
    answer = {"error_title": TIER_HEADING, "error_message": refused}
    page.sheet.data_validation("B5", {"validate": "integer", **between, **answer})
    page.put(5, 0, "First order of this artwork (yes or no)")
    page.put(5, 1, "yes", **INPUT)
    page.sheet.data_validation("B6", {"validate": "list", "source": ["yes", "no"]})

    whole = f"IF(ISNUMBER($B$5),AND($B$5=INT($B$5),$B$5>={first},$B$5<={last}),FALSE)"
    page.put(6, 1, "", formula=f'IF({whole},"","{refused}")', bold=True)
    tier, band = f"MATCH($B$5,{starts},1)", f"MATCH($B$4,{labels},0)"
    sum_, rate = "($B$9+$B$10)", tax
    if price_list.tax.included:
        due = rounded(f"{sum_}-{sum_}/(1+{rate})")
        total_label, payable = "Total, tax included", "$B$11"
    else:
        due = rounded(f"{sum_}*{rate}")
        total_label, payable = "Sum before tax", "$B$11+$B$12"
    rows = (
        ("Price of one piece", rounded(f"INDEX({prices},{band},{tier})"), charged.each),
        ("The pieces", rounded("$B$8*$B$5"), charged.pieces),
        ("Set-up", f'IF($B$6="yes",{rounded(setup)},0)', charged.setup),
        (total_label, rounded(sum_), charged.total),
        (price_list.tax.name, due, charged.tax_due),
        ("To pay", rounded(payable), charged.payable),
    )
    for row, (label, formula, value) in enumerate(rows, 7):
        style = {"bold": True, "top": 1} if label == "To pay" else {}
        page.put(row, 0, label, **style)
        guarded = f'IF($B$7="",{formula},"")'
        page.put(row, 1, float(value), page.look.money, guarded, **style)
    later, later_bill, more, later_pays = '""', '""', "", ""
    if tiers > 1:
        later = f'IF({tier}<{tiers},INDEX({starts},{tier}+1),"")'
        later_bill = rounded(f"INDEX({prices},{band},{tier}+1)*$B$15")
        more = price_list.starts[1]
        later_pays = float(price_list.prices[0, 1] * more)
    page.put(14, 0, "The list's next quantity, in pieces")
    page.put(14, 1, more, "#,##0", f'IF($B$7="",{later},"")')
    page.put(15, 0, "So many pieces would cost")
    guarded = f'IF($B$7="",IF($B$15="","",{later_bill}),"")'
    page.put(15, 1, later_pays, page.look.money, guarded)
    page.lines(17, [copy.head.validity, copy.head.tax_note], over=2)
    page.sheet.set_column(0, 0, 40)
    page.sheet.set_column(1, 1, 30)
    _on_one_page(page.sheet, copy)


def _there(*corners: int) -> str:
    return f"'{LIST}'!{xl_range_abs(*corners)}"


def _on_one_page(sheet, copy: ClientCopy, *, landscape: bool = False) -> None:
    sheet.set_paper(1 if copy.head.paper == "us-letter" else 9)
    if landscape:
        sheet.set_landscape()
    sheet.fit_to_pages(1, 1)
    sheet.hide_gridlines(2)
