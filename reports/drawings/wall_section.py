"""The parts of a wall cut across, as every detail shows them: floor, plates, studs, sill, concrete, panel.

Looking along the wall: x runs inward from the plates' outer edge, y up from the top of the upper plate. The studs and
the sill stand flush with that outer edge, the panel on the studs' inner face. A member that runs along the wall is
cut and crossed with two diagonals, a block with one.
"""

from __future__ import annotations

from typing import Any

from reports.drawings.callouts import Note
from reports.drawings.sheet import (
    ADDED,
    DIMENSION,
    EXISTING,
    GROUND,
    INK,
    NEW,
    PAPER,
    QUIET_TEXT,
    TEXTURE,
    Layer,
    Point,
    Sheet,
    length_text,
)

ZOOM = 1.3  # details stand on large sheets
FLOOR_IN = 0.75
STUD_SHOWN_IN, INSIDE_IN = 4.0, 5.0
THICKNESSES_IN = {"5/16": 5 / 16, "3/8": 3 / 8, "7/16": 7 / 16, "15/32": 15 / 32, "19/32": 19 / 32}
CENTRE = Layer("centre lines", INK, 0.5, (9.0, 2.5, 2.0, 2.5))


def panel_thickness_in(sheathing: dict[str, Any]) -> float:
    """The panel's thickness as a length."""
    return THICKNESSES_IN.get(sheathing["thickness"], 15 / 32)


def cut(sheet: Sheet, low: Point, high: Point, *, new: bool = False, block: bool = False) -> None:
    """A member that runs along the wall, cut across; a block has one diagonal."""
    sheet.rectangle(NEW if new else GROUND, low, high, fill=PAPER)
    sheet.line(TEXTURE, low, high)
    if not block:
        sheet.line(TEXTURE, (low[0], high[1]), (high[0], low[1]))


def break_line(sheet: Sheet, start: Point, end: Point) -> None:
    """Where the drawing stops and the part goes on: a straight line with a kink, along x or y, from low to high."""
    upright = start[0] == end[0]
    size, over = sheet.pt(4), sheet.pt(5)
    row = start[0] if upright else start[1]
    low, high = sorted((start[1], end[1]) if upright else (start[0], end[0]))
    if high - low < 4 * size:
        size = 0.0
    middle = (low + high) / 2
    path = [(low - over, 0.0), (middle - size, 0.0), (middle - size / 2, size), (middle + size / 2, -size),
            (middle + size, 0.0), (high + over, 0.0)]  # fmt: skip
    sheet.polyline(DIMENSION, [(row + away, along) if upright else (along, row + away) for along, away in path])


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


def floor(sheet: Sheet, framing: dict[str, Any], inside_in: float, *, level: float = 0.0) -> None:
    """Floor boards, the joist or blocks along the wall, a joist across it up to `inside_in`; `level` is their foot."""
    top = level + framing["rim_depth_in"]
    outer, inner = floor_at(framing)
    edge = framing.get("floor_edge")
    if framing["joists"] == "perpendicular":
        start = outer if edge in ("nothing", "blocks between joists") else inner
        sheet.rectangle(EXISTING, (start, level), (inside_in, top), fill=PAPER)
    if edge != "nothing":
        cut(sheet, (outer, level), (inner, top), block=edge == "blocks between joists")
    sheet.rectangle(EXISTING, (outer, top), (inside_in, top + FLOOR_IN), fill=PAPER)
    low = level if framing["joists"] == "perpendicular" else top
    break_line(sheet, (inside_in, low), (inside_in, top + FLOOR_IN))


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


def corner(sheet: Sheet, framing: dict[str, Any], low: float, inside_in: float) -> None:
    """Where the floor stands on the plates: stud from `low`, plates, joist or blocks, floor up to `inside_in`."""
    if framing["plates_in"]:
        stud(sheet, framing, low, plates_base_in(framing), broken=low)
    floor(sheet, framing, inside_in)
    plates(sheet, framing)


def joist_foot(sheet: Sheet, framing: dict[str, Any]) -> tuple[float, float]:
    """The corner as a fastener at the joist's foot needs it; where its stud is broken and how far the floor goes."""
    low = plates_base_in(framing) - STUD_SHOWN_IN
    inside = max(framing["plate_width_in"], floor_at(framing)[1]) + INSIDE_IN
    corner(sheet, framing, low, inside)
    return low, inside


def corner_dimensions(sheet: Sheet, framing: dict[str, Any], low: float) -> None:
    """Plates, joist and set-back around a corner whose stud is broken at `low`; the scale bar under it."""
    outer, inner = floor_at(framing)
    tier, left = sheet.pt(20), -sheet.pt(18)
    if framing["plates_in"]:
        sheet.dimension((0, plates_base_in(framing)), (0, 0), left - tier, vertical=True)
    sheet.dimension((0, 0), (0, framing["rim_depth_in"]), left, vertical=True)
    row = framing["rim_depth_in"] + FLOOR_IN + tier
    if outer:
        sheet.dimension((0, 0), (outer, 0), row)
        row += tier
    if framing.get("floor_edge") != "nothing":
        sheet.dimension((outer, framing["rim_depth_in"]), (inner, framing["rim_depth_in"]), row)
    foot, width = (low, framing["plate_width_in"]) if framing["plates_in"] else (0.0, framing["sill_width_in"])
    sheet.dimension((0, foot), (width, foot), foot - tier)
    sheet.scale_bar((0, foot - sheet.pt(56)))


def corner_notes(framing: dict[str, Any]) -> list[Note]:
    """What stands there already, as callouts."""
    found = []
    if framing.get("floor_edge") != "nothing":
        at = (floor_at(framing)[1], framing["rim_depth_in"] * 0.8)
        found.append(Note(at, edge_name(framing), QUIET_TEXT))
    if framing["plates_in"]:
        at = (framing["plate_width_in"], plates_base_in(framing) / 2)
        found.append(Note(at, f"top plates, {plate_sizes(framing)}", QUIET_TEXT))
    return found


def plate_sizes(framing: dict[str, Any]) -> str:
    """Thicknesses of the top plates, lower first: "1 1/2″ + 1 1/2″"."""
    return " + ".join(length_text(thickness) for thickness in framing["plates_in"])


def nail(sheet: Sheet, head: Point, point: Point, *, head_in: float = 0.28, layer: Layer = ADDED) -> None:
    """A nail as a line with its head across it."""
    (x, y), (u, v) = head, point
    length = ((u - x) ** 2 + (v - y) ** 2) ** 0.5
    across = (-(v - y) / length * head_in / 2, (u - x) / length * head_in / 2)
    sheet.line(layer, head, point)
    sheet.line(layer, (x - across[0], y - across[1]), (x + across[0], y + across[1]))
