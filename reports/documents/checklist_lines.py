"""The measurable lines of an inspection: what to look at, by what criterion, what is required.

Counts and places come from the schedule, limits from the design; what holds for every piece follows after them.
"""

from __future__ import annotations

from typing import Any

from engineering import tie_downs
from engineering.footings import END_DIAMETERS
from engineering.plate_washers import SLOT_LONG_IN, SLOT_OVER_IN
from jobs.hold_points import ANCHOR_ROLES, CLOSE_NAILING_IN
from reports.documents import figures, notes, schedule_rows
from reports.drawings import vent_holes, wall_line
from reports.drawings.through_plate_section import step_values

NAIL_PENETRATION_IN = {"6d": "1 1/4″", "8d": "1 3/8″", "10d": "1 1/2″"}


def row(text: str, criterion: str, required: str, note: str = "") -> dict[str, str]:
    return {"text": text, "criterion": criterion, "required": required, "note": note}


HOLES = [
    row("Round hole near mid-bay, at top and at bottom; one where studs are under 18″", "diameter", "2″ to 3″"),
    row("Clear of sill and plates", "at least", "1″"),
    row("In a bay with an anchor: lower hole centred on it, clear of the nailing edge", "at least", "1″"),
    row("In a bay with old blocking: holes above and below it too, or a new 2 × 4 flat on the panel", "seen", "all"),
]


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
        row(
            f"{names[item['connector']]}, {schedule_rows.where(item, label)}"
            + (f", {what} {figures.lengths(item['positions_in'])}" if what else ""),
            "count",
            str(item["count"]),
            item["note"],
        )
        for item in wall_line.rows(schedule_rows.line_schedule(snapshot, label), role)
        if item["count"]
    ]


def anchors(snapshot: dict[str, Any], label: str) -> list[dict[str, str]]:
    rows = _counts(snapshot, label, "sill anchors", "at")
    counted = [
        anchor for anchor in schedule_rows.line_inputs(snapshot, label)["existing_anchors"] if anchor["accepted"]
    ]
    if counted:
        places = figures.lengths([anchor["at_ft"] * 12 for anchor in counted])
        rows.append(row(f"Existing anchors that count, at {places}", "tight, washer in place", str(len(counted))))
    rows += [
        row(f"New plate washers {size} on existing anchors, at {figures.lengths(places)}", "fitted, nuts tight",
             str(len(places)))
        for size, places in schedule_rows.washers_by_size(snapshot, label).items()
    ]  # fmt: skip
    rows += _counts(snapshot, label, "side connections", "at")
    return rows + _counts(snapshot, label, tie_downs.ANCHOR_ROLE, "at")


def every_anchor(snapshot: dict[str, Any]) -> list[dict[str, Any]]:
    groups = []
    for role in ANCHOR_ROLES:
        for key, labels in _used(snapshot, role).items():
            if anchor := _evaluated(snapshot, key):
                washers = dict.fromkeys(schedule_rows.new_washer(snapshot, label) for label in labels)
                rows = _in_concrete(anchor)
                if role in wall_line.SILL_ROLES:
                    rows += _at_sill(anchor)
                if role == "sill anchors":
                    rows += _under_nut(" or ".join(washers), anchor["diameter_in"])
                if role == "side connections":
                    rows += _at_face()
                groups.append({"title": f"Every {anchor['name']}, lines {', '.join(labels)}", "lines": rows})
    return groups


def _in_concrete(anchor: dict[str, Any]) -> list[dict[str, str]]:
    """What holds for an anchor in the concrete wherever it stands."""
    rows = [_as_named(anchor)]
    if anchor["embedment_in"]:
        rows.append(row("Embedment", "at least", figures.length(anchor["embedment_in"])))
    if anchor["minimum_edge_in"]:
        rows.append(row("Distance to the concrete's face", "at least", figures.length(anchor["minimum_edge_in"])))
    rows += [
        row("Hole size and depth, cleaning", f"by report {anchor['report']}", "as printed"),
        row("Concrete cracked or spalled by drilling or setting; steel hit", "seen", "none"),
        row("Powder-driven fasteners in place of anchors", "seen", "none"),
    ]
    if anchor["adhesive"]:
        rows.append(row("Adhesive in date, concrete warm enough, cured before the nut", "as printed", "yes"))
    return rows


def _as_named(connector: dict[str, Any]) -> dict[str, str]:
    return row("Label or mark: the product that the plans name", "read", f"report {connector['report']}")


def _at_sill(anchor: dict[str, Any]) -> list[dict[str, str]]:
    least = figures.length(END_DIAMETERS * anchor["diameter_in"])
    return [
        row("Distance to the end of the sill piece, end anchors", "between", f"{least} and 12″"),
        row("Anchors in each sill piece, with old ones that count", "at least; one in a piece under 30″", "2"),
    ]


def _under_nut(size: str, diameter_in: float) -> list[dict[str, str]]:
    slot = f"{figures.length(diameter_in + SLOT_OVER_IN)} × {figures.length(SLOT_LONG_IN)}"
    return [
        row("Plate washer between nut and sill", "at least", size),
        row("Slot in a plate washer, where it has one; a round cut washer over it", "at most", slot),
        row("Washer edge to the sheathed edge of the sill", "at most", "1/2″"),
        row("Anchor upright", "seen", "all"),
        row("Nuts snug, after any adhesive has cured; thread flush with the nut or beyond", "by hand", "all"),
    ]


def _at_face() -> list[dict[str, str]]:
    return [
        row("Nothing can be drilled from above here", "seen, photo", "yes"),
        row("Plate tight to the concrete's face and to the sill, no gap", "seen", "all"),
        row("Screws or nails into the sill", "every hole that the report names", "all"),
        row("Nuts snug, after any adhesive has cured", "by hand", "all"),
    ]


def connectors(snapshot: dict[str, Any], label: str) -> list[dict[str, str]]:
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
        rows.append(row("Spacing, in the bays scheduled", f"about {spacing}; at most {limit}", limit))
    rows += _counts(snapshot, label, "stitch nails")
    rows += [
        counted | {"criterion": "each side of the lap"}
        for counted in _counts(snapshot, label, "splice nails each side", "plate lap at")
    ]
    rows += _counts(snapshot, label, "plate straps", "plate joint at") + _counts(snapshot, label, "strut splice", "at")
    return [*blocking, *rows, *_counts(snapshot, label, "block nails")]


def every_connector(snapshot: dict[str, Any]) -> list[dict[str, Any]]:
    groups: dict[str, tuple[list[dict[str, str]], list[str]]] = {}
    for label in schedule_rows.labels(snapshot):
        check = schedule_rows.line_result(snapshot, label)["through_plate"]
        if check is None:
            continue
        values = step_values(check)
        rows = [
            row("Probe hole at each end of the line: joist over the target line", "wood at full depth", "2 holes"),
            row(
                "Target line from the plates' outer edge",
                f"within {figures.length(values['placing_tolerance_in'])}",
                figures.length(values["target_from_plate_edge_in"]),
            ),
            row("Pilot hole", "diameter", f"{values['jig_hole_in']:.3f} in"),
            row(
                "Out of plumb",
                f"over {figures.length(values['drilled_depth_in'])}, at most",
                figures.length(values["max_off_in"]),
            ),
            row(
                "Penetration into the joist: heads tight to the plate",
                "at least",
                figures.length(values["penetration_in"]),
            ),
        ]
        groups.setdefault(repr(rows), (rows, []))[1].append(label)
    screws = [
        {"title": f"Every through-plate screw, lines {', '.join(labels)}", "lines": rows}
        for rows, labels in groups.values()
    ]
    return [*screws, {"title": "Every connector, nail and block", "lines": _as_fastened(snapshot)}]


def _as_fastened(snapshot: dict[str, Any]) -> list[dict[str, str]]:
    roles, kinds = notes.roles(snapshot), notes.kinds(snapshot)
    keys = dict.fromkeys(key for role in wall_line.PLATE_ROLES for key in _used(snapshot, role))
    rows = [
        _as_named(one) | {"text": f"{one['name']}: label or mark"} for key in keys if (one := _evaluated(snapshot, key))
    ]
    if "framing angle" in kinds or "plate straps" in roles:
        rows.append(row("Angles and straps: fasteners that their report names", "every hole filled", "all"))
    if "lag screw" in kinds:
        rows.append(row("Lag screws: turned in lead holes, washer under the head", "seen", "all"))
    rows.append(row("Splits in plates, joists, blocks or studs", "seen", "none"))
    if "block nails" in roles:
        rows.append(row("A block with its nails in every bay of a panel", "seen, photo of each bay", "all"))
    if any(line["framing"]["sill"]["treated"] for line in snapshot["inputs"]["lines"]):
        rows.append(row("Fasteners into treated wood", "hot-dip galvanised or stainless", "all"))
    return rows


def held_down(snapshot: dict[str, Any], label: str) -> list[dict[str, str]]:
    rows = _counts(snapshot, label, tie_downs.ROLE, "rods at")
    if rows:
        post = schedule_rows.line_inputs(snapshot, label)["end_post"]
        size = f"{figures.length(post['width_in'])} × {figures.length(post['depth_in'])}"
        rows.append(row("End posts", "size", size))
    return rows


def every_tie_down(snapshot: dict[str, Any]) -> list[dict[str, Any]]:
    rows = []
    for key in _used(snapshot, tie_downs.ANCHOR_ROLE):
        anchor = _evaluated(snapshot, key)
        if anchor and anchor["embedment_in"]:
            rows.append(row(f"{anchor['name']}: embedment", "at least", figures.length(anchor["embedment_in"])))
    rows += [
        _as_named(one) | {"text": f"{one['name']}: label or mark"}
        for key in _used(snapshot, tie_downs.ROLE)
        if (one := _evaluated(snapshot, key))
    ]
    rows += [
        row("The rod's anchor is one that the tie-down's report allows", "read", "yes"),
        row("Fasteners into the post", "every hole that the report names", "all"),
        row("Rods plumb, nuts tightened again before cover", "by hand", "all"),
    ]
    return [{"title": "Every tie-down", "lines": rows}]


def nailing(snapshot: dict[str, Any], label: str) -> list[dict[str, str]]:
    schedule, line = schedule_rows.line_schedule(snapshot, label), schedule_rows.line_inputs(snapshot, label)
    result, sheathing = schedule_rows.line_result(snapshot, label), line["sheathing"]
    items = wall_line.rows(schedule, "panel edge nails")
    if not items:
        return []
    rows = [
        row("Panels: grade and thickness on the stamp", "read", f"{sheathing['grade']} {sheathing['thickness']} in"),
        row("Nail", "diameter × length, full head", schedule_rows.sheathing_nail(line)),
    ]
    for item in items:
        panel = item["panel"] or 1
        span, name = line["panels"][panel - 1], f"Panel {label}·{panel}"
        joints = wall_line.panel_joints_in(result, panel)
        studs_in = wall_line.segment_at(line, (span["from_ft"] + span["to_ft"]) * 6)["stud_height_ft"] * 12
        holes = vent_holes.needed(studs_in)
        sunk = "count; stop and ask" if item["spacing_in"] <= CLOSE_NAILING_IN else "count by edge"
        rows.append(
            row(f"{name}: edge nails, all edges of every piece", "spacing at most", figures.length(item["spacing_in"]))
        )
        rows.append(row(f"{name}: heads sunk below the face", sunk, "0"))
        rows.append(
            row(
                f"{name}: round holes of 2 to 3 in where a bay is closed",
                f"{holes} a bay",
                str(holes * len(wall_line.bays_inside(line, span))),
            )
        )
        if joints:
            rows.append(row(f"{name}: joints on studs at {figures.lengths(list(joints))}", "count", str(len(joints))))
    return rows


def every_nail(snapshot: dict[str, Any]) -> list[dict[str, Any]]:
    nails = {line["sheathing"]["nail"] for line in snapshot["inputs"]["lines"] if line["panels"]}
    rows = [
        row("Nails to panel edges", "at least", "3/8″"),
        row("Field nails", "spacing at most", "12″"),
        row("Heads flush with the face, not proud", "seen", "all"),
        row("Nails beside a joint without framing behind", "seen", "none"),
        row("Clipped heads, or nails thinner or shorter than named", "seen", "none"),
        row("Horizontal joints, where there are any", "on blocking of stud size", "all"),
    ]
    rows += [
        row(f"{nail} nails: penetration into framing", "at least", NAIL_PENETRATION_IN[nail])
        for nail in sorted(nails & NAIL_PENETRATION_IN.keys())
    ]
    return [{"title": "Every panel", "lines": rows}, {"title": "Every bay that a panel closes", "lines": HOLES}]


def inspector_report(snapshot: dict[str, Any]) -> list[dict[str, str]]:
    """What closes the special inspection; nothing where no work is specially inspected."""
    special = notes.special_inspections(snapshot)
    if not special:
        return []
    return [
        row(
            "Inspector or agency: chosen and paid by the owner, not by the contractor", "name, agreement signed", "yes"
        ),
        *(row(one["what"], one["how"], "reported") for one in special),
        row("Reports to building department and engineer", "copies on file", "all"),
        row("Discrepancies", "shown corrected, seen again", "all"),
        row("Final report", "signed, before the final inspection", "yes"),
    ]


def final(snapshot: dict[str, Any]) -> list[dict[str, str]]:
    rows = [
        row("Stages above passed and signed", "inspection card", "all"),
        row("Way in under the floor clear and closed again", "seen", "yes"),
        row("Vents and panel holes open", "seen", "all"),
        row("Debris and cut-offs out of the crawlspace", "seen", "yes"),
        row("Pipes, wires and ducts as before, or as agreed", "seen", "yes"),
        row("Photos from the same places as before the work", "count", "as the survey's"),
        row("Changes on site logged and answered", "log compared with the schedule", "all"),
    ]
    if notes.special_inspections(snapshot):
        rows.insert(1, row("Special inspector's final report", "on file, discrepancies shown corrected", "yes"))
    return rows
