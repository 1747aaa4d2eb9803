"""Finished jobs of the small shop, as frames."""

import numpy as np
import pandas as pd

from pricelab.files.jobs import TYPES


def jobs_of(*rows: dict) -> pd.DataFrame:
    """Jobs of the small shop: 20 first caps with a patch of 2 × 2 in, unless told otherwise."""
    plain = {
        "job": "1", "date": np.datetime64("2026-03-02", "s"), "client": "A", "method": "patch",
        "blank": "cap", "width": 2.0, "height": 2.0, "quantity": 20, "order": "first",
        "price each": 12.40, "set-up charged": 54.55, "charged": 302.55,
        "attended minutes": None, "machine minutes": None, "spoiled pieces": None,
        "freight paid": None, "set-up paid": None, "same pieces": "",
    }  # fmt: skip
    full = [{**plain, "job": str(at), **row} for at, row in enumerate(rows, 1)]
    return pd.DataFrame(full)[list(TYPES)].astype(TYPES)
