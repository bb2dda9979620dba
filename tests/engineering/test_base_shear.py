"""The S_DS cap with its conditions, and the vertical effect."""

from __future__ import annotations

from dataclasses import replace

import pytest

from engineering.errors import OutOfRange
from engineering.inputs import DemandInputs, Story
from engineering.seismic_demand import HouseDemand, demand_inputs, house_demand
from tests.engineering.varied import house

PLAN = house().building.floor_outline_ft
L_PLAN = ((0.0, 0.0), (40.0, 0.0), (40.0, 14.0), (20.0, 14.0), (20.0, 28.0), (0.0, 28.0))


def _capped(**changes) -> DemandInputs:
    hazard = {"s_ds_g": 1.2, "site_class": "D", **changes.pop("hazard", {})}
    criteria = {"s_ds_cap": True, "regular_in_height": True, **changes.pop("criteria", {})}
    return demand_inputs(house(hazard=hazard, criteria=criteria, **changes))


def _value(found: HouseDemand, key: str) -> object:
    return found.check.step(key).value


def test_the_cap_lowers_c_s_and_the_vertical_effect():
    found = house_demand(_capped())
    assert _value(found, "SDS_used_g") == 1.0
    assert _value(found, "Cs") == pytest.approx(1.0 / 6.5)
    assert found.lines["A"].vertical_asd == pytest.approx(0.14)
    assert _value(found, "px_floor_min") == pytest.approx(0.2 * 1.2)


def test_never_below_seven_tenths():
    assert _value(house_demand(_capped(hazard={"s_ds_g": 1.6})), "SDS_used_g") == pytest.approx(0.7 * 1.6)


def test_nothing_to_cap():
    """Up to 1.0 g no condition is asked for."""
    found = house_demand(_capped(hazard={"s_ds_g": 0.9, "site_class": "not observed"}))
    assert _value(found, "SDS_used_g") == 0.9


def test_without_the_engineer_there_is_no_cap():
    assert _value(house_demand(_capped(criteria={"s_ds_cap": False})), "Cs") == pytest.approx(1.2 / 6.5)


STORY = Story(
    label="n",
    floor_outline_ft=PLAN,
    floor_depth_ft=1.0,
    wall_height_ft=8.0,
    floor_psf=10.0,
    partitions_psf=0.0,
    wall_psf=10.0,
)
FOUR_MORE = tuple(replace(STORY, label=f"floor {number}") for number in range(2, 6))


@pytest.mark.parametrize(
    ("field", "changes"),
    [
        ("criteria.regular_in_plan", {"criteria": {"regular_in_plan": False}}),
        ("criteria.regular_in_height", {"criteria": {"regular_in_height": False}}),
        ("criteria.redundancy", {"criteria": {"redundancy": 1.3}}),
        ("hazard.site_class", {"hazard": {"site_class": "not observed"}}),
        ("hazard.site_class", {"hazard": {"site_class": "default"}}),
        ("hazard.site_class", {"hazard": {"site_class": "F"}}),
        ("criteria.risk_category", {"criteria": {"risk_category": "III", "importance": 1.25}}),
        (
            "building.upper_stories",
            {"criteria": {"redundancy": 1.0}, "building": {"upper_stories": FOUR_MORE, "point_weights": ()}},
        ),
    ],
)
def test_each_condition_is_asked_for(field, changes):
    with pytest.raises(OutOfRange, match=r"12\.8\.1\.3") as refused:
        house_demand(_capped(**changes))
    assert refused.value.field == field


def test_a_plan_with_a_deep_corner_gets_no_cap():
    """The plan itself shows the irregularity, whatever the criteria say."""
    given_house = _capped(criteria={"redundancy": 1.0})
    lines = (
        *given_house.lines,
        replace(given_house.lines[0], label="inner", start_ft=(20.0, 14.0), end_ft=(40.0, 14.0), panel_length_ft=4.0),
        replace(given_house.lines[2], label="wing", start_ft=(20.0, 14.0), end_ft=(20.0, 28.0), panel_length_ft=4.0),
    )
    north = replace(lines[1], end_ft=(20.0, 28.0), panel_length_ft=9.0)
    east = replace(lines[3], start_ft=(40.0, 0.0), end_ft=(40.0, 14.0), panel_length_ft=9.0)
    l_house = replace(
        given_house,
        building=replace(given_house.building, floor_outline_ft=L_PLAN, point_weights=()),
        lines=(lines[0], north, lines[2], east, *lines[4:]),
    )
    with pytest.raises(OutOfRange, match="re-entrant corner") as refused:
        house_demand(l_house)
    assert refused.value.field == "building"


@pytest.mark.parametrize(("category", "asd"), [("A", 0.0), ("B", 0.0), ("C", 0.14 * 0.1), ("D", 0.14 * 0.1)])
def test_the_vertical_effect_by_category(category, asd):
    found = house_demand(demand_inputs(house(hazard={"s_ds_g": 0.1, "seismic_design_category": category})))
    assert found.lines["B"].vertical_asd == pytest.approx(asd)


def test_the_vertical_effect_is_not_reduced_with_the_level():
    full, reduced = house_demand(demand_inputs(house())), house_demand(demand_inputs(house(level="r75")))
    assert reduced.lines["A"].vertical_asd == full.lines["A"].vertical_asd
