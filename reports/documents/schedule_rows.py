"""The connection schedule as rows for papers: what, how many, how far apart, where, against what."""

from __future__ import annotations

from typing import Any

from engineering import plate_washers
from reports.documents import figures
from reports.drawings import wall_line

ROLE_WORDS = {
    "floor to plate": "Floor to top plate",
    "blocking nails": "Floor to top plate, new blocking",
    "stitch nails": "Upper to lower plate, stitch nails",
    "splice nails each side": "Plate splice, nails each side of the lap",
    "plate straps": "Plate splice, straps across the joint",
    "strut splice": "Strut to top plates",
    "panel edge nails": "Panel edge nails",
    "block nails": "Block to wide sill",
    "sill anchors": "Sill anchors, new",
    "side connections": "Side connections, sill to foundation",
    "tie-downs": "Tie-downs",
    "tie-down anchors": "Tie-down anchors",
}


def line_rows(snapshot: dict[str, Any], label: str, *, ratios: bool) -> list[dict[str, str]]:
    """Rows of one wall line in load-path order; demand, capacity and ratio are blank where papers show none."""
    result, schedule = line_result(snapshot, label), line_schedule(snapshot, label)
    names = wall_line.connector_names(snapshot["inputs"]["catalogue"])
    links = {link["link"]: link for link in result["links"]}
    on_sill = not line_inputs(snapshot, label)["framing"]["plates_in"]
    rows = []
    for item in schedule["items"]:
        if not item["count"] and not item["spacing_in"]:
            continue
        check = _check_for(links.get(item["link"]), item)
        shown = ratios and check is not None
        rows.append(
            {
                "line": label,
                "link": item["link"],
                "role": "Floor to sill" if on_sill and item["link"] == "1" else ROLE_WORDS[item["role"]],
                "connector": names.get(item["connector"], item["connector"]),
                "count": f"{item['count']:,}",
                "spacing": figures.length(item["spacing_in"]) if item["spacing_in"] else figures.NOTHING,
                "where": where(item, label),
                "positions": figures.lengths(item["positions_in"]),
                "demand": figures.amount(check["demand"]) if shown else "",
                "capacity": figures.amount(check["capacity"]) if shown else "",
                "unit": check["unit"] if shown and check["demand"] is not None else "",
                "ratio": figures.ratio(check["ratio"]) if shown else "",
                "status": check["status"] if check and (ratios or check["status"] == "open") else "",
                "note": item["note"],
            }
        )
    return rows


def where(item: dict[str, Any], label: str) -> str:
    """Which part of the line a row belongs to."""
    parts = []
    if item["panel"] is not None:
        parts.append(f"panel {label}·{item['panel']}")
    if item["piece"] is not None:
        parts.append(f"sill piece {item['piece']}")
    return ", ".join(parts) or "whole line"


def _check_for(link: dict[str, Any] | None, item: dict[str, Any]) -> dict[str, Any] | None:
    """The check of the row's own panel where the link was checked by panel, else the link's."""
    if link is None:
        return None
    for part in link["parts"]:
        if item["panel"] is not None and part["name"].split(",")[0].strip() == f"panel {item['panel']}":
            return part
    return link["check"]


def line_result(snapshot: dict[str, Any], label: str) -> dict[str, Any]:
    """The result of one wall line; KeyError when there is none."""
    for line in snapshot["result"]["lines"]:
        if line["label"] == label:
            return line
    raise KeyError(label)


def line_schedule(snapshot: dict[str, Any], label: str) -> dict[str, Any]:
    """The schedule of one wall line; KeyError when there is none."""
    for line in snapshot["result"]["schedule"]["lines"]:
        if line["label"] == label:
            return line
    raise KeyError(label)


def line_inputs(snapshot: dict[str, Any], label: str) -> dict[str, Any]:
    """The survey of one wall line; KeyError when there is none."""
    for line in snapshot["inputs"]["lines"]:
        if line["label"] == label:
            return line
    raise KeyError(label)


def labels(snapshot: dict[str, Any]) -> list[str]:
    return [line["label"] for line in snapshot["inputs"]["lines"]]


def sheathing_nail(line: dict[str, Any]) -> str:
    """The panels' nail by what can be measured: diameter × length, finish."""
    sheathing = line["sheathing"]
    size = f"{sheathing['nail_diameter_in']:g} × {figures.length(sheathing['nail_length_in'])}"
    return f"{size} {sheathing['finish']}"


def total(snapshot: dict[str, Any], label: str, *roles: str) -> int:
    """How many of these roles the schedule puts on a line."""
    schedule = line_schedule(snapshot, label)
    return sum(item["count"] for role in roles for item in wall_line.rows(schedule, role))


def washers_to_fit(snapshot: dict[str, Any], label: str) -> dict[float, str]:
    """The size of the plate washer that each old bolt that counts still needs, by its place along the line. [in]"""
    ledger, found = line_result(snapshot, label)["ledger"], {}
    counted = {anchor["at_ft"] for anchor in line_inputs(snapshot, label)["existing_anchors"] if anchor["accepted"]}
    for bolt in ledger["bolts"] if ledger else ():
        steps = {step["key"]: step for step in bolt["steps"]}
        at_ft = steps["place_ft"]["value"]
        if at_ft in counted and bolt["warnings"]:  # the ledger warns of a bolt's washer only
            found[at_ft * 12] = washer_size(steps["washer_in"]["inputs"]["a"])
    return found


def new_washer(snapshot: dict[str, Any], label: str) -> str:
    """The size of the plate washers of a line's new anchors: as link 6a asks, else the least there is."""
    check = next(link["check"] for link in line_result(snapshot, label)["links"] if link["link"] == "6a")
    sides = [step["value"] for step in check["steps"] if step["key"] == "washer_side_in"]
    return washer_size(max(sides, default=plate_washers.SIDE_IN))


def washer_size(side_in: float) -> str:
    """A square plate washer as the crew buys it."""
    return f"{side_in:g} × {side_in:g} × {plate_washers.THICKNESS_IN:g} in"


def washers_by_size(snapshot: dict[str, Any], label: str) -> dict[str, list[float]]:
    """Places of the washers that old bolts still need, by size. [in]"""
    found: dict[str, list[float]] = {}
    for at_in, size in washers_to_fit(snapshot, label).items():
        found.setdefault(size, []).append(at_in)
    return found


def counted_phrase(snapshot: dict[str, Any], label: str) -> str:
    """What is added to a line, in one phrase with counts."""
    names = wall_line.connector_names(snapshot["inputs"]["catalogue"])
    schedule = line_schedule(snapshot, label)
    parts = [f"{item['count']} × {names[item['connector']]}" for role in wall_line.FLOOR_ROLES
             for item in wall_line.rows(schedule, role)]  # fmt: skip
    line = line_inputs(snapshot, label)
    panels = sum(panel["to_ft"] - panel["from_ft"] for panel in line["panels"])
    words = [
        ("stitch nails", "stitch nails"),
        ("plate straps", "plate straps"),
        ("sill anchors", "new sill anchors"),
        ("side connections", "side connections"),
        ("tie-downs", "tie-downs"),
    ]
    if panels:
        parts.append(f"{len(line['panels'])} shear panels, {figures.length(panels * 12)} together")
    parts += [f"{count} {word}" for role, word in words if (count := total(snapshot, label, role))]
    if old := len(washers_to_fit(snapshot, label)):
        parts.append(f"plate washers under {old} existing anchor{'s' if old > 1 else ''}")
    return "; ".join(parts)
