"""The shop as it stood: kept, found again, and a quote costed by it whatever came after.

The quote is worked out by hand on the small shop: 20 caps with a patch of 2 × 2 in take 80.00
of caps, 40.00 of patches, 20 minutes at 30.00 an hour, so 10.00, 6.00 of freight and 30.00 of
set-up: 166.00. With patches at 3.00 and a wage of 60.00 they would take 20.00 and 10.00 more.
"""

import json
import os
import subprocess
import sys
from base64 import b64decode, b64encode
from datetime import date
from hashlib import sha256
from pathlib import Path
from zlib import compress, decompress

import numpy as np
import pandas as pd
import pytest
from smallshop import FILES, ON, write_shop

from pricelab.client.catalogue import catalogue_of
from pricelab.files.folders import DEMO_SHOP
from pricelab.files.records.as_csv import COPY, export_csv, import_csv
from pricelab.files.records.book import Records
from pricelab.files.records.happened import take_quotes
from pricelab.files.records.schema import SHOPS
from pricelab.files.records.shop_then import keep, shop_then, stamp_of
from pricelab.files.shop_folder import read_shop
from pricelab.jobs.quotes import costs_on
from pricelab.lists.typical_quantity import quantities_sold
from pricelab.screens.counter import open_counter

LATER = date(2026, 12, 1)
DEARER = {
    "shop": FILES["shop.csv"].replace("labour rate,30", "labour rate,60"),
    "patches": FILES["grids/patches.csv"].replace("3.00,2.00", "4.00,3.00"),
}


def save_a_quote(shop: Path) -> str:
    """20 caps with a patch of 2 × 2 in, saved across the counter; its number."""
    counter = open_counter(shop)
    counter._day = lambda: ON
    counter.width.set("2")
    counter.pieces.set(20)
    counter.save.press()
    return max((shop / "quotes").iterdir()).name


def test_a_quote_keeps_the_costs_of_its_day_when_grid_and_wage_change(shop):
    """By the calculation above: 166.00, line by line, and not the 196.00 of later."""
    records = Records(shop)
    keep(read_shop(shop), ON)
    number = save_a_quote(shop)
    write_shop(shop, **DEARER)
    assert take_quotes(read_shop(shop), LATER) == (1, ())
    quote = records.quote(number)
    lines = {(line.label, round(line.amount, 9)) for line in quote.lines if line.amount}
    assert {amount for _, amount in lines} == {80.0, 40.0, 10.0, 6.0, 30.0}
    assert quote.cost == pytest.approx(166.00, abs=1e-9)
    assert quote.costed == quote.made == ON
    later = costs_on(read_shop(shop).shop, quote, LATER)
    assert sum(line.amount for line in later.why()) == pytest.approx(196.00)


def test_each_of_two_quotes_keeps_the_costs_of_its_own_day(shop):
    """Changed between them, and once more before they are taken over."""
    records = Records(shop)
    keep(read_shop(shop), ON)
    first = save_a_quote(shop)
    write_shop(shop, **DEARER)
    keep(read_shop(shop), ON)
    second = save_a_quote(shop)
    write_shop(shop, blank_prices="blank,from,price\ncap,1,9.00\n")
    assert take_quotes(read_shop(shop), LATER) == (2, ())
    assert records.quote(first).cost == pytest.approx(166.00)
    assert records.quote(second).cost == pytest.approx(196.00)


def test_a_method_that_is_gone_takes_no_quote_with_it(shop):
    """The quote is costed by the tables that had it."""
    keep(read_shop(shop), ON)
    number = save_a_quote(shop)
    changed = {
        stem: FILES[f"{stem}.csv"].replace("patch,", "badge,")
        for stem in ("methods", "operations", "price_list", "jobs")
    }
    write_shop(shop, **changed)
    (shop / "jobs.csv").unlink()
    assert take_quotes(read_shop(shop), LATER) == (1, ())
    assert Records(shop).quote(number).method == "patch"


def test_where_the_shop_of_then_was_not_kept_the_quote_says_so(shop):
    """It is taken with the costs of the day of taking, and its record names that day."""
    number = save_a_quote(shop)
    write_shop(shop, **DEARER)
    assert take_quotes(read_shop(shop), LATER) == (
        1,
        (
            f"{number}: the tables it was offered from were not kept; its costs are by those of "
            "2026-12-01.",
        ),
    )
    quote = Records(shop).quote(number)
    assert (quote.made, quote.costed) == (ON, LATER)
    assert quote.cost == pytest.approx(196.00)


def test_a_quote_of_an_older_version_names_no_tables_and_is_taken(shop):
    """Its order has no stamp."""
    keep(read_shop(shop), ON)
    number = save_a_quote(shop)
    file = shop / "quotes" / number / f"order-{number}.json"
    said = json.loads(file.read_text())
    assert len(said.pop("shop")) == 65
    file.write_text(json.dumps(said))
    taken, told = take_quotes(read_shop(shop), LATER)
    assert (taken, len(told)) == (1, 1)
    assert Records(shop).quote(number).costed == LATER


def test_a_price_that_the_shop_did_not_ask_is_told(shop):
    """9.90 made 5.00 in the order's file: 20 × 5 + 54.55 and a tenth are 170.01 (170.005 half up),
    where 277.81 (277.805) was asked; only `payable` is told."""
    keep(read_shop(shop), ON)
    number = save_a_quote(shop)
    file = shop / "quotes" / number / f"order-{number}.json"
    said = json.loads(file.read_text())
    assert said["offer"]["payable"] == 277.81
    said["offer"]["payable"] = 170.01
    file.write_text(json.dumps(said))
    assert take_quotes(read_shop(shop), LATER) == (
        1,
        (
            f"{number}: it says 170.01 in all, but your tables of that day ask 277.81. It is taken "
            "as it says, with the costs of its day; compare it with its page.",
        ),
    )


@pytest.mark.parametrize("name", ["harbour-caps", "fjord-muetzen"])
@pytest.mark.parametrize("listed", [True, False], ids=["today's list", "lists planned by jobs"])
def test_what_was_asked_is_asked_again_to_the_cent(tmp_path, name, listed):
    """Every price of every list a client could be offered, and every set-up."""
    for path in shop_tables(DEMO_SHOP.parent / name):
        copy = tmp_path / path.relative_to(DEMO_SHOP.parent / name)
        copy.parent.mkdir(exist_ok=True)
        copy.write_bytes(path.read_bytes())
    if not listed:
        (tmp_path / "price_list.csv").unlink()
    read = read_shop(tmp_path)
    keep(read, ON)
    for path in shop_tables(tmp_path):
        path.unlink()
    then, now = (
        catalogue_of(shop_then(Records(tmp_path), stamp_of(read))),
        catalogue_of(read),
    )
    assert then.lists.keys() == now.lists.keys()
    assert len(then.lists) > 30
    assert then.repeat_setup == now.repeat_setup
    for pair, asked in then.lists.items():
        other = now.lists[pair]
        assert asked.prices.tolist() == other.prices.tolist()
        assert asked.starts.tolist() == other.starts.tolist()
        assert (asked.setup, asked.last) == (other.setup, other.last)


def shop_tables(folder: Path) -> list[Path]:
    """Tables and grids of a demo shop, without what a reader has saved in it."""
    return [*folder.glob("*.csv"), *folder.glob("*.xlsx"), *folder.glob("grids/*")]


def contents(shop: Path) -> dict[str, object]:
    """What the book keeps under each stamp, unpacked."""
    kept = Records(shop).table(SHOPS).groupby("stamp")["tables"].sum()
    return {stamp: json.loads(decompress(b64decode(text))) for stamp, text in kept.items()}


def test_what_is_kept_names_no_client_and_no_job(shop):
    """Of the jobs there are quantities by method: 20 twice."""
    (shop / "grids" / "for-later.csv").write_text(FILES["grids/patches.csv"])
    (shop / "jobs.csv").write_text(f"{FILES['jobs.csv']}# seen by the careful reader alone\n")
    quotes = "quote,date,method,blank,width,height,quantity,order,price each,set-up charged,won\n"
    (shop / "quotes.csv").write_text(f"{quotes}Q1,2026-03-02,patch,cap,2,2,20,first,12.40,0,no\n")
    keep(read_shop(shop), ON)
    kept, stamps = contents(shop), stamp_of(read_shop(shop)).split("-")
    tables, sold = (kept[stamp] for stamp in stamps)
    assert set(tables) == set(FILES) - {"jobs.csv"}
    assert tables == {name: text for name, text in FILES.items() if name != "jobs.csv"}
    assert sold == [["patch", 20, 2]]
    assert "Secret" not in json.dumps(kept)


@pytest.mark.parametrize("stem", [Path(name).stem for name in FILES if name != "jobs.csv"])
def test_every_table_makes_another_stamp(shop, stem):
    """A remark at its end is enough."""
    before = stamp_of(read_shop(shop))
    path = next(path for path in shop_tables(shop) if path.stem == stem)
    path.write_text(path.read_text() + "# a remark\n")
    assert stamp_of(read_shop(shop)) != before


def test_a_client_s_job_makes_none_but_an_order_size_does(shop):
    """Prices may hang on quantities, on nothing else of a job."""
    before = stamp_of(read_shop(shop))
    jobs = FILES["jobs.csv"]
    (shop / "jobs.csv").write_text(jobs.replace("Secret", "Other"))
    assert stamp_of(read_shop(shop)) == before
    (shop / "jobs.csv").write_text(
        jobs.replace(",20,repeat,12.40,0,248.00", ",10,repeat,12.40,0,124.00")
    )
    assert stamp_of(read_shop(shop)) != before


def test_a_job_of_several_rows_is_kept_as_one_order(shop):
    """12 and 8 caps with one artwork are an order of 20, as a planned list counts it."""
    head, row = FILES["jobs.csv"].splitlines()[:2]
    rows = [row.replace(",20,first", f",{n},first").replace("302.55", f"{n * 12.4 + 54.55:.2f}")
            for n in (12, 8)]  # fmt: skip
    (shop / "jobs.csv").write_text("\n".join([head, rows[0], rows[1].replace(",cap,", ",knit,")]))
    blanks = FILES["blanks.csv"] + "knit,Knit beanie,4,2,\n"
    write_shop(shop, blanks=blanks, blank_prices=FILES["blank_prices.csv"] + "knit,1,3.50\n",
               jobs=(shop / "jobs.csv").read_text())  # fmt: skip
    read = read_shop(shop)
    keep(read, ON)
    then = shop_then(Records(shop), stamp_of(read))
    sold = [quantities_sold(each, each.shop.methods["patch"]).tolist() for each in (then, read)]
    assert sold == [[20], [20]]


def test_the_same_tables_are_kept_once(shop, monkeypatch):
    """The second time nothing is written, nor is it tried: by then it may not be allowed."""
    keep(read_shop(shop), ON)
    monkeypatch.delattr(Records, "writing")
    keep(read_shop(shop), LATER)
    assert Records(shop).table(SHOPS)["kept"].tolist() == [pd.Timestamp(ON)] * 2


KEEPER = """
import sys
from dataclasses import replace
from datetime import date
from hashlib import sha256
from pathlib import Path
from smallshop import FILES, write_shop
from pricelab.files.shop_folder import read_shop
from pricelab.files.records.shop_then import keep
book, own = Path(sys.argv[1]), Path(sys.argv[2])
for wage in range(30, 40):
    write_shop(own, shop=FILES["shop.csv"].replace("labour rate,30", f"labour rate,{wage}"))
    keep(replace(read_shop(own), folder=book), date(2026, 11, 25))
"""


def test_two_processes_that_keep_at_once_keep_each_shop_once(shop, tmp_path):
    """Ten wages each, the same ten, into a book that neither finds there."""
    tests = Path(__file__).parents[2]
    paths = os.pathsep.join([str(tests.parent), str(tests)])
    both = [
        subprocess.Popen(
            [sys.executable, "-c", KEEPER, shop, tmp_path / name],
            env={**os.environ, "PYTHONPATH": paths},
        )
        for name in "ab"
    ]  # fmt: skip
    assert [one.wait(timeout=120) for one in both] == [0, 0]
    kept = Records(shop).table(SHOPS)
    assert (len(kept), kept["stamp"].nunique()) == (11, 11)  # the orders' sizes are the same
    sizes = stamp_of(read_shop(shop)).partition("-")[2]
    thens = [shop_then(Records(shop), f"{stamp}-{sizes}") for stamp in set(kept["stamp"]) - {sizes}]
    rates = {then.shop.rates.labour for then in thens}
    assert rates == set(range(30, 40))


def test_large_tables_go_out_as_csv_and_come_in_again(shop, tmp_path):
    """Noise does not pack: 400,000 letters of it take several cells, each small enough for CSV."""
    noise = np.random.default_rng(20261125).integers(32, 127, 400_000).astype(np.uint8)
    remark = bytes(noise).replace(b'"', b"'").replace(b"\n", b" ").decode()
    write_shop(shop, costs=f"# {remark}\n{FILES['costs.csv']}")
    records, other = Records(shop), Records(tmp_path / "other")
    read = read_shop(shop)
    keep(read, ON)
    assert len(records.table(SHOPS)) > 3
    export_csv(records)
    other.folder.mkdir()
    (shop / COPY).rename(other.folder / COPY)
    import_csv(other)
    pd.testing.assert_frame_equal(other.table(SHOPS), records.table(SHOPS))
    again = shop_then(other, stamp_of(read))
    assert again.held["costs.csv"] == read.held["costs.csv"]


def put(records: Records, content: bytes, *, stamp: str = "", text: str = "") -> str:
    """A row as another hand could have written it; its stamp."""
    stamp = stamp or sha256(content).hexdigest()[:32]
    text = text or b64encode(compress(content)).decode()
    with records.writing() as book:
        book.execute("INSERT INTO shops VALUES (?, 1, '2026-11-25', ?)", (stamp, text))
    return stamp


def test_what_is_damaged_counts_as_not_kept(shop):
    """No text, no packed text, other tables than the stamp's, tables that are in order no more."""
    records, stamp = Records(shop), stamp_of(read_shop(shop))
    keep(read_shop(shop), ON)
    assert shop_then(records, stamp) is not None
    tables, sizes = stamp.split("-")
    sound = json.dumps(contents(shop)[tables]).encode()
    spoiled = [
        put(records, b"", stamp="a", text="?"),
        put(records, b"", stamp="b", text=b64encode(b"x").decode()),
        put(records, sound, stamp="c"),
        put(records, b"{}"),
    ]
    for stamp in (*(f"{each}-{sizes}" for each in spoiled), f"{tables}-c", tables, "-", "", "x-y"):
        assert shop_then(records, stamp) is None


def test_no_name_leads_out_of_the_folder_it_is_unpacked_in(shop, tmp_path, monkeypatch):
    """Names that a spoiled book could hold are passed over; the rest is read."""
    (tmp_path / "deep" / "er").mkdir(parents=True)
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path / "deep" / "er"))
    keep(read_shop(shop), ON)
    tables, sizes = stamp_of(read_shop(shop)).split("-")
    out = ("../out.csv", "grids/../../out.csv", str(tmp_path / "out.csv"), "..\\out.csv", "out.py")
    said = contents(shop)[tables] | dict.fromkeys(out, "x")
    stamp = put(Records(shop), json.dumps(said).encode())
    then = shop_then(Records(shop), f"{stamp}-{sizes}")
    assert then.shop.name == "Small Shop"
    assert not list(tmp_path.rglob("*out*"))


def test_a_shop_without_jobs_is_kept_too(tmp_path):
    """And planned by the usual tiers, then as now."""
    shop = write_shop(tmp_path)
    (shop / "jobs.csv").unlink()
    (shop / "price_list.csv").unlink()
    read = read_shop(shop)
    keep(read, ON)
    then = shop_then(Records(shop), stamp_of(read))
    assert then.jobs.empty
    lists = [catalogue_of(x).lists["patch", "cap"] for x in (then, read)]
    assert lists[0].prices.tolist() == lists[1].prices.tolist()
