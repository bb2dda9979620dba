"""A side connection in section: plate on sill and concrete face, where no anchor can be drilled from above."""

from __future__ import annotations

from typing import Any

from reports.drawings import svg
from reports.drawings import wall_section as section
from reports.drawings.callouts import Note, callouts
from reports.drawings.sheet import ADDED, ADDED_TEXT, EXISTING, PAPER, QUIET_TEXT, Sheet, length_text

WALL_SHOWN_IN, CONCRETE_IN, PLATE_IN = 6.0, 12.0, 0.25
ANCHOR_DOWN_IN, FOOT_IN = 5.0, 2.0  # drawn where the report says nothing


def draw(
    *,
    framing: dict[str, Any],
    foundation: dict[str, Any],
    connector: dict[str, Any],
    title: str,
    paper_width_in: float,
    paper_height_in: float,
) -> svg.Svg:
    """The inner face of sill and concrete, with the set-back between them as measured."""

    def fill(sheet: Sheet) -> None:
        thick, sill = framing["sill_thickness_in"], framing["sill_width_in"]
        back = framing.get("side_set_back_in")
        outer, inner = section.concrete_faces(framing, foundation)
        inner = sill + (back if isinstance(back, int | float) else 0.0)
        section.concrete(sheet, outer, inner, -thick, CONCRETE_IN)
        section.cut(sheet, (0.0, -thick), (sill, 0.0))
        if framing["plates_in"]:
            section.stud(sheet, framing, 0.0, WALL_SHOWN_IN, broken=WALL_SHOWN_IN)
        else:
            sheet.rectangle(EXISTING, (0.0, 0.0), (sill + 6.0, framing["rim_depth_in"]), fill=PAPER)
            section.break_line(sheet, (sill + 6.0, 0.0), (sill + 6.0, framing["rim_depth_in"]))
        down = max(ANCHOR_DOWN_IN, connector["minimum_edge_in"] or 0.0)
        depth, half = connector["embedment_in"] or 0.0, connector["diameter_in"] / 2
        face, level = max(inner, sill), -thick - down
        plate = ((face, level - FOOT_IN), (face, 0.0), (face + PLATE_IN, 0.0), (face + PLATE_IN, level - FOOT_IN))
        sheet.polyline(ADDED, plate, closed=True, fill=PAPER)
        sheet.rectangle(ADDED, (inner - depth, level - half), (face + PLATE_IN, level + half), fill=PAPER)
        nut = ((face + PLATE_IN, level - 1.7 * half), (face + PLATE_IN + 2 * half, level + 1.7 * half))
        sheet.rectangle(ADDED, *nut, fill=PAPER)
        for share in (0.35, 0.7):
            section.nail(sheet, (face + PLATE_IN, -thick * share), (sill - 2.0, -thick * share))
        _dimensions(sheet, outer, inner, level, depth)
        _notes(sheet, face, level, inner)

    def _dimensions(sheet: Sheet, outer: float, inner: float, level: float, depth: float) -> None:
        tier, thick, sill = sheet.pt(20), framing["sill_thickness_in"], framing["sill_width_in"]
        left = min(outer, 0.0) - sheet.pt(18)
        sheet.dimension((0.0, -thick), (0.0, 0.0), left, vertical=True)
        top = WALL_SHOWN_IN if framing["plates_in"] else framing["rim_depth_in"]
        sheet.dimension((0.0, top), (sill, top), top + tier)
        low = -thick - CONCRETE_IN
        if depth:
            sheet.dimension((inner - depth, level), (inner, level), low - tier)
        if abs(inner - sill) > 1e-6:
            sheet.dimension((min(sill, inner), low), (max(sill, inner), low), low - 2 * tier)
        sheet.scale_bar((min(outer, 0.0), low - sheet.pt(80)))

    def _notes(sheet: Sheet, face: float, level: float, inner: float) -> None:
        thick, depth = framing["sill_thickness_in"], connector["embedment_in"]
        into = f", {length_text(depth)} into sound concrete" if depth else ""
        bonded = "; bonded in a horizontal hole: continuous special inspection" if connector["adhesive"] else ""
        gap = connector.get("maximum_gap_in")
        back = framing.get("side_set_back_in")
        unseen = "" if isinstance(back, int | float) else "; its set-back from the sill not observed: measure first"
        allowed = f"gap at most {length_text(gap)}" if gap else "no gap"
        notes = [
            Note(
                (face + PLATE_IN, -thick - 1.5),
                f"{connector['name']}, report {connector['report']}; shape and screws by its report, plate tight to "
                f"sill and concrete, {allowed}",
                ADDED_TEXT,
            ),
            Note(
                (face + PLATE_IN + connector["diameter_in"], level),
                f"anchor {length_text(connector['diameter_in'])}{into}{bonded}",
                ADDED_TEXT,
            ),
            Note((face + PLATE_IN, -thick * 0.35), "every screw into the sill", ADDED_TEXT),
            Note(
                (inner, level - FOOT_IN - 2.5),
                f"existing foundation, face {foundation.get('face')}{unseen}",
                QUIET_TEXT,
            ),
        ]
        if connector["minimum_edge_in"]:
            text = f"at least {length_text(connector['minimum_edge_in'])} from the top of the concrete"
            notes.append(Note((inner - (depth or 1.0) * 0.5, level + connector["diameter_in"] / 2), text))
        callouts(sheet, notes, x_in=max(face, framing["sill_width_in"]) + 1.5 + sheet.pt(18))

    return svg.write_fitting(
        fill,
        title=title,
        paper_width_in=paper_width_in,
        paper_height_in=paper_height_in,
        zoom=section.ZOOM,
        largest=0.25,
    )
