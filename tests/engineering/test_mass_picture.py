"""The picture of which mass goes to which line: it holds the whole house, each piece where it lies."""

from __future__ import annotations

from dataclasses import replace

import pytest
from shapely import LineString, Polygon, unary_union
from shapely import Point as ShapelyPoint

from engineering.house import assess
from engineering.inputs import PointWeight
from engineering.mass_picture import centre
from engineering.results import MassShare
from engineering.seismic_demand import HouseDemand, demand_inputs, house_demand
from engineering.tributary import axis_of
from tests.engineering.test_diaphragm_force import _l_house
from tests.engineering.test_vertical_distribution import CHIMNEY, SECOND
from tests.engineering.varied import house

CASES = {
    "house A": demand_inputs(house()),
    "an L": _l_house(20.0, 14.0),
    "two stories": demand_inputs(house(building={"upper_stories": (SECOND,), "point_weights": (CHIMNEY,)})),
}


@pytest.fixture(params=sorted(CASES))
def case(request):
    given_house = CASES[request.param]
    return given_house, house_demand(given_house)


def _of_axis(given_house, found: HouseDemand, axis: str) -> list[MassShare]:
    own = {line.label for line in given_house.lines if axis_of(line) == axis}
    return [share for share in found.picture if share.line in own]


@pytest.mark.parametrize("axis", ["x", "y"])
def test_each_direction_adds_up_to_the_house(case, axis):
    given_house, found = case
    shares = _of_axis(given_house, found, axis)
    assert sum(share.weight_lb for share in shares) == pytest.approx(found.check.step("weight_lb").value)
    for key, label in (("floor", "floor"), ("roof", "roof"), ("second_floor", "second floor")):
        level_lb = sum(share.weight_lb for share in shares if share.level == label)
        wanted = [one.value for one in found.check.steps if one.key == f"level_{key}_weight_lb"]
        assert level_lb == pytest.approx(sum(wanted))


def test_a_line_holds_its_strip(case):
    _, found = case
    for label in found.lines:
        weight_lb = sum(share.weight_lb for share in found.picture if share.line == label)
        assert weight_lb == pytest.approx(found.check.step(f"strip_{label}_weight_lb").value)


@pytest.mark.parametrize("axis", ["x", "y"])
def test_areas_cover_the_outlines_once(case, axis):
    given_house, found = case
    for level, outline in (
        ("floor", given_house.building.floor_outline_ft),
        ("roof", given_house.building.roof_outline_ft),
    ):
        shares = [s for s in _of_axis(given_house, found, axis) if s.kind == "area" and s.level == level]
        pieces = [Polygon(share.outline_ft) for share in shares]
        assert sum(piece.area for piece in pieces) == pytest.approx(Polygon(outline).area)
        assert unary_union(pieces).symmetric_difference(Polygon(outline)).area == pytest.approx(0.0, abs=1e-6)


def test_walls_lie_on_the_edges_of_the_floor(case):
    given_house, found = case
    edge = Polygon(given_house.building.floor_outline_ft).exterior.buffer(1e-6)
    walls = [share for share in found.picture if share.kind == "wall"]
    assert walls
    assert all(edge.covers(LineString(share.outline_ft)) for share in walls)


def test_a_point_weight_stands_where_it_is():
    found = house_demand(CASES["house A"])
    points = [share for share in found.picture if share.kind == "point"]
    assert {(share.line, share.level, share.weight_lb) for share in points} == {
        (line, level, weight) for line in ("B", "2") for level, weight in (("floor", 1660.0), ("roof", 1340.0))
    }
    assert {share.outline_ft for share in points} == {((38.0, 20.0),)}


def test_the_centre_is_that_of_the_mass(case):
    """Either direction's pieces have the same centre; it lies in the roof's outline."""
    given_house, found = case
    along_x, along_y = (centre(_of_axis(given_house, found, axis)) for axis in "xy")
    assert along_x == pytest.approx(along_y)
    assert Polygon(given_house.building.roof_outline_ft).covers(ShapelyPoint(along_x))


def test_the_result_of_a_house_carries_the_picture():
    given_house = house()
    result = assess(given_house)
    assert result.picture == house_demand(demand_inputs(given_house)).picture


def test_a_weight_moves_the_picture_alone():
    """The strips are kept by geometry: a second house with another weight has the same pieces, other pounds."""
    given_house = house()
    heavier = replace(given_house.building.unit_weights, roof_psf=30.0)
    point = PointWeight(label="tank", at_ft=(5.0, 5.0), weight_lb=800.0)
    changed = house(building={"unit_weights": heavier, "point_weights": (point,)})
    before, after = (house_demand(demand_inputs(one)) for one in (given_house, changed))

    def areas(found: HouseDemand, level: str) -> list[tuple[object, float]]:
        return [(s.outline_ft, s.weight_lb) for s in found.picture if s.kind == "area" and s.level == level]

    assert areas(before, "floor") == areas(after, "floor")
    assert [(at, 2 * lb) for at, lb in areas(before, "roof")] == areas(after, "roof")
    assert {s.line for s in after.picture if s.kind == "point"} == {"A", "1"}
