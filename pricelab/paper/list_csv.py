"""The price list as CSV, in the form of a shop folder's own price_list.csv.

So it can be opened by a spreadsheet, and put in the shop folder as today's list. Remarks
stand in rows that start with ``#``, which readers of that form skip.
"""

from pricelab.paper.client_copy import ClientCopy
from pricelab.paper.safe_text import csv_file, defused, one_line


def list_csv(copy: ClientCopy, mark: str = ".") -> bytes:
    """The client's list as a file of UTF-8 text.

    With the decimal mark "," cells are separated by semicolons, as spreadsheets in much of
    Europe read and save them.
    """
    price_list = copy.price_list

    def figure(value: float, decimals: int | None = None) -> str:
        digits = f"{value:.10g}" if decimals is None else f"{value:.{decimals}f}"
        return digits.replace(".", mark)

    head = [copy.head.shop, copy.title, copy.priced_in, *copy.notes, *copy.hints, *copy.cautions]
    if copy.head.notice:
        head.append(copy.head.notice)
    tiers = [
        f"{start}–{end}" for start, end in zip(price_list.starts, price_list.ends, strict=True)
    ]
    rows = [*([f"# {one_line(line)}"] for line in head), ["method", "blank", "size", *tiers]]
    keys = [defused(price_list.method), defused(price_list.blank)]
    for size, prices in zip(price_list.sizes, price_list.prices, strict=True):
        cells = [figure(price, copy.head.decimals) for price in prices]
        rows.append([*keys, figure(size), *cells])
    return csv_file(rows, ";" if mark == "," else ",")
