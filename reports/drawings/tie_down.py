"""A panel end with its tie-down, seen from inside: end post and its nails, rod, embedment."""

from __future__ import annotations

from math import ceil
from typing import Any

from reports.drawings import svg
from reports.drawings import wall_section as section
from reports.drawings.callouts import Note, callouts
from reports.drawings.sheet import (
    ACCENT,
    ADDED,
    ADDED_TEXT,
    GROUND,
    NEW,
    PAPER,
    QUIET_TEXT,
    Sheet,
    length_text,
)

SHOWN_IN, PANEL_IN, UNDER_IN = 18.0, 16.0, 4.0
BODY_IN, SEAT_IN, PLATE_IN = 11.0, 2.0, 0.4  # drawn without its maker's shape


def draw(
    *,
    framing: dict[str, Any],
    post: dict[str, Any],
    tie_down: dict[str, Any],
    anchor: dict[str, Any],
    edge_nail: str,
    edge_in: float,
    title: str,
    paper_width_in: float,
    paper_height_in: float,
) -> svg.Svg:
    """The panel's end at x = 0, the panel to the right; `edge_nail` at `edge_in` runs up the post."""

    def fill(sheet: Sheet) -> None:
        depth, thick, rod = anchor["embedment_in"] or 0.0, framing["sill_thickness_in"], post["rod_from_end_in"]
        low, half, width = -thick - depth - UNDER_IN, tie_down["diameter_in"] / 2, post["width_in"]
        sheet.rectangle(GROUND, (-2.0, low), (PANEL_IN, -thick), fill=PAPER)
        sheet.hatch_rectangle((-2.0, low), (PANEL_IN, -thick), spacing_pt=9)
        sheet.rectangle(GROUND, (-2.0, -thick), (PANEL_IN, 0.0), fill=PAPER)
        sheet.rectangle(GROUND, (0.0, 0.0), (width, SHOWN_IN), fill=PAPER)
        sheet.line(NEW, (0.0, -thick), (0.0, SHOWN_IN))
        sheet.line(NEW, (0.0, -thick), (PANEL_IN, -thick))
        for end in ((-2.0, low, -2.0, 0.0), (PANEL_IN, low, PANEL_IN, 0.0), (0.0, SHOWN_IN, width, SHOWN_IN)):
            section.break_line(sheet, end[:2], end[2:])
        for index in range(ceil(SHOWN_IN / edge_in)):
            sheet.circle(ADDED, (width / 2, 1.5 + index * edge_in), sheet.pt(1.3), fill=ACCENT)
        sheet.rectangle(ADDED, (rod - half, -thick - depth), (rod + half, SEAT_IN + 2.0), fill=PAPER)
        face, seat = width, max(rod + 1.5, width + 1.0)
        body = (
            (face, BODY_IN), (face, SEAT_IN), (seat, SEAT_IN), (seat, SEAT_IN + PLATE_IN),
            (face + PLATE_IN, SEAT_IN + PLATE_IN), (face + PLATE_IN, BODY_IN),
        )  # fmt: skip
        sheet.polyline(ADDED, body, closed=True, fill=PAPER)
        nut = ((rod - 1.7 * half, SEAT_IN + PLATE_IN), (rod + 1.7 * half, SEAT_IN + PLATE_IN + 2 * half))
        sheet.rectangle(ADDED, *nut, fill=ACCENT)
        _dimensions(sheet, low, depth, thick, rod, width)
        _notes(sheet, low, depth, thick, rod, width)

    def _dimensions(sheet: Sheet, low: float, depth: float, thick: float, rod: float, width: float) -> None:
        tier, left = sheet.pt(20), -2.0 - sheet.pt(18)
        sheet.dimension((0.0, SHOWN_IN), (width, SHOWN_IN), SHOWN_IN + tier)
        sheet.dimension((0.0, SHOWN_IN), (rod, SHOWN_IN), SHOWN_IN + 2 * tier)
        if depth:
            sheet.dimension((-2.0, -thick - depth), (-2.0, -thick), left, vertical=True)
        sheet.dimension((-2.0, -thick), (-2.0, 0.0), left, vertical=True)
        sheet.scale_bar((-2.0, low - sheet.pt(32)))

    def _notes(sheet: Sheet, low: float, depth: float, thick: float, rod: float, width: float) -> None:
        size = f"{length_text(width)} × {length_text(post['depth_in'])}"
        notes = [
            Note((width, SHOWN_IN * 0.9), f"end post {size}, bears whole on the sill", QUIET_TEXT),
            Note(
                (width / 2, 1.5 + edge_in * max(1, int(14.0 / edge_in))),
                f"panel edge nails {edge_nail}, {edge_in:g} in apart, into the post",
                ADDED_TEXT,
            ),
            Note(
                (width + PLATE_IN, BODY_IN * 0.8),
                f"{tie_down['name']}, report {tie_down['report']}; shape by its report, every fastener that it names "
                f"into the post, {tie_down['finish']}",
                ADDED_TEXT,
            ),
            Note(
                (rod + tie_down["diameter_in"] / 2, SEAT_IN / 2),
                f"rod {length_text(tie_down['diameter_in'])}, plumb, {length_text(rod)} from the panel's end; nut "
                "tightened again before cover",
                ADDED_TEXT,
            ),
            Note(
                (rod + tie_down["diameter_in"] / 2, -thick - depth * 0.7),
                f"{anchor['name']}, report {anchor['report']}: {length_text(depth)} into sound concrete",
                ADDED_TEXT,
            ),
            Note((0.0, SHOWN_IN * 0.97), "panel end"),
        ]
        if anchor["minimum_edge_in"]:
            text = f"at least {length_text(anchor['minimum_edge_in'])} to each face and end of the concrete"
            notes.append(Note((rod, -thick - depth - 1.0), text))
        callouts(sheet, notes, x_in=PANEL_IN + sheet.pt(18))

    return svg.write_fitting(
        fill,
        title=title,
        paper_width_in=paper_width_in,
        paper_height_in=paper_height_in,
        zoom=section.ZOOM,
        largest=0.25,
    )
