"""What the engineer has still to accept: one list for the house, empty only when all of it is given."""

from __future__ import annotations

from dataclasses import replace

import pytest

from engineering.exchange import dumps, loads
from engineering.house import assess
from engineering.results import HouseResult
from tests.engineering.varied import house, with_line

BY = "the engineer of the example"
GIVEN = {"system_accepted_by": BY, "small_pieces_accepted_by": BY}
SMALL = "panel: pieces smaller than 4 × 8 ft because of the access opening"


def _accepted():
    return house(criteria=GIVEN)


def test_nothing_is_left_where_all_is_accepted():
    assert assess(_accepted()).to_accept == ()


def test_r_under_older_stories_is_asked_for():
    left = assess(house(criteria=GIVEN | {"system_accepted_by": " "})).to_accept
    assert left == ("R = 6.5 for new panels under older stories",)


def test_link_0_is_asked_for_by_line():
    left = assess(with_line(_accepted(), "B", link_0_accepted_by="")).to_accept
    assert left == ("line B, floor sheathing to rim, diaphragm beside the line",)


def test_the_foundation_is_asked_for_by_line():
    left = assess(with_line(_accepted(), "2", foundation={"accepted_by": ""})).to_accept
    assert left == ("line 2, foundation",)


def test_small_pieces_are_asked_for_by_line():
    left = assess(house(criteria=GIVEN | {"small_pieces_accepted_by": ""})).to_accept
    assert left == tuple(f"line {label}, {SMALL}" for label in ("A", "B", "1", "2"))


@pytest.mark.parametrize(
    ("opening_in", "small"),
    [
        ((24.0, 18.0), True),  # 36 in high pieces pass on edge, 24 in long
        ((36.0, 10.0), False),  # a whole sheet passes lying down
        ((35.9, 30.0), True),
        ("not observed", False),  # drawn as whole sheets, said as an assumption
    ],
)
def test_pieces_are_small_where_the_opening_cuts_them(opening_in, small):
    given = replace(house(criteria=GIVEN | {"small_pieces_accepted_by": ""}), access_opening_in=opening_in)
    assert bool(assess(given).to_accept) is small


def test_a_panel_no_longer_than_the_opening_lets_through_has_no_small_piece():
    given = replace(house(criteria=GIVEN | {"small_pieces_accepted_by": ""}), access_opening_in=(35.0, 30.0))
    for line in given.lines:
        short = replace(line.panels[0], to_ft=line.panels[0].from_ft + 35 / 12)
        given = with_line(given, line.label, panels=(short,))
    assert assess(given).to_accept == ()


def test_who_accepts_small_pieces_is_printed():
    notes = assess(_accepted()).line("A").link("4").check.notes
    assert any(note.endswith(f"all edges blocked, accepted by {BY}") for note in notes)


def test_all_of_it_is_listed_at_once():
    bare = with_line(house(), "A", link_0_accepted_by="", foundation={"accepted_by": ""})
    left = assess(bare).to_accept
    assert len(left) == 1 + 2 + 4


def test_a_result_frozen_before_the_list_existed_is_still_read():
    frozen = dumps(assess(house()))
    del frozen["to_accept"]
    assert loads(HouseResult, frozen).to_accept == ()
