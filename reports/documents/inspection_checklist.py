"""The inspection checklist, letter pages: one section a stage, measurable lines from the schedule.

A line says what to look at, by what criterion, what is required, and leaves room for what was measured. Design values
come before the general ones. Stages: B anchors, C blocking and connectors, D tie-downs, E panel nailing, G final.
"""

from __future__ import annotations

from typing import Any

from engineering.footings import END_DIAMETERS
from jobs.hold_points import CLOSE_NAILING_IN
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
            "special": [row for row in special if row["stage"] == stage],
            "anchor_record": stage == "B",
            "safety": standing.SAFETY,
        }
        found.append(
            Section(
                name=f"stage-{stage.lower()}",
                sheet=f"I-{stage}",
                title=f"Inspection {stage}: {title}",
                template=TEMPLATE,
                context=context,
            )
        )
    return found


def stage_lines(snapshot: dict[str, Any], stage: str) -> list[dict[str, Any]]:
    """The lines of a stage (text, criterion, required): counts by wall line, then what holds for every piece."""
    if stage == "G":
        return [{"title": "Whole house", "lines": _final(snapshot)}]
    by_line, general = {
        "B": (_anchors, _every_anchor),
        "C": (_connectors, _every_screw),
        "D": (_tie_downs, _every_tie_down),
        "E": (_nailing, _every_nail),
    }[stage]
    groups = [
        {"title": f"Wall line {label}", "lines": lines}
        for label in schedule_rows.labels(snapshot)
        if (lines := by_line(snapshot, label))
    ]
    return [*groups, *general(snapshot)] if groups else []


def _row(text: str, criterion: str, required: str) -> dict[str, str]:
    return {"text": text, "criterion": criterion, "required": required}


def _evaluated(snapshot: dict[str, Any], key: str) -> dict[str, Any] | None:
    return next((item for item in snapshot["inputs"]["catalogue"]["evaluated"] if item["key"] == key), None)


def _used(snapshot: dict[str, Any], role: str) -> dict[str, list[str]]:
    """Connectors of one role → the wall lines that use them."""
    found: dict[str, list[str]] = {}
    for label in schedule_rows.labels(snapshot):
        for item in wall_line.rows(schedule_rows.line_schedule(snapshot, label), role):
            if item["count"] and label not in found.setdefault(item["connector"], []):
                found[item["connector"]].append(label)
    return found


def _counts(snapshot: dict[str, Any], label: str, role: str, what: str = "") -> list[dict[str, str]]:
    """One counting line for each row of a role."""
    names = wall_line.connector_names(snapshot["inputs"]["catalogue"])
    return [
        _row(
            f"{names[item['connector']]}, {schedule_rows.where(item, label)}"
            + (f", {what} {figures.lengths(item['positions_in'])}" if what else ""),
            f"count{'; ' + item['note'] if item['note'] else ''}",
            str(item["count"]),
        )
        for item in wall_line.rows(schedule_rows.line_schedule(snapshot, label), role)
        if item["count"]
    ]


def _anchors(snapshot: dict[str, Any], label: str) -> list[dict[str, str]]:
    rows = _counts(snapshot, label, "sill anchors", "at")
    counted = [
        anchor for anchor in schedule_rows.line_inputs(snapshot, label)["existing_anchors"] if anchor["accepted"]
    ]
    if counted:
        places = figures.lengths([anchor["at_ft"] * 12 for anchor in counted])
        rows.append(_row(f"Existing anchors that count, at {places}", "tight, washer in place", str(len(counted))))
    rows += [
        _row(f"New plate washers {size} on existing anchors, at {figures.lengths(places)}", "fitted, nuts tight",
             str(len(places)))
        for size, places in schedule_rows.washers_by_size(snapshot, label).items()
    ]  # fmt: skip
    return rows + _counts(snapshot, label, "side connections", "at")


def _every_anchor(snapshot: dict[str, Any]) -> list[dict[str, Any]]:
    groups = []
    for role in wall_line.SILL_ROLES:
        for key, labels in _used(snapshot, role).items():
            if anchor := _evaluated(snapshot, key):
                washers = dict.fromkeys(schedule_rows.new_washer(snapshot, label) for label in labels)
                under = _under_nut(" or ".join(washers)) if role == "sill anchors" else _at_face()
                rows = [*_in_concrete(anchor), *under]
                groups.append({"title": f"Every {anchor['name']}, lines {', '.join(labels)}", "lines": rows})
    return groups


def _in_concrete(anchor: dict[str, Any]) -> list[dict[str, str]]:
    """What holds for an anchor in the concrete wherever it stands."""
    rows = []
    if anchor["embedment_in"]:
        rows.append(_row("Embedment", "at least", figures.length(anchor["embedment_in"])))
    if anchor["minimum_edge_in"]:
        rows.append(_row("Distance to the concrete's face", "at least", figures.length(anchor["minimum_edge_in"])))
    least = figures.length(END_DIAMETERS * anchor["diameter_in"])
    rows += [
        _row("Distance to the end of the sill piece, end anchors", "between", f"{least} and 12″"),
        _row("Hole size and depth, cleaning", f"by report {anchor['report']}", "as printed"),
        _row("Powder-driven fasteners in place of anchors", "seen", "none"),
    ]
    if anchor["adhesive"]:
        rows.append(_row("Adhesive in date, concrete warm enough, cured before the nut", "as printed", "yes"))
    return rows


def _under_nut(size: str) -> list[dict[str, str]]:
    return [
        _row("Plate washer between nut and sill", "at least", size),
        _row("Washer edge to the sheathed edge of the sill", "at most", "1/2″"),
        _row("Nuts snug, after any adhesive has cured; thread flush with the nut or beyond", "by hand", "all"),
    ]


def _at_face() -> list[dict[str, str]]:
    return [
        _row("Plate tight to the concrete's face and to the sill, no gap", "seen", "all"),
        _row("Screws or nails into the sill", "every hole that the report names", "all"),
        _row("Nuts snug, after any adhesive has cured", "by hand", "all"),
    ]


def _connectors(snapshot: dict[str, Any], label: str) -> list[dict[str, str]]:
    schedule = schedule_rows.line_schedule(snapshot, label)
    rows = _counts(snapshot, label, "floor to plate")
    blocking = _counts(snapshot, label, "blocking nails")
    if rows:
        limit = figures.length(snapshot["inputs"]["criteria"]["maximum_connector_spacing_in"])
        spacing = ", ".join(
            figures.length(item["spacing_in"])
            for item in wall_line.rows(schedule, "floor to plate")
            if item["spacing_in"]
        )
        rows.append(_row("Spacing, in the bays scheduled", f"about {spacing}; at most {limit}", limit))
    rows += _counts(snapshot, label, "stitch nails")
    rows += [
        row | {"criterion": "each side of the lap"}
        for row in _counts(snapshot, label, "splice nails each side", "plate lap at")
    ]
    rows += _counts(snapshot, label, "plate straps", "plate joint at") + _counts(snapshot, label, "strut splice", "at")
    return [*blocking, *rows, *_counts(snapshot, label, "block nails")]


def _every_screw(snapshot: dict[str, Any]) -> list[dict[str, Any]]:
    groups: dict[str, tuple[list[dict[str, str]], list[str]]] = {}
    for label in schedule_rows.labels(snapshot):
        check = schedule_rows.line_result(snapshot, label)["through_plate"]
        if check is None:
            continue
        values = step_values(check)
        rows = [
            _row("Probe hole at each end of the line: joist over the target line", "wood at full depth", "2 holes"),
            _row(
                "Target line from the plates' outer edge",
                f"within {figures.length(values['placing_tolerance_in'])}",
                figures.length(values["target_from_plate_edge_in"]),
            ),
            _row("Pilot hole", "diameter", f"{values['jig_hole_in']:.3f} in"),
            _row(
                "Out of plumb",
                f"over {figures.length(values['drilled_depth_in'])}, at most",
                figures.length(values["max_off_in"]),
            ),
            _row(
                "Penetration into the joist: heads tight to the plate",
                "at least",
                figures.length(values["penetration_in"]),
            ),
        ]
        groups.setdefault(repr(rows), (rows, []))[1].append(label)
    return [
        {"title": f"Every through-plate screw, lines {', '.join(labels)}", "lines": rows}
        for rows, labels in groups.values()
    ]


def _tie_downs(snapshot: dict[str, Any], label: str) -> list[dict[str, str]]:
    rows = _counts(snapshot, label, "tie-downs", "rods at")
    if rows:
        post = schedule_rows.line_inputs(snapshot, label)["end_post"]
        size = f"{figures.length(post['width_in'])} × {figures.length(post['depth_in'])}"
        rows.append(_row("End posts", "size", size))
    return rows


def _every_tie_down(snapshot: dict[str, Any]) -> list[dict[str, Any]]:
    rows = []
    for key in _used(snapshot, "tie-down anchors"):
        anchor = _evaluated(snapshot, key)
        if anchor and anchor["embedment_in"]:
            rows.append(_row(f"{anchor['name']}: embedment", "at least", figures.length(anchor["embedment_in"])))
    rows.append(_row("Fasteners into the post", "every hole that the report names", "all"))
    rows.append(_row("Rods plumb, nuts tightened again before cover", "by hand", "all"))
    return [{"title": "Every tie-down", "lines": rows}]


def _nailing(snapshot: dict[str, Any], label: str) -> list[dict[str, str]]:
    schedule, line = schedule_rows.line_schedule(snapshot, label), schedule_rows.line_inputs(snapshot, label)
    result, sheathing = schedule_rows.line_result(snapshot, label), line["sheathing"]
    items = wall_line.rows(schedule, "panel edge nails")
    if not items:
        return []
    rows = [
        _row("Panels: grade and thickness on the stamp", "read", f"{sheathing['grade']} {sheathing['thickness']} in"),
        _row("Nail", "diameter × length, full head", schedule_rows.sheathing_nail(line)),
    ]
    for item in items:
        panel = item["panel"] or 1
        span, name = line["panels"][panel - 1], f"Panel {label}·{panel}"
        joints = wall_line.panel_joints_in(result, panel)
        studs_in = wall_line.segment_at(line, (span["from_ft"] + span["to_ft"]) * 6)["stud_height_ft"] * 12
        holes = 1 if studs_in < SHORT_STUD_IN else 2
        sunk = "count; stop and ask" if item["spacing_in"] <= CLOSE_NAILING_IN else "count by edge"
        rows.append(
            _row(f"{name}: edge nails, all edges of every piece", "spacing at most", figures.length(item["spacing_in"]))
        )
        rows.append(_row(f"{name}: heads sunk below the face", sunk, "0"))
        rows.append(
            _row(
                f"{name}: round holes of 2 to 3 in where a bay is closed",
                f"{holes} a bay",
                str(holes * len(wall_line.bays_inside(line, span))),
            )
        )
        if joints:
            rows.append(_row(f"{name}: joints on studs at {figures.lengths(list(joints))}", "count", str(len(joints))))
    return rows


def _every_nail(snapshot: dict[str, Any]) -> list[dict[str, Any]]:
    nails = {line["sheathing"]["nail"] for line in snapshot["inputs"]["lines"] if line["panels"]}
    rows = [
        _row("Nails to panel edges", "at least", "3/8″"),
        _row("Field nails", "spacing at most", "12″"),
        _row("Nails beside a joint without framing behind", "seen", "none"),
        _row("Clipped heads, or nails thinner or shorter than named", "seen", "none"),
        _row("Holes clear of sill and plates", "at least", "1″"),
    ]
    rows += [
        _row(f"{nail} nails: penetration into framing", "at least", NAIL_PENETRATION_IN[nail])
        for nail in sorted(nails & NAIL_PENETRATION_IN.keys())
    ]
    return [{"title": "Every panel", "lines": rows}]


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
