"""Through-plate screws: jig, penetration, edge, out of plumb, pilot, stitch nails."""

from dataclasses import replace
from math import atan, degrees

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engineering.errors import OutOfRange
from engineering.evaluated import USE_THROUGH_PLATES
from engineering.inputs import NOT_OBSERVED, EvaluatedConnector, Member, Nail, ThroughPlateInputs
from engineering.through_plate import set_up

DFL = Member(species="Douglas Fir-Larch", specific_gravity=0.5, basis="grade mark read")
SCREW = EvaluatedConnector(
    key="screw",
    name="screw, invented",
    kind="through-plate screw",
    report="EXAMPLE-1",
    issued="2023-01-01",
    expires="2026-12-31",
    use=USE_THROUGH_PLATES,
    species=("Douglas Fir-Larch", "Southern Pine"),
    value_lb=235,
    value_basis="C_D 1.0",
    diameter_in=0.242,
    length_in=6,
    minimum_penetration_in=2,
    minimum_edge_in=0.625,
    pilot_in=0.157,
)
INPUTS = ThroughPlateInputs(
    screw=SCREW,
    plates_in=(1.5, 1.5),
    plate=DFL,
    joist=DFL,
    joist_thickness_in=1.5,
    joist_depth_in=9.25,
    set_back_in=0,
    jig_bears_on="straight board sheathing",
    headroom_in=20,
    bar_stock_in=(),
    stitch_nail=Nail(
        key="12d", name="12d common", kind="common", diameter_in=0.148, length_in=3.25, finish="bright"
    ),
    calculation_date="2025-06-01",
)  # fmt: skip


def values(**change):
    return {step.key: step.value for step in set_up(replace(INPUTS, **change)).steps}


def test_flush_joist_in_numbers():
    found = values()
    assert set_up(INPUTS).capacity == found["allowable_lb"] == 376
    assert found["target_from_plate_edge_in"] == 0.75
    assert found["jig_bar_diameter_in"] == 1.5
    assert found["jig_hole_in"] == 0.157
    assert found["penetration_in"] == 3.0
    assert found["drilled_depth_in"] == 6.0
    assert found["max_off_in"] == 0.125  # printed "1/8 in off in 6 in"
    assert found["max_out_of_plumb_deg"] == pytest.approx(degrees(atan(0.125 / 6)))
    assert found["max_off_in_if_placed_1_16_off"] == 0.0625
    assert found["stitch_nails_per_screw"] == 2
    assert set_up(INPUTS).warnings == ()


def test_set_back_joist_moves_the_target_not_the_edge():
    found = values(set_back_in=0.25)
    assert found["target_from_plate_edge_in"] == 1.0
    assert found["jig_bar_diameter_in"] == 2.0
    assert found["edge_distance_in"] == 0.75


def test_bar_from_stock_costs_tolerance():
    found = values(bar_stock_in=(1.0, 1.625, 2.0))
    assert found["jig_bar_needed_in"] == 1.5
    assert found["jig_bar_diameter_in"] == 1.625
    assert found["jig_offset_in"] == 0.0625
    assert found["placing_tolerance_in"] == 0.0625
    assert "jig bar 1.625 in from stock" in set_up(replace(INPUTS, bar_stock_in=(1.625,))).warnings[0]


def test_washer_shortens_the_penetration_and_the_hole():
    found = values(screw=replace(SCREW, washer_in=0.125))
    assert (found["penetration_in"], found["drilled_depth_in"]) == (2.875, 5.875)


def test_no_room_for_a_placing_error_is_said():
    check = set_up(replace(INPUTS, screw=replace(SCREW, minimum_edge_in=0.7)))
    assert check.step("max_off_in").value == pytest.approx(0.05)
    assert check.step("max_off_in_if_placed_1_16_off").value == 0
    assert "can't be placed 1/16 in off" in check.warnings[0]


def test_pilot_outside_the_lead_hole_range_names_both():
    dense = Member(species="Southern Pine", specific_gravity=0.55, basis="grade mark read")
    check = set_up(replace(INPUTS, joist=dense, screw=replace(SCREW, pilot_in=0.125)))
    assert check.step("pilot_in_NDS_range").value is False
    assert "pilot 0.125 in by EXAMPLE-1" in check.warnings[0]
    assert "0.60 to 0.75 D" in check.warnings[0]


def test_plates_of_different_widths_keep_the_edge_in_each():
    found = values(plate_widths_in=(3.5, 5.5), set_back_in=2.0)  # 2-3/4 in from the outer edge
    assert (found["lower_plate_edge_in"], found["upper_plate_edge_in"]) == (0.75, 2.75)
    with pytest.raises(OutOfRange, match="lower plate beyond the middle"):
        set_up(replace(INPUTS, plate_widths_in=(3.25, 5.5), set_back_in=2.0))


def test_an_offset_bar_is_what_counts_in_the_plates():
    found = values(plate_widths_in=(3.5, 3.5), bar_stock_in=(1.625,))
    assert found["lower_plate_edge_in"] == 0.8125


def test_the_crew_drills_a_probe_hole_at_each_end_first():
    assert "probe hole at each end of the line" in set_up(INPUTS).notes[0]


def test_no_stitch_nails_without_a_nail():
    assert "stitch_nails_per_screw" not in values(stitch_nail=None)


@pytest.mark.parametrize(
    ("change", "field", "text"),
    [
        ({"jig_bears_on": "nothing straight"}, "jig_bears_on", "straight face"),
        ({"jig_bears_on": ""}, "jig_bears_on", "straight face"),
        ({"jig_bears_on": NOT_OBSERVED}, "jig_bears_on", "must be observed"),
        ({"headroom_in": 13.9}, "headroom_in", "at least 14 in"),
        ({"headroom_in": NOT_OBSERVED}, "headroom_in", "must be observed: at least 14 in"),
        ({"screw": replace(SCREW, length_in=4.5)}, "screw.length_in", "at least 5 in"),
        ({"screw": replace(SCREW, length_in=12.25)}, "screw.length_in", "not through the joist's top"),
        ({"joist_thickness_in": 1.125}, "joist_thickness_in", "0.625 in to each edge"),
        ({"bar_stock_in": (1.0, 2.0)}, "bar_stock_in", "near 1.5 in"),
        ({"joist": replace(DFL, species="Hem-Fir", specific_gravity=0.43)}, "species", "Douglas Fir-Larch"),
        ({"plate": replace(DFL, species="redwood", specific_gravity=0.37)}, "species", "Douglas Fir-Larch"),
        ({"calculation_date": "2027-01-01"}, "calculation_date", "expired"),
        ({"plates_in": (1.5,)}, "plates_in", "both top plates"),
        ({"plates_in": (1.5, 0)}, "plates_in.1", "from 0.01"),
        ({"screw": replace(SCREW, pilot_in=None)}, "screw.pilot_in", "evaluation report"),
        ({"screw": replace(SCREW, minimum_edge_in=None)}, "screw.minimum_edge_in", "evaluation report"),
        ({"screw": replace(SCREW, kind="framing angle")}, "screw.kind", "through-plate screw"),
        ({"set_back_in": -0.5}, "set_back_in", "from 0"),
        ({"plate_widths_in": (3.5,)}, "plate_widths_in", "both top plates"),
    ],
)
def test_refuses_what_can_not_be_set(change, field, text):
    with pytest.raises(OutOfRange, match=text) as problem:
        set_up(replace(INPUTS, **change))
    assert problem.value.field == field


@given(st.floats(1.25, 3), st.floats(1.25, 3))
def test_thinner_joist_never_leaves_more_tolerance(first, second):
    thin, thick = sorted((first, second))
    assert values(joist_thickness_in=thin)["max_off_in"] <= values(joist_thickness_in=thick)["max_off_in"]
