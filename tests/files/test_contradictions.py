"""What two figures of a shop contradict: each told once, in a whole sentence; no false alarm."""

from datetime import date

import pytest
from cornershop import CORNER_SHOP
from smallshop import FILES, write_shop

from pricelab.files import shop_folder
from pricelab.files.records.book import Records
from pricelab.files.shop_folder import read_shop

TODAY = date(2026, 11, 25)


@pytest.fixture(autouse=True)
def day(monkeypatch):
    """The day on which the shops are read."""
    monkeypatch.setattr(shop_folder, "today", lambda: TODAY)


def told(file: str = "shop.csv", old: str = "", new: str = "", **more: str) -> list[str]:
    """The warnings of the shop with one text replaced in a file, or with files of other texts."""
    assert CORNER_SHOP[file].count(old) == 1 or not old, old
    files = (
        CORNER_SHOP
        | {file: CORNER_SHOP[file].replace(old, new) if old else CORNER_SHOP[file]}
        | more
    )
    read = read_shop({name: text.encode() for name, text in files.items()})
    return [str(warning) for warning in read.warnings]


def test_a_sound_shop_contradicts_nothing():
    assert told() == []


CASES = {
    "a grid in millimetres said to be in inches": (
        "grids/leather.csv", "up to 1.50,3.65,2.80,2.15\n1.51–2.00,4.40,3.40,2.60\n2.01–2.50",
        "38,3.65,2.80,2.15\n51,4.40,3.40,2.60\n64",
        'grids/leather.csv, row 4: found sizes up to 64 in for Leather patch, where your presses '
        "and panels take up to 3.625, expected sizes of about what can be made. If the supplier's "
        "sheet is in millimetres, write (mm) in its first cell.",
    ),
    "a grid in inches said to be in millimetres": (
        "grids/leather.csv", "mean of sides (in)", "mean of sides (mm)",
        "grids/leather.csv, row 4: found sizes up to 2.5 mm for Leather patch, where your presses "
        "and panels take up to 92.08, expected sizes of about what can be made. If the supplier's "
        "sheet is in inches, write (in) in its first cell.",
    ),
    "a fee without its sign": (
        "costs.csv", "revenue,2.9 %", "revenue,2.9",
        'costs.csv, row 3, column "amount": found card fee of 2.9 an order, and no share of the '
        "money taken, expected a share such as 2.9 %, or a small sum beside one. If it is "
        "a share, write 2.9 %.",
    ),
    "a method without minutes": (
        "operations.csv", "vinyl,weed,2,piece,,attended,\n", "",
        "methods.csv, row 3: found no minutes for Cut vinyl, expected its rows in operations.csv. "
        "Write there what it takes to set it up and to do a piece.",
    ),
    "most pieces spoiled": (
        "methods.csv", "leather,45,0,2 %", "leather,45,0,95 %",
        'methods.csv, row 2, column "spoilage": found a spoilage of 95 %, expected less than 50 %. '
        "Write the share of pieces that are spoiled, not of those that are good.",
    ),
    "no wage": (
        "shop.csv", "labour rate,24", "labour rate,0",
        'shop.csv, row 5, column "value": found a labour rate of 0, expected what an hour of work '
        "costs. Your own hours cost too: write what you would pay somebody for them.",
    ),
    "a month's wage": (
        "shop.csv", "labour rate,24", "labour rate,4200",
        'shop.csv, row 5, column "value": found a labour rate of 4200 an hour, where your most '
        "expensive blank costs 6.9, expected the wage of one hour. Write it for an hour, not for a "
        "month.",
    ),
    "a blank's price a hundredfold": (
        "blank_prices.csv", "twill,1,6.90", "twill,1,690",
        'blank_prices.csv, row 2, column "price": found a price of 690 from 1 and 5.95 from 12 for '
        "Twill cap, expected a step of less than 5 times. Compare both with the supplier's price "
        "list.",
    ),
    "two promotions at once": (
        "promotions.csv", "leather,2026-11-20,2026-12-06,0\n",
        "leather,2026-12-06,2026-12-31,9\nleather,2026-11-20,2026-12-06,0\n",
        'promotions.csv, row 2, column "set-up": found a promotion of Leather patch from '
        "2026-12-06, while the one of row 3 holds until 2026-12-06, expected one at a time. "
        "Correct the days; while both hold, the lower set-up counts.",
    ),
    "a list price ten times too high": (
        "price_list.csv", "leather,twill,2.5,27.50,22.75", "leather,twill,2.5,27.50,227.5",
        'price_list.csv, row 3, column "24": found a price of 227.5 for Leather patch on Twill '
        "cap, more than 5 times what stands beside it, or less than that part of it, expected a "
        "price like those beside it. Look for a decimal point in the wrong place.",
    ),
    "a list price ten times too low": (
        "price_list.csv", "leather,twill,2,25.00,20.75,17.50", "leather,twill,2,25.00,20.75,1.75",
        'price_list.csv, row 2, column "48": found a price of 1.75 for Leather patch on Twill '
        "cap, more than 5 times what stands beside it, or less than that part of it, expected a "
        "price like those beside it. Look for a decimal point in the wrong place.",
    ),
    "a price that jumps": (
        "price_list.csv", "flat,mesh,3,,18.00,15.00", "flat,mesh,3,,18.00,51.00",
        'price_list.csv, row 4, column "48": found a price of 51 from 48 pieces after 18 from 24 '
        "for Flat embroidery on Mesh cap, expected no price that rises with quantity. Correct it, "
        "unless it is meant.",
    ),
    "a list the wrong way round": (
        "price_list.csv", "leather,twill,2,25.00,20.75,17.50\nleather,twill,2.5,27.50,22.75,19.00",
        "leather,twill,2,17.50,20.75,24.00\nleather,twill,2.5,19.00,22.75,24.00",
        'price_list.csv, row 2, column "24": found a price of 20.75 from 24 pieces after 17.5 from '
        "12 for Leather patch on Twill cap, and 3 more such steps in this list, expected no price "
        "that rises with quantity. Correct it, unless it is meant.",
    ),
    "a size that no press can make": (
        "price_list.csv", "leather,twill,2.5", "leather,twill,4.5",
        'price_list.csv, row 3, column "size": found a price for the size 4.5, which cannot be '
        "made, expected sizes that can. Leather patch can be at most 4 in high. Correct the "
        "size or the limit, or remove the row.",
    ),
    "a job to come": (
        "jobs.csv", "J2,2026-05-20", "J2,2027-05-20",
        'jobs.csv, row 3, column "date": found job J2 on 2027-05-20, expected no day after today, '
        "2026-11-25. Correct the date.",
    ),
    "an artwork taller than its panel": (
        "jobs.csv", "leather,twill,2 1/2,2,24", "leather,twill,2,2 1/2,24",
        'jobs.csv, row 2, column "height": found an artwork of 2 × 2.5 in (job J1), expected one '
        "that fits on Twill cap, whose panel is 5 × 2.25 in. Correct the artwork, the blank or its "
        "panel.",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("file", "old", "new", "sentence"), CASES.values(), ids=CASES)
def test_what_is_contradicted_is_told_once_in_a_sentence(file, old, new, sentence):
    assert told(file, old, new) == [sentence]


@pytest.mark.parametrize("ending", [".xls", ".ods", ".CSV"])
def test_a_table_with_an_ending_that_is_not_read_is_told(ending):
    name = f"price_list{ending}"
    assert told(**{name: "not read"}) == [
        f"{name}: found a table that is not read, expected price_list.csv or price_list.xlsx. Save "
        "it as price_list.csv, and delete this file."
    ]
    assert told(**{f"holiday{ending}": "mine", "notes.txt": "mine"}) == (
        [] if ending != ".CSV" else told(**{"holiday.CSV": ""})
    )


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        ("shop.csv", "labour rate,24", "labour rate,240"),
        ("costs.csv", ",card fee,fees,revenue,2.9 %,\n", ",a fee an order,fees,revenue,0.30,\n"),
        ("blank_prices.csv", "twill,1,6.90", "twill,1,29"),
        ("price_list.csv", "twill,2,25.00,20.75,17.50", "twill,2,90,20.75,21.50"),
        ("promotions.csv", "leather,2026", "flat,2026-11-20,2026-12-01,9\nleather,2026"),
        ("methods.csv", "leather,45,0,2 %", "leather,45,0,45 %"),
        ("jobs.csv", "J2,2026-05-20", "J2,2026-11-25"),
    ],
)  # fmt: skip
def test_what_a_shop_may_well_have_is_not_told(file, old, new):
    """A dear craft, a small fee alone, one piece far dearer than twelve, a small rise, a hard
    method, two promotions of two methods, a job of today."""
    assert told(file, old, new) == []


def test_where_most_jobs_lie_in_the_future_it_is_the_calendar(monkeypatch):
    """A machine whose battery is empty says 1970; and of several such jobs one is told."""
    jobs = CORNER_SHOP["jobs.csv"].replace("J1,2026", "J1,2027").replace("J2,2026", "J2,2027")
    rows = jobs + "".join(f"J{n},2026-01-02,,leather,twill,1,1,9,first,9,0,81,,,\n" for n in (3, 4))
    [warning] = told(**{"jobs.csv": rows})
    assert "row 2" in warning
    assert "found job J1 on 2027-05-19 and 1 more, expected no day after today" in warning
    monkeypatch.setattr(shop_folder, "today", lambda: date(1970, 1, 1))
    assert told() == []


def test_what_is_noted_in_the_book_is_not_held_against_the_tables(tmp_path):
    """A method given up, or a panel since changed, is no contradiction of the files."""
    shop = write_shop(tmp_path, price_list=FILES["price_list.csv"].replace("9.90", "11.00"))
    jobs = read_shop(shop).jobs
    Records(shop).add_jobs(jobs.assign(job="B" + jobs["job"], height=9.0))
    assert read_shop(shop).warnings == ()
