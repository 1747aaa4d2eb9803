"""Estimates of finished jobs: by hand from the small shop, and against a loop over cost sheets."""

import numpy as np
import pytest
from example_shops import a_blank, a_patch, a_shop
from small_jobs import jobs_of
from smallshop import with_setting, write_shop

from pricelab.cost.cost_sheet import OPERATOR
from pricelab.cost.costing import cost_sheet
from pricelab.cost.orders import Order
from pricelab.files.folders import DEMO_SHOP, ROOT
from pricelab.files.shop_folder import read_shop
from pricelab.jobs.estimates import estimate_jobs
from pricelab.shop.method import Promotion
from pricelab.shop.sizes import Artwork
from pricelab.shop.work import Rates


@pytest.fixture
def small(tmp_path):
    """The small shop: what a piece costs stands in `smallshop`."""
    return read_shop(write_shop(tmp_path / "shop"))


def test_a_first_job_of_twenty_by_hand(small):
    """20 caps at 4.00 and patches at 2.00 are 120.00; 20 minutes; freight 6.00 and set-up 30."""
    found = estimate_jobs(small.shop, jobs_of({}), small.price_lists).iloc[0]
    assert found["material"] == pytest.approx(120.00)
    assert found["spoiled"] == 0
    assert found["spoiled cost"] == pytest.approx(6.00)
    assert found["minutes"] == pytest.approx(20)
    assert found["machine minutes"] == found["busiest minutes"] == 0
    assert found["overhead"] == 0
    assert found["other"] == pytest.approx(36.00)
    assert (found["freight"], found["set-up cost"]) == pytest.approx((6.00, 30.00))
    assert (found["fee share"], found["fixed fee"]) == (0.05, 0.30)
    assert found["reason"] == ""


def test_a_job_is_asked_for_what_its_cell_of_the_list_says(small):
    """price_list.csv asks 9.90 from 12 caps at 2 in, in its second row; set-up 30/0.55 = 54.55."""
    found = estimate_jobs(small.shop, jobs_of({}), small.price_lists).iloc[0]
    assert found["price"] == 9.90
    assert found["set-up"] == 54.55
    assert (found["size band"], found["tier"]) == (2.0, 12)
    assert found["place"] == 'price_list.csv, row 2, column "12"'


def test_jobs_side_by_side_open_each_to_its_own_cell(small):
    """price_list.csv: row 3 is the band to 3 in, the mean of 4 and 2; tiers from 1, 12 and 24."""
    rows = {"quantity": 24}, {"width": 4.0, "quantity": 12}, {"width": 4.0, "quantity": 1}
    found = estimate_jobs(small.shop, jobs_of(*rows), small.price_lists)
    assert found["place"].tolist() == [
        f'price_list.csv, row {row}, column "{tier}"' for row, tier in ((2, 24), (3, 12), (3, 1))
    ]


def test_a_repeat_is_asked_for_no_set_up_where_none_repeats(small):
    found = estimate_jobs(small.shop, jobs_of({"order": "repeat"}), small.price_lists).iloc[0]
    assert found["set-up"] == 0
    assert found["other"] == pytest.approx(6.00)


@pytest.mark.parametrize(
    ("width", "quantity", "tier"), [(2.0, 11, 1), (2.0, 12, 12), (2.0, 24, 24), (2.0, 50, 24)]
)
def test_a_quantity_on_the_edge_of_a_tier_belongs_to_it(small, width, quantity, tier):
    job = jobs_of({"width": width, "quantity": quantity})
    assert estimate_jobs(small.shop, job, small.price_lists)["tier"].item() == tier


def test_a_job_on_no_list_is_estimated_at_what_was_charged(small):
    """The list ends at 50 pieces: 60 have no cell, and neither has a job without a list."""
    jobs = jobs_of({"quantity": 60})
    for lists in (small.price_lists, ()):
        found = estimate_jobs(small.shop, jobs, lists).iloc[0]
        assert (found["price"], found["set-up"]) == (12.40, 54.55)
        assert (found["size band"], found["tier"], found["place"]) == (0, 0, "")


def test_what_cannot_be_made_has_a_reason_and_no_figures(small):
    """The panel is 2.5 in high, and the shop knows one method and one blank."""
    jobs = jobs_of({"height": 2.75}, {"method": "paint"}, {"blank": "boot"}, {})
    found = estimate_jobs(small.shop, jobs, small.price_lists)
    assert found["reason"].tolist() == [
        "the panel of Plain cap takes at most 5 × 2.5 in.",
        'the shop has no method "paint" any more.',
        'the shop has no blank "boot" any more.',
        "",
    ]
    assert (found["material"] > 0).tolist() == [False, False, False, True]


def test_a_promotion_lowers_the_cost_of_its_days_and_not_what_is_asked(small):
    """Set-up costs 30, from 2 to 4 March 10; its line is asked at 54.55 on every day."""
    from dataclasses import replace

    days = [np.datetime64(f"2026-03-{day:02}", "s") for day in (1, 2, 4, 5)]
    offer = Promotion(days[1].item().date(), days[2].item().date(), 10.0)
    method = replace(small.shop.methods["patch"], promotions=(offer,))
    shop = replace(small.shop, methods={"patch": method})
    found = estimate_jobs(shop, jobs_of(*({"date": day} for day in days)), small.price_lists)
    assert found["other"].tolist() == pytest.approx([36, 16, 16, 36])
    assert found["set-up"].tolist() == [54.55] * 4


def test_prices_with_tax_in_them_are_taken_without_it(tmp_path):
    """9.90 with 10 % in it is 9.00 before tax; set-up is shown at 54.545 × 1.10 = 60.00."""
    folder = write_shop(tmp_path / "shop", shop=with_setting("prices include tax", "yes"))
    read = read_shop(folder)
    found = estimate_jobs(read.shop, jobs_of({}), read.price_lists)
    assert found["price"].item() == pytest.approx(9.00)
    assert found["set-up"].item() == pytest.approx(60.00 / 1.10)


def test_a_job_of_fewer_pieces_than_the_list_begins_with_is_on_no_list(tmp_path):
    """The list begins with 12 pieces; 11 were charged 12.40 each."""
    text = "method,blank,size,12,24\npatch,cap,2,9.90,10.50\npatch,cap,3,13.00,7.00\n"
    read = read_shop(write_shop(tmp_path / "shop", price_list=text))
    jobs = jobs_of({"quantity": 11}, {"quantity": 12})
    found = estimate_jobs(read.shop, jobs, read.price_lists)
    assert found["tier"].tolist() == [0, 12]
    assert found["price"].tolist() == [12.40, 9.90]


def test_a_spoiled_piece_takes_blank_and_patch_again():
    """20 % spoiled: 8 good pieces need 2 more, each a cap at 4.00 and a patch at 2.00."""
    shop = a_shop(a_patch(spoilage=0.2), blanks=(a_blank(),), rates=Rates(0))
    found = estimate_jobs(shop, jobs_of({"quantity": 8})).iloc[0]
    assert found["spoiled"] == pytest.approx(2)
    assert found["spoiled cost"] == pytest.approx(6.00)
    assert found["material"] == pytest.approx(10 * 6.00)


def test_no_jobs_give_no_estimates(small):
    found = estimate_jobs(small.shop, jobs_of({}).iloc[:0], small.price_lists)
    assert len(found) == 0
    assert found.dtypes["place"] == "str"


@pytest.mark.parametrize("shop", [DEMO_SHOP, ROOT / "data" / "fjord-muetzen"], ids=lambda p: p.name)
def test_all_at_once_is_as_one_by_one(shop):
    """An oracle by a plain loop: a cost sheet and a look-up in the list for every job."""
    folder = read_shop(shop)
    shop, jobs = folder.shop, folder.jobs
    found = estimate_jobs(shop, jobs, folder.price_lists)
    assert (found["reason"] == "").all()
    lists = {(one.method, one.blank): one for one in folder.price_lists}
    for at, job in zip(found.itertuples(index=False), jobs.to_dict("records"), strict=True):
        method, blank = shop.methods[job["method"]], shop.blanks[job["blank"]]
        artwork = Artwork(job["width"], job["height"], shop.unit)
        sheet = cost_sheet(
            shop,
            Order.of(blank, job["quantity"], method, artwork,
                     first=job["order"] == "first", on=job["date"].date()),
        )  # fmt: skip
        estimate = dict(zip(found.columns, at, strict=True))
        labour = sheet.minutes[OPERATOR] * shop.rates.labour / 60
        parts = estimate["material"] + estimate["overhead"] + estimate["other"]
        assert parts + labour == pytest.approx(sheet.full, rel=1e-12)
        stations = [spent for who, spent in sheet.minutes.items() if who != OPERATOR]
        assert estimate["machine minutes"] == pytest.approx(sum(stations), rel=1e-12)
        listed = lists.get((method.key, blank.key))
        if listed is None or not listed.starts[0] <= job["quantity"] <= listed.last:
            assert estimate["price"] == job["price each"]
        elif listed.measure.value == "mean of sides":
            size = (job["width"] + job["height"]) / 2
            if size <= listed.sizes[-1]:
                shown = listed.price(size, job["quantity"])
                assert estimate["price"] == pytest.approx(listed.tax.net(shown))
