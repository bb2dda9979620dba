"""The through-plate screw in section and the fastener pattern along the plates, true to this job's sizes.

Section: looking along the wall, outer edge of the plates at the left, x from that edge. Sizes that were computed are
read from the screw's set-up; nothing is computed again here.
"""

from __future__ import annotations

import itertools
from typing import Any

from reports.drawings import svg
from reports.drawings.sheet import (
    ACCENT,
    ADDED,
    ADDED_TEXT,
    DIMENSION,
    EXISTING,
    GROUND,
    HIDDEN,
    INK,
    JOINT,
    PAPER,
    QUIET_TEXT,
    Layer,
    Sheet,
    length_text,
)

ZOOM = 1.25  # details stand on large sheets
TARGET = Layer("target line", INK, 0.5, (9.0, 2.5, 2.0, 2.5))
PILOT = Layer("pilot hole", ACCENT, 0.6, (3.0, 1.5))
STUD_SHOWN_IN, BAR_SHOWN_IN, FLOOR_IN, BOARD_IN = 4.5, 3.0, 0.75, 0.75
PATTERN_HEIGHT_IN = 6.0


def step_values(check: dict[str, Any]) -> dict[str, Any]:
    """The values of a check's steps by key."""
    return {step["key"]: step["value"] for step in check["steps"]}


def draw(
    line: dict[str, Any],
    set_up: dict[str, Any],
    screw: dict[str, Any],
    *,
    stitched: bool,
    paper_width_in: float,
    paper_height_in: float,
) -> str:
    """The section as SVG; `set_up` is the line result's through-plate check, `screw` its catalogue record.

    `stitched`: nails join the two plates beside each screw.
    """
    return svg.write_fitting(
        lambda sheet: _draw_section(sheet, line, step_values(set_up), screw, stitched),
        title=f"Through-plate screw, section at wall line {line['label']}",
        paper_width_in=paper_width_in,
        paper_height_in=paper_height_in,
        zoom=ZOOM,
    )


def _draw_section(
    sheet: Sheet, line: dict[str, Any], values: dict[str, Any], screw: dict[str, Any], stitched: bool
) -> None:
    framing = line["framing"]
    _framing(sheet, framing)
    _screw(sheet, framing, values, screw, stitched)
    _dimensions(sheet, framing, values)
    _notes(sheet, line, values, screw, stitched)
    low = -sum(framing["plates_in"]) - STUD_SHOWN_IN
    sheet.scale_bar((-BOARD_IN, low - sheet.pt(56)))


def _framing(sheet: Sheet, framing: dict[str, Any]) -> None:
    width, set_back = framing["plate_width_in"], framing["rim_set_back_in"]
    rim, depth = framing["rim_thickness_in"], framing["rim_depth_in"]
    level = -sum(framing["plates_in"])
    stud_low = level - STUD_SHOWN_IN
    sheet.rectangle(EXISTING, (0, stud_low), (framing["stud_depth_in"], level), fill=PAPER)
    for thickness in framing["plates_in"]:
        sheet.rectangle(GROUND, (0, level), (width, level + thickness), fill=PAPER)
        sheet.hatch_rectangle((0, level), (width, level + thickness), spacing_pt=7, angle_deg=30)
        level += thickness
    sheet.rectangle(GROUND, (set_back, 0), (set_back + rim, depth), fill=PAPER)
    sheet.hatch_rectangle((set_back, 0), (set_back + rim, depth), spacing_pt=7, angle_deg=60)
    sheet.rectangle(EXISTING, (set_back, depth), (width + 3.0, depth + FLOOR_IN), fill=PAPER)
    sheet.rectangle(EXISTING, (-BOARD_IN, stud_low), (0, depth), fill=PAPER)
    if framing["joists"] == "perpendicular":
        for y in (0.0, depth):
            sheet.line(HIDDEN, (set_back + rim, y), (width + 3.0, y))
    if framing["ceiling_finish"]:
        sheet.rectangle(EXISTING, (width, -0.75), (width + 3.0, 0.0), fill=PAPER)
    for x in (-BOARD_IN, framing["stud_depth_in"]):
        sheet.line(DIMENSION, (x - sheet.pt(5), stud_low - sheet.pt(2)), (x + sheet.pt(5), stud_low + sheet.pt(2)))


def _screw(
    sheet: Sheet, framing: dict[str, Any], values: dict[str, Any], screw: dict[str, Any], stitched: bool
) -> None:
    target, base = values["target_from_plate_edge_in"], -sum(framing["plates_in"])
    half = screw["diameter_in"] / 2
    tip = values["penetration_in"]
    bar, hole = values["jig_bar_diameter_in"] / 2, values["jig_hole_in"] / 2
    centre = bar
    low = base - BAR_SHOWN_IN
    sheet.rectangle(JOINT, (centre - bar, low), (centre + bar, base), fill=PAPER)
    for side in (-hole, hole):
        sheet.line(PILOT, (centre + side, low - 1.0), (centre + side, base))
    sheet.line(TARGET, (target, low - 1.4), (target, framing["rim_depth_in"] + FLOOR_IN + sheet.pt(16)))
    sheet.polyline(
        ADDED,
        (
            (target - half, base),
            (target - half, tip - 2 * half),
            (target, tip),
            (target + half, tip - 2 * half),
            (target + half, base),
        ),
        closed=True,
        fill=PAPER,
    )
    count = int(tip / 0.12)
    for index in range(count):
        y = tip - 2 * half - index * 0.12
        if y > 0.1:
            sheet.line(ADDED, (target - half * 1.25, y - 0.05), (target + half * 1.25, y + 0.03))
    sheet.rectangle(ADDED, (target - 2 * half, base - half), (target + 2 * half, base), fill=ACCENT)
    if stitched:
        plates = framing["plates_in"]
        x = framing["plate_width_in"] - 1.0
        sheet.line(ADDED, (x, base), (x, base + sum(plates) - 0.1))
        sheet.rectangle(ADDED, (x - 0.14, base - 0.06), (x + 0.14, base), fill=ACCENT)


def _dimensions(sheet: Sheet, framing: dict[str, Any], values: dict[str, Any]) -> None:
    base, depth = -sum(framing["plates_in"]), framing["rim_depth_in"]
    set_back, rim, width = framing["rim_set_back_in"], framing["rim_thickness_in"], framing["plate_width_in"]
    top = depth + FLOOR_IN
    target = values["target_from_plate_edge_in"]
    sheet.dimension((0, top), (target, top), top + sheet.pt(26), text=f"target {length_text(target)}")
    sheet.dimension((set_back, top), (set_back + rim, top), top + sheet.pt(48), text=f"joist {length_text(rim)}")
    if set_back:
        sheet.dimension((0, top), (set_back, top), top + sheet.pt(70), text=f"set-back {length_text(set_back)}")
    right = width + 3.0 + sheet.pt(14)
    level = base
    for thickness in framing["plates_in"]:
        sheet.dimension((width, level), (width, level + thickness), right, vertical=True)
        level += thickness
    tip = values["penetration_in"]
    sheet.dimension((set_back + rim, 0), (set_back + rim, tip), right, vertical=True, text=length_text(tip))
    sheet.dimension((set_back + rim, 0), (set_back + rim, depth), right + sheet.pt(26), vertical=True)
    stud_low = base - STUD_SHOWN_IN
    sheet.dimension((0, stud_low), (width, stud_low), stud_low - sheet.pt(16), text=f"plates {length_text(width)}")


def _notes(sheet: Sheet, line: dict[str, Any], values: dict[str, Any], screw: dict[str, Any], stitched: bool) -> None:
    framing = line["framing"]
    base, target, width = -sum(framing["plates_in"]), values["target_from_plate_edge_in"], framing["plate_width_in"]
    depth, back, rim = framing["rim_depth_in"], framing["rim_set_back_in"], framing["rim_thickness_in"]
    right, left = width + 3.0 + sheet.pt(76), -BOARD_IN - sheet.pt(22)
    edge = (
        f"{length_text(values['edge_distance_in'])} to the nearer face, at least "
        f"{length_text(screw['minimum_edge_in'])}\n"
        f"placing tolerance {length_text(values['placing_tolerance_in'])}"
    )
    sheet.leader((back + rim, depth * 0.78), (right, depth * 0.78), edge)
    held = (
        f"{screw['name']}\n{length_text(values['penetration_in'])} into the joist, at least "
        f"{length_text(screw['minimum_penetration_in'])}"
    )
    sheet.leader((target, values["penetration_in"] * 0.6), (right, depth * 0.5), held, layer=ADDED_TEXT)
    if framing["ceiling_finish"]:
        sheet.leader((width + 1.5, -0.4), (right, 0.6), f"{framing['ceiling_finish']}: stays", layer=QUIET_TEXT)
    if stitched:
        nails = (
            f"{values['stitch_nails_per_screw']:.0f} stitch nails beside each screw,\nfrom below, lower plate to upper"
        )
        sheet.leader((width - 1.0, base + 0.7), (right, base + 0.9), nails, layer=ADDED_TEXT)
    jig = (
        f"jig: round bar {length_text(values['jig_bar_diameter_in'])} with a centred hole of "
        f"{values['jig_hole_in']:.3f} in, held against the {framing['jig_bears_on']}"
    )
    sheet.leader((values["jig_bar_diameter_in"], base - 1.6), (right, base - 2.0), jig)
    kind = "rim joist" if framing["joists"] == "perpendicular" else "end joist"
    sizes = f"{kind} {length_text(rim)} × {length_text(depth)}"
    for at, text in (
        ((back + 0.2, depth * 0.8), sizes),
        ((0.3, base / 2), "top plates"),
        ((-BOARD_IN / 2, base - 1.6), framing["jig_bears_on"]),
        ((0.3, base - 4.0), "stud beyond"),
    ):
        sheet.leader(at, (left, at[1]), text, layer=QUIET_TEXT, wrap_pt=80.0)
    sheet.text((target + sheet.pt(4), depth + FLOOR_IN + sheet.pt(10)), "target line", size_pt=6.5)


def draw_pattern(
    line: dict[str, Any], schedule: dict[str, Any], set_up: dict[str, Any], *, paper_width_in: float, shown_in: float
) -> str:
    """The underside of the plates along a stretch of `shown_in` that starts at the first screw's bay."""
    return svg.write_fitting(
        lambda sheet: _draw_pattern(sheet, line, schedule, step_values(set_up), shown_in),
        title=f"Fastener pattern under the plates, wall line {line['label']}",
        paper_width_in=paper_width_in,
        paper_height_in=PATTERN_HEIGHT_IN,
        zoom=ZOOM,
    )


def _draw_pattern(
    sheet: Sheet, line: dict[str, Any], schedule: dict[str, Any], values: dict[str, Any], shown_in: float
) -> None:
    framing = line["framing"]
    width = framing["plate_width_in"]
    screws = sorted(p for item in schedule["items"] if item["role"] == "floor to plate" for p in item["positions_in"])
    stitches = sorted(p for item in schedule["items"] if item["role"] == "stitch nails" for p in item["positions_in"])
    start = max(0.0, (screws[0] if screws else 0.0) - 12.0)
    end = start + shown_in
    sheet.rectangle(GROUND, (0, 0), (shown_in, width), fill=PAPER)
    half = framing["stud_thickness_in"] / 2
    for stud in framing["stud_centrelines_in"]:
        if start + half < stud < end - half:
            sheet.rectangle(
                HIDDEN, (stud - start - half, 0), (stud - start + half, framing["stud_depth_in"]), fill=PAPER
            )
            sheet.hatch_rectangle(
                (stud - start - half, 0), (stud - start + half, framing["stud_depth_in"]), spacing_pt=4
            )
    target = values["target_from_plate_edge_in"]
    sheet.line(TARGET, (-sheet.pt(8), target), (shown_in + sheet.pt(8), target))
    shown = [screw for screw in screws if start <= screw <= end]
    for screw in shown:
        sheet.circle(ADDED, (screw - start, target), max(0.2, sheet.pt(3.0)), fill=ACCENT)
    near = [nail for nail in stitches if start <= nail <= end]
    for index, nail in enumerate(near):
        across = width - 1.0 + (0.35 if index % 2 else -0.35)
        sheet.circle(ADDED, (nail - start, across), max(0.12, sheet.pt(1.8)), fill=PAPER)
    for first, second in itertools.pairwise(shown):
        sheet.dimension((first - start, 0), (second - start, 0), -sheet.pt(16))
    if shown and near:
        beside = min(near, key=lambda nail: abs(nail - shown[0]))
        if abs(beside - shown[0]) > 0.01:
            sheet.dimension(
                (min(beside, shown[0]) - start, width), (max(beside, shown[0]) - start, width), width + sheet.pt(14)
            )
    sheet.dimension((shown_in, 0), (shown_in, target), shown_in + sheet.pt(26), vertical=True)
    sheet.text((0, width + sheet.pt(34)), "outer edge of the plates at the bottom; studs hatched", size_pt=6.5)
    sheet.scale_bar((0, -sheet.pt(52)))
