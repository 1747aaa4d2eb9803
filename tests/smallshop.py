"""A shop small enough to price by hand, as a folder and as values.

One method on one blank. What a piece costs, with its share of an order's charges and of
the fixed fee, at a size of 2 in (at 3 in it is 1.00 more throughout):

    quantity  blank  patch  labour  freight   fee     in all
        1      4.00   3.00    0.50    6.00   0.30    13.80
       12      4.00   3.00    0.50    0.50   0.025    8.025
       20      4.00   2.00    0.50    0.30   0.015    6.815
       24      3.00   2.00    0.50    0.25   0.0125   5.7625

A pressing minute at 30 an hour is 0.50. Fees take 5 % of the money, so a price is the cost
over 0.55 for the target margin of 40 % and over 0.75 for the floor of 20 %. The usual
orders are of 20 pieces. Prices, rounded up to 0.05:

    pieces   judged by                                      2 in     3 in
      1–11   1:  13.80/0.55 = 25.091, 14.80/0.55 = 26.909  25.10    26.95
     12–23   20: 6.815/0.55 = 12.391, 7.815/0.55 = 14.209  12.40    14.25
             (12: 8.025/0.75 = 10.70, 9.025/0.75 = 12.03)
     24–50   24: 5.7625/0.55 = 10.477, 6.7625/0.55 = 12.295  10.50  12.30

Set-up: 30/0.55 = 54.545, so 54.55.
"""

from datetime import date
from pathlib import Path

ON = date(2026, 11, 25)
UNTIL = "25 December 2026"  # 30 days later

FILES = {
    "shop.csv": """\
setting,value
name,Small Shop
notice,Invented for a test.
currency,USD
unit,in
labour rate,30
target margin,40 %
floor margin,20 %
price step,0.05
sales tax,10 %
valid days,30
conditions,Paid on collection.
largest order,50
""",
    "blanks.csv": """\
blank,name,panel width,panel height,care
cap,Plain cap,5,2.5,hand wash
""",
    "blank_prices.csv": "blank,from,price\ncap,1,4.00\ncap,24,3.00\n",
    "methods.csv": """\
method,name,grid,set-up,care
patch,Leather patch,patches,30,wipe clean; not for laundering
""",
    "operations.csv": "method,operation,minutes,per\npatch,pressing,1,piece\n",
    "costs.csv": """\
method,cost,element,level,amount,of
,freight,freight,order,6.00,
,card fee,fees,revenue,5 %,price
,card fee an order,fees,revenue,0.30,
""",
    "grids/patches.csv": "mean of sides (in),1,20\n2,3.00,2.00\n3,4.00,3.00\n",
    "price_list.csv": """\
method,blank,size,1,12,24
patch,cap,2,25.10,9.90,10.50
patch,cap,3,26.95,13.00,7.00
""",
    "jobs.csv": """\
job,date,client,method,blank,width,height,quantity,order,price each,set-up charged,charged
1,2026-03-02,Secret Client,patch,cap,2,2,20,first,12.40,54.55,302.55
2,2026-03-09,Secret Client,patch,cap,2,2,20,repeat,12.40,0,248.00
""",
}

PRICES = [[25.10, 12.40, 10.50], [26.95, 14.25, 12.30]]
"""The list that holds, by the calculation above: sizes 2 and 3 in, tiers from 1, 12 and 24."""

SETUP = 54.55


def write_shop(folder: Path, **changed: str) -> Path:
    """Write the shop's files in `folder`; `changed` holds other texts, by file stem."""
    for name, text in FILES.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        text = changed.get(path.stem, text)
        path.write_text(text, encoding="utf-8")
    return folder


def with_setting(name: str, value: str) -> str:
    """The text of shop.csv with one setting changed or added."""
    lines = [x for x in FILES["shop.csv"].splitlines() if not x.startswith(f"{name},")]
    return "\n".join([*lines, f'{name},"{value}"', ""])
