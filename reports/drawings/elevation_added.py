"""What is added to a wall, on its elevation: panels with their pieces and nails, anchors, connectors, blocks."""

from __future__ import annotations

from typing import Any

from reports.drawings import wall_line
from reports.drawings.elevation_view import FOOTING_IN, View
from reports.drawings.sheet import ADDED, ADDED_TEXT, JOINT, NEW, NOTE_PT, TEXT, length_text, text_width_pt, wrapped
from reports.drawings.wall_parts import (
    draw_anchor,
    draw_floor_connector,
    draw_side_connection,
    draw_stitch_nails,
    draw_strap,
    draw_tie_down,
)

BLOCK_IN, TIE_DOWN_IN = 1.5, 14.0
ROW_PT = 10.0


def draw_panels(view: View) -> None:
    """Each panel with the joints of its pieces, its end posts where a tie-down stands, and its nailing in words."""
    sheet, line = view.sheet, view.line
    top = -line["framing"]["plates_in"][-1] if wall_line.ends_at_lower_plate(line) else 0.0
    for number, panel in enumerate(line["panels"], start=1):
        ends = view.stretch(panel["from_ft"], panel["to_ft"])
        if ends is None:
            continue
        low, high = ((x, view.bottom(min(max(view.station(x), panel["from_ft"] * 12 + 0.1), panel["to_ft"] * 12 - 0.1)))
                     for x in ends)  # fmt: skip
        corners = (low, high, (ends[1], top), (ends[0], top))
        sheet.hatch(corners, spacing_pt=14.0, angle_deg=-45.0)
        sheet.polyline(NEW, corners, closed=True)
        for joint in wall_line.panel_joints_in(view.result, number):
            if view.shows(joint):
                sheet.line(JOINT, (view.x(joint), view.bottom(joint)), (view.x(joint), top))
        whole = panel["from_ft"] * 12 >= view.low_in - 0.01 and panel["to_ft"] * 12 <= view.high_in + 0.01
        if revision := view.revision("panel edge nails"):
            sheet.revision_mark((ends[1] - sheet.pt(9), top - sheet.pt(10)), revision)
        texts = _panel_texts(view, number, panel)
        floor = max(low[1], high[1]) + line["framing"]["sill_thickness_in"] + BLOCK_IN
        _words_in_panel(view, texts if whole else texts[:1], ends, floor, -wall_line.plates_height_in(line))


def _panel_texts(view: View, number: int, panel: dict[str, Any]) -> list[str]:
    """The panel's name and length, what it is made of, how it is nailed."""
    sheathing = view.line["sheathing"]
    nail = f"{sheathing['nail']} {sheathing['nail_diameter_in']:g} × {length_text(sheathing['nail_length_in'])}"
    spacings = [
        item["spacing_in"]
        for item in wall_line.rows(view.schedule, "panel edge nails")
        if item["panel"] in (None, number) and item["spacing_in"]
    ]
    return [
        f"{view.line['label']}·{number}, {length_text((panel['to_ft'] - panel['from_ft']) * 12)}",
        f"{sheathing['thickness']} in {sheathing['grade']}",
        *(f"{nail}: {spacing:g} in at all edges, 12 in in the field" for spacing in dict.fromkeys(spacings)),
    ]


def _words_in_panel(view: View, texts: list[str], ends: tuple[float, float], low: float, high: float) -> None:
    """Rows about the panel's middle, as many as it has room for; the schedule under the drawing has all of them."""
    sheet = view.sheet
    room_pt = (ends[1] - ends[0]) / sheet.pt(1) - 4
    most = max(1, int((high - low) / sheet.pt(ROW_PT)))
    rows: list[tuple[str, bool]] = []
    for index, text in enumerate(texts):
        more = [(row, index == 0) for row in wrapped(text, room_pt, NOTE_PT)]
        if any(text_width_pt(row, NOTE_PT, bold=bold) > room_pt for row, bold in more) or len(rows + more) > most:
            break
        rows += more
    rows = rows or [(texts[0].split(",")[0], True)]
    middle = ((ends[0] + ends[1]) / 2, (low + high) / 2)
    count = len(rows)
    for index, (row, bold) in enumerate(rows):
        at = (middle[0], middle[1] + sheet.pt(((count - 1) / 2 - index) * ROW_PT))
        view.labels.place([at], row, layer=TEXT, anchor="middle", halo=True, bold=bold)


def draw_anchors(view: View) -> None:
    """Existing anchors, new ones, side connections and tie-downs with their posts."""
    sheet, line = view.sheet, view.line
    sill = line["framing"]["sill_thickness_in"]

    def top(station: float) -> tuple[float, float]:
        return view.x(station), view.bottom(station) + sill

    for anchor in line["existing_anchors"]:
        station = anchor["at_ft"] * 12
        if view.shows(station):
            view.keep_clear(view.x(station), top(station)[1] - sill, top(station)[1] + sheet.pt(5))
            draw_anchor(
                sheet,
                top(station),
                sill_in=sill,
                new=False,
                counted=anchor["accepted"],
                embedment_in=anchor["embedment_in"],
            )
    evaluated = {item["key"]: item for item in view.catalogue["evaluated"]}
    for item in wall_line.rows(view.schedule, "sill anchors"):
        embedment = evaluated.get(item["connector"], {}).get("embedment_in")
        for station in item["positions_in"]:
            if view.shows(station):
                view.keep_clear(view.x(station), top(station)[1] - sill, top(station)[1] + sheet.pt(5))
                draw_anchor(sheet, top(station), sill_in=sill, new=True, counted=True, embedment_in=embedment)
    for station in wall_line.positions_in(view.schedule, "side connections"):
        if view.shows(station):
            draw_side_connection(sheet, top(station), sill_in=sill)
    for station in wall_line.positions_in(view.schedule, "tie-downs"):
        if view.shows(station):
            outer, inner = _post(view, station)
            reach = sorted((view.x(station), inner))
            low, high = top(station)[1] - sill, top(station)[1] + TIE_DOWN_IN
            view.labels.keep_clear((reach[0] - sheet.pt(4), low), (reach[1] + sheet.pt(2), high))
            plates = wall_line.plates_height_in(line)
            for x in (outer, inner):
                sheet.line(JOINT, (x, top(station)[1]), (x, -plates))
            draw_tie_down(sheet, top(station), post_x=inner, footing_in=FOOTING_IN - 2)


def _post(view: View, station_in: float) -> tuple[float, float]:
    """The x of both faces of the end post that a tie-down stands at: at the panel's end, and towards its middle."""
    width = view.line["end_post"]["width_in"]
    ends = [edge * 12 for panel in view.line["panels"] for edge in (panel["from_ft"], panel["to_ft"])]
    end = min(ends, key=lambda edge: abs(edge - station_in))
    return view.x(end), view.x(end + (width if station_in > end else -width))


def draw_connectors(view: View) -> None:
    """What joins floor and plates, plate and plate, and the blocks on a wide sill."""
    sheet, framing = view.sheet, view.line["framing"]
    kinds = wall_line.connector_kinds(view.catalogue)
    for role in wall_line.FLOOR_ROLES:
        for item in wall_line.rows(view.schedule, role):
            for station in item["positions_in"]:
                if view.shows(station):
                    under = -wall_line.plates_height_in(view.line)
                    view.keep_clear(view.x(station), under - sheet.pt(4), under)
                    draw_floor_connector(
                        sheet,
                        view.x(station),
                        kind=kinds[item["connector"]],
                        plates_in=wall_line.plates_height_in(view.line),
                        rim_in=framing["rim_depth_in"],
                    )
    for station in wall_line.positions_in(view.schedule, "stitch nails"):
        if view.shows(station):
            draw_stitch_nails(sheet, view.x(station), plates_in=framing["plates_in"])
    for role in ("plate straps", "strut splice"):
        for station in wall_line.positions_in(view.schedule, role):
            if view.shows(station):
                draw_strap(sheet, view.x(station), plates_in=framing["plates_in"])
    _blocks(view)


def _blocks(view: View) -> None:
    """Flat blocks on a sill wider than the studs, bay by bay inside the panels that have them."""
    framing, sheet = view.line["framing"], view.sheet
    half, named = framing["stud_thickness_in"] / 2, False
    for item in wall_line.rows(view.schedule, "block nails"):
        for bay in wall_line.bays_inside(view.line, view.line["panels"][(item["panel"] or 1) - 1]):
            if not (view.shows(bay.from_in) and view.shows(bay.to_in)):
                continue
            base = view.bottom((bay.from_in + bay.to_in) / 2) + framing["sill_thickness_in"]
            left, right = sorted((view.x(bay.from_in + half), view.x(bay.to_in - half)))
            sheet.rectangle(ADDED, (left, base), (right, base + BLOCK_IN))
            view.labels.keep_clear((left, base), (right, base + BLOCK_IN))
            if not named and not view.crew:
                view.callout(((left + right) / 2, base + BLOCK_IN), "blocks on the sill", up=True, layer=ADDED_TEXT)
            named = True
