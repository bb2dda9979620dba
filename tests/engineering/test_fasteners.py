"""One dowel in single shear: the limits that raise, the rules that choose, and how strength moves with its causes."""

from dataclasses import replace
from math import cos, radians

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engineering.dowel_bearing import listed_bending_yield_psi, wood_bearing_psi
from engineering.dowels import single_shear
from engineering.errors import OutOfRange
from engineering.fasteners import (
    lag_through_plates,
    nail_two_member,
    sill_bolt,
    toenail,
)
from engineering.inputs import DowelInputs, Nail
from tests.engineering.dowel_cases import FIR, LAG, NAIL, SILL_BOLT

NAIL_12D = Nail(key="12d", name="12d common", kind="common", diameter_in=0.148, length_in=3.25, finish="bright")
LAG_IN_WOOD = DowelInputs(
    fastener="lag screw",
    diameter_in=0.5,
    thread_in_shear_plane=True,
    main_specific_gravity=0.5,
    penetration_in=4.0,
    side_specific_gravity=0.5,
    side_bearing_in=1.5,
)


def value(check, key):
    return check.step(key).value


# --- the rules ------------------------------------------------------------------------------------------------------
def test_capacity_is_reference_value_times_its_factors():
    check = single_shear(replace(NAIL, load_duration=1.15))
    assert check.capacity == pytest.approx(value(check, "Z_lb") * 1.15)
    assert (check.status, check.demand, check.ratio, check.unit) == ("recorded", None, None, "lb")


def test_toenail_takes_length_angle_and_factor():
    nail = replace(NAIL_12D, diameter_in=0.131, length_in=2.5)
    check = toenail(nail, FIR, FIR, 5.5, load_duration=1.6)
    assert value(check, "ls_in") == pytest.approx(2.5 / 3)
    assert value(check, "penetration_in") == pytest.approx(2.5 * cos(radians(30)) - 2.5 / 3)
    assert check.capacity == pytest.approx(value(check, "Z_lb") * 1.6 * 0.83)


def test_penetration_stops_at_the_far_face():
    check = nail_two_member(NAIL_12D, FIR, 1.5, FIR, 1.5, load_duration=1.6)
    assert value(check, "penetration_in") == 1.5
    assert value(check, "lm_in") == 1.5  # 10.1 D


def test_short_nail_loses_its_tip_once():
    check = nail_two_member(replace(NAIL_12D, length_in=2.9), FIR, 1.5, FIR, 1.5, load_duration=1.6)
    assert value(check, "penetration_over_D") == pytest.approx(1.4 / 0.148)
    assert value(check, "lm_in") == pytest.approx(1.4 - 0.148)


def test_lag_screw_loses_half_its_tip():
    check = single_shear(LAG_IN_WOOD)
    assert value(check, "penetration_excl_tip_in") == 4.0 - 0.3125
    assert value(check, "lm_in") == 4.0 - 0.3125 / 2
    assert value(check, "D_used_in") == 0.371


def test_shank_in_the_shear_plane_uses_the_full_diameter_only_with_little_thread_behind_it():
    long_thread = replace(LAG_IN_WOOD, thread_in_shear_plane=False, thread_in=2.0)
    assert value(single_shear(long_thread), "D_used_in") == 0.371
    assert value(single_shear(replace(long_thread, thread_in=1.0)), "D_used_in") == 0.5


def test_reduction_terms_grow_with_the_angle_to_grain():
    along, across = single_shear(LAG_IN_WOOD), single_shear(replace(LAG_IN_WOOD, side_angle_deg=90))
    assert [value(along, key) for key in ("Rd_I", "Rd_II", "Rd_III_IV")] == [4.0, 3.6, 3.2]
    assert [value(across, key) for key in ("Rd_I", "Rd_II", "Rd_III_IV")] == [5.0, 4.5, 4.0]


def test_small_lag_takes_kd_of_its_root_times_k_theta():
    check = single_shear(replace(LAG_IN_WOOD, diameter_in=0.25, main_angle_deg=90))
    assert value(check, "Rd_II") == pytest.approx((10 * 0.173 + 0.5) * 1.25)


def test_nail_knows_no_angle_to_grain():
    turned = single_shear(replace(NAIL, main_angle_deg=90))
    assert turned.capacity == single_shear(NAIL).capacity


def test_hankinson_lies_between_along_and_across():
    angles = [wood_bearing_psi(specific_gravity=0.5, diameter_in=0.5, angle_deg=a) for a in (0, 30, 60, 90)]
    assert angles[0] == 5600
    assert angles[-1] == 3150
    assert angles == sorted(angles, reverse=True)
    assert angles[1] == pytest.approx(5600 * 3150 / (5600 * 0.25 + 3150 * 0.75))


def test_lag_through_plates_bears_on_the_upper_plate_alone():
    check = lag_through_plates(LAG, (2.0, 1.5), FIR, FIR, load_duration=1.6)
    assert value(check, "ls_in") == 1.5
    assert value(check, "penetration_incl_tip_in") == 2.5
    assert value(check, "shank_in") == 2.5
    assert value(check, "D_used_in") == 0.173  # the thread starts 2.5 in from the head, the shear plane is at 3.5


def test_sill_bolt_counts_six_inches_of_embedment_and_no_more():
    assert value(sill_bolt(0.5, FIR, 1.5, 8, load_duration=1.6), "lm_in") == 6
    shallow = sill_bolt(0.5, FIR, 1.5, 4, load_duration=1.6)
    assert value(shallow, "lm_in") == 4
    assert "Table 12E" in shallow.warnings[0]
    assert not sill_bolt(0.5, FIR, 1.5, 6, load_duration=1.6).warnings


def test_steel_side_takes_the_entered_bearing_strength():
    check = single_shear(replace(NAIL, side_kind="steel", side_specific_gravity=None, side_bearing_psi=61850))
    assert value(check, "Fes_psi") == 61850


@pytest.mark.parametrize(
    ("steel", "thickness_in", "psi"), [("ASTM A653 grade 33", 0.075, 61850), ("ASTM A36", 0.25, 87000)]
)
def test_a_named_steel_brings_its_bearing_strength(steel, thickness_in, psi):
    named = replace(NAIL, side_kind="steel", side_specific_gravity=None, side_steel=steel, side_bearing_in=thickness_in)
    assert value(single_shear(named), "Fes_psi") == psi


@pytest.mark.parametrize(("steel", "thickness_in"), [("ASTM A653 grade 33", 0.25), ("ASTM A36", 0.188)])
def test_a_named_steel_is_known_at_the_tables_thicknesses_alone(steel, thickness_in):
    named = replace(NAIL, side_kind="steel", side_specific_gravity=None, side_steel=steel, side_bearing_in=thickness_in)
    with pytest.raises(OutOfRange) as problem:
        single_shear(named)
    assert problem.value.field == "side_bearing_in"


def test_bearing_lengths_are_substituted():
    nail = single_shear(replace(NAIL, length_in=2.2)).step("lm_in")
    assert (nail.expression, nail.inputs) == ("p − D", {"p": pytest.approx(1.2), "D": 0.148})
    lag = single_shear(LAG_IN_WOOD).step("lm_in")
    assert (lag.expression, lag.inputs) == ("p − E/2", {"p": 4.0, "E": 0.3125})


def test_wood_screw_uses_its_root_diameter():
    check = single_shear(replace(NAIL, fastener="wood screw", diameter_in=0.19, thread_in_shear_plane=True))
    assert value(check, "D_used_in") == 0.152
    assert value(check, "Fyb_psi") == 80000


def test_every_step_names_its_source_and_numbers():
    for check in (single_shear(NAIL), single_shear(LAG_IN_WOOD), single_shear(SILL_BOLT)):
        assert len({step.key for step in check.steps}) == len(check.steps)
        assert all(step.source.publication and step.source.read for step in check.steps)


# --- what is refused ------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("base", "change", "field"),
    [
        (NAIL, {"diameter_in": -0.148}, "diameter_in"),
        (NAIL, {"diameter_in": 0.5}, "diameter_in"),
        (NAIL, {"main_specific_gravity": 0.9}, "main_specific_gravity"),
        (NAIL, {"main_specific_gravity": None}, "main_specific_gravity"),
        (NAIL, {"side_bearing_in": None}, "side_bearing_in"),
        (NAIL, {"side_bearing_in": 3.0}, "length_in"),
        (NAIL, {"side_bearing_in": float("nan")}, "side_bearing_in"),
        (NAIL, {"length_in": None}, "penetration_in"),
        (NAIL, {"penetration_in": 2.5}, "penetration_in"),  # longer than the nail
        (NAIL, {"penetration_in": 0.88}, "penetration_in"),  # 6 D = 0.888
        (NAIL, {"load_duration": 2.0}, "load_duration"),
        (NAIL, {"main_angle_deg": 91}, "main_angle_deg"),
        (NAIL, {"main_kind": "concrete", "main_specific_gravity": None}, "main_kind"),
        (NAIL, {"side_kind": "steel", "side_specific_gravity": None}, "side_bearing_psi"),
        (NAIL, {"side_bearing_psi": 60000}, "side_bearing_psi"),
        (NAIL, {"side_steel": "ASTM A36"}, "side_steel"),
        (
            NAIL,
            {"side_kind": "steel", "side_specific_gravity": None, "side_bearing_psi": 60000, "side_steel": "ASTM A36"},
            "side_steel",
        ),
        (NAIL, {"end_grain": True, "main_angle_deg": 45}, "main_angle_deg"),
        (SILL_BOLT, {"end_grain": True}, "end_grain"),
        (NAIL, {"toenail": True}, "side_bearing_in"),
        (NAIL, {"toenail": True, "side_bearing_in": None, "length_in": None}, "length_in"),
        (NAIL, {"thread_in_shear_plane": True}, "thread_in_shear_plane"),
        (NAIL, {"root_diameter_in": 0.1}, "root_diameter_in"),
        (LAG_IN_WOOD, {"toenail": True}, "toenail"),
        (LAG_IN_WOOD, {"diameter_in": 0.3}, "diameter_in"),  # no standard size, no root given
        (LAG_IN_WOOD, {"root_diameter_in": 0.5}, "root_diameter_in"),
        (LAG_IN_WOOD, {"penetration_in": 2.3}, "penetration_in"),  # 4 D + tip = 2.3125
        (LAG_IN_WOOD, {"thread_in_shear_plane": False}, "thread_in"),
        (LAG_IN_WOOD, {"thread_in": 2.0}, "thread_in_shear_plane"),  # the thread ends short of the plane
        (SILL_BOLT, {"main_specific_gravity": 0.5}, "main_specific_gravity"),
        (SILL_BOLT, {"main_angle_deg": 90}, "main_angle_deg"),
        (SILL_BOLT, {"penetration_in": None}, "penetration_in"),
        (SILL_BOLT, {"diameter_in": 1.25}, "diameter_in"),
    ],
)
def test_refuses(base, change, field):
    with pytest.raises(OutOfRange) as problem:
        single_shear(replace(base, **change))
    assert problem.value.field == field


def test_bright_nail_and_treated_wood_do_not_go_together():
    treated = replace(FIR, treated=True)
    with pytest.raises(OutOfRange, match="hot-dip or stainless"):
        nail_two_member(NAIL_12D, treated, 1.5, FIR, 1.5, load_duration=1.6)
    assert nail_two_member(replace(NAIL_12D, finish="hot-dip"), treated, 1.5, FIR, 1.5, load_duration=1.6).capacity


@pytest.mark.parametrize(
    ("fastener", "diameter_in", "psi"),
    [
        ("nail", 0.099, 100000), ("nail", 0.142, 100000), ("nail", 0.148, 90000), ("nail", 0.192, 80000),
        ("nail", 0.244, 70000), ("lag screw", 0.25, 70000), ("lag screw", 0.3125, 60000), ("lag screw", 0.375, 45000),
        ("bolt", 0.625, 45000),
    ],
)  # fmt: skip
def test_bending_yield_strength_by_kind_and_diameter(fastener, diameter_in, psi):
    assert listed_bending_yield_psi(fastener, diameter_in) == psi


def test_a_nail_thinner_than_the_table_needs_its_own_strength():
    with pytest.raises(OutOfRange, match="diameter_in"):
        single_shear(replace(NAIL, diameter_in=0.092))
    assert single_shear(replace(NAIL, diameter_in=0.092, bending_yield_psi=100000)).capacity > 0


# --- properties -----------------------------------------------------------------------------------------------------
gravities = st.floats(0.31, 0.73)


@given(gravities, gravities)
def test_softer_wood_is_never_stronger(first, second):
    soft, hard = sorted((first, second))
    for base in (NAIL, LAG_IN_WOOD, SILL_BOLT):
        weak = replace(base, side_specific_gravity=soft)
        strong = replace(base, side_specific_gravity=hard)
        if base is not SILL_BOLT:
            weak, strong = replace(weak, main_specific_gravity=soft), replace(strong, main_specific_gravity=hard)
        assert single_shear(weak).capacity <= single_shear(strong).capacity * (1 + 1e-12)


@given(st.floats(0.25, 6), st.floats(0.25, 6))
def test_thinner_side_member_is_never_stronger(first, second):
    thin, thick = sorted((first, second))
    weak, strong = (single_shear(replace(SILL_BOLT, side_bearing_in=side)).capacity for side in (thin, thick))
    assert weak <= strong * (1 + 1e-12)


@given(st.floats(0.25, 12), st.floats(0.25, 12), st.sampled_from([0.0, 0.5]))
def test_thinner_main_member_is_never_stronger(first, second, gap_in):
    thin, thick = sorted((first, second))
    wood = {"main_kind": "wood", "main_specific_gravity": 0.43, "main_thickness_in": thin, "penetration_in": None}
    bolted = replace(SILL_BOLT, **wood, gap_in=gap_in)
    weak, strong = (single_shear(replace(bolted, main_thickness_in=main)).capacity for main in (thin, thick))
    assert weak <= strong * (1 + 1e-12)


@given(st.floats(2.4, 12), st.floats(2.4, 12))
def test_less_penetration_is_never_stronger(first, second):
    short, long = sorted((first, second))
    weak, strong = (single_shear(replace(LAG_IN_WOOD, penetration_in=p)).capacity for p in (short, long))
    assert weak <= strong * (1 + 1e-12)


@given(st.floats(0, 90), st.floats(0, 90))
def test_more_across_the_grain_is_never_stronger(first, second):
    low, high = sorted((first, second))
    strong, weak = (single_shear(replace(LAG_IN_WOOD, main_angle_deg=angle)).capacity for angle in (low, high))
    assert weak <= strong * (1 + 1e-12)


@given(st.floats(0.5, 2))
def test_double_every_length_and_the_value_is_four_times(scale):
    """Bearing and hinge modes go with the square of size, where strengths and R_d stay the same."""
    base = replace(SILL_BOLT, bending_yield_psi=45000, penetration_in=4)
    scaled = replace(base, diameter_in=0.5 * scale, side_bearing_in=1.5 * scale, penetration_in=4 * scale)
    assert single_shear(scaled).capacity == pytest.approx(single_shear(base).capacity * scale**2)
