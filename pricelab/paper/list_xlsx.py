"""The price list as a workbook for the client, with a sheet that works out an order.

It is made from a `ClientCopy`, so there is no cost in it, in no cell and in no hidden place.
"""

from functools import partial

from xlsxwriter.utility import xl_range_abs

from pricelab.cost.price import charge_order
from pricelab.paper.client_copy import ClientCopy
from pricelab.paper.workbook import (
    Look,
    round_half_up_formula,
    workbook,
    write_lines,
    write_text,
    write_title,
)

LIST, ORDER = "Price list", "Your order"

_TIERS, _FROM, _FIRST = 6, 7, 8  # rows of the list: tier labels, their first quantities, prices


def list_xlsx(copy: ClientCopy) -> bytes:
    """The client's workbook."""

    def write(book):
        look = Look(book, copy.head.decimals)
        setup, tax = _write_list(book.add_worksheet(LIST), look, copy)
        _write_order(book.add_worksheet(ORDER), look, copy, setup, tax)

    return workbook(f"{copy.head.shop}: {copy.title}", copy.head.on, write)


def _write_list(sheet, look: Look, copy: ClientCopy) -> tuple[str, str]:
    """Write the list; the addresses of its set-up and of its tax rate."""
    price_list = copy.price_list
    bands, tiers = price_list.prices.shape
    write_title(sheet, 0, copy.head.shop, look)
    write_text(sheet, 1, 0, copy.method, look.of(bold=True, font_size=12))
    write_text(sheet, 2, 0, copy.blank, look.of(italic=True, font_size=12))
    write_text(sheet, 3, 0, copy.priced_in, look.of())
    write_text(sheet, _TIERS - 1, 1, copy.tier_heading, look.of())
    write_text(sheet, _TIERS, 0, copy.size_heading, look.head())
    write_text(sheet, _FROM, 0, "from", look.of(italic=True))
    for tier in range(tiers):
        write_text(sheet, _TIERS, 1 + tier, copy.tiers[tier], look.head(align="right"))
        sheet.write_number(_FROM, 1 + tier, int(price_list.starts[tier]), look.of("0", italic=True))
    for band in range(bands):
        write_text(sheet, _FIRST + band, 0, copy.sizes[band], look.of())
        for tier in range(tiers):
            price = float(price_list.prices[band, tier])
            sheet.write_number(_FIRST + band, 1 + tier, price, look.of(look.money))
    row = _FIRST + bands + 1
    write_text(sheet, row, 0, "Set-up of an artwork", look.of())
    sheet.write_number(row, 1, price_list.setup or 0.0, look.of(look.money))
    write_text(sheet, row + 1, 0, price_list.tax.name, look.of())
    sheet.write_number(row + 1, 1, price_list.tax.rate, look.of("0.###%"))
    lines = [*copy.notes, *copy.hints, *copy.cautions, copy.head.notice]
    write_lines(sheet, row + 3, [x for x in lines if x], look.of(text_wrap=True), over=tiers + 1)
    sheet.set_column(0, 0, 26)
    sheet.set_column(1, tiers, 10)
    sheet.freeze_panes(_FIRST, 1)
    _on_one_page(sheet, copy, landscape=tiers > 7)
    return f"'{LIST}'!$B${row + 1}", f"'{LIST}'!$B${row + 2}"


def _write_order(sheet, look: Look, copy: ClientCopy, setup: str, tax: str) -> None:
    price_list, decimals = copy.price_list, copy.head.decimals
    bands, tiers = price_list.prices.shape
    rounded = partial(round_half_up_formula, decimals=decimals)
    first, last = int(price_list.starts[0]), price_list.last
    labels = _there(_FIRST, 0, _FIRST + bands - 1, 0)
    starts = _there(_FROM, 1, _FROM, tiers)
    prices = _there(_FIRST, 1, _FIRST + bands - 1, tiers)
    write_title(sheet, 0, f"{copy.head.shop}: {copy.title}", look)
    write_text(sheet, 1, 0, "Choose in the framed cells; the rest is worked out.", look.of())

    pieces, at = first, 0
    charged = charge_order(
        pieces, price_list.prices[0, at], price_list.setup or 0.0, price_list.tax, decimals
    )
    write_text(sheet, 3, 0, copy.size_heading, look.of())
    write_text(sheet, 3, 1, copy.sizes[0], look.input())
    sheet.data_validation(3, 1, 3, 1, {"validate": "list", "source": f"={labels}"})
    write_text(sheet, 4, 0, copy.tier_heading, look.of())
    sheet.write_number(4, 1, pieces, look.input("#,##0"))
    write_text(sheet, 5, 0, "First order of this artwork (yes or no)", look.of())
    write_text(sheet, 5, 1, "yes", look.input())
    sheet.data_validation(5, 1, 5, 1, {"validate": "list", "source": ["yes", "no"]})
    sheet.data_validation(
        4,
        1,
        4,
        1,
        {
            "validate": "integer",
            "criteria": "between",
            "minimum": first,
            "maximum": last,
            "error_title": "Number of pieces",
            "error_message": f"The list offers {first} to {last} pieces.",
        },
    )

    whole = f"IF(ISNUMBER($B$5),AND($B$5=INT($B$5),$B$5>={first},$B$5<={last}),FALSE)"
    refused = f"The list offers {first} to {last} pieces."
    sheet.write_formula(6, 1, f'=IF({whole},"","{refused}")', look.of(bold=True), "")
    tier, band = f"MATCH($B$5,{starts},1)", f"MATCH($B$4,{labels},0)"
    sum_, rate = "($B$9+$B$10)", tax
    if price_list.tax.included:
        due = rounded(f"{sum_}-{sum_}/(1+{rate})")
        total_label, payable = "Total, tax included", "$B$11"
    else:
        due = rounded(f"{sum_}*{rate}")
        total_label, payable = "Sum before tax", "$B$11+$B$12"
    more = price_list.starts[1] if tiers > 1 else ""
    later = f'IF({tier}<{tiers},INDEX({starts},{tier}+1),"")' if tiers > 1 else '""'
    later_bill = rounded(f"INDEX({prices},{band},{tier}+1)*$B$15") if tiers > 1 else '""'
    later_pays = float(price_list.prices[0, 1] * more) if tiers > 1 else ""
    rows = (
        ("Price of one piece", rounded(f"INDEX({prices},{band},{tier})"), charged.each),
        ("The pieces", rounded("$B$8*$B$5"), charged.pieces),
        ("Set-up", f'IF($B$6="yes",{rounded(setup)},0)', charged.setup),
        (total_label, rounded(sum_), charged.total),
        (f"{price_list.tax.name}", due, charged.tax_due),
        ("To pay", rounded(payable), charged.payable),
    )
    for row, (label, formula, value) in enumerate(rows, 7):
        style = {"bold": True, "top": 1} if label == "To pay" else {}
        write_text(sheet, row, 0, label, look.of(**style))
        style = look.of(look.money, **style)
        sheet.write_formula(row, 1, f'=IF($B$7="",{formula},"")', style, float(value))
    write_text(sheet, 14, 0, "The list's next quantity, in pieces", look.of())
    sheet.write_formula(14, 1, f'=IF($B$7="",{later},"")', look.of("#,##0"), more)
    write_text(sheet, 15, 0, "So many pieces would cost", look.of())
    guarded = f'=IF($B$7="",IF($B$15="","",{later_bill}),"")'
    sheet.write_formula(15, 1, guarded, look.of(look.money), later_pays)
    write_lines(
        sheet, 17, [copy.head.validity, copy.head.tax_note], look.of(text_wrap=True), over=2
    )
    sheet.set_column(0, 0, 40)
    sheet.set_column(1, 1, 30)
    _on_one_page(sheet, copy)


def _there(*corners: int) -> str:
    return f"'{LIST}'!{xl_range_abs(*corners)}"


def _on_one_page(sheet, copy: ClientCopy, *, landscape: bool = False) -> None:
    sheet.set_paper(1 if copy.head.paper == "us-letter" else 9)
    if landscape:
        sheet.set_landscape()
    sheet.fit_to_pages(1, 1)
    sheet.hide_gridlines(2)
