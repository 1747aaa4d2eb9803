"""Jobs of several rows: by hand, against the engine's order, and as the counter offers them."""

from collections import defaultdict

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from quoted import inches
from small_jobs import jobs_of
from smallshop import FILES
from strategies import Case, cases
from twoblanks import two_blanks

from pricelab.client.catalogue import catalogue_of
from pricelab.client.offers import Part, Wanted, make_offer
from pricelab.cost.cost_sheet import OPERATOR
from pricelab.cost.costing import cost_sheet
from pricelab.cost.fees import Fees
from pricelab.cost.orders import Decoration, Order, obstacles
from pricelab.cost.spoilage import extra_share
from pricelab.files.shop_folder import read_shop
from pricelab.jobs.estimates import FIGURES, estimate_jobs
from pricelab.shop.sizes import Artwork

TOGETHER = ("material", "minutes", "machine minutes", "busiest minutes", "overhead", "other",
            "fixed fee")  # fmt: skip
"""Figures of an estimate that are money or minutes of the whole order."""


@pytest.fixture(scope="module")
def two(tmp_path_factory):
    """The small shop with a knit at 3.50 beside the cap: see `twoblanks`."""
    return read_shop(two_blanks(tmp_path_factory.mktemp("two") / "shop"))


def test_two_blanks_are_one_order_by_hand(two):
    """12 caps at 4.00 and 12 knits at 3.50; 24 patches at 2.00; freight 6.00 and set-up 30.00
    once, half each; so is the fee of 0.30. The blanks' own break is at 24 of one blank."""
    jobs = jobs_of({"job": "7", "quantity": 12}, {"job": "7", "quantity": 12, "blank": "knit"})
    cap, knit = estimate_jobs(two.shop, jobs, two.price_lists).to_dict("records")
    assert (cap["material"], knit["material"]) == pytest.approx((12 * 6.00, 12 * 5.50))
    assert (cap["other"], knit["other"]) == pytest.approx((18.00, 18.00))
    assert (cap["minutes"], knit["minutes"]) == pytest.approx((12, 12))
    assert (cap["fixed fee"], knit["fixed fee"]) == pytest.approx((0.15, 0.15))
    assert (cap["spoiled cost"], knit["spoiled cost"]) == pytest.approx((6.00, 5.50))


def test_the_list_is_asked_by_the_whole_quantity_as_across_the_counter(two):
    """The offer of 8 caps and 16 knits: each at its own list's tier of 24, the set-up once."""
    jobs = jobs_of({"job": "7", "quantity": 8}, {"job": "7", "quantity": 16, "blank": "knit"})
    found = estimate_jobs(two.shop, jobs, two.price_lists)
    wanted = Wanted("patch", (Part("cap", 8), Part("knit", 16)), inches(2), inches(2))
    offer = make_offer(catalogue_of(two), wanted)
    assert found["price"].tolist() == [line.each for line in offer.lines] == [10.50, 8.00]
    assert found["tier"].tolist() == [24, 24]
    assert found["set-up"].sum() == pytest.approx(offer.setup)
    assert found["set-up"].tolist() == pytest.approx([54.55 / 3, 54.55 * 2 / 3])


def test_the_shop_s_own_work_on_an_artwork_is_in_the_set_up_line(tmp_path):
    """A proof of 11.00 beside the supplier's 30.00: 41.00 / 0.55 = 74.545, shown as 74.55."""
    costs = f"{FILES['costs.csv']},proof,other,design,11.00\n"
    read = read_shop(two_blanks(tmp_path / "shop", costs=costs))
    jobs = jobs_of({"job": "7", "quantity": 8}, {"job": "7", "quantity": 16, "blank": "knit"})
    found = estimate_jobs(read.shop, jobs, read.price_lists)
    assert found["set-up"].sum() == pytest.approx(74.55)
    assert found["other"].sum() == pytest.approx(6.00 + 30.00 + 11.00)


def test_an_order_that_is_not_offered_whole_is_on_no_list(two):
    """The list of the knit ends with its caps at 50 pieces; 30 and 30 are what was charged."""
    jobs = jobs_of({"job": "7", "quantity": 30}, {"job": "7", "quantity": 30, "blank": "knit"})
    found = estimate_jobs(two.shop, jobs, two.price_lists)
    assert found["price"].tolist() == [12.40, 12.40]
    assert found["set-up"].tolist() == [54.55, 54.55]
    assert (found["tier"] == 0).all()
    assert (found["place"] == "").all()


def test_an_order_of_which_a_blank_is_on_no_list_is_on_none(tmp_path):
    """The counter would refuse it: there is a list for the cap, none for the knit."""
    read = read_shop(two_blanks(tmp_path / "shop", price_list=FILES["price_list.csv"]))
    jobs = jobs_of({"job": "7", "quantity": 8}, {"job": "7", "quantity": 16, "blank": "knit"})
    found = estimate_jobs(read.shop, jobs, read.price_lists)
    assert found["tier"].tolist() == [0, 0]
    assert found["price"].tolist() == [12.40, 12.40]
    assert found["set-up"].tolist() == [54.55, 54.55]


def test_two_artworks_on_other_pieces_share_the_blanks_break_and_the_freight(two):
    """24 caps with 2 in and 12 with 3 in: 36 caps at 3.00, 24 patches at 2.00 and 12 at 4.00;
    set-up 30.00 for each artwork, freight 6.00 by pieces: 4.00 and 2.00."""
    jobs = jobs_of(
        {"job": "7", "quantity": 24}, {"job": "7", "quantity": 12, "width": 3.5, "height": 2.5}
    )
    found = estimate_jobs(two.shop, jobs, two.price_lists)
    assert found["material"].tolist() == pytest.approx([24 * 5.00, 12 * 7.00])
    assert found["other"].tolist() == pytest.approx([34.00, 32.00])
    assert found["tier"].tolist() == [24, 12]


def test_two_decorations_of_the_same_pieces_share_blank_and_freight(two):
    """20 caps at 4.00 once, patches of 2 in at 2.00 and of 3 in at 3.00; no list asks for both."""
    again = {"width": 3.5, "height": 2.5, "price each": 5.00, "same pieces": "yes"}
    jobs = jobs_of({"job": "7"}, {"job": "7", **again})
    found = estimate_jobs(two.shop, jobs, two.price_lists)
    assert found["material"].tolist() == pytest.approx([20 * 4.00, 20 * 5.00])
    assert found["other"].tolist() == pytest.approx([33.00, 33.00])
    assert found["price"].tolist() == [12.40, 5.00]
    assert found["fixed fee"].sum() == pytest.approx(0.30)


@pytest.mark.parametrize(("said", "caps"), [("yes", 24), ("no", 48), ("", 48)])
def test_equal_quantities_are_other_pieces_unless_a_row_says_otherwise(two, said, caps):
    """24 caps at 3.00 with a patch of 2 in at 2.00, and 24 with one of 3 in at 3.00; 6.00 and
    two set-ups of 30.00 beside: 330.00, or 258.00 where one cap carries both."""
    again = {"width": 3.5, "height": 2.5, "same pieces": said}
    jobs = jobs_of({"job": "7", "quantity": 24}, {"job": "7", "quantity": 24, **again})
    found = estimate_jobs(two.shop, jobs, two.price_lists)
    patches = 24 * 2.00 + 24 * 3.00
    assert found["material"].sum() == pytest.approx(caps * 3.00 + patches)
    assert found["other"].sum() == pytest.approx(66.00)


def test_which_rows_are_the_same_pieces_does_not_depend_on_what_stands_between(two):
    """12 caps decorated twice and 12 others too: 24 at 3.00 with 48 patches at 3.00."""
    rows = [
        {"job": "7", "quantity": 12, "width": 1.0 + at / 8, "same pieces": said}
        for at, said in enumerate(["", "yes", "no", "yes"])
    ]
    for order in ([0, 1, 2, 3], [0, 1, 4, 2, 3], [1, 0, 2, 3]):
        mixed = [*rows, {"job": "7", "quantity": 5, "blank": "knit"}]
        found = estimate_jobs(two.shop, jobs_of(*(mixed[at] for at in order)), two.price_lists)
        sheet = found["material"].sum() - (5 * 6.50 if 4 in order else 0)
        assert sheet == pytest.approx(24 * 3.00 + 48 * 3.00)


def test_what_is_bought_once_an_order_for_a_method_is_shared_by_the_pieces_it_decorates(tmp_path):
    """20 caps with two patches and 10 knits with one, patches' freight 10.00 once: 50 pieces are
    decorated, so 4.00, 4.00 and 2.00; freight of blanks 6.00 and set-up 30.00 as without it.
    """
    larger = {"width": 3.5, "height": 2.5, "same pieces": "yes"}
    knit = {"quantity": 10, "blank": "knit"}
    rows = [{"job": "7", **row} for row in ({}, larger, knit)]
    costs = f"{FILES['costs.csv']}patch,freight of patches,freight,order,10.00\n"
    shops = two_blanks(tmp_path / "with", costs=costs), two_blanks(tmp_path / "without")
    found = [estimate_jobs(read_shop(shop).shop, jobs_of(*rows))["freight"] for shop in shops]
    assert (found[0] - found[1]).tolist() == pytest.approx([4.00, 4.00, 2.00])


def test_an_order_that_cannot_be_made_in_part_is_not_estimated(two):
    """With the reason of the row that cannot."""
    jobs = jobs_of({"job": "7"}, {"job": "8"}, {"job": "7", "blank": "boot"})
    found = estimate_jobs(two.shop, jobs, two.price_lists)
    reason = 'the shop has no blank "boot" any more.'
    assert found["reason"].tolist() == [reason, "", reason]
    assert (found.loc[[0, 2], list(FIGURES)] == 0).all(axis=None)


def test_a_job_of_one_row_is_estimated_alike_beside_others(two):
    """Its figures do not hang on whether other rows share a number."""
    jobs = jobs_of({"job": "7"}, {"job": "8"}, {"job": "7", "blank": "knit"})
    alone = estimate_jobs(two.shop, jobs.iloc[[1]], two.price_lists)
    beside = estimate_jobs(two.shop, jobs, two.price_lists).iloc[[1]]
    pd.testing.assert_frame_equal(alone, beside, rtol=1e-12)


def rows_of(case: Case, art: int, quantity: int, number: str) -> list[dict]:
    """A job of the case's blanks and decorations, a row for each of each."""
    together: dict[str, int] = defaultdict(int)
    for blank, counts in case.pieces:
        together[blank.key] += counts[quantity]
    rows = []
    for blank, count in together.items():
        for decoration, (method, arts) in enumerate(case.decorations):
            artwork = arts[art % len(arts)]
            wide, high = (float(x) for x in artwork.in_unit(case.shop.unit))
            rows.append({
                "job": number, "method": method.key, "blank": blank, "quantity": count,
                "width": wide, "height": high, "order": "first" if case.first else "repeat",
                "date": np.datetime64("2026-03-15", "s"),
                "same pieces": "yes" if decoration else "",
            })  # fmt: skip
    return rows


def order_of(case: Case, rows: list[dict]) -> Order:
    """The order that a job's rows are, put together the direct way."""
    shop = case.shop
    pieces = {row["blank"]: row["quantity"] for row in rows}
    arts = {(row["method"], row["width"], row["height"]): None for row in rows}
    return Order(
        [(shop.blanks[key], count) for key, count in pieces.items()],
        [Decoration(shop.methods[key], Artwork(w, h, shop.unit)) for key, w, h in arts],
        first=case.first, on=rows[0]["date"].item().date(),
    )  # fmt: skip


def expected(case: Case, order: Order) -> dict[str, float]:
    """What the engine says of the whole order, by the figures' names."""
    sheet, shop = cost_sheet(case.shop, order), case.shop
    stations = [float(spent) for who, spent in sheet.minutes.items() if who != OPERATOR]
    methods = {decoration.method.key: decoration.method for decoration in order.decorations}
    return {
        "cost": float(sheet.full),
        "minutes": float(sheet.minutes[OPERATOR]),
        "machine minutes": sum(stations),
        "busiest minutes": max(stations, default=0.0),
        "spoiled": order.quantity * extra_share(*(d.method.spoilage for d in order.decorations)),
        "fixed fee": Fees.due(shop, *methods.values()).fixed,
        "fee share": Fees.due(shop, *methods.values()).share,
    }


@given(case=cases(), arts=st.permutations(range(4)))
@settings(max_examples=50, derandomize=True, deadline=None, database=None)
def test_rows_add_up_to_the_engine_s_order(case, arts):
    """Four jobs side by side, their rows mixed; beside each the engine's one cost sheet."""
    jobs = [rows_of(case, art, at, f"J{at}") for at, art in enumerate(arts)]
    longest = max(map(len, jobs))
    mixed = [job[at] for at in range(longest) for job in jobs if at < len(job)]
    found = estimate_jobs(case.shop, jobs_of(*mixed))
    numbers = pd.Series([row["job"] for row in mixed])
    for number, rows in zip(("J0", "J1", "J2", "J3"), jobs, strict=True):
        order, own = order_of(case, rows), found[numbers == number]
        reason = obstacles(order).item()
        assert (own["reason"] == "").all() == (reason == "")
        if reason:
            continue
        sums = own[list(TOGETHER)].sum()
        sums["cost"] = sums[["material", "overhead", "other"]].sum()
        sums["cost"] += sums["minutes"] * case.shop.rates.labour / 60
        sums["spoiled"] = own["spoiled"].sum()
        sums["fee share"] = own["fee share"].iloc[0]
        assert own["fee share"].nunique() == 1
        whole = expected(case, order)
        assert {name: sums[name] for name in whole} == pytest.approx(whole, rel=1e-9, abs=1e-9)
