"""Checks that every kind of value shares: quantities, shares, amounts, what rises.

A check answers what it was given, or raises a `PricelabError` that says what was found and
what was expected.
"""

import numpy as np

from pricelab.shop.errors import PricelabError


def check_quantity(quantity):
    """`quantity` as whole numbers from 1 (scalar or array), or an error that says which is not."""
    array = np.asarray(quantity)
    if not np.issubdtype(array.dtype, np.integer):
        whole = np.isfinite(array) & (array == np.floor(array)) if array.dtype.kind == "f" else None
        if whole is None or not whole.all():
            bad = quantity if whole is None else np.atleast_1d(array)[~np.atleast_1d(whole)][0]
            raise PricelabError(f"found a quantity of {bad}, expected a whole number of pieces.")
        array = array.astype(np.int64)
    if array.size and array.min() < 1:
        raise PricelabError(f"found a quantity of {array.min()}, expected 1 piece or more.")
    return array


def check_share(share: float, what: str) -> float:
    """`share` as a fraction from 0 to under 1, or an error naming `what`."""
    if not 0 <= share < 1:
        raise PricelabError(f"found {what} of {share:g}, expected a share from 0 to under 1.")
    return share


def check_not_negative(value: float, what: str) -> float:
    """`value` as 0 or more and finite, or an error naming `what`."""
    if not 0 <= value < float("inf"):
        raise PricelabError(f"found {what} of {value:g}, expected 0 or more.")
    return value


def check_batch(batch: int, name: str) -> int:
    """`batch` as a whole number of pieces, or an error naming whose it is."""
    if batch < 1 or batch != int(batch):
        raise PricelabError(
            f'found a batch of {batch:g} for "{name}", expected a whole number of pieces from 1.'
        )
    return batch


def check_service_level(level: float) -> float:
    """`level` as a chance between 0 and 1, both left out."""
    if not 0 < level < 1:
        raise PricelabError(
            f"found a service level of {level:g}, expected a share between 0 and 1."
        )
    return level


def rising_counts(values: np.ndarray) -> bool:
    """Whether `values` are whole numbers from 1, each more than the one before."""
    whole = np.issubdtype(values.dtype, np.integer)
    return bool(whole and values.size and values[0] >= 1 and (np.diff(values) > 0).all())


def rising_sizes(values: np.ndarray) -> bool:
    """Whether `values` are above 0, each more than the one before."""
    return bool(values.size and values[0] > 0 and (np.diff(values) > 0).all())


def in_a_row(values: np.ndarray) -> str:
    """Values as a sentence names them: ``1, 2.5, 4``."""
    return ", ".join(f"{x:g}" if isinstance(x, float) else str(x) for x in values.tolist())
