"""The commands about price lists: what they print, in full, and their exit codes."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from smallshop import FILES, with_setting, write_shop

from pricelab.app import cli
from pricelab.files.folders import ROOT, SHOP_VARIABLE
from pricelab.files.shop_folder import read_shop


@pytest.fixture
def shop(tmp_path, monkeypatch):
    """The small shop's folder, in a folder of its own that is worked in."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv(SHOP_VARIABLE, raising=False)
    return write_shop(tmp_path / "small")


@pytest.fixture
def run(shop, capsys):
    """Run a command on the small shop: its exit code, what it prints and what it complains of."""

    def run(*words: str) -> tuple[int, str, str]:
        try:
            code = cli.main([*words, "--shop", "small"])
        except SystemExit as stop:  # words that are not understood
            code = stop.code
        said = capsys.readouterr()
        return code, said.out, said.err

    return run


# ---- check ----------------------------------------------------------------------------


def test_a_folder_in_order(run):
    """Said in a line."""
    counts = "1 method, 1 blank, 1 price list, 2 finished jobs"
    assert run("check") == (0, f"Small Shop: in order ({counts}).\n", "")


def test_no_name_tells_the_terminal_to_do_anything(run, shop):
    """Escape, bell and the one-sign form of escape and bracket are left out of what is read."""
    for name, words in (
        ("shop", "Small Shop"), ("blanks", "Plain cap"), ("methods", "Leather patch"),
    ):  # fmt: skip
        path = shop / f"{name}.csv"
        odd = path.read_text("utf-8").replace(words, f"\x1b[31m{words}\x07\x9b2J")
        path.write_text(odd, "utf-8")
    for command in (["check"], ["plan", "patch", "cap"], ["audit"], ["choose", "patch", "cap"]):
        _, out, err = run(*command)
        assert "[31m" in out
        assert all(sign.isprintable() or sign == "\n" for sign in out + err)


def test_something_worth_a_look(run, shop):
    """A price that rises with quantity in a supplier's grid."""
    (shop / "grids/patches.csv").write_text("mean of sides (in),1,20\n2,3.00,3.10\n3,4.00,3.00\n")
    code, out, err = run("check")
    assert (code, err) == (0, "")
    first, empty, heading, warning, *_ = out.splitlines()
    assert first.startswith("Small Shop: in order")
    assert (empty, heading) == ("", "Worth a look:")
    assert warning.startswith('  grids/patches.csv, row 2, column "20": ')


def test_every_fault_at_once(run, shop):
    """Two faults, two sentences, exit code 2."""
    (shop / "operations.csv").write_text("method,operation,minutes,per\npatch,pressing,l,piece\n")
    (shop / "blank_prices.csv").write_text("blank,from,price\ncap,1,$4\n")
    code, out, err = run("check")
    assert (code, out) == (2, "")
    assert [line.split(":")[0] for line in err.splitlines()] == [
        'blank_prices.csv, row 2, column "price"',
        'operations.csv, row 2, column "minutes"',
    ]


# ---- plan -----------------------------------------------------------------------------

PLAN = """\
Small Shop: Leather patch (Plain cap)
Price of one piece in US dollars (USD), blank and decoration. \
10 % sales tax is added to the prices.

size         1–11  12–23    24+
up to 2 in  25.10  12.40  10.50
up to 3 in  26.95  14.25  12.30

Margin at the dearest quantity of a tier / at the usual one (floor 20 %, target 40 %), in %:

size               1–11        12–23          24+
up to 2 in  40.0 / 40.0  30.3 / 40.0  40.1 / 40.1
up to 3 in  40.1 / 40.1  31.7 / 40.2  40.0 / 40.0

Usual quantities: 1, 20, 24.
Set-up $54.55 the first time an artwork is made, none on reorders.
12 pieces can cost no more than 6–11, depending on the size.
24 pieces cost no more than 21–23.
"""
"""Prices by hand, see smallshop. Margins: 1 − 13.80/25.10 − 0.05 = 40.0 %,
1 − 8.025/12.40 − 0.05 = 30.3 %, 1 − 6.815/12.40 − 0.05 = 40.0 %, 1 − 5.7625/10.50 − 0.05 = 40.1 %;
at 3 in 1 − 14.80/26.95 − 0.05 = 40.1 %, 1 − 9.025/14.25 − 0.05 = 31.7 %,
1 − 7.815/14.25 − 0.05 = 40.2 %, 1 − 6.7625/12.30 − 0.05 = 40.0 %."""


def test_the_planned_list(run):
    """At the tiers and sizes of today's list."""
    assert run("plan", "patch", "cap") == (0, PLAN, "")


def test_tiers_and_sizes_as_told(run):
    """From 20 pieces on at 2 in: 6.815 / 0.55 = 12.39, so 12.40; one piece as before."""
    code, out, _ = run("plan", "patch", "cap", "--tiers", "1,20", "--sizes", "2")
    assert code == 0
    assert out.splitlines()[3:5] == ["size         1–19    20+", "up to 2 in  25.10  12.40"]


def test_without_a_list_the_tiers_suit_the_finished_jobs(run, shop):
    """All orders were of 20 pieces: a tier that starts there overcharges nobody. Before it none
    starts at 1: one piece asks 13.80 / 0.55 = 25.10, 1.52 times the 9.075 / 0.55 = 16.50 of four,
    and the limit is 1.5 times."""
    (shop / "price_list.csv").unlink()
    _, out, _ = run("plan", "patch", "cap")
    assert out.splitlines()[3].split() == ["size", "5–19", "20+"]


def test_without_jobs_too_the_tiers_are_dozens(run, shop):
    """From one piece on, each asking at most 1.5 times what the tier's last quantity does; a break
    at 48, of 50 pieces at most, would save next to nobody anything."""
    (shop / "price_list.csv").unlink()
    (shop / "jobs.csv").unlink()
    _, out, _ = run("plan", "patch", "cap")
    assert out.splitlines()[3].split() == ["size", "1–2", "3–5", "6–11", "12–23", "24+"]


# ---- audit ----------------------------------------------------------------------------

AUDIT = """\
Leather patch (Plain cap): 3 of 6 prices do not hold \
(1 below cost, 1 below the floor, 1 under the target).
  Up to 3 in, 24 pieces or more: 24 pieces lose money (a margin of −1.6 %); \
charge $12.30 instead of $7.00.
  Up to 2 in, 12–23 pieces: 12 pieces earn 13.9 %, under the floor of 20 %; \
charge $12.40 instead of $9.90.
  Up to 3 in, 12–23 pieces: the usual order of 20 pieces earns 34.9 %, under the target of 40 %; \
charge $14.25 instead of $13.00.
  Up to 2 in, 24 pieces or more: a piece costs $10.50, more than the $9.90 of 12–23 pieces; \
ask $9.90 at most here, or $10.50 at least there.
  Up to 3 in, 24 pieces or more: a piece costs $7.00, less than the $10.50 of the smaller size \
up to 2 in; ask $10.50 at least here, or $7.00 at most there.
  Worth telling clients: 12 pieces can cost no more than 5–11, depending on the size. \
24 pieces can cost no more than 13–23, depending on the size.
"""
"""Figures by hand: see test_wording."""


def test_a_list_that_does_not_hold_is_exit_code_1(run):
    """Every finding, worst first."""
    assert run("audit") == (1, AUDIT, "")
    assert run("audit", "patch", "cap") == (1, AUDIT, "")


def test_a_list_that_holds_is_exit_code_0(run, shop):
    """The list as it was planned."""
    (shop / "price_list.csv").write_text(
        "method,blank,size,1,12,24\npatch,cap,2,25.10,12.40,10.50\npatch,cap,3,26.95,14.25,12.30\n"
    )
    code, out, err = run("audit")
    assert (code, err) == (0, "")
    assert out.splitlines()[0] == "Leather patch (Plain cap): all 6 prices hold."


def test_several_lists_are_counted(run, shop):
    """Each with a list of its own, and at the end how many hold."""
    blanks = FILES["blanks.csv"] + "bag,Cloth bag,5,5,\n"
    (shop / "blanks.csv").write_text(blanks)
    (shop / "blank_prices.csv").write_text(FILES["blank_prices.csv"] + "bag,1,0.50\n")
    (shop / "price_list.csv").write_text(FILES["price_list.csv"] + "patch,bag,2,99,98,97\n")
    code, out, _ = run("audit")
    assert code == 1
    assert out.startswith(AUDIT + "\nLeather patch (Cloth bag): all 3 prices hold.\n")
    assert out.endswith("\n\n1 of 2 lists hold.\n")
    assert run("audit", "patch", "bag")[0] == 0


def test_a_list_of_what_cannot_be_made_is_bad_news_too(run, shop):
    """A size over the cap's panel."""
    (shop / "price_list.csv").write_text("method,blank,size,1\npatch,cap,9,99.00\n")
    assert run("audit") == (
        1,
        "Leather patch (Plain cap): cannot be judged, "
        "the panel of Plain cap takes at most 5 × 2.5 in.\n",
        "",
    )


# ---- choose ---------------------------------------------------------------------------


def test_the_frontier_of_breaks(run):
    """Both orders were of 20 pieces. At one tier they pay the price of one piece:
    13.80/0.55 − 6.815/0.55 = 12.70 too much; with a break at 20 nothing."""
    assert run("choose", "patch", "cap", "--most", "2") == (
        0,
        "Small Shop: Leather patch (Plain cap)\n"
        "Best breaks, weighed by 2 finished jobs; what a piece is overcharged on average, USD.\n\n"
        "tiers  overcharge  breaks\n"
        "1          12.700  1\n"
        "2           0.000  1, 20\n",
        "",
    )


def test_without_jobs_every_quantity_weighs_the_same(run, shop):
    """And the heading says so."""
    (shop / "jobs.csv").unlink()
    code, out, _ = run("choose", "patch", "cap")
    assert code == 0
    assert "every quantity weighed the same" in out
    assert len(out.splitlines()) == 10  # six tiers, the most by itself


# ---- new-grid -------------------------------------------------------------------------


def test_a_new_grid_that_breaks_prices_is_exit_code_1(run):
    """Figures by hand: see test_wording."""
    Path("new.csv").write_text("mean of sides (in),1,20\n2,4.00,3.00\n3,5.00,4.00\n")
    code, out, err = run("new-grid", "patch", "--grid", "new.csv")
    assert (code, err) == (1, "")
    assert out.splitlines()[0] == (
        "Leather patch (Plain cap): 3 of the 3 prices that held do not any more; "
        "margins move by −14.3 points to −3.7 points."
    )
    assert len(out.splitlines()) == 4


def test_a_new_grid_that_breaks_nothing_is_exit_code_0(run):
    """The grid in use in place of itself."""
    assert run("new-grid", "patch", "cap", "--grid", "small/grids/patches.csv") == (
        0,
        "Leather patch (Plain cap): every price that held still holds; "
        "margins move by 0 points to 0 points.\n",
        "",
    )


def test_a_new_grid_of_another_measure_is_refused(run):
    """Its sizes are not those of the list."""
    Path("new.csv").write_text("area (in),1\n9,4.00\n")
    assert run("new-grid", "patch", "--grid", "new.csv") == (
        2,
        "",
        "the grid in use goes by mean of sides (in) and the new one by area (in), so that "
        "today's sizes mean something else on it. Put the new grid in the shop's folder and plan a "
        "new list.\n",
    )


def test_a_faulty_or_missing_new_grid_is_exit_code_2(run):
    """Where and what, or that there is no such file."""
    Path("new.csv").write_text("mean of sides (in),1\n9,4.OO\n")
    code, out, err = run("new-grid", "patch", "--grid", "new.csv")
    assert (code, out) == (2, "")
    assert err.startswith('new.csv, row 2, column "1": found "4.OO", expected an amount')
    assert run("new-grid", "patch", "--grid", "none.csv") == (
        2, "", 'There is no file "none.csv". Name the file of the new grid.\n',
    )  # fmt: skip


# ---- export ---------------------------------------------------------------------------


def test_export_saves_four_files_and_says_where(run):
    """Client's CSV, XLSX and PDF, and the owner's workings."""
    names = [
        "patch-cap-price-list.csv", "patch-cap-price-list.xlsx", "patch-cap-price-list.pdf",
        "patch-cap-workings-not-for-clients.xlsx",
    ]  # fmt: skip
    said = "".join(f"Saved {Path('lists') / name}\n" for name in names)
    assert run("export", "patch", "cap", "--to", "lists", "--on", "2026-11-25") == (0, said, "")
    assert sorted(os.listdir("lists")) == sorted(names)
    text = Path("lists/patch-cap-price-list.csv").read_text("utf-8-sig")
    assert "patch,cap,2,25.10,12.40,10.50" in text
    assert "Prices of 25 November 2026" in text


def test_an_exported_list_is_tomorrows_list_of_the_shop(run, shop):
    """Put in the folder it holds; with a decimal comma as well."""
    for more in ([], ["--decimal-comma"]):
        run("export", "patch", "cap", "--to", "lists", *more)
        csv_file = Path("lists/patch-cap-price-list.csv")
        (shop / "price_list.csv").write_bytes(csv_file.read_bytes())
        assert run("audit")[0] == 0
    assert "25,10;12,40" in csv_file.read_text("utf-8-sig")


def test_todays_list_is_exported_as_it_stands(run):
    """With `--today` its own prices, whether they hold or not."""
    run("export", "patch", "cap", "--to", "lists", "--today")
    text = Path("lists/patch-cap-price-list.csv").read_text("utf-8-sig")
    assert text.splitlines()[-1] == "patch,cap,3,26.95,13.00,7.00"
    assert "Set-up $54.55 the first time an artwork is made" in text
    assert run("export", "patch", "hat", "--to", "lists", "--today")[0] == 2


def test_a_place_that_cannot_be_saved_to_is_told(run):
    """The sentence names the file."""
    code, out, err = run("export", "patch", "cap", "--to", "small/shop.csv")
    assert (code, out) == (2, "")
    assert err == (
        f'Could not save "{Path("small/shop.csv/patch-cap-price-list.csv")}": a file is in the '
        "place of its folder. Move that file away and try again; nothing was changed.\n"
    )


# ---- words that will not do -----------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["plan", "leathr", "cap"], 'There is no method "leathr". Name one of: patch.'),
        (["plan", "patch", "hat"], 'There is no blank "hat". Name one of: cap.'),
        (["audit", "leathr"], 'There is no method "leathr". Name one of: patch.'),
        (["audit", "patch", "hat"], 'There is no blank "hat". Name one of: cap.'),
        (["choose", "patch", "hat"], 'There is no blank "hat". Name one of: cap.'),
        (["plan", "patch", "cap", "--sizes", "9"],
         "no size of Leather patch can go on Plain cap: "
         "the panel of Plain cap takes at most 5 × 2.5 in."),
        (["plan", "patch", "cap", "--sizes", "wide"],
         'found "wide", expected a length such as 2.25, 2 1/4 or 57 mm. '
         "Write the number first and the unit, in or mm, after it."),
    ],
)  # fmt: skip
def test_a_name_or_size_that_is_not_there(run, words, said):
    """One sentence, with what there is."""
    assert run(*words) == (2, "", f"{said}\n")


@pytest.mark.parametrize("tiers", ["12,6", "0,6", "1.5"])
def test_tiers_that_are_none(run, tiers):
    """Told by the command line itself, with how it is used."""
    code, out, err = run("plan", "patch", "cap", "--tiers", tiers)
    assert (code, out) == (2, "")
    assert err.splitlines()[-1] == (
        f'python -m pricelab plan: error: argument --tiers: found "{tiers}", expected whole '
        "quantities that rise, such as 1,12,24,48"
    )


def test_a_day_and_a_number_that_are_none(run):
    """Of `export --on` and `choose --most`."""
    for day in ("25.11.2026", "2027-02-29", "9999-12-31"):  # the last has no thirtieth day after it
        code, _, err = run("export", "patch", "cap", "--to", "x", "--on", day)
        assert code == 2
        assert err.endswith(f'--on: found "{day}", expected a day such as 2026-11-25\n')
    _, _, err = run("choose", "patch", "cap", "--most", "0")
    assert err.endswith('--most: found "0", expected a whole number from 1 to 30\n')


def test_a_shop_without_a_list_is_told_how_to_get_one(run, shop):
    """Audit needs today's list."""
    (shop / "price_list.csv").unlink()
    code, out, err = run("audit")
    assert (code, out) == (2, "")
    assert err == (
        "Small Shop has no price list yet. Plan one, save it with `python -m pricelab export`, and "
        "put it in the shop's folder as price_list.csv.\n"
    )


def test_a_margin_that_leaves_no_price_is_told(run, shop):
    """Fees of 5 % and a target of 96 %."""
    (shop / "shop.csv").write_text(with_setting("target margin", "96 %"))
    code, out, err = run("plan", "patch", "cap")
    assert (code, out) == (2, "")
    assert err.startswith('shop.csv, row 13, column "value": found a target margin of 96 % with')


@pytest.mark.parametrize(("words", "code"), [(["audit"], 1), (["plan", "patch", "cap"], 0)])
def test_from_a_shell(shop, words, code):
    """The whole way, in a process of its own: exit code and text."""
    done = subprocess.run(
        [sys.executable, "-m", "pricelab", *words, "--shop", str(shop)],
        cwd=ROOT, capture_output=True, encoding="utf-8",
        env={**os.environ, "PYTHONIOENCODING": "utf-8"}, check=False,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (code, "")
    assert done.stdout == (AUDIT if code else PLAN)


def test_every_list_of_the_demo_shops_can_be_planned(capsys):
    """Each pair of today's lists, at its own tiers."""
    for name in ("harbour-caps", "fjord-muetzen"):
        folder = read_shop(ROOT / "data" / name)
        for today in folder.price_lists:
            words = ["plan", today.method, today.blank, "--shop", str(ROOT / "data" / name)]
            assert cli.main(words) == 0, words
    assert capsys.readouterr().err == ""
