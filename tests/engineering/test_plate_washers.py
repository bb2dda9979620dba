"""Plate washers under new panels: their size, their place across the sill, and the old bolts that want one."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engineering.house import assess
from engineering.inputs import ExistingAnchor, HouseInputs
from engineering.plate_washers import axis_window, near_edge_step, washer_for
from tests.engineering.varied import changed, house, line_of, with_connector, with_line

OLD = ExistingAnchor(
    at_ft=4.0, diameter_in=0.5, embedment_in=8.0, edge_in=1.75, end_in=48.0, accepted=True, reason="tight",
    washer_in=3.0, washer_thickness_in=0.229,
)  # fmt: skip
LINE = line_of(house(), "A")


def _house(**old) -> HouseInputs:
    return with_line(house(), "A", existing_anchors=(replace(OLD, **old),))


def test_an_accepted_bolt_with_its_plate_washer_needs_no_other():
    line = assess(_house()).line("A")
    assert line.link("6a").check.step("washers_to_fit").value == 0
    assert not any("plate washer" in warning for warning in line.warnings)


@pytest.mark.parametrize(
    "found",
    [
        {"washer_in": "not observed"},
        {"washer_thickness_in": "not observed"},
        {"washer_in": 0.0},
        {"washer_in": 2.0},
        {"washer_thickness_in": 0.125},
    ],
)
def test_a_washer_that_is_small_thin_missing_or_unseen_is_to_be_replaced_and_the_bolt_counts(found):
    line = assess(_house(**found)).line("A")
    check = line.link("6a").check
    assert check.status == "ok"
    assert check.step("washers_to_fit").value == 1
    assert "fit 1 plate washer 3 × 3 × 0.229 in on the old bolts at 4 ft" in check.warnings
    assert line.link("6a").parts[0].step("accepted_inside").value == 1


def test_a_bolt_without_a_panel_over_it_keeps_its_washer():
    line = assess(_house(at_ft=20.0, washer_in=0.0)).line("A")
    assert line.link("6a").check.step("washers_to_fit").value == 0


@pytest.mark.parametrize("edge_in", [1.0, 2.25])
def test_a_bolt_whose_washer_would_hang_over_the_sill_does_not_count(edge_in):
    """A 3 in washer on a 3-1/2 in sill leaves the axis 1/4 in each side of the middle."""
    line = assess(_house(edge_in=edge_in)).line("A")
    part = line.link("6a").parts[0]
    assert part.step("accepted_inside").value == 0
    assert "does not lie wholly on the sill" in part.notes[0]
    assert line.link("6a").check.step("washers_to_fit").value == 0


def test_the_sills_own_distance_from_the_edge_moves_the_bolt_across_it():
    set_back = with_line(_house(edge_in=2.75), "A", framing={"sill_edge_in": 1.0})
    assert assess(set_back).line("A").link("6a").parts[0].step("accepted_inside").value == 1


def test_a_bolt_that_nobody_measured_across_the_sill_counts_with_a_washer_to_fit():
    line = assess(_house(edge_in="not observed", washer_in="not observed")).line("A")
    assert line.link("6a").parts[0].step("accepted_inside").value == 1
    assert line.link("6a").check.step("washers_to_fit").value == 1


def test_studs_of_2x6_take_a_larger_washer_in_the_middle_of_the_sill():
    """Within 1/2 in of the panel at 5-1/2 in, from the middle: 2·(5.5 − 0.5 − 2.75) = 4.5 in."""
    deep = changed(LINE, framing={"stud_depth_in": 5.5, "sill_width_in": 5.5})
    assert washer_for(deep, 2.75) == (4.5, "")


def test_panels_on_both_faces_of_2x6_studs_take_a_washer_that_reaches_both():
    deep = changed(LINE, framing={"stud_depth_in": 5.5, "sill_width_in": 5.5}, other_face=LINE.sheathing)
    window = axis_window(deep, 0.5, None)
    assert (window.from_in, window.to_in, window.washer_in, window.reason) == (2.75, 2.75, 4.5, "")


def test_a_new_anchor_stands_where_its_washer_reaches_the_panel():
    window = axis_window(LINE, 0.5, None)
    assert (window.from_in, window.to_in, window.washer_in) == (1.5, 2.0, 3.0)


def test_an_edge_distance_that_no_place_on_the_sill_gives_is_infeasible():
    anchor = next(one for one in house().catalogue.evaluated if one.key == "anchor 0.5")
    flush = with_line(house(), "B", framing={"sill_edge_in": 0.0}, foundation={"width_in": 8.0})
    result = assess(with_connector(flush, replace(anchor, minimum_edge_in=2.5)))
    line = result.line("B")
    option = next(one for one in line.options if one.method == "sill anchors")
    assert not option.feasible
    assert "no place across a 3.5 in sill: at least 2.5 in from its outer face" in option.reason
    assert line.link("6b").check.status == "open"


def test_an_edge_distance_by_report_asks_where_the_sill_stands_on_the_concrete():
    anchor = next(one for one in house().catalogue.evaluated if one.key == "anchor 0.5")
    asked = with_connector(house(), replace(anchor, minimum_edge_in=1.75))
    link = assess(asked).line("B").link("6b").check
    assert link.status == "open"
    assert (
        "sill edge in: must be observed: the anchor's report asks for 1.75 in to the concrete's edges" in link.notes[0]
    )


def test_a_sill_set_back_from_the_edge_makes_room_for_that_edge_distance():
    anchor = next(one for one in house().catalogue.evaluated if one.key == "anchor 0.5")
    roomy = with_connector(house(), replace(anchor, minimum_edge_in=2.5))
    roomy = with_line(roomy, "B", framing={"sill_edge_in": 1.0}, foundation={"width_in": 8.0})
    assert assess(roomy).line("B").link("6b").check.status == "ok"


def test_every_panel_of_the_table_asks_for_washers_near_its_edge():
    """SDPWS: above 400 plf nominal; the weakest of Table 4.3A has more."""
    weakest = replace(LINE.sheathing, thickness="5/16", nail="6d", nail_diameter_in=0.113, nail_length_in=2.0)
    rule = near_edge_step(weakest)
    assert rule.value is True
    assert rule.inputs["v_n"] > 400


@given(axis_in=st.floats(0.5, 5.0), thinner_in=st.floats(0.0, 2.0))
def test_a_narrower_sill_never_takes_a_washer_that_a_wider_one_does_not(axis_in, thinner_in):
    wide = changed(LINE, framing={"stud_depth_in": 5.5, "sill_width_in": 5.5})
    narrow = changed(LINE, framing={"stud_depth_in": 5.5, "sill_width_in": 5.5 - thinner_in})
    # From the same panel face: the axis keeps its distance from it, so it comes nearer to the outer edge.
    _, wide_reason = washer_for(wide, axis_in)
    _, narrow_reason = washer_for(narrow, axis_in - thinner_in)
    assert narrow_reason or not wide_reason


def test_a_sill_over_the_edge_of_the_concrete_needs_the_reports_edge_distance():
    over = changed(LINE, framing={"sill_edge_in": -1.5})
    assert "gives no edge distance" in axis_window(over, 0.5, None).reason
    assert "gives no edge distance" not in axis_window(over, 0.5, 1.75).reason
