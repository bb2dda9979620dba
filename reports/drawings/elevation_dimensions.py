"""The running dimensions of an elevation, all from the datum at the line's zero end."""

from __future__ import annotations

from reports.drawings import wall_line
from reports.drawings.elevation_view import FLOOR_IN, FOOTING_IN, View
from reports.drawings.running_dimensions import Mark, running_dimensions
from reports.drawings.sheet import ADDED_TEXT, INK, JOINT, QUIET_TEXT, length_text


def draw_dimensions(view: View, *, crew: bool) -> None:
    """Running dimensions from the datum: connectors above, panels, then anchors and studs below; overall length."""
    sheet, names = view.sheet, wall_line.connector_names(view.catalogue)
    y = view.line["framing"]["rim_depth_in"] + FLOOR_IN + sheet.pt(10)
    rows = [
        item for role in wall_line.PLATE_ROLES for item in wall_line.rows(view.schedule, role) if item["positions_in"]
    ]
    marks = [Mark(station, ADDED_TEXT) for station in sorted(s for item in rows for s in item["positions_in"])]
    counts = {name: sum(i["count"] for i in rows if names[i["connector"]] == name) for name in
              dict.fromkeys(names[item["connector"]] for item in rows)}  # fmt: skip
    heading = "; ".join(f"{_capital(name)}: {count} on this line" for name, count in counts.items())
    edges = sorted({edge * 12 for panel in view.line["panels"] for edge in (panel["from_ft"], panel["to_ft"])})
    joints = [
        joint for n in range(1, len(view.line["panels"]) + 1) for joint in wall_line.panel_joints_in(view.result, n)
    ]
    y = _row(view, y, marks, "" if crew else heading, up=True)
    panel_marks = [Mark(s, bold=True) for s in edges] + [Mark(s) for s in joints]
    if not crew:
        _row(view, y, panel_marks, "Panel ends (bold) and panel joints, on stud centrelines", up=True)

    y = view.lowest - FOOTING_IN - sheet.pt(10)
    tie_downs = wall_line.positions_in(view.schedule, "tie-downs")
    new = [item for role in wall_line.SILL_ROLES for item in wall_line.rows(view.schedule, role)]
    anchor_marks = [Mark(a["at_ft"] * 12, QUIET_TEXT) for a in view.line["existing_anchors"]]
    anchor_marks += [Mark(s, ADDED_TEXT, bold=True) for item in new for s in item["positions_in"]]
    anchor_marks += [Mark(s, ADDED_TEXT) for s in tie_downs]
    parts = [
        f"new: {name}, {sum(i['count'] for i in new if names[i['connector']] == name)}"
        for name in dict.fromkeys(names[item["connector"]] for item in new)
    ]
    parts += [f"tie-down rods: {len(tie_downs)}"] if tie_downs else []
    parts += [f"existing anchors (grey): {len(view.line['existing_anchors'])}"] if view.line["existing_anchors"] else []
    y = _row(view, y, anchor_marks, "" if crew else _capital("; ".join(parts)), up=False)
    if not crew:
        studs = [Mark(s, QUIET_TEXT) for s in view.line["framing"]["stud_centrelines_in"]]
        y = _row(view, y, studs, "Stud centrelines as measured", up=False)
    if crew:
        sheet.text((0.0, y - sheet.pt(3)), _window_text(view), size_pt=7.0)
        y += sheet.pt(6)
    else:
        y -= sheet.pt(14)
        base = view.lowest - FOOTING_IN
        sheet.dimension((0.0, base), (view.width_in, base), y)
    _datum(view)
    _heights(view)
    sheet.scale_bar((0.0, y - sheet.pt(26)))


def _window_text(view: View) -> str:
    low, high = length_text(view.low_in), length_text(view.high_in)
    return f"shown: {low} to {high} of {length_text(wall_line.length_in(view.line))}"


def _row(view: View, y: float, marks: list[Mark], heading: str, *, up: bool) -> float:
    """One row of running dimensions; the y where the next row may start."""
    shown = [mark for mark in marks if view.shows(mark.station_in)]
    if not shown:
        return y
    return running_dimensions(
        view.sheet, shown, x=view.x, y=y, width_in=view.high_in - view.low_in, heading=heading, up=up
    )


def _datum(view: View) -> None:
    if not view.shows(0.0):
        return
    x, away = view.x(0.0), -1 if view.zero_left else 1
    y = -wall_line.plates_height_in(view.line) / 2
    sheet = view.sheet
    tip = sheet.pt(5)
    sheet.polyline(
        JOINT, ((x, y), (x + away * tip, y + tip * 0.7), (x + away * tip, y - tip * 0.7)), closed=True, fill=INK
    )
    anchor = "end" if away < 0 else "start"
    name = wall_line.zero_end_name(view.line)
    sheet.text((x + away * sheet.pt(8), y + sheet.pt(5)), "Datum 0", bold=True, anchor=anchor)
    sheet.text((x + away * sheet.pt(8), y - sheet.pt(5)), name, size_pt=6.5, anchor=anchor)


def _heights(view: View) -> None:
    """Sill bottom to top of upper plate, at the end away from the datum."""
    far = view.high_in if view.shows(0.0) or view.low_in > 0 else view.low_in
    x, away = view.x(far), 1 if view.zero_left else -1
    low = view.bottom(min(max(far, 0.0), wall_line.length_in(view.line)))
    at = x + away * view.sheet.pt(24 if away > 0 else 16)
    view.sheet.dimension((x, low), (x, 0.0), at, vertical=True)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
