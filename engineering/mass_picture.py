"""Which mass each wall line carries, piece by piece in plan, and where it all centres. Not a drawing."""

from __future__ import annotations

from collections.abc import Iterable

from engineering.inputs import Building, Point
from engineering.results import MassShare
from engineering.seismic_weight import Level, Mass, point_levels_lb
from engineering.tributary import Strip


def mass_picture(
    building: Building, levels: tuple[Level, ...], spread: tuple[Mass, ...], strips: Iterable[Strip]
) -> tuple[MassShare, ...]:
    """Every piece of mass with the line that carries it; each direction adds up to the house's weight. [lb]"""
    points = {weight.label: weight for weight in building.point_weights}
    found = []
    for strip in strips:
        for mass in spread:
            pieces = (strip.areas if mass.kind == "area" else strip.walls)[mass.outline]
            label = levels[mass.level].label
            found += [
                MassShare(
                    line=strip.label,
                    level=label,
                    kind=mass.kind,
                    outline_ft=piece.outline_ft,
                    weight_lb=mass.per * piece.size,
                )
                for piece in pieces
            ]
        for name in strip.point_weights:
            weight = points[name]
            found += [
                MassShare(line=strip.label, level=level.label, kind="point", outline_ft=(weight.at_ft,), weight_lb=lb)
                for level, lb in zip(levels, point_levels_lb(weight, len(levels)), strict=True)
                if lb
            ]
    return tuple(found)


def centre(shares: Iterable[MassShare]) -> Point:
    """Centre of mass of the pieces in plan. [ft]"""
    whole = x = y = 0.0
    for share in shares:
        at_x, at_y = _centroid(share.outline_ft)
        whole, x, y = whole + share.weight_lb, x + share.weight_lb * at_x, y + share.weight_lb * at_y
    return x / whole, y / whole


def _centroid(points: tuple[Point, ...]) -> Point:
    """Of a polygon by its area; of an edge its middle; of a point itself."""
    if len(points) < 3:
        return sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points)
    double = x = y = 0.0
    for (x0, y0), (x1, y1) in zip(points, points[1:] + points[:1], strict=True):
        cross = x0 * y1 - x1 * y0
        double, x, y = double + cross, x + (x0 + x1) * cross, y + (y0 + y1) * cross
    return x / (3 * double), y / (3 * double)
