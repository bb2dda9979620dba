"""Connectors in the corner or on the face of joist and plates: framing angle inside, face plate outside, in section."""

from __future__ import annotations

from typing import Any, Literal

from reports.drawings import svg
from reports.drawings import wall_section as section
from reports.drawings.callouts import Note, callouts
from reports.drawings.sheet import ADDED, ADDED_TEXT, HIDDEN, TEXT, Sheet

LEG_IN, SHAPE = 3.0, "shape, holes and nails by its report: every hole filled"


def draw(
    *,
    framing: dict[str, Any],
    connector: dict[str, Any],
    side: Literal["inside", "outside"],
    title: str,
    paper_width_in: float,
    paper_height_in: float,
) -> svg.Svg:
    """The connector at the joist's foot: an angle on the plate inside, or a flat plate across the faces outside."""

    def fill(sheet: Sheet) -> None:
        low, inside = section.joist_foot(sheet, framing)
        own = _angle(sheet, framing, connector) if side == "inside" else _face_plate(sheet, framing, connector)
        notes = [own, *_finishes(sheet, framing, side, inside), *section.corner_notes(framing)]
        callouts(sheet, notes, x_in=inside + sheet.pt(18))
        section.corner_dimensions(sheet, framing, low)

    return svg.write_fitting(
        fill,
        title=title,
        paper_width_in=paper_width_in,
        paper_height_in=paper_height_in,
        zoom=section.ZOOM,
        largest=0.25,
    )


def _angle(sheet: Sheet, framing: dict[str, Any], connector: dict[str, Any]) -> Note:
    _, face = section.floor_at(framing)
    reach = min(max(framing["plate_width_in"] - face, 0.75), LEG_IN)
    sheet.polyline(ADDED, ((face, LEG_IN), (face, 0.0), (face + reach, 0.0)))
    for y in (0.8, 1.6, 2.4):
        section.nail(sheet, (face, y), (face - min(1.4, framing["rim_thickness_in"] * 0.9), y))
    for share in (0.4, 0.8):
        section.nail(sheet, (face + reach * share, 0.0), (face + reach * share, -1.4))
    return Note((face, LEG_IN * 0.9), f"{connector['name']}, report {connector['report']}; {SHAPE}", ADDED_TEXT)


def _face_plate(sheet: Sheet, framing: dict[str, Any], connector: dict[str, Any]) -> Note:
    face, _ = section.floor_at(framing)
    low = max(-LEG_IN, section.plates_base_in(framing))
    sheet.line(ADDED, (face, LEG_IN), (face, low))
    for y in (0.8, 1.6, 2.4, low * 0.3, low * 0.7):
        section.nail(sheet, (face, y), (face + 1.4, y))
    text = (
        f"{connector['name']} on the outside face, flush across joist and plates, report {connector['report']}; {SHAPE}"
    )
    return Note((face, LEG_IN * 0.9), text, ADDED_TEXT)


def _finishes(sheet: Sheet, framing: dict[str, Any], side: str, inside: float) -> list[Note]:
    """What is opened for the work and restored, and what stays."""
    if side == "inside" and framing["ceiling_finish"]:
        width = framing["plate_width_in"]
        sheet.rectangle(HIDDEN, (width, -0.75), (inside, 0.0))
        return [Note((width + 2.0, -0.4), f"{framing['ceiling_finish']}: opened and restored", TEXT)]
    finish = framing.get("outside_finish")
    if side == "outside" and finish and finish != "not observed":
        outer, _ = section.floor_at(framing)
        sheet.rectangle(HIDDEN, (outer - 0.75, -LEG_IN), (outer, LEG_IN))
        return [Note((outer - 0.4, -2.5), f"{finish}: opened and restored", TEXT)]
    return []
