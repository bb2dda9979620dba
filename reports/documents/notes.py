"""Notes for the sheets. Each has its trigger in this job; one without it does not print."""

from __future__ import annotations

from typing import Any

from engineering import exchange, inspections, sill_anchors, wall_panels
from engineering.inputs import Catalogue, EvaluatedConnector
from engineering.schedule import Schedule
from reports.documents import figures
from reports.documents.schedule_rows import labels, line_inputs, line_result, washers_by_size
from reports.drawings import wall_line


def roles(snapshot: dict[str, Any]) -> set[str]:
    """The roles that the schedule fills anywhere in this job."""
    return {
        item["role"]
        for line in snapshot["result"]["schedule"]["lines"]
        for item in line["items"]
        if item["count"] or item["spacing_in"]
    }


def kinds(snapshot: dict[str, Any]) -> set[str]:
    """The kinds of connector that tie floor to plate anywhere in this job."""
    known = wall_line.connector_kinds(snapshot["inputs"]["catalogue"])
    return {
        known[item["connector"]]
        for line in snapshot["result"]["schedule"]["lines"]
        for item in wall_line.rows(line, "floor to plate")
    }


def general(snapshot: dict[str, Any]) -> list[tuple[str, list[str]]]:
    """General notes by subject, only what this job triggers."""
    groups = [
        ("Existing conditions", _existing(snapshot)),
        ("Floor to plate", _floor_to_plate(snapshot)),
        ("Shear panels", _panels(snapshot)),
        ("Sill and foundation", _sill(snapshot)),
        ("Tie-downs", _tie_downs(snapshot)),
        ("Inspection and testing", _inspection(snapshot)),
    ]
    return [(title, texts) for title, texts in groups if texts]


def _existing(snapshot: dict[str, Any]) -> list[str]:
    lines = snapshot["inputs"]["lines"]
    texts = [
        "Positions run from the zero end of each wall line, marked on plan and elevation. Check the tape against "
        "two stud centrelines before drilling. Where the wall is not as drawn, stop that item and ask; see the "
        "tolerance table.",
        "Nothing else is cut, notched or bored in plates, studs, sills or panels than what is drawn.",
    ]
    assumed = sorted(
        {
            f"{name} of line {line['label']} ({line['framing'][name]['basis']})"
            for line in lines
            for name in ("sill", "studs", "plates", "rim", "block")
            if "assumed" in line["framing"][name]["basis"] or "not observed" in line["framing"][name]["basis"]
        }
    )
    if assumed:
        texts.append("Species assumed, to be confirmed when seen: " + "; ".join(assumed) + ".")
    used = [
        f"line {label}: {text}" for label, facts in sorted(snapshot["lines"].items()) if (text := facts["utilities"])
    ]
    if used:
        texts.append("Utilities in the way, to be marked before work: " + "; ".join(used) + ".")
    return texts


def _floor_to_plate(snapshot: dict[str, Any]) -> list[str]:
    texts = []
    if "through-plate screw" in kinds(snapshot):
        texts.append(
            "Through-plate screws are driven from below with the drilling jig of the detail. First drill a probe "
            "hole at each end of the line and check that the joist is where the target line says; if not, stop "
            "and ask. A screw that misses, splits the plate or spins is left in place, marked, and one more is "
            "set in the same bay; log it."
        )
    if "framing angle" in kinds(snapshot):
        texts.append("Framing angles: every hole filled with the fastener that their report names.")
    if "lag screw" in kinds(snapshot):
        texts.append("Lag screws: lead holes for shank and thread, turned in, not driven; a washer under each head.")
    if "stitch nails" in roles(snapshot):
        texts.append(
            "Stitch nails join the lower plate to the upper one from below, beside each floor-to-plate "
            "connector. They come before the panel's top edge is covered. Splice nails at plate laps are besides "
            "the stitch nails."
        )
    if "splice nails each side" in roles(snapshot):
        texts.append(
            "Plate laps: the scheduled nails on each side of the joint; a lap found elsewhere than drawn is logged."
        )
    found = roles(snapshot)
    if "blocking nails" in found:
        texts.append(
            "New blocking between the joists: full depth, cut to fit, nailed to the top plate and to the joists as "
            "scheduled; the floor sheathing nailed to each block."
        )
    if "plate straps" in found:
        texts.append("Straps across plate joints: centred on the joint, every hole that their report names filled.")
    if "strut splice" in found:
        texts.append("Struts lap the top plate as drawn, in one length where the schedule names no splice.")
    return texts


def _panels(snapshot: dict[str, Any]) -> list[str]:
    if "panel edge nails" not in roles(snapshot):
        return []
    texts = [
        "A nail is named by diameter and length. Gun nails have the same diameter, length and full head as the "
        "hand nail.",
        "All panel edges on framing or blocking and nailed as scheduled; field nails at 12 in. At least 3/8 in "
        "from panel edges and 3/8 in from the edge of the framing.",
        "Heads flush with the face, neither proud nor sunk. Count sunk heads by panel and log the count; at edge "
        "nailing of 4 in or closer stop and ask.",
        "Where a panel closes a stud bay: one round hole of 2 to 3 in near mid-bay at top and at bottom, at "
        "least 1 in clear of sill and plates; one hole where the studs are under 18 in. In a bay with an anchor "
        "the lower hole is centred on it.",
    ]
    if any(any(joints) for line in snapshot["result"]["lines"] for joints in line["panel_joints_in"]):
        opening = snapshot["inputs"]["access_opening_in"]
        reason = (
            "" if isinstance(opening, str) else f" to pass the access opening of {opening[0]:g} × {opening[1]:g} in"
        )
        texts.append(f"Panels come in pieces{reason}; every joint on a stud as drawn, both pieces nailed on it.")
    if "block nails" in roles(snapshot):
        texts.append(
            "Where the sill is wider than the studs, a flat block in each stud bay of a panel takes the panel's "
            "bottom nails; two pieces beside an anchor rod. Photograph every bay before the panel goes on."
        )
    return texts


def _sill(snapshot: dict[str, Any]) -> list[str]:
    lines = snapshot["inputs"]["lines"]
    texts = []
    if any(line["framing"]["sill"]["treated"] for line in lines):
        texts.append("Fasteners into treated wood are hot-dip galvanised or stainless.")
    if "sill anchors" in roles(snapshot):
        texts += [
            "New sill anchors: not nearer than 7 diameters and not farther than 12 in from the end of a sill "
            "piece where a piece ends in a panel; at least two in each panel and in each piece (one in a piece "
            "under 30 in).",
            "A plate washer of at least 3 × 3 × 0.229 in between nut and sill, its edge within 1/2 in of the "
            "sheathed side. Nuts snug; on adhesive anchors only after the adhesive has cured. Retighten before "
            "cover.",
            "Anchors are set by their report and the maker's printed instructions: hole size, depth, cleaning, "
            "expiry date of the adhesive, edge distance. Powder-driven fasteners are no substitute.",
        ]
    if "side connections" in roles(snapshot):
        texts.append(
            "Side connections stand where no anchor can be drilled from above: the plate tight to the concrete's "
            "face and to the sill, anchors in sound concrete at the depth and edge distance of their report, every "
            "screw into the sill."
        )
    if texts_of := _washers(snapshot):
        texts.append(f"New plate washers under the nuts of existing anchors that count: {texts_of}. Nuts tightened.")
    strengths: dict[str, list[str]] = {}
    for line in lines:
        base = line["foundation"]
        psi = base["concrete_psi"]
        text = f"{psi:,.0f} psi ({base['concrete_basis']})" if isinstance(psi, int | float) else "strength not observed"
        strengths.setdefault(f"{base['material']}, {text}", []).append(line["label"])
    texts.append(
        "Foundation as recorded: " + "; ".join(f"line {', '.join(ls)}: {t}" for t, ls in strengths.items()) + "."
    )
    return texts


def _washers(snapshot: dict[str, Any]) -> str:
    """The washers that old bolts still need: by line how many, where and how large."""
    found = []
    for label in labels(snapshot):
        for size, places in washers_by_size(snapshot, label).items():
            found.append(f"line {label}: {len(places)} × {size} at {figures.lengths(places)}")
    return "; ".join(found)


def _tie_downs(snapshot: dict[str, Any]) -> list[str]:
    if "tie-downs" not in roles(snapshot):
        return []
    return [
        "Tie-downs stand on end posts as drawn, with every fastener that their report names; rods plumb, nuts "
        "tightened again before cover. The anchor is one that the tie-down's report allows.",
    ]


def _inspection(snapshot: dict[str, Any]) -> list[str]:
    return [
        "Work stays open until the inspection that covers it is passed: anchors and tie-downs, connectors and "
        "blocks, then panel nailing. Approved plans on site.",
    ]


def for_line(snapshot: dict[str, Any], label: str) -> list[str]:
    """What is particular to one wall line: members and how they are known, laps, utilities, finishes, foundation."""
    line, facts = line_inputs(snapshot, label), snapshot["lines"].get(label, {})
    framing = line["framing"]
    members = {}
    for name in ("sill", "studs", "plates", "rim"):
        member = framing[name]
        treated = ", treated" if member["treated"] else ""
        words = f"{member['species']}{treated} (G = {member['specific_gravity']:g}, {member['basis']})"
        members.setdefault(words, []).append(name)
    texts = [f"{', '.join(names).capitalize()}: {words}." for words, names in members.items()]
    pieces = [f"{figures.length(p['from_ft'] * 12)} to {figures.length(p['to_ft'] * 12)}" for p in line["sill_pieces"]]
    sill = f"{figures.length(framing['sill_thickness_in'])} × {figures.length(framing['sill_width_in'])}"
    texts.append(f"Sill {sill}, pieces {'; '.join(pieces)}.")
    laps = line["plate_laps_ft"]
    if isinstance(laps, str):
        texts.append("Upper plate: joints not observed.")
    elif laps:
        texts.append(f"Upper plate: joint at {figures.lengths([lap * 12 for lap in laps])}.")
    reach = framing["top_nails_reach"]
    if len(framing["plates_in"]) > 1:
        texts.append(
            f"Top edge nails of the panels end in the {reach}."
            if reach != "not observed"
            else "Where the panels' top nails end: not observed."
        )
    kind = "rim joist, joists perpendicular" if framing["joists"] == "perpendicular" else "end joist, joists parallel"
    texts.append(
        f"{kind.capitalize()}: {figures.length(framing['rim_thickness_in'])} × "
        f"{figures.length(framing['rim_depth_in'])}, set back {figures.length(framing['rim_set_back_in'])} from "
        "the plates' outer edge."
    )
    texts.append(f"Foundation: {foundation(line)}.")
    for title, key in (
        ("In the way", "obstructions"),
        ("Utilities", "utilities"),
        ("Inside finish", "inside_finish"),
        ("Ceiling", "ceiling_finish"),
        ("Note", "notes"),
    ):
        if facts.get(key):
            texts.append(f"{title}: {facts[key]}.")
    result = line_result(snapshot, label)
    return texts + [f"{warning[:1].upper()}{warning[1:]}." for warning in result["warnings"]]


def foundation(line: dict[str, Any]) -> str:
    """What was recorded of a line's foundation, in one phrase."""
    base = line["foundation"]
    psi, loss = base["concrete_psi"], base["section_loss_percent"]
    strength = f"{psi:,.0f} psi ({base['concrete_basis']})" if isinstance(psi, int | float) else "strength not observed"
    lost = "section loss not observed" if isinstance(loss, str) else f"section loss {loss:g} %"
    accepted = f"; accepted by {base['accepted_by']}" if base["accepted_by"] else ""
    return f"{base['material']}, {strength}; condition: {base['condition']}; {lost}{accepted}"


def special_inspections(snapshot: dict[str, Any]) -> list[dict[str, str]]:
    """What needs a special inspector, how often, and why; empty where nothing drawn calls for one."""
    schedule = exchange.loads(Schedule, snapshot["result"]["schedule"])
    catalogue = exchange.loads(Catalogue, snapshot["inputs"]["catalogue"])
    evaluated = {one.key: one for one in catalogue.evaluated}
    anchors: dict[str, list[str]] = {}
    close: list[str] = []
    for line in schedule.lines:
        for item in line.items:
            if not item.count or not inspections.needed(item, catalogue):
                continue
            known = close if item.role == wall_panels.ROLE else anchors.setdefault(item.connector, [])
            if line.label not in known:
                known.append(line.label)
    rows = [
        {
            "what": f"{evaluated[key].name}, lines {', '.join(lines)}",
            "how": _how_often(evaluated[key]),
            "stage": "B",
            "connector": key,
            "why": f"post-installed in existing concrete, report {evaluated[key].report}",
        }
        for key, lines in anchors.items()
    ]
    if close:
        rows.append(
            {
                "what": f"Panel edge nailing at 4 in or closer, lines {', '.join(close)}",
                "how": "periodic",
                "stage": "E",
                "connector": "",
                "why": "edge nailing of 4 in or closer in a shear panel (from memory)",
            }
        )
    return rows


def _how_often(anchor: EvaluatedConnector) -> str:
    """Continuous where engineering says so (adhesive in a horizontal hole); more where the report asks for more."""
    steps, _ = sill_anchors.adhesive_steps(anchor)
    bonded = next((str(step.value) for step in steps if step.key == "special_inspection"), "")
    if not bonded:
        return "periodic, or more where its report asks for it"
    return f"{bonded}, bonded with adhesive; or more where its report asks for it"
