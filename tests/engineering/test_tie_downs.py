"""Overturning, tie-downs and their anchors."""

from __future__ import annotations

import pytest

from engineering.errors import OutOfRange
from engineering.house import assess, check_chain
from engineering.tie_downs import overturning
from tests.engineering.varied import edited, house, with_line

GIVEN = {
    "shear_lb": 350.0 * 6,
    "height_ft": 8.0,
    "length_ft": 6.0,
    "arm_ft": 5.5,
    "dead_load_plf": 120.0,
    "dead_load_factor": 0.6,
    "compression_factor": 1.0,
}


def test_tension_falls_with_dead_load_and_rises_with_shear():
    base = overturning(**GIVEN).tension_lb
    assert overturning(**{**GIVEN, "dead_load_plf": 240.0}).tension_lb < base
    assert overturning(**{**GIVEN, "shear_lb": 2200.0}).tension_lb > base


def test_without_dead_load_tension_and_compression_are_equal():
    turned = overturning(**{**GIVEN, "dead_load_plf": 0.0})
    assert turned.tension_lb == pytest.approx(turned.compression_lb) == pytest.approx(2100 * 8 / 5.5)


@pytest.mark.parametrize(
    ("field", "value"),
    [("shear_lb", 0.0), ("height_ft", -1.0), ("arm_ft", 6.5), ("arm_ft", 0.0), ("dead_load_plf", -1.0),
     ("dead_load_factor", -0.1)],
)  # fmt: skip
def test_what_can_not_be_is_refused(field, value):
    with pytest.raises(OutOfRange) as refused:
        overturning(**{**GIVEN, field: value})
    assert refused.value.field == field


def test_no_dead_load_shown_means_none_resists():
    bare = with_line(house(), "A", dead_loads=())
    result = assess(bare)
    assert "line A: no dead load on this wall was shown: none resists overturning" in result.assumptions
    assert result.schedule.line("A").count("tie-downs") == 4
    assert result.line("A").link("7b").check.status == "ok"


def test_a_panel_with_one_tie_down_is_open():
    given_house = house()
    one = edited(assess(given_house).schedule, "1", "tie-downs", count=1)
    check = check_chain(given_house, one).line("1").link("7a").check
    assert check.status == "open"
    assert check.notes[0].startswith("panel 1: 1 more tie-down needed, one at each end")


def test_no_tie_down_chosen_leaves_the_link_open():
    line = assess(with_line(house(), "1", methods={"tie_down": "", "tie_down_anchor": ""})).line("1")
    assert [link.link for link in line.links if link.check.status == "open"] == ["7a", "7b"]
    assert line.status == "open"


def test_tie_down_anchors_are_not_counted_in_masonry():
    line = assess(with_line(house(), "1", foundation={"material": "masonry"})).line("1")
    assert line.link("7b").check.status == "open"
    assert line.link("7b").check.notes[0].startswith("masonry foundation")


def test_no_net_tension_keeps_the_anchor_out_of_the_chain():
    line = assess(house()).line("A")
    assert line.link("7b").check.status == "not in the chain"
    assert line.link("8").check.step("uplift_lb").value == 0.0


def test_the_moment_of_the_stories_above_is_said_to_be_left_out():
    check = assess(house()).line("1").link("7a").check
    above_ft_lb = check.step("omitted_moment_ft_lb").value
    assert f"the moment of the stories above, {above_ft_lb:,.0f} ft·lb on the whole line, is left out" in check.notes


def test_two_tie_downs_at_one_end_leave_the_other_open():
    given_house = house()
    moved = edited(assess(given_house).schedule, "1", "tie-downs", of_panel=1, positions_in=(4.5, 9.0))
    check = check_chain(given_house, moved).line("1").link("7a").check
    assert check.notes[0].startswith("panel 1: 1 more tie-down needed")


def test_more_tension_than_the_anchor_allows_is_over_and_told():
    strong = house(criteria={"response_modification": 4.0})
    check = assess(strong).line("2").link("7b").check
    assert check.status == "over"
    assert "lb of tension, 900 lb allowed" in check.warnings[0]
