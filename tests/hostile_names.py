"""A shop whose every name is markup, a formula or a command."""

import re
from itertools import count

from fuzzing.targets import write_shop

from pricelab.files.shop_folder import read_shop

NAMES = {
    "script": "<script>alert(1)</script>",
    "image": "<img src=x onerror=alert(1)>",
    "entity": "&lt;b&gt; ]]> <!--",
    "typesetter": '#read("/etc/passwd") *bold* @ref \\',
    "maths": r"$\frac{1}{0}$ $x_1$",
    "markdown": "[a](javascript:alert(1)) **b** `c`",
    "formula": "=cmd|'/c calc'!A1",
    "sum": "@SUM(1+1)*cmd",
}
NAMED = (
    "Corner Caps|Twill cap|Mesh cap|six panels|wash cold|Leather patch|Cut vinyl|Flat embroidery|"
    "wipe clean|take the order|carton|card fee|cover sheet|Old Lantern|Two Herons|cap press"
)


def hostile_shop(folder, name: str):
    """The small shop of the fuzzing with `name` for everything that has a name."""
    quoted = '"' + name.replace('"', '""') + '"'
    write_shop(folder)
    number = count(1)
    for path in folder.glob("*.csv"):
        text = re.sub(NAMED, lambda _: f'{quoted[:-1]} {next(number)}"', path.read_text("utf-8"))
        path.write_text(text, "utf-8")
    with (folder / "shop.csv").open("a") as shop:
        shop.write(f"conditions,{quoted},\nnotice,{quoted},\n")
    return read_shop(folder)
