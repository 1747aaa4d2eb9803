"""Edits that are not saved yet are kept beside the tables, and come back as they were."""

from datetime import UTC, datetime

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pricelab.files.edits import EDITABLE, Edits
from pricelab.files.unsaved import FILE, keep_unsaved, with_unsaved


@pytest.fixture
def folder(corner_shop):
    """A shop's folder."""
    corner_shop.read()
    return corner_shop.folder


@settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.data())
def test_whatever_was_typed_comes_back(folder, data):
    """In any cell of any table: the same files would be saved as before."""
    edits = Edits.of(folder)
    for _ in range(data.draw(st.integers(0, 3))):
        table = data.draw(st.sampled_from([t for t in EDITABLE if edits.rows(t)]))
        row = data.draw(st.sampled_from(edits.rows(table)))
        column = data.draw(st.sampled_from(edits.headings(table)))
        text = data.draw(st.text(max_size=8).filter(lambda text: "#" not in text))
        edits = edits.with_cell(table, row, column, text)
    keep_unsaved(edits)
    assert (folder / FILE).exists() == bool(edits.changed)
    back, stale = with_unsaved(Edits.of(folder))
    assert (back.contents(), stale) == (edits.contents(), ())


def test_a_table_that_was_not_there_comes_back_too(folder):
    """With the row that was begun."""
    (folder / "promotions.csv").unlink()
    edits = Edits.of(folder).with_row("promotions")
    edits = edits.with_cell("promotions", edits.rows("promotions")[0], "method", "leather")
    keep_unsaved(edits)
    back, _ = with_unsaved(Edits.of(folder))
    assert back.keys("promotions") == ("leather",)


def test_nothing_is_kept_once_it_is_saved(folder):
    """And a table that another changed since is left as that one has it."""
    edits = Edits.of(folder).with_setting("labour rate", "31").with_setting("name", "Other")
    keep_unsaved(edits)
    edits.save(datetime(2026, 11, 25, tzinfo=UTC))
    assert with_unsaved(Edits.of(folder)) == (Edits.of(folder), ("shop",))
    keep_unsaved(Edits.of(folder))
    assert not (folder / FILE).exists()
    keep_unsaved(Edits.of(folder))


@pytest.mark.parametrize(
    "damaged", [b"", b"{", b"[]", b"3", b'{"shop": 1}', b'{"shop": {}}', b'{"../x": {"of": ""}}']
)
def test_a_damaged_file_brings_nothing_back(folder, damaged):
    """The tables are read as they are."""
    (folder / FILE).write_bytes(damaged)
    assert with_unsaved(Edits.of(folder)) == (Edits.of(folder), ())
