"""Edge, end and spacing: the hard limits, what closer placing leaves, and thin fasteners that only warn."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engineering.dowels import single_shear
from engineering.errors import OutOfRange
from engineering.inputs import Placing
from tests.engineering import dowel_cases

# 1/2 in bolt, 1-1/2 in side to 3-1/2 in main: l/D = 3. Full value along the grain: end 3-1/2, spacing 2, edge 3/4 in.
ROOMY = Placing(end_in=3.5, end_load="tension", edge_in=1.75, spacing_in=2.0)
BOLT = replace(dowel_cases.BOLT, side_placing=ROOMY)
NAIL = replace(
    dowel_cases.NAIL,
    side_bearing_in=0.75,
    side_placing=Placing(end_in=2.5, end_load="tension", edge_in=0.75, spacing_in=2.5),
)
ACROSS = replace(BOLT, side_angle_deg=90, side_placing=replace(ROOMY, edge_in=0.75, loaded_edge_in=2.0))


def placed(base, **change):
    return replace(base, side_placing=replace(base.side_placing, **change))


def c_delta(inputs):
    return single_shear(inputs).step("C_delta").value


def test_the_full_distances_keep_the_full_value():
    assert c_delta(BOLT) == 1.0
    assert single_shear(BOLT).capacity == pytest.approx(single_shear(replace(BOLT, side_placing=None)).capacity)


@pytest.mark.parametrize(
    ("base", "change", "factor"),
    [
        (BOLT, {"end_in": 1.75}, 0.5),  # half of 7 D, the least
        (BOLT, {"end_in": 2.8}, 0.8),
        (BOLT, {"end_in": 2.0, "end_load": "compression"}, 1.0),  # 4 D
        (BOLT, {"end_in": 1.0, "end_load": "compression"}, 0.5),
        (BOLT, {"end_in": 2.0, "wood": "hardwood"}, 0.8),  # of 5 D
        (BOLT, {"spacing_in": 1.5}, 0.75),  # 3 D of 4 D
        (BOLT, {"end_in": 2.8, "spacing_in": 1.6}, 0.8),  # the least of both, never their product
        (ACROSS, {"end_in": 1.0}, 0.5),  # half of 4 D, whatever the load's sense
        (ACROSS, {"spacing_in": 1.5}, 0.75),  # the main member is loaded along its grain
    ],
)
def test_closer_placing_leaves_its_part(base, change, factor):
    close = placed(base, **change)
    assert c_delta(close) == pytest.approx(factor)
    assert single_shear(close).capacity == pytest.approx(factor * single_shear(base).capacity)


def test_both_members_across_need_the_least_spacing_alone():
    both = replace(placed(ACROSS, spacing_in=1.5), main_angle_deg=90)
    assert c_delta(both) == 1.0


def test_the_worse_member_decides_for_all():
    both = replace(BOLT, main_placing=replace(ROOMY, end_in=2.1))
    assert c_delta(both) == pytest.approx(0.6)


def test_load_at_an_angle_meets_the_rules_along_and_across():
    slanting = replace(ACROSS, side_angle_deg=30)
    assert c_delta(placed(slanting, end_in=2.8)) == pytest.approx(0.8)  # 7 D along, more than 4 D across
    with pytest.raises(OutOfRange, match="loaded edge"):
        single_shear(placed(slanting, loaded_edge_in=1.9))


@pytest.mark.parametrize(
    ("base", "change", "field", "says"),
    [
        (BOLT, {"end_in": 1.7}, "side_placing.end_in", "3.5 D"),
        (BOLT, {"spacing_in": 1.4}, "side_placing.spacing_in", "3 D"),
        (BOLT, {"edge_in": 0.7}, "side_placing.edge_in", "12.5.1C"),
        (BOLT, {"rows": 2, "row_spacing_in": 0.7}, "side_placing.row_spacing_in", "12.5.1D"),
        (BOLT, {"rows": 3, "row_spacing_in": 2.6}, "side_placing.row_spacing_in", "within 5 in"),
        (BOLT, {"rows": 2}, "row_spacing_in", "two rows"),
        (ACROSS, {"loaded_edge_in": 1.9}, "side_placing.loaded_edge_in", "4 D"),
        (ACROSS, {"loaded_edge_in": None}, "side_placing.loaded_edge_in", "4 D"),
        # l/D = 3 across the grain: (5·1.5 + 10·0.5)/8 = 1.5625 in between rows
        (ACROSS, {"rows": 2, "row_spacing_in": 1.5}, "side_placing.row_spacing_in", "1.5625"),
    ],
)
def test_too_close_is_refused(base, change, field, says):
    with pytest.raises(OutOfRange, match=says) as problem:
        single_shear(placed(base, **change))
    assert problem.value.field == field


def test_slender_fasteners_keep_half_the_row_spacing_to_the_edge():
    slender = replace(BOLT, side_bearing_in=3.5, main_thickness_in=3.5)  # l/D = 7
    wide = placed(slender, rows=2, row_spacing_in=3.0, edge_in=1.5)
    assert single_shear(wide).step("side_edge_least_in").value == 1.5
    with pytest.raises(OutOfRange, match="half the row spacing"):
        single_shear(placed(wide, edge_in=1.4))


def test_a_placing_stands_in_wood_alone():
    with pytest.raises(OutOfRange, match="member is wood"):
        replace(BOLT, side_kind="steel", side_specific_gravity=None, side_bearing_psi=61850)


def test_a_thin_nail_set_close_is_warned_of_and_not_reduced():
    assert not single_shear(NAIL).warnings
    close = single_shear(placed(NAIL, edge_in=0.3, end_in=1.0, spacing_in=1.0))
    assert close.capacity == single_shear(NAIL).capacity
    assert [warning.split(" in the ")[0] for warning in close.warnings] == [
        "edge distance",
        "end distance",
        "spacing in a row",
    ]
    assert "C_Δ" not in close.step("Zp_lb").expression


@given(st.floats(0.5, 6), st.floats(0.5, 6), st.sampled_from(["end_in", "spacing_in", "edge_in"]))
def test_a_shorter_distance_is_never_stronger(first, second, distance):
    short, long = sorted((first, second))
    values = []
    for value_in in (short, long):
        try:
            values.append(single_shear(placed(BOLT, **{distance: value_in})).capacity)
        except OutOfRange:
            values.append(0.0)
    assert values[0] <= values[1] * (1 + 1e-12)
