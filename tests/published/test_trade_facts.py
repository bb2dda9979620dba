"""Facts that this trade knows by heart. Common practice, no source."""

from dataclasses import replace

import pytest

from engineering.evaluated import USE_THROUGH_PLATES, allowable
from engineering.fasteners import nail_two_member
from engineering.inputs import EvaluatedConnector, Member, Nail, ThroughPlateInputs
from engineering.through_plate import set_up

DOUGLAS_FIR_LARCH = Member(species="Douglas Fir-Larch", specific_gravity=0.5, basis="grade mark read")
NAIL_12D = Nail(
    key="12d", name="12d common 0.148 × 3¼ in", kind="common", diameter_in=0.148, length_in=3.25, finish="bright"
)
SCREW = EvaluatedConnector(
    key="screw",
    name="structural screw, invented",
    kind="through-plate screw",
    report="EXAMPLE-2",
    issued="2025-01-01",
    expires="2027-12-31",
    use=USE_THROUGH_PLATES,
    species=("Douglas Fir-Larch",),
    value_lb=250,
    value_basis="C_D 1.0",
    diameter_in=0.242,
    length_in=6,
    minimum_penetration_in=2,
    minimum_edge_in=0.625,
    pilot_in=0.157,
)
SET_UP = ThroughPlateInputs(
    screw=SCREW,
    plates_in=(1.5, 1.5),
    plate=DOUGLAS_FIR_LARCH,
    joist=DOUGLAS_FIR_LARCH,
    joist_thickness_in=1.5,
    joist_depth_in=9.25,
    set_back_in=0,
    jig_bears_on="straight board sheathing",
    headroom_in=24,
    bar_stock_in=(),
    stitch_nail=NAIL_12D,
    calculation_date="2026-01-15",
)


def test_a_screw_of_250_lb_carries_400_lb_in_an_earthquake():
    check = allowable(
        SCREW, use=SCREW.use, species="Douglas Fir-Larch", calculation_date="2026-01-15", load_duration=1.6
    )
    assert check.capacity == 400


def test_two_12d_nails_give_94_percent_of_that_screw():
    nail = nail_two_member(NAIL_12D, DOUGLAS_FIR_LARCH, 1.5, DOUGLAS_FIR_LARCH, 1.5, load_duration=1.6)
    assert nail.capacity == pytest.approx(188, abs=0.5)
    assert 2 * nail.capacity / 400 == pytest.approx(0.94, abs=0.005)


def test_centred_in_a_two_by_joist_the_edge_is_three_quarters_of_an_inch():
    check = set_up(SET_UP)
    assert check.step("edge_distance_in").value == 0.75
    assert check.step("placing_tolerance_in").value == 0.125  # 5/8 in wanted


def test_a_full_sawn_two_inch_joist_takes_a_two_inch_bar():
    check = set_up(replace(SET_UP, joist_thickness_in=2.0))
    assert check.step("jig_bar_diameter_in").value == 2.0


def test_a_six_inch_screw_through_full_sawn_plates_leaves_two_inches():
    nail = replace(NAIL_12D, length_in=4)
    check = set_up(replace(SET_UP, plates_in=(2.0, 2.0), stitch_nail=nail))
    assert check.step("penetration_in").value == 2.0
