"""Link 2: stitch nails or the panel's top nails in the upper plate, as options; nails and screws that stand wrong."""

from __future__ import annotations

from dataclasses import replace

import pytest

from engineering.connector_values import ConnectorValues
from engineering.house import assess, check_chain
from engineering.inputs import HouseInputs, Segment
from engineering.load_path import contexts
from engineering.plate_layout import misplaced
from engineering.results import LineResult, MethodOption
from engineering.schedule import ScheduleItem
from engineering.seismic_demand import demand_inputs, house_demand
from tests.engineering.varied import edited, house, line_of, with_line

DRIVEN = "the panel's top nails driven into the upper plate"


def _options(given: HouseInputs, label: str = "A") -> dict[str, MethodOption]:
    return {one.method: one for one in assess(given).line(label).options if one.link == "2"}


def test_both_ways_are_listed_where_the_link_is_in_the_chain():
    found = _options(house())
    # Worked house: 2 nails beside each of 10 screws; 19 by demand.
    assert (found["stitch nails"].count, found["stitch nails"].feasible) == (20, True)
    assert found["stitch nails"].ratio == pytest.approx(3463.4277 / (20 * 188.15157), rel=1e-6)
    assert (found[DRIVEN].feasible, found[DRIVEN].count, found[DRIVEN].opens_ceiling) == (True, 0, True)


def test_driving_them_up_takes_the_link_out_so_nothing_is_listed():
    assert _options(with_line(house(), "A", framing={"top_nails_reach": "upper plate"})) == {}


def test_a_bright_nail_in_treated_plates_is_listed_with_its_reason():
    plates = replace(line_of(house(), "A").framing.plates, treated=True)
    assert "treated" in _options(with_line(house(), "A", framing={"plates": plates}))["stitch nails"].reason


def test_a_wall_taller_than_a_sheet_does_not_reach_the_upper_plate():
    tall = (Segment(kind="basement or garage wall", from_ft=0, to_ft=40, stud_height_ft=7.8),)
    given = with_line(house(building={"braced_wall_height_ft": 8.2}), "A", segments=tall)
    assert "more than a sheet of 96 in" in _options(given)[DRIVEN].reason


def test_without_a_panel_there_is_nothing_to_drive():
    assert _options(with_line(house(), "A", panels=()))[DRIVEN].reason == "no panel stands on this line"


def test_an_upper_plate_thinner_than_two_edge_distances_takes_no_row():
    given = with_line(house(), "A", framing={"plates_in": (1.5, 0.625)})
    assert "edge distances" in _options(given)[DRIVEN].reason


# --- places as logged ----------------------------------------------------------------------------------------------
def _moved(role: str, at_in: float, label: str = "A") -> LineResult:
    given = house()
    schedule = assess(given).schedule
    row = schedule.line(label).rows(role)[0]
    places = tuple(sorted((at_in, *row.positions_in[1:])))
    return check_chain(given, edited(schedule, label, role, positions_in=places)).line(label)


def test_a_screw_through_a_plate_joint_holds_nothing():
    # Line A's upper plate laps at 96 in; the report wants 5/8 in to an edge. Ten screws were needed.
    check = _moved("floor to plate", 96.25).link("1").check
    assert check.status == "over"
    assert check.capacity == pytest.approx(9 * 376)
    assert "1 of screw at a joint or end of a plate hold nothing" in check.warnings
    assert "1 more through-plate screws needed" in check.warnings


def test_a_screw_near_a_plate_joint_counts_and_is_told():
    given = with_line(house(), "A", plate_laps_ft=(8.6,))  # 103.2 in, in a bay
    schedule = assess(given).schedule
    row = schedule.line("A").rows("floor to plate")[0]
    moved = edited(schedule, "A", "floor to plate", positions_in=tuple(sorted((104.2, *row.positions_in[1:]))))
    check = check_chain(given, moved).line("A").link("1").check
    assert check.capacity == pytest.approx(10 * 376)
    assert "screw at 104.2 in is not 3 in clear of a plate joint" in check.warnings


def test_a_screw_at_the_very_end_holds_nothing():
    assert _moved("floor to plate", 0.25).link("1").check.capacity == pytest.approx(9 * 376)


def test_a_screw_beside_a_stud_is_told_and_still_counts():
    check = _moved("floor to plate", 49.0).link("1").check  # stud at 48 in
    assert check.capacity == pytest.approx(10 * 376)
    assert "screw at 49 in is not 1.5 in clear of a stud" in check.warnings


def test_half_an_inch_off_is_what_a_tape_leaves():
    first = assess(house()).schedule.line("A").rows("floor to plate")[0].positions_in[0]
    check = _moved("floor to plate", first + 0.25).link("1").check
    assert not any("is not" in warning for warning in check.warnings)


def test_a_stitch_nail_in_a_screws_place_is_told():
    at_in = assess(house()).schedule.line("A").rows("floor to plate")[0].positions_in[0]
    check = _moved("stitch nails", at_in + 0.5).link("2").check
    assert any("is not 1.25 in from a connector" in warning for warning in check.warnings)


def test_a_stitch_nail_through_a_plate_joint_holds_nothing():
    check = _moved("stitch nails", 96.0).link("2").check
    assert check.step("nails_scheduled").value == 19
    assert "1 stitch nails at a joint or end of a plate hold nothing" in check.warnings


def test_joints_of_the_lower_plate_keep_connectors_off_too():
    lower = with_line(house(), "A", lower_plate_laps_ft=(2.0,))  # 24 in, where the first screw would stand
    places = assess(lower).schedule.line("A").rows("floor to plate")[0].positions_in
    assert all(abs(at - 24) >= 3.0 for at in places)


def test_what_is_proposed_is_never_misplaced():
    given = house()
    demand = house_demand(demand_inputs(given))
    for context in contexts(given, demand, ConnectorValues(given)):
        assert misplaced(context, assess(given).schedule.line(context.line.label).items) == ()


def test_rows_of_other_roles_and_framing_angles_are_not_judged_here():
    given = house()
    context = contexts(given, house_demand(demand_inputs(given)), ConnectorValues(given))[0]
    rows = (
        ScheduleItem(link="1", role="floor to plate", connector="angle", count=1, positions_in=(96.0,)),
        ScheduleItem(link="6a", role="sill anchors", connector="anchor 0.5", count=1, positions_in=(48.0,)),
    )
    assert misplaced(context, rows) == ()
