"""The other ways from floor to plate and the panel's nailing, as sections and patterns."""

from __future__ import annotations

import itertools
from typing import Any

from reports.drawings import svg, wall_line
from reports.drawings.sheet import (
    ACCENT,
    ADDED,
    ADDED_TEXT,
    DIMENSION,
    EXISTING,
    GROUND,
    HIDDEN,
    JOINT,
    NEW,
    PAPER,
    QUIET_TEXT,
    TEXT,
    Sheet,
    length_text,
)

ZOOM = 1.25  # details stand on large sheets
FLOOR_IN, STUD_SHOWN_IN = 0.75, 4.0


def draw(line: dict[str, Any], angle: dict[str, Any], *, paper_width_in: float, paper_height_in: float) -> str:
    """A framing angle from the inside face of the joist to the upper plate, with the ceiling opened."""
    return svg.write_fitting(
        lambda sheet: _draw_angle(sheet, line, angle),
        title=f"Framing angle, section at wall line {line['label']}",
        paper_width_in=paper_width_in,
        paper_height_in=paper_height_in,
        zoom=ZOOM,
    )


def _draw_angle(sheet: Sheet, line: dict[str, Any], angle: dict[str, Any]) -> None:
    framing = line["framing"]
    width, rim, depth = framing["plate_width_in"], framing["rim_thickness_in"], framing["rim_depth_in"]
    back = framing["rim_set_back_in"]
    base = -sum(framing["plates_in"])
    sheet.rectangle(EXISTING, (0, base - STUD_SHOWN_IN), (framing["stud_depth_in"], base), fill=PAPER)
    level = base
    for thickness in framing["plates_in"]:
        sheet.rectangle(GROUND, (0, level), (width, level + thickness), fill=PAPER)
        level += thickness
    sheet.rectangle(GROUND, (back, 0), (back + rim, depth), fill=PAPER)
    sheet.hatch_rectangle((back, 0), (back + rim, depth), spacing_pt=7, angle_deg=60)
    sheet.rectangle(EXISTING, (back, depth), (width + 3, depth + FLOOR_IN), fill=PAPER)
    face = back + rim
    reach = min(width - face, 2.5)
    sheet.polyline(ADDED, ((face, 3.0), (face, 0.0), (face + reach, 0.0)))
    for y in (0.7, 1.5, 2.3):
        sheet.line(ADDED, (face, y), (face - rim * 0.8, y))
    for x in (0.4, 0.75):
        sheet.line(ADDED, (face + reach * x, 0.0), (face + reach * x, -1.3))
    right, left = width + 3 + sheet.pt(20), -sheet.pt(16)
    text = f"{angle['name']}\nreport {angle['report']}, every hole filled"
    sheet.leader((face, 2.8), (right, 3.4), text, layer=ADDED_TEXT)
    if framing["ceiling_finish"]:
        sheet.rectangle(HIDDEN, (width, -0.75), (width + 3, 0))
        sheet.leader((width + 2, -0.4), (right, -1.4), f"{framing['ceiling_finish']}: opened and restored", layer=TEXT)
    kind = "rim joist" if framing["joists"] == "perpendicular" else "end joist"
    sheet.leader((back + 0.3, depth * 0.75), (left, depth * 0.75), kind, layer=QUIET_TEXT)
    sheet.leader((0.3, base / 2), (left, base / 2), "top plates", layer=QUIET_TEXT)
    sheet.scale_bar((0, base - STUD_SHOWN_IN - sheet.pt(24)))


def draw_panel_nailing(
    line: dict[str, Any],
    edge_spacing_in: float,
    *,
    joints_in: tuple[float, ...],
    paper_width_in: float,
    paper_height_in: float,
) -> str:
    """One panel of the line with every edge nail in place: pieces, joints on studs, field nails."""
    return svg.write_fitting(
        lambda sheet: _draw_nailing(sheet, line, edge_spacing_in, joints_in),
        title=f"Panel nailing, panel {line['label']}·1",
        paper_width_in=paper_width_in,
        paper_height_in=paper_height_in,
        zoom=ZOOM,
    )


def _draw_nailing(sheet: Sheet, line: dict[str, Any], edge_spacing_in: float, joints_in: tuple[float, ...]) -> None:
    panel, framing, sheathing = line["panels"][0], line["framing"], line["sheathing"]
    length = (panel["to_ft"] - panel["from_ft"]) * 12
    height = line["segments"][0]["stud_height_ft"] * 12 + sum(framing["plates_in"]) + framing["sill_thickness_in"]
    if wall_line.ends_at_lower_plate(line):
        height -= framing["plates_in"][-1]
    start = panel["from_ft"] * 12
    edges = [0.0, *(joint - start for joint in joints_in), length]
    inset = 0.5
    sheet.rectangle(NEW, (0, 0), (length, height), fill=PAPER)
    for low, high in itertools.pairwise(edges):
        if high < length:
            sheet.line(JOINT, (high, 0), (high, height))
        _ring(sheet, low + inset, high - inset, inset, height - inset, edge_spacing_in)
        for stud in framing["stud_centrelines_in"]:
            if low + 3 < stud - start < high - 3:
                count = max(1, round((height - 2) / 12))
                for index in range(1, count):
                    sheet.circle(DIMENSION, (stud - start, height * index / count), sheet.pt(0.9), fill=PAPER)
    for low, high in itertools.pairwise(edges):
        sheet.dimension((low, height), (high, height), height + sheet.pt(14))
    sheet.dimension((length, 0), (length, height), length + sheet.pt(22), vertical=True)
    text = (
        f"{sheathing['nail']} {sheathing['nail_diameter_in']:g} × {length_text(sheathing['nail_length_in'])} "
        f"{sheathing['finish']}: {edge_spacing_in:g} in at all edges (filled), 12 in in the field (open)"
    )
    sheet.text((0, -sheet.pt(14)), text, layer=ADDED_TEXT)
    sheet.text((0, -sheet.pt(25)), "at least 3/8 in from every panel edge; heads flush with the face", layer=TEXT)
    sheet.scale_bar((0, -sheet.pt(56)))


def _ring(sheet: Sheet, left: float, right: float, low: float, high: float, spacing_in: float) -> None:
    """Nails around one piece at no more than the spacing."""
    for start, end, across, upright in (
        (left, right, low, False),
        (left, right, high, False),
        (low, high, left, True),
        (low, high, right, True),
    ):
        count = max(1, -int(-(end - start) // spacing_in))
        for index in range(count + 1):
            along = start + (end - start) * index / count
            sheet.circle(ADDED, (across, along) if upright else (along, across), sheet.pt(1.1), fill=ACCENT)
