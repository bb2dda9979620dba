"""Flexible diaphragm: which part of the house each wall line serves. Areas, lengths and places; not forces.

Convention 1: mass lies where it is; the floor is cut at re-entrant corners, each rectangle spans between the lines
that bound it, strips go half-way, and a rectangle's force enters the line along that rectangle's own edge.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise
from math import hypot
from typing import Literal

from shapely import Polygon, box

from engineering.errors import OutOfRange
from engineering.inputs import LINE_OFF_OUTLINE_FT, Building, DemandLine, Point
from engineering.outlines import corners, outline, re_entrant_corners

Axis = Literal["x", "y"]
FAR_FT = 1.0e6
# A floor may stand out this far beyond its outermost line (IRC R301.2.2.6, irregular portions, from memory).
LONGEST_OVERHANG_FT = 6.0


@dataclass(slots=True)
class Strip:
    """What one line serves in one rectangle of the floor: `from_ft` to `to_ft` along the line, from its zero end."""

    label: str
    from_ft: float
    to_ft: float
    floor_sf: float = 0.0
    roof_sf: float = 0.0
    wall_ft: float = 0.0
    point_weights: list[str] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Cut:
    """The line half-way between two lines: `at_ft` across them."""

    axis: Axis
    between: tuple[str, str]
    at_ft: float


@dataclass(frozen=True, slots=True)
class _Cell:
    """A strip's place on the plan: along the lines and across them, floor and all beyond it up to the next strip."""

    strip: Strip
    along: tuple[float, float]
    across: tuple[float, float]

    def holds(self, along_ft: float, across_ft: float) -> bool:
        return self.along[0] <= along_ft < self.along[1] and self.across[0] <= across_ft < self.across[1]


def axis_of(line: DemandLine) -> Axis:
    """The direction a line runs in."""
    return "x" if line.start_ft[1] == line.end_ft[1] else "y"


def strips(building: Building, lines: tuple[DemandLine, ...]) -> tuple[list[Strip], list[Cut]]:
    """The strips of all lines in both directions, and the cuts between them. [ft, sq ft]

    Each direction serves the whole house: floor, roof and outside walls of its strips add up to the house's. Raises
    OutOfRange where a part of the floor is not held by a line on each side (within 6 ft of its edge).
    """
    found: list[Strip] = []
    cuts: list[Cut] = []
    for axis in ("x", "y"):
        cells = _cells(building, lines, axis, cuts)
        _share_out(building, cells, axis)
        found += [cell.strip for cell in cells]
    return found, cuts


def _turned(point: Point, axis: Axis) -> Point:
    """A point as (along the lines, across them)."""
    return point if axis == "x" else (point[1], point[0])


def _polygon(field_name: str, points: tuple[Point, ...], axis: Axis) -> Polygon:
    return outline(field_name, tuple(_turned(point, axis) for point in points))


@dataclass(frozen=True, slots=True)
class _Slice:
    """The floor between two re-entrant corners: its pieces across the lines, each with the lines that hold it."""

    along: tuple[float, float]
    pieces: tuple[tuple[tuple[float, float], tuple[tuple[float, DemandLine], ...]], ...]


def _cells(building: Building, lines: tuple[DemandLine, ...], axis: Axis, cuts: list[Cut]) -> list[_Cell]:
    floor = _polygon("floor_outline_ft", building.floor_outline_ft, axis)
    low, _, high, _ = floor.bounds
    bounds = sorted({low, high, *(along for along, _ in re_entrant_corners(floor))})
    running = [line for line in lines if axis_of(line) == axis]
    held = [found for left, right in pairwise(bounds) if (found := _slice(floor, running, axis, (left, right)))]
    _require_held(held, axis, low, high)
    # A narrow part that no two lines hold (a bay window, from its side) hangs on the slice before it, or the first.
    edges = [-FAR_FT, *(one.along[0] for one in held[1:]), FAR_FT]
    cells: list[_Cell] = []
    for one, along in zip(held, pairwise(edges), strict=True):
        for across, serving in one.pieces:
            middles = [(a + b) / 2 for (a, _), (b, _) in pairwise(serving)]
            for ((_, first), (_, second)), middle in zip(pairwise(serving), middles, strict=True):
                if not any(cut.between == (first.label, second.label) for cut in cuts):
                    cuts.append(Cut(axis, (first.label, second.label), middle))
            for (_, line), reach in zip(serving, pairwise([across[0], *middles, across[1]]), strict=True):
                cells.append(_Cell(_strip(line, axis, *one.along), along, reach))
    return cells


def _slice(floor: Polygon, running: list[DemandLine], axis: Axis, along: tuple[float, float]) -> _Slice | None:
    """The floor from one place to another along the lines; None where it is narrow and no two lines hold a piece."""
    column = floor.intersection(box(along[0], -FAR_FT, along[1], FAR_FT))
    polygons = [piece for piece in getattr(column, "geoms", [column]) if piece.area > 0]
    polygons.sort(key=lambda piece: piece.bounds[1])
    gaps = [(one.bounds[3] + two.bounds[1]) / 2 for one, two in pairwise(polygons)]
    pieces = []
    for polygon, across in zip(polygons, pairwise([-FAR_FT, *gaps, FAR_FT]), strict=True):
        serving = _lines_under(polygon, running, axis, along)
        if len(serving) < 2:
            if along[1] - along[0] <= LONGEST_OVERHANG_FT:
                return None
            raise _not_held(axis, along, serving)
        _require_bounds(polygon, serving, axis, along)
        pieces.append((across, tuple(serving)))
    return _Slice(along, tuple(pieces))


def _require_held(held: list[_Slice], axis: Axis, low: float, high: float) -> None:
    """What hangs on the held slices must be short in all."""
    if not held:
        raise _not_held(axis, (low, high), [])
    starts, ends = [*(one.along[0] for one in held), high], [low, *(one.along[1] for one in held)]
    for end, start in zip(ends, starts, strict=True):
        if start - end > LONGEST_OVERHANG_FT:
            raise _not_held(axis, (end, start), [])


def _not_held(axis: Axis, along: tuple[float, float], serving: list[tuple[float, DemandLine]]) -> OutOfRange:
    where = f"the floor at {axis} = {along[0]:g} to {along[1]:g} ft"
    return OutOfRange("lines", [line.label for _, line in serving], f"{where} must be held by two lines along {axis}")


def _lines_under(
    piece: Polygon, running: list[DemandLine], axis: Axis, column: tuple[float, float]
) -> list[tuple[float, DemandLine]]:
    """The lines under one piece of the floor, in order across it, with their place across."""
    _, low, _, high = piece.bounds
    serving: list[tuple[float, DemandLine]] = []
    for line in running:
        (start, across), (end, _) = _turned(line.start_ft, axis), _turned(line.end_ft, axis)
        overlap = min(max(start, end), column[1]) - max(min(start, end), column[0])
        if overlap > LINE_OFF_OUTLINE_FT and low - LINE_OFF_OUTLINE_FT <= across <= high + LINE_OFF_OUTLINE_FT:
            serving.append((across, line))
    return sorted(serving, key=lambda one: one[0])


def _require_bounds(
    piece: Polygon, serving: list[tuple[float, DemandLine]], axis: Axis, column: tuple[float, float]
) -> None:
    _, low, _, high = piece.bounds
    where = f"the floor at {axis} = {column[0]:g} to {column[1]:g} ft"
    for (at, one), (after, two) in pairwise(serving):
        if after - at < LINE_OFF_OUTLINE_FT:
            raise OutOfRange("lines", [one.label, two.label], f"{where}: lines in one wall plane must be given as one")
    if max(serving[0][0] - low, high - serving[-1][0]) > LONGEST_OVERHANG_FT:
        allowed = f"{where} must end within {LONGEST_OVERHANG_FT:g} ft of a line"
        raise OutOfRange("lines", [line.label for _, line in serving], allowed)


def _strip(line: DemandLine, axis: Axis, left: float, right: float) -> Strip:
    start, end = _turned(line.start_ft, axis)[0], _turned(line.end_ft, axis)[0]
    if end > start:
        return Strip(line.label, left - start, right - start)
    return Strip(line.label, start - right, start - left)


def _share_out(building: Building, cells: list[_Cell], axis: Axis) -> None:
    floor = _polygon("floor_outline_ft", building.floor_outline_ft, axis)
    roof = _polygon("roof_outline_ft", building.roof_outline_ft, axis)
    for cell in cells:
        place = box(cell.along[0], cell.across[0], cell.along[1], cell.across[1])
        cell.strip.floor_sf = float(floor.intersection(place).area)
        cell.strip.roof_sf = float(roof.intersection(place).area)
    points = corners(floor)
    for (x0, y0), (x1, y1) in zip(points, points[1:] + points[:1], strict=True):
        _share_wall(cells, x0, y0, x1, y1)
    for weight in building.point_weights:
        along, across = _turned(weight.at_ft, axis)
        next(cell for cell in cells if cell.holds(along, across)).strip.point_weights.append(weight.label)


def _share_wall(cells: list[_Cell], x0: float, y0: float, x1: float, y1: float) -> None:
    """Give each cell its length of one outside wall (counter-clockwise, so that the inside lies to the left)."""
    length = hypot(x1 - x0, y1 - y0)
    breaks = {0.0, 1.0}
    for cell in cells:
        breaks |= {(edge - x0) / (x1 - x0) for edge in cell.along if x1 != x0}
        breaks |= {(edge - y0) / (y1 - y0) for edge in cell.across if y1 != y0}
    inward = (-(y1 - y0) / length * 1e-6, (x1 - x0) / length * 1e-6)
    for a, b in pairwise(sorted(value for value in breaks if 0 <= value <= 1)):
        middle = (a + b) / 2
        along, across = x0 + middle * (x1 - x0) + inward[0], y0 + middle * (y1 - y0) + inward[1]
        next(cell for cell in cells if cell.holds(along, across)).strip.wall_ft += (b - a) * length
