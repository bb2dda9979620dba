"""Sheets S3.0 to S3.3: details drawn from this job's sizes, each only where a wall line triggers it.

A detail keeps its sheet and its number whether its neighbours are there or not; what triggers it is said by its
function in `floor_details` or `wall_details`. Lines of other sizes have a drawing of their own under the same number,
each with its lines named. Where a sheet is full it goes on under its number with "-2".
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from reports.documents import figures, floor_details, schedule_rows, sheet_layout, standing, wall_details
from reports.documents.detail_line import Facts, Line
from reports.drawings import (
    floor_fasteners,
    framing_angle,
    load_path_section,
    panel_nailing,
    plate_splice,
    side_connection,
    sill_anchor,
    stitch_pattern,
    through_plate_section,
    tie_down,
    vent_holes,
    wide_sill,
)
from reports.drawings.lettering import text_width_pt
from reports.drawings.parts import frame_pt
from reports.drawings.svg import Svg
from reports.sections import Section

SHEETS = {
    "S3.0": "Load path in section",
    "S3.1": "Details, floor to plates",
    "S3.2": "Details, panels",
    "S3.3": "Details, sill and foundation",
}
TEMPLATE = "reports/documents/plan_set/details.html"
HEADING_PT, HEADING_IN, HEADING_ROW_IN = 14.0, 0.32, 0.26
SET_UP_IN, SET_UP_ROW_IN, SET_UP_LETTERS = 6.8, 0.285, 75


@dataclass(frozen=True, slots=True)
class Detail:
    """One kind of detail: its fixed place, what triggers it, what draws it and on how much paper."""

    key: str
    sheet: str
    number: int
    title: str
    facts: Callable[[Line], Facts | None]
    draw: Callable[..., Svg]
    paper_in: tuple[float, float]

    @property
    def place(self) -> str:
        """How other sheets refer to it: "1/S3.1"."""
        return f"{self.number}/{self.sheet}"


FLOOR, WALL = floor_details, wall_details
DETAILS = (
    Detail("path found", "S3.0", 1, "Load path as found", WALL.path_found, load_path_section.draw, (10.5, 13.0)),
    Detail("path", "S3.0", 2, "Load path as designed", WALL.path_designed, load_path_section.draw, (10.5, 13.0)),
    Detail("screw", "S3.1", 1, "Through-plate screw", FLOOR.screw, through_plate_section.draw, (11.4, 14.4)),
    Detail("pattern", "S3.1", 2, "Fasteners under the plates", FLOOR.pattern, stitch_pattern.draw, (19.0, 6.0)),
    Detail("angle", "S3.1", 3, "Framing angle", FLOOR.angle, framing_angle.draw, (11.0, 8.0)),
    Detail("face plate", "S3.1", 4, "Face plate from outside", FLOOR.face_plate, framing_angle.draw, (11.0, 8.0)),
    Detail("lag", "S3.1", 5, "Lag screw from below", FLOOR.lag, floor_fasteners.draw, (11.0, 8.0)),
    Detail("toenail", "S3.1", 6, "Toenails", FLOOR.toenail, floor_fasteners.draw, (11.0, 8.0)),
    Detail("blocking", "S3.1", 7, "New blocking", FLOOR.blocking, floor_fasteners.draw, (11.0, 8.0)),
    Detail("splice", "S3.1", 8, "Plate lap, splice nails", FLOOR.splice, plate_splice.draw_joint, (14.0, 5.0)),
    Detail("strap", "S3.1", 9, "Strap across a plate joint", FLOOR.strap, plate_splice.draw_joint, (14.0, 5.0)),
    Detail("strut", "S3.1", 10, "Strut to the plates", FLOOR.strut, plate_splice.draw_strut, (16.0, 5.0)),
    Detail("panel", "S3.2", 1, "Panel pieces and nailing", WALL.panel, panel_nailing.draw, (15.0, 9.0)),
    Detail("joint", "S3.2", 2, "Panel joint on a stud", WALL.panel_joint, panel_nailing.draw_joint, (10.0, 7.0)),
    Detail("vents", "S3.2", 3, "Holes in panels that close bays", WALL.vents, vent_holes.draw, (10.5, 9.0)),
    Detail("block", "S3.2", 4, "Blocks on a wide sill", WALL.block, wide_sill.draw_block, (17.0, 8.0)),
    Detail("flush cut", "S3.2", 5, "Wide sill cut flush", WALL.flush_cut, wide_sill.draw_flush_cut, (10.0, 8.0)),
    Detail("anchor", "S3.3", 1, "New sill anchor", WALL.anchor, sill_anchor.draw, (10.5, 10.0)),
    Detail("side", "S3.3", 2, "Side connection", WALL.side_connection, side_connection.draw, (10.5, 10.0)),
    Detail("tie-down", "S3.3", 3, "Tie-down at a panel end", WALL.tie_down, tie_down.draw, (10.5, 13.0)),
)


@dataclass(frozen=True, slots=True)
class Drawn:
    """One drawing to be: the lines that are built by it, and the facts of the first of them."""

    detail: Detail
    labels: tuple[str, ...]
    facts: Facts

    @property
    def lines(self) -> str:
        if len(self.labels) == 1:
            return f"line {self.labels[0]}"
        drawn_from = f"; drawn: line {self.labels[0]}" if self.facts.example else ""
        return f"lines {', '.join(self.labels)}{drawn_from}"

    def svg(self) -> Svg:
        width, height = self.detail.paper_in
        title = f"{self.detail.place} {self.detail.title}, {self.lines}"
        return self.detail.draw(
            **self.facts.shared, **self.facts.example, title=title, paper_width_in=width, paper_height_in=height
        )


def drawn(snapshot: dict[str, Any], *, ratios: bool) -> list[Drawn]:
    """All drawings that this job triggers, in the order of their sheets and numbers."""
    lines = [
        Line(
            snapshot,
            label,
            ratios,
            schedule_rows.line_inputs(snapshot, label),
            schedule_rows.line_result(snapshot, label),
            schedule_rows.line_schedule(snapshot, label),
        )
        for label in schedule_rows.labels(snapshot)
    ]
    found = []
    for detail in DETAILS:
        groups: dict[str, tuple[list[str], Facts]] = {}
        for line in lines:
            facts = detail.facts(line)
            if facts is not None:
                groups.setdefault(repr(facts.shared), ([], facts))[0].append(line.label)
        found += [Drawn(detail, tuple(labels), facts) for labels, facts in groups.values()]
    # As found and as designed stand side by side, line by line.
    order = schedule_rows.labels(snapshot)
    paths = sorted((one for one in found if one.detail.sheet == "S3.0"), key=lambda one: order.index(one.labels[0]))
    return paths + [one for one in found if one.detail.sheet != "S3.0"]


def places(snapshot: dict[str, Any]) -> dict[str, str]:
    """The details that this job has, by key: "1/S3.1"."""
    return {one.detail.key: one.detail.place for one in drawn(snapshot, ratios=False)}


def references(snapshot: dict[str, Any], label: str) -> list[dict[str, str]]:
    """Which details a wall line is built by, and the sheet that they stand on."""
    return [
        {"text": f"{one.detail.place}  {one.detail.title}", "sheet": one.detail.sheet}
        for one in drawn(snapshot, ratios=False)
        if label in one.labels
    ]


def sections(snapshot: dict[str, Any], stand: standing.Standing) -> list[Section]:
    """The detail sheets that this job has."""
    found = drawn(snapshot, ratios=stand.shows_ratios)
    return [
        section
        for sheet in SHEETS
        if any(one.detail.sheet == sheet for one in found)
        for section in _sheets(snapshot, stand, sheet, [one for one in found if one.detail.sheet == sheet])
    ]


def _sheets(snapshot: dict[str, Any], stand: standing.Standing, sheet: str, shown: list[Drawn]) -> list[Section]:
    """One sheet of details, and what does not fit it on further ones."""
    drawings = [(f"detail-{number}", one, one.svg()) for number, one in enumerate(shown, start=1)]
    set_ups = [_set_up(snapshot, one) for one in shown if one.detail.key == "screw"]
    sizes = [_size_in(one, drawing) for _, one, drawing in drawings]
    sizes += [(SET_UP_IN, _set_up_height_in(rows)) for rows in set_ups]
    pages: dict[int, dict[str, Any]] = {}
    for index, (page, box) in enumerate(sheet_layout.pack(sizes)):
        on = pages.setdefault(page, {"details": {}, "set_ups": [], "drawings": {}})
        at = {side: f"{getattr(box, side):.3f}in" for side in ("left", "top", "width")}
        if index < len(drawings):
            name, one, drawing = drawings[index]
            on["details"][name] = at | {"number": one.detail.number, "title": one.detail.title, "lines": one.lines}
            on["drawings"][name] = drawing
        else:
            on["set_ups"].append(at | set_ups[index - len(drawings)])
    return [
        Section(
            name=f"details-{sheet}" + (f"-{page + 1}" if page else ""),
            sheet=sheet + (f"-{page + 1}" if page else ""),
            title=SHEETS[sheet] + (", continued" if page else ""),
            template=TEMPLATE,
            context={
                "banner": stand.banner,
                "safety": standing.SAFETY,
                "details": on["details"],
                "set_ups": on["set_ups"],
            },
            drawings=on["drawings"],
            page_size="24x36",
        )
        for page, on in sorted(pages.items())
    ]


def _size_in(one: Drawn, drawing: Svg) -> tuple[float, float]:
    """The room of a drawing with its heading, which breaks where it is longer than the drawing is wide."""
    _, _, width, height = frame_pt(drawing.sheet)
    heading = text_width_pt(f"{one.detail.number}  {one.detail.title} · {one.lines}", HEADING_PT, bold=True)
    rows = -int(-heading // width)
    return width / 72, height / 72 + HEADING_IN + rows * HEADING_ROW_IN


def _set_up(snapshot: dict[str, Any], one: Drawn) -> dict[str, Any]:
    check = schedule_rows.line_result(snapshot, one.labels[0])["through_plate"]
    stitched = one.facts.shared["stitch_nail"] is not None
    return {"lines": one.lines, "rows": set_up_rows(check, stitched=stitched), "warnings": list(check["warnings"])}


def _set_up_height_in(set_up: dict[str, Any]) -> float:
    warned = sum(1 + len(text) // SET_UP_LETTERS for text in set_up["warnings"])
    return HEADING_IN + HEADING_ROW_IN + SET_UP_ROW_IN * (len(set_up["rows"]) + warned)


def set_up_rows(check: dict[str, Any], *, stitched: bool) -> list[list[str]]:
    """The drill's set-up as label and value, from the computed steps; stitch nails where the walls have them."""
    values = through_plate_section.step_values(check)
    depth = figures.length(values["drilled_depth_in"])
    rows = [
        ["Target line from the plates' outer edge", figures.length(values["target_from_plate_edge_in"])],
        [
            "Jig: round bar, centred hole",
            f"{figures.length(values['jig_bar_diameter_in'])}, hole {values['jig_hole_in']:.3f} in",
        ],
        ["Depth drilled from under the lower plate", depth],
        ["Penetration into the joist", figures.length(values["penetration_in"])],
        ["Distance to the joist's nearer face", figures.length(values["edge_distance_in"])],
        ["Placing tolerance across", figures.length(values["placing_tolerance_in"])],
        [
            "Out of plumb, started on the line",
            f"{figures.length(values['max_off_in'])} off in {depth} ({values['max_out_of_plumb_deg']:.1f}°)",
        ],
        [
            "Out of plumb, started 1/16 in off",
            f"{figures.length(values['max_off_in_if_placed_1_16_off'])} off in {depth} "
            f"({values['max_out_of_plumb_deg_if_placed_1_16_off']:.1f}°)",
        ],
        ["Headroom needed under the plates", figures.length(values["headroom_needed_in"])],
    ]
    if stitched:
        rows.append(["Stitch nails beside each screw, where stitched", f"{values['stitch_nails_per_screw']:.0f}"])
    if values["jig_offset_in"] > 0:
        rows.append(["Left over by the stock bar", f"{values['jig_offset_in']:.3f} in off the target"])
    return rows
