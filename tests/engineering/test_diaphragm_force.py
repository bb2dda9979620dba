"""F_px on a line, and what raises it at re-entrant corners."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engineering.inputs import DemandInputs, DemandLine
from engineering.outlines import greatest_projection, outline
from engineering.seismic_demand import demand_inputs, house_demand
from tests.engineering.varied import house


def _l_house(arm_ft: float, wing_ft: float, **criteria) -> DemandInputs:
    """40 by 28 ft less a corner: the east arm reaches `arm_ft` beyond it, the north wing `wing_ft`."""
    x, y = 40.0 - arm_ft, 28.0 - wing_ft
    plan = ((0.0, 0.0), (40.0, 0.0), (40.0, y), (x, y), (x, 28.0), (0.0, 28.0))
    lines = tuple(
        DemandLine(label=label, start_ft=start, end_ft=end, panel_length_ft=1.0)
        for label, start, end in (
            ("south", (0.0, 0.0), (40.0, 0.0)),
            ("inner", (x, y), (40.0, y)),
            ("north", (0.0, 28.0), (x, 28.0)),
            ("west", (0.0, 0.0), (0.0, 28.0)),
            ("wing", (x, y), (x, 28.0)),
            ("east", (40.0, 0.0), (40.0, y)),
        )
    )
    given_house = demand_inputs(house())
    building = replace(
        given_house.building, floor_outline_ft=plan, roof_outline_ft=plan, point_weights=(), story_above=()
    )
    changed = replace(given_house.criteria, **{"redundancy": 1.0, **criteria})
    return replace(given_house, building=building, criteria=changed, lines=lines)


def test_a_deep_corner_raises_the_diaphragm_force_on_all_lines():
    found = house_demand(_l_house(20.0, 14.0))
    check = found.check
    assert check.step("re_entrant_projection").value == 0.5
    assert check.step("diaphragm_factor").value == 1.25
    for label, line in found.lines.items():
        parts_lb = check.step(f"px_{label}_above_lb").value + check.step(f"px_{label}_floor_part_lb").value
        assert line.diaphragm_demand_lb == pytest.approx(0.7 * 1.25 * parts_lb)
        assert line.demand_lb == pytest.approx(0.7 * check.step(f"strip_{label}_QE_lb").value)


@pytest.mark.parametrize(("arm_ft", "wing_ft", "factor"), [(6.0, 4.2, 1.0), (6.1, 4.3, 1.25), (20.0, 4.0, 1.0)])
def test_both_projections_must_be_over_15_percent(arm_ft, wing_ft, factor):
    """ASCE 7 Table 12.3-1 type 2 (from memory): 6 of 40 and 4.2 of 28 ft are the limit."""
    assert house_demand(_l_house(arm_ft, wing_ft)).check.step("diaphragm_factor").value == factor


@pytest.mark.parametrize(("category", "factor"), [("C", 1.0), ("D", 1.25), ("E", 1.25)])
def test_the_raise_is_of_the_high_categories(category, factor):
    given_house = _l_house(20.0, 14.0)
    hazard = replace(given_house.hazard, s_ds_g=0.45, seismic_design_category=category)
    given_house = replace(given_house, hazard=hazard)
    assert house_demand(given_house).check.step("diaphragm_factor").value == factor


def test_a_deep_corner_is_no_regular_plan():
    """ρ = 1.0 by the bays rule needs a regular plan; the outline tells, whatever the criteria say."""
    check = house_demand(_l_house(20.0, 14.0, redundancy=None)).check
    assert check.step("rho").value == 1.3
    assert any("re-entrant corner at (20, 14)" in note for note in check.notes)


def test_a_bay_window_leaves_the_plan_regular():
    bay = ((0.0, 0.0), (10.0, 0.0), (11.0, -2.0), (15.0, -2.0), (16.0, 0.0), (40.0, 0.0), (40.0, 28.0), (0.0, 28.0))
    share, _ = greatest_projection(outline("floor_outline_ft", bay))
    assert share == pytest.approx(2 / 30)


def test_the_open_side_of_a_corner_decides_its_projections():
    """By hand: the court of a C, 20 ft deep of 40, its arms 20 ft of 30 beyond either corner."""
    court = ((0.0, 0.0), (40.0, 0.0), (40.0, 10.0), (20.0, 10.0), (20.0, 20.0), (40.0, 20.0), (40.0, 30.0), (0.0, 30.0))
    assert greatest_projection(outline("floor_outline_ft", court))[0] == 0.5


def test_redundancy_is_on_the_levels_above_alone():
    once, more = (house_demand(_l_house(20.0, 14.0, redundancy=value)) for value in (1.0, 1.3))
    for label in once.lines:
        above_lb = once.check.step(f"px_{label}_above_lb").value
        part_lb = once.check.step(f"px_{label}_floor_part_lb").value
        assert more.lines[label].diaphragm_demand_lb == pytest.approx(0.7 * 1.25 * (1.3 * above_lb + part_lb))


def test_the_level_scales_the_diaphragm_force():
    full, reduced = house_demand(demand_inputs(house())), house_demand(demand_inputs(house(level="r75")))
    for label, line in full.lines.items():
        assert reduced.lines[label].diaphragm_demand_lb == pytest.approx(0.75 * line.diaphragm_demand_lb)
        assert reduced.lines[label].moment_above_ft_lb == pytest.approx(0.75 * line.moment_above_ft_lb)


@settings(max_examples=40, deadline=None)
@given(s_ds_g=st.floats(0.05, 2.5), r=st.sampled_from([2.0, 6.5]), arm_ft=st.floats(1.0, 30.0))
def test_f_px_stays_between_its_limits_and_parts_add_up(s_ds_g, r, arm_ft):
    system = "bearing wall, wood structural panels" if r == 6.5 else "bearing wall, other materials"
    given_house = _l_house(arm_ft, 10.0, response_modification=r, system=system)
    found = house_demand(replace(given_house, hazard=replace(given_house.hazard, s_ds_g=s_ds_g, s_d1_g=2.0)))
    weight_lb, force_lb = (found.check.step(key).value for key in ("level_floor_weight_lb", "px_floor_lb"))
    assert 0.2 * s_ds_g * weight_lb * (1 - 1e-9) <= force_lb <= 0.4 * s_ds_g * weight_lb * (1 + 1e-9)
    parts_lb = sum(found.check.step(f"px_{label}_floor_part_lb").value for label in ("south", "inner", "north"))
    assert parts_lb == pytest.approx(force_lb)
    for line in found.lines.values():
        assert sum(part.demand_lb for part in line.diaphragm_parts) == pytest.approx(line.diaphragm_demand_lb)
        assert sum(part.demand_lb for part in line.parts) == pytest.approx(line.demand_lb)
