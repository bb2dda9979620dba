"""Sheet S3.0: details drawn from this job's sizes. Each keeps its number whether its neighbours are there or not."""

from __future__ import annotations

from typing import Any

from reports.documents import figures, schedule_rows, standing
from reports.drawings import framing_angle, sill_anchor, through_plate_section, wall_line
from reports.sections import Section

SHEET = "S3.0"
TITLES = {
    "screw": (1, "Through-plate screw"),
    "pattern": (2, "Fastener pattern under the plates"),
    "angle": (3, "Framing angle, the other way"),
    "anchor": (4, "New sill anchor"),
    "tie-down": (5, "Tie-down at a panel end"),
    "panel": (6, "Panel pieces and nailing"),
}
PATTERN_SHOWN_IN = 50.0


def numbers(snapshot: dict[str, Any]) -> dict[str, int]:
    """The details that this job has, by key, with their fixed numbers."""
    return {key: TITLES[key][0] for key in _lines_of(snapshot)}


def references(snapshot: dict[str, Any], label: str) -> list[str]:
    """Which details a wall line is built by: "1/S3.0 Through-plate screw"."""
    return [
        f"{TITLES[key][0]}/{SHEET}  {TITLES[key][1]}"
        for key, lines in _lines_of(snapshot).items()
        if label in [line["label"] for line in lines]
    ]


def sections(snapshot: dict[str, Any], stand: standing.Standing) -> list[Section]:
    """The detail sheet, and one more for each further size of plate and joist that takes through-plate screws."""
    found = _lines_of(snapshot)
    if not found:
        return []
    drawings, shown = {}, []
    for key, lines in found.items():
        drawings[key] = _draw(snapshot, key, lines[0])
        number, title = TITLES[key]
        shown.append(
            {"key": key, "number": number, "title": title, "lines": ", ".join(line["label"] for line in lines)}
        )
    groups = _set_ups(snapshot)
    context = {
        "banner": stand.banner,
        "safety": standing.SAFETY,
        "details": {item["key"]: item for item in shown},
        "set_ups": [_set_up_rows(snapshot, lines) for lines in groups],
        "angle_note": _angle_note(snapshot, stand),
    }
    sheets = [
        Section(
            name="details",
            sheet=SHEET,
            title="Details",
            template="reports/documents/plan_set/details.html",
            context=context,
            drawings=drawings,
            page_size="24x36",
        )
    ]
    for index, lines in enumerate(groups[1:], start=1):
        number, title = TITLES["screw"]
        names = ", ".join(line["label"] for line in lines)
        context = {
            "banner": stand.banner,
            "safety": standing.SAFETY,
            "details": {"screw": {"key": "screw", "number": number, "title": title, "lines": names}},
            "set_ups": [_set_up_rows(snapshot, lines)],
            "angle_note": "",
        }
        sheets.append(
            Section(
                name=f"details-{index}",
                sheet=f"S3.{index}",
                title=f"Through-plate screw, lines {names}",
                template="reports/documents/plan_set/details.html",
                context=context,
                drawings={"screw": _draw(snapshot, "screw", lines[0])},
                page_size="24x36",
            )
        )
    return sheets


def _evaluated(snapshot: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {item["key"]: item for item in snapshot["inputs"]["catalogue"]["evaluated"]}


def _lines_of(snapshot: dict[str, Any]) -> dict[str, list[dict[str, Any]]]:
    """Detail key → the wall lines that it is built on, in the order of the numbers."""
    evaluated = _evaluated(snapshot)
    found: dict[str, list[dict[str, Any]]] = {key: [] for key in TITLES}
    for line in snapshot["inputs"]["lines"]:
        label = line["label"]
        schedule, result = schedule_rows.line_schedule(snapshot, label), schedule_rows.line_result(snapshot, label)
        used = {
            role: [item["connector"] for item in wall_line.rows(schedule, role) if item["count"]]
            for role in ("floor to plate", "sill anchors", "tie-downs", "panel edge nails")
        }
        if result["through_plate"] and any(
            _is(evaluated, key, "through-plate screw") for key in used["floor to plate"]
        ):
            found["screw"].append(line)
            found["pattern"].append(line)
        if _angle_key(snapshot, line) in evaluated:
            found["angle"].append(line)
        if any(key in evaluated for key in used["sill anchors"]):
            found["anchor"].append(line)
        if any(key in evaluated for key in used["tie-downs"]):
            found["tie-down"].append(line)
        if used["panel edge nails"] and line["panels"]:
            found["panel"].append(line)
    # The stitched wall under a finished ceiling shows most.
    for lines in found.values():
        lines.sort(key=lambda line: (not _stitched(snapshot, line), not line["framing"]["ceiling_finish"]))
    return {key: lines for key, lines in found.items() if lines}


def _stitched(snapshot: dict[str, Any], line: dict[str, Any]) -> bool:
    return schedule_rows.total(snapshot, line["label"], "stitch nails") > 0


def _is(evaluated: dict[str, dict[str, Any]], key: str, kind: str) -> bool:
    return key in evaluated and evaluated[key]["kind"] == kind


def _angle_key(snapshot: dict[str, Any], line: dict[str, Any]) -> str:
    """The framing angle that a line uses or that was counted beside its own method."""
    evaluated = _evaluated(snapshot)
    methods = line["methods"]
    for key in (methods["floor_to_plate"], *methods["alternatives"]):
        if _is(evaluated, key, "framing angle"):
            return key
    return ""


def _draw(snapshot: dict[str, Any], key: str, line: dict[str, Any]) -> str:
    evaluated, label = _evaluated(snapshot), line["label"]
    schedule, result = schedule_rows.line_schedule(snapshot, label), schedule_rows.line_result(snapshot, label)
    if key == "screw":
        screw = evaluated[wall_line.rows(schedule, "floor to plate")[0]["connector"]]
        return through_plate_section.draw(
            line,
            result["through_plate"],
            screw,
            stitched=_stitched(snapshot, line),
            paper_width_in=11.4,
            paper_height_in=14.4,
        )
    if key == "pattern":
        return through_plate_section.draw_pattern(
            line, schedule, result["through_plate"], paper_width_in=13.2, shown_in=PATTERN_SHOWN_IN
        )
    if key == "angle":
        return framing_angle.draw(line, evaluated[_angle_key(snapshot, line)], paper_width_in=11.4, paper_height_in=7.6)
    if key == "anchor":
        anchor = evaluated[wall_line.rows(schedule, "sill anchors")[0]["connector"]]
        return sill_anchor.draw(
            line,
            anchor,
            block=bool(wall_line.rows(schedule, "block nails")),
            sill_edge_in=snapshot["lines"].get(label, {}).get("sill_edge_in"),
            paper_width_in=14.0,
            paper_height_in=7.8,
        )
    if key == "tie-down":
        tie_down = evaluated[wall_line.rows(schedule, "tie-downs")[0]["connector"]]
        anchor = evaluated[line["methods"]["tie_down_anchor"]]
        return sill_anchor.draw_tie_down(line, tie_down, anchor, paper_width_in=10.2, paper_height_in=6.8)
    row = wall_line.rows(schedule, "panel edge nails")[0]
    joints = wall_line.panel_joints_in(result, row["panel"] or 1)
    return framing_angle.draw_panel_nailing(
        line, row["spacing_in"], joints_in=joints, paper_width_in=9.8, paper_height_in=7.6
    )


def _set_ups(snapshot: dict[str, Any]) -> list[list[dict[str, Any]]]:
    """Wall lines with through-plate screws, grouped by all that the section shows."""
    groups: dict[str, list[dict[str, Any]]] = {}
    for line in _lines_of(snapshot).get("screw", []):
        framing = line["framing"]
        sizes = [
            framing[key]
            for key in (
                "plates_in",
                "plate_width_in",
                "rim_thickness_in",
                "rim_depth_in",
                "rim_set_back_in",
                "jig_bears_on",
            )
        ]
        groups.setdefault(repr([*sizes, line["methods"]["floor_to_plate"]]), []).append(line)
    return list(groups.values())


def _set_up_rows(snapshot: dict[str, Any], lines: list[dict[str, Any]]) -> dict[str, Any]:
    result = schedule_rows.line_result(snapshot, lines[0]["label"])
    return {
        "lines": ", ".join(line["label"] for line in lines),
        "rows": set_up_rows(result["through_plate"], stitched=any(_stitched(snapshot, line) for line in lines)),
        "warnings": list(result["through_plate"]["warnings"]),
    }


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


def _angle_note(snapshot: dict[str, Any], stand: standing.Standing) -> str:
    """What the other way would take, line by line."""
    parts = []
    for result in snapshot["result"]["lines"]:
        for option in result["options"]:
            if option["method"] == "framing angles":
                count = f"{option['count']} angles" if option["feasible"] else option["reason"]
                parts.append(f"line {result['label']}: {count}")
    if not parts:
        return ""
    return (
        "Framing angles take the place of the through-plate screws only by a new revision of the schedule; they "
        "need the ceiling opened and restored. Count beside the screws: " + "; ".join(parts) + "."
    )
