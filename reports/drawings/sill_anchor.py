"""Details around the sill: a new anchor in section, and the end post of a panel with its tie-down."""

from __future__ import annotations

from typing import Any

from reports.drawings import svg
from reports.drawings.sheet import (
    ACCENT,
    ADDED,
    ADDED_TEXT,
    DIMENSION,
    EXISTING,
    GROUND,
    NEW,
    PAPER,
    QUIET_TEXT,
    TEXT,
    Sheet,
    length_text,
)

ZOOM = 1.25  # details stand on large sheets
WALL_ABOVE_IN, STEM_IN, STEM_DEPTH_IN = 9.0, 8.0, 14.0
PANEL_IN = 15 / 32


def draw(
    line: dict[str, Any],
    anchor: dict[str, Any],
    *,
    block: bool,
    sill_edge_in: float | str | None,
    paper_width_in: float,
    paper_height_in: float,
) -> str:
    """A new sill anchor in section: sill, washer, embedment, panel bottom nailing; a block on a wide sill.

    `sill_edge_in` is the sill's distance from the concrete's outer face, drawn as one inch where nobody measured it.
    The stem wall's width is drawn at eight inches or more and said to be verified.
    """
    return svg.write_fitting(
        lambda sheet: _draw_anchor_section(sheet, line, anchor, block, sill_edge_in),
        title=f"New sill anchor, wall line {line['label']}",
        paper_width_in=paper_width_in,
        paper_height_in=paper_height_in,
        zoom=ZOOM,
    )


def _draw_anchor_section(
    sheet: Sheet, line: dict[str, Any], anchor: dict[str, Any], block: bool, sill_edge_in: float | str | None
) -> None:
    framing = line["framing"]
    sill, thick, panel = framing["sill_width_in"], framing["sill_thickness_in"], framing["stud_depth_in"]
    measured = isinstance(sill_edge_in, int | float)
    outer = -float(sill_edge_in) if isinstance(sill_edge_in, int | float) else -1.0
    inner = max(STEM_IN + outer, sill + 1.0)
    low = -STEM_DEPTH_IN
    sheet.rectangle(GROUND, (outer, low), (inner, 0), fill=PAPER)
    sheet.hatch_rectangle((outer, low), (inner, 0), spacing_pt=8)
    sheet.line(DIMENSION, (outer - sheet.pt(5), low - sheet.pt(2)), (inner + sheet.pt(5), low + sheet.pt(2)))
    sheet.rectangle(GROUND, (0, 0), (sill, thick), fill=PAPER)
    sheet.rectangle(EXISTING, (0, thick), (panel, WALL_ABOVE_IN), fill=PAPER)
    right, left = max(inner, sill) + sheet.pt(52), outer - sheet.pt(16)
    if block:
        sheet.rectangle(ADDED, (0, thick), (panel, thick + 1.5), fill=PAPER)
        text = "flat block between studs, nailed to the sill\ntwo pieces beside the rod"
        sheet.leader((panel * 0.85, thick + 0.75), (right, thick + 1.6), text, layer=ADDED_TEXT)
    sheet.rectangle(NEW, (panel, thick if block else 0.0), (panel + PANEL_IN, WALL_ABOVE_IN), fill=PAPER)
    x, depth, half = panel / 2, anchor["embedment_in"] or 7.0, anchor["diameter_in"] / 2
    sheet.rectangle(ADDED, (x - half, -depth), (x + half, thick + 1.4), fill=PAPER)
    sheet.rectangle(ADDED, (x - 1.5, thick), (x + 1.5, thick + 0.25), fill=ACCENT)
    sheet.rectangle(ADDED, (x - half * 1.9, thick + 0.25), (x + half * 1.9, thick + 0.25 + half * 2), fill=PAPER)
    sheet.dimension(
        (inner, -depth), (inner, 0), inner + sheet.pt(30), vertical=True, text=f"{length_text(depth)} embedment"
    )
    notes = [
        ((panel + PANEL_IN, WALL_ABOVE_IN - 1), WALL_ABOVE_IN - 1, TEXT, "shear panel"),
        (
            (x + 1.5, thick + 0.12),
            WALL_ABOVE_IN * 0.62,
            ADDED_TEXT,
            "plate washer between nut and sill,\nedge within 1/2 in of the panel face",
        ),
        ((x + half, -depth * 0.9), -depth * 1.5, ADDED_TEXT, f"{anchor['name']}\nreport {anchor['report']}"),
    ]
    for at, y, layer, text in notes:
        sheet.leader(at, (right, y), text, layer=layer)
    size = f"sill {length_text(thick)} × {length_text(sill)}"
    sheet.leader((0.4, thick / 2), (left, thick / 2), size, layer=QUIET_TEXT)
    sheet.leader((outer + 0.4, -5.0), (left, -5.0), "stem wall, verify width", layer=QUIET_TEXT)
    if anchor["minimum_edge_in"]:
        sheet.dimension(
            (outer, low),
            (x, low),
            low - sheet.pt(16),
            text=f"at least {length_text(anchor['minimum_edge_in'])} to the face",
        )
    if not measured:
        sheet.text((left, -7.0), "sill edge not observed", layer=QUIET_TEXT, anchor="end")
    sheet.scale_bar((outer, low - sheet.pt(48)))


def draw_tie_down(
    line: dict[str, Any],
    tie_down: dict[str, Any],
    anchor: dict[str, Any],
    *,
    paper_width_in: float,
    paper_height_in: float,
) -> str:
    """The end of a panel in elevation: end post, tie-down, rod and its embedment."""
    return svg.write_fitting(
        lambda sheet: _draw_post(sheet, line, tie_down, anchor),
        title=f"Tie-down at a panel end, wall line {line['label']}",
        paper_width_in=paper_width_in,
        paper_height_in=paper_height_in,
        zoom=ZOOM,
    )


def _draw_post(sheet: Sheet, line: dict[str, Any], tie_down: dict[str, Any], anchor: dict[str, Any]) -> None:
    framing, post = line["framing"], line["end_post"]
    depth = anchor["embedment_in"] or 10.0
    thick, rod = framing["sill_thickness_in"], post["rod_from_end_in"]
    sheet.rectangle(GROUND, (-2.0, -depth - 4), (16.0, 0), fill=PAPER)
    sheet.hatch_rectangle((-2.0, -depth - 4), (16.0, 0), spacing_pt=8)
    sheet.rectangle(GROUND, (-2.0, 0), (16.0, thick), fill=PAPER)
    sheet.rectangle(GROUND, (0, thick), (post["width_in"], 18.0), fill=PAPER)
    sheet.line(NEW, (0, 0), (0, 18.0))
    half = tie_down["diameter_in"] / 2
    sheet.rectangle(ADDED, (rod - half, -depth), (rod + half, thick + 5.0), fill=PAPER)
    face = post["width_in"]
    sheet.polyline(
        ADDED,
        (
            (face, thick + 14),
            (face, thick + 2),
            (rod + 1.5, thick + 2),
            (rod + 1.5, thick + 2.4),
            (face + 0.4, thick + 2.4),
            (face + 0.4, thick + 14),
        ),
        closed=True,
        fill=PAPER,
    )
    sheet.rectangle(ADDED, (rod - 2 * half, thick + 2.4), (rod + 2 * half, thick + 2.4 + 2 * half), fill=ACCENT)
    right = 16.0 + sheet.pt(30)
    sheet.dimension((0, 18), (rod, 18), 18 + sheet.pt(16), text=f"rod {length_text(rod)}")
    sheet.dimension((rod, -depth), (rod, 0), 16.0 + sheet.pt(14), vertical=True, text=f"{length_text(depth)} embedment")
    hung = f"{tie_down['name']}\nreport {tie_down['report']}, all fasteners of the report"
    sheet.leader((face + 0.4, thick + 10), (right + sheet.pt(14), thick + 12), hung, layer=ADDED_TEXT)
    held = f"{anchor['name']}\nreport {anchor['report']}"
    sheet.leader((rod + half, -depth * 0.8), (right + sheet.pt(14), -depth * 0.9), held, layer=ADDED_TEXT)
    left = -2.0 - sheet.pt(12)
    sheet.leader(
        (0.5, 16.5),
        (left, 16.5),
        f"end post {length_text(post['width_in'])} × {length_text(post['depth_in'])}",
        layer=QUIET_TEXT,
    )
    sheet.leader((0, 8), (left, 8), "panel end", layer=TEXT)
    sheet.scale_bar((-2.0, -depth - 4 - sheet.pt(32)))
