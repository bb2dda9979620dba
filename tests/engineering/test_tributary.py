"""Strips of a flexible diaphragm over plans that are not rectangles."""

from __future__ import annotations

from dataclasses import replace

import pytest

from engineering.errors import OutOfRange
from engineering.inputs import Building, DemandLine, PointWeight
from engineering.tributary import Strip, strips
from tests.engineering.varied import house

# An L: 40 ft by 14 ft along the south, and a wing 20 ft wide going 28 ft deep at the west.
L_PLAN = ((0.0, 0.0), (40.0, 0.0), (40.0, 14.0), (20.0, 14.0), (20.0, 28.0), (0.0, 28.0))
# A C, open to the east: two arms 10 ft deep, 10 ft apart, on a spine at the west.
C_PLAN = ((0.0, 0.0), (40.0, 0.0), (40.0, 10.0), (20.0, 10.0), (20.0, 20.0), (40.0, 20.0), (40.0, 30.0), (0.0, 30.0))


def _building(outline, points: tuple[PointWeight, ...] = ()) -> Building:
    return replace(house().building, floor_outline_ft=outline, roof_outline_ft=outline, point_weights=points)


def _line(label: str, start, end) -> DemandLine:
    return DemandLine(label=label, start_ft=start, end_ft=end, panel_length_ft=4.0)


L_LINES = (
    _line("south", (0.0, 0.0), (40.0, 0.0)),
    _line("inner", (20.0, 14.0), (40.0, 14.0)),
    _line("north", (0.0, 28.0), (20.0, 28.0)),
    _line("west", (0.0, 0.0), (0.0, 28.0)),
    _line("wing", (20.0, 14.0), (20.0, 28.0)),
    _line("east", (40.0, 0.0), (40.0, 14.0)),
)


def _of(found: list[Strip], label: str) -> list[tuple[float, float, float]]:
    return [(strip.from_ft, strip.to_ft, strip.floor_sf) for strip in found if strip.label == label]


def test_an_l_is_cut_at_its_re_entrant_corner():
    found, _ = strips(_building(L_PLAN), L_LINES)
    # By hand: west of x = 20 the floor spans 28 ft from south to north, east of it 14 ft from south to inner.
    assert _of(found, "south") == [(0.0, 20.0, 280.0), (20.0, 40.0, 140.0)]
    assert _of(found, "inner") == [(0.0, 20.0, 140.0)]
    assert _of(found, "north") == [(0.0, 20.0, 280.0)]
    # In the other direction it is cut at y = 14: below it spans 40 ft from west to east, above 20 ft.
    assert _of(found, "west") == [(0.0, 14.0, 280.0), (14.0, 28.0, 140.0)]
    assert _of(found, "wing") == [(0.0, 14.0, 140.0)]
    assert _of(found, "east") == [(0.0, 14.0, 280.0)]


def test_walls_of_an_l_go_to_the_strip_they_stand_in():
    found, _ = strips(_building(L_PLAN), L_LINES)
    walls = {
        label: sum(strip.wall_ft for strip in found if strip.label == label) for label in ("south", "inner", "north")
    }
    # South: its 40 ft, 14 ft of the west and 7 ft of the east wall. North: its 20, 14 of the west, 14 of the wing.
    assert walls == pytest.approx({"south": 40 + 14 + 7, "inner": 20 + 7, "north": 20 + 14 + 14})
    assert sum(walls.values()) == pytest.approx(136.0)


def test_a_line_through_both_rectangles_serves_both():
    through = (*L_LINES[:1], _line("inner", (0.0, 14.0), (40.0, 14.0)), *L_LINES[2:])
    found, _ = strips(_building(L_PLAN), through)
    assert _of(found, "inner") == [(0.0, 20.0, 280.0), (20.0, 40.0, 140.0)]


def test_places_along_a_line_run_from_its_own_zero_end():
    turned = (_line("south", (40.0, 0.0), (0.0, 0.0)), *L_LINES[1:])
    found, _ = strips(_building(L_PLAN), turned)
    assert _of(found, "south") == [(20.0, 40.0, 280.0), (0.0, 20.0, 140.0)]


def test_a_short_line_serves_floor_beyond_its_ends():
    short = (_line("south", (5.0, 0.0), (40.0, 0.0)), *L_LINES[1:])
    found, _ = strips(_building(L_PLAN), short)
    assert _of(found, "south")[0][:2] == (-5.0, 15.0)


def test_a_point_weight_lies_wholly_in_one_strip():
    points = (PointWeight(label="flue", at_ft=(30.0, 6.9), weight_lb=900.0),)
    found, _ = strips(_building(L_PLAN, points), L_LINES)
    assert {strip.label for strip in found if strip.point_weights} == {"south", "east"}


def test_cuts_lie_half_way():
    _, cuts = strips(_building(L_PLAN), L_LINES)
    assert {cut.between: cut.at_ft for cut in cuts} == {
        ("south", "north"): 14.0,
        ("south", "inner"): 7.0,
        ("west", "east"): 20.0,
        ("west", "wing"): 10.0,
    }


def test_an_arm_without_its_own_line_is_refused():
    """The floor must not jump over the court of a C: each arm needs lines on both its sides."""
    lines = (
        _line("south", (0.0, 0.0), (40.0, 0.0)),
        _line("north", (0.0, 30.0), (40.0, 30.0)),
        _line("west", (0.0, 0.0), (0.0, 30.0)),
        _line("east low", (40.0, 0.0), (40.0, 10.0)),
        _line("east high", (40.0, 20.0), (40.0, 30.0)),
        _line("court", (20.0, 10.0), (20.0, 20.0)),
    )
    with pytest.raises(OutOfRange, match="must be held by two lines along x"):
        strips(_building(C_PLAN), lines)
    inner = (_line("low", (20.0, 10.0), (40.0, 10.0)), _line("high", (20.0, 20.0), (40.0, 20.0)))
    found, _ = strips(_building(C_PLAN), (*lines, *inner))
    assert sum(strip.floor_sf for strip in found) == pytest.approx(2 * 1000.0)
    assert _of(found, "low") == [(0.0, 20.0, 100.0)]


def test_no_line_in_a_direction_is_refused():
    with pytest.raises(OutOfRange, match="must be held by two lines along y"):
        strips(_building(L_PLAN), L_LINES[:3])


def test_an_open_front_is_refused():
    lines = (L_LINES[0], _line("north", (0.0, 20.0), (20.0, 20.0)), *L_LINES[3:], L_LINES[1])
    with pytest.raises(OutOfRange, match="must end within 6 ft of a line"):
        strips(_building(L_PLAN), lines)


def test_two_lines_in_one_wall_plane_are_refused():
    lines = (_line("one", (0.0, 0.0), (12.0, 0.0)), _line("two", (15.0, 0.0), (40.0, 0.0)), *L_LINES[1:])
    with pytest.raises(OutOfRange, match="one wall plane"):
        strips(_building(L_PLAN), lines)


def test_a_bay_window_belongs_to_the_wall_behind_it():
    plan = ((0.0, 0.0), (10.0, 0.0), (11.0, -2.0), (15.0, -2.0), (16.0, 0.0), (40.0, 0.0), (40.0, 28.0), (0.0, 28.0))
    lines = (
        _line("south", (0.0, 0.0), (40.0, 0.0)),
        _line("north", (0.0, 28.0), (40.0, 28.0)),
        _line("west", (0.0, 0.0), (0.0, 28.0)),
        _line("east", (40.0, 0.0), (40.0, 28.0)),
    )
    found, _ = strips(_building(plan), lines)
    assert sum(strip.floor_sf for strip in found if strip.label == "south") == pytest.approx(40 * 14 + 10.0)
    # From the side the bay has no line of its own: it hangs on west and east, cut half-way like the rest.
    assert sum(strip.floor_sf for strip in found if strip.label in ("west", "east")) == pytest.approx(40 * 28 + 10.0)
    assert [(s.from_ft, s.to_ft) for s in found if s.label == "west"] == [(0.0, 28.0)]


def test_a_deep_wing_without_lines_is_refused():
    plan = ((0.0, 0.0), (10.0, 0.0), (10.0, -7.0), (16.0, -7.0), (16.0, 0.0), (40.0, 0.0), (40.0, 28.0), (0.0, 28.0))
    lines = (
        _line("south", (0.0, 0.0), (40.0, 0.0)),
        _line("north", (0.0, 28.0), (40.0, 28.0)),
        _line("west", (0.0, 0.0), (0.0, 28.0)),
        _line("east", (40.0, 0.0), (40.0, 28.0)),
    )
    with pytest.raises(OutOfRange, match="must"):
        strips(_building(plan), lines)
