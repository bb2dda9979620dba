"""Plan outlines as polygons: what is accepted as one, and its corners. Not what stands on it."""

from __future__ import annotations

from functools import lru_cache
from math import hypot
from typing import TYPE_CHECKING, Final

from shapely import LineString, Polygon

from engineering.errors import OutOfRange

if TYPE_CHECKING:
    from engineering.inputs import Point

KEPT: Final = 1024  # outlines kept ready; a house has two or three


@lru_cache(maxsize=KEPT)
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


@lru_cache(maxsize=KEPT)  # asked for a house and again for its demand
def first_off(points_ft: tuple[Point, ...], ends_ft: tuple[tuple[Point, Point], ...], margin_ft: float) -> int | None:
    """Number, from 0, of the first line (its ends) further off a floor than the margin; None where none is. [ft]"""
    floor = outline("floor_outline_ft", points_ft).buffer(margin_ft)
    return next((number for number, ends in enumerate(ends_ft) if not floor.covers(LineString(ends))), None)


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


@lru_cache(maxsize=KEPT)
def greatest_projection(polygon: Polygon) -> tuple[float, Point | None]:
    """How far the plan reaches beyond a re-entrant corner, as a share of its size, and that corner.

    The lesser share of the two directions, for both projections must be large (ASCE 7 Table 12.3-1 type 2); the
    greatest of all corners. 0 and None where no corner turns inward.
    """
    left, low, right, high = polygon.bounds
    points = corners(polygon)
    share, where = 0.0, None
    for x, y in re_entrant_corners(polygon):
        index = points.index((x, y))
        (x0, y0), (x1, y1) = points[index - 1], points[(index + 1) % len(points)]
        one, two = hypot(x0 - x, y0 - y), hypot(x1 - x, y1 - y)
        # The open side of the corner lies between its two edges.
        toward_x, toward_y = (x0 - x) / one + (x1 - x) / two, (y0 - y) / one + (y1 - y) / two
        beyond_x = (right - x if toward_x > 0 else x - left) / (right - left)
        beyond_y = (high - y if toward_y > 0 else y - low) / (high - low)
        if min(beyond_x, beyond_y) > share:
            share, where = min(beyond_x, beyond_y), (x, y)
    return share, where
