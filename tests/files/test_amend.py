"""New figures in single cells: written where they belong, and nothing else touched."""

import pytest

from pricelab.errors import PricelabError
from pricelab.files.amend import amend, amended
from pricelab.grids import Place
from pricelab.learning import Change


def minutes(row, after, file="operations.csv"):
    """New minutes in a row."""
    return Change(Place(file, row, "minutes"), "press", "9", after)


TABLE = (
    b"\xef\xbb\xbf# Invented, all of it\r\n"
    b"operation,  minutes ,note\r\n"
    b'"set, and try",9,"said ""so"",\nin two lines"\r\n'
    b"\r\n"
    b"press,0.70\r\n"
    b"sew,2.2,kept as it is"
)


def test_only_the_cells_asked_for_change():
    """Byte for byte: remarks, blank rows, quoted line breaks, ends of lines and the BOM stay."""
    assert amended(TABLE, [minutes(3, "11.9"), minutes(5, "0.836"), minutes(6, "2")]) == (
        b"\xef\xbb\xbf# Invented, all of it\r\n"
        b"operation,  minutes ,note\r\n"
        b'"set, and try",11.9,"said ""so"",\nin two lines"\r\n'
        b"\r\n"
        b"press,0.836,\r\n"
        b"sew,2,kept as it is"
    )


def test_a_file_with_semicolons_has_decimal_commas():
    """As European spreadsheets save it."""
    assert amended(b"operation;minutes\npress;0,7\n", [minutes(2, "0.85")]) == (
        b"operation;minutes\npress;0,85\n"
    )


def test_every_demo_table_comes_back_as_it_was(root):
    """Both shops' own figures written over themselves: each file stays as it is."""
    from pricelab.files.shopfolder import read_shop

    for shop in ("harbour-caps", "fjord-muetzen"):
        folder = root / "data" / shop
        works = [o for m in read_shop(folder).shop.methods.values() for o in m.operations]
        same = [Change(o.place, o.name, "", f"{o.minutes:g}") for o in works]
        content = (folder / "operations.csv").read_bytes()
        assert len(same) > 10
        assert amended(content, same) == content


def test_a_file_changed_meanwhile_is_left_alone(tmp_path):
    """Another tab's figures are not overwritten."""
    path = tmp_path / "operations.csv"
    path.write_bytes(b"operation,minutes\npress,1\n")
    with pytest.raises(PricelabError, match=r"^operations\.csv was changed since this page read"):
        amend(tmp_path, [minutes(2, "3")], b"operation,minutes\npress,2\n")
    assert path.read_bytes() == b"operation,minutes\npress,1\n"


def test_a_spreadsheet_is_not_written(tmp_path):
    """The owner is told what to do instead."""
    with pytest.raises(PricelabError, match=r"in operations\.xlsx, which this workbook does not"):
        amend(tmp_path, [minutes(2, "3", "operations.xlsx")], b"")


def test_a_missing_column_is_named():
    """A figure that stood nowhere cannot be replaced."""
    with pytest.raises(PricelabError, match=r'no column "minutes"\. Add it, write 3 in row 2'):
        amended(b"operation\npress\n", [minutes(2, "3")])
