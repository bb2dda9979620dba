"""The marks of a plan and the legend that explains them: only those that the plan shows."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any, Final

from reports.drawings import svg, wall_line
from reports.drawings.sheet import (
    ACCENT,
    ADDED,
    DIMENSION,
    EXISTING,
    GROUND,
    HIDDEN,
    INK,
    JOINT,
    PAPER,
    QUIET,
    Layer,
    Point,
    Sheet,
)

PANEL: Final = Layer("new panels in plan", INK, 3.2)
ROW_PT = 17.0

Json = dict[str, Any]


def draw_anchor(sheet: Sheet, centre: Point, *, counted: bool) -> None:
    sheet.circle(EXISTING, centre, sheet.pt(2.6), fill=PAPER)
    if not counted:
        x, y, arm = *centre, sheet.pt(3.6)
        sheet.line(EXISTING, (x - arm, y - arm), (x + arm, y + arm))
        sheet.line(EXISTING, (x - arm, y + arm), (x + arm, y - arm))


def draw_side_connection(sheet: Sheet, centre: Point) -> None:
    """A diamond: a side connection, told from an anchor by its shape."""
    (x, y), arm = centre, sheet.pt(3.6)
    sheet.polyline(ADDED, ((x - arm, y), (x, y + arm), (x + arm, y), (x, y - arm)), closed=True, fill=ACCENT)


def draw_tie_down(sheet: Sheet, centre: Point) -> None:
    half = sheet.pt(3.2)
    sheet.rectangle(ADDED, (centre[0] - half, centre[1] - half), (centre[0] + half, centre[1] + half), fill=PAPER)
    sheet.line(ADDED, (centre[0] - half, centre[1] - half), (centre[0] + half, centre[1] + half))


def draw_north(sheet: Sheet, at: Point) -> None:
    tall, half = sheet.pt(34), sheet.pt(8)
    tip, waist = (at[0], at[1] + tall), (at[0], at[1] + tall * 0.25)
    sheet.polyline(DIMENSION, (tip, (at[0] - half, at[1]), waist), closed=True, fill=INK)
    sheet.polyline(DIMENSION, (tip, (at[0] + half, at[1]), waist), closed=True)
    sheet.arc(DIMENSION, (at[0], at[1] + tall / 2), tall * 0.62, 115.0, 425.0)
    sheet.text((at[0], at[1] + tall + sheet.pt(8)), "N", bold=True, size_pt=11.0, anchor="middle")


def draw_legend(inputs: Json, schedule: Json | None, *, new: bool, zoom: float = 1.0) -> svg.Svg:
    """What the marks on the plan as found mean, or (`new`) those on the plan of new work."""
    sheet = Sheet(zoom / 72.0, "Legend", zoom=zoom)
    for index, (text, mark) in enumerate(_rows(sheet, inputs, schedule, new=new)):
        y = -index * ROW_PT
        mark(y)
        sheet.text((46, y), text, size_pt=9.0)
    return svg.write(sheet)


def _rows(
    sheet: Sheet, inputs: Json, schedule: Json | None, *, new: bool
) -> Iterator[tuple[str, Callable[[float], None]]]:
    lines = inputs["lines"]
    counted = {anchor["accepted"] for line in lines for anchor in line["existing_anchors"]}
    roles = {
        item["role"] for line in (schedule or {"lines": []})["lines"] for item in line["items"] if item["positions_in"]
    }
    yield "existing wall on its foundation", lambda y: _wall(sheet, y, EXISTING if new else GROUND)
    if not new and any(wall_line.sill_joints_in(line) for line in lines):
        yield "joint of the sill", lambda y: _joint(sheet, y)
    if any(line["openings"] for line in lines):
        yield "opening: way in, vent or other", lambda y: _opening(sheet, y)
    if True in counted:
        yield "existing anchor, counted", lambda y: draw_anchor(sheet, (17, y), counted=True)
    if False in counted and not new:
        yield "existing anchor, not counted", lambda y: draw_anchor(sheet, (17, y), counted=False)
    if new and any(line["panels"] for line in lines):
        yield "new shear panel", lambda y: sheet.line(PANEL, (0, y), (34, y))
    if new and "sill anchors" in roles:
        yield "new sill anchor", lambda y: sheet.circle(ADDED, (17, y), 2.6, fill=ACCENT)
    if new and "side connections" in roles:
        yield "new side connection, sill to foundation", lambda y: draw_side_connection(sheet, (17, y))
    if new and "tie-downs" in roles:
        yield "new tie-down", lambda y: draw_tie_down(sheet, (17, y))
    if new and roles & set(wall_line.FLOOR_ROLES):
        yield "new floor-to-plate connector", lambda y: sheet.line(ADDED, (17, y - 4), (17, y + 4))
    yield "zero end of a wall line; positions run from it", lambda y: _zero(sheet, y)


def _wall(sheet: Sheet, y: float, layer: Layer) -> None:
    sheet.rectangle(layer, (0, y - 4), (34, y + 4), fill=PAPER)


def _joint(sheet: Sheet, y: float) -> None:
    _wall(sheet, y, GROUND)
    sheet.line(JOINT, (17, y - 6), (17, y + 6))


def _opening(sheet: Sheet, y: float) -> None:
    _wall(sheet, y, GROUND)
    for x in (8, 26):
        sheet.line(EXISTING, (x, y - 6), (x, y + 6))
    sheet.line(HIDDEN, (8, y), (26, y))


def _zero(sheet: Sheet, y: float) -> None:
    sheet.circle(DIMENSION, (0, y), 1.8, fill=QUIET)
    sheet.line(DIMENSION, (0, y), (34, y))
    sheet.line(DIMENSION, (28, y - 3), (34, y))
    sheet.line(DIMENSION, (28, y + 3), (34, y))
