"""Plan outlines as polygons: what is accepted as one, and its corners. Not what stands on it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shapely import Polygon

from engineering.errors import OutOfRange

if TYPE_CHECKING:
    from engineering.inputs import Point


def outline(field: str, points_ft: tuple[Point, ...]) -> Polygon:
    """The outline as a polygon, counter-clockwise. [ft]

    At least three corners, no corner twice, edges that don't cross or touch, an area: else OutOfRange on `field`.
    """
    if len(points_ft) < 3 or len(set(points_ft)) != len(points_ft):
        raise OutOfRange(field, points_ft, "must have at least three corners, each given once (not closed)")
    if not all(abs(value) < float("inf") for point in points_ft for value in point):
        raise OutOfRange(field, points_ft, "must have finite coordinates")
    polygon = Polygon(points_ft)
    if not polygon.is_valid or polygon.area <= 0:
        raise OutOfRange(
            field, points_ft, "must be a plain outline with an area, its edges neither crossing nor touching"
        )
    return polygon if polygon.exterior.is_ccw else Polygon(points_ft[::-1])


def corners(polygon: Polygon) -> list[Point]:
    """Corners in order, counter-clockwise, without the closing one."""
    return [(float(x), float(y)) for x, y in polygon.exterior.coords][:-1]


def re_entrant_corners(polygon: Polygon) -> list[Point]:
    """Corners where the outline turns inward."""
    points = corners(polygon)
    found = []
    for index, (x, y) in enumerate(points):
        x0, y0 = points[index - 1]
        x1, y1 = points[(index + 1) % len(points)]
        if (x - x0) * (y1 - y) - (y - y0) * (x1 - x) < -1e-9:
            found.append((x, y))
    return found
