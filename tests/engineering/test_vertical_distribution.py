"""Levels of a house: weights, forces, what each story resists, and what a line gets of it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engineering.errors import OutOfRange
from engineering.inputs import Building, DemandInputs, PointWeight, Story, StoryAbove
from engineering.seismic_demand import HouseDemand, demand_inputs, house_demand
from engineering.tributary import axis_of
from engineering.vertical_distribution import exponent
from tests.engineering.varied import house

PLAN = ((0.0, 0.0), (40.0, 0.0), (40.0, 28.0), (0.0, 28.0))
SECOND = Story(
    label="second floor",
    floor_outline_ft=PLAN,
    floor_depth_ft=1.0,
    wall_height_ft=8.0,
    floor_psf=10.0,
    partitions_psf=10.0,
    wall_psf=15.0,
)
CHIMNEY = PointWeight(label="chimney", at_ft=(38.0, 20.0), weight_lb=3000.0, by_level_lb=(1000.0, 1200.0, 800.0))


def _building(*stories: Story, **changes) -> Building:
    given_house = house().building
    return replace(given_house, upper_stories=stories, **{"point_weights": (CHIMNEY,), **changes})


def _inputs(building: Building, **criteria) -> DemandInputs:
    given_house = demand_inputs(house())
    return replace(given_house, building=building, criteria=replace(given_house.criteria, **criteria))


def _two_stories(**criteria) -> HouseDemand:
    return house_demand(_inputs(_building(SECOND), **criteria))


@pytest.mark.parametrize(("period_s", "k"), [(0.1, 1.0), (0.5, 1.0), (1.0, 1.25), (1.5, 1.5), (2.5, 2.0), (4.0, 2.0)])
def test_the_exponent_grows_with_the_period(period_s, k):
    assert exponent(period_s) == pytest.approx(k)


def test_levels_of_a_two_story_house():
    """By hand: half of each wall goes up, half down."""
    check = _two_stories().check
    perimeter, floor = 136.0, 40 * 28 * 20.0
    weights = {
        "floor": floor + perimeter * (1.5 + 4) * 15 + 1000,
        "second_floor": floor + perimeter * (4 + 4) * 15 + 1200,
        "roof": 42 * 30 * 15 + perimeter * 4 * 15 + 800,
    }
    heights = {"floor": 3 + 10 / 12, "second_floor": 3 + 10 / 12 + 8 + 1, "roof": 3 + 10 / 12 + 8 + 1 + 8}
    products = {key: weights[key] * heights[key] for key in weights}
    shear = check.demand
    assert check.step("weight_lb").value == pytest.approx(sum(weights.values()))
    assert check.step("hn_ft").value == pytest.approx(heights["roof"])
    for key, product in products.items():
        assert check.step(f"level_{key}_weight_lb").value == pytest.approx(weights[key])
        assert check.step(f"level_{key}_ft").value == pytest.approx(heights[key])
        wanted = shear * product / sum(products.values())
        assert check.step(f"level_{key}_force_lb").value == pytest.approx(wanted)


def test_every_story_counts_in_a_line():
    found = _two_stories()
    for axis in "xy":
        own = [line.label for line in demand_inputs(house()).lines if axis_of(line) == axis]
        whole = found.check.step("weight_lb").value
        assert sum(found.check.step(f"strip_{label}_weight_lb").value for label in own) == pytest.approx(whole)
        for key in ("floor", "second_floor", "roof"):
            carried = sum(found.check.step(f"strip_{label}_{key}_force_lb").value for label in own)
            assert carried == pytest.approx(found.check.step(f"level_{key}_force_lb").value)


def test_by_levels_and_by_one_mass_agree_for_the_whole_house():
    """Every direction carries C_s·W either way; only the lines' shares differ a little."""
    check = _two_stories().check
    by_level = sum(check.step(f"strip_{label}_by_level_lb").value for label in ("A", "B"))
    assert by_level == pytest.approx(sum(check.step(f"strip_{label}_QE_lb").value for label in ("A", "B")))


def test_the_moment_above_grows_with_a_story():
    one, two = house_demand(demand_inputs(house())), _two_stories()
    assert two.lines["A"].moment_above_ft_lb > 2 * one.lines["A"].moment_above_ft_lb


def test_an_upper_story_smaller_than_the_first():
    """By hand: a second floor over the west half; its walls stand on its own edges."""
    west = replace(SECOND, floor_outline_ft=((0.0, 0.0), (20.0, 0.0), (20.0, 28.0), (0.0, 28.0)))
    check = house_demand(_inputs(_building(west))).check
    # 20·28 ft of floor; half of the first story's walls on 136 ft, half of its own on 96 ft.
    wanted = 20 * 28 * 20 + 136 * 4 * 15 + 96 * 4 * 15 + 1200
    assert check.step("level_second_floor_weight_lb").value == pytest.approx(wanted)
    # Strip 1 goes to x = 20: all of the second floor is in it, and 96 − 0.5·0 ft of its walls.
    assert check.step("strip_1_second_floor_floor_lb").value == pytest.approx(20 * 28 * 20)
    assert check.step("strip_1_second_floor_walls_lb").value == pytest.approx(96 * 8 * 15)
    assert check.step("strip_2_second_floor_floor_lb").value == 0.0


def test_a_point_weight_lies_on_its_levels():
    low = replace(CHIMNEY, by_level_lb=())
    split, at_floor = _two_stories().check, house_demand(_inputs(_building(SECOND, point_weights=(low,)))).check
    assert at_floor.step("level_floor_weight_lb").value == split.step("level_floor_weight_lb").value + 2000
    assert at_floor.step("weight_lb").value == split.step("weight_lb").value


def test_snow_over_the_limit_lies_on_the_roof():
    given_house = house()
    weights = replace(given_house.building.unit_weights, flat_roof_snow_psf=50.0)
    found = house_demand(demand_inputs(house(building={"unit_weights": weights})))
    without = house_demand(demand_inputs(given_house)).check
    snow_lb = 0.2 * 50 * 42 * 30
    for key in ("weight_lb", "level_roof_weight_lb"):
        assert found.check.step(key).value == pytest.approx(without.step(key).value + snow_lb)
    carried = sum(found.check.step(f"strip_{label}_weight_lb").value for label in ("A", "B"))
    assert carried == pytest.approx(found.check.step("weight_lb").value)


# --- redundancy by story --------------------------------------------------------------------------------------------
def test_the_story_above_counts_by_its_share():
    """A heavy floor under a light story: over it less than 35 % of the shear is left, its walls are not asked for."""
    building = house().building
    weights = replace(building.unit_weights, floor_psf=150.0, roof_psf=3.0, story_wall_psf=2.0)
    light = replace(building, unit_weights=weights, story_above=(), point_weights=())
    check = house_demand(_inputs(light)).check
    assert check.step("level_roof_story_share").value < 0.35
    assert check.step("rho").value == 1.0
    assert house_demand(_inputs(replace(building, story_above=()))).check.step("rho").value == 1.3


def test_a_second_story_over_its_share_needs_its_walls():
    check = _two_stories().check
    assert check.step("level_roof_story_share").value > 0.35
    assert check.step("rho").value == 1.3
    assert any("second floor" in note for note in check.notes)
    walls = tuple(replace(wall, story="second floor") for wall in house().building.story_above)
    shown = _building(SECOND, story_above=(*house().building.story_above, *walls))
    check = house_demand(_inputs(shown)).check
    assert check.step("rho").value == 1.0
    assert check.step("rho_bays_second_floor_A").value == 2 * 20 / 8


@pytest.mark.parametrize(
    ("field", "changes"),
    [
        ("upper_stories", {"upper_stories": (SECOND, SECOND)}),
        ("upper_stories", {"upper_stories": (replace(SECOND, label="roof"),)}),
        (
            "upper_stories.second floor.floor_outline_ft",
            {
                "upper_stories": (
                    replace(SECOND, floor_outline_ft=((0.0, 0.0), (50.0, 0.0), (50.0, 28.0), (0.0, 28.0))),
                )
            },
        ),
        ("point_weights.chimney.by_level_lb", {"upper_stories": ()}),
        ("story_above.story", {"story_above": (StoryAbove(line="A", full_height_wall_ft=9.0, story="attic"),)}),
    ],
)
def test_stories_that_can_not_be_are_refused(field, changes):
    with pytest.raises(OutOfRange) as refused:
        replace(_building(SECOND), **changes)
    assert refused.value.field == field


def test_a_story_with_crossing_edges_is_refused():
    with pytest.raises(OutOfRange) as refused:
        replace(SECOND, floor_outline_ft=((0.0, 0.0), (40.0, 28.0), (40.0, 0.0), (0.0, 28.0)))
    assert refused.value.field == "floor_outline_ft"


# --- properties -----------------------------------------------------------------------------------------------------
WEIGHTS = ("roof_psf", "floor_psf", "partitions_psf", "story_wall_psf", "braced_wall_psf")


@settings(max_examples=60, deadline=None)
@given(name=st.sampled_from([*WEIGHTS, "point", "second floor"]), more=st.floats(1.0, 3.0), story=st.booleans())
def test_no_line_gets_less_where_a_weight_rises(name, more, story):
    building = _building(SECOND) if story else replace(house().building)
    if name == "second floor":
        heavier = replace(building, upper_stories=tuple(replace(s, wall_psf=15 * more) for s in building.upper_stories))
    elif name == "point":
        points = tuple(
            replace(p, weight_lb=more * p.weight_lb, by_level_lb=tuple(more * lb for lb in p.by_level_lb))
            for p in building.point_weights
        )
        heavier = replace(building, point_weights=points)
    else:
        weights = building.unit_weights
        heavier = replace(building, unit_weights=replace(weights, **{name: more * getattr(weights, name)}))
    before, after = (house_demand(_inputs(one, redundancy=1.0)) for one in (building, heavier))
    assert after.check.demand >= before.check.demand * (1 - 1e-12)
    for label, line in before.lines.items():
        assert after.lines[label].demand_lb >= line.demand_lb * (1 - 1e-12)


@settings(max_examples=60, deadline=None)
@given(s_ds_g=st.floats(0.1, 2.5), more=st.floats(1.0, 2.0), cap=st.booleans())
def test_no_line_gets_less_where_s_ds_rises(s_ds_g, more, cap):
    """Neither by the story shear nor by F_px, with the cap and without."""
    given_house = house(
        hazard={"site_class": "D", "s_d1_g": 2.0}, criteria={"s_ds_cap": cap, "regular_in_height": True}
    )
    before, after = (
        house_demand(demand_inputs(replace(given_house, hazard=replace(given_house.hazard, s_ds_g=value))))
        for value in (s_ds_g, min(s_ds_g * more, 5.0))
    )
    for label, line in before.lines.items():
        assert after.lines[label].demand_lb >= line.demand_lb * (1 - 1e-12)
        assert after.lines[label].diaphragm_demand_lb >= line.diaphragm_demand_lb * (1 - 1e-12)
        assert after.lines[label].vertical_asd >= line.vertical_asd
