"""One wall line as an elevation: what stands, what is added, and where, measured from one datum.

Seen from outside for the permit set, from inside for the crew. Order: ground, framing, openings, panels, anchors,
connectors, dimensions. The finish over the framing is left away.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from reports.drawings import svg, wall_line
from reports.drawings.elevation_added import draw_anchors, draw_connectors, draw_panels
from reports.drawings.elevation_dimensions import draw_dimensions
from reports.drawings.elevation_view import FLOOR_IN, FOOTING_IN, STRUT_PT, View
from reports.drawings.sheet import (
    DIMENSION,
    EXISTING,
    GROUND,
    HIDDEN,
    JOINT,
    PAPER,
    QUIET_TEXT,
    Point,
    Sheet,
    length_text,
    text_width_pt,
    wrapped,
)
from reports.drawings.wall_line import Viewpoint

LARGEST_SCALE = 1 / 8  # larger, a short wall fills its sheet without showing more
NEAR_IN = 0.05
WORD_PT, ROW_PT = 7.0, 9.0


def draw(
    line: dict[str, Any],
    *,
    catalogue: dict[str, Any],
    outline_ft: list[list[float]],
    seen_from: Viewpoint,
    paper_width_in: float,
    paper_height_in: float = 7.0,
    schedule: dict[str, Any] | None = None,
    result: dict[str, Any] | None = None,
    window_in: tuple[float, float] | None = None,
    crew: bool = False,
    revisions: dict[str, int] | None = None,
    zoom: float = 1.0,
) -> svg.Svg:
    """The elevation as SVG at the largest architect's scale that fits the paper.

    `schedule` and `result` are the line's own, absent before a design exists. `window_in` cuts a stretch of the line;
    `crew` leaves out the rows of panels and studs, which a work order lists. `revisions` gives the number of the
    revision that last changed a role of the schedule. ValueError when no scale fits.
    """
    low, high = window_in or (0.0, wall_line.length_in(line))
    zero_left = wall_line.zero_is_left(line, outline_ft, seen_from)

    def fill(sheet: Sheet) -> None:
        view = View(
            sheet=sheet,
            line=line,
            schedule=schedule,
            result=result,
            catalogue=catalogue,
            low_in=low,
            high_in=high,
            zero_left=zero_left,
            crew=crew,
            revisions=revisions or {},
        )
        _ground(view)
        _framing(view)
        _struts(view)
        _openings(view)
        draw_panels(view)
        draw_anchors(view)
        draw_connectors(view)
        _opening_words(view)
        _joints(view)
        draw_dimensions(view)

    return svg.write_fitting(
        fill,
        title=f"Wall line {line['label']}, {wall_line.facing(line, outline_ft)} side, seen from {seen_from}",
        paper_width_in=paper_width_in,
        paper_height_in=paper_height_in,
        zoom=zoom,
        largest=LARGEST_SCALE,
    )


def _ground(view: View) -> None:
    """Concrete under the sill, stepping and sloping with the segments, and where the drawing is cut off."""
    sheet, base = view.sheet, view.lowest - FOOTING_IN
    for segment in view.line["segments"]:
        if (ends := view.stretch(segment["from_ft"], segment["to_ft"])) is None:
            continue
        left, right = ((x, view.bottom(view.station(x), segment)) for x in ends)
        sheet.hatch(((ends[0], base), (ends[1], base), right, left), spacing_pt=9.0)
        sheet.line(GROUND, left, right)
    for one, following in zip(view.line["segments"], view.line["segments"][1:], strict=False):
        step = following["from_ft"] * 12
        tops = view.bottom(step, one), view.bottom(step, following)
        if view.shows(step) and abs(tops[0] - tops[1]) > NEAR_IN:
            sheet.line(GROUND, (view.x(step), tops[0]), (view.x(step), tops[1]))
    for x in (0.0, view.width_in):
        if view.is_line_end(x):
            sheet.line(GROUND, (x, base), (x, view.bottom(view.station(x))))
        else:
            _break_line(view, x, base)
    _break_along(view, base)


def _break_line(view: View, x: float, base: float) -> None:
    top, step = view.line["framing"]["rim_depth_in"] + view.sheet.pt(6), view.sheet.pt(4)
    middle = (base + top) / 2
    points = (
        (x, base),
        (x, middle - step),
        (x - step, middle - step / 3),
        (x + step, middle + step / 3),
        (x, middle + step),
        (x, top),
    )
    view.sheet.polyline(DIMENSION, points)


def _break_along(view: View, base: float) -> None:
    width, step = view.width_in, view.sheet.pt(4)
    middle = width / 2
    points = (
        (0.0, base),
        (middle - step, base),
        (middle - step / 3, base - step),
        (middle + step / 3, base + step),
        (middle + step, base),
        (width, base),
    )
    view.sheet.polyline(DIMENSION, points)


def _framing(view: View) -> None:
    """Sill pieces, studs as measured, plates, rim or end joist, floor."""
    sheet, framing = view.sheet, view.line["framing"]
    half, plates = framing["stud_thickness_in"] / 2, wall_line.plates_height_in(view.line)
    thick = framing["sill_thickness_in"]
    panels = [(panel["from_ft"] * 12, panel["to_ft"] * 12) for panel in view.line["panels"]]
    for segment in view.line["segments"]:
        for piece in view.line["sill_pieces"]:
            low, high = max(piece["from_ft"], segment["from_ft"]), min(piece["to_ft"], segment["to_ft"])
            if low < high and (ends := view.stretch(low, high)):
                left, right = ((x, view.bottom(view.station(x), segment)) for x in ends)
                top = ((right[0], right[1] + thick), (left[0], left[1] + thick))
                sheet.polyline(EXISTING, (left, right, *top), closed=True, fill=PAPER)
    for station in framing["stud_centrelines_in"]:
        if not view.shows(station):
            continue
        low, x = view.bottom(station) + thick, view.x(station)
        if low >= -plates - 0.01:
            continue  # joists bear on the sill: no studs here
        if any(start < station < end for start, end in panels):
            for edge in (x - half, x + half):
                sheet.line(HIDDEN, (edge, low), (edge, -plates))
        else:
            sheet.rectangle(EXISTING, (x - half, low), (x + half, -plates), fill=PAPER)
    ends = view.stretch(0.0, wall_line.length_in(view.line) / 12)
    if ends is None:
        return
    level = -plates
    for thickness in framing["plates_in"]:
        sheet.rectangle(EXISTING, (ends[0], level), (ends[1], level + thickness), fill=PAPER)
        level += thickness
    depth = framing["rim_depth_in"]
    sheet.rectangle(EXISTING, (ends[0], 0.0), (ends[1], depth), fill=PAPER)
    sheet.line(GROUND, (ends[0], depth + FLOOR_IN), (ends[1], depth + FLOOR_IN))


def _struts(view: View) -> None:
    """Members in line with the top plates beyond the wall's ends, cut off."""
    sheet, length_in = view.sheet, wall_line.length_in(view.line)
    for strut in view.line.get("struts", ()):
        station = 0.0 if strut["end"] == "zero" else length_in
        if not view.shows(station):
            continue
        x, away = view.x(station), view.away(strut["end"])
        end = x + away * min(strut["length_ft"] * 12, sheet.pt(STRUT_PT))
        low, high, step = -strut["depth_in"], 0.0, sheet.pt(3)
        middle = (low + high) / 2
        sheet.line(EXISTING, (x, low), (end, low))
        sheet.line(EXISTING, (x, high), (end, high))
        sheet.polyline(DIMENSION, ((end, low), (end, middle - step), (end + step, middle), (end, high)))
        words = f"strut {length_text(strut['length_ft'] * 12)}"
        at = (x + away * sheet.pt(3), high + sheet.pt(6))
        view.labels.place([at], words, layer=QUIET_TEXT, size_pt=6.5, anchor="end" if away < 0 else "start")


def _openings(view: View) -> None:
    for _, (left, right), top in _opening_places(view):
        upper = (right[0], top), (left[0], top)
        view.sheet.polyline(EXISTING, (left, right, *upper), closed=True, fill=PAPER)
        view.sheet.line(EXISTING, left, upper[0])
        view.sheet.line(EXISTING, upper[1], right)


def _opening_places(view: View) -> Iterator[tuple[str, tuple[Point, Point], float]]:
    """Each opening's name, its lower corners and its top: from sill to plates, for its height is not surveyed."""
    top, thick = -wall_line.plates_height_in(view.line), view.line["framing"]["sill_thickness_in"]
    for opening in view.line["openings"]:
        if ends := view.stretch(opening["from_ft"], opening["to_ft"]):
            left, right = ((x, min(view.bottom(view.station(x)) + thick, top - NEAR_IN)) for x in ends)
            yield opening["label"] or "opening", (left, right), top


def _opening_words(view: View) -> None:
    """The openings' names, in rows or upright as they fit, else across where the wall is free."""
    sheet = view.sheet
    more: dict[str, Any] = {"layer": QUIET_TEXT, "size_pt": WORD_PT, "anchor": "middle", "halo": True}
    panels = [view.stretch(panel["from_ft"], panel["to_ft"]) for panel in view.line["panels"]]
    for label, (left, right), top in _opening_places(view):
        middle = ((left[0] + right[0]) / 2, ((left[1] + right[1]) / 2 + top) / 2)
        wide_pt, tall_pt = (value / sheet.pt(1) - 4 for value in (right[0] - left[0], top - max(left[1], right[1])))
        rows, long_pt = wrapped(label, wide_pt, WORD_PT), text_width_pt(label, WORD_PT)
        if max(text_width_pt(row, WORD_PT) for row in rows) <= wide_pt and len(rows) * ROW_PT <= tall_pt:
            for index, row in enumerate(rows):
                at = (middle[0], middle[1] + sheet.pt(((len(rows) - 1) / 2 - index) * ROW_PT))
                view.labels.place([at], row, **more)
        elif long_pt <= tall_pt and wide_pt >= ROW_PT:
            view.labels.place([middle], label, rotation_deg=90.0, **more)
        elif tall_pt >= ROW_PT:
            half = sheet.pt(long_pt / 2 + 2)
            x = min(max(middle[0], half), view.width_in - half)
            if not any(ends and ends[0] < x + half and x - half < ends[1] for ends in panels):
                view.labels.place([(x, middle[1] + sheet.pt(up)) for up in (0, 10, -10)], label, needed=False, **more)


def _joints(view: View) -> None:
    """Joints of the top plates and of the sill, and where nobody could see the plates."""
    line, sheet, plates = view.line, view.sheet, view.line["framing"]["plates_in"]
    under, thick = -wall_line.plates_height_in(line), line["framing"]["sill_thickness_in"]
    for span in line.get("plates_unseen", ()):
        if ends := view.stretch(span["from_ft"], span["to_ft"]):
            sheet.rectangle(HIDDEN, (ends[0], under), (ends[1], 0.0))
            view.callout(((ends[0] + ends[1]) / 2, under), "plates not seen here", up=False, layer=QUIET_TEXT)
    for station in wall_line.plate_joints_in(line, "upper") if plates else ():
        if view.shows(station):
            x = view.x(station)
            sheet.line(JOINT, (x, -plates[-1]), (x, 0.0))
            view.callout((x, -plates[-1]), "joint, upper plate", up=False, layer=QUIET_TEXT)
    for station in wall_line.plate_joints_in(line, "lower") if len(plates) > 1 else ():
        if view.shows(station):
            x = view.x(station)
            sheet.line(JOINT, (x, under), (x, -plates[-1]))
            view.callout((x, under), "joint, lower plate", up=False, layer=QUIET_TEXT)
    for station in wall_line.sill_joints_in(line):
        if view.shows(station):
            x, low = view.x(station), view.bottom(station)
            sheet.line(JOINT, (x, low), (x, low + thick))
            view.callout((x, low + thick), "sill joint", up=True, layer=QUIET_TEXT)
