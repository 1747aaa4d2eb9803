"""A quick, seeded slice of what `tests/fuzzing/run.py` feeds to every reader and every panel."""

from contextlib import suppress
from random import Random

import pytest
from fuzzing.panels import make_panel, panel_kinds, widgets_of
from fuzzing.targets import REFUSED, read_text, targets, write_shop
from hypothesis import given, settings
from hypothesis import strategies as st

from pricelab.files.folders import SHOPS_VARIABLE

TARGETS = {target.name: target for target in targets()}
SPREADSHEETS = [name for name in TARGETS if name.endswith(".xlsx")]


@pytest.mark.parametrize("name", [name for name in TARGETS if name not in SPREADSHEETS[2:]])
def test_nothing_but_a_sentence_comes_out(name, tmp_path, monkeypatch):
    """A few inputs of every target, many of a shop's tables: taken, or refused with words."""
    monkeypatch.setenv(SHOPS_VARIABLE, str(tmp_path / "shops"))
    target, shop = TARGETS[name], tmp_path / "shop"
    write_shop(shop)
    for number in range(25 if name.startswith("folder") and name not in SPREADSHEETS else 2):
        feed = target.ready(shop, Random(f"{name} {number}"))
        with suppress(*REFUSED):
            feed()


@settings(max_examples=50, deadline=None, derandomize=True)
@given(st.text(max_size=40))
def test_every_reader_of_a_text_reads_or_refuses(text):
    """Texts that Hypothesis finds, and makes smaller where one fails."""
    read_text(text)


def test_a_target_that_fails_is_seen():
    """An error that is no sentence goes through to whoever counts."""
    with pytest.raises(AttributeError, match="'int' object has no attribute"), suppress(*REFUSED):
        read_text(5)


def test_every_panel_with_controls_is_among_the_targets(tmp_path, monkeypatch):
    """A new panel is found by itself; its boxes are walked from its root."""
    monkeypatch.setenv(SHOPS_VARIABLE, str(tmp_path / "shops"))
    kinds = panel_kinds()
    assert {f"panel, {name}" for name in kinds} <= set(TARGETS)
    assert {"CounterPanel", "IntakePanel", "NotingPanel", "PriceListPanel"} <= set(kinds)
    write_shop(tmp_path / "shop")
    panel = make_panel(kinds["NotingPanel"], tmp_path / "shop")
    boxes = [type(widget).__name__ for widget in widgets_of(panel.root)]
    assert boxes.count("Text") >= 10
