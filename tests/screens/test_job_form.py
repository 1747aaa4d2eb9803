"""The entries of a job: what was recorded comes back as it was, whatever it was."""

from datetime import date

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_jobs import jobs_of
from smallshop import ON, write_shop

from pricelab.files.shop_folder import read_shop
from pricelab.screens.job_form import JobForm
from pricelab.shop.errors import PricelabError


@pytest.fixture(scope="module")
def form(tmp_path_factory):
    """The entries for a job of the small shop."""
    return JobForm(read_shop(write_shop(tmp_path_factory.mktemp("small"))).shop, ON)


money = st.integers(0, 10**9).map(lambda parts: parts / 10_000)
minutes = st.none() | st.integers(0, 10**9).map(lambda parts: parts / 1000)
sides = st.floats(0.01, 100)


@settings(max_examples=25, deadline=None)
@given(st.fixed_dictionaries({
    "date": st.dates(date(2000, 1, 1), date(2099, 12, 31)).map(lambda x: np.datetime64(x, "s")),
    "width": sides, "height": sides, "quantity": st.integers(1, 100_000),
    "order": st.sampled_from(["first", "repeat"]), "price each": money, "set-up charged": money,
    "charged": money, "attended minutes": minutes, "machine minutes": minutes,
    "spoiled pieces": st.none() | st.integers(0, 9999), "freight paid": st.none() | money,
    "set-up paid": st.none() | money,
}))  # fmt: skip
def test_a_job_put_in_is_read_as_it_was(form, told):
    """To the last bit; what was not noted is not noted, and no entry is answered."""
    was = jobs_of(told).assign(quote="")
    paid = {name: pd.array([12.34], "Float64") for name in ("materials paid", "labour rate")}
    was = was.assign(**paid)
    form.fill(was.iloc[0])
    now = form.read(was.iloc[0])
    pd.testing.assert_frame_equal(now, was[now.columns].reset_index(drop=True), check_exact=True)


def test_what_pieces_and_set_up_make_is_not_typed_again(form):
    """20 × 12.40 + 54.55 = 302.55; a job charged 300.00 for all of it keeps that."""
    form.fill(jobs_of({"charged": 302.55}).iloc[0])
    assert form["charged"].widget.value == ""
    form.fill(jobs_of({"charged": 300.00}).iloc[0])
    assert form["charged"].widget.value == "300"


def test_a_sum_with_more_digits_than_money_has_is_rounded(form):
    """3 × 1.10 is 3.3000000000000003 to a computer, and 3.30 to everybody else."""
    form.fill(jobs_of({"quantity": 3, "price each": 1.10, "set-up charged": 0}).iloc[0])
    form["charged"].set("")
    assert form.read()["charged"].item() == 3.30


def test_a_job_of_a_method_the_shop_has_no_more_is_not_put_in(form):
    """In a sentence."""
    said = r'^job 1 has the method "paint", which your files have no more\. Put it back there, then'
    with pytest.raises(PricelabError, match=said):
        form.fill(jobs_of({"method": "paint"}).iloc[0])
