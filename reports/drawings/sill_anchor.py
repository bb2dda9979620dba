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
    fitting_scale,
    length_text,
)

WALL_ABOVE_IN, STEM_IN, STEM_DEPTH_IN = 9.0, 8.0, 14.0
PANEL_IN = 15 / 32


def draw(
    line: dict[str, Any], anchor: dict[str, Any], *, block: bool, paper_width_in: float, paper_height_in: float
) -> str:
    """A new sill anchor in section: sill, washer, embedment, panel bottom nailing; a block on a wide sill.

    The stem wall's width is drawn at eight inches and said to be verified, for nobody measured it.
    """
    framing = line["framing"]
    name, scale = fitting_scale(STEM_IN + 3, WALL_ABOVE_IN + STEM_DEPTH_IN, paper_width_in - 3.4, paper_height_in - 0.9)
    sheet = Sheet(scale, f"New sill anchor, wall line {line['label']}", name)
    sill, thick = framing["sill_width_in"], framing["sill_thickness_in"]
    stem = max(STEM_IN, sill + 2)
    sheet.rectangle(GROUND, (-1.0, -STEM_DEPTH_IN), (stem - 1.0, 0), fill=PAPER)
    sheet.hatch_rectangle((-1.0, -STEM_DEPTH_IN), (stem - 1.0, 0), spacing_pt=8)
    sheet.line(
        DIMENSION,
        (-1.0 - sheet.pt(5), -STEM_DEPTH_IN - sheet.pt(2)),
        (stem - 1 + sheet.pt(5), -STEM_DEPTH_IN + sheet.pt(2)),
    )
    sheet.rectangle(GROUND, (0, 0), (sill, thick), fill=PAPER)
    sheet.rectangle(EXISTING, (0, thick), (framing["stud_depth_in"], WALL_ABOVE_IN), fill=PAPER)
    panel = framing["stud_depth_in"]
    right, left = stem + sheet.pt(26), -1.0 - sheet.pt(16)
    low = thick
    if block:
        sheet.rectangle(ADDED, (panel, thick), (sill, thick + 1.5), fill=PAPER)
        sheet.leader(((panel + sill) / 2, thick + 0.75), (right, thick + 2.6), "flat block between studs, nailed to the sill",
                     layer=ADDED_TEXT)  # fmt: skip
        low = thick
    else:
        low = 0.0
    sheet.rectangle(NEW, (panel, low), (panel + PANEL_IN, WALL_ABOVE_IN), fill=PAPER)
    x, depth, half = sill / 2, anchor["embedment_in"] or 7.0, anchor["diameter_in"] / 2
    sheet.rectangle(ADDED, (x - half, -depth), (x + half, thick + 1.4), fill=PAPER)
    sheet.rectangle(ADDED, (x - 1.5, thick), (x + 1.5, thick + 0.25), fill=ACCENT)
    sheet.rectangle(ADDED, (x - half * 1.9, thick + 0.25), (x + half * 1.9, thick + 0.25 + half * 2), fill=PAPER)
    sheet.dimension((x, -depth), (x, 0), right + sheet.pt(8), vertical=True, text=f"{length_text(depth)} embedment")
    notes = [
        ((x + half, -depth * 0.75), -depth * 1.15, ADDED_TEXT, [anchor["name"], f"report {anchor['report']}"]),
        ((panel + PANEL_IN, WALL_ABOVE_IN - 1), WALL_ABOVE_IN - 1, TEXT, ["shear panel"]),
        ((x + 1.5, thick + 0.12), WALL_ABOVE_IN * 0.62, ADDED_TEXT, ["plate washer between nut and sill,", "edge within 1/2 in of the panel face"]),
    ]  # fmt: skip
    for at, y, layer, texts in notes:
        sheet.leader(at, (right, y), texts[0], layer=layer)
        for index, text in enumerate(texts[1:], start=1):
            sheet.text((right + sheet.pt(3), y - sheet.pt(10 * index)), text, layer=layer, halo=True)
    sheet.leader(
        (0.4, thick / 2), (left, thick / 2), f"sill {length_text(thick)} × {length_text(sill)}", layer=QUIET_TEXT
    )
    sheet.leader((-0.6, -5.0), (left, -5.0), "stem wall, width verify", layer=QUIET_TEXT)
    if anchor["minimum_edge_in"]:
        sheet.dimension((-1.0, -STEM_DEPTH_IN), (x, -STEM_DEPTH_IN), -STEM_DEPTH_IN - sheet.pt(16),
                        text=f"edge ≥ {length_text(anchor['minimum_edge_in'])}")  # fmt: skip
    sheet.scale_bar((-1.0, -STEM_DEPTH_IN - sheet.pt(48)))
    return svg.write(sheet)


def draw_tie_down(
    line: dict[str, Any],
    tie_down: dict[str, Any],
    anchor: dict[str, Any],
    *,
    paper_width_in: float,
    paper_height_in: float,
) -> str:
    """The end of a panel in elevation: end post, tie-down, rod and its embedment."""
    framing, post = line["framing"], line["end_post"]
    depth = anchor["embedment_in"] or 10.0
    name, scale = fitting_scale(18.0, 22.0 + depth, paper_width_in - 3.0, paper_height_in - 0.9)
    sheet = Sheet(scale, f"Tie-down at a panel end, wall line {line['label']}", name)
    thick, rod = framing["sill_thickness_in"], post["rod_from_end_in"]
    sheet.rectangle(GROUND, (-2.0, -depth - 4), (16.0, 0), fill=PAPER)
    sheet.hatch_rectangle((-2.0, -depth - 4), (16.0, 0), spacing_pt=8)
    sheet.rectangle(GROUND, (-2.0, 0), (16.0, thick), fill=PAPER)
    sheet.rectangle(GROUND, (0, thick), (post["width_in"], 18.0), fill=PAPER)
    sheet.line(NEW, (0, 0), (0, 18.0))
    half = tie_down["diameter_in"] / 2
    sheet.rectangle(ADDED, (rod - half, -depth), (rod + half, thick + 5.0), fill=PAPER)
    face = post["width_in"]
    sheet.polyline(ADDED, ((face, thick + 14), (face, thick + 2), (rod + 1.5, thick + 2), (rod + 1.5, thick + 2.4),
                           (face + 0.4, thick + 2.4), (face + 0.4, thick + 14)), closed=True, fill=PAPER)  # fmt: skip
    sheet.rectangle(ADDED, (rod - 2 * half, thick + 2.4), (rod + 2 * half, thick + 2.4 + 2 * half), fill=ACCENT)
    right = 16.0 + sheet.pt(30)
    sheet.dimension((0, 18), (rod, 18), 18 + sheet.pt(16), text=f"rod {length_text(rod)}")
    sheet.dimension((rod, -depth), (rod, 0), 16.0 + sheet.pt(14), vertical=True, text=f"{length_text(depth)} embedment")
    for at, y, texts in (
        (
            (face + 0.4, thick + 10),
            thick + 12,
            [tie_down["name"], f"report {tie_down['report']}, all fasteners of the report"],
        ),
        ((rod + half, -depth * 0.8), -depth * 0.9, [anchor["name"], f"report {anchor['report']}"]),
    ):
        sheet.leader(at, (right + sheet.pt(14), y), texts[0], layer=ADDED_TEXT)
        sheet.text((right + sheet.pt(17), y - sheet.pt(10)), texts[1], layer=ADDED_TEXT, halo=True)
    left = -2.0 - sheet.pt(12)
    sheet.leader((0.5, 16.5), (left, 16.5), f"end post {length_text(post['width_in'])} × {length_text(post['depth_in'])}",
                 layer=QUIET_TEXT)  # fmt: skip
    sheet.leader((0, 8), (left, 8), "panel end", layer=TEXT)
    sheet.scale_bar((-2.0, -depth - 4 - sheet.pt(32)))
    return svg.write(sheet)
