"""Weight, base shear, redundancy and what a wall line gets of it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engineering.errors import OutOfRange
from engineering.inputs import DemandInputs, DemandLine, Story
from engineering.results import Check
from engineering.seismic_demand import demand, demand_inputs, house_demand
from tests.engineering.varied import house, line_of


def _demand(**changes) -> Check:
    return demand(demand_inputs(house(**changes)))


def _value(check: Check, key: str) -> float:
    return check.step(key).value


def test_the_upper_limit_governs_a_small_one_second_value():
    # By hand: S_D1/(T·R) = 0.10/(0.1276028·6.5) = 0.12057, under S_DS/R = 0.16308.
    check = _demand(hazard={"s_d1_g": 0.10})
    assert _value(check, "Cs") == pytest.approx(0.10 / (0.1276028338 * 6.5), rel=1e-6)


def test_beyond_the_long_period_the_limit_falls_with_the_square():
    check = _demand(hazard={"s_d1_g": 0.10, "t_l_s": 0.1})
    assert _value(check, "Cs_max") == pytest.approx(0.10 * 0.1 / (0.1276028338**2 * 6.5), rel=1e-6)
    assert check.step("Cs_max").source.clause == "12.8-4"


def test_near_a_fault_the_least_coefficient_rises():
    check = _demand(hazard={"s_1_g": 0.9, "s_ds_g": 0.3, "s_d1_g": 0.2, "seismic_design_category": "E"})
    assert _value(check, "Cs") == pytest.approx(0.5 * 0.9 / 6.5)
    assert "Cs_min_12_8_6" not in {step.key for step in _demand(hazard={"s_1_g": 0.59}).steps}


def test_the_least_coefficient_is_one_percent():
    check = _demand(hazard={"s_ds_g": 0.02, "s_d1_g": 0.01, "s_1_g": 0.01})
    assert _value(check, "Cs") == pytest.approx(0.01)


def test_redundancy_as_given_is_taken():
    assert _value(_demand(criteria={"redundancy": 1.3}), "rho") == 1.3


def test_redundancy_is_one_below_category_d():
    check = _demand(hazard={"s_ds_g": 0.45, "seismic_design_category": "C"}, criteria={"regular_in_plan": False})
    assert _value(check, "rho") == 1.0


def test_redundancy_is_1_3_where_the_plan_is_not_regular():
    check = _demand(criteria={"regular_in_plan": False})
    assert _value(check, "rho") == 1.3
    assert any("regular" in note for note in check.notes)


def test_redundancy_is_1_3_where_the_story_above_was_not_measured():
    given_house = house()
    check = _demand(building={"story_above": given_house.building.story_above[:-1]})
    assert _value(check, "rho") == 1.3
    assert any("line 2" in note for note in check.notes)


def test_redundancy_is_1_3_with_fewer_than_two_bays_on_a_side():
    walls = tuple(replace(wall, full_height_wall_ft=7.9) for wall in house().building.story_above)
    check = _demand(building={"story_above": walls})
    assert _value(check, "rho") == 1.3
    assert any("two bays" in note for note in check.notes)


def test_the_level_scales_the_horizontal_effect():
    full, reduced = house_demand(demand_inputs(house())), house_demand(demand_inputs(house(level="r75")))
    for label, line in full.lines.items():
        assert reduced.lines[label].demand_lb == pytest.approx(0.75 * line.demand_lb)
    assert full.check.demand == reduced.check.demand


def test_redundancy_and_importance_scale_the_lines():
    base, more = house_demand(demand_inputs(house())), house_demand(demand_inputs(house(criteria={"redundancy": 1.3})))
    assert more.lines["A"].demand_lb == pytest.approx(1.3 * base.lines["A"].demand_lb)
    important = house_demand(demand_inputs(house(criteria={"importance": 1.25, "risk_category": "III"})))
    assert important.lines["A"].demand_lb == pytest.approx(1.25 * base.lines["A"].demand_lb)


def test_a_line_gets_the_parts_that_enter_along_it():
    for line in house_demand(demand_inputs(house())).lines.values():
        assert sum(part.demand_lb for part in line.parts) == pytest.approx(line.demand_lb)


@pytest.mark.parametrize(
    ("field", "changes"),
    [
        ("s_ds_g", {"hazard": {"s_ds_g": 0.0}}),
        ("s_ds_g", {"hazard": {"s_ds_g": float("nan")}}),
        ("force_factor", {"criteria": {"force_factor": 0.0}}),
        ("force_factor", {"criteria": {"force_factor": 1.2}}),
        ("response_modification", {"criteria": {"response_modification": -6.5}}),
        ("redundancy", {"criteria": {"redundancy": 1.1}}),
        ("load_duration", {"criteria": {"load_duration": 2.0}}),
        ("anchors_per_panel", {"criteria": {"anchors_per_panel": 1}}),  # convention 10: at least two
        ("anchors_per_piece", {"criteria": {"anchors_per_piece": 1}}),
        ("braced_wall_height_ft", {"building": {"braced_wall_height_ft": 0.0}}),
        ("floor_outline_ft", {"building": {"floor_outline_ft": ((0.0, 0.0), (40.0, 28.0), (40.0, 0.0), (0.0, 28.0))}}),
        ("floor_outline_ft", {"building": {"floor_outline_ft": ((0.0, 0.0), (40.0, 0.0))}}),
        ("roof_outline_ft", {"building": {"roof_outline_ft": ((0.0, 0.0), (20.0, 0.0), (20.0, 28.0), (0.0, 28.0))}}),
    ],
)
def test_what_can_not_be_is_refused_by_name(field, changes):
    with pytest.raises(OutOfRange) as refused:
        house(**changes)
    assert refused.value.field.endswith(field)


def test_an_unknown_wall_of_the_story_above_is_refused():
    walls = (replace(house().building.story_above[0], line="Z"),)
    with pytest.raises(OutOfRange, match="must name wall lines"):
        _demand(building={"story_above": walls})


def test_a_wall_of_the_story_above_longer_than_its_side_is_refused():
    """Line A is 40 ft long on a side of 40 ft; half a foot is left to sheathing and tape."""
    as_long, longer = (replace(house().building.story_above[0], full_height_wall_ft=ft) for ft in (40.5, 41.0))
    assert _demand(building={"story_above": (as_long,)}).steps
    with pytest.raises(OutOfRange, match="must not be longer than its side, 40 ft") as refused:
        _demand(building={"story_above": (longer,)})
    assert refused.value.field == "building.story_above.A.full_height_wall_ft"


def _rectangle(width: float, depth: float) -> tuple[tuple[float, float], ...]:
    return ((0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth))


@settings(max_examples=40, deadline=None)
@given(
    width=st.floats(12, 80),
    depth=st.floats(12, 60),
    share=st.floats(0.2, 0.8),
    weight=st.floats(1, 5000),
    at=st.tuples(st.floats(0.01, 0.99), st.floats(0.01, 0.99)),
)
def test_each_direction_carries_the_whole_house(width, depth, share, weight, at):
    """However the lines stand, the strips of one direction add up to the house's weight."""
    base = demand_inputs(house())
    chimney = replace(base.building.point_weights[0], by_level_lb=())
    point = replace(chimney, at_ft=(at[0] * width, at[1] * depth), weight_lb=weight)
    outline = _rectangle(width, depth)
    building = replace(
        base.building, floor_outline_ft=outline, roof_outline_ft=outline, point_weights=(point,), story_above=()
    )
    lines = tuple(
        DemandLine(label=label, start_ft=start, end_ft=end, panel_length_ft=6.0)
        for label, start, end in (
            ("south", (0.0, 0.0), (width, 0.0)),
            ("middle", (width, share * depth), (0.0, share * depth)),
            ("north", (0.0, depth), (width, depth)),
            ("west", (0.0, 0.0), (0.0, depth)),
            ("east", (width, depth), (width, 0.0)),
        )
    )
    check = demand(DemandInputs(hazard=base.hazard, criteria=base.criteria, building=building, lines=lines))
    whole = _value(check, "weight_lb")
    for direction in (("south", "middle", "north"), ("west", "east")):
        carried = sum(_value(check, f"strip_{label}_weight_lb") for label in direction)
        assert carried == pytest.approx(whole, rel=1e-9)


def test_an_interior_line_that_carries_nothing_relieves_no_other():
    base = house()
    idle = replace(line_of(base, "A"), label="M", start_ft=(0.0, 14.0), end_ft=(40.0, 14.0), panels=())
    with_it = house_demand(demand_inputs(replace(base, lines=(*base.lines, idle))))
    without = house_demand(demand_inputs(base))
    for label, line in without.lines.items():
        assert with_it.lines[label].demand_lb == pytest.approx(line.demand_lb)
    assert with_it.lines["M"].demand_lb > 0  # its own link chain is open for this
    assert any("line M carries nothing" in warning for warning in with_it.check.warnings)
    braced = replace(idle, panels=line_of(base, "A").panels)
    relieved = house_demand(demand_inputs(replace(base, lines=(*base.lines, braced))))
    assert relieved.lines["A"].demand_lb < 0.7 * without.lines["A"].demand_lb


def test_a_line_that_no_strip_reaches_is_refused():
    base = house()
    short = replace(
        line_of(base, "1"), label="3", start_ft=(20.0, 0.0), end_ft=(20.0, 0.4), segments=(), panels=(), openings=(),
        sill_pieces=(), plate_laps_ft=(), existing_anchors=(),
        framing=replace(line_of(base, "1").framing, stud_centrelines_in=()),
    )  # fmt: skip
    with pytest.raises(OutOfRange, match="must hold a part of the floor") as refused:
        house_demand(demand_inputs(replace(base, lines=(*base.lines, short))))
    assert refused.value.field == "lines.3"


def test_a_story_over_half_the_plan_brings_its_levels_to_the_line_under_it():
    base = house(building={"point_weights": ()})
    half = Story(
        label="second", floor_outline_ft=((0.0, 0.0), (40.0, 0.0), (40.0, 14.0), (0.0, 14.0)), floor_depth_ft=0.83,
        wall_height_ft=8.0, floor_psf=10.0, partitions_psf=10.0, wall_psf=15.0,
    )  # fmt: skip
    check = house_demand(demand_inputs(replace(base, building=replace(base.building, upper_stories=(half,))))).check
    under = check.step("strip_A_QE_lb")
    assert under.value == pytest.approx(check.step("strip_A_by_level_lb").value)
    assert under.value > check.step("Cs").value * check.step("strip_A_weight_lb").value
    beside = check.step("strip_B_QE_lb")
    assert beside.value == pytest.approx(check.step("Cs").value * check.step("strip_B_weight_lb").value)
