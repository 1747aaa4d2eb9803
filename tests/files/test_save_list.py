"""A saved list takes its place beside the others, and nothing else in the file changes."""

from datetime import UTC, datetime

import numpy as np
import pytest
import smallshop

from pricelab.files.save_list import save_list, with_list
from pricelab.files.shop_folder import read_shop
from pricelab.shop.errors import PricelabError
from pricelab.shop.price_list import PriceList
from pricelab.shop.sizes import Measure

NOW = datetime(2026, 11, 25, 9, 30, tzinfo=UTC)
IN = (Measure.MEAN_OF_SIDES, "in")


def a_list(starts=(1, 18, 24), prices=((25.10, 12.0, 10.50), (26.95, 14.0, 12.30)), last=50):
    """A list of the small shop's patch on its cap."""
    return PriceList("patch", "cap", *IN, [2, 3], np.array(starts), last, prices)


def test_a_saved_list_is_read_back_as_it_was(tmp_path):
    """Tiers, prices and the last quantity."""
    folder = read_shop(smallshop.write_shop(tmp_path))
    stood = (tmp_path / "price_list.csv").read_bytes()
    kept = save_list(folder, a_list(), NOW)
    assert kept == tmp_path / "old" / "price_list.until-2026-11-25-093000.csv"
    assert kept.read_bytes() == stood
    (again,) = read_shop(tmp_path).price_lists
    np.testing.assert_allclose(again.prices, a_list().prices)
    assert (again.starts.tolist(), again.last) == ([1, 18, 24], 50)


def test_other_lists_keep_their_prices(tmp_path):
    """A column that another list does not change at repeats the price that holds there."""
    folder = read_shop(smallshop.write_shop(tmp_path))
    other = PriceList("patch", "bag", *IN, [2], np.array([6, 12]), 50, [[9.0, 8.0]])
    text = with_list(b"", [folder.price_lists[0], other], a_list(), folder.shop).decode()
    assert text.splitlines() == [
        "method,blank,size,1,6,12,18,24",
        "patch,cap,2,25.10,25.10,25.10,12.00,10.50",
        "patch,cap,3,26.95,26.95,26.95,14.00,12.30",
        "patch,bag,2,,9.00,8.00,8.00,8.00",
    ]


def test_comments_notes_and_the_files_own_commas_stay(tmp_path):
    """A European file stays one, with the remark above it and the note beside a row."""
    folder = read_shop(smallshop.write_shop(tmp_path))
    content = "# mine\nmethod;blank;size;1;12;24;note\npatch;cap;2;25,10;9,90;10,50;as agreed\n"
    text = with_list(content.encode(), folder.price_lists, a_list(), folder.shop).decode()
    assert text.splitlines()[:3] == [
        "# mine",
        "method;blank;size;1;18;24;note",
        "patch;cap;2;25,10;12,00;10,50;as agreed",
    ]


def test_a_file_of_windows_stays_one_and_no_remark_is_lost(tmp_path):
    """The mark by which a spreadsheet knows UTF-8, ends of lines, and remarks where they stand."""
    folder = read_shop(smallshop.write_shop(tmp_path))
    other = PriceList("patch", "bag", *IN, [2], np.array([6]), 50, [[9.0]])
    content = (
        "\ufeff# Für alle\r\n\r\nmethod,blank,size,1,6,note\r\n# on caps\r\n"
        'patch,cap,up to 2,25.10,,"as agreed\r\nin May"\r\n# the large one\r\n'
        "patch,cap,2.01–3,26.95,,\r\n# on bags\r\npatch,bag,2,,9.00,new\r\n# the end\r\n"
    ).encode()
    lists = [folder.price_lists[0], other]
    assert (
        with_list(content, lists, a_list((1, 18), ((25.1, 12), (26.95, 14))), folder.shop)
        == (
            "\ufeff# Für alle\r\nmethod,blank,size,1,6,18,note\r\n# on caps\r\n# the large one\r\n"
            'patch,cap,2,25.10,25.10,12.00,"as agreed\r\nin May"\r\n'
            "patch,cap,3,26.95,26.95,14.00,\r\n# on bags\r\npatch,bag,2,,9.00,9.00,new\r\n"
            "# the end\r\n"
        ).encode()
    )


def test_where_the_lists_end_stays(tmp_path):
    """At 40 pieces, where the shop's largest order is 50."""
    folder = read_shop(smallshop.write_shop(tmp_path))
    save_list(folder, a_list(last=40), NOW)
    assert read_shop(tmp_path).price_lists[0].last == 40


def test_a_first_list_is_saved_in_a_file_of_its_own(tmp_path):
    """A shop without price_list.csv gets one."""
    folder = read_shop(smallshop.write_shop(tmp_path))
    (tmp_path / "price_list.csv").unlink()
    folder = read_shop(tmp_path)
    save_list(folder, a_list(), NOW)
    assert len(read_shop(tmp_path).price_lists) == 1


def test_a_list_changed_elsewhere_is_not_written_over(tmp_path):
    """In another tab, or in a spreadsheet."""
    folder = read_shop(smallshop.write_shop(tmp_path))
    changed = smallshop.FILES["price_list.csv"].replace("9.90", "9.95")
    (tmp_path / "price_list.csv").write_text(changed, encoding="utf-8")
    with pytest.raises(
        PricelabError,
        match=r"^price_list\.csv was changed since this page read it, perhaps in another tab or "
        r"in a spreadsheet\. Run this notebook again, then save\.$",
    ):
        save_list(folder, a_list(), NOW)
    assert (tmp_path / "price_list.csv").read_text(encoding="utf-8") == changed


def test_lists_in_a_spreadsheet_are_not_hidden_by_a_second_file(tmp_path):
    """Two files of one table would be a fault at the next reading."""
    folder = read_shop(smallshop.write_shop(tmp_path))
    (tmp_path / "price_list.csv").unlink()
    (tmp_path / "price_list.xlsx").write_bytes(b"")
    with pytest.raises(PricelabError, match=r"^Your lists are in price_list\.xlsx"):
        save_list(folder, a_list(), NOW)
