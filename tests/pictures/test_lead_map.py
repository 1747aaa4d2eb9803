"""The lead map: what is drawn where, its words, and that a quick drawing is a fresh one."""

from dataclasses import replace

import numpy as np
import pytest
from drawing import check_drawn_again, drawn, misplaced, said
from matplotlib.colors import to_hex

from pricelab.analysis.lead_map import NOBODY, shares
from pricelab.pictures.lead_map import LEAD_MAP, LeadMap, describe
from pricelab.words.leads import GOALS

QUANTITIES = np.arange(1, 101)


def a_map(**changes) -> LeadMap:
    """Vinyl leads to 11 pieces, then leather; at 3 in nobody from 50 on."""
    leader = np.zeros((3, 100), int)
    leader[:, 11:] = 1
    leader[2, 49:] = NOBODY
    parts = {
        "goal": GOALS["profit"],
        "names": ("Cut vinyl", "Leather patch", "Moulded"),
        "threads": (5, 0, 2),
        "widths": np.array([2.0, 2.5, 3.0]),
        "unit": "in",
        "quantities": QUANTITIES,
        "leader": leader,
        "losing": np.zeros(leader.shape, bool),
        "shares": shares(leader, QUANTITIES, 3),
        "here": (1, 23),
        "finding": "Leather patch earns most here",
    }
    return LeadMap(**(parts | changes))


def regions(ax):
    """The filled shapes by colour: their bounding boxes, and their patterns."""
    found = {}
    for patch in ax.patches:
        box = patch.get_path().get_extents()
        found.setdefault(to_hex(patch.get_facecolor()), []).append((box, patch.get_hatch()))
    return found


def test_runs_are_drawn_to_the_piece_and_rows_half_way_to_their_neighbours():
    """Vinyl's region ends where the twelfth piece begins; rows of .5 in reach .25 either way."""
    ax = drawn(LEAD_MAP, a_map())
    vinyl = [p for p in ax.patches if p.get_hatch() == "xx"]
    (box,) = (p.get_path().get_extents() for p in vinyl if p.get_transform() == ax.transData)
    assert (box.x0, box.x1, box.y0, box.y1) == (1, 12, 1.75, 3.25)


def test_the_axis_of_quantity_goes_by_ratio_and_small_sizes_stand_on_top():
    ax = drawn(LEAD_MAP, a_map())
    assert ax.get_xscale() == "log"
    low, high = ax.get_ylim()
    assert low > high
    assert ax.get_xlim() == (1, 101)


def test_every_leader_is_named_and_none_that_leads_nowhere():
    ax = drawn(LEAD_MAP, a_map())
    words = said(ax)
    assert words.count("Cut vinyl") == 2  # in its region and in the key
    assert words.count("Leather patch") == 2
    assert "nobody" in words
    assert not any("Moulded" in one for one in words)


def test_colour_is_never_the_only_cue():
    """Regions side by side differ by pattern too: all seven patterns are different."""
    patterns = set()
    for thread in range(7):
        ax = drawn(LEAD_MAP, a_map(threads=(thread, (thread + 1) % 7, (thread + 2) % 7)))
        patterns |= {hatch for boxes in regions(ax).values() for _, hatch in boxes}
    assert len(patterns - {None}) == 6  # the seventh is plain


def test_a_region_too_small_for_its_name_is_named_in_the_key_alone():
    leader = a_map().leader.copy()
    leader[1, 30:32] = 2
    ax = drawn(LEAD_MAP, a_map(leader=leader, shares=shares(leader, QUANTITIES, 3)))
    assert said(ax).count("Moulded") == 1
    assert "under 1 % of the map" in said(ax)


def test_where_even_the_leader_loses_the_map_says_so():
    losing = a_map().leader == 0
    ax = drawn(LEAD_MAP, a_map(losing=losing))
    assert "at a loss" in said(ax)
    assert misplaced(ax) == []  # the leader's name is not under these words
    assert "at a loss" not in said(drawn(LEAD_MAP, a_map()))


def test_the_order_looked_at_is_ringed_on_its_row():
    ax = drawn(LEAD_MAP, a_map())
    rings = [line for line in ax.lines if line.get_marker() == "o"]
    assert {tuple(line.get_ydata()) for line in rings} == {(2.5,)}
    (x,) = {float(line.get_xdata()[0]) for line in rings}
    assert 24 < x < 25
    nowhere = drawn(LEAD_MAP, a_map(here=None))
    assert "o" not in [line.get_marker() for line in nowhere.lines]


def test_the_words_tell_the_cross_through_the_order_exactly():
    """By hand: shares of log 101: vinyl log 12 of it, nobody a third of log(101/50)."""
    told = describe(a_map())
    assert told.finding == "Leather patch earns most here"
    assert told.columns == (
        "Method", "Of the map", "Leads at 2.5 in wide, pieces", "Leads at 24 pieces, in wide",
    )  # fmt: skip
    vinyl = np.log(12) / np.log(101)
    leather = 1 - vinyl - np.log(101 / 50) / np.log(101) / 3
    assert told.rows == (
        ("Cut vinyl", f"{vinyl:.0%}".replace("%", " %"), "1–11", "–"),
        ("Leather patch", f"{leather:.0%}".replace("%", " %"), "12–100", "2–3"),
        ("Moulded", "0 %", "–", "–"),
    )


@pytest.mark.parametrize(
    "changes",
    [
        {"here": None},
        {"leader": np.full((3, 100), NOBODY), "shares": np.zeros(3)},
        {"names": ('<b>48 & "more"</b>', "Leather patch", "Moulded")},
    ],
    ids=["no order", "nobody at all", "markup in a name"],
)
def test_odd_maps_are_drawn_and_read(changes):
    svg = LEAD_MAP.svg(a_map(**changes))
    assert svg.count("<svg") == 1
    assert "<b>" not in svg


def test_one_size_alone_is_a_map():
    one = a_map()
    values = a_map(widths=one.widths[:1], leader=one.leader[:1], losing=one.losing[:1], here=(0, 0))
    assert "Leather patch" in said(drawn(LEAD_MAP, values))


def test_a_quick_map_is_a_fresh_one():
    """To the letter, after other maps were drawn in between."""
    others = replace(a_map(), here=(0, 5)), a_map(leader=np.ones((3, 100), int))
    check_drawn_again(LEAD_MAP, a_map(), *others)
