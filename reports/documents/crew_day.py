"""A crew's day before the walls: the site, the order of work with its hold points, tools, photos.

What the job has recorded is printed; what it has not is a blank that says what to write there.
"""

from __future__ import annotations

from typing import Any

from engineering import tie_downs, wall_panels
from jobs import hold_points
from jobs.cautions import CRAWLSPACE_KINDS
from reports.documents import figures, notes, schedule_rows
from reports.drawings import wall_line
from reports.drawings.through_plate_section import step_values

NOT_RECORDED = "not recorded"
# What nobody has a place for in the job yet: the office tells the lead, who writes it here.
SITE_BLANKS = (
    "Keys, gate code",
    "Who lets us in, telephone",
    "Parking, unloading",
    "Dogs and other animals",
    "Hours allowed, neighbours",
    "Water and power from",
    "Inspection card hangs at",
    "Emergency room, meeting place",
)
# Hold point → what is done before it, and the roles that it covers.
TASKS: dict[str, tuple[str, tuple[str, ...]]] = {
    hold_points.PROBE_HOLES.name: ("Hook the tape, check the first studs, drill the probe holes", ()),
    hold_points.ANCHORS.name: ("Drill, clean and set anchors; washers on old ones", hold_points.ANCHOR_ROLES),
    hold_points.CONNECTORS.name: (
        "Floor connectors, stitch nails, blocks",
        ("floor to plate", "blocking nails", "stitch nails", "plate straps", "strut splice", "block nails"),
    ),
    hold_points.TIE_DOWNS.name: ("End posts and tie-downs", (tie_downs.ROLE,)),
    hold_points.PANELS.name: ("Panels: cut, bore the holes, nail", (wall_panels.ROLE,)),
}
COUNTED_AS = {
    "sill anchors": "sill anchors",
    "side connections": "side connections",
    "tie-down anchors": "tie-down anchors",
    "floor to plate": "connectors",
    "blocking nails": "blocking nails",
    "stitch nails": "stitch nails",
    "plate straps": "plate straps",
    "strut splice": "strut splice fasteners",
    "block nails": "block nails",
    "tie-downs": "tie-downs",
    "panel edge nails": "edge nails",
}


def facts(snapshot: dict[str, Any], subject: dict[str, Any]) -> list[list[str]]:
    """What the job and the booking say of the day and the site."""
    house, criteria, opening = snapshot["house"], snapshot["criteria"], snapshot["house"]["access_opening_in"]
    permit, city_set = subject.get("permit", {}), subject.get("city_set", {})
    issued = f"{permit['number']}, issued {figures.day(permit['issued_on'])}" if permit.get("number") else NOT_RECORDED
    approved = f"uploaded {figures.day(city_set['uploaded_on'])}" if city_set.get("uploaded_on") else NOT_RECORDED
    engineer = f"{criteria['confirmed_by']}, {criteria['licence']}" if criteria["confirmed_by"] else "not named yet"
    crew = [subject["crew"], f"lead {subject['lead']}", *subject.get("members", [])]
    return [
        ["Day", figures.day(subject["day"])],
        ["Crew", ", ".join(crew)],
        ["Site", figures.address(house)],
        ["Job", snapshot["job"]["number"]],
        ["Permit", f"{issued}; keep it and the card on site"],
        ["Approved plans", f"{approved}; on site while anyone works"],
        ["Parcel", house["parcel_number"] or NOT_RECORDED],
        ["Built", str(house["year_built"] or NOT_RECORDED)],
        [
            "Way in under floor",
            figures.way_in(opening),
        ],
        ["Engineer of record", engineer],
    ]


def inspections(subject: dict[str, Any]) -> list[str]:
    """The visits on record, oldest first."""
    return [
        f"{visit['stage']}: {visit['result']} on {figures.day(visit['day'])} by {visit['inspector']}"
        for visit in subject.get("inspections", [])
    ]


def tasks(snapshot: dict[str, Any], labels: list[str]) -> list[dict[str, str]]:
    """The day in order: what is done with its counts, then the hold point that it ends at."""
    found = []
    for point in hold_points.of(snapshot, labels):
        does, roles = TASKS[point.name]
        counts = [
            f"{count:,} {COUNTED_AS[role]}"
            for role in roles
            if (count := sum(schedule_rows.total(snapshot, label, role) for label in labels))
        ]
        found.append({"does": does, "counts": ", ".join(counts), "hold": point.name, "text": point.text})
    return found


def tools(snapshot: dict[str, Any], labels: list[str]) -> list[dict[str, str]]:
    """What the day's work is done with, and what is written down of each tool."""
    filled = roles(snapshot, labels)
    evaluated = {one["key"]: one for one in snapshot["inputs"]["catalogue"]["evaluated"]}
    rows = []
    if filled & set(hold_points.ANCHOR_ROLES):
        used = {
            item["connector"]
            for label in labels
            for role in hold_points.ANCHOR_ROLES
            for item in wall_line.rows(schedule_rows.line_schedule(snapshot, label), role)
            if item["count"]
        }
        reports = sorted({evaluated[key]["report"] for key in used if key in evaluated})
        rows += [
            _tool("Rotary hammer with shroud; dust collector, filter 99 % or better", "collector, filter"),
            _tool("HEPA vacuum for the holes", "which"),
            _tool(f"Bits of the size that report {', '.join(reports)} asks", "size read on the bit"),
            _tool("Torque wrench or gauge", "id, calibrated on"),
        ]
        if any(evaluated[key]["adhesive"] for key in used if key in evaluated):
            rows.append(_tool("Dispenser, nozzles; thermometer for the concrete", "temperature read"))
    rows += _jigs(snapshot, labels)
    if wall_panels.ROLE in filled:
        rows.append(_tool("Nailer set to drive flush; rule for spacing and edges", "nail read on the box"))
        rows.append(_tool("Hole saw, 2 to 3 in", "size"))
    lines = [schedule_rows.line_inputs(snapshot, label) for label in labels]
    if any(segment["kind"] in CRAWLSPACE_KINDS for line in lines for segment in line["segments"]):
        rows.append(_tool("Air meter; guarded lamps, 12 V or with ground-fault protection", "id, calibrated on"))
    rows.append(_tool("Cords with ground-fault protection, looked at today", "by"))
    rows.append(_tool("Wrench for the gas shut-off", "hangs at"))
    return rows


def _jigs(snapshot: dict[str, Any], labels: list[str]) -> list[dict[str, str]]:
    """One drilling jig for the walls that share its set-up."""
    found: dict[str, list[str]] = {}
    for label in labels:
        if check := schedule_rows.line_result(snapshot, label)["through_plate"]:
            values = step_values(check)
            bar, depth = values["jig_bar_diameter_in"], values["drilled_depth_in"]
            text = (
                f"Drilling jig, round bar {figures.length(bar)}, hole {values['jig_hole_in']:.3f} in; "
                f"bit marked at {figures.length(depth)}"
            )
            found.setdefault(text, []).append(label)
    return [_tool(f"{text}: wall {', '.join(of)}", "checked on scrap by") for text, of in found.items()]


def _tool(name: str, ask: str) -> dict[str, str]:
    return {"name": name, "ask": ask}


def photos(snapshot: dict[str, Any], labels: list[str]) -> list[dict[str, str]]:
    """What is photographed today and how often; the tape and the wall's name in each picture."""
    lines = [schedule_rows.line_inputs(snapshot, label) for label in labels]
    anchors = _sum(snapshot, labels, *hold_points.ANCHOR_ROLES)
    washers = sum(len(schedule_rows.washers_to_fit(snapshot, label)) for label in labels)
    screws = sum(1 for label in labels if schedule_rows.line_result(snapshot, label)["through_plate"])
    panels = sum(len(line["panels"]) for line in lines) if wall_panels.ROLE in roles(snapshot, labels) else 0
    counted = (
        ("Each wall before work, from its datum", len(labels)),
        ("Probe hole, depth rule in it", 2 * screws),
        ("New anchor in its hole, tape from the datum, before the nut", anchors),
        ("New washer under an old anchor's nut", washers),
        ("Bay with its block and nails", sum(len(blocked_bays(snapshot, label)) for label in labels)),
        ("Tie-down, every fastener and the nut in view", _sum(snapshot, labels, tie_downs.ROLE)),
        ("Panel: stamp, edge nails with a rule, holes", 3 * panels),
        ("Each wall when finished, from the same place", len(labels)),
    )
    rows = [{"what": what, "count": f"{count:,}"} for what, count in counted if count]
    return [*rows, {"what": "Whatever is otherwise than drawn", "count": "each"}]


def blocked_bays(snapshot: dict[str, Any], label: str) -> set[int]:
    """The bays of a line that a block for the panel's bottom nails goes into, by number."""
    line, schedule = schedule_rows.line_inputs(snapshot, label), schedule_rows.line_schedule(snapshot, label)
    return {
        bay.number
        for item in wall_line.rows(schedule, "block nails")
        for bay in wall_line.bays_inside(line, line["panels"][(item["panel"] or 1) - 1])
    }


def _sum(snapshot: dict[str, Any], labels: list[str], *roles: str) -> int:
    return sum(schedule_rows.total(snapshot, label, *roles) for label in labels)


def roles(snapshot: dict[str, Any], labels: list[str]) -> set[str]:
    """The roles that the schedule fills on these walls."""
    return {role for role in notes.roles(snapshot) if _sum(snapshot, labels, role)}
