"""The plan of the braced level: outline, wall lines, panels, anchors, tie-downs, the way in, north, scale."""

from __future__ import annotations

from typing import Any

from reports.drawings import svg, wall_line
from reports.drawings.sheet import (
    ACCENT,
    ADDED,
    DIMENSION,
    EXISTING,
    HIDDEN,
    INK,
    NEW,
    PAPER,
    QUIET,
    QUIET_TEXT,
    Layer,
    Point,
    Sheet,
    length_text,
)

PANEL = Layer("new panels", INK, 3.2)


def draw(
    inputs: dict[str, Any],
    schedule: dict[str, Any] | None,
    *,
    paper_width_in: float,
    paper_height_in: float,
    sheets: dict[str, str] | None = None,
    zoom: float = 1.0,
) -> str:
    """The plan as SVG, north up, from house inputs and schedule as JSON; ValueError when no scale fits the paper.

    `sheets` names the sheet of each line's elevation.
    """
    return svg.write_fitting(
        lambda sheet: _draw_plan(sheet, inputs, schedule, sheets or {}),
        title="Plan of the wall lines",
        paper_width_in=paper_width_in,
        paper_height_in=paper_height_in,
        zoom=zoom,
    )


def _draw_plan(sheet: Sheet, inputs: dict[str, Any], schedule: dict[str, Any] | None, sheets: dict[str, str]) -> None:
    outline = inputs["building"]["floor_outline_ft"]
    points = [*outline, *(point for line in inputs["lines"] for point in (line["start_ft"], line["end_ft"]))]
    xs, ys = [x * 12 for x, _ in points], [y * 12 for _, y in points]
    sheet.polyline(EXISTING, [(x * 12, y * 12) for x, y in outline], closed=True, fill=PAPER)
    lines = {item["label"]: item for item in (schedule or {"lines": []})["lines"]}
    for line in inputs["lines"]:
        label = line["label"]
        _wall_line(sheet, line, lines.get(label), outline, sheets.get(label, ""))
    left, right, low, high = min(xs), max(xs), min(ys), max(ys)
    far = sheet.pt(62)
    sheet.dimension((left, low), (right, low), low - far)
    sheet.dimension((right, low), (right, high), right + far, vertical=True)
    _inside(sheet, inputs, outline)
    _north(sheet, (right + far + sheet.pt(30), high - sheet.pt(30)))
    sheet.scale_bar((left, low - far - sheet.pt(34)))


def _inside(sheet: Sheet, inputs: dict[str, Any], outline: list[list[float]]) -> None:
    """Which way the joists span, as surveyed at the wall lines, and the point weights."""
    spans = {
        (abs(line["end_ft"][0] - line["start_ft"][0]) > 0.01) == (line["framing"]["joists"] == "parallel")
        for line in inputs["lines"]
    }
    x, y = (value * 12 for value in wall_line.centre_ft(outline))
    if len(spans) == 1:
        along_x = spans.pop()
        half, barb = sheet.pt(80), sheet.pt(6)
        ends = ((x - half, y), (x + half, y)) if along_x else ((x, y - half), (x, y + half))
        sheet.line(EXISTING, *ends)
        for (ex, ey), way in zip(ends, (1, -1), strict=True):
            for side in (-barb / 2, barb / 2):
                tip = (ex + way * barb, ey + side) if along_x else (ex + side, ey + way * barb)
                sheet.line(EXISTING, (ex, ey), tip)
        sheet.text(
            (x, y), "joists", layer=QUIET_TEXT, anchor="middle", halo=True, rotation_deg=0.0 if along_x else 90.0
        )
    for weight in inputs["building"]["point_weights"]:
        px, py = (value * 12 for value in weight["at_ft"])
        half = max(12.0, sheet.pt(5))
        sheet.rectangle(HIDDEN, (px - half, py - half), (px + half, py + half))
        sheet.text(
            (px - half - sheet.pt(4), py),
            f"{weight['label']}, {weight['weight_lb']:,.0f} lb",
            layer=QUIET_TEXT,
            anchor="end",
            halo=True,
        )


class _Along:
    """Places along and across one wall line; across is positive towards the outside."""

    def __init__(self, line: dict[str, Any], outline: list[list[float]]) -> None:
        self.length = wall_line.length_in(line)
        (x0, y0), (x1, y1) = line["start_ft"], line["end_ft"]
        self.origin = (x0 * 12, y0 * 12)
        self.way = ((x1 - x0) * 12 / self.length, (y1 - y0) * 12 / self.length)
        out = (self.way[1], -self.way[0])
        self.out = out if wall_line.interior_is_left(line, outline) else (-out[0], -out[1])

    def at(self, along_in: float, across_in: float = 0.0) -> Point:
        return (
            self.origin[0] + along_in * self.way[0] + across_in * self.out[0],
            self.origin[1] + along_in * self.way[1] + across_in * self.out[1],
        )


def _wall_line(
    sheet: Sheet, line: dict[str, Any], schedule: dict[str, Any] | None, outline: list[list[float]], see: str
) -> None:
    place = _Along(line, outline)
    thick = line["framing"]["sill_width_in"]
    corners = (place.at(0), place.at(place.length), place.at(place.length, -thick), place.at(0, -thick))
    sheet.polyline(EXISTING, corners, closed=True, fill=PAPER)
    for opening in line["openings"]:
        low, high = opening["from_ft"] * 12, opening["to_ft"] * 12
        sheet.polyline(EXISTING, (place.at(low, 3), place.at(low, -thick - 3)))
        sheet.polyline(EXISTING, (place.at(high, 3), place.at(high, -thick - 3)))
        sheet.polyline(HIDDEN, (place.at(low, -thick / 2), place.at(high, -thick / 2)))
        _along_text(sheet, place, (low + high) / 2, -thick - sheet.pt(9), opening["label"], layer=QUIET_TEXT)
    inside = -thick - sheet.pt(3.5)
    for number, panel in enumerate(line["panels"], start=1):
        low, high = panel["from_ft"] * 12, panel["to_ft"] * 12
        sheet.line(PANEL, place.at(low, inside), place.at(high, inside))
        for end in (low, high):
            sheet.line(NEW, place.at(end, inside + sheet.pt(3)), place.at(end, inside - sheet.pt(3)))
        text = f"{line['label']}·{number}  {length_text(high - low)}"
        _along_text(sheet, place, (low + high) / 2, inside - sheet.pt(9), text)
    for anchor in line["existing_anchors"]:
        centre = place.at(anchor["at_ft"] * 12, -thick / 2)
        sheet.circle(EXISTING, centre, sheet.pt(2.6), fill=PAPER)
        if not anchor["accepted"]:
            arm = sheet.pt(3.6)
            sheet.line(EXISTING, (centre[0] - arm, centre[1] - arm), (centre[0] + arm, centre[1] + arm))
            sheet.line(EXISTING, (centre[0] - arm, centre[1] + arm), (centre[0] + arm, centre[1] - arm))
    for station in wall_line.positions_in(schedule, "sill anchors"):
        sheet.circle(ADDED, place.at(station, -thick / 2), sheet.pt(2.6), fill=ACCENT)
    for station in wall_line.positions_in(schedule, "side connections"):
        _side_mark(sheet, place.at(station, -thick / 2))
    for station in wall_line.positions_in(schedule, "tie-downs"):
        _square(sheet, place.at(station, inside - sheet.pt(4.5)))
    for role in wall_line.FLOOR_ROLES:
        for station in wall_line.positions_in(schedule, role):
            sheet.line(ADDED, place.at(station, sheet.pt(2)), place.at(station, sheet.pt(8)))
    _label(sheet, place, line["label"], see)


def _along_text(sheet: Sheet, place: _Along, along_in: float, across_in: float, text: str, **more: Any) -> None:
    """A text beside the line, readable from the bottom or the right of the sheet."""
    upright = abs(place.way[1]) > abs(place.way[0])
    sheet.text(
        place.at(along_in, across_in), text, anchor="middle", rotation_deg=90.0 if upright else 0.0, halo=True, **more
    )


def _label(sheet: Sheet, place: _Along, label: str, see: str) -> None:
    """The line's label in a ring outside its middle, and a small arrow from its zero end."""
    away = sheet.pt(36)
    at = place.at(place.length / 2, away)
    sheet.line(DIMENSION, place.at(place.length / 2, sheet.pt(12)), place.at(place.length / 2, away - sheet.pt(11)))
    sheet.circle(NEW, at, sheet.pt(11), fill=PAPER)
    sheet.text(at, label, size_pt=12.0, bold=True, anchor="middle")
    if see:
        upright = abs(place.way[1]) > abs(place.way[0])
        beside = place.at(place.length / 2 + sheet.pt(30), away)
        sheet.text(beside, see, size_pt=7.0, anchor="middle", rotation_deg=90.0 if upright else 0.0)
    start, tip = place.at(0.0, sheet.pt(16)), place.at(sheet.pt(34), sheet.pt(16))
    sheet.line(DIMENSION, start, tip)
    sheet.circle(DIMENSION, start, sheet.pt(1.8), fill=INK)
    for side in (-3, 3):
        sheet.line(DIMENSION, place.at(sheet.pt(28), sheet.pt(16 + side)), tip)
    _along_text(sheet, place, sheet.pt(17), sheet.pt(25), "0", size_pt=6.5)


def _side_mark(sheet: Sheet, centre: Point) -> None:
    """A diamond: a side connection, told from an anchor by its shape."""
    (x, y), arm = centre, sheet.pt(3.6)
    sheet.polyline(ADDED, ((x - arm, y), (x, y + arm), (x + arm, y), (x, y - arm)), closed=True, fill=ACCENT)


def _square(sheet: Sheet, centre: Point) -> None:
    half = sheet.pt(3.2)
    sheet.rectangle(ADDED, (centre[0] - half, centre[1] - half), (centre[0] + half, centre[1] + half), fill=PAPER)
    sheet.line(ADDED, (centre[0] - half, centre[1] - half), (centre[0] + half, centre[1] + half))


def _north(sheet: Sheet, at: Point) -> None:
    tall, half = sheet.pt(34), sheet.pt(8)
    sheet.polyline(
        DIMENSION, ((at[0], at[1] + tall), (at[0] - half, at[1]), (at[0], at[1] + tall * 0.25)), closed=True, fill=INK
    )
    sheet.polyline(DIMENSION, ((at[0], at[1] + tall), (at[0] + half, at[1]), (at[0], at[1] + tall * 0.25)), closed=True)
    sheet.arc(DIMENSION, (at[0], at[1] + tall / 2), tall * 0.62, 120.0, 420.0)
    sheet.text((at[0], at[1] + tall + sheet.pt(8)), "N", bold=True, size_pt=11.0, anchor="middle")


def draw_legend(*, zoom: float = 1.0) -> str:
    """What the marks on the plan and the elevations mean."""
    sheet = Sheet(zoom / 72.0, "Legend", zoom=zoom)
    rows: list[tuple[str, Any]] = [
        (
            "existing wall, framing, foundation",
            lambda y: sheet.rectangle(EXISTING, (0, y - 4), (34, y + 4), fill=PAPER),
        ),
        ("new shear panel", lambda y: sheet.line(PANEL, (0, y), (34, y))),
        ("existing anchor, counted", lambda y: sheet.circle(EXISTING, (17, y), 2.6, fill=PAPER)),
        ("existing anchor, not counted", lambda y: _crossed(sheet, (17, y))),
        ("new sill anchor", lambda y: sheet.circle(ADDED, (17, y), 2.6, fill=ACCENT)),
        ("new side connection, sill to foundation", lambda y: _side_mark(sheet, (17, y))),
        ("new tie-down", lambda y: _square(sheet, (17, y))),
        ("new floor-to-plate connector", lambda y: sheet.line(ADDED, (17, y - 4), (17, y + 4))),
        ("zero end of a wall line; positions run from it", lambda y: _zero(sheet, y)),
    ]
    for index, (text, mark) in enumerate(rows):
        y = -index * 17.0
        mark(y)
        sheet.text((46, y), text, size_pt=9.0)
    return svg.write(sheet)


def _crossed(sheet: Sheet, at: Point) -> None:
    sheet.circle(EXISTING, at, 2.6, fill=PAPER)
    sheet.line(EXISTING, (at[0] - 3.6, at[1] - 3.6), (at[0] + 3.6, at[1] + 3.6))
    sheet.line(EXISTING, (at[0] - 3.6, at[1] + 3.6), (at[0] + 3.6, at[1] - 3.6))


def _zero(sheet: Sheet, y: float) -> None:
    sheet.circle(DIMENSION, (0, y), 1.8, fill=QUIET)
    sheet.line(DIMENSION, (0, y), (34, y))
    sheet.line(DIMENSION, (28, y - 3), (34, y))
    sheet.line(DIMENSION, (28, y + 3), (34, y))
