"""The panel on methods, driven and read without a browser."""

import pytest
import smallshop

from pricelab.files.shop_folder import read_shop
from pricelab.screens.methods import MethodsPanel
from pricelab.words import cautions


@pytest.fixture
def panel(harbour):
    """The panel as it opens."""
    return MethodsPanel(harbour)


def rows(words: str) -> list[list[str]]:
    """The rows of a printed table, cells apart."""
    return [[cell for cell in line.split("  ") if cell] for line in words.splitlines()[2:]]


def test_it_opens_on_an_order_with_every_part_filled(panel):
    assert all(part.words for part in panel.parts)
    assert all(part.box.value for part in panel.parts)
    assert "48 pieces of 2.5 × 2 in on Structured twill cap" in str(panel)


def test_the_table_is_sorted_by_the_goal_and_marks_the_best(panel):
    for goal, column, least in (
        ("profit", 5, False), ("margin", 4, False), ("total", 2, True), ("profit an hour", 8, False)
    ):  # fmt: skip
        panel.goal.set(goal)
        cells = [row[column].strip() for row in rows(panel.table.words)]
        assert cells[0].startswith("▲ ")
        figures = [
            float(cell.removeprefix("▲ ").replace("$", "").replace(" %", "").replace(",", ""))
            for cell in cells
        ]
        assert figures == sorted(figures, reverse=not least)
        assert sum("▲" in cell for cell in cells) == 1


def test_the_map_the_finding_and_the_table_agree_on_who_leads(panel):
    """The leader in the title is the first of the table, and the map's table has it here."""
    for pieces in ("6", "12", "30", "100", "500"):
        panel.pieces.set(pieces)
        first = rows(panel.table.words)[0][0].removesuffix(" *").strip()
        assert panel.map.words.startswith(f"{first} earns most an order here")
        assert f"{first} earns most an order: " in panel.finding.words
        led = next(row for row in rows(panel.map.words) if row[0].strip() == first)
        assert any(
            int(low) <= int(pieces) <= int(high or low)
            for part in led[2].split(", ")
            for low, _, high in [part.strip().partition("–")]
        )


def test_what_is_not_possible_is_said_by_method(panel):
    panel.blank.set("light-nylon")
    assert "needs 300°, more than Light nylon running cap bears (275°)." in panel.suits.words
    panel.method.set("leather")
    assert panel.account.words == (
        "Leather patch, pressed on needs 300°, more than Light nylon running cap bears (275°)."
    )
    panel.sides.width.set("5")
    assert "no method can do it" in panel.finding.words
    assert panel.table.words == ""
    assert panel.map.words.startswith("No method can do this order; over the whole map ")
    panel.sides.width.set("60")
    assert panel.map.words.startswith("Nothing can be made in these proportions on this blank")


def test_a_quantity_under_a_list_is_said_in_its_row(panel):
    panel.pieces.set("5")
    assert "The lists go from 6 to 600 pieces." in panel.suits.words


def test_a_repeat_order_is_charged_no_set_up(panel):
    panel.method.set("leather")
    assert "set-up line of the list" in panel.account.words
    panel.order.set(False)
    assert "set-up" not in panel.account.words


def test_more_colours_cost_vinyl_more(panel):
    """A layer of vinyl for each colour; leather patches cost the same in any number."""
    panel.what.set("cost")
    one = {row[0].strip(): row[1] for row in rows(panel.curves.words)}
    panel.colours.set(3)
    three = {row[0].strip(): row[1] for row in rows(panel.curves.words)}
    assert one["Leather patch"] == three["Leather patch"]
    assert float(three["Cut vinyl *"].strip(" $")) > float(one["Cut vinyl *"].strip(" $"))


def test_stitches_are_marked_as_estimated_until_they_are_typed(panel):
    """2.5 × 2 in, half of it filled with 2,000 a square inch: 5,000; foam needs 2,300."""
    told = "Stitches a piece are estimated from the filled area: Flat (own machine) 5,000, Raised "
    assert told in panel.table.words
    before = panel.table.words
    panel.stitches.set("5,000")
    assert "estimated" not in panel.table.words
    own = [row for row in rows(before) if row[0].strip() == "Flat (own machine)"]
    assert own == [row for row in rows(panel.table.words) if row[0].strip() == own[0][0].strip()]


def test_curves_name_the_best_first(panel):
    panel.what.set("cost")
    assert "has the lowest cost" in panel.curves.words
    panel.what.set("profit")
    panel.over.set("size")
    assert "has the highest profit" in panel.curves.words
    assert "width, in" in panel.curves.box.value


def test_embroidery_here_and_sent_out_get_a_sentence(panel):
    assert panel.pairs.words == (
        "In-house or contracted out, at 2.5 × 2 in, where Flat (own machine) and Flat (contracted "
        "out) are both offered. More profit an order: Flat (contracted out) at 24 pieces or more. "
        "More an hour of the bottleneck: Flat (contracted out) at 24 pieces or more. Lower cost: "
        "Flat (own machine) at 24 pieces or more."
    )


def test_one_method_alone_is_not_said_to_lead(tmp_path):
    panel = MethodsPanel(read_shop(smallshop.write_shop(tmp_path)))
    assert "is your only method: profit an order $" in panel.map.words
    assert "lead" not in panel.map.words.partition("\n")[0]
    assert panel.borders.words == ""
    assert "▲" not in panel.table.words
    assert "Profit an order: $" in panel.finding.words


def test_cautions_stand_beside_heat_and_care(panel):
    for caution in (cautions.HOT, cautions.HEAT_HARMS, cautions.MOVING, cautions.LAUNDRY):
        assert str(caution) in panel.cautions.words


def test_prices_that_are_only_planned_are_marked_wherever_they_stand(panel):
    """Vinyl has no list on this cap: in the table, on the map, on the curves, and in words."""
    said = "* has no list today: the prices are those of a planned one."
    assert said in panel.finding.words
    for shown in (panel.table, panel.map, panel.curves):
        names = [row[0].strip() for row in rows(shown.words)]
        assert [name for name in names if name.endswith("*")] == ["Cut vinyl *"]
