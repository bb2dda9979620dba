"""Ways from floor to plate by fasteners and wood alone: lag screw from below, toenails, new blocking. In section."""

from __future__ import annotations

from typing import Any, Literal

from engineering.blocking import BLOCK_IN
from reports.drawings import svg
from reports.drawings import wall_section as section
from reports.drawings.callouts import Note, callouts
from reports.drawings.sheet import ADDED, ADDED_TEXT, HIDDEN, PAPER, TEXT, Sheet, length_text

Way = Literal["lag screw", "toenail", "blocking"]


def draw(
    *,
    framing: dict[str, Any],
    way: Way,
    fastener: dict[str, Any],
    how: str,
    title: str,
    paper_width_in: float,
    paper_height_in: float,
) -> svg.Svg:
    """`fastener`: its catalogue record; `how`: what the schedule says of its number and place."""

    def fill(sheet: Sheet) -> None:
        low, inside = section.joist_foot(sheet, framing)
        notes = {"lag screw": _lag, "toenail": _toenail, "blocking": _blocking}[way](sheet, framing, fastener, how)
        if framing["ceiling_finish"] and way != "lag screw":
            sheet.rectangle(HIDDEN, (framing["plate_width_in"], -0.75), (inside, 0.0))
            at = (framing["plate_width_in"] + 2.0, -0.4)
            notes.append(Note(at, f"{framing['ceiling_finish']}: opened and restored", TEXT))
        callouts(sheet, [*notes, *section.corner_notes(framing)], x_in=inside + sheet.pt(18))
        section.corner_dimensions(sheet, framing, low)

    return svg.write_fitting(
        fill,
        title=title,
        paper_width_in=paper_width_in,
        paper_height_in=paper_height_in,
        zoom=section.ZOOM,
        largest=0.25,
    )


def _lag(sheet: Sheet, framing: dict[str, Any], lag: dict[str, Any], how: str) -> list[Note]:
    """Up through the plates into the joist's middle, a washer under the head."""
    outer, inner = section.floor_at(framing)
    base, x, half = section.plates_base_in(framing), (outer + inner) / 2, lag["diameter_in"] / 2
    tip = base + lag["length_in"] - lag["washer_in"]
    root = lag["root_diameter_in"] / 2
    thread = tip - lag["thread_in"]
    body = ((x - half, base), (x - half, thread), (x - root, thread), (x - root, tip - lag["tip_in"]), (x, tip))
    mirrored = tuple((2 * x - u, v) for u, v in reversed(body))
    sheet.polyline(ADDED, (*body, *mirrored), closed=True, fill=PAPER)
    sheet.rectangle(ADDED, (x - 2.2 * half, base - max(lag["washer_in"], 0.06)), (x + 2.2 * half, base), fill=PAPER)
    sheet.dimension((inner, 0.0), (inner, tip), inner + sheet.pt(26), vertical=True)
    text = f"{lag['name']} in the joist's middle, lead holes for shank and thread, washer under the head; {how}"
    return [Note((x + half, base * 0.4), text, ADDED_TEXT)]


def _toenail(sheet: Sheet, framing: dict[str, Any], nail: dict[str, Any], how: str) -> list[Note]:
    """Started a third of its length up the joist's inner face, 30° from it."""
    _, inner = section.floor_at(framing)
    up = nail["length_in"] / 3
    section.nail(sheet, (inner, up), (inner - nail["length_in"] * 0.5, up - nail["length_in"] * 0.866))
    sheet.dimension((inner, 0.0), (inner, up), inner + sheet.pt(26), vertical=True)
    text = f"{nail['name']}, toenailed: started one third of its length up, 30° from the joist's face; {how}"
    return [Note((inner, up), text, ADDED_TEXT)]


def _blocking(sheet: Sheet, framing: dict[str, Any], nail: dict[str, Any], how: str) -> list[Note]:
    """A nailing block beside what stands on the plates; where nothing stands there, a new block of the full depth."""
    outer, inner = section.floor_at(framing)
    depth, size = framing["rim_depth_in"], BLOCK_IN
    notes = []
    nothing = framing.get("floor_edge") == "nothing"
    if nothing:
        outer, inner = 0.0, 1.5
        section.cut(sheet, (outer, 0.0), (inner, depth), new=True, block=True)
        text = f"new block between the joists, {length_text(depth)} deep, cut to fit; floor sheathing nailed to it"
        notes.append(Note((inner, depth * 0.75), text, ADDED_TEXT))
    section.cut(sheet, (inner, 0.0), (inner + size, size), new=True, block=True)
    section.nail(sheet, (inner + size / 2, size), (inner + size / 2, size - nail["length_in"]))
    section.nail(sheet, (inner + size, size * 0.45), (inner + size - nail["length_in"], size * 0.45))
    sheet.dimension((inner, 0.0), (inner + size, 0.0), size + sheet.pt(30))
    text = f"nailing block {length_text(size)} × {length_text(size)}, {nail['name']}: {how}"
    notes.append(Note((inner + size, size * 0.8), text, ADDED_TEXT))
    return notes
