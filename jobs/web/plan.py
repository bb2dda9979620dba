"""The small plan on a house's page: outlines and wall lines as measured, north up. Drawn to no stated scale."""

from __future__ import annotations

from dataclasses import dataclass

from jobs.models import House, WallLine

MARGIN_FT = 4.0
LABEL_PART = 1 / 26  # height of a label, of the plan's width


@dataclass(frozen=True, slots=True)
class PlanLine:
    """A wall line in the plan with the place of its label."""

    pk: int
    label: str
    x1: float
    y1: float
    x2: float
    y2: float
    label_x: float
    label_y: float


@dataclass(frozen=True, slots=True)
class Plan:
    """Values for the drawing, in feet with y downwards."""

    view_box: str
    label_size: float
    floor: str
    roof: str
    lines: tuple[PlanLine, ...]


def plan_of(house: House, lines: list[WallLine]) -> Plan | None:
    """The plan, or None while no outline has been measured."""
    corners = [*house.floor_outline_ft, *house.roof_outline_ft]
    if len(house.floor_outline_ft) < 3:
        return None
    corners += [[line.start_x_ft, line.start_y_ft] for line in lines] + [
        [line.end_x_ft, line.end_y_ft] for line in lines
    ]
    xs, ys = [x for x, _ in corners], [-y for _, y in corners]
    left, top = min(xs) - MARGIN_FT, min(ys) - MARGIN_FT
    width, height = max(xs) - left + MARGIN_FT, max(ys) - top + MARGIN_FT
    middle = (left + width / 2, top + height / 2)
    return Plan(
        f"{left:g} {top:g} {width:g} {height:g}",
        width * LABEL_PART,
        _points(house.floor_outline_ft),
        _points(house.roof_outline_ft),
        tuple(_line(line, middle, width * LABEL_PART) for line in lines),
    )


def _points(outline: list[list[float]]) -> str:
    return " ".join(f"{x:g},{-y:g}" for x, y in outline)


def _line(line: WallLine, middle: tuple[float, float], off_ft: float) -> PlanLine:
    """The label stands beside the line's middle, on the inner side, clear of the roof's edge."""
    x1, y1, x2, y2 = line.start_x_ft, -line.start_y_ft, line.end_x_ft, -line.end_y_ft
    x, y = (x1 + x2) / 2, (y1 + y2) / 2
    along_y = abs(y2 - y1) > abs(x2 - x1)
    off_x = off_ft * (-1 if x >= middle[0] else 1) if along_y else 0.0
    off_y = 0.0 if along_y else off_ft * (-1 if y >= middle[1] else 1)
    return PlanLine(line.pk, line.label, x1, y1, x2, y2, x + off_x, y + off_y)
