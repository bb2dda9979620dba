"""The parts of a wall cut across, as every detail shows them: floor, plates, studs, sill, concrete, panel.

Looking along the wall: x runs inward from the plates' outer edge, y up from the top of the upper plate. The studs and
the sill stand flush with that outer edge, the panel on the studs' inner face. A member that runs along the wall is
cut and crossed with two diagonals, a block with one.
"""

from __future__ import annotations

from typing import Any

from reports.drawings.sheet import ADDED, DIMENSION, EXISTING, GROUND, INK, NEW, PAPER, Layer, Point, Sheet

ZOOM = 1.3  # details stand on large sheets
FLOOR_IN = 0.75
THICKNESSES_IN = {"5/16": 5 / 16, "3/8": 3 / 8, "7/16": 7 / 16, "15/32": 15 / 32, "19/32": 19 / 32}
CUT = Layer("existing cut", GROUND.colour, 0.8)
CROSS = Layer("existing cross", GROUND.colour, 0.25)
NEW_CUT = Layer("new cut", INK, 1.2)
NEW_CROSS = Layer("new cross", INK, 0.35)
BREAK = Layer("break lines", INK, 0.4)


def panel_thickness_in(sheathing: dict[str, Any]) -> float:
    """The panel's thickness as a length."""
    return THICKNESSES_IN.get(sheathing["thickness"], 15 / 32)


def cut(sheet: Sheet, low: Point, high: Point, *, new: bool = False, block: bool = False) -> None:
    """A member that runs along the wall, cut across; a block has one diagonal."""
    outline, cross = (NEW_CUT, NEW_CROSS) if new else (CUT, CROSS)
    sheet.rectangle(outline, low, high, fill=PAPER)
    sheet.line(cross, low, high)
    if not block:
        sheet.line(cross, (low[0], high[1]), (high[0], low[1]))


def break_line(sheet: Sheet, start: Point, end: Point) -> None:
    """Where the drawing stops and the part goes on: a straight line with a kink, along x or y, from low to high."""
    upright = start[0] == end[0]
    size, over = sheet.pt(4), sheet.pt(5)
    row = start[0] if upright else start[1]
    low, high = sorted((start[1], end[1]) if upright else (start[0], end[0]))
    middle = (low + high) / 2
    path = [(low - over, 0.0), (middle - size, 0.0), (middle - size / 2, size), (middle + size / 2, -size),
            (middle + size, 0.0), (high + over, 0.0)]  # fmt: skip
    sheet.polyline(BREAK, [(row + away, along) if upright else (along, row + away) for along, away in path])


def plates_base_in(framing: dict[str, Any]) -> float:
    """Level of the underside of the lower plate."""
    return -sum(framing["plates_in"])


def plate_levels(framing: dict[str, Any]) -> list[tuple[float, float, float]]:
    """Bottom, top and width of each top plate, lower first."""
    level, found = plates_base_in(framing), []
    for index, thickness in enumerate(framing["plates_in"]):
        lower = index == 0 and len(framing["plates_in"]) > 1
        width = (framing.get("lower_plate_width_in") if lower else None) or framing["plate_width_in"]
        found.append((level, level + thickness, width))
        level += thickness
    return found


def floor_at(framing: dict[str, Any]) -> tuple[float, float]:
    """The outer and the inner face of what stands along the plates' edge."""
    back = framing["rim_set_back_in"]
    return back, back + framing["rim_thickness_in"]


def floor(sheet: Sheet, framing: dict[str, Any], inside_in: float) -> None:
    """Floor boards, the joist or blocks along the wall, and a joist across it as far as `inside_in`."""
    depth = framing["rim_depth_in"]
    outer, inner = floor_at(framing)
    edge = framing.get("floor_edge")
    if framing["joists"] == "perpendicular":
        start = outer if edge in ("nothing", "blocks between joists") else inner
        sheet.rectangle(EXISTING, (start, 0.0), (inside_in, depth), fill=PAPER)
        break_line(sheet, (inside_in, 0.0), (inside_in, depth + FLOOR_IN))
    if edge != "nothing":
        cut(sheet, (outer, 0.0), (inner, depth), block=edge == "blocks between joists")
    sheet.rectangle(EXISTING, (outer, depth), (inside_in, depth + FLOOR_IN), fill=PAPER)


def edge_name(framing: dict[str, Any]) -> str:
    """What stands along the plates' edge, in words."""
    edge = framing.get("floor_edge")
    if edge in ("rim joist", "end joist"):
        return str(edge)
    if edge == "blocks between joists":
        return "block between joists"
    return "rim joist" if framing["joists"] == "perpendicular" else "end joist"


def plates(sheet: Sheet, framing: dict[str, Any]) -> None:
    for low, high, width in plate_levels(framing):
        cut(sheet, (0.0, low), (width, high))


def stud(sheet: Sheet, framing: dict[str, Any], low: float, high: float, *, broken: float | None = None) -> None:
    """A stud beyond the cut, between two levels; `broken`: the level at which the drawing stops."""
    sheet.rectangle(EXISTING, (0.0, low), (framing["stud_depth_in"], high), fill=PAPER)
    if broken is not None:
        break_line(sheet, (0.0, broken), (framing["stud_depth_in"], broken))


def panel(sheet: Sheet, framing: dict[str, Any], thickness_in: float, low: float, high: float) -> None:
    """A new panel on the studs' inner face."""
    face = framing["stud_depth_in"]
    sheet.rectangle(NEW, (face, low), (face + thickness_in, high), fill=PAPER)


def concrete(sheet: Sheet, outer: float, inner: float, top: float, depth_in: float) -> None:
    """The foundation under the sill, broken at its foot."""
    low = top - depth_in
    sheet.polyline(GROUND, ((outer, low), (outer, top), (inner, top), (inner, low)), fill=PAPER)
    sheet.hatch_rectangle((outer, low), (inner, top), spacing_pt=9)
    break_line(sheet, (outer, low), (inner, low))


def concrete_faces(framing: dict[str, Any], foundation: dict[str, Any]) -> tuple[float, float]:
    """Outer and inner face of the concrete; 8 in wide and an edge flush with the sill where nobody measured them."""
    edge, width = framing.get("sill_edge_in"), foundation.get("width_in")
    outer = -float(edge) if isinstance(edge, int | float) else 0.0
    wide = float(width) if isinstance(width, int | float) else 8.0
    return outer, max(outer + wide, framing["sill_width_in"] if not isinstance(width, int | float) else outer + wide)


def nail(sheet: Sheet, head: Point, point: Point, *, head_in: float = 0.28, layer: Layer = ADDED) -> None:
    """A nail as a line with its head across it."""
    (x, y), (u, v) = head, point
    length = ((u - x) ** 2 + (v - y) ** 2) ** 0.5
    across = (-(v - y) / length * head_in / 2, (u - x) / length * head_in / 2)
    sheet.line(layer, head, point)
    sheet.line(layer, (x - across[0], y - across[1]), (x + across[0], y + across[1]))


def not_measured(sheet: Sheet, at: Point, text: str) -> None:
    """Says beside a part that it is drawn without having been measured."""
    sheet.text(at, text, layer=DIMENSION, size_pt=6.5)
