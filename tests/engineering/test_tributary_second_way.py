"""Strips against areas counted a second way: the plan in half-foot cells, each given to the nearest bounding line."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engineering.inputs import Building, DemandLine, Story
from engineering.tributary import axis_of, strips
from tests.engineering.varied import house

CELL = 0.5  # lines stand on whole feet, so half-way between two is a whole number of cells


@st.composite
def skylines(draw) -> list[tuple[int, int]]:
    """Columns side by side on y = 0, as (width, depth): L, T, U and worse; neighbours differ in depth."""
    columns: list[tuple[int, int]] = []
    for _ in range(draw(st.integers(1, 5))):
        depth = draw(st.integers(4, 20).filter(lambda value: not columns or columns[-1][1] != value))
        columns.append((draw(st.integers(3, 14)), depth))
    return columns


def _edges(columns: list[tuple[int, int]]) -> list[int]:
    return [sum(width for width, _ in columns[:number]) for number in range(len(columns) + 1)]


def _outline(columns: list[tuple[int, int]]) -> tuple[tuple[float, float], ...]:
    edges = _edges(columns)
    top = [(float(x), float(depth)) for (_, depth), pair in zip(columns, pairwise(edges), strict=True) for x in pair]
    return ((0.0, 0.0), (float(edges[-1]), 0.0), *reversed(top))


def _line(label: str, start: tuple[float, float], end: tuple[float, float]) -> DemandLine:
    return DemandLine(label=label, start_ft=start, end_ft=end, panel_length_ft=0.0)


def _lines(columns: list[tuple[int, int]], interior: int | None) -> tuple[DemandLine, ...]:
    """A line under every outside wall, and one through the house at y = `interior`."""
    edges, depths = _edges(columns), [0, *(depth for _, depth in columns), 0]
    found = [_line("front", (0.0, 0.0), (float(edges[-1]), 0.0))]
    if interior is not None:
        found.append(_line("interior", (0.0, float(interior)), (float(edges[-1]), float(interior))))
    for number, ((_, depth), (left, right)) in enumerate(zip(columns, pairwise(edges), strict=True)):
        found.append(_line(f"back {number}", (float(right), float(depth)), (float(left), float(depth))))
    for number, x in enumerate(edges):
        low, high = sorted((depths[number], depths[number + 1]))
        found.append(_line(f"side {number}", (float(x), float(low)), (float(x), float(high))))
    return tuple(found)


def _column_at(columns: list[tuple[int, int]], x: float) -> int:
    return next(number for number, (left, right) in enumerate(pairwise(_edges(columns))) if left <= x < right)


def _server_along_x(columns: list[tuple[int, int]], interior: int | None, x: float, y: float) -> str:
    number = _column_at(columns, x)
    at = {"front": 0.0, f"back {number}": float(columns[number][1])}
    if interior is not None:
        at["interior"] = float(interior)
    return min(at, key=lambda label: abs(at[label] - y))


def _server_along_y(columns: list[tuple[int, int]], x: float, y: float) -> str:
    """The nearer of the two sides of the rectangle that holds the place, between two re-entrant corners."""
    corners = [min(one, two) for (_, one), (_, two) in pairwise(columns)]
    low = max([corner for corner in corners if corner <= y], default=0)
    edges, left = _edges(columns), _column_at(columns, x)
    right = left + 1
    while left > 0 and columns[left - 1][1] > low:
        left -= 1
    while right < len(columns) and columns[right][1] > low:
        right += 1
    return f"side {left}" if x - edges[left] < edges[right] - x else f"side {right}"


def _counted(columns: list[tuple[int, int]], interior: int | None) -> tuple[Counter[str], Counter[str]]:
    """Floor area and wall length by line, cell by cell."""
    area: Counter[str] = Counter()
    wall: Counter[str] = Counter()
    edges = _edges(columns)
    inside = {
        (i, j)
        for (_, depth), (left, right) in zip(columns, pairwise(edges), strict=True)
        for i in range(int(left / CELL), int(right / CELL))
        for j in range(int(depth / CELL))
    }
    for i, j in inside:
        x, y = (i + 0.5) * CELL, (j + 0.5) * CELL
        outside = sum(beside not in inside for beside in ((i - 1, j), (i + 1, j), (i, j - 1), (i, j + 1)))
        for label in (_server_along_x(columns, interior, x, y), _server_along_y(columns, x, y)):
            area[label] += CELL**2
            wall[label] += outside * CELL
    return area, wall


def _building(columns: list[tuple[int, int]], **changes) -> Building:
    outline = _outline(columns)
    return replace(
        house().building, floor_outline_ft=outline, roof_outline_ft=outline, point_weights=(), story_above=(), **changes
    )


def _shared(building: Building, lines: tuple[DemandLine, ...]) -> tuple[dict[str, float], dict[str, float]]:
    area: Counter[str] = Counter()
    wall: Counter[str] = Counter()
    for strip in strips(building, lines)[0]:
        area[strip.label] += strip.floor_sf
        wall[strip.label] += strip.wall_ft
    return area, wall


@settings(max_examples=80, deadline=None)
@given(columns=skylines(), place=st.integers(0, 20))
def test_strips_are_what_the_cells_count(columns, place):
    interior = place if 2 <= place <= min(depth for _, depth in columns) - 2 else None
    area, wall = _shared(_building(columns), _lines(columns, interior))
    counted_area, counted_wall = _counted(columns, interior)
    assert area == pytest.approx(dict(counted_area))
    assert wall == pytest.approx(dict(counted_wall))


@settings(max_examples=40, deadline=None)
@given(columns=skylines(), factor=st.floats(0.7, 1.9))
def test_scaling_a_plan_scales_its_strips(columns, factor):
    lines = _lines(columns, None)
    area, wall = _shared(_building(columns), lines)

    def scaled(point: tuple[float, float]) -> tuple[float, float]:
        return (factor * point[0], factor * point[1])

    larger = tuple(replace(one, start_ft=scaled(one.start_ft), end_ft=scaled(one.end_ft)) for one in lines)
    outline = tuple(map(scaled, _outline(columns)))
    building = replace(_building(columns), roof_outline_ft=outline, floor_outline_ft=outline)
    larger_area, larger_wall = _shared(building, larger)
    assert larger_area == pytest.approx({label: factor**2 * value for label, value in area.items()})
    assert larger_wall == pytest.approx({label: factor * value for label, value in wall.items()})


@settings(max_examples=40, deadline=None)
@given(columns=skylines(), inset=st.floats(0.0, 1.25))  # the narrowest column is 3 ft wide
def test_an_upper_story_is_shared_whole_in_each_direction(columns, inset):
    """A smaller story on the first column: its floor and its own walls, wherever they stand."""
    width, depth = columns[0]
    plan = ((inset, inset), (width - inset, inset), (width - inset, depth - inset), (inset, depth - inset))
    story = Story(
        label="second",
        floor_outline_ft=plan,
        floor_depth_ft=1.0,
        wall_height_ft=8.0,
        floor_psf=10.0,
        partitions_psf=10.0,
        wall_psf=15.0,
    )
    lines = _lines(columns, None)
    found, _ = strips(_building(columns, upper_stories=(story,)), lines)
    along = {line.label: axis_of(line) for line in lines}
    across, deep = width - 2 * inset, depth - 2 * inset
    for axis in "xy":
        own = [strip for strip in found if along[strip.label] == axis]
        assert sum(strip.areas_sf[1] for strip in own) == pytest.approx(across * deep)
        assert sum(strip.walls_ft[1] for strip in own) == pytest.approx(2 * (across + deep))
