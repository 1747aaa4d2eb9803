"""A folder of one's own begins whole or not at all, marked as to be replaced."""

import os
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pricelab.files.folders import (
    DEMO_SHOPS,
    OPENED,
    SHOPS_VARIABLE,
    is_demo,
    opened_last,
    shop_folder,
)
from pricelab.files.new_shop import (
    check_name,
    choose_shop,
    copy_shop,
    own_shops,
    start_shop,
)
from pricelab.files.shop_folder import read_shop
from pricelab.shop.errors import PricelabError

HARBOUR, FJORD = DEMO_SHOPS


@pytest.fixture
def shops(tmp_path, monkeypatch):
    """A place for one's own shops, on a path with a space and letters beyond Latin ones."""
    place = tmp_path / "Ανήκει σε μένα"
    monkeypatch.setenv(SHOPS_VARIABLE, str(place))
    return place


def figures(folder):
    """What the rows of a shop come to: rates, prices of blanks and of grids, minutes, charges."""
    shop = read_shop(folder).shop
    return (
        shop.rates.labour, shop.pricing.target,
        {key: blank.prices.prices.tolist() for key, blank in shop.blanks.items()},
        {key: m.grid and m.grid.prices.tolist() for key, m in shop.methods.items()},
        [(o.name, o.minutes) for m in shop.methods.values() for o in m.operations],
        [(c.name, c.amount, c.share) for c in shop.charges],
    )  # fmt: skip


@pytest.mark.parametrize(
    ("like", "currency", "methods"),
    [(HARBOUR, "CAD", ("leather", "vinyl")), (FJORD, "GBP", ("leather", "flat"))],
)
def test_a_lean_start_has_the_methods_asked_for_in_either_decimal_mark(
    shops, like, currency, methods
):
    """The same figures, as the demo shop has them, whichever way they are written."""
    point = start_shop("With points", like, currency, methods, mark=".")
    comma = start_shop("With commas", like, currency, methods, mark=",")
    assert figures(point) == figures(comma)
    of_demo = figures(like)
    assert figures(point)[0] == of_demo[0]
    shop = read_shop(point).shop
    assert (shop.name, shop.currency, shop.notice) == ("With points", currency, "")
    assert tuple(shop.methods) == methods
    assert len(shop.blanks) == 3
    for at in (2, 3):
        assert figures(point)[at].items() <= of_demo[at].items()
    assert ";" not in (point / "operations.csv").read_text("utf-8")
    assert (comma / "operations.csv").read_text("utf-8").startswith("method;operation;minutes;")


def test_every_figure_of_a_lean_start_is_marked(shops):
    """Counted from the demo shop's tables: rows of the two methods and of the whole shop."""
    folder = start_shop("Corner Caps", HARBOUR, "USD", ("leather", "flat"))
    said = {str(w.place): w.found for w in read_shop(folder).warnings}
    assert said == {
        "blank_prices.csv": '15 rows marked "to be replaced"',  # 5 steps of 3 blanks
        "blanks.csv": '3 rows marked "to be replaced"',
        "costs.csv": '16 rows marked "to be replaced"',  # 12 of the shop, 2 and 2
        "grids/leather-patches.csv": 'a table marked "to be replaced"',
        "methods.csv": '2 rows marked "to be replaced"',
        "operations.csv": '11 rows marked "to be replaced"',  # 3 of the shop, 4 and 4
        "shop.csv": '6 rows marked "to be replaced"',  # two rates, two margins, a step, a tax
        "stitching.csv": '1 row marked "to be replaced"',
    }
    assert str(read_shop(folder).warnings[1]) == (
        'blanks.csv: found 3 rows marked "to be replaced", expected figures of your own. '
        "Put yours in and take the mark away."
    )


def test_a_whole_copy_is_the_shop_with_another_name(shops):
    """Tables, grids and jobs; not the quotes, the records or what else lies there."""
    folder = copy_shop("To try out", HARBOUR)
    demo, copy = read_shop(HARBOUR), read_shop(folder)
    assert copy.shop.name == "To try out"
    assert copy.shop.notice == demo.shop.notice
    assert copy.jobs.equals(demo.jobs)
    assert copy.warnings == demo.warnings
    for path in folder.rglob("*.csv"):
        if path.name != "shop.csv":
            assert path.read_bytes() == (HARBOUR / path.relative_to(folder)).read_bytes()
    assert {path.suffix for path in folder.rglob("*.*")} == {".csv"}
    assert is_demo(HARBOUR)
    assert not is_demo(folder)


def test_the_shop_chosen_is_opened_and_the_demo_can_be_chosen_again(shops):
    """The name is kept from the folder of shops on, so that all of it can be moved."""
    folder = start_shop("Corner Caps", HARBOUR, "USD", ("leather",))
    assert own_shops() == (folder,)
    choose_shop(folder)
    assert (shops / OPENED).read_text("utf-8") == "Corner Caps\n"
    assert shop_folder() == folder
    choose_shop(FJORD)
    assert (shop_folder(), opened_last()) == (FJORD, FJORD)


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("", "Found no name, {expected} Write the name of your shop."),
        ("x" * 61, f'Found "{"x" * 39}…", {{expected}} Write up to 60 letters.'),
        ("../data", 'Found "../data", {expected} {signs}'),
        ("a\\b", 'Found "a\\b", {expected} {signs}'),
        ("what?", 'Found "what?", {expected} {signs}'),
        ("a\0b", 'Found "a b", {expected} {signs}'),
        ("a\u202eb", 'Found "a b", {expected} {signs}'),
        (".hidden", 'Found ".hidden", {expected} {ends}'),
        ("...", "Found no name, {expected} Write the name of your shop."),
        ("Nul", 'Found "Nul", {expected} Write another: some systems take it for a machine.'),
        ("com1.x", 'Found "com1.x", {expected} Write another: some systems take it for a machine.'),
    ],
)
def test_a_name_that_can_be_no_folders_is_told(shops, name, said):
    """Before anything is written."""
    with pytest.raises(PricelabError, match=r"^Found ") as told:
        start_shop(name, HARBOUR, "USD", ("leather",))
    assert str(told.value) == said.format(
        expected="expected a name that can be a folder's, such as Corner Caps.",
        signs='Leave out / \\ : * ? " < > | and signs that are not seen.',
        ends="Begin with a letter or a figure.",
    )
    assert not shops.exists() or not list(shops.iterdir())


@given(st.text(max_size=70))
def test_a_name_taken_is_one_folder_inside(name):
    """On any system: no separator, no device, nothing that means the folder above."""
    try:
        taken = check_name(name)
    except PricelabError:
        return
    assert not re.search(r'[<>:"/\\|?*\x00-\x1f]', taken)
    assert taken[-1] not in ". "
    assert os.path.basename(taken) == os.path.normpath(taken) == taken
    assert check_name(taken) == taken


def test_a_name_that_is_there_already_is_told(shops):
    """In other letters too, which some systems take for the same."""
    start_shop("Corner Caps", HARBOUR, "USD", ("leather",))
    with pytest.raises(
        PricelabError, match=r'^There is a shop "Corner Caps" already\. Write another name\.$'
    ):
        copy_shop("corner caps", HARBOUR)


def test_a_name_that_ends_in_a_point_is_kept_as_it_is_printed(shops):
    """Only the folder goes without, for some systems take it away by themselves."""
    folder = start_shop("Mützen  & Co.", HARBOUR, "USD", ("leather",))
    assert (folder.name, read_shop(folder).shop.name) == ("Mützen & Co", "Mützen & Co.")


def test_what_else_will_not_do_is_told(shops):
    """A currency that is none, and no method at all."""
    with pytest.raises(PricelabError, match=r'^found the currency "usd", expected a three-letter'):
        start_shop("Corner Caps", HARBOUR, "usd", ("leather",))
    with pytest.raises(PricelabError, match=r"^Found no method, expected one at least\. Tick one"):
        start_shop("Corner Caps", HARBOUR, "USD", ())
    assert not shops.exists()


@pytest.mark.parametrize("like", [HARBOUR, FJORD], ids=lambda path: path.name)
def test_a_start_with_any_one_method_is_a_shop_in_order(shops, like):
    """Each has its grid, its machine or its roll, and its minutes."""
    for method in read_shop(like).shop.methods:
        folder = read_shop(start_shop(f"Only {method}", like, "USD", (method,)))
        assert list(folder.shop.methods) == [method]
        assert folder.shop.methods[method].operations


def test_nothing_is_left_behind_where_a_start_fails(shops, monkeypatch):
    """A full disk at the fifth file; then a place that may not be written to."""
    written, count = os.fsync, []

    def full(file):
        count.append(file)
        if len(count) == 5:
            raise OSError(28, "No space left on device")
        return written(file)

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(PricelabError, match="the disk is full") as told:
        start_shop("Corner Caps", HARBOUR, "USD", ("leather",))
    assert str(told.value) == (
        f'Could not save "{shops / "Corner Caps"}": the disk is full. Make room and try again; '
        "nothing was changed."
    )
    assert list(shops.iterdir()) == []
    monkeypatch.setattr(os, "fsync", written)

    def closed(*paths):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(os, "replace", closed)
    with pytest.raises(PricelabError, match="may not be written to"):
        start_shop("Corner Caps", HARBOUR, "USD", ("leather",))
    assert list(shops.iterdir()) == []
