"""The running dimensions of an elevation, all from the datum at the line's zero end, and its heights."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Literal

from reports.drawings import wall_line
from reports.drawings.elevation_view import FLOOR_IN, FOOTING_IN, STRUT_PT, View
from reports.drawings.running_dimensions import SIZE_PT, Mark, running_dimensions
from reports.drawings.sheet import (
    ADDED_TEXT,
    DIMENSION,
    INK,
    JOINT,
    QUIET_TEXT,
    TEXT,
    length_text,
    text_width_pt,
    wrapped,
)

HEADING_PT, HEADING_ROW_PT = 88.0, 8.6
NOTE_ROW_PT = 9.5


def draw_dimensions(view: View) -> None:
    """Running dimensions from the datum: connectors and panels above, anchors, studs and joints below; overall."""
    sheet = view.sheet
    y = _above(view, view.line["framing"]["rim_depth_in"] + FLOOR_IN + sheet.pt(10))
    base = view.lowest - FOOTING_IN
    y = _below(view, base - sheet.pt(10))
    if view.crew:
        y += sheet.pt(3)
    else:
        y = _segments(view, y - sheet.pt(6))
        y -= sheet.pt(12)
        # From points short of the rows' texts, so that no extension line runs through one.
        sheet.dimension((0.0, y + sheet.pt(9)), (view.width_in, y + sheet.pt(9)), y)
        y = _notes(view, y - sheet.pt(14))
    _datum(view)
    _heights(view)
    sheet.scale_bar((0.0, y - sheet.pt(20)), _window_text(view) if view.crew else "")


def _above(view: View, y: float) -> float:
    names, schedule, line = wall_line.connector_names(view.catalogue), view.schedule, view.line
    rows = [item for role in wall_line.PLATE_ROLES for item in wall_line.rows(schedule, role) if item["positions_in"]]
    marks = [Mark(station, ADDED_TEXT) for item in rows for station in item["positions_in"]]
    heading = _counted(names, rows)
    stitches = wall_line.positions_in(schedule, "stitch nails")
    if stitches and heading:
        heading += f"; {len(stitches)} stitch nails beside them, see detail"
    y = _row(view, y, marks, heading, way=1, revision=view.revision(*wall_line.PLATE_ROLES, "stitch nails"))
    if view.crew:
        return y
    edges = [panel[key] * 12 for panel in line["panels"] for key in ("from_ft", "to_ft")]
    joints = [joint for n in range(1, len(line["panels"]) + 1) for joint in wall_line.panel_joints_in(view.result, n)]
    found = wall_line.plate_joints_in(line, "upper") + wall_line.plate_joints_in(line, "lower")
    found += [opening[key] * 12 for opening in line["openings"] for key in ("from_ft", "to_ft")]
    marks = [Mark(s, bold=True) for s in edges] + [Mark(s) for s in joints] + [Mark(s, QUIET_TEXT) for s in found]
    words = [
        "panel ends (bold), panel joints on studs" if joints else "panel ends (bold)" if edges else "",
        "openings" if line["openings"] else "",
        "plate joints" if wall_line.plate_joints_in(line, "upper") + wall_line.plate_joints_in(line, "lower") else "",
    ]
    grey = " and ".join(filter(None, words[1:]))
    return _row(view, y, marks, "; ".join(filter(None, (words[0], f"{grey} (grey)" if grey else ""))), way=1)


def _below(view: View, y: float) -> float:
    names, schedule, line = wall_line.connector_names(view.catalogue), view.schedule, view.line
    new = [item for role in wall_line.SILL_ROLES for item in wall_line.rows(schedule, role)]
    tie_downs = wall_line.positions_in(schedule, "tie-downs")
    existing = line["existing_anchors"]
    marks = [Mark(anchor["at_ft"] * 12, QUIET_TEXT) for anchor in existing]
    marks += [Mark(s, ADDED_TEXT, bold=True) for item in new for s in item["positions_in"]]
    marks += [Mark(s, ADDED_TEXT) for s in tie_downs]
    crossed = sum(not anchor["accepted"] for anchor in existing)
    words = [
        f"new (bold): {_counted(names, new)}" if new else "",
        f"tie-down rods: {len(tie_downs)}" if tie_downs else "",
        f"existing (grey): {len(existing)}" + (f", {crossed} crossed out not counted" if crossed else "")
        if existing
        else "",
    ]
    revision = view.revision(*wall_line.SILL_ROLES, "tie-downs", "tie-down anchors")
    y = _row(view, y, marks, "; ".join(filter(None, words)), way=-1, revision=revision)
    if view.crew:
        return y
    joints = wall_line.sill_joints_in(line)
    marks = [Mark(s, QUIET_TEXT) for s in line["framing"]["stud_centrelines_in"]] + [Mark(s, bold=True) for s in joints]
    return _row(view, y, marks, "stud centrelines as measured" + ("; sill joints (bold)" if joints else ""), way=-1)


def _counted(names: dict[str, str], rows: Iterable[dict[str, Any]]) -> str:
    counts: dict[str, int] = {}
    for item in rows:
        name = names[item["connector"]]
        counts[name] = counts.get(name, 0) + item["count"]
    return "; ".join(f"{name}: {count}" for name, count in counts.items())


def _window_text(view: View) -> str:
    low, high = length_text(view.low_in), length_text(view.high_in)
    return f"existing in grey; shown: {low} to {high} of {length_text(wall_line.length_in(view.line))}"


def _row(
    view: View, y: float, marks: list[Mark], heading: str, *, way: Literal[1, -1], revision: int | None = None
) -> float:
    """One row of running dimensions with what it measures at its left; the y where the next row may start."""
    shown = [mark for mark in marks if view.shows(mark.station_in)]
    if not shown:
        return y
    sheet = view.sheet
    far = running_dimensions(sheet, shown, along=view.x, row_in=y, way=way, ends=(0.0, view.width_in))
    if revision:
        sheet.revision_mark((-sheet.pt(18), y + way * sheet.pt(8)), revision)
    if view.crew or not heading:
        return far + way * sheet.pt(5)
    rows = wrapped(_capital(heading), HEADING_PT, SIZE_PT)
    left = -sheet.pt(28 if revision else 14)
    start = len(rows) - 1 if way > 0 else 0
    for index, row in enumerate(rows):
        at = y + way * sheet.pt(5) + sheet.pt((start - index) * HEADING_ROW_PT)
        sheet.text((left, at), row, size_pt=SIZE_PT, anchor="end")
    tall = y + way * sheet.pt(len(rows) * HEADING_ROW_PT + 6)
    return (max(far, tall) if way > 0 else min(far, tall)) + way * sheet.pt(5)


def _segments(view: View, y: float) -> float:
    """Which kind of wall stands where, where it is not the same all along."""
    sheet, line = view.sheet, view.line
    segments = line["segments"]
    if len(segments) == 1 and segments[0].get("far_stud_height_ft") is None:
        return y
    lowest = y
    sheet.line(DIMENSION, (0.0, y), (view.width_in, y))
    for segment in segments:
        if (ends := view.stretch(segment["from_ft"], segment["to_ft"])) is None:
            continue
        for x in ends:
            sheet.line(DIMENSION, (x, y - sheet.pt(3)), (x, y + sheet.pt(3)))
        middle, room_pt = (ends[0] + ends[1]) / 2, (ends[1] - ends[0]) / sheet.pt(1) - 6
        rows = wrapped(_segment_words(segment), room_pt, SIZE_PT)
        if max(text_width_pt(row, SIZE_PT) for row in rows) > room_pt:
            text = _segment_words(segment)
            sheet.text((middle, y - sheet.pt(5)), text, size_pt=SIZE_PT, anchor="end", rotation_deg=90.0)
            lowest = min(lowest, y - sheet.pt(text_width_pt(text, SIZE_PT) + 5))
            continue
        for index, row in enumerate(rows):
            sheet.text((middle, y - sheet.pt(8 + index * HEADING_ROW_PT)), row, size_pt=SIZE_PT, anchor="middle")
        lowest = min(lowest, y - sheet.pt(8 + len(rows) * HEADING_ROW_PT))
    return lowest


def _segment_words(segment: dict[str, Any]) -> str:
    near, far = segment["stud_height_ft"] * 12, segment.get("far_stud_height_ft")
    if not near:
        return str(segment["kind"])
    words = f"{segment['kind']}, studs {length_text(near)}"
    return words if far is None else f"{words} to {length_text(far * 12)} at its far end"


def _notes(view: View, y: float) -> float:
    """Size and wood of the framing that everything is fastened to."""
    sheet, framing = view.sheet, view.line["framing"]
    plates = framing["plates_in"]

    def wood(member: str) -> str:
        return f" {framing[member]['species']}" if framing[member].get("species") else ""

    studs = f"studs {length_text(framing['stud_thickness_in'])} × {length_text(framing['stud_depth_in'])}"
    rim = f"{length_text(framing['rim_thickness_in'])} × {length_text(framing['rim_depth_in'])}"
    kind = "rim joist" if framing["joists"] == "perpendicular" else "end joist"
    parts = [
        f"sill {length_text(framing['sill_thickness_in'])} × {length_text(framing['sill_width_in'])}{wood('sill')}",
        f"{studs}{wood('studs')}",
        f"top plates {' + '.join(length_text(t) for t in plates)} × {length_text(framing['plate_width_in'])}"
        f"{wood('plates')}"
        if plates
        else "no top plates, joists on the sill",
        f"{kind} {rim}{wood('rim')}",
    ]
    text = "Framing as found: " + "; ".join(parts) + "."
    for row in wrapped(text, max(view.width_in / sheet.pt(1), 260.0)):
        sheet.text((0.0, y), row, layer=QUIET_TEXT)
        y -= sheet.pt(NOTE_ROW_PT)
    return y


def _datum(view: View) -> None:
    """The zero end with its name, and the name of the other end."""
    sheet, y = view.sheet, -wall_line.plates_height_in(view.line) / 2
    for strut in view.struts("zero"):
        y = min(y, -strut["depth_in"]) - sheet.pt(14)
    if view.shows(0.0):
        x, away = view.x(0.0), view.away("zero")
        tip = sheet.pt(5)
        sheet.polyline(
            JOINT, ((x, y), (x + away * tip, y + tip * 0.7), (x + away * tip, y - tip * 0.7)), closed=True, fill=INK
        )
        anchor: Literal["start", "end"] = "end" if away < 0 else "start"
        name = wall_line.zero_end_name(view.line)
        sheet.text((x + away * sheet.pt(8), y + sheet.pt(5)), "Datum 0", bold=True, anchor=anchor, layer=TEXT)
        sheet.text((x + away * sheet.pt(8), y - sheet.pt(5)), name, size_pt=6.5, anchor=anchor)


def _heights(view: View) -> None:
    """Studs, and sill bottom to top of upper plate, at the end away from the datum."""
    sheet, framing = view.sheet, view.line["framing"]
    far = view.high_in if view.shows(0.0) or view.low_in > 0 else view.low_in
    x, away = view.x(far), 1 if view.zero_left else -1
    low = view.bottom(min(max(far, 0.0), wall_line.length_in(view.line)))
    under, over = -wall_line.plates_height_in(view.line), low + framing["sill_thickness_in"]
    near = 20 if away > 0 else 12
    near += int(STRUT_PT) if view.struts("far" if far == view.high_in else "zero") else 0
    if not view.crew and under - over > 1.0:
        sheet.dimension((x, over), (x, under), x + away * sheet.pt(near), vertical=True)
        near += 17
    sheet.dimension((x, low), (x, 0.0), x + away * sheet.pt(near), vertical=True)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
