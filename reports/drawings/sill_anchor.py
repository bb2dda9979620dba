"""A new anchor through the sill in section: washer, embedment, distances to the edges of sill and concrete."""

from __future__ import annotations

from typing import Any

from engineering.connector_values import BLOCK_THICKNESS_IN
from engineering.footings import END_DIAMETERS, NEAR_END_IN
from engineering.plate_washers import EDGE_GAP_IN, SLOT_LONG_IN, SLOT_OVER_IN, THICKNESS_IN
from reports.drawings import svg
from reports.drawings import wall_section as section
from reports.drawings.callouts import Note, callouts
from reports.drawings.sheet import ACCENT, ADDED, ADDED_TEXT, PAPER, QUIET_TEXT, Sheet, length_text

WALL_SHOWN_IN, UNDER_IN = 9.0, 4.0


def draw(
    *,
    framing: dict[str, Any],
    foundation: dict[str, Any],
    anchor: dict[str, Any],
    axis_in: float,
    washer_in: float,
    panel_thickness_in: float,
    block: bool,
    flush_cut: bool,
    title: str,
    paper_width_in: float,
    paper_height_in: float,
) -> svg.Svg:
    """`axis_in`: where the anchor stands across the sill, from its outer face; `washer_in`: side of its plate washer.

    `block`: flat blocks on a wide sill take the panel's bottom nails; `flush_cut`: the sill is cut to the studs.
    """

    def fill(sheet: Sheet) -> None:
        thick, half = framing["sill_thickness_in"], anchor["diameter_in"] / 2
        sill = framing["stud_depth_in"] if flush_cut else framing["sill_width_in"]
        depth = anchor["embedment_in"] or 0.0
        outer, inner = section.concrete_faces(framing, foundation)
        low = -thick - depth - UNDER_IN
        section.concrete(sheet, outer, inner, -thick, depth + UNDER_IN)
        section.cut(sheet, (0.0, -thick), (sill, 0.0))
        if framing["plates_in"]:
            section.stud(sheet, framing, 0.0, WALL_SHOWN_IN, broken=WALL_SHOWN_IN)
            if block:
                section.cut(sheet, (0.0, 0.0), (framing["stud_depth_in"], BLOCK_THICKNESS_IN), new=True, block=True)
            bottom = 0.0 if block else -thick
            section.panel(sheet, framing, panel_thickness_in, bottom, WALL_SHOWN_IN)
        sheet.rectangle(ADDED, (axis_in - half, -thick - depth), (axis_in + half, 1.4), fill=PAPER)
        plate = ((axis_in - washer_in / 2, 0.0), (axis_in + washer_in / 2, THICKNESS_IN))
        sheet.rectangle(ADDED, *plate, fill=ACCENT)
        nut = ((axis_in - 1.7 * half, THICKNESS_IN), (axis_in + 1.7 * half, THICKNESS_IN + 2 * half))
        sheet.rectangle(ADDED, *nut, fill=PAPER)
        sheet.line(section.CENTRE, (axis_in, low), (axis_in, 2.2))
        _dimensions(sheet, outer, inner, low, sill, depth)
        _notes(sheet, max(inner, sill), low, sill, outer, inner)

    def _dimensions(sheet: Sheet, outer: float, inner: float, low: float, sill: float, depth: float) -> None:
        tier, thick = sheet.pt(20), framing["sill_thickness_in"]
        left = min(outer, 0.0) - sheet.pt(18)
        if depth:
            sheet.dimension((outer, -thick - depth), (outer, -thick), left, vertical=True)
        sheet.dimension((0.0, -thick), (0.0, 0.0), left, vertical=True)
        sheet.dimension((0.0, WALL_SHOWN_IN), (axis_in, WALL_SHOWN_IN), WALL_SHOWN_IN + tier)
        sheet.dimension((0.0, WALL_SHOWN_IN), (sill, WALL_SHOWN_IN), WALL_SHOWN_IN + 2 * tier)
        sheet.dimension((outer, low), (axis_in, low), low - tier)
        if isinstance(foundation.get("width_in"), int | float):
            sheet.dimension((outer, low), (inner, low), low - 2 * tier)
        sheet.scale_bar((min(outer, 0.0), low - sheet.pt(78)))

    def _notes(sheet: Sheet, right: float, low: float, sill: float, outer: float, inner: float) -> None:
        thick, depth = framing["sill_thickness_in"], anchor["embedment_in"] or 0.0
        size = f"{length_text(thick)} × {length_text(framing['sill_width_in'])}"
        notes = [
            Note(
                (axis_in + washer_in / 2, THICKNESS_IN / 2),
                f"plate washer {washer_in:g} × {washer_in:g} × {THICKNESS_IN:g} in between nut and sill, its edge "
                f"within {length_text(EDGE_GAP_IN)} of the sheathed side; a slot at most {length_text(SLOT_OVER_IN)} "
                f"wider than the bolt and {length_text(SLOT_LONG_IN)} long, under a round washer; nut snug",
                ADDED_TEXT,
            ),
            Note(
                (axis_in + anchor["diameter_in"] / 2, -thick - depth * 0.6),
                f"{anchor['name']}, report {anchor['report']}: {length_text(depth)} into sound concrete",
                ADDED_TEXT,
            ),
            Note(
                (sill, -thick * 0.6), f"sill {size}" + (", cut flush with the studs" if flush_cut else ""), QUIET_TEXT
            ),
            Note((inner, low + 1.5), _concrete(), QUIET_TEXT),
        ]
        end = length_text(END_DIAMETERS * anchor["diameter_in"])
        text = f"the anchors next to the ends of a sill piece {end} to {length_text(NEAR_END_IN)} from them"
        notes.append(Note((axis_in, -thick / 2), text))
        if anchor["minimum_edge_in"]:
            text = f"at least {length_text(anchor['minimum_edge_in'])} to each face of the concrete"
            notes.append(Note((axis_in, -thick - depth - 1.2), text))
        if framing["plates_in"]:
            at = (framing["stud_depth_in"] + panel_thickness_in, WALL_SHOWN_IN * 0.8)
            notes.append(Note(at, "shear panel"))
        if block:
            text = "flat block on the sill, two pieces beside the anchor"
            notes.append(Note((framing["stud_depth_in"], 1.2), text, ADDED_TEXT))
        callouts(sheet, notes, x_in=right + sheet.pt(18))

    def _concrete() -> str:
        edge, width = framing.get("sill_edge_in"), foundation.get("width_in")
        unseen = [] if isinstance(edge, int | float) else ["the sill's distance from its face"]
        unseen += [] if isinstance(width, int | float) else ["its width"]
        said = f"; {' and '.join(unseen)} not observed: measure first" if unseen else ""
        return f"existing foundation{said}"

    return svg.write_fitting(
        fill,
        title=title,
        paper_width_in=paper_width_in,
        paper_height_in=paper_height_in,
        zoom=section.ZOOM,
        largest=0.25,
    )
