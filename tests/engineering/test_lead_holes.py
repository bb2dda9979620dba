"""Lead holes by specific gravity."""

from dataclasses import replace

import pytest

from engineering.fasteners import lag_through_plates, sill_bolt
from engineering.inputs import DowelInputs
from engineering.lead_holes import lag_thread_range, lead_holes
from tests.engineering.dowel_cases import FIR, LAG

NAIL = DowelInputs(
    fastener="nail",
    diameter_in=0.148,
    main_specific_gravity=0.5,
    penetration_in=2.0,
    side_specific_gravity=0.5,
    side_bearing_in=1.0,
)


@pytest.mark.parametrize(
    ("gravity", "limits"), [(0.42, (0.40, 0.70)), (0.50, (0.40, 0.70)), (0.51, (0.60, 0.75)), (0.61, (0.65, 0.85))]
)
def test_thread_of_a_lag_screw(gravity, limits):
    assert lag_thread_range(gravity) == limits


def test_a_lag_from_below_tells_its_lead_holes():
    check = lag_through_plates(LAG, (1.5, 1.5), FIR, FIR, load_duration=1.6)
    assert check.step("lead_hole_shank_in").value == 0.25
    assert check.step("lead_hole_thread_min_in").value == pytest.approx(0.1)
    assert check.step("lead_hole_thread_max_in").value == pytest.approx(0.175)


@pytest.mark.parametrize(("gravity", "part"), [(0.5, 7 / 8), (0.6, 7 / 8), (0.61, 1.0)])
def test_wood_screw_holes_follow_shank_and_root(gravity, part):
    screw = {"fastener": "wood screw", "diameter_in": 0.19, "thread_in_shear_plane": True}
    shank, thread = lead_holes(replace(NAIL, main_specific_gravity=gravity, **screw))
    assert (shank.value, thread.value) == pytest.approx((0.19 * part, 0.152 * part))


@pytest.mark.parametrize(("main", "side", "part"), [(0.5, 0.5, 0.75), (0.6, 0.67, 0.75), (0.67, 0.61, 0.90)])
def test_a_nail_hole_goes_by_the_softer_wood(main, side, part):
    (hole,) = lead_holes(replace(NAIL, main_specific_gravity=main, side_specific_gravity=side))
    assert hole.value == pytest.approx(part * 0.148)


def test_a_bolt_hole_is_a_thirty_second_to_a_sixteenth_over():
    bolt = sill_bolt(0.625, FIR, 1.5, 7, load_duration=1.6)
    assert (bolt.step("hole_min_in").value, bolt.step("hole_max_in").value) == (0.65625, 0.6875)
