"""A fault in words, and a report of many."""

import pytest

from pricelab.files.faults import Report, ShopFaults, quoted
from pricelab.shop.errors import PricelabError
from pricelab.shop.place import Place


def test_a_values_own_check_becomes_a_fault_at_its_row():
    """`make` keeps the value's sentence, adds the mend and goes on without the value."""

    def refuse(length):
        raise PricelabError(f"found {length}, expected less.")

    report = Report()
    assert report.make(Place("rolls.csv", 3), refuse, 7, mend="Measure again.") is None
    assert [str(fault) for fault in report.faults] == [
        "rolls.csv, row 3: found 7, expected less. Measure again."
    ]
    assert report.make(Place("rolls.csv", 4), int, "12") == 12


def test_faults_are_listed_by_file_as_read_and_row_and_warnings_do_not_count():
    """All at once; what is read first is what the others go by."""
    report = Report()
    report.warn(Place("a.csv", 1), "x", "y", "Look.")
    report.raise_faults()
    for file, row in (("b.csv", 10), ("b.csv", 9), ("a.csv", 2), ("b.csv", None)):
        report.fault(Place(file, row), "x", "y", "Mend it.")
    with pytest.raises(ShopFaults, match=r"^b\.csv: found x, expected y\. Mend it\.\n") as refused:
        report.raise_faults()
    assert [line.split(":")[0] for line in str(refused.value).split("\n")] == [
        "b.csv",
        "b.csv, row 9",
        "b.csv, row 10",
        "a.csv, row 2",
    ]
    assert list(map(str, report.warnings)) == ["a.csv, row 1: found x, expected y. Look."]


@pytest.mark.parametrize(
    ("cell", "said"),
    [("", "an empty cell"), ("two\nlines\t", '"two lines "'), ("x" * 50, f'"{"x" * 39}…"')],
)
def test_a_cell_is_repeated_on_one_line_and_not_too_long(cell, said):
    """A message stays one line whatever the cell holds."""
    assert quoted(cell) == said
