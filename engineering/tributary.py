"""Flexible diaphragm: which part of the house each wall line serves. Areas, lengths and places; not forces.

Convention 1: mass lies where it is; the floor is cut at re-entrant corners, each rectangle spans between the lines
that bound it, strips go half-way, and a rectangle's force enters the line along that rectangle's own edge.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import hypot
from typing import Final, Literal

from shapely import Polygon, box

from engineering.errors import OutOfRange
from engineering.inputs import LINE_OFF_OUTLINE_FT, Building, DemandLine, Point
from engineering.outlines import corners, outline, re_entrant_corners

Axis = Literal["x", "y"]
Outlines = tuple[tuple[Point, ...], ...]  # the floor's, each upper story's from below, the roof's
AXES: Final[tuple[Axis, Axis]] = ("x", "y")
FAR_FT: Final = 1.0e6
# A floor may stand out this far beyond its outermost line (IRC R301.2.2.6, irregular portions, from memory).
LONGEST_OVERHANG_FT: Final = 6.0
LEAST_AREA_SF: Final = 1e-9  # what rounding leaves where a strip only touches an outline
KEPT: Final = 256  # plans kept ready: weights, hazards and criteria change more often than walls


@dataclass(frozen=True, slots=True)
class Piece:
    """Part of an outline in one strip, in plan: a polygon with its area, or a stretch of edge with its length."""

    outline_ft: tuple[Point, ...]
    size: float  # sq ft, or ft


@dataclass(frozen=True, slots=True)
class Strip:
    """What one line serves in one rectangle of the floor: `from_ft` to `to_ft` along the line, from its zero end.

    `areas` and `walls` hold the pieces of each outline: the floor's, each upper story's from below, the roof's.
    """

    label: str
    from_ft: float
    to_ft: float
    areas: tuple[tuple[Piece, ...], ...]
    walls: tuple[tuple[Piece, ...], ...]
    point_weights: tuple[str, ...]
    areas_sf: tuple[float, ...]
    walls_ft: tuple[float, ...]

    @property
    def floor_sf(self) -> float:
        """Area of the floor over the braced walls."""
        return self.areas_sf[0]

    @property
    def roof_sf(self) -> float:
        """Area of the roof, in plan."""
        return self.areas_sf[-1]

    @property
    def wall_ft(self) -> float:
        """Length of the braced wall and of the story on it."""
        return self.walls_ft[0]


@dataclass(frozen=True, slots=True)
class Cut:
    """The line half-way between two lines: `at_ft` across them."""

    axis: Axis
    between: tuple[str, str]
    at_ft: float


@dataclass(frozen=True, slots=True)
class _Cell:
    """A strip's place on the plan: along the lines and across them, floor and all beyond it up to the next strip.

    `place` is where it lies along its line, from the zero end.
    """

    label: str
    place: tuple[float, float]
    along: tuple[float, float]
    across: tuple[float, float]

    def holds(self, along_ft: float, across_ft: float) -> bool:
        return self.along[0] <= along_ft < self.along[1] and self.across[0] <= across_ft < self.across[1]


def axis_of(line: DemandLine) -> Axis:
    """The direction a line runs in."""
    return "x" if line.start_ft[1] == line.end_ft[1] else "y"


def outlines_of(building: Building) -> Outlines:
    """The outlines that mass lies on: the floor's, each upper story's from below, the roof's."""
    stories = (story.floor_outline_ft for story in building.upper_stories)
    return (building.floor_outline_ft, *stories, building.roof_outline_ft)


def strips(building: Building, lines: tuple[DemandLine, ...]) -> tuple[tuple[Strip, ...], tuple[Cut, ...]]:
    """The strips of all lines in both directions, and the cuts between them. [ft, sq ft]

    Each direction serves the whole house: floors, roof and outside walls of its strips add up to the house's. Raises
    OutOfRange where a part of the floor is not held by a line on each side (within 6 ft of its edge).
    """
    points = tuple((weight.label, weight.at_ft) for weight in building.point_weights)
    return _strips(outlines_of(building), tuple((one.label, one.start_ft, one.end_ft) for one in lines), points)


@lru_cache(maxsize=KEPT)
def _strips(
    outlines: Outlines, ends: tuple[tuple[str, Point, Point], ...], points: tuple[tuple[str, Point], ...]
) -> tuple[tuple[Strip, ...], tuple[Cut, ...]]:
    lines = [_Ends(label, start, end) for label, start, end in ends]
    found: list[Strip] = []
    cuts: list[Cut] = []
    for axis in AXES:
        cells = _cells(outlines[0], [line for line in lines if line.axis == axis], axis, cuts)
        found += _shared_out(outlines, points, cells, axis)
    return tuple(found), tuple(cuts)


def _turned(point: Point, axis: Axis) -> Point:
    """A point as (along the lines, across them)."""
    return point if axis == "x" else (point[1], point[0])


@dataclass(frozen=True, slots=True)
class _Ends:
    """A line by its ends, as far as strips ask."""

    label: str
    start_ft: Point
    end_ft: Point

    @property
    def axis(self) -> Axis:
        return "x" if self.start_ft[1] == self.end_ft[1] else "y"


@dataclass(frozen=True, slots=True)
class _Slice:
    """The floor between two re-entrant corners: its pieces across the lines, each with the lines that hold it."""

    along: tuple[float, float]
    pieces: tuple[tuple[tuple[float, float], tuple[tuple[float, _Ends], ...]], ...]


def _cells(floor_ft: tuple[Point, ...], running: list[_Ends], axis: Axis, cuts: list[Cut]) -> list[_Cell]:
    floor = outline("floor_outline_ft", tuple(_turned(point, axis) for point in floor_ft))
    low, _, high, _ = floor.bounds
    bounds = sorted({low, high, *(along for along, _ in re_entrant_corners(floor))})
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
                cells.append(_Cell(line.label, _place(line, axis, *one.along), along, reach))
    return cells


def _slice(floor: Polygon, running: list[_Ends], axis: Axis, along: tuple[float, float]) -> _Slice | None:
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


def _not_held(axis: Axis, along: tuple[float, float], serving: list[tuple[float, _Ends]]) -> OutOfRange:
    where = f"the floor at {axis} = {along[0]:g} to {along[1]:g} ft"
    return OutOfRange("lines", [line.label for _, line in serving], f"{where} must be held by two lines along {axis}")


def _lines_under(
    piece: Polygon, running: list[_Ends], axis: Axis, column: tuple[float, float]
) -> list[tuple[float, _Ends]]:
    """The lines under one piece of the floor, in order across it, with their place across."""
    _, low, _, high = piece.bounds
    serving: list[tuple[float, _Ends]] = []
    for line in running:
        (start, across), (end, _) = _turned(line.start_ft, axis), _turned(line.end_ft, axis)
        overlap = min(max(start, end), column[1]) - max(min(start, end), column[0])
        if overlap > LINE_OFF_OUTLINE_FT and low - LINE_OFF_OUTLINE_FT <= across <= high + LINE_OFF_OUTLINE_FT:
            serving.append((across, line))
    return sorted(serving, key=lambda one: one[0])


def _require_bounds(
    piece: Polygon, serving: list[tuple[float, _Ends]], axis: Axis, column: tuple[float, float]
) -> None:
    _, low, _, high = piece.bounds
    where = f"the floor at {axis} = {column[0]:g} to {column[1]:g} ft"
    for (at, one), (after, two) in pairwise(serving):
        if after - at < LINE_OFF_OUTLINE_FT:
            raise OutOfRange("lines", [one.label, two.label], f"{where}: lines in one wall plane must be given as one")
    if max(serving[0][0] - low, high - serving[-1][0]) > LONGEST_OVERHANG_FT:
        allowed = f"{where} must end within {LONGEST_OVERHANG_FT:g} ft of a line"
        raise OutOfRange("lines", [line.label for _, line in serving], allowed)


def _place(line: _Ends, axis: Axis, left: float, right: float) -> tuple[float, float]:
    """A stretch of the plan along the line, from the line's zero end."""
    start, end = _turned(line.start_ft, axis)[0], _turned(line.end_ft, axis)[0]
    return (left - start, right - start) if end > start else (start - right, start - left)


def _shared_out(
    outlines: Outlines, points: tuple[tuple[str, Point], ...], cells: list[_Cell], axis: Axis
) -> list[Strip]:
    """Each cell with its pieces of every outline's area and edges, and the points in it."""
    polygons = [outline("outline_ft", one) for one in outlines]
    areas = [[_area(polygon, cell, axis) for polygon in polygons] for cell in cells]
    walls: list[list[list[Piece]]] = [[[] for _ in polygons] for _ in cells]
    for number, polygon in enumerate(polygons[:-1]):  # no walls under the eaves
        ring = corners(polygon)
        for start, end in zip(ring, ring[1:] + ring[:1], strict=True):
            for cell_number, piece in _wall(cells, axis, start, end):
                walls[cell_number][number].append(piece)
    held: list[list[str]] = [[] for _ in cells]
    for label, at in points:
        held[_cell_at(cells, axis, at)].append(label)
    return [
        Strip(
            cell.label,
            *cell.place,
            tuple(area),
            tuple(tuple(pieces) for pieces in wall),
            tuple(labels),
            tuple(sum((piece.size for piece in pieces), 0.0) for pieces in area),
            tuple(sum((piece.size for piece in pieces), 0.0) for pieces in wall),
        )
        for cell, area, wall, labels in zip(cells, areas, walls, held, strict=True)
    ]


def _cell_at(cells: list[_Cell], axis: Axis, at: Point) -> int:
    return next(number for number, cell in enumerate(cells) if cell.holds(*_turned(at, axis)))


def _area(polygon: Polygon, cell: _Cell, axis: Axis) -> tuple[Piece, ...]:
    (left, low), (right, high) = (_turned((cell.along[i], cell.across[i]), axis) for i in (0, 1))
    within = polygon.intersection(box(left, low, right, high))
    pieces = getattr(within, "geoms", [within])
    return tuple(Piece(tuple(corners(one)), float(one.area)) for one in pieces if one.area > LEAST_AREA_SF)


def _wall(cells: list[_Cell], axis: Axis, start: Point, end: Point) -> list[tuple[int, Piece]]:
    """One outside wall by cell (counter-clockwise, so that the inside lies to the left)."""
    (x0, y0), (x1, y1) = start, end
    length = hypot(x1 - x0, y1 - y0)
    breaks = {0.0, 1.0}
    for (from_ft, along_ft), edges in zip(
        ((_turned(start, axis)[i], _turned(end, axis)[i] - _turned(start, axis)[i]) for i in (0, 1)),
        ({edge for cell in cells for edge in cell.along}, {edge for cell in cells for edge in cell.across}),
        strict=True,
    ):
        if along_ft:
            breaks |= {share for edge in edges if 0 < (share := (edge - from_ft) / along_ft) < 1}
    inward = (-(y1 - y0) / length * 1e-6, (x1 - x0) / length * 1e-6)
    found: list[tuple[int, float, float]] = []
    for a, b in pairwise(sorted(breaks)):
        middle = (a + b) / 2
        here = _cell_at(cells, axis, (x0 + middle * (x1 - x0) + inward[0], y0 + middle * (y1 - y0) + inward[1]))
        if found and found[-1][0] == here:
            found[-1] = (here, found[-1][1], b)
        else:
            found.append((here, a, b))
    return [(here, Piece((_between(start, end, a), _between(start, end, b)), (b - a) * length)) for here, a, b in found]


def _between(start: Point, end: Point, share: float) -> Point:
    return (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))
