"""Symbols for what is fastened to a wall, at one place of an elevation. Existing parts grey, added ones accent."""

from __future__ import annotations

from reports.drawings.sheet import (
    ACCENT,
    ADDED,
    EXISTING,
    PAPER,
    QUIET,
    Point,
    Sheet,
)


def draw_anchor(
    sheet: Sheet, at: Point, *, sill_in: float, new: bool, counted: bool, embedment_in: float | str | None
) -> None:
    """An anchor through the sill; `at` is on top of the sill. One that does not count is crossed out."""
    layer, colour = (ADDED, ACCENT) if new else (EXISTING, QUIET)
    depth = embedment_in if isinstance(embedment_in, int | float) else 4.0
    x, top = at
    washer, thick = max(1.5, sheet.pt(4.5)), max(0.25, sheet.pt(2))
    sheet.line(layer, (x, top + max(1.2, sheet.pt(5))), (x, top - sill_in - depth))
    sheet.rectangle(layer, (x - washer, top), (x + washer, top + thick), fill=colour if new else PAPER)
    if not counted:
        arm = sheet.pt(4)
        middle = top - sill_in / 2
        sheet.line(EXISTING, (x - arm, middle - arm), (x + arm, middle + arm))
        sheet.line(EXISTING, (x - arm, middle + arm), (x + arm, middle - arm))


def draw_side_connection(sheet: Sheet, at: Point, *, sill_in: float) -> None:
    """A plate from the sill's side down the concrete's face with an anchor in it; `at` is on top of the sill."""
    x, top = at
    half, down = max(1.5, sheet.pt(3.5)), sill_in + 6.0
    sheet.rectangle(ADDED, (x - half, top - down), (x + half, top), fill=PAPER)
    sheet.circle(ADDED, (x, top - sill_in - 3.0), max(0.4, sheet.pt(1.4)), fill=ACCENT)
    sheet.circle(ADDED, (x, top - sill_in / 2), max(0.2, sheet.pt(0.8)), fill=ACCENT)


def draw_strap(sheet: Sheet, x: float, *, plates_in: list[float]) -> None:
    """A strap on the side of the upper plate, across a joint or from a strut."""
    half, thick = max(6.0, sheet.pt(8)), plates_in[0] if plates_in else 1.5
    sheet.rectangle(ADDED, (x - half, -thick * 0.8), (x + half, -thick * 0.2), fill=PAPER)
    for side in (-0.6, 0.6):
        sheet.circle(ADDED, (x + side * half, -thick / 2), max(0.2, sheet.pt(0.8)), fill=ACCENT)


def draw_tie_down(sheet: Sheet, at: Point, *, post_x: float, footing_in: float) -> None:
    """A tie-down fastened to its end post, with the rod down into the concrete; `at` is the rod at the sill's top."""
    x, top = at
    left, right = sorted((x, post_x))
    width = max(right - left, sheet.pt(3))
    seat = top + 2.0
    sheet.line(ADDED, (x, seat + 3.0), (x, top - footing_in))
    sheet.polyline(ADDED, ((x - width, seat), (x + width, seat), (post_x, seat), (post_x, seat + 12.0)))


def draw_floor_connector(sheet: Sheet, x: float, *, kind: str, plates_in: float, rim_in: float) -> None:
    """What ties the rim or end joist to the plates, by kind."""
    if kind == "framing angle":
        half, up = max(2.0, sheet.pt(4)), min(3.0, rim_in)
        sheet.rectangle(ADDED, (x - half, -1.5), (x + half, up))
        sheet.line(ADDED, (x - half, 0.0), (x + half, 0.0))
        return
    if kind == "nail":
        arm = max(1.5, sheet.pt(4))
        sheet.line(ADDED, (x - arm, arm), (x + arm, -arm))
        return
    head = sheet.pt(3.2)
    base, tip = -plates_in, rim_in * 0.4
    sheet.line(ADDED, (x, base), (x, tip))
    sheet.polyline(ADDED, ((x - head, base - head), (x + head, base - head), (x, base)), closed=True, fill=ACCENT)


def draw_stitch_nails(sheet: Sheet, x: float, *, plates_in: list[float]) -> None:
    """One stitch nail through the lower plate into the upper one."""
    low = -sum(plates_in)
    sheet.line(ADDED, (x, low + 0.1), (x, low + sum(plates_in[:1]) + 1.2))
    sheet.circle(ADDED, (x, low), sheet.pt(1.0), fill=ACCENT)
