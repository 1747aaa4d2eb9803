"""The price list as CSV: what stands in it, that our own reader reads it, that it is harmless."""

import csv
from dataclasses import replace

import pytest
from smallshop import FILES, ON, PRICES, write_shop

from pricelab.files.shop_folder import read_shop
from pricelab.paper.client_copy import ClientCopy
from pricelab.paper.list_csv import list_csv

TEXT = """\
# Small Shop\r
# Leather patch (Plain cap)\r
"# Price of one piece in US dollars (USD), blank and decoration."\r
"# Set-up $54.55 the first time an artwork is made, none on reorders."\r
# 10 % sales tax is added to the prices.\r
"# The size is width plus height, divided by two: 4 in by 2 in is 3 in."\r
# More than 50 pieces: ask us.\r
"# Prices of 25 November 2026, valid until 25 December 2026."\r
# Paid on collection.\r
"# 12 pieces can cost no more than 6–11, depending on the size."\r
# 24 pieces cost no more than 21–23.\r
# Leather patch: wipe clean; not for laundering.\r
# Plain cap: hand wash.\r
"# Goods for small children, and goods that touch food, come under rules of their own: \
tell us before you order."\r
# Invented for a test.\r
method,blank,size,1–11,12–23,24–50\r
patch,cap,2,25.10,12.40,10.50\r
patch,cap,3,26.95,14.25,12.30\r
"""
"""Prices by hand, see smallshop. Better off: 12 × 12.40 = 148.80, /25.10 = 5.93, so 6–11;
12 × 14.25 = 171, /26.95 = 6.35, so 7–11; 24 × 10.50 = 252, /12.40 = 20.3, so 21–23;
24 × 12.30 = 295.20, /14.25 = 20.7, so 21–23."""


def test_the_whole_text(copy):
    """Remarks first, then the table; UTF-8 with its mark and Windows line ends."""
    assert list_csv(copy).decode("utf-8-sig") == TEXT
    assert list_csv(copy).startswith(b"\xef\xbb\xbf")


@pytest.mark.parametrize("mark", [".", ","])
def test_the_shop_folder_reads_it_back(copy, tmp_path, mark):
    """Put in the folder as price_list.csv it is today's list, to the last quantity."""
    other = write_shop(tmp_path / "other")
    (other / "price_list.csv").write_bytes(list_csv(copy, mark))
    (read,) = read_shop(other).price_lists
    assert read.prices.tolist() == PRICES
    assert read.sizes.tolist() == [2, 3]
    assert (read.starts.tolist(), read.last) == ([1, 12, 24], 50)


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t=", "\n@", " ="])
def test_no_cell_is_taken_for_a_formula(folder, price_list, start):
    """Names from a shop's files that would be worked out by a spreadsheet."""
    shop = folder.shop
    evil = f"{start}1+1,{start}2\n{start}3"
    method = replace(shop.methods["patch"], key=evil, name=evil, care=evil)
    blank = replace(shop.blanks["cap"], key=evil, name=evil, care=evil)
    shop = replace(
        shop, name=evil, notice=evil, conditions=evil, methods={evil: method}, blanks={evil: blank}
    )
    copy = ClientCopy.of(shop, replace(price_list, method=evil, blank=evil), ON)
    for mark in (".", ","):
        text = list_csv(copy, mark).decode("utf-8-sig")
        rows = list(csv.reader(text.splitlines(), delimiter=";" if mark == "," else ","))
        assert len(rows) == 18  # one line each: no name breaks a row in two
        assert not [
            cell for row in rows for cell in row if cell.strip().startswith(("=", "+", "-", "@"))
        ]


def test_a_list_of_no_known_set_up_says_so(folder):
    """Today's list, as read from a file, knows no set-up price."""
    text = list_csv(ClientCopy.of(folder.shop, folder.price_lists[0], ON)).decode()
    assert "Set-up is charged the first time an artwork is made: ask us." in text


def test_set_up_that_is_spread_has_no_charge_of_its_own(tmp_path):
    """The prices then hold the set-up, and the list says so."""
    shop = FILES["shop.csv"] + "set-up,spread\n"
    folder = read_shop(write_shop(tmp_path, shop=shop))
    copy = ClientCopy.of(folder.shop, folder.price_lists[0], ON)
    assert copy.setup_note == "Setting up is included in the prices."
