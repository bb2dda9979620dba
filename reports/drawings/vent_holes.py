"""Holes in a panel that closes stud bays, so that air and inspectors get in: a bay without and one with an anchor."""

from __future__ import annotations

from typing import Any

from reports.drawings import svg
from reports.drawings import wall_section as section
from reports.drawings.callouts import Note, callouts
from reports.drawings.sheet import ACCENT, ADDED, ADDED_TEXT, HIDDEN, NEW, PAPER, QUIET_TEXT, Sheet, length_text

HOLE_IN = (2.0, 3.0)
DRAWN_IN = 2.5
CLEAR_IN = 1.0  # to sill and plates, and to the nailing edge
LOW_STUD_IN = 18.0  # under it one hole is enough


def needed(stud_height_in: float) -> int:
    """How many holes a closed bay takes."""
    return 1 if stud_height_in < LOW_STUD_IN else 2


def draw(
    *,
    holes: int,
    bays: list[dict[str, Any]],
    stud_height_in: float,
    stud_thickness_in: float,
    plates_in: float,
    sill_in: float,
    title: str,
    paper_width_in: float,
    paper_height_in: float,
) -> svg.Svg:
    """Bays side by side with their holes, seen from inside: `length_in` from stud to stud, `anchor_in` from the first.

    `plates_in`, `sill_in`: how much of plates and sill the panel covers.
    """

    def fill(sheet: Sheet) -> None:
        notes: list[Note] = []
        x = 0.0
        for bay in bays:
            notes = _bay(sheet, x, bay, holes, stud_height_in, stud_thickness_in, plates_in, sill_in)
            x += bay["length_in"]
        end = x + stud_thickness_in / 2
        sheet.rectangle(NEW, (-stud_thickness_in / 2, -stud_height_in - sill_in), (end, plates_in))
        left = -stud_thickness_in / 2 - sheet.pt(18)
        sheet.dimension((0, -stud_height_in), (0, 0), left - sheet.pt(20), vertical=True)
        radius, clear = DRAWN_IN / 2, CLEAR_IN
        lowest = (bays[0]["length_in"] / 2, -stud_height_in)
        sheet.dimension(lowest, (lowest[0], lowest[1] + clear), left, vertical=True, text=f"{length_text(clear)} min")
        if holes > 1:
            top = (bays[0]["length_in"] / 2, -clear)
            sheet.dimension(top, (top[0], 0), left, vertical=True, text=f"{length_text(clear)} min")
        notes += [
            Note(
                (x - bays[-1]["length_in"] / 2 + radius, -stud_height_in + clear + radius),
                f"round hole {length_text(HOLE_IN[0])} to {length_text(HOLE_IN[1])}, near mid-bay, at least "
                f"{length_text(clear)} clear of sill and plates; {_how_many(holes)}",
                ADDED_TEXT,
            ),
            Note((end, -stud_height_in / 2), "panel", layer=ADDED_TEXT),
            Note((x, -stud_height_in * 0.35), "stud as measured", QUIET_TEXT),
        ]
        callouts(sheet, notes, x_in=end + sheet.pt(18))
        sheet.scale_bar((0, -stud_height_in - sill_in - sheet.pt(56)))

    return svg.write_fitting(
        fill, title=title, paper_width_in=paper_width_in, paper_height_in=paper_height_in, zoom=section.ZOOM
    )


def _how_many(holes: int) -> str:
    if holes == 1:
        return f"one in each closed bay, the studs are under {length_text(LOW_STUD_IN)}"
    return "one at top and one at bottom of each closed bay"


def _bay(
    sheet: Sheet,
    x: float,
    bay: dict[str, Any],
    holes: int,
    stud_height_in: float,
    stud_thickness_in: float,
    plates_in: float,
    sill_in: float,
) -> list[Note]:
    """One bay with its holes; the lower one is centred on an anchor that stands in the bay."""
    half, radius = stud_thickness_in / 2, DRAWN_IN / 2
    low, end = -stud_height_in, x + bay["length_in"]
    for stud in (x, end):
        sheet.rectangle(HIDDEN, (stud - half, low), (stud + half, 0))
    sheet.line(HIDDEN, (x, 0), (end, 0))
    sheet.line(HIDDEN, (x, low), (end, low))
    anchor = bay["anchor_in"]
    centre = x + (bay["length_in"] / 2 if anchor is None else anchor)
    notes = []
    if anchor is not None:
        rod = ((centre - 0.25, low - sill_in - 2.0), (centre + 0.25, low + 1.2))
        sheet.rectangle(HIDDEN, *rod)
        text = f"in a bay with an anchor centred on it, at least {length_text(CLEAR_IN)} clear of the nails at the edge"
        notes.append(Note((centre, low + CLEAR_IN), text, ADDED_TEXT))
    sheet.circle(ADDED, (centre, low + CLEAR_IN + radius), radius, fill=PAPER)
    sheet.circle(ADDED, (centre, low + CLEAR_IN + radius), sheet.pt(0.8), fill=ACCENT)
    if holes > 1:
        middle = x + bay["length_in"] / 2
        sheet.circle(ADDED, (middle, -CLEAR_IN - radius), radius, fill=PAPER)
        sheet.circle(ADDED, (middle, -CLEAR_IN - radius), sheet.pt(0.8), fill=ACCENT)
    sheet.dimension((x, plates_in), (end, plates_in), plates_in + sheet.pt(16))
    sheet.dimension((x, low - sill_in), (centre, low - sill_in), low - sill_in - sheet.pt(20))
    return notes
