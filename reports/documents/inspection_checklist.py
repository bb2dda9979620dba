"""The inspection checklist, letter pages: one section a stage, measurable lines from the schedule.

A line says what to look at, by what criterion, what is required, and leaves room for what was measured. Design values
come before the general ones. Stages: B anchors, C blocking and connectors, D tie-downs, E panel nailing, G final.
"""

from __future__ import annotations

from typing import Any

from reports.documents import figures, notes, schedule_rows, standing
from reports.drawings import wall_line
from reports.drawings.through_plate_section import step_values
from reports.sections import Section

TEMPLATE = "reports/documents/inspection_checklist/stage.html"
STAGES = {
    "B": ("Anchors in existing concrete", "before panels hide them; special inspection while they are drilled and set"),
    "C": ("Blocking, connectors, stitch nails", "before panels or insulation"),
    "D": ("Tie-downs", "before cover"),
    "E": ("Panel nailing", "before any cover"),
    "G": ("Final", "when all stages above are passed"),
}
SHORT_STUD_IN = 18.0
NAIL_PENETRATION_IN = {"6d": "1 1/4″", "8d": "1 3/8″", "10d": "1 1/2″"}


def sections(snapshot: dict[str, Any], subject: dict[str, Any] | None) -> list[Section]:
    """One section for each stage that has a line in this job; the final one always."""
    stand = standing.of(snapshot)
    special = notes.special_inspections(snapshot)
    found = []
    for stage, (title, when) in STAGES.items():
        groups = stage_lines(snapshot, stage)
        if not groups:
            continue
        context = {
            "stage": stage,
            "title": title,
            "when": when,
            "address": snapshot["house"]["address"],
            "job": snapshot["job"]["number"],
            "banner": stand.banner,
            "groups": groups,
            "special": special if stage == "B" else [row for row in special if "nailing" in row["what"]]
                       if stage == "E" else [],
            "anchor_record": stage == "B",
            "safety": standing.SAFETY,
        }  # fmt: skip
        found.append(Section(name=f"stage-{stage.lower()}", sheet=f"I-{stage}", title=f"Inspection {stage}: {title}",
                             template=TEMPLATE, context=context))  # fmt: skip
    return found


def stage_lines(snapshot: dict[str, Any], stage: str) -> list[dict[str, Any]]:
    """The lines of a stage, grouped by wall line: text, criterion, required."""
    if stage == "G":
        return [{"title": "Whole house", "lines": _final(snapshot)}]
    make = {"B": _anchors, "C": _connectors, "D": _tie_downs, "E": _nailing}[stage]
    groups = []
    for label in schedule_rows.labels(snapshot):
        if lines := make(snapshot, label):
            groups.append({"title": f"Wall line {label}", "lines": lines})
    return groups


def _row(text: str, criterion: str, required: str) -> dict[str, str]:
    return {"text": text, "criterion": criterion, "required": required}


def _evaluated(snapshot: dict[str, Any], key: str) -> dict[str, Any] | None:
    return next((item for item in snapshot["inputs"]["catalogue"]["evaluated"] if item["key"] == key), None)


def _anchors(snapshot: dict[str, Any], label: str) -> list[dict[str, str]]:
    schedule, line = schedule_rows.line_schedule(snapshot, label), schedule_rows.line_inputs(snapshot, label)
    names = wall_line.connector_names(snapshot["inputs"]["catalogue"])
    items = [item for item in wall_line.rows(schedule, "sill anchors") if item["count"]]
    rows = [
        _row(f"{names[item['connector']]}, {schedule_rows.where(item, label)}, at {figures.lengths(item['positions_in'])}",
             "count", str(item["count"]))
        for item in items
    ]  # fmt: skip
    for key in dict.fromkeys(item["connector"] for item in items):
        anchor = _evaluated(snapshot, key)
        if anchor is None:
            continue
        if anchor["embedment_in"]:
            rows.append(_row("Embedment, every anchor", "at least", figures.length(anchor["embedment_in"])))
        if anchor["minimum_edge_in"]:
            rows.append(_row("Distance to the concrete's face", "at least", figures.length(anchor["minimum_edge_in"])))
        least = figures.length(7 * anchor["diameter_in"])
        rows.append(_row("Distance to the end of the sill piece, end anchors", "between", f"{least} and 12″"))
        rows.append(_row("Hole size, cleaning, adhesive and its expiry date", f"by report {anchor['report']}", "as printed"))
    if items:
        rows.append(_row("Plate washer between nut and sill", "at least", "3 × 3 × 0.229 in"))
        rows.append(_row("Washer edge to the sheathed edge of the sill", "at most", "1/2″"))
        rows.append(_row("Nuts", "snug, after the adhesive has cured; thread flush with the nut or beyond", "all"))
    counted = [anchor for anchor in line["existing_anchors"] if anchor["accepted"]]
    if counted:
        places = figures.lengths([anchor["at_ft"] * 12 for anchor in counted])
        rows.append(_row(f"Existing anchors that count, at {places}", "tight, washer in place", str(len(counted))))
    return rows


def _connectors(snapshot: dict[str, Any], label: str) -> list[dict[str, str]]:
    schedule, result = schedule_rows.line_schedule(snapshot, label), schedule_rows.line_result(snapshot, label)
    names = wall_line.connector_names(snapshot["inputs"]["catalogue"])
    rows = []
    for item in wall_line.rows(schedule, "floor to plate"):
        rows.append(_row(f"{names[item['connector']]}, floor to top plate", "count", str(item["count"])))
        rows.append(_row("Spacing", "in the bays scheduled; at most",
                         figures.length(snapshot["inputs"]["criteria"]["maximum_connector_spacing_in"])))  # fmt: skip
    if result["through_plate"]:
        values = step_values(result["through_plate"])
        depth = figures.length(values["drilled_depth_in"])
        rows += [
            _row("Probe hole at each end: joist over the target line", "wood at full depth", "2 holes"),
            _row("Target line from the plates' outer edge", "within the placing tolerance of "
                 + figures.length(values["placing_tolerance_in"]), figures.length(values["target_from_plate_edge_in"])),
            _row("Pilot hole", "diameter", f"{values['jig_hole_in']:.3f} in"),
            _row("Out of plumb", f"over {depth}, at most", figures.length(values["max_off_in"])),
            _row("Penetration into the joist: heads tight to the plate", "at least", figures.length(values["penetration_in"])),
        ]  # fmt: skip
    for role, criterion in (("stitch nails", "count"), ("splice nails each side", "each side of the lap"),
                            ("block nails", "count, blocks tight to the sill")):  # fmt: skip
        for item in wall_line.rows(schedule, role):
            if item["count"]:
                place = f", at {figures.lengths(item['positions_in'])}" if role == "splice nails each side" else ""
                text = f"{schedule_rows.ROLE_WORDS[role]}: {names[item['connector']]}, {schedule_rows.where(item, label)}{place}"
                rows.append(_row(text, f"{criterion}{'; ' + item['note'] if item['note'] else ''}", str(item["count"])))
    return rows


def _tie_downs(snapshot: dict[str, Any], label: str) -> list[dict[str, str]]:
    schedule, line = schedule_rows.line_schedule(snapshot, label), schedule_rows.line_inputs(snapshot, label)
    names = wall_line.connector_names(snapshot["inputs"]["catalogue"])
    rows = []
    for item in wall_line.rows(schedule, "tie-downs"):
        if item["count"]:
            rows.append(_row(f"{names[item['connector']]}, {schedule_rows.where(item, label)}, rods at "
                             f"{figures.lengths(item['positions_in'])}", "count", str(item["count"])))  # fmt: skip
    for key in dict.fromkeys(item["connector"] for item in wall_line.rows(schedule, "tie-down anchors") if item["count"]):
        anchor = _evaluated(snapshot, key)
        if anchor and anchor["embedment_in"]:
            rows.append(_row(f"{anchor['name']}: embedment", "at least", figures.length(anchor["embedment_in"])))
    if rows:
        post = line["end_post"]
        rows.append(_row("End posts", "size", f"{figures.length(post['width_in'])} × {figures.length(post['depth_in'])}"))
        rows.append(_row("Fasteners into the post", "every hole that the report names", "all"))
        rows.append(_row("Rods plumb, nuts tightened again before cover", "by hand", "all"))
    return rows


def _nailing(snapshot: dict[str, Any], label: str) -> list[dict[str, str]]:
    schedule, line = schedule_rows.line_schedule(snapshot, label), schedule_rows.line_inputs(snapshot, label)
    result, sheathing = schedule_rows.line_result(snapshot, label), line["sheathing"]
    nail = f"{sheathing['nail_diameter_in']:g} × {figures.length(sheathing['nail_length_in'])} {sheathing['finish']}"
    rows = []
    for item in wall_line.rows(schedule, "panel edge nails"):
        panel = item["panel"] or 1
        name = f"Panel {label}·{panel}"
        span = line["panels"][panel - 1]
        joints = wall_line.panel_joints_in(result, schedule, panel)
        bays = [bay for bay in wall_line.bays(line)
                if bay.from_in >= span["from_ft"] * 12 - 2 and bay.to_in <= span["to_ft"] * 12 + 2]  # fmt: skip
        middle = (span["from_ft"] + span["to_ft"]) * 6
        studs_in = wall_line.segment_at(line, middle)["stud_height_ft"] * 12
        holes = 1 if studs_in < SHORT_STUD_IN else 2
        rows += [
            _row(f"{name}: grade and thickness on the panel's stamp", "read", f"{sheathing['grade']} {sheathing['thickness']} in"),
            _row(f"{name}: nail", "diameter × length, full head", nail),
            _row(f"{name}: edge nails, all edges of every piece", "spacing at most", figures.length(item["spacing_in"])),
            _row(f"{name}: edge nails", "count about", str(item["count"])),
            _row(f"{name}: heads sunk below the face", "count; stop and ask at 4″ or closer"
                 if item["spacing_in"] <= notes.CLOSE_NAILING_IN else "count by edge", "0"),
            _row(f"{name}: holes where a bay is closed, 2 to 3 in round", f"{holes} a bay, 1 in clear of sill and plates",
                 str(holes * len(bays))),
        ]  # fmt: skip
        if joints:
            rows.append(_row(f"{name}: joints on studs at {figures.lengths(list(joints))}", "count", str(len(joints))))
    if rows:
        rows.append(_row("Nails to panel edges", "at least", "3/8″"))
        penetration = NAIL_PENETRATION_IN.get(sheathing["nail"], "as scheduled")
        rows.append(_row("Nail penetration into framing", "at least", penetration))
        rows.append(_row("Field nails", "spacing at most", "12″"))
    return rows


def _final(snapshot: dict[str, Any]) -> list[dict[str, str]]:
    rows = [
        _row("Stages above passed and signed", "inspection card", "all"),
        _row("Way in under the floor clear and closed again", "seen", "yes"),
        _row("Vents and panel holes open", "seen", "all"),
        _row("Debris and cut-offs out of the crawlspace", "seen", "yes"),
        _row("Pipes, wires and ducts as before, or as agreed", "seen", "yes"),
        _row("Photos from the same places as before the work", "count", "as the survey's"),
        _row("Changes on site logged and answered", "log compared with the schedule", "all"),
    ]
    if notes.special_inspections(snapshot):
        rows.insert(1, _row("Special inspector's final report", "on file, discrepancies shown corrected", "yes"))
    return rows
