"""Finished jobs against the second clerk: what was really spoiled, and rows that are one order.

Origin of every expected figure: `oracle`, which works the costing rules in exact fractions.
"""

from dataclasses import replace
from math import isclose

import numpy as np
import pytest
from example_shops import VINYL, a_blank, a_shop
from hypothesis import given, settings
from hypothesis import strategies as st
from oracle import Art, CannotBeMade, Taken, check_possible, cost, exact
from small_jobs import jobs_of
from strategies import TODAY, Case, cases

from pricelab.jobs.judging import judge
from pricelab.shop.work import Rates

EVERY = settings(derandomize=True, deadline=None, database=None)
WIDTHS = st.sampled_from([2.0, 2.5, 60.0, 64.5])


def job_of(case: Case, width: float, rows, **noted):
    """A job by the first method on today's date, a row for each blank and quantity; or None.

    And its artwork, for the oracle, which is None where it cannot be made.
    """
    shop, method = case.shop, case.decorations[0][0]
    height = 1.5 if shop.unit == "in" else 40.0
    art = Art(exact(width), exact(height), shop.unit)
    try:
        for blank, _ in rows:
            check_possible(blank, method, art)
    except CannotBeMade:
        return None, None
    same = {"job": "1", "method": method.key, "width": width, "height": height, "charged": 3000.0}
    same |= {"order": "first" if case.first else "repeat", "date": np.datetime64(TODAY, "s")}
    same |= {"set-up charged": 0.0, **noted}
    said = [
        same | {"blank": blank.key, "quantity": quantity, "price each": 3000 / quantity}
        for blank, quantity in rows
    ]
    return jobs_of(*said), art


@settings(EVERY, max_examples=200)
@given(cases(), st.integers(0, 30), WIDTHS)
def test_a_job_pays_for_what_was_spoiled_beyond_its_surplus(case, spoiled, width):
    """What was not noted, minutes and bags, stays as estimated; material follows the pieces.

    The clerk takes the expected pieces' material out and puts the spoiled ones' in: a share of
    s / (q + s) of the pieces started leaves q good ones.
    """
    shop, method, blank = case.shop, case.decorations[0][0], case.pieces[0][0]
    quantity = case.pieces[0][1][0]
    job, art = job_of(case, width, [(blank, quantity)], **{"spoiled pieces": spoiled})
    if job is None:
        return

    def full(at, by):
        return cost(at, [(blank, quantity)], [(by, art)], first=case.first, on=TODAY).full

    idle = replace(shop, rates=Rates(0))
    bare = replace(method, charges=())
    really = replace(bare, spoilage=spoiled / (quantity + spoiled))
    spent = full(shop, method) - full(idle, bare) + full(idle, really)
    taken = Taken.of(shop, method)
    expected = 3000 - taken.share * 3000 - taken.fixed - spent
    assert isclose(judge(shop, job)["profit"].item(), expected, rel_tol=1e-9, abs_tol=1e-8)


@settings(EVERY, max_examples=200)
@given(cases(), WIDTHS, st.booleans())
def test_the_rows_of_a_job_are_one_order_of_pieces_of_their_own(case, width, alike):
    """One freight, one set-up, one break for all; also where two rows are alike."""
    rows = [(blank, counts[0]) for blank, counts in case.pieces]
    if alike or len(rows) == 1:
        rows.append(rows[0])
    jobs, art = job_of(case, width, rows)
    if jobs is None:
        return
    shop, method = case.shop, case.decorations[0][0]
    spent = cost(shop, rows, [(method, art)], first=case.first, on=TODAY).full
    taken, revenue = Taken.of(shop, method), 3000 * len(rows)
    expected = revenue - taken.share * revenue - taken.fixed - spent
    found = judge(shop, jobs)["profit"]
    assert len(found) == len(rows)
    assert isclose(found.sum(), expected, rel_tol=1e-9, abs_tol=1e-8)


def test_a_piece_of_vinyl_spoiled_against_all_expectation_takes_its_share_of_a_row():
    """By hand: 12 of 2 × 2 in two rows of 2.25 at 10 cents, .45; one more, a sixth of .225: .0375.

    And a cap of 4.00, so 4.0375 more than without it.
    """
    vinyl = replace(VINYL, spoilage=0.0, operations=())
    shop = a_shop(vinyl, blanks=(a_blank(prices=(4.0,)),))
    plain = {"job": "1", "method": "vinyl", "quantity": 12, "charged": 100.0}
    earned = [
        judge(shop, jobs_of({**plain, "spoiled pieces": lost}))["profit"].item() for lost in (0, 1)
    ]
    assert earned == pytest.approx([100 - 12 * 4.0 - 0.45, 100 - 12 * 4.0 - 0.45 - 4.0375])
