"""The shop as it stood: kept, found again, and a quote costed by it whatever came after.

The quote is worked out by hand on the small shop: 20 caps with a patch of 2 × 2 in take 80.00
of caps, 40.00 of patches, 20 minutes at 30.00 an hour, so 10.00, 6.00 of freight and 30.00 of
set-up: 166.00. With patches at 3.00 and a wage of 60.00 they would take 20.00 and 10.00 more.
"""

import json
import os
import subprocess
import sys
import tempfile
from datetime import date
from pathlib import Path

import pytest
from smallshop import FILES, ON, write_shop

from pricelab.client.catalogue import catalogue_of
from pricelab.files.folders import DEMO_SHOP, KEEPS_VARIABLE
from pricelab.files.records.book import Records
from pricelab.files.records.happened import take_quotes
from pricelab.files.records.shop_then import keep_tables, shop_then, stamp_of, stamped
from pricelab.files.shop_folder import read_shop
from pricelab.jobs.quotes import costs_on
from pricelab.screens.counter import open_counter

LATER = date(2026, 12, 1)
DEARER = {
    "shop": FILES["shop.csv"].replace("labour rate,30", "labour rate,60"),
    "patches": FILES["grids/patches.csv"].replace("3.00,2.00", "4.00,3.00"),
}


def keep(shop: Path) -> str:
    """What happens when a page is opened: the server keeps the tables."""
    assert keep_tables(shop) == ""
    return stamped(read_shop(shop))


def copies(shop: Path) -> dict[str, dict[str, str]]:
    """The names and words of the files that are kept, by the folder they are in."""
    return {
        home.name: {
            path.relative_to(home).as_posix(): path.read_text()
            for path in home.rglob("*") if path.is_file()
        }
        for home in sorted((shop / "old" / "shops").iterdir())
    }  # fmt: skip


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
    keep(shop)
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
    keep(shop)
    first = save_a_quote(shop)
    write_shop(shop, **DEARER)
    keep(shop)
    second = save_a_quote(shop)
    write_shop(shop, blank_prices="blank,from,price\ncap,1,9.00\n")
    assert take_quotes(read_shop(shop), LATER) == (2, ())
    assert records.quote(first).cost == pytest.approx(166.00)
    assert records.quote(second).cost == pytest.approx(196.00)


def test_a_method_that_is_gone_takes_no_quote_with_it(shop):
    """The quote is costed by the tables that had it."""
    keep(shop)
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
    keep(shop)
    number = save_a_quote(shop)
    file = shop / "quotes" / number / f"order-{number}.json"
    said = json.loads(file.read_text())
    assert len(said.pop("shop")) == 32
    file.write_text(json.dumps(said))
    taken, told = take_quotes(read_shop(shop), LATER)
    assert (taken, len(told)) == (1, 1)
    assert Records(shop).quote(number).costed == LATER


def test_a_price_that_the_shop_did_not_ask_is_told(shop):
    """9.90 made 5.00 in the order's file: 20 × 5 + 54.55 and a tenth are 170.01 (170.005 half up),
    where 277.81 (277.805) was asked; only `payable` is told."""
    keep(shop)
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
def test_what_was_asked_is_asked_again_to_the_cent(tmp_path, name):
    """Every price of every list a client could be offered, and every set-up."""
    for path in shop_tables(DEMO_SHOP.parent / name):
        copy = tmp_path / path.relative_to(DEMO_SHOP.parent / name)
        copy.parent.mkdir(exist_ok=True)
        copy.write_bytes(path.read_bytes())
    read = read_shop(tmp_path)
    stamp = keep(tmp_path)
    for path in shop_tables(tmp_path):
        path.unlink()
    then, now = catalogue_of(shop_then(tmp_path, stamp)), catalogue_of(read)
    assert then.lists.keys() == now.lists.keys()
    assert len(then.lists) >= 14
    assert then.repeat_setup == now.repeat_setup
    for pair, asked in then.lists.items():
        other = now.lists[pair]
        assert asked.prices.tolist() == other.prices.tolist()
        assert asked.starts.tolist() == other.starts.tolist()
        assert (asked.setup, asked.last) == (other.setup, other.last)


def shop_tables(folder: Path) -> list[Path]:
    """Tables and grids of a demo shop, without what a reader has saved in it."""
    return [*folder.glob("*.csv"), *folder.glob("*.xlsx"), *folder.glob("grids/*")]


def test_what_is_kept_names_no_client_and_no_job(shop):
    (shop / "grids" / "for-later.csv").write_text(FILES["grids/patches.csv"])
    (shop / "jobs.csv").write_text(f"{FILES['jobs.csv']}# seen by the careful reader alone\n")
    quotes = "quote,date,method,blank,width,height,quantity,order,price each,set-up charged,won\n"
    (shop / "quotes.csv").write_text(f"{quotes}Q1,2026-03-02,patch,cap,2,2,20,first,12.40,0,no\n")
    keep(shop)
    [tables] = copies(shop).values()
    assert set(tables) == {*FILES, "grids/for-later.csv"} - {"jobs.csv"}
    assert all(tables[name] == FILES[name] for name in FILES if name != "jobs.csv")
    assert "Secret" not in json.dumps(copies(shop))


@pytest.mark.parametrize("stem", [Path(name).stem for name in FILES if name != "jobs.csv"])
def test_every_table_makes_another_stamp(shop, stem):
    """A remark at its end is enough."""
    before = stamp_of(read_shop(shop))
    path = next(path for path in shop_tables(shop) if path.stem == stem)
    path.write_text(path.read_text() + "# a remark\n")
    assert stamp_of(read_shop(shop)) != before


def test_no_job_makes_another_stamp(shop):
    """Prices that a client was shown hang on none."""
    before = stamp_of(read_shop(shop))
    (shop / "jobs.csv").unlink()
    assert stamp_of(read_shop(shop)) == before


def test_a_client_s_kernel_keeps_no_cost_and_the_owner_s_keeps_the_tables(shop, monkeypatch):
    """One that was told nothing, as where a notebook is opened in another way, keeps nothing."""
    monkeypatch.setenv(KEEPS_VARIABLE, "")
    open_counter(shop)
    assert not (shop / "old").exists()
    monkeypatch.setenv(KEEPS_VARIABLE, "tables")
    open_counter(shop)
    assert shop_then(shop, stamp_of(read_shop(shop))).shop.name == "Small Shop"


def test_the_same_tables_are_kept_once(shop, monkeypatch):
    """Under the day on which they were first seen, and the second time nothing is written."""
    module = "pricelab.files.records.shop_then"
    monkeypatch.setattr(f"{module}.today", lambda: ON)
    keep(shop)
    kept = copies(shop)
    assert {name[:11] for name in kept} == {"2026-11-25-"}
    monkeypatch.setattr(f"{module}.today", lambda: LATER)
    monkeypatch.delattr(f"{module}.place")
    keep(shop)
    assert copies(shop) == kept


KEEPER = """
import sys
from pathlib import Path
from smallshop import FILES
from pricelab.files.records import shop_then
from pricelab.files.source import Folder
for wage in range(30, 40):
    shop = FILES["shop.csv"].replace("labour rate,30", f"labour rate,{wage}").encode()
    shop_then._keep(Path(sys.argv[1]), {**Folder(sys.argv[1]), "shop.csv": shop})
"""


def test_two_processes_that_keep_at_once_keep_each_shop_once(shop):
    """Ten wages each, the same ten."""
    tests = Path(__file__).parents[2]
    paths = os.pathsep.join([str(tests.parent), str(tests)])
    command, env = [sys.executable, "-c", KEEPER, shop], {**os.environ, "PYTHONPATH": paths}
    both = [subprocess.Popen(command, env=env) for _ in range(2)]
    assert [one.wait(timeout=120) for one in both] == [0, 0]
    rates = [float(read_shop(home).shop.rates.labour) for home in (shop / "old/shops").iterdir()]
    assert sorted(rates) == list(range(30, 40))
    assert list((shop / "old").rglob(".*")) == []


def test_what_is_damaged_counts_as_not_kept(shop):
    """Another wage than the stamp's, a table more, one less; and stamps that are none."""
    stamp = keep(shop)
    (home,) = (shop / "old/shops").glob(f"*-{stamp}")
    for name, text in (("shop.csv", DEARER["shop"]), ("rolls.csv", ""), ("costs.csv", None)):
        assert shop_then(shop, stamp) is not None
        path = home / name
        before = path.read_bytes() if path.exists() else None
        path.unlink() if text is None else path.write_text(text)
        assert shop_then(shop, stamp) is None
        path.unlink(missing_ok=True)
        if before is not None:
            path.write_bytes(before)
    odd = (f"{stamp}-{stamp}", stamp[1:], "-", "", "x-y", f"*{stamp[1:]}", f"{stamp}-")
    assert [stamp for stamp in odd if shop_then(shop, stamp)] == []


READ_ONLY = """
import os, sys
from pathlib import Path
from pricelab.files.records.shop_then import keep_tables, stamp_of, stamped
from pricelab.files.shop_folder import read_shop
read = read_shop(Path(sys.argv[1]))  # loads what it needs while it may
stamp_of(read)
if os.getuid() == 0:
    os.setuid(65534)  # the system's own user stops at no permission
print(keep_tables(Path(sys.argv[1])).replace(sys.argv[1], "SHOP"))
print(stamped(read) == stamp_of(read))
"""


@pytest.mark.skipif(os.name != "posix", reason="permissions as on Linux and macOS")
def test_in_a_folder_that_may_only_be_read_it_is_told_and_hinders_nothing(root):
    """The folder lies where any user may look, unlike pytest's own."""
    with tempfile.TemporaryDirectory() as folder:
        Path(folder).chmod(0o755)
        shop = write_shop(Path(folder) / "shop")
        for path in [*shop.rglob("*"), shop]:
            path.chmod(0o555 if path.is_dir() else 0o444)
        command = [sys.executable, "-c", READ_ONLY, shop]
        done = subprocess.run(command, cwd=root, capture_output=True, text=True)
        for path in [shop, *shop.rglob("*")]:
            path.chmod(0o755)
    assert done.stdout.splitlines() == [
        'Quotes will not keep the costs of their day. Could not save "SHOP/old/shops": the file or '
        "its folder may not be written to. Allow it and try again; nothing was changed.",
        "True",
    ], done.stderr


def test_where_there_is_no_shop_nothing_is_kept_and_nothing_said(tmp_path):
    """A folder that is gone, and one without tables; neither is made."""
    assert [keep_tables(tmp_path / "gone"), keep_tables(tmp_path)] == ["", ""]
    assert list(tmp_path.iterdir()) == []


def test_an_invented_shop_is_not_written_to():
    """Its quotes are try-outs."""
    assert keep_tables(DEMO_SHOP) == ""
    assert not (DEMO_SHOP / "old").exists()
